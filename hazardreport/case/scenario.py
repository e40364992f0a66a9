"""How somebody may come to harm: steps with probabilities as the assessor judges them, the injury, and what weighs."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.stated import Stated


class Consumer(StrEnum):
    """Who comes to harm; kinds of the EU guidelines on risk assessment."""

    OPEN = "open"
    VERY_VULNERABLE = "very vulnerable"
    VULNERABLE = "vulnerable"
    OTHER = "other"


class ProbabilityBasis(StrEnum):
    """What a probability rests on."""

    JUDGEMENT = "judgement"
    MEASURED = "measured"
    CALCULATED = "calculated"
    STATISTICS = "statistics"


@dataclass(frozen=True, kw_only=True, slots=True)
class ScenarioStep:
    """One step on the way from hazard to injury.

    text         what happens
    probability  that it happens once the step before has, as typed: "1/50", "2 %", "0.02"
    reason       why so probable
    basis        what that rests on
    pictures, readings   ids of what shows it
    """

    text: str = ""
    probability: str = ""
    reason: str = ""
    basis: ProbabilityBasis = ProbabilityBasis.JUDGEMENT
    pictures: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Scenario:
    """One way from hazard to injury, over the foreseeable life of the product.

    id               "scenario-001"
    title            short name
    consumer, who    kind of consumer, and who that is here
    hazard           key of the hazard in the table of hazards, or ""
    steps            in their order
    injury           key of the injury in the table of injuries, or ""
    severity         1 to 4; 0: not judged yet
    severity_reason  why this severity
    findings         ids of findings that it starts from
    """

    id: str
    title: str = ""
    consumer: Consumer = Consumer.OPEN
    who: str = ""
    hazard: str = ""
    steps: tuple[ScenarioStep, ...] = ()
    injury: str = ""
    severity: int = 0
    severity_reason: str = ""
    findings: tuple[str, ...] = ()


class HarmGrade(StrEnum):
    """How grave a harm is, as the US hazard priority tells them apart."""

    OPEN = "open"
    GRIEVOUS = "death or grievous injury"
    SERIOUS = "serious injury"
    MODERATE = "moderate injury"


class Likelihood(StrEnum):
    """How likely a harm is, as the US hazard priority tells it."""

    OPEN = "open"
    VERY_LIKELY = "very likely"
    LIKELY = "likely"
    POSSIBLE = "possible, not likely"


@dataclass(frozen=True, kw_only=True, slots=True)
class HarmFactors:
    """What weighs, in words: the factors of 16 CFR 1115.12(g)(1) and 1115.4, and who assessed the risk.

    harm, likelihood   for the US hazard priority; likelihood_reason: why
    pattern            of defect: cause and conditions
    units              number of defective units known
    exposed            who is exposed: children, elderly people, people with care needs
    injuries           so far
    utility, need      of the product, how much it is needed
    obviousness        whether a user can see the danger
    warnings           whether warnings on the product or in its papers are adequate
    misuse             role of misuse and whether it was foreseeable
    other              further factors
    plausibility       why the result is plausible as a whole
    assessor           who judged the probabilities; assessed_on: day
    """

    harm: HarmGrade = HarmGrade.OPEN
    likelihood: Likelihood = Likelihood.OPEN
    likelihood_reason: Stated = Stated()
    pattern: Stated = Stated()
    units: Stated = Stated()
    exposed: Stated = Stated()
    injuries: Stated = Stated()
    utility: Stated = Stated()
    need: Stated = Stated()
    obviousness: Stated = Stated()
    warnings: Stated = Stated()
    misuse: Stated = Stated()
    other: Stated = Stated()
    plausibility: Stated = Stated()
    assessor: Stated = Stated()
    assessed_on: str = ""
