"""Shares of adults: exact by inversion, and by seeded trials that must agree with it."""

import dataclasses
import itertools
import math
import tracemalloc

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.errors import SourceNotPhysicalError
from hazardreport.quantity.trace import Status
from hazardreport.severity.body import PERCENTILES, body_point
from hazardreport.severity.let_go import share_of_adults_held
from hazardreport.severity.limits import status_of
from hazardreport.severity.population import (
    BATCH,
    Contact,
    exact_shares,
    population_shares,
    population_sources,
    position,
    share_above,
    share_above_let_go,
)
from hazardreport.severity.terms import BodyPath, Skin

CONTACT = Contact(
    open_circuit_voltage=230.0,
    source_impedance=1000.0 + 0j,
    skin=Skin.DRY,
    path=BodyPath.HAND_TO_FEET,
    duration=10.0,
)
SHARES = ("above_perception", "above_let_go", "above_c1", "above_c2")
fixed = settings(derandomize=True, deadline=None)
contacts = st.builds(
    Contact,
    open_circuit_voltage=st.floats(1.0, 400.0),
    source_impedance=st.builds(complex, st.floats(0.0, 50e3), st.floats(-50e3, 50e3)),
    skin=st.sampled_from(Skin),
    path=st.sampled_from(BodyPath),
    duration=st.just(10.0),
    series_resistance=st.floats(0.0, 5e3),
)


@fixed
@given(contacts, st.sampled_from(PERCENTILES))
def test_the_tabulated_adult_stands_where_the_table_says(contact: Contact, percentile: int) -> None:
    """Those of lower impedance carry more: above the current of the 5 % adult are 5 %."""
    point = body_point(
        contact.open_circuit_voltage,
        contact.source_impedance,
        contact.skin,
        percentile,
        contact.path,
        contact.series_resistance,
    )
    assert share_above(contact, point.body_current) == pytest.approx(percentile / 100, abs=1e-3)


@fixed
@given(contacts, st.floats(1e-4, 0.5), st.floats(1e-5, 0.5))
def test_fewer_adults_are_above_a_higher_threshold(contact: Contact, current: float, more: float) -> None:
    assert share_above(contact, current + more) <= share_above(contact, current) + 1e-12


@fixed
@given(contacts, st.floats(0.0, 200.0))
def test_more_voltage_never_puts_fewer_adults_above_c2(contact: Contact, more: float) -> None:
    higher = dataclasses.replace(contact, open_circuit_voltage=contact.open_circuit_voltage + more)
    assert exact_shares(higher).above_c2 >= exact_shares(contact).above_c2 - 1e-12


def test_no_adult_carries_more_than_the_source_gives() -> None:
    assert share_above(CONTACT, 0.231) == 0.0
    capacitive = dataclasses.replace(CONTACT, source_impedance=-1j * 677e3)
    assert share_above(capacitive, 0.35e-3) == 0.0
    assert exact_shares(capacitive).above_let_go == pytest.approx(0.0, abs=1e-8)


def test_an_even_current_holds_the_share_that_the_let_go_distributions_say() -> None:
    """A source so stiff that every adult carries the same current."""
    stiff = dataclasses.replace(CONTACT, open_circuit_voltage=14e5, source_impedance=1e8 + 0j)
    assert share_above_let_go(stiff) == pytest.approx(share_of_adults_held(14e-3), abs=1e-3)


@pytest.mark.parametrize(
    ("voltage", "impedance", "path"),
    [
        (230.0, 1000.0 + 0j, BodyPath.HAND_TO_FEET),
        (120.0, 7.2 + 0j, BodyPath.HAND_TO_HAND),
        (120.0, 8e3 - 6e3j, BodyPath.HANDS_TO_FEET),
    ],
)
def test_trials_agree_with_the_exact_shares(voltage: float, impedance: complex, path: BodyPath) -> None:
    contact = dataclasses.replace(CONTACT, open_circuit_voltage=voltage, source_impedance=impedance, path=path)
    exact, drawn = exact_shares(contact), population_shares(contact, (0.0, 0.0, 0.0), seed=1, tolerance=0.003)

    assert drawn.tolerance <= 0.003
    for name in SHARES:
        assert getattr(drawn, name) == pytest.approx(getattr(exact, name), abs=0.0045)


def test_measurement_doubt_blurs_the_share() -> None:
    """The same by integrating the exact share over the voltage's distribution."""
    contact = dataclasses.replace(CONTACT, open_circuit_voltage=120.0, source_impedance=300.0 + 0j)
    nodes, weights = np.polynomial.hermite_e.hermegauss(41)
    blurred = sum(
        weight * exact_shares(dataclasses.replace(contact, open_circuit_voltage=120.0 + 8.0 * node)).above_c2
        for node, weight in zip(nodes, weights, strict=True)
    ) / math.sqrt(2 * math.pi)

    drawn = population_shares(contact, (64.0, 0.0, 0.0), seed=7, tolerance=0.003)
    assert drawn.above_c2 == pytest.approx(blurred, abs=0.0045)


def test_the_same_seed_gives_the_same_trials() -> None:
    contact = dataclasses.replace(CONTACT, open_circuit_voltage=120.0)
    first, again, other = (population_shares(contact, (4.0, 1.0, 100.0), seed=seed) for seed in (5, 5, 6))
    assert first == again
    assert first != other


