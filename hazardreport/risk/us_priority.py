"""The US view: hazard priority of harm and likelihood, and the factors of 16 CFR 1115 as answered by the record."""

from hazardreport.case.scenario import HarmFactors, HarmGrade, Likelihood
from hazardreport.case.stated import Standing, Stated
from hazardreport.quantity.trace import Source
from hazardreport.risk.cells import rows
from hazardreport.risk.marking import marked
from hazardreport.risk.records import Factor, FactorStanding, HazardPriority
from hazardreport.standards.active import cached_by_confirmations
from hazardreport.wording import sentence

PRIORITY = ("us-recall-handbook", "hazard-priority")
FACTORS = ("16-cfr-1115", "factors")
COLUMNS = {
    Likelihood.VERY_LIKELY: "very_likely",
    Likelihood.LIKELY: "likely",
    Likelihood.POSSIBLE: "possible",
}
UNNAMED = (HarmGrade.MODERATE, Likelihood.LIKELY)
"""A pair that the classes, as remembered, do not name."""


@cached_by_confirmations()
def hazard_priority(factors: HarmFactors) -> HazardPriority:
    """The class of the harm and likelihood that the assessor chose; none while one of them is open.

    References
    ----------
    us-recall-handbook, hazard priority.
    """
    if factors.harm is HarmGrade.OPEN or factors.likelihood is Likelihood.OPEN:
        return HazardPriority()
    row = next(row for row in rows(*PRIORITY) if row["harm"].text == factors.harm.value)
    cell = row[COLUMNS[factors.likelihood]]
    told = [
        sentence(
            "risk.priority.letter",
            harm=factors.harm.value,
            likelihood=factors.likelihood.value,
            letter=marked(cell.text, cell.source),
        )
    ]
    if (factors.harm, factors.likelihood) == UNNAMED:
        told.append(sentence("risk.priority.unnamed"))
    told.append(sentence("risk.priority.all_classes"))
    return HazardPriority(letter=cell.text, source=cell.source, sentence=" ".join(told))


@cached_by_confirmations(maxsize=64)
def weighed(factors: HarmFactors) -> tuple[Factor, ...]:
    """Every factor of 16 CFR 1115.12(g)(1) and 1115.4 with its answer, in the order of the table.

    References
    ----------
    16-cfr-1115, 1115.12(g)(1) and 1115.4.
    """
    found = []
    for row in rows(*FACTORS):
        field, name = row["field"].text, row["name"]
        standing, text = _answer(factors, field)
        found.append(
            Factor(
                key=row["factor"].text,
                name=name.text,
                field=field,
                standing=standing,
                text=text,
                source=Source(key=name.source.key, place=row["clause"].text, status=name.source.status),
            )
        )
    return tuple(found)


def _answer(factors: HarmFactors, field: str) -> tuple[FactorStanding, str]:
    if not field:
        return FactorStanding.FOR_THE_AUTHORITY, ""
    if field == "harm":
        told = "" if factors.harm is HarmGrade.OPEN else factors.harm.value
        return (FactorStanding.ANSWERED, told) if told else (FactorStanding.OPEN, "")
    if field == "likelihood":
        if HarmGrade.OPEN is factors.harm or factors.likelihood is Likelihood.OPEN:
            return FactorStanding.OPEN, ""
        return FactorStanding.ANSWERED, f"{factors.harm.value}, {factors.likelihood.value}"
    stated: Stated = getattr(factors, field)
    if not stated.answered:
        return FactorStanding.OPEN, ""
    if stated.standing is Standing.VALUE:
        return FactorStanding.ANSWERED, stated.text
    return FactorStanding.ABSENT_WITH_REASON, stated.reason
