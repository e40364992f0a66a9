"""What a scenario leaves out or says in a way that nothing can be computed from; told, never refused."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from hazardreport.case.case import Case
from hazardreport.case.scenario import Consumer, HarmFactors, Likelihood, ProbabilityBasis, Scenario, ScenarioStep
from hazardreport.errors import ProbabilityRefusedError
from hazardreport.risk.hazards import hazard
from hazardreport.risk.injuries import injury
from hazardreport.risk.level import SEVERITIES
from hazardreport.risk.probability import probability
from hazardreport.risk.scenario_risk import STEPS_AT_MOST


@dataclass(frozen=True, kw_only=True, slots=True)
class Gap:
    """One thing about a scenario that a person should mend or know.

    key     in problems.toml; fields: of that wording, "step" among them where it concerns a step
    gentle  good to know; the level does not depend on it
    """

    key: str
    fields: tuple[tuple[str, str], ...] = ()
    gentle: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Evidence:
    """Ids of what a case holds and a scenario can rest on."""

    readings: frozenset[str] = frozenset()
    pictures: frozenset[str] = frozenset()
    findings: frozenset[str] = frozenset()


def evidence(case: Case) -> Evidence:
    """What a case holds."""
    return Evidence(
        readings=frozenset(one.id for one in case.readings),
        pictures=frozenset(one.id for one in case.pictures),
        findings=frozenset(one.id for one in case.findings),
    )


@lru_cache(maxsize=4096)
def gaps(scenario: Scenario, held: Evidence) -> tuple[Gap, ...]:
    """What is the matter with one scenario, in the order of its record; what is not in the case supports nothing."""
    return (*_steps(scenario, held), *_severity(scenario), *_keys(scenario), *_findings(scenario, held))


def _findings(scenario: Scenario, held: Evidence) -> Iterator[Gap]:
    gone = [one for one in scenario.findings if one not in held.findings]
    if gone:
        yield Gap(key="scenario_missing_finding", fields=(("ids", ", ".join(gone)),))


def _steps(scenario: Scenario, held: Evidence) -> Iterator[Gap]:
    if not scenario.steps:
        yield Gap(key="scenario_no_steps")
    if len(scenario.steps) > STEPS_AT_MOST:
        yield Gap(
            key="scenario_too_many_steps",
            fields=(("count", str(len(scenario.steps))), ("most", str(STEPS_AT_MOST))),
        )
    for number, step in enumerate(scenario.steps, 1):
        yield from _step(step, (("step", str(number)),), held)


def _step(step: ScenarioStep, place: tuple[tuple[str, str], ...], held: Evidence) -> Iterator[Gap]:
    gone = [one for one in step.readings if one not in held.readings]
    gone += [one for one in step.pictures if one not in held.pictures]
    if gone:
        yield Gap(key="scenario_missing_evidence", fields=(*place, ("ids", ", ".join(gone))))
    if not step.text.strip():
        yield Gap(key="scenario_step_no_text", fields=place)
    if not step.probability.strip():
        yield Gap(key="scenario_step_open", fields=place)
    else:
        try:
            probability(step.probability)
        except ProbabilityRefusedError as error:
            yield Gap(key="scenario_step_refused", fields=(*place, ("text", error.text), ("why", error.why)))
    if step.reason.strip():
        return
    if step.basis is ProbabilityBasis.JUDGEMENT:
        yield Gap(key="scenario_step_no_reason", fields=place)
    elif len(gone) == len(step.readings) + len(step.pictures):
        yield Gap(key="scenario_step_unsupported", fields=(*place, ("basis", step.basis.value)), gentle=True)


def _severity(scenario: Scenario) -> Iterator[Gap]:
    if scenario.severity == 0:
        yield Gap(key="scenario_severity_open")
        return
    if scenario.severity not in SEVERITIES:
        yield Gap(key="scenario_severity_unknown", fields=(("severity", str(scenario.severity)),))
        return
    if not scenario.severity_reason.strip():
        yield Gap(key="scenario_severity_no_reason", gentle=True)
    found = injury(scenario.injury)
    if found is not None and scenario.severity not in found.severities:
        yield Gap(
            key="scenario_injury_not_listed",
            fields=(("injury", found.name), ("severity", str(scenario.severity))),
            gentle=True,
        )


def _keys(scenario: Scenario) -> Iterator[Gap]:
    if not scenario.injury:
        yield Gap(key="scenario_injury_open", gentle=True)
    elif injury(scenario.injury) is None:
        yield Gap(key="scenario_injury_unknown", fields=(("injury", scenario.injury),))
    if not scenario.hazard:
        yield Gap(key="scenario_hazard_open", gentle=True)
    elif hazard(scenario.hazard) is None:
        yield Gap(key="scenario_hazard_unknown", fields=(("hazard", scenario.hazard),))
    if scenario.consumer is Consumer.OPEN:
        yield Gap(key="scenario_consumer_open", gentle=True)


def gaps_of_all(scenarios: tuple[Scenario, ...], factors: HarmFactors) -> tuple[Gap, ...]:
    """What the assessment of risk as a whole leaves out."""
    found = []
    if factors.likelihood is not Likelihood.OPEN and not factors.likelihood_reason.answered:
        found.append(Gap(key="risk_likelihood_no_reason"))
    if scenarios:
        if not factors.plausibility.answered:
            found.append(Gap(key="risk_plausibility_open", gentle=True))
        named, dated = factors.assessor.answered, bool(factors.assessed_on.strip())
        if not (named and dated):
            key = "risk_assessor_open" if dated else "risk_assessed_on_open" if named else "risk_assessment_unsigned"
            found.append(Gap(key=key, gentle=True))
    return tuple(found)
