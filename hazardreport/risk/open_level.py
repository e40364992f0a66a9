"""Why a scenario has no level yet, with the steps concerned; the same words at every place that shows the level."""

from collections.abc import Iterator

from hazardreport.case.scenario import Scenario
from hazardreport.errors import ProbabilityRefusedError
from hazardreport.risk.level import SEVERITIES
from hazardreport.risk.probability import probability
from hazardreport.risk.scenario_risk import STEPS_AT_MOST, joined
from hazardreport.wording import sentence


def why_open(scenario: Scenario) -> str:
    """What keeps a scenario from a level: "step 5 has no probability; the severity is not judged"; "" if it has one."""
    return "; ".join(_reasons(scenario))


def _reasons(scenario: Scenario) -> Iterator[str]:
    if not scenario.steps:
        yield sentence("risk.open.no_steps")
    if len(scenario.steps) > STEPS_AT_MOST:
        yield sentence("risk.open.too_many", most=STEPS_AT_MOST)
    empty = [str(number) for number, step in enumerate(scenario.steps, 1) if not step.probability.strip()]
    refused = [
        str(number)
        for number, step in enumerate(scenario.steps, 1)
        if step.probability.strip() and _refused(step.probability)
    ]
    for key, numbers in (("empty", empty), ("refused", refused)):
        if numbers:
            yield sentence(f"risk.open.{key}_{'one' if len(numbers) == 1 else 'many'}", steps=joined(numbers))
    if not scenario.severity:
        yield sentence("risk.open.severity")
    elif scenario.severity not in SEVERITIES:
        yield sentence("risk.open.severity_unknown", severity=scenario.severity)


def _refused(text: str) -> bool:
    try:
        probability(text)
    except ProbabilityRefusedError:
        return True
    return False
