"""The parameters that readings can fix: their physical ranges, priors, first guesses and steps; and hypotheses.

A hypothesis says which numbers of the network are free, which are held, and where a search begins. The base hypothesis
is a fault through a resistance.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity
from hazardreport.case.wiring import SecondPart, Supply, Wiring
from hazardreport.circuit.network_parameters import NetworkParameters, elements, parameters_of
from hazardreport.circuit.observations import Observation
from hazardreport.standards.tables import table

Array = NDArray[np.float64]

SUPPLY, ELEMENT, POSITION, FAULT, HOT = (
    "supply_voltage",
    "element_resistance",
    "fault_position",
    "fault_resistance",
    "hot_factor",
)
OPEN = "open_position"
CAPACITANCE_1, CAPACITANCE_2 = "leakage_capacitance_1", "leakage_capacitance_2"
SECOND_LINK, SECOND_POSITION, SECOND_FAULT = (
    "second_part_resistance",
    "second_fault_position",
    "second_fault_resistance",
)
UNIT = {
    SUPPLY: "V",
    ELEMENT: "ohm",
    POSITION: "1",
    FAULT: "ohm",
    HOT: "1",
    CAPACITANCE_1: "F",
    CAPACITANCE_2: "F",
    SECOND_LINK: "ohm",
    SECOND_POSITION: "1",
    SECOND_FAULT: "ohm",
}
SYMBOL = {
    SUPPLY: "U",
    ELEMENT: "Re",
    POSITION: "x",
    FAULT: "Rf",
    HOT: "Ct",
    CAPACITANCE_1: "C1",
    CAPACITANCE_2: "C2",
    SECOND_LINK: "R12",
    SECOND_POSITION: "x2",
    SECOND_FAULT: "Rf2",
}
SHARE_TO_EARTH = {
    Supply.EARTHED_NEUTRAL: 1.0,
    Supply.TWO_LIVE_POLES: 0.5,
    Supply.TWO_PHASES: 1.0 / math.sqrt(3.0),
    Supply.ISOLATED: 1.0,
    Supply.DIRECT_CURRENT: 1.0,
}
"""Voltage of a live pole to earth over that from pole to pole. [1]"""
ELEMENT_GUESS = 30.0
"""Where a search begins if nothing is known of the element. [ohm]"""
POSITIONS = (0.5, 0.25, 0.75, 0.05, 0.95, 0.0, 1.0)
FAULTS = (10.0, 0.0, 1e2, 1e3, 1e4, 1e5, 1e6)
CAPACITANCES = (1e-10, 1e-9, 1e-8, 1e-7)
MOST_RESISTANCE, NO_CONDUCTION = 1e9, 1e12
"""The greatest resistance that counts as a fault, and the greatest of all, taken where the readings contradict the
former: a meter of 10 MΩ still shows 1 % of the voltage behind 1 GΩ (choice). [ohm]"""
MOST_CAPACITANCE = 1e-7
"""Of leakage that is no fault: many times that of lawful capacitors and long wires (choice). [F]"""
RELATIVE_STEP = 1e-4
NEXT_TO_BREAK = 2e-4
"""Least distance of a fault from a break, of the element's length: more than the step of any derivative. [1]"""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is known of a parameter before any reading: estimate and standard uncertainty, in its unit."""

    number: int
    estimate: float
    standard_uncertainty: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Free:
    """One free parameter, everything in its unit.

    name          as in `NetworkParameters`
    lower, upper  physical range
    guess         where nothing better is known
    step          least displacement for derivatives
    prior         estimate and standard uncertainty where no reading fixes it, else None
    starts        values of a coarse grid where a search from nothing begins; () for the guess alone
    hard          the network has no meaning below the lower end, not even for a derivative
    """

    name: str
    lower: float
    upper: float
    guess: float
    step: float
    prior: tuple[float, float] | None = None
    starts: tuple[float, ...] = ()
    hard: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Hypothesis:
    """One explanation of the readings: what is free, and what is held at which value.

    key    names it
    held   parameters of the network with a value of their own, free in the base hypothesis or not
    added  parameters that are free beside those of the base hypothesis
    ranges range of a base parameter, where it is narrower than the physical one
    """

    key: str
    held: tuple[tuple[str, float], ...] = ()
    added: tuple[Free, ...] = ()
    ranges: tuple[tuple[str, float, float], ...] = ()


RESISTIVE = Hypothesis(key="resistive_fault")


