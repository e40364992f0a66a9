"""Tables against what the sources print, typed a second time: cells read as confirmed, every one of them confirmed."""

import math

import pytest

from hazardreport.quantity.trace import Status
from hazardreport.standards.tables import table

Cells = dict[str | float, tuple[str, ...]]


def agrees(printed, name: tuple[str, str], columns: tuple[str, ...], cells: Cells) -> bool:
    """True if each cell has the printed value and the status of what was read."""
    held = table(*name)
    argument = held.arguments[0][0]
    for at, texts in cells.items():
        for column, text in zip(columns, texts, strict=True):
            found = held.entry(column, **{argument: at})
            assert found.value == printed(text), (at, column)
            assert found.source.status is Status.CONFIRMED, (at, column)
    return True


@pytest.mark.published("dalziel-1961", "table of effects")
def test_effects_on_men_and_women(printed) -> None:
    assert agrees(
        printed,
        ("dalziel-1961", "effects"),
        ("men", "women"),
        {
            "slight sensation on hand": ("0.4", "0.3"),
            "perception, median": ("1.1", "0.7"),
            "shock, no loss of control": ("1.8", "1.2"),
            "let-go, 0.5 % lose control": ("9", "6"),
            "let-go, median": ("16", "10.5"),
            "let-go, 99.5 % lose control": ("23", "15"),
        },
    )


@pytest.mark.published("dalziel-1961", "table of effects, direct current")
def test_effects_of_direct_current(printed) -> None:
    assert agrees(
        printed,
        ("dalziel-1961", "effects-dc"),
        ("men", "women"),
        {
            "perception, median": ("5.2", "3.5"),
            "let-go, 0.5 % lose control": ("62", "41"),
            "let-go, median": ("76", "51"),
        },
    )


@pytest.mark.published("iec-60479-1-2018", "Table 1, 50 % column, as quoted by EN 50522")
def test_median_impedance_with_dry_skin(printed) -> None:
    medians = "25 3250 50 2500 75 2000 100 1725 125 1550 150 1400 175 1325 200 1275 225 1225 400 950 500 850 700 775"
    voltages, impedances = medians.split()[::2], medians.split()[1::2]
    cells: Cells = {float(at): (text,) for at, text in zip(voltages, impedances, strict=True)}
    assert agrees(printed, ("iec-60479-1-2018", "table-1"), ("percentile_50",), {**cells, 1000.0: ("775",)})


@pytest.mark.published("iec-60479-1-2018", "Table 1, row of 25 V")
def test_impedance_with_dry_skin_at_25_volts(printed) -> None:
    columns = ("percentile_5", "percentile_50", "percentile_95")
    assert agrees(printed, ("iec-60479-1-2018", "table-1"), columns, {25.0: ("1750", "3250", "6100")})


@pytest.mark.published("iec-479-1-1984", "Table 1")
def test_superseded_impedances(printed) -> None:
    columns = ("percentile_5", "percentile_50", "percentile_95")
    rows: Cells = {
        25.0: ("1750", "3250", "6100"),
        50.0: ("1450", "2625", "4375"),
        75.0: ("1250", "2200", "3500"),
        100.0: ("1200", "1875", "3200"),
        125.0: ("1125", "1625", "2875"),
        220.0: ("1000", "1350", "2125"),
        700.0: ("750", "1100", "1550"),
        1000.0: ("700", "1050", "1500"),
    }
    assert agrees(printed, ("iec-479-1-1984", "table-1"), columns, rows)


@pytest.mark.published("iec-60479-1-2018", "Table 12")
def test_heart_current_factors(printed) -> None:
    factors: Cells = {
        "left hand to feet": ("1.0",),
        "both hands to both feet": ("1.0",),
        "hand to hand": ("0.4",),
        "right hand to feet": ("0.8",),
        "back to right hand": ("0.3",),
        "back to left hand": ("0.7",),
        "chest to right hand": ("1.3",),
        "chest to left hand": ("1.5",),
        "seat to hands": ("0.7",),
        "foot to foot": ("0.04",),
    }
    assert len(factors) == len(table("iec-60479-1-2018", "table-12").rows)
    assert agrees(printed, ("iec-60479-1-2018", "table-12"), ("factor",), factors)


