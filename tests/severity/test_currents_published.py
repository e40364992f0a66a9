"""Published worked examples for hazardreport.severity.currents, with body resistances as the sources state them."""

import math

import pytest

from hazardreport.severity.body import heart_current_factor
from hazardreport.severity.currents import available_fault_current, dissipated_power, load_current
from hazardreport.severity.terms import BodyPath
from hazardreport.severity.zones import zone
from hazardreport.standards.tables import table


@pytest.mark.published("openstax-college-physics", "chapter 20, problems on shocks")
@pytest.mark.parametrize(
    ("resistance", "milliampere"),
    [(300e3, "0.400"), (4500.0, "26.7"), (200e3, "0.6"), (10.0e3, "12")],
)
def test_current_through_a_person_at_120_volts(printed, resistance: float, milliampere: str) -> None:
    assert load_current(120.0, 0.0, resistance) * 1e3 == printed(milliampere)


@pytest.mark.published("openstax-college-physics", "chapter 20, smallest resistance for an unfelt current")
def test_resistance_below_which_120_volts_are_felt(printed) -> None:
    assert load_current(120.0, 0.0, 1.20e5) * 1e3 == printed("1.00")


@pytest.mark.published("openstax-college-physics", "chapter 20, short circuits")
@pytest.mark.parametrize(
    ("voltage", "resistance", "ampere", "kilowatt"),
    [(240.0, 0.250, "960", "230"), (120.0, 0.100, "1200", "144")],
)
def test_current_and_power_of_a_short_circuit(
    printed, voltage: float, resistance: float, ampere: str, kilowatt: str
) -> None:
    current = available_fault_current(voltage, resistance)

    assert current == printed(ampere)
    assert dissipated_power(current, resistance) * 1e-3 == printed(kilowatt)


@pytest.mark.published("openstax-college-physics", "chapter 20, heat in a cord")
@pytest.mark.parametrize(("current", "resistance", "watt"), [(10.0, 2.00, "200"), (100.0, 0.100, "1000")])
def test_heat_in_a_worn_cord(printed, current: float, resistance: float, watt: str) -> None:
    assert dissipated_power(current, resistance) == printed(watt)


@pytest.mark.published("openstax-college-physics", "chapter 20, temperature rise of a short circuit")
def test_temperature_rise_of_two_grams_in_a_short_circuit(printed) -> None:
    heat = dissipated_power(available_fault_current(120.0, 0.500), 0.500) * 0.0500
    joule_per_gram_kelvin = 0.200 * 4.186

    assert heat / (2.00 * joule_per_gram_kelvin) == printed("860")


@pytest.mark.published("osha-focus-four", "120 V through 1000 ohm, hand to hand")
def test_current_hand_to_hand_through_1000_ohm(printed) -> None:
    assert load_current(120.0, 0.0, 1000.0) * 1e3 == printed("120")


@pytest.mark.published("ieee-80-2013", "clause on body resistance, quoted experiment")
@pytest.mark.parametrize(("voltage", "resistance"), [(21.0, 2330.0), (10.2, 1130.0)])
def test_current_of_the_quoted_let_go_experiment(printed, voltage: float, resistance: float) -> None:
    assert load_current(voltage, 0.0, resistance) * 1e3 == printed("9.0")


@pytest.mark.published("iec-479-1-1984", "Table 1, impedance at 220 V used at 230 V")
@pytest.mark.parametrize(("column", "milliampere"), [("percentile_5", "230"), ("percentile_95", "108")])
def test_current_by_the_superseded_table(printed, column: str, milliampere: str) -> None:
    impedance = table("iec-479-1-1984", "table-1").look_up(column, touch_voltage=220.0)
    assert load_current(230.0, 0.0, impedance) * 1e3 == printed(milliampere)


@pytest.mark.published("iec-61347-1", "34 V peak through 50 kilohm")
def test_touch_current_of_lamp_controlgear(printed) -> None:
    peak = load_current(34.0, 0.0, 50e3) * 1e3
    assert peak == printed("0.68")
    assert peak / math.sqrt(2) == printed("0.48")


