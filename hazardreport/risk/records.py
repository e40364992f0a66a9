"""What a risk assessment is made of: frozen records of results. Probabilities are exact fractions as text: "1/500"."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.quantity.trace import Source


class RiskLevel(StrEnum):
    """Levels of the EU guidelines, the gravest first."""

    SERIOUS = "serious"
    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"

    @property
    def order(self) -> int:
        """1 low … 4 serious; a graver level has the greater number."""
        return {RiskLevel.LOW: 1, RiskLevel.MEDIUM: 2, RiskLevel.HIGH: 3, RiskLevel.SERIOUS: 4}[self]


class ShiftKind(StrEnum):
    """One input of the table moved by one step."""

    SEVERITY_UP = "severity up"
    SEVERITY_DOWN = "severity down"
    PROBABILITY_UP = "probability up"
    PROBABILITY_DOWN = "probability down"


@dataclass(frozen=True, kw_only=True, slots=True)
class Shift:
    """The level with the severity one level, or the overall probability one band, higher or lower.

    level    then; changes: it is not the scenario's own
    source   of that cell, with its status
    """

    kind: ShiftKind
    level: RiskLevel
    changes: bool
    source: Source


@dataclass(frozen=True, kw_only=True, slots=True)
class StepShift:
    """How far one step alone would have to move for the level to change.

    step       its number, from 1
    up         the step would have to be more probable; else less probable
    threshold  fraction: the level changes above it (up), or at and below it (down)
    factor     fraction: threshold over the assessor's number
    level      then
    within_ten a change of that step by at most ten times is enough
    """

    step: int
    up: bool
    threshold: str
    factor: str
    level: RiskLevel
    within_ten: bool


@dataclass(frozen=True, kw_only=True, slots=True)
class ScenarioResult:
    """One scenario of the case with its level, or without where something is missing.

    scenario      id of the scenario
    steps         fraction of each step; "" where it is open or refused
    judged        numbers of the steps, from 1, that rest on judgement; unreasoned: those of them without a reason
    overall       product of the steps, fraction; "" where a step has none
    level         None while a step or the severity is open
    band          row of the table as printed: "> 1/1 000"; "" without a level
    on_boundary   the overall probability is exactly the edge of a band
    shifts        severity one level and probability one band each way, as far as the table goes
    step_shifts   each step alone; nothing for a step that cannot change the level
    falls_after   bands by which the probability must fall for the level to fall; 0 if it never does
    falls_to      the level then; None if it never falls
    rises_after, rises_to   the same upwards
    robust        none of `shifts` changes the level
    source        of the cell, with its status; None without a level
    sentence      result in one sentence, with the cell's status where that is not confirmed; "" without a level
    sensitivity   what a change of the inputs does, in sentences; "" without a level
    """

    scenario: str
    steps: tuple[str, ...] = ()
    judged: tuple[int, ...] = ()
    unreasoned: tuple[int, ...] = ()
    overall: str = ""
    level: RiskLevel | None = None
    band: str = ""
    on_boundary: bool = False
    shifts: tuple[Shift, ...] = ()
    step_shifts: tuple[StepShift, ...] = ()
    falls_after: int = 0
    falls_to: RiskLevel | None = None
    rises_after: int = 0
    rises_to: RiskLevel | None = None
    robust: bool = False
    source: Source | None = None
    sentence: str = ""
    sensitivity: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class ProductRisk:
    """The one risk of the product: the highest of its scenarios; cumulation is not computed.

    level     None without a scenario that has one
    leading   ids of the scenarios of that level
    open      ids of the scenarios without a level
    source    least certain of the cells that it rests on: of the leading scenarios where that is serious, else of all,
              since a lower cell read wrongly could then lie above
    sentence  for people; "" without a scenario
    remarks   what must be said beside it: cumulation, measures, judgement, method and its editions
    """

    level: RiskLevel | None = None
    leading: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    source: Source | None = None
    sentence: str = ""
    remarks: tuple[str, ...] = ()


class FactorStanding(StrEnum):
    """Whether a factor that an authority weighs is answered."""

    ANSWERED = "answered"
    ABSENT_WITH_REASON = "absent with reason"
    OPEN = "open"
    FOR_THE_AUTHORITY = "for the authority"


@dataclass(frozen=True, kw_only=True, slots=True)
class Factor:
    """One factor of 16 CFR 1115.12(g)(1) or 1115.4.

    key, name   in the table of factors; name for people
    field       of `HarmFactors` that answers it, "" where only the authority can
    text        the answer, or the reason of its absence
    source      clause with status
    """

    key: str
    name: str
    field: str
    standing: FactorStanding
    text: str
    source: Source


@dataclass(frozen=True, kw_only=True, slots=True)
class HazardPriority:
    """The US hazard priority of the harm and likelihood that the assessor chose.

    letter    "A", "B", "C", or "" while harm or likelihood is open
    source    of the cell, with its status; None without a letter
    sentence  for people, with the cell's status where that is not confirmed; "" without a letter
    """

    letter: str = ""
    source: Source | None = None
    sentence: str = ""
