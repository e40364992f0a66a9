"""Several scenarios, one product risk."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.scenario import Scenario, ScenarioStep
from hazardreport.quantity.trace import Status
from hazardreport.risk.product_risk import product_risk
from hazardreport.risk.records import ProductRisk, RiskLevel, ScenarioResult
from hazardreport.risk.scenario_risk import scenario_result


def judged(id: str, probability: str, severity: int) -> ScenarioResult:
    return scenario_result(Scenario(id=id, severity=severity, steps=(ScenarioStep(text="x", probability=probability),)))


CHAIR, SHOCK, OPEN = judged("chair", "1/500", 1), judged("shock", "1/500", 4), judged("open", "", 4)
RESULTS = st.builds(
    judged,
    st.just("s"),
    st.sampled_from(["1", "1/3", "1/30", "1/300", "1/3000", "1/30000", "1/300000", "1/3000000", "", "0"]),
    st.integers(0, 5),
)


def test_the_highest_scenario_is_the_risk_of_the_product() -> None:
    found = product_risk((CHAIR, SHOCK, OPEN))

    assert (found.level, found.leading, found.open) == (RiskLevel.SERIOUS, ("shock",), ("open",))
    assert "highest of 2 judged ways to an injury" in found.sentence
    assert "1 way to an injury has no level yet" in found.sentence
    assert "from memory" in found.sentence


def test_a_confirmed_cell_is_told_without_a_mark() -> None:
    found = product_risk((CHAIR,))

    assert found.source is not None
    assert found.source.status is Status.CONFIRMED
    assert "memory" not in found.sentence


def test_a_level_below_serious_rests_on_the_lower_cells_too() -> None:
    """A cell from memory that is told as lower might in truth lie above; above serious there is nothing."""
    lower = judged("lower", "1/5000", 1)
    found = product_risk((CHAIR, lower))

    assert (CHAIR.source is not None, lower.source is not None) == (True, True)
    assert found.level is RiskLevel.LOW
    assert found.source is not None
    assert found.source.status is Status.FROM_MEMORY
    high = judged("high", "1/50000", 4)
    sure = replace(high, source=CHAIR.source)
    for other, status in ((CHAIR, Status.CONFIRMED), (lower, Status.FROM_MEMORY)):
        told = product_risk((sure, other))
        assert (told.level, told.leading) == (RiskLevel.HIGH, ("high",))
        assert told.source is not None
        assert told.source.status is status
    serious = product_risk((replace(SHOCK, source=CHAIR.source), lower))
    assert serious.source is not None
    assert serious.source.status is Status.CONFIRMED


def test_all_scenarios_of_the_highest_level_lead() -> None:
    assert product_risk((SHOCK, CHAIR, SHOCK)).leading == ("shock", "shock")


def test_nothing_is_added_up_and_it_is_said() -> None:
    one, many = product_risk((CHAIR,)), product_risk((CHAIR,) * 500)

    assert many.level is one.level is RiskLevel.LOW
    assert any("not added up" in remark for remark in many.remarks)


def test_without_scenarios_there_is_nothing_and_without_levels_it_is_said() -> None:
    assert product_risk(()) == ProductRisk()
    found = product_risk((OPEN,))
    assert (found.level, found.leading, found.open) == (None, (), ("open",))
    assert found.sentence


@settings(derandomize=True, deadline=None)
@given(st.lists(RESULTS, max_size=6), RESULTS, st.integers(0, 6))
def test_another_scenario_never_lowers_the_risk_of_the_product(
    results: list[ScenarioResult], further: ScenarioResult, place: int
) -> None:
    before = product_risk(results).level
    after = product_risk([*results[:place], further, *results[place:]]).level

    assert (after.order if after else 0) >= (before.order if before else 0)


def test_the_remarks_name_method_judgement_and_what_a_level_does_not_decide() -> None:
    told = " ".join(product_risk((CHAIR,)).remarks)
    for words in ("2019/417", "2024/3173", "judgement", "decides no measure"):
        assert words in told


@pytest.mark.parametrize("level", list(RiskLevel))
def test_every_level_has_a_word(level: RiskLevel) -> None:
    told = ScenarioResult(scenario="x", level=level, source=SHOCK.source)
    assert level.value in product_risk((told,)).sentence
