"""One scenario to its level: product of the steps, cell of the table, and what a change of the inputs would do.

The probabilities are the assessor's; nothing here judges them.
"""

from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import prod

from hazardreport.case.scenario import ProbabilityBasis, Scenario
from hazardreport.errors import ProbabilityRefusedError
from hazardreport.quantity.trace import Source, Status
from hazardreport.risk.level import SEVERITIES, LevelCell, bands, risk_level
from hazardreport.risk.marking import marked
from hazardreport.risk.probability import NO_BREAK_SPACE, printed, probability, spoken, times
from hazardreport.risk.records import RiskLevel, ScenarioResult, Shift, ShiftKind, StepShift
from hazardreport.standards.active import cached_by_confirmations
from hazardreport.wording import sentence

STEPS_AT_MOST = 50
TEN = Fraction(10)
SMALL = Fraction(11, 10)
"""Factors below this are told as a small change: nobody judges a probability to a tenth of itself."""


@cached_by_confirmations()
def scenario_result(scenario: Scenario) -> ScenarioResult:
    """The level of a scenario, or a result without one where a step, its probability or the severity is missing.

    Parameters
    ----------
    scenario : Scenario
        As entered, however incomplete.

    Returns
    -------
    ScenarioResult
        Exact fractions as text; no level with more than `STEPS_AT_MOST` steps.

    References
    ----------
    eu-2019-417, guidelines for consumer products: probability of each step, multiplied; severity; level; sensitivity.
    """
    values = tuple(_probability(step.probability) for step in scenario.steps)
    judged = tuple(number for number, step in enumerate(scenario.steps, 1) if step.basis is ProbabilityBasis.JUDGEMENT)
    known = tuple(value for value in values if value is not None)
    complete = 0 < len(known) == len(values) <= STEPS_AT_MOST
    overall = prod(known, start=Fraction(1)) if complete else None
    steps = tuple("" if value is None else printed(value) for value in values)
    unreasoned = tuple(number for number in judged if not scenario.steps[number - 1].reason.strip())
    if overall is None or scenario.severity not in SEVERITIES:
        return ScenarioResult(
            scenario=scenario.id,
            steps=steps,
            judged=judged,
            unreasoned=unreasoned,
            overall="" if overall is None else printed(overall),
        )
    cell = risk_level(overall, scenario.severity)
    shifts = tuple(_shifts(cell, scenario.severity))
    fall, rise = _next_level(cell, scenario.severity, up=False), _next_level(cell, scenario.severity, up=True)
    step_shifts = (*_step_shifts(known, overall, fall, up=False), *_step_shifts(known, overall, rise, up=True))
    return ScenarioResult(
        scenario=scenario.id,
        steps=steps,
        judged=judged,
        unreasoned=unreasoned,
        overall=printed(overall),
        level=cell.level,
        band=cell.band,
        on_boundary=cell.on_boundary,
        shifts=shifts,
        step_shifts=step_shifts,
        falls_after=fall[0] if fall else 0,
        falls_to=fall[1] if fall else None,
        rises_after=rise[0] if rise else 0,
        rises_to=rise[1] if rise else None,
        robust=not any(shift.changes for shift in shifts),
        source=cell.source,
        sentence=_sentence(overall, scenario.severity, cell, judged),
        sensitivity=_sensitivity(cell, scenario.severity, shifts, fall, rise, step_shifts, len(known)),
    )


def _probability(text: str) -> Fraction | None:
    try:
        return probability(text)
    except ProbabilityRefusedError:
        return None


def _shifts(cell: LevelCell, severity: int) -> Iterator[Shift]:
    """The level with one input moved by one step, as far as the table goes."""
    held = bands()
    moved = (
        (ShiftKind.SEVERITY_UP, cell.number, severity + 1),
        (ShiftKind.SEVERITY_DOWN, cell.number, severity - 1),
        (ShiftKind.PROBABILITY_UP, cell.number - 1, severity),
        (ShiftKind.PROBABILITY_DOWN, cell.number + 1, severity),
    )
    for kind, number, column in moved:
        if 0 <= number < len(held) and column in SEVERITIES:
            level = held[number].levels[column - 1]
            yield Shift(
                kind=kind, level=level, changes=level is not cell.level, source=held[number].sources[column - 1]
            )


_NextLevel = tuple[int, RiskLevel, Fraction]
"""Bands until the level changes, the level then, and the overall probability at or below (above) which it does."""


def _next_level(cell: LevelCell, severity: int, *, up: bool) -> _NextLevel | None:
    held = bands()
    numbers = range(cell.number - 1, -1, -1) if up else range(cell.number + 1, len(held))
    for number in numbers:
        level = held[number].levels[severity - 1]
        if level is not cell.level:
            edge = held[number].above if up else held[number - 1].above
            return abs(number - cell.number), level, edge
    return None


