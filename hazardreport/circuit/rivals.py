"""Explanations of the readings, fitted to the same readings and ranked by how well they explain them.

Score (choice): chi-square and two for each free parameter; the lowest explains best. A finite resistance between points
that an explanation does not join counts as a conductance: zero against 1/R.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from scipy.special import chdtrc

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import EarthState, PlugPosition
from hazardreport.case.wiring import Supply, SupplyFault, Wiring
from hazardreport.circuit.fit import FitResult, critical_value, fit, without_a_path
from hazardreport.circuit.free_parameters import (
    FAULT,
    NEXT_TO_BREAK,
    OPEN,
    POSITION,
    RESISTIVE,
    Hypothesis,
    leakage_capacitances,
)
from hazardreport.circuit.network_parameters import elements
from hazardreport.circuit.observations import Observation
from hazardreport.circuit.unit_network import unit_state
from hazardreport.errors import HazardReportError, NothingToFitError
from hazardreport.quantity.typed import Bound

COST_OF_A_PARAMETER = 2.0
AGAINST = 2.0
"""Standardized residual above which a reading speaks against an explanation. [1]"""
LIVE = frozenset({PlugPosition.STRAIGHT, PlugPosition.REVERSED, PlugPosition.UNKNOWN})
TURNED = {PlugPosition.STRAIGHT: PlugPosition.REVERSED, PlugPosition.REVERSED: PlugPosition.STRAIGHT}
OF_THE_SUPPLY = frozenset({PointRole.LINE, PointRole.NEUTRAL, PointRole.EARTH})
NO_FAULT = ((FAULT, float("inf")), (POSITION, 0.5))

CAPACITIVE = Hypothesis(key="capacitive_leakage", held=NO_FAULT, added=leakage_capacitances())
BROKEN_BEYOND = Hypothesis(key="open_element", held=((OPEN, 1.0),), ranges=((POSITION, 0.0, 1.0 - NEXT_TO_BREAK),))
"""Broken beyond the fault as seen from terminal 1: where makes no difference, since nothing flows there."""
BROKEN_BEFORE = Hypothesis(key="open_element", held=((OPEN, 0.0),), ranges=((POSITION, NEXT_TO_BREAK, 1.0),))
"""Broken between terminal 1 and the fault; the fault does not lie at that terminal itself."""
NEUTRAL_LOST = Hypothesis(key="lost_neutral", held=(("neutral_resistance", float("inf")),))


@dataclass(frozen=True, kw_only=True, slots=True, eq=False)
class RivalFit:
    """One explanation of the readings.

    key              "resistive_fault", "capacitive_leakage", "open_element", "reversed_plug", "earth_missing",
                     "lost_neutral", "further_element"
    fit              None where it cannot be fitted; refused: then why
    chi_square, dof  agreement with all readings, those between points that it does not join included
    free             number of free parameters
    score            chi-square and two for each free parameter; difference: above the best one's
    probability      of a chi-square at least as great if it were true; None without a degree of freedom
    explains         agrees at 5 % and breaks no bound; None where nothing is left over to disagree
    against          ids of the readings and bounds that speak against it, the strongest first
    element          number of the element that it holds faulty, None for the one of the wiring
    """

    key: str
    fit: FitResult | None = None
    refused: HazardReportError | None = None
    chi_square: float = 0.0
    dof: int = 0
    free: int = 0
    score: float = float("inf")
    difference: float = float("inf")
    probability: float | None = None
    explains: bool | None = False
    against: tuple[str, ...] = ()
    element: int | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class _Explanation:
    """One way to fit: which readings, which wiring, what is free."""

    observations: tuple[Observation, ...]
    wiring: Wiring
    hypothesis: Hypothesis = RESISTIVE
    element: int | None = None


def rivals(observations: Sequence[Observation], wiring: Wiring, fitted: FitResult) -> tuple[RivalFit, ...]:
    """All explanations that the readings concern, the best first.

    Parameters
    ----------
    observations, wiring
        As given to `fit`.
    fitted : FitResult
        Their fit: the fault through a resistance.

    Returns
    -------
    tuple of RivalFit
        Those that cannot be fitted last. An explanation that no reading concerns is left out: a reversed plug where no
        live reading notes a position, a missing earth where none was taken with the earth connected, a lost neutral or
        a break where the wiring has it already, a further element where there is none.
    """
    seen = tuple(observations)
    found = [_judged("resistive_fault", fitted, seen)]
    for key, ways in _explanations(seen, wiring).items():
        if ways:
            found.append(min((_fitted(key, way) for way in ways), key=lambda rival: rival.score))
    least = min(rival.score for rival in found)
    ranked = sorted(found, key=lambda rival: rival.score)
    return tuple(replace(rival, difference=rival.score - least if rival.fit else float("inf")) for rival in ranked)


def leakage_alone(observations: Sequence[Observation], wiring: Wiring) -> FitResult | None:
    """The fit of leakage through capacitance alone; None where it does not agree with every reading and bound."""
    found = _fitted(
        CAPACITIVE.key,
        _Explanation(observations=tuple(observations), wiring=wiring, hypothesis=_beside_filter(CAPACITIVE, wiring)),
    )
    return found.fit if found.explains is not False and found.fit is not None and not found.fit.unexplained else None


def _explanations(seen: tuple[Observation, ...], wiring: Wiring) -> dict[str, tuple[_Explanation, ...]]:
    """Ways to fit by key; none where no reading concerns it."""
    plain = _Explanation(observations=seen, wiring=wiring)
    found: dict[str, tuple[_Explanation, ...]] = {
        CAPACITIVE.key: (replace(plain, hypothesis=_beside_filter(CAPACITIVE, wiring)),),
    }
    if elements(wiring)[0].open_at is None:
        found[BROKEN_BEYOND.key] = tuple(replace(plain, hypothesis=way) for way in (BROKEN_BEYOND, BROKEN_BEFORE))
    if any(observation.state.plug in TURNED and not _of_supply(observation) for observation in seen):
        found["reversed_plug"] = (replace(plain, observations=tuple(_turned(observation) for observation in seen)),)
    if any(unit_state(observation.state, wiring).earthed for observation in seen if not _of_supply(observation)):
        found["earth_missing"] = (replace(plain, observations=tuple(_unearthed(observation) for observation in seen)),)
    live = any(observation.state.plug in LIVE for observation in seen)
    if live and wiring.supply is Supply.EARTHED_NEUTRAL and wiring.supply_fault is SupplyFault.NONE:
        found[NEUTRAL_LOST.key] = (replace(plain, hypothesis=NEUTRAL_LOST),)
    found["further_element"] = tuple(
        replace(plain, wiring=replace(wiring, faulty_element=number), element=number)
        for number in range(1, len(wiring.more_elements) + 2)
        if number != wiring.faulty_element
    )
    return found


def _beside_filter(hypothesis: Hypothesis, wiring: Wiring) -> Hypothesis:
    """Leakage at least that of the capacitors that the unit is known to have."""
    known = (wiring.filter.y_capacitance_1 or 0.0, wiring.filter.y_capacitance_2 or 0.0)
    added = tuple(
        replace(entry, lower=least, upper=max(entry.upper, 2.0 * least))
        for entry, least in zip(hypothesis.added, known, strict=True)
    )
    return replace(hypothesis, added=added) if any(known) else hypothesis


def _of_supply(observation: Observation) -> bool:
    return observation.first in OF_THE_SUPPLY and observation.second in OF_THE_SUPPLY


def _turned(observation: Observation) -> Observation:
    plug = TURNED.get(observation.state.plug, observation.state.plug)
    return replace(observation, state=replace(observation.state, plug=plug))


def _unearthed(observation: Observation) -> Observation:
    return replace(observation, state=replace(observation.state, earth=EarthState.ABSENT))


def _fitted(key: str, way: _Explanation) -> RivalFit:
    try:
        found = fit(way.observations, way.wiring, None, way.hypothesis)
    except NothingToFitError as error:
        return RivalFit(key=key, refused=error, element=way.element, against=_valued(way.observations))
    except HazardReportError as error:
        return RivalFit(key=key, refused=error, element=way.element)
    return replace(_judged(key, found, way.observations), element=way.element)


def _valued(observations: Sequence[Observation]) -> tuple[str, ...]:
    return tuple(observation.id for observation in observations if observation.bound is Bound.NONE)


def _judged(key: str, found: FitResult, observations: Sequence[Observation]) -> RivalFit:
    """How an explanation stands, with the readings that it leaves without any path."""
    apart = without_a_path(found, observations)
    chi_square = found.chi_square + sum(off**2 for off in apart.values())
    dof, free = found.dof + len(apart), len(found.names)
    strong = {reading.id: abs(reading.standardized) for reading in found.residuals} | apart
    strong |= dict.fromkeys(found.broken_bounds, float("inf"))
    against = sorted((reading for reading, off in strong.items() if off > AGAINST), key=lambda one: -strong[one])
    explains = None if dof == 0 else chi_square <= critical_value(dof)
    if found.broken_bounds:
        explains = False
    return RivalFit(
        key=key,
        fit=found,
        chi_square=chi_square,
        dof=dof,
        free=free,
        score=chi_square + COST_OF_A_PARAMETER * free,
        probability=float(chdtrc(dof, chi_square)) if dof else None,
        explains=explains,
        against=tuple(against),
    )
