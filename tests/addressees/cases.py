"""Cases for the tests of addressees: every field answered, and one field changed."""

from dataclasses import fields, replace
from enum import StrEnum
from typing import Any

from hazardreport.addressees.links import REASON_LINKS
from hazardreport.assess.records import Assessment, Basis, Risk, StateCell, Verdict
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Finding, FindingAnswer, FindingClaim
from hazardreport.case.letter import Letter
from hazardreport.case.picture import Picture
from hazardreport.case.reading import PlugPosition, Quantity, Reading, SwitchPosition
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import Scenario, ScenarioStep
from hazardreport.case.stated import Stated, unknown, value
from hazardreport.case.unit import ConformityMark
from hazardreport.case.unit_state import UnitState
from hazardreport.case.upkeep import Alteration, Excluded, Kept, Knowing
from hazardreport.quantity.trace import Trace
from hazardreport.risk.records import ProductRisk, RiskLevel, ScenarioResult
from hazardreport.severity.terms import SignalWord

PICTURE = Picture(
    id="picture-001",
    file="picture-001.jpg",
    original_name="plate.jpg",
    media_type="image/jpeg",
    sha256="ab" * 32,
    size=1000,
    width=400,
    height=300,
)
RECORDS = (
    *("unit", "household", "occurrence", "submitter", "consents", "custody"),
    *("situation", "upkeep", "harm_factors"),
)
CLAIMS = {"findings.dangerous": FindingClaim.DANGEROUS, "findings.protection": FindingClaim.PROTECTION}
COUNTED = {
    "pictures": "pictures",
    "readings": "readings",
    "requirements": "requirements",
    "scenarios": "scenarios",
    "conformity_marks": "conformity_marks",
    "letters.sent": "letters",
}
COMPUTED = ("severity.established", "risk.level")
STATE = UnitState(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF)


def answered(record: Any) -> Any:
    """The record with every field answered; every plain question with yes."""
    changes: dict[str, Any] = {}
    for field in fields(record):
        held = getattr(record, field.name)
        if isinstance(held, Stated):
            changes[field.name] = value(f"{field.name} as told")
        elif isinstance(held, Kept):
            changes[field.name] = Kept(known=Knowing.SEEN, proper=Answer.YES, text="looked at")
        elif isinstance(held, Alteration):
            changes[field.name] = Alteration(result=Excluded.EXCLUDED, text="screws sealed")
        elif isinstance(held, StrEnum):
            changes[field.name] = next(choice for choice in type(held) if choice.value != "open")
    return replace(record, **changes)


def full_case() -> Case:
    """A case that answers everything that any profile asks, and in which every condition holds."""
    case = Case(id="WP-1")
    records: dict[str, Any] = {name: answered(getattr(case, name)) for name in RECORDS}
    return replace(
        case,
        **records,
        pictures=(PICTURE,),
        readings=(Reading(id="reading-001", first="A", second="D", quantity=Quantity.VOLTAGE, typed="117 V"),),
        findings=(
            Finding(id="finding-001", text="The rim was live.", claim=FindingClaim.DANGEROUS),
            Finding(id="finding-002", text="The earth core was not connected.", claim=FindingClaim.PROTECTION),
        ),
        requirements=(
            RequirementAnswer(
                id="energised-metal", answer=FindingAnswer.SEEN, note="the rim", readings=("reading-001",)
            ),
        ),
        scenarios=(
            Scenario(
                id="scenario-001",
                title="A child lifts the pot",
                steps=(ScenarioStep(text="the rim is live", probability="1", reason="measured"),),
                severity=4,
            ),
        ),
        conformity_marks=(ConformityMark(id="conformity-mark-001", mark="CE"),),
        letters=(Letter(id="letter-001", day="2026-05-20", whom="Lumenkessel"),),
    )


def omitted(case: Case, link: str) -> Case:
    """The case without that field."""
    if link == "conformity_marks":
        case = _with(case, "unit.marks", Stated())
    if link in COMPUTED:
        return case
    if link in COUNTED:
        nothing: dict[str, Any] = {COUNTED[link]: ()}
        return replace(case, **nothing)
    if link in CLAIMS:
        return replace(case, findings=tuple(f for f in case.findings if f.claim is not CLAIMS[link]))
    held = _held(case, link)
    return _with(case, link, type(held)("open") if isinstance(held, StrEnum) else type(held)())


def absent(case: Case, link: str) -> Case:
    """The case in which that field is absent and says why."""
    if link in CLAIMS:
        findings = tuple(
            replace(f, answer=FindingAnswer.COULD_NOT_CHECK) if f.claim is CLAIMS[link] else f for f in case.findings
        )
        return replace(case, findings=findings)
    if link in REASON_LINKS:
        return edits.state_absence(omitted(case, link), link, "the camera was broken")
    held = _held(case, link)
    if isinstance(held, Stated):
        return _with(case, link, unknown("the plate is worn off"))
    if isinstance(held, Kept):
        return _with(case, link, Kept(known=Knowing.UNKNOWN, text="bought second-hand"))
    if isinstance(held, Alteration):
        return _with(case, link, Alteration(result=Excluded.COULD_NOT_TELL, text="paint over the screws"))
    return _with(case, link, Answer.NO if link.startswith("consents.") else type(held)("unknown"))


def _held(case: Case, link: str) -> Any:
    record, name = link.split(".")
    return getattr(getattr(case, record), name)


def _with(case: Case, link: str, answer: Any) -> Case:
    record, name = link.split(".")
    changed_record: dict[str, Any] = {record: replace(getattr(case, record), **{name: answer})}
    return replace(case, **changed_record)


def assessment(
    *, established: bool = True, scenarios: bool = True, level: RiskLevel | None = RiskLevel.SERIOUS
) -> Assessment:
    """An assessment with a verdict, and with the risk of a product."""
    word = SignalWord.DANGER if established else SignalWord.NOT_EXCLUDED
    sentence = "Risk of the product: serious (table cell from memory)." if level else ""
    risk = Risk(
        scenarios=(ScenarioResult(scenario="scenario-001", level=level),),
        product=ProductRisk(level=level, sentence=sentence),
    )
    return Assessment(
        case_id="WP-1",
        trace=Trace(),
        readings=(),
        routes=(),
        fit=None,
        states=(StateCell(state=STATE, basis=Basis.MEASURED, established=established),),
        exposures=(),
        devices=(),
        as_built=(),
        limits=(),
        artefact=(),
        verdict=Verdict(word=word, sentence="The rim is live.", reason="only an unloaded reading"),
        next_test=None,
        problems=(),
        risk=risk if scenarios else Risk(),
    )


def changed(links: tuple[str, ...], how: str) -> tuple[Case, Assessment | None]:
    """The full case and its assessment with some fields "omitted" or "absent"."""
    case = full_case()
    computed: Assessment | None = assessment()
    for link in links:
        if link != "severity.established":
            case = omitted(case, link) if how == "omitted" else absent(case, link)
    if how == "absent":
        severe, risky = (link not in links for link in COMPUTED)
        computed = assessment(established=severe, level=RiskLevel.SERIOUS if risky else None)
    elif "severity.established" in links:
        computed = None
    elif "risk.level" in links:
        computed = assessment(scenarios=False)
    return case, computed
