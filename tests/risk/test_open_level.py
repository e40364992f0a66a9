"""Where a scenario has no level, the reason stands there with the steps that it is for."""

from dataclasses import replace

import pytest

from hazardreport.case.scenario import Scenario, ScenarioStep
from hazardreport.risk.open_level import why_open
from hazardreport.risk.scenario_risk import STEPS_AT_MOST, scenario_result

STEP = ScenarioStep(text="metal is touched", probability="1/10", reason="seen")
EMPTY = ScenarioStep()
ODD = replace(STEP, probability="3/2")
WHOLE = Scenario(id="scenario-001", steps=(STEP, STEP), severity=4)


def test_a_scenario_with_a_level_has_no_reason() -> None:
    assert scenario_result(WHOLE).level is not None
    assert why_open(WHOLE) == ""


@pytest.mark.parametrize(
    ("scenario", "said"),
    [
        (replace(WHOLE, steps=(*WHOLE.steps, EMPTY)), "step 3 has no probability"),
        (replace(WHOLE, steps=(EMPTY, STEP, EMPTY)), "steps 1 and 3 have no probability"),
        (replace(WHOLE, steps=(STEP, ODD)), "the probability of step 2 is not understood"),
        (replace(WHOLE, steps=(ODD, ODD)), "the probabilities of steps 1 and 2 are not understood"),
        (replace(WHOLE, steps=()), "it has no steps"),
        (replace(WHOLE, steps=(STEP,) * (STEPS_AT_MOST + 1)), f"it has more than {STEPS_AT_MOST} steps"),
        (replace(WHOLE, severity=0), "the severity is not judged"),
        (replace(WHOLE, severity=7), "there is no severity 7"),
        (replace(WHOLE, steps=(STEP, EMPTY), severity=0), "step 2 has no probability; the severity is not judged"),
    ],
)
def test_each_reason_names_its_steps(scenario: Scenario, said: str) -> None:
    assert scenario_result(scenario).level is None
    assert why_open(scenario) == said
