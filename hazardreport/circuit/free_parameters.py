"""The parameters that readings can fix: their physical ranges, priors, first guesses and steps."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.observations import Observation
from hazardreport.circuit.unit_network import NetworkParameters, parameters_of
from hazardreport.standards.tables import table

Array = NDArray[np.float64]

SUPPLY, ELEMENT, POSITION, FAULT, HOT = (
    "supply_voltage",
    "element_resistance",
    "fault_position",
    "fault_resistance",
    "hot_factor",
)
UNIT = {SUPPLY: "V", ELEMENT: "ohm", POSITION: "1", FAULT: "ohm", HOT: "1"}
SYMBOL = {SUPPLY: "U", ELEMENT: "Re", POSITION: "x", FAULT: "Rf", HOT: "Ct"}
ELEMENT_GUESS = 30.0
"""Where a search begins if nothing is known of the element. [ohm]"""


@dataclass(frozen=True, slots=True)
class Prior:
    """What is known of a parameter before any reading: estimate and standard uncertainty, in its unit."""

    number: int
    estimate: float
    standard_uncertainty: float


@dataclass(frozen=True, slots=True)
class Space:
    """The free parameters of one fit.

    names          in the order of every vector
    base           everything else of the network
    lower, upper   physical range
    first_guess    where nothing better is known
    step           least displacement for derivatives
    priors         of those that no reading fixes by itself
    """

    names: tuple[str, ...]
    base: NetworkParameters
    lower: Array
    upper: Array
    first_guess: Array
    step: Array
    priors: tuple[Prior, ...]

    def parameters(self, vectors: Array) -> NetworkParameters:
        """Network parameters of vectors of shape (..., names)."""
        values: dict[str, Any] = {name: vectors[..., number] for number, name in enumerate(self.names)}
        return replace(self.base, **values)

    def steps(self, vector: Array) -> Array:
        """Displacements for derivatives at one point."""
        return np.maximum(1e-4 * np.abs(vector), self.step)

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
        )


def hot_factor(wiring: Wiring) -> tuple[float, float]:
    """Hot over cold resistance of the element and its standard uncertainty; a stated factor counts as exact. [1]"""
    stated = wiring.element.hot_factor
    if stated is not None and 0.0 < stated < math.inf:
        return stated, 0.0
    choices = table("own-choices", "hot-factor")
    material = wiring.element.material.value
    return choices.look_up("factor", material=material), choices.look_up("standard_uncertainty", material=material)


def rated_resistance(wiring: Wiring) -> float | None:
    """Resistance of the hot element by its rating. [ohm]"""
    element = wiring.element
    if not element.rated_voltage or not element.rated_power:
        return None
    return element.rated_voltage**2 / element.rated_power


def _reads(observation: Observation, *pairs: set[PointRole]) -> bool:
    return {observation.first, observation.second} in pairs


def reads_supply(observation: Observation) -> bool:
    """Whether a reading is one of the supply itself."""
    return observation.kind is Quantity.VOLTAGE and _reads(
        observation,
        {PointRole.LINE, PointRole.NEUTRAL},
        {PointRole.PIN_1, PointRole.PIN_2},
        {PointRole.LINE, PointRole.EARTH},
        {PointRole.LINE, PointRole.EARTH_PIN},
    )


def reads_element(observation: Observation) -> bool:
    """Whether a reading is one of the whole element."""
    return observation.kind is Quantity.RESISTANCE and _reads(observation, {PointRole.PIN_1, PointRole.PIN_2})


def space(observations: Sequence[Observation], wiring: Wiring) -> Space:
    """Free parameters, ranges and priors for these readings.

    The supply is held near its nominal voltage only without a reading of it, the element near its rating likewise.
    The hot factor is free only if some reading was taken unplugged and the factor is not stated.
    """
    factor, factor_doubt = hot_factor(wiring)
    cold = any(observation.state.plug is PlugPosition.UNPLUGGED for observation in observations)
    names = (SUPPLY, ELEMENT, POSITION, FAULT, HOT) if cold and factor_doubt else (SUPPLY, ELEMENT, POSITION, FAULT)
    rated = rated_resistance(wiring)
    element = next(
        (observation.value * factor for observation in observations if reads_element(observation)),
        ELEMENT_GUESS if rated is None else rated,
    )
    base = parameters_of(
        wiring, element_resistance=element, fault_position=0.5, fault_resistance=10.0, hot_factor=factor
    )
    nominal = float(base.supply_voltage)
    supply = next((observation.value for observation in observations if reads_supply(observation)), nominal)
    limits, priors = table("own-choices", "fit-limits"), []
    if not any(reads_supply(observation) for observation in observations):
        priors.append(Prior(0, nominal, limits.look_up(SUPPLY) * nominal / math.sqrt(3.0)))
    if rated is not None and not any(reads_element(observation) for observation in observations):
        priors.append(Prior(1, rated, limits.look_up(ELEMENT) * rated / math.sqrt(3.0)))
    if HOT in names:
        priors.append(Prior(4, factor, factor_doubt))
    lower = np.array([0.5 * nominal, 0.1, 0.0, 0.0, 1.0])
    upper = np.array([1.5 * nominal, 1e5, 1.0, 1e9, 1.5])
    guess = np.array([supply, element, 0.5, 10.0, factor])
    step = np.array([1e-4 * nominal, 1e-4 * element, 1e-5, 1e-4, 1e-5])
    size = len(names)
    return Space(names, base, lower[:size], upper[:size], guess[:size], step[:size], tuple(priors))