@pytest.mark.published("openstax-college-physics", "chapter 20, problems on shocks, earlier printing, from memory")
@pytest.mark.parametrize(("voltage", "milliampere"), [(120.0, "30.0"), (400.0, "100")])
def test_current_through_4000_ohm(printed, voltage: float, milliampere: str) -> None:
    """The radio in the bath: 100 mA, where fibrillation is to be expected, need 400 V."""
    assert load_current(voltage, 0.0, 4000.0) * 1e3 == printed(milliampere)


@pytest.mark.published("niosh-electrical-safety", "dry and wet skin at 110 V; the currents from memory")
@pytest.mark.parametrize(("resistance", "milliampere"), [(100e3, "1.1"), (1000.0, "110")])
def test_current_through_dry_and_wet_skin(printed, resistance: float, milliampere: str) -> None:
    assert load_current(110.0, 0.0, resistance) * 1e3 == printed(milliampere)


@pytest.mark.published("myqacorner-low-current", "230 V and 12 V through a person")
@pytest.mark.parametrize(
    ("voltage", "resistance", "milliampere"), [(230.0, 1000.0, "230"), (12.0, 1000.0, "12"), (230.0, 50e3, "4.6")]
)
def test_current_through_a_person_at_230_volts(printed, voltage: float, resistance: float, milliampere: str) -> None:
    assert load_current(voltage, 0.0, resistance) * 1e3 == printed(milliampere)


@pytest.mark.published("iec-60479-1-2018", "example of the text, from memory")
def test_hand_to_hand_current_referred_to_the_heart(printed) -> None:
    factor = heart_current_factor(BodyPath.HAND_TO_HAND)
    assert 225.0 * factor == printed("90")
    assert zone(0.225 * factor, 0.225, 1.0) is zone(0.090, 0.225, 1.0)


@pytest.mark.published("ieee-80-2013", "Annex B.1, tolerable touch and step voltage")
def test_tolerable_voltages_of_a_substation(printed) -> None:
    """By the printed factor of the surface layer, 0.74; the exact one, 0.742857, gives 840.55 and 2696.10 V."""
    held = table("ieee-80-2013", "body-current")
    k, body = (held.look_up(column, body_weight=70.0) for column in ("k", "body_resistance"))
    current = k / math.sqrt(0.5)
    soil, surface, depth = 400.0, 2500.0, 0.102
    assert 1 - 0.09 * (1 - soil / surface) / (2 * depth + 0.09) == printed("0.74")
    assert (body + 1.5 * 0.74 * surface) * current == printed("838.2")
    assert (body + 6.0 * 0.74 * surface) * current == printed("2686.6")


@pytest.mark.parametrize(
    ("duration", "of_50_kg", "of_70_kg"),
    [
        (0.03, "669.7", "906.4"),
        (0.1, "366.8", "496.5"),
        (0.2, "259.4", "351.1"),
        (0.5, "164.0", "222.0"),
        (1.0, "116.0", "157.0"),
        (2.0, "82.0", "111.0"),
        (3.0, "67.0", "90.6"),
        (5.0, "51.9", "70.2"),
    ],
)
def test_currents_by_the_square_root_of_time(printed, duration: float, of_50_kg: str, of_70_kg: str) -> None:
    """Computed independently (numpy). Both documents state the same for 50 kg."""
    held, lee = table("ieee-80-2013", "body-current"), table("dalziel-lee-1968", "fibrillation").look_up("k")
    light, heavy = (1e3 * held.look_up("k", body_weight=weight) for weight in (50.0, 70.0))
    assert lee == pytest.approx(light)
    assert light / math.sqrt(duration) == printed(of_50_kg)
    assert heavy / math.sqrt(duration) == printed(of_70_kg)


def test_an_ideal_source_has_no_bound_and_a_dead_one_no_current() -> None:
    assert available_fault_current(230.0, 0.0) == math.inf
    assert available_fault_current(0.0, 0.0) == 0.0
