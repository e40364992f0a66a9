"""Lamps and persons on many sources at once: one bracketed root, proved on both sides."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, State, SwitchPosition
from hazardreport.case.wiring import Wiring
from hazardreport.circuit.curved import Curved, Scaled, curved_voltage
from hazardreport.circuit.loads import Lamp, Person, lamp_current, loaded_current, loaded_voltage
from hazardreport.circuit.observations import Observation, plan
from hazardreport.circuit.unit_network import parameters_of
from hazardreport.errors import NetworkNotSolvableError
from hazardreport.severity.body import body_impedance
from hazardreport.severity.terms import Skin

LAMPS = [
    Lamp(rated_voltage=voltage, rated_power=power) for voltage in (120.0, 230.0) for power in (15.0, 25.0, 30.0, 60.0)
]
VOLTAGES = (25.0, 50.0, 75.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0, 400.0, 500.0, 700.0, 1000.0)
CALM = settings(derandomize=True, deadline=None, max_examples=60)


def person(percentile: int) -> Person:
    """Dry skin, hand to hand, by the tables of the severity room."""
    return Person(
        voltages=VOLTAGES,
        resistances=tuple(body_impedance(voltage, Skin.DRY, percentile) for voltage in VOLTAGES),
    )


@CALM
@given(st.sampled_from(LAMPS), st.integers(0, 10**6), st.integers(1, 40))
def test_many_sources_give_what_a_scalar_search_gives(lamp: Lamp, seed: int, size: int) -> None:
    rng = np.random.default_rng(seed)
    voltage = rng.uniform(0.5, 260.0, size)
    modulus = 10.0 ** rng.uniform(-6.0, 7.0, size)
    impedance = modulus * np.exp(0.5j * np.pi * rng.uniform(-1.0, 1.0, size))
    found = curved_voltage(voltage, impedance, lamp)
    for u, z, across in zip(voltage.tolist(), impedance.tolist(), found.tolist(), strict=True):

        def excess(v: float, u: float = u, z: complex = z) -> float:
            return abs(v + z * lamp_current(v, lamp.rated_voltage, lamp.rated_power)) - u

        assert across == pytest.approx(brentq(excess, 0.0, 1.001 * u, xtol=1e-15, rtol=1e-14), rel=1e-9)


@pytest.mark.parametrize(
    ("voltage", "resistance", "percentile", "text"),
    [
        (120.0, 1000.0, 5, "65.86 54.14"),
        (120.0, 1000.0, 50, "79.35 40.65"),
        (120.0, 1000.0, 95, "91.95 28.05"),
        (230.0, 1000.0, 5, "111.88 118.12"),
        (230.0, 1000.0, 50, "137.15 92.85"),
        (230.0, 1000.0, 95, "159.89 70.11"),
        (230.0, 10000.0, 5, "32.39 19.76"),
        (230.0, 10000.0, 50, "47.22 18.28"),
        (230.0, 10000.0, 95, "65.49 16.45"),
        (230.0, 18.5, 5, "224.64 289.7"),
        (230.0, 18.5, 50, "226.57 185.3"),
        (230.0, 18.5, 95, "227.77 120.5"),
    ],
)
def test_a_person_is_solved_by_the_same_root_as_a_lamp(
    printed: Callable[..., object], voltage: float, resistance: float, percentile: int, text: str
) -> None:
    """Body voltage and milliamperes; computed independently by bisection."""
    body = person(percentile)
    found = [loaded_voltage(voltage, resistance, body), 1e3 * loaded_current(voltage, resistance, body)]
    assert found == [printed(number) for number in text.split()]


def test_a_person_on_many_sources_is_proved_at_every_kink() -> None:
    body = person(50)
    across = np.array([v * (1.0 + d) for v in VOLTAGES for d in (-1e-9, 0.0, 1e-9)])
    current, _ = body.response(across)
    resistance = np.full_like(across, 700.0)
    assert curved_voltage(across + resistance * current, resistance, body) == pytest.approx(across, rel=1e-9)


@pytest.mark.parametrize("load", [*LAMPS[:2], person(5)])
def test_the_slope_that_a_load_states_is_its_own(load: Curved) -> None:
    voltage = np.geomspace(0.1, 300.0, 57)
    current, elasticity = load.response(voltage)
    step = 1e-6
    numeric = (load.response(voltage * (1.0 + step))[0] / current - 1.0) / step
    assert numeric == pytest.approx(elasticity, rel=1e-4)
    assert (elasticity > 0.0).all()


def test_a_factor_on_the_current_is_a_factor_on_nothing_else() -> None:
    voltage = np.array([1.0, 100.0])
    plain, scaled = LAMPS[0].response(voltage), Scaled(LAMPS[0], 1.25).response(voltage)
    assert scaled[0].tolist() == pytest.approx((1.25 * plain[0]).tolist())
    assert scaled[1].tolist() == plain[1].tolist()


def test_sources_of_nothing_and_without_impedance_are_exact() -> None:
    voltage = np.array([[0.0, 120.0], [120.0, 60.0]])
    impedance = np.array([[10.0, np.inf], [0.0, 0.0]])
    assert curved_voltage(voltage, impedance, LAMPS[0]).tolist() == [[0.0, 0.0], [120.0, 60.0]]


class Jumping:
    """A load whose current jumps at 20 V: there is a voltage below and one above, and none at which it is right."""

    def response(self, voltage: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        return np.where(voltage < 20.0, voltage, 1000.0), np.ones_like(voltage)


def test_a_load_without_a_root_is_refused() -> None:
    with pytest.raises(NetworkNotSolvableError):
        curved_voltage(np.array([60.0]), np.array([1.0]), Jumping())


def test_the_doubt_of_a_lamp_is_that_of_its_current_alone(wiring: Callable[..., Wiring]) -> None:
    """A lamp of 25 W, just at the end of one filling: a thousandth more current is no other filling."""
    unit = wiring()
    lamp = Lamp(rated_voltage=120.0, rated_power=25.0)
    observation = Observation(
        id="v",
        kind=Quantity.VOLTAGE,
        first=PointRole.TOUCHABLE_PART,
        second=PointRole.EARTH,
        state=State(plug=PlugPosition.REVERSED, switch=SwitchPosition.OFF),
        value=0.0,
        standard_uncertainty=1.0,
        lamp=lamp,
        load_relative_uncertainty=0.05,
    )
    parameters = parameters_of(
        unit, element_resistance=9.6, fault_position=0.25, fault_resistance=np.array([500.0, 1e3])
    )
    doubt = plan((observation,), unit).load_doubt(parameters)[:, 0]
    for resistance, found in zip((500.0 + 7.4, 1e3 + 7.4), doubt, strict=True):
        heavier, lighter = (
            float(curved_voltage(np.array([120.0]), np.array([resistance]), Scaled(lamp, factor))[0])
            for factor in (1.01, 0.99)
        )
        assert found == pytest.approx(0.05 * (lighter - heavier) / 0.02, rel=1e-2)