def test_an_adult_beyond_the_percentiles_is_still_placed() -> None:
    places = position(np.full(3, 230.0), np.array([300.0, 1217.142857, 9000.0]), Skin.DRY)
    assert places[0] < -3
    assert places[1] == pytest.approx(0.0, abs=1e-6)
    assert places[2] > 3


def test_shares_of_the_population_rest_on_columns_from_memory() -> None:
    assert status_of(population_sources(Skin.DRY)) is Status.FROM_MEMORY


@pytest.mark.common_practice
def test_bare_mains_on_a_metal_case_puts_most_adults_above_the_fibrillation_curve() -> None:
    shares = exact_shares(dataclasses.replace(CONTACT, source_impedance=20.0 + 0j))
    assert shares.above_let_go > 0.99
    assert shares.above_c2 > 0.99


@pytest.mark.parametrize(
    ("impedance", "series", "covariance"),
    [
        (400.0 + 0j, 0.0, (36.0, -90.0, 2500.0)),
        (300.0 - 900j, 700.0, (36.0, 150.0, 2500.0)),
        (2000j, 0.0, (36.0, 0.0, 40000.0)),
        (20.0 + 0j, 300.0, (0.0, 0.0, 400.0)),
    ],
)
def test_trials_agree_with_the_exact_shares_integrated_over_the_doubt(
    impedance: complex, series: float, covariance: tuple[float, float, float]
) -> None:
    """Within five standard deviations of a million trials, and the steps of the tables behind them."""
    contact = dataclasses.replace(
        CONTACT, open_circuit_voltage=120.0, source_impedance=impedance, series_resistance=series
    )
    nodes, weights = np.polynomial.hermite_e.hermegauss(31)
    root = np.linalg.svd(np.array([[covariance[0], covariance[1]], [covariance[1], covariance[2]]]))
    expected = np.zeros(4)
    for (first, weight), (second, other) in itertools.product(zip(nodes, weights, strict=True), repeat=2):
        voltage, magnitude = root.U @ (np.sqrt(root.S) * [first, second])
        size = max(0.0, abs(impedance) + magnitude)
        at = dataclasses.replace(
            contact, open_circuit_voltage=120.0 + voltage, source_impedance=impedance / abs(impedance) * size
        )
        found = exact_shares(at)
        expected += weight * other / (2 * math.pi) * np.array([getattr(found, name) for name in SHARES])

    drawn = population_shares(contact, covariance, seed=3, fewest_trials=1_000_000)
    assert drawn.trials == 1_000_000
    assert drawn.tolerance < 0.0015
    for name, share in zip(SHARES, expected, strict=True):
        assert getattr(drawn, name) == pytest.approx(share, abs=0.003)


def test_what_no_trial_can_decide_otherwise_is_certain() -> None:
    shares = population_shares(dataclasses.replace(CONTACT, source_impedance=20.0 + 0j), (1.0, 0.0, 1.0), seed=1)
    assert (shares.above_perception, shares.trials) == (1.0, 40_000)
    little = population_shares(dataclasses.replace(CONTACT, source_impedance=1e7 + 0j), (1.0, 0.0, 1.0), seed=1)
    assert (little.above_perception, little.above_let_go, little.above_c1, little.above_c2) == (0.0, 0.0, 0.0, 0.0)


def test_a_million_trials_need_no_more_memory_than_one_batch() -> None:
    contact = dataclasses.replace(CONTACT, source_impedance=300.0 - 900j)
    population_shares(contact, (4.0, 0.0, 100.0), seed=1)
    tracemalloc.start()
    population_shares(contact, (4.0, 0.0, 100.0), seed=1, fewest_trials=1_000_000)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 16 * 8 * BATCH


@pytest.mark.parametrize(
    "changes",
    [
        {"open_circuit_voltage": -1.0},
        {"open_circuit_voltage": math.nan},
        {"source_impedance": complex(-1.0, 0.0)},
        {"source_impedance": complex(0.0, math.nan)},
        {"series_resistance": -1.0},
        {"series_resistance": math.nan},
    ],
)
def test_a_contact_that_cannot_be_is_refused(changes: dict[str, complex]) -> None:
    contact = dataclasses.replace(CONTACT, **changes)
    with pytest.raises(SourceNotPhysicalError):
        exact_shares(contact)
    with pytest.raises(SourceNotPhysicalError):
        population_shares(contact, (1.0, 0.0, 1.0), seed=1)


@pytest.mark.parametrize("covariance", [(-1.0, 0.0, 1.0), (1.0, math.nan, 1.0), (1.0, 0.0, math.inf)])
def test_a_doubt_that_cannot_be_is_refused(covariance: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="covariance"):
        population_shares(CONTACT, covariance, seed=1)


def test_a_part_that_is_not_connected_puts_nobody_above_anything() -> None:
    contact = dataclasses.replace(CONTACT, source_impedance=complex(math.inf, 0.0))
    for shares in (exact_shares(contact), population_shares(contact, (1.0, 0.0, 1.0), seed=1)):
        assert {getattr(shares, name) for name in SHARES} == {0.0}