def _step_shifts(
    steps: Sequence[Fraction], overall: Fraction, change: _NextLevel | None, *, up: bool
) -> Iterator[StepShift]:
    """How far each step alone must move for that change; a step cannot become more probable than 1."""
    if change is None:
        return
    _, level, edge = change
    factor = edge / overall
    for number, value in enumerate(steps, 1):
        if up and value * factor >= 1:
            continue
        yield StepShift(
            step=number,
            up=up,
            threshold=printed(value * factor),
            factor=printed(factor),
            level=level,
            within_ten=1 / TEN <= factor <= TEN,
        )


def level_word(level: RiskLevel) -> str:
    """A level for people."""
    return sentence(f"risk.level.{level.value}")


def _sentence(overall: Fraction, severity: int, cell: LevelCell, judged: tuple[int, ...]) -> str:
    level = marked(sentence("risk.result.risk", level=level_word(cell.level)), cell.source)
    parts = [
        sentence("risk.result.level", overall=spoken(overall), band=cell.band, severity=severity, level=level),
        sentence(f"risk.result.{_edge(cell)}") if cell.on_boundary else "",
    ]
    if judged:
        key = "risk.result.judged_one" if len(judged) == 1 else "risk.result.judged_many"
        parts.append(sentence(key, steps=joined([str(number) for number in judged])))
    return " ".join(part for part in parts if part)


def _edge(cell: LevelCell) -> str:
    """Which edge the probability lies on: only the lowest one is in no band by the letter."""
    return "lowest_boundary" if cell.number == len(bands()) - 1 else "boundary"


def _sensitivity(
    cell: LevelCell,
    severity: int,
    shifts: tuple[Shift, ...],
    fall: _NextLevel | None,
    rise: _NextLevel | None,
    step_shifts: tuple[StepShift, ...],
    steps: int,
) -> str:
    """What the shifts by one level or band, which stand beside it, do not tell by themselves."""
    parts = []
    if cell.level is not RiskLevel.SERIOUS and any(shift.level is RiskLevel.SERIOUS for shift in shifts):
        parts.append(sentence("risk.sensitivity.serious_near"))
    parts.append(_movement("falls", fall))
    if fall is not None:
        down = next(shift for shift in step_shifts if not shift.up)
        parts.append(_falling(1 / Fraction(down.factor)))
    if cell.level is not RiskLevel.SERIOUS:
        parts.append(_movement("rises", rise))
        if rise is not None:
            parts.append(_rising([shift for shift in step_shifts if shift.up], steps))
    told_of = (*(shift.source for shift in shifts), *_walked(cell, severity, fall, rise))
    if any(source.status not in (Status.CONFIRMED, Status.CHOICE) for source in told_of):
        parts.append(sentence("risk.sensitivity.memory"))
    return " ".join(parts)


def _walked(cell: LevelCell, severity: int, fall: _NextLevel | None, rise: _NextLevel | None) -> Iterator[Source]:
    """Sources of the cells of one severity that are told of, from the band where the level rises to where it falls."""
    held = bands()
    last = cell.number + fall[0] if fall else len(held) - 1
    first = cell.number if cell.level is RiskLevel.SERIOUS else cell.number - rise[0] if rise else 0
    for band in held[first : last + 1]:
        yield band.sources[severity - 1]


def _movement(verb: str, change: _NextLevel | None) -> str:
    if change is None:
        return sentence(f"risk.sensitivity.{verb}_never")
    count, level, _ = change
    key = f"risk.sensitivity.{verb}_{'one' if count == 1 else 'many'}"
    return sentence(key, level=level_word(level), count=count)


def _falling(factor: Fraction) -> str:
    """By how much any one step alone would lower the level."""
    if factor < SMALL:
        return sentence("risk.sensitivity.falls_small")
    return sentence("risk.sensitivity.falls_step", factor=_told(factor))


def _rising(able: list[StepShift], steps: int) -> str:
    """Which steps alone can raise the level, and by how much."""
    if not able:
        return sentence("risk.sensitivity.no_step_rises")
    factor = Fraction(able[0].factor)
    numbers = joined([str(shift.step) for shift in able], last="or")
    if factor < SMALL:
        return sentence("risk.sensitivity.steps_rise_small", steps=numbers)
    key = "all" if len(able) == steps else "one" if len(able) == 1 else "many"
    return sentence(f"risk.sensitivity.steps_rise_{key}", steps=numbers, factor=_told(factor))


def _told(factor: Fraction) -> str:
    """A factor to three digits; rounded ones are told as such, since a threshold hangs on them."""
    text = times(factor)
    exact = Fraction(text.replace(NO_BREAK_SPACE, "")) == factor
    return text if exact else sentence("risk.sensitivity.about", factor=text)


def joined(words: Sequence[str], last: str = "and") -> str:
    """Words as a list in a sentence: "1, 2 and 4"."""
    if len(words) < 2:
        return "".join(words)
    return sentence(f"risk.word.{last}", first=", ".join(words[:-1]), last=words[-1])