@pytest.mark.published("iec-60364-4-41", "Table 41.1, all columns")
def test_disconnection_times_of_both_systems_and_currents(printed) -> None:
    columns = ("tn_ac", "tt_ac")
    alternating: Cells = {
        120.0: ("0.8", "0.3"),
        230.0: ("0.4", "0.2"),
        400.0: ("0.2", "0.07"),
        math.inf: ("0.1", "0.04"),
    }
    direct: Cells = {230.0: ("5", "0.4"), 400.0: ("0.4", "0.2"), math.inf: ("0.1", "0.1")}
    assert agrees(printed, ("iec-60364-4-41", "table-41-1"), columns, alternating)
    assert agrees(printed, ("iec-60364-4-41", "table-41-1"), ("tn_dc", "tt_dc"), direct)


@pytest.mark.published("iec-60364-4-41", "conventional touch voltage limits")
def test_conventional_touch_voltages(printed) -> None:
    rows: Cells = {"normal": ("50", "120"), "wet, children or livestock": ("25", "60")}
    assert agrees(printed, ("iec-60364-4-41", "touch-voltage"), ("voltage_ac", "voltage_dc"), rows)


@pytest.mark.published("iec-61140", "steady touch current")
def test_steady_touch_currents(printed) -> None:
    rows: Cells = {"perception": ("0.5", "2"), "pain or startle": ("3.5", "10")}
    assert agrees(printed, ("iec-61140", "touch-current"), ("current_ac", "current_dc"), rows)


@pytest.mark.published("iec-60898-1", "instantaneous tripping, multiples of the rated current")
def test_instantaneous_tripping(printed) -> None:
    rows: Cells = {"B": ("3", "5"), "C": ("5", "10"), "D": ("10", "20")}
    assert agrees(printed, ("iec-60898-1", "instantaneous"), ("not_below", "always_above"), rows)


@pytest.mark.published("heating-alloys-ct", "hot over cold resistance")
def test_alloys_hot_over_cold(printed) -> None:
    columns = {
        "nicr_80_20": "1.000 1.006 1.012 1.018 1.025 1.026 1.018 1.010 1.008 1.010 1.014 1.021",
        "nicr_70_30": "1.000 1.007 1.016 1.028 1.038 1.044 1.036 1.030 1.028 1.029 1.033 1.037",
        "nicr_60_15": "1.000 1.011 1.024 1.038 1.052 1.064 1.069 1.073 1.078 1.088 1.095 1.109",
        "nicr_35_20": "1.000 1.029 1.061 1.090 1.115 1.139 1.157 1.173 1.188 1.208 1.219 1.228",
        "fecral_25_5": "1.000 1.002 1.005 1.008 1.013 1.021 1.030 1.038 1.040 1.042 1.044 1.046",
        "fecral_13_4": "1.000 1.005 1.014 1.028 1.044 1.064 1.090 1.120 1.132 1.142 1.150",
    }
    temperatures = [20.0, *(100.0 * step for step in range(1, 12))]
    for column, texts in columns.items():
        cells: Cells = {at: (text,) for at, text in zip(temperatures, texts.split(), strict=False)}
        assert agrees(printed, ("heating-alloys-ct", "ct"), (column,), cells)


@pytest.mark.published("vde-0701-0702", "insulation, leakage and protective conductor")
def test_limits_in_service_in_germany(printed) -> None:
    insulation: Cells = {"I": ("1e6",), "I, with heating elements": ("0.3e6",), "II": ("2e6",), "III": ("0.25e6",)}
    assert agrees(printed, ("vde-0701-0702", "insulation"), ("resistance",), insulation)
    for name, expected in (("leakage", "0.5 3.5 1 3.5 10"), ("earth-continuity", "0.3 5 0.1 7.5 1")):
        held = table("vde-0701-0702", name)
        found = [held.look_up(column) for column, _ in held.values]
        assert found == [printed(text) for text in expected.split()]