@dataclass(frozen=True, slots=True)
class Space:
    """The free parameters of one fit.

    names          in the order of every vector
    base           everything else of the network
    lower, upper   physical range
    first_guess    where nothing better is known
    step           least displacement for derivatives
    priors         of those that no reading fixes by itself
    starts         values of a coarse grid, per parameter
    hard           per parameter: never displaced below the lower end
    """

    names: tuple[str, ...]
    base: NetworkParameters
    lower: Array
    upper: Array
    first_guess: Array
    step: Array
    priors: tuple[Prior, ...]
    starts: tuple[tuple[float, ...], ...]
    hard: NDArray[np.bool_]

    def parameters(self, vectors: Array) -> NetworkParameters:
        """Network parameters of vectors of shape (..., names)."""
        values: dict[str, Any] = {name: vectors[..., number] for number, name in enumerate(self.names)}
        return replace(self.base, **values)

    def steps(self, vector: Array) -> Array:
        """Displacements for derivatives at one point."""
        return np.maximum(RELATIVE_STEP * np.abs(vector), self.step)

    def displaced(self, vector: Array) -> tuple[Array, Array]:
        """Points for derivatives, each parameter up, then each down, then the vector; and the distances up to down.

        Returns
        -------
        tuple of ndarray
            (2n + 1, n) and (n,).
        """
        step, size = self.steps(vector), len(vector)
        down = np.where(self.hard, np.minimum(step, vector - self.lower), step)
        points = np.tile(vector, (2 * size + 1, 1))
        number = np.arange(size)
        points[number, number] += step
        points[size + number, number] -= down
        return points, step + down

    def grid(self) -> Array:
        """Points of the coarse grid, the first guess among them, (k, n)."""
        axes = [starts or (float(guess),) for starts, guess in zip(self.starts, self.first_guess, strict=True)]
        return np.array(list(product(*axes)))

    def widened(self, number: int, upper: float) -> "Space":
        """The space with another upper end of one parameter."""
        return replace(self, upper=np.where(np.arange(len(self.names)) == number, upper, self.upper))

    def without(self, number: int, value: float) -> "Space":
        """The space in which one parameter is no longer free but has a value."""
        held: dict[str, Any] = {self.names[number]: value}
        keep = np.arange(len(self.names)) != number
        return Space(
            names=tuple(name for k, name in enumerate(self.names) if k != number),
            base=replace(self.base, **held),
            lower=self.lower[keep],
            upper=self.upper[keep],
            first_guess=self.first_guess[keep],
            step=self.step[keep],
            priors=tuple(
                replace(prior, number=prior.number - (prior.number > number))
                for prior in self.priors
                if prior.number != number
            ),
            starts=tuple(starts for k, starts in enumerate(self.starts) if k != number),
            hard=self.hard[keep],
        )


def space_of(base: NetworkParameters, free: Sequence[Free]) -> Space:
    """The space of some free parameters."""
    priors = [(number, entry.prior) for number, entry in enumerate(free) if entry.prior is not None]
    return Space(
        names=tuple(entry.name for entry in free),
        base=base,
        lower=np.array([entry.lower for entry in free]),
        upper=np.array([entry.upper for entry in free]),
        first_guess=np.array([entry.guess for entry in free]),
        step=np.array([entry.step for entry in free]),
        priors=tuple(Prior(number, *prior) for number, prior in priors),
        starts=tuple(entry.starts for entry in free),
        hard=np.array([entry.hard for entry in free]),
    )


def hot_factor(wiring: Wiring) -> tuple[float, float]:
    """Hot over cold resistance of the faulty element, with standard uncertainty; a stated one counts as exact. [1]"""
    element = elements(wiring)[0]
    stated = element.hot_factor
    if stated is not None and 0.0 < stated < math.inf:
        return stated, 0.0
    choices = table("own-choices", "hot-factor")
    material = element.material.value
    return choices.look_up("factor", material=material), choices.look_up("standard_uncertainty", material=material)


def rated_resistance(wiring: Wiring) -> float | None:
    """Resistance of the hot faulty element by its rating. [ohm]"""
    element = elements(wiring)[0]
    if not element.rated_voltage or not element.rated_power:
        return None
    return element.rated_voltage**2 / element.rated_power


def _reads(observation: Observation, *pairs: set[PointRole]) -> bool:
    return {observation.first, observation.second} in pairs


def supply_read(observation: Observation, wiring: Wiring) -> float | None:
    """Pole-to-pole voltage of the supply by a reading of it, None for any other reading. [V]"""
    if observation.kind is not Quantity.VOLTAGE:
        return None
    if _reads(observation, {PointRole.LINE, PointRole.NEUTRAL}, {PointRole.PIN_1, PointRole.PIN_2}):
        return observation.value
    if _reads(observation, {PointRole.LINE, PointRole.EARTH}, {PointRole.LINE, PointRole.EARTH_PIN}):
        return observation.value / SHARE_TO_EARTH[wiring.supply]
    return None


def reads_element(observation: Observation) -> bool:
    """Whether a reading is one of the whole element."""
    return observation.kind is Quantity.RESISTANCE and _reads(observation, {PointRole.PIN_1, PointRole.PIN_2})


def leakage_capacitances() -> tuple[Free, Free]:
    """Capacitances from both pins to the touchable part, free."""
    first = Free(
        name=CAPACITANCE_1,
        lower=0.0,
        upper=MOST_CAPACITANCE,
        guess=1e-9,
        step=1e-13,
        starts=(0.0, *CAPACITANCES),
        hard=True,
    )
    return first, replace(first, name=CAPACITANCE_2)


