"""What must hold of every contact: worse circumstances never give a lower word, a lower zone or fewer adults."""

import dataclasses
import math

from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.severity.body import PERCENTILES, body_point, heart_current_factor
from hazardreport.severity.grade import ORDER, GradedExposure, grade
from hazardreport.severity.population import Contact, exact_shares
from hazardreport.severity.terms import BodyPath, SignalWord, Skin, Zone
from hazardreport.severity.zones import zone

SHARES = ("above_perception", "above_let_go", "above_c1", "above_c2")
ROUNDING = 1e-9
fixed = settings(derandomize=True, deadline=None)
many = settings(derandomize=True, deadline=None, max_examples=300)
durations = st.floats(0.0, 100.0)
contacts = st.builds(
    Contact,
    open_circuit_voltage=st.floats(0.0, 400.0),
    source_impedance=st.builds(complex, st.floats(0.0, 50e3), st.floats(-50e3, 50e3)),
    skin=st.sampled_from(Skin),
    path=st.sampled_from(BodyPath),
    duration=durations,
    series_resistance=st.floats(0.0, 5e3),
)


def no_fewer(milder: Contact, worse: Contact) -> bool:
    before, after = exact_shares(milder), exact_shares(worse)
    return all(getattr(after, name) >= getattr(before, name) - ROUNDING for name in SHARES)


def word_of(contact: Contact, percentile: int) -> SignalWord:
    point = body_point(
        contact.open_circuit_voltage,
        contact.source_impedance,
        contact.skin,
        percentile,
        contact.path,
        contact.series_resistance,
    )
    exposure = GradedExposure(
        id="i",
        current=point.body_current,
        heart_factor=heart_current_factor(contact.path),
        duration=contact.duration,
        percentile=percentile,
        established=True,
    )
    return grade([exposure])[0]


def zone_of(contact: Contact) -> Zone:
    point = body_point(
        contact.open_circuit_voltage,
        contact.source_impedance,
        contact.skin,
        50,
        contact.path,
        contact.series_resistance,
    )
    return zone(heart_current_factor(contact.path) * point.body_current, point.body_current, contact.duration)


@many
@given(contacts, st.floats(0.0, 200.0))
def test_more_voltage_never_puts_fewer_adults_above_anything(contact: Contact, more: float) -> None:
    assert no_fewer(contact, dataclasses.replace(contact, open_circuit_voltage=contact.open_circuit_voltage + more))


@many
@given(contacts, st.floats(0.0, 50e3), st.floats(0.0, 5e3))
def test_more_resistance_never_puts_more_adults_above_anything(contact: Contact, source: float, floor: float) -> None:
    higher = dataclasses.replace(
        contact,
        source_impedance=contact.source_impedance + source,
        series_resistance=contact.series_resistance + floor,
    )
    assert no_fewer(higher, contact)


@many
@given(contacts, st.floats(1.0, 10.0))
def test_more_reactance_of_one_sign_never_puts_more_adults_above_anything(contact: Contact, times: float) -> None:
    impedance = contact.source_impedance
    higher = dataclasses.replace(contact, source_impedance=complex(impedance.real, times * impedance.imag))
    assert no_fewer(higher, contact)


@many
@given(contacts, durations)
def test_more_time_never_puts_fewer_adults_above_anything(contact: Contact, more: float) -> None:
    assert no_fewer(contact, dataclasses.replace(contact, duration=contact.duration + more))


@fixed
@given(contacts)
def test_shares_are_shares_and_c2_is_the_rarer_of_the_two_curves(contact: Contact) -> None:
    shares = exact_shares(contact)
    assert all(-ROUNDING <= getattr(shares, name) <= 1 + ROUNDING for name in SHARES)
    assert shares.above_c2 <= shares.above_c1 + ROUNDING
    assert not any(math.isnan(getattr(shares, name)) for name in SHARES)


@many
@given(contacts, st.floats(0.0, 200.0), st.floats(0.0, 1.0), durations)
def test_no_zone_falls_with_voltage_time_and_a_better_connection(
    contact: Contact, more: float, share: float, longer: float
) -> None:
    worse = dataclasses.replace(
        contact,
        open_circuit_voltage=contact.open_circuit_voltage + more,
        source_impedance=share * contact.source_impedance,
        series_resistance=share * contact.series_resistance,
        duration=contact.duration + longer,
    )
    order = list(Zone)
    assert order.index(zone_of(worse)) >= order.index(zone_of(contact))


@many
@given(contacts, st.sampled_from(PERCENTILES), st.floats(0.0, 200.0), st.floats(0.0, 1.0), durations)
def test_no_word_falls_with_voltage_time_and_a_better_connection(
    contact: Contact, percentile: int, more: float, share: float, longer: float
) -> None:
    worse = dataclasses.replace(
        contact,
        open_circuit_voltage=contact.open_circuit_voltage + more,
        source_impedance=share * contact.source_impedance,
        series_resistance=share * contact.series_resistance,
        duration=contact.duration + longer,
    )
    before, after = word_of(contact, percentile), word_of(worse, percentile)
    assert ORDER.index(after) >= ORDER.index(before)


def test_the_laws_would_see_a_milder_contact() -> None:
    bad = Contact(
        open_circuit_voltage=230.0,
        source_impedance=100.0 + 0j,
        skin=Skin.DRY,
        path=BodyPath.HAND_TO_FEET,
        duration=10.0,
    )
    mild = dataclasses.replace(bad, source_impedance=20e3 + 0j)
    assert not no_fewer(bad, mild)
    assert ORDER.index(word_of(mild, 50)) < ORDER.index(word_of(bad, 50))
    assert zone_of(mild) is not zone_of(bad)