@pytest.mark.published("iec-60335-1-2001", "22.5, 16.2 and 8.1.4")
def test_single_values_of_the_appliance_standard(printed) -> None:
    for name, column, text in (
        ("clause-22-5", "time", "1"),
        ("clause-22-5", "limit", "34"),
        ("clause-16-2", "times_rated_voltage", "1.06"),
        ("clause-16-2", "factor_with_filter", "2"),
        ("clause-8-1-4", "voltage_ac", "42.4"),
        ("clause-8-1-4", "voltage_dc", "42.4"),
        ("clause-8-1-4", "current_ac", "0.7"),
        ("clause-8-1-4", "current_dc", "2"),
    ):
        assert table("iec-60335-1-2001", name).look_up(column) == printed(text)


TUNGSTEN = """
300 5.65 .024 1000 24.93 .105 1800 50.05 .236 2600 77.49 .309
400 8.06 .034 1100 27.94 .121 1900 53.35 .248 2700 81.04 .315
500 10.56 .042 1200 30.98 .138 2000 56.67 .259 2800 84.70 .321
600 13.23 .052 1300 34.08 .156 2100 60.06 .269 2900 88.33 .329
700 16.09 .062 1400 37.19 .174 2200 63.48 .278 3000 92.04 .334
800 19.00 .074 1500 40.36 .192 2300 66.91 .286 3200 99.54 .344
900 21.94 .089 1600 43.55 .207 2400 70.39 .294 3400 107.20 .354
1700 46.78 .222 2500 73.91 .301 3600 115.00 .364
"""


@pytest.mark.published("jones-langmuir-1927", "resistivity and total emissivity of tungsten")
def test_tungsten(printed) -> None:
    held, words = table("jones-langmuir-1927", "tungsten"), TUNGSTEN.split()
    cells: Cells = {float(words[at]): (words[at + 1], words[at + 2]) for at in range(0, len(words), 3)}
    assert len(cells) == len(held.rows)
    assert agrees(printed, ("jones-langmuir-1927", "tungsten"), ("resistivity", "emissivity"), cells)


@pytest.mark.published("ansi-c101-1992", "leakage of two- and three-wire products")
def test_leakage_in_the_united_states(printed) -> None:
    rows: Cells = {"two-wire cord": ("0.5",), "three-wire cord, portable": ("0.5",)}
    assert agrees(printed, ("ansi-c101-1992", "leakage"), ("limit",), rows)


@pytest.mark.published("en-50106-2008", "routine earth continuity")
def test_earth_continuity_of_each_unit_made(printed) -> None:
    columns = ("resistance", "current", "open_circuit_voltage")
    rows: Cells = {"with": ("0.2", "10", "12"), "without": ("0.1", "10", "12")}
    assert agrees(printed, ("en-50106-2008", "earth-continuity"), columns, rows)


@pytest.mark.published("iet-cop-5", "earth continuity and insulation in service")
def test_limits_in_service_in_the_united_kingdom(printed) -> None:
    assert agrees(printed, ("iet-cop-5", "insulation"), ("resistance",), {"I": ("1e6",), "II": ("2e6",)})
    rows: Cells = {"usual": ("0.1",), "older equipment": ("0.5",)}
    assert agrees(printed, ("iet-cop-5", "earth-continuity"), ("resistance",), rows)


def test_the_comparison_sees_a_wrong_cell(printed) -> None:
    with pytest.raises(AssertionError, match="B"):
        agrees(printed, ("iec-60898-1", "instantaneous"), ("not_below",), {"B": ("4",)})
    with pytest.raises(AssertionError, match="percentile_5"):
        agrees(printed, ("iec-60479-1-2018", "table-1"), ("percentile_5",), {100.0: ("990",)})