def _second_part(observations: Sequence[Observation], wiring: Wiring) -> tuple[Free, ...]:
    """What joins a second touchable part, where some reading touches it."""
    if not any(PointRole.SECOND_PART in (observation.first, observation.second) for observation in observations):
        return ()
    link = Free(name=SECOND_LINK, lower=0.0, upper=MOST_RESISTANCE, guess=0.1, step=1e-4, starts=(0.1, 1e3, 1e6))
    fault = replace(link, name=SECOND_FAULT, guess=1e3)
    where = Free(name=SECOND_POSITION, lower=0.0, upper=1.0, guess=0.5, step=1e-5, starts=(0.1, 0.5, 0.9))
    match wiring.second_part:
        case SecondPart.NONE | SecondPart.JOINED:
            return (link,)
        case SecondPart.SEPARATE:
            return (where, fault)
        case SecondPart.UNKNOWN:
            return (link, where, fault)


def expected(wiring: Wiring) -> dict[str, tuple[float, float]]:
    """What nominal voltage and rating say of supply and element without any reading: estimate, standard
    uncertainty. [V], [ohm]
    """
    limits, rated, found = table("own-choices", "fit-limits"), rated_resistance(wiring), {}
    if wiring.nominal_voltage is not None:
        found[SUPPLY] = (wiring.nominal_voltage, limits.look_up(SUPPLY) * wiring.nominal_voltage / math.sqrt(3.0))
    if rated is not None:
        found[ELEMENT] = (rated, limits.look_up(ELEMENT) * rated / math.sqrt(3.0))
    return found


def _base_free(observations: Sequence[Observation], wiring: Wiring, nominal: float) -> tuple[Free, ...]:
    """The free parameters of the base hypothesis.

    The supply is held near its nominal voltage only without a reading of it, the element near its rating likewise.
    The hot factor is free only if some reading was taken unplugged and the factor is not stated.
    """
    factor, factor_doubt = hot_factor(wiring)
    read = (supply_read(observation, wiring) for observation in observations)
    supply = next((value for value in read if value is not None), None)
    element = next((observation.value * factor for observation in observations if reads_element(observation)), None)
    rated, usual = rated_resistance(wiring), expected(wiring)
    begin = ELEMENT_GUESS if rated is None else rated
    begin = begin if element is None else element
    found = [
        Free(
            name=SUPPLY,
            lower=0.5 * nominal,
            upper=1.5 * nominal,
            guess=nominal if supply is None else supply,
            step=1e-4 * nominal,
            prior=usual.get(SUPPLY) if supply is None else None,
        ),
        Free(
            name=ELEMENT,
            lower=0.1,
            upper=1e5,
            guess=begin,
            step=1e-4 * begin,
            prior=usual.get(ELEMENT) if element is None else None,
            starts=() if element is None or rated is None or 0.8 < element / rated < 1.25 else (begin, rated),
        ),
        Free(name=POSITION, lower=0.0, upper=1.0, guess=0.5, step=1e-5, starts=POSITIONS),
        Free(name=FAULT, lower=0.0, upper=MOST_RESISTANCE, guess=10.0, step=1e-4, starts=FAULTS),
    ]
    cold = any(observation.state.plug is PlugPosition.UNPLUGGED for observation in observations)
    if cold and factor_doubt:
        found.append(
            Free(name=HOT, lower=1.0, upper=1.5, guess=factor, step=1e-5, prior=(factor, factor_doubt)),
        )
    return (*found, *_second_part(observations, wiring))


def sides_of_break(wiring: Wiring, hypothesis: Hypothesis) -> tuple[Hypothesis, ...]:
    """The hypothesis with the fault on either side of a break that the element is known to have; else as it is."""
    broken = elements(wiring)[0].open_at
    settled = {name for name, *_ in (*hypothesis.held, *hypothesis.ranges)}
    if broken is None or settled & {POSITION, OPEN}:
        return (hypothesis,)
    sides = ((0.0, broken - NEXT_TO_BREAK), (broken + NEXT_TO_BREAK, 1.0))
    return tuple(
        replace(hypothesis, ranges=(*hypothesis.ranges, (POSITION, low, high))) for low, high in sides if low < high
    )


def space(observations: Sequence[Observation], wiring: Wiring, hypothesis: Hypothesis = RESISTIVE) -> Space:
    """Free parameters, ranges and priors for these readings under a hypothesis."""
    factor, _ = hot_factor(wiring)
    guess = rated_resistance(wiring) or ELEMENT_GUESS
    base = parameters_of(wiring, element_resistance=guess, fault_position=0.5, fault_resistance=10.0, hot_factor=factor)
    held: dict[str, Any] = dict(hypothesis.held)
    ranges = {name: (lower, upper) for name, lower, upper in hypothesis.ranges}
    free = []
    for entry in (*_base_free(observations, wiring, float(base.supply_voltage)), *hypothesis.added):
        if entry.name in held:
            continue
        lower, upper = ranges.get(entry.name, (entry.lower, entry.upper))
        starts = tuple(dict.fromkeys(min(max(start, lower), upper) for start in entry.starts))
        guess = min(max(entry.guess, lower), upper)
        free.append(replace(entry, lower=lower, upper=upper, guess=guess, starts=starts))
    return space_of(replace(base, **held), free)
