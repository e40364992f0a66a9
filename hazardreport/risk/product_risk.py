"""Several scenarios to the one risk of the product: the highest counts, nothing is added up."""

from collections.abc import Sequence

from hazardreport.quantity.trace import Source, weakest
from hazardreport.risk.marking import marked
from hazardreport.risk.records import ProductRisk, RiskLevel, ScenarioResult
from hazardreport.risk.scenario_risk import level_word
from hazardreport.wording import sentence


def product_risk(results: Sequence[ScenarioResult]) -> ProductRisk:
    """The risk of the product.

    Parameters
    ----------
    results : sequence of ScenarioResult
        With and without a level.

    Returns
    -------
    ProductRisk
        The highest level; adding a scenario never lowers it.

    References
    ----------
    eu-2019-417, guidelines for consumer products: several hazards, several injuries, one risk.
    """
    if not results:
        return ProductRisk()
    judged = [(result.level, result.source, result.scenario) for result in results if result.level is not None]
    open_ones = tuple(result.scenario for result in results if result.level is None)
    highest = max((level for level, _, _ in judged), key=lambda level: level.order, default=None)
    rested_on = judged if highest is not RiskLevel.SERIOUS else [one for one in judged if one[0] is highest]
    sources = [source for _, source, _ in rested_on if source is not None]
    source = (
        Source(key=sources[0].key, place=sources[0].place, status=weakest(item.status for item in sources))
        if sources
        else None
    )
    if highest is None:
        told = sentence("risk.product.none")
    else:
        key = "risk.product.level_one" if len(judged) == 1 else "risk.product.level_many"
        told = sentence(key, level=marked(level_word(highest), source), count=len(judged))
    if open_ones and highest is not None:
        told += " " + sentence(
            "risk.product.open_one" if len(open_ones) == 1 else "risk.product.open_many", count=len(open_ones)
        )
    return ProductRisk(
        level=highest,
        leading=tuple(scenario for level, _, scenario in judged if level is highest),
        open=open_ones,
        source=source,
        sentence=told,
        remarks=tuple(
            sentence(f"risk.product.{key}") for key in (*(("cumulation",) if len(results) > 1 else ()), *REMARKS)
        ),
    )


REMARKS = ("measure", "judgement", "method")
