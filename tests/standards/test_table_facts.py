"""Row counts, statuses and values of the tables, against the sources as read and against what they must obey."""

import math

import pytest
from scipy.special import ndtri, stdtrit

from hazardreport.errors import OutsideTableError
from hazardreport.quantity.trace import Status
from hazardreport.standards.tables import all_tables, table

ROWS = {
    ("ansi-c101-1992", "leakage"): 3,
    ("as-nzs-3760", "earth-continuity"): 1,
    ("as-nzs-3760", "insulation"): 2,
    ("bs-1362", "13-a"): 5,
    ("cqc-routine-tests", "strength"): 5,
    ("dalziel-1961", "effects"): 6,
    ("dalziel-1961", "effects-dc"): 3,
    ("dalziel-lee-1968", "fibrillation"): 1,
    ("en-50106-2008", "earth-continuity"): 2,
    ("en-50522-2010", "body-factor"): 6,
    ("en-50522-2010", "c2"): 8,
    ("en-50678", "earth-continuity"): 1,
    ("fink-beaty-1978", "lamp-rerating"): 1,
    ("heating-alloys-ct", "ct"): 12,
    ("iec-479-1-1984", "table-1"): 8,
    ("iec-60269-1", "gg"): 2,
    ("iec-60269-1", "gg-16"): 3,
    ("iec-60335-1-2001", "clause-10-1"): 3,
    ("iec-60335-1-2001", "clause-13-1"): 2,
    ("iec-60335-1-2001", "clause-13-2"): 7,
    ("iec-60335-1-2001", "clause-13-3"): 8,
    ("iec-60335-1-2001", "clause-16-2"): 1,
    ("iec-60335-1-2001", "clause-22-5"): 1,
    ("iec-60335-1-2001", "clause-27-5"): 1,
    ("iec-60335-1-2001", "clause-8-1-4"): 1,
    ("iec-60335-1-2010", "clause-13-2"): 7,
    ("iec-60364-4-41", "distribution"): 2,
    ("iec-60364-4-41", "table-41-1"): 5,
    ("iec-60364-4-41", "touch-voltage"): 2,
    ("iec-60479-1-2018", "figure-20-a"): 2,
    ("iec-60479-1-2018", "figure-20-b"): 2,
    ("iec-60479-1-2018", "figure-20-c1"): 7,
    ("iec-60479-1-2018", "figure-20-c2"): 8,
    ("iec-60479-1-2018", "figure-20-c3"): 7,
    ("iec-60479-1-2018", "table-1"): 13,
    ("iec-60479-1-2018", "table-10"): 13,
    ("iec-60479-1-2018", "table-12"): 10,
    ("iec-60479-1-2018", "table-2"): 13,
    ("iec-60479-1-2018", "table-3"): 13,
    ("iec-60479-1-2018", "table-4"): 9,
    ("iec-60479-1-2018", "table-5"): 9,
    ("iec-60479-1-2018", "table-6"): 6,
    ("iec-60479-1-2018", "table-7"): 7,
    ("iec-60479-1-2018", "table-8"): 2,
    ("iec-60479-1-2018", "table-9"): 5,
    ("iec-60898-1", "instantaneous"): 3,
    ("iec-60898-1", "instantaneous-time"): 1,
    ("iec-60898-1", "time-current"): 3,
    ("iec-60990", "figure-3"): 1,
    ("iec-60990", "figure-4"): 1,
    ("iec-60990", "figure-5"): 1,
    ("iec-61008-1", "break-time"): 3,
    ("iec-61008-1", "non-operating"): 1,
    ("iec-61008-1", "type-a-pulsating"): 1,
    ("iec-61008-1", "type-s"): 3,
    ("iec-61140", "touch-current"): 2,
    ("iec-62368-1", "table-4"): 2,
    ("iec-62423", "break-time"): 3,
    ("iec-62423", "smooth-dc"): 1,
    ("ieee-80-2013", "body-current"): 2,
    ("ies-lighting-handbook", "lamp-rerating"): 2,
    ("iet-cop-5", "earth-continuity"): 2,
    ("iet-cop-5", "insulation"): 3,
    ("iet-cop-5", "leakage"): 3,
    ("jcgm-100-2008", "table-g2"): 28,
    ("jones-langmuir-1927", "tungsten"): 31,
    ("own-choices", "curve-c3"): 1,
    ("own-choices", "hot-factor"): 3,
    ("own-choices", "lamp-brightness"): 4,
    ("own-choices", "lamp-curve"): 4,
    ("own-choices", "lamp-error"): 8,
    ("own-choices", "lamp-filling"): 1,
    ("own-choices", "lamp-tolerance"): 1,
    ("own-choices", "long-duration"): 1,
    ("own-choices", "population"): 1,
    ("ul-489", "time-current"): 3,
    ("ul-943", "class-a"): 1,
    ("vde-0701-0702", "earth-continuity"): 1,
    ("vde-0701-0702", "insulation"): 4,
    ("vde-0701-0702", "leakage"): 1,
}


def test_every_table_holds_all_rows_that_were_read() -> None:
    counted = {name: len(table(*name).rows) for name in all_tables() if name in ROWS}
    assert counted == ROWS


PERCENTILES = ("percentile_5", "percentile_50", "percentile_95")
IMPEDANCES = [("iec-60479-1-2018", f"table-{number}") for number in (1, 2, 3, 4, 5, 6, 7, 8, 9, 10)]


@pytest.mark.parametrize("name", IMPEDANCES)
def test_body_impedances_are_log_normal_and_never_rise_with_voltage(name: tuple[str, str]) -> None:
    columns = [[value for _, value in table(*name).points(column)] for column in PERCENTILES]

    for low, median, high in zip(*columns, strict=True):
        assert low < median < high
        assert math.sqrt(low * high) / median == pytest.approx(1.0, abs=0.036)
    for column in columns:
        assert column == sorted(column, reverse=True)


def test_wet_skin_is_never_above_dry_skin() -> None:
    for column in PERCENTILES:
        dry, wet, salt = (dict(table("iec-60479-1-2018", f"table-{n}").points(column)) for n in (1, 2, 3))
        assert all(salt[at] <= wet[at] <= dry[at] for at in dry)


@pytest.mark.parametrize(
    ("name", "column", "row", "status"),
    [
        (("iec-60479-1-2018", "table-1"), "percentile_50", "100", Status.CONFIRMED),
        (("iec-60479-1-2018", "table-1"), "percentile_5", "100", Status.FROM_MEMORY),
        (("iec-60479-1-2018", "table-1"), "percentile_5", "25", Status.CONFIRMED),
        (("iec-60479-1-2018", "table-2"), "percentile_50", "100", Status.FROM_MEMORY),
        (("iec-60479-1-2018", "table-3"), "percentile_50", "25", Status.FROM_MEMORY),
        (("iec-60479-1-2018", "table-12"), "factor", "hand to hand", Status.CONFIRMED),
        (("en-50522-2010", "body-factor"), "factor", "hand to both feet", Status.CONFIRMED),
        (("en-50522-2010", "body-factor"), "factor", "hand to one foot", Status.COMMON_PRACTICE),
        (("en-50522-2010", "body-factor"), "factor", "hand to trunk", Status.FROM_MEMORY),
        (("iec-60479-1-2018", "figure-20-c1"), "current", "0.5", Status.FROM_MEMORY),
        (("iec-60479-1-2018", "figure-20-c1"), "current", "10", Status.CONFIRMED),
        (("iec-60479-1-2018", "figure-20-c2"), "current", "10", Status.CONFIRMED),
        (("iec-60479-1-2018", "figure-20-c3"), "current", "0.1", Status.FROM_MEMORY),
        (("iec-60335-1-2001", "clause-13-2"), "limit", "II", Status.CONFIRMED),
        (("iec-60335-1-2010", "clause-13-2"), "limit_peak", "II", Status.FROM_MEMORY),
        (("iec-60990", "figure-4"), "C_1", "1500", Status.CONFIRMED),
        (("iec-60990", "figure-5"), "C_2", "1500", Status.FROM_MEMORY),
        (("iec-62368-1", "table-4"), "current_ac", "ES1", Status.CONFIRMED),
        (("iec-62368-1", "table-4"), "current_dc", "ES1", Status.FROM_MEMORY),
        (("own-choices", "hot-factor"), "factor", "nickel-chromium", Status.CHOICE),
        (("own-choices", "lamp-brightness"), "to", "dark", Status.COMMON_PRACTICE),
    ],
)
def test_each_cell_carries_the_status_of_what_was_read(
    name: tuple[str, str], column: str, row: str, status: Status
) -> None:
    assert table(*name).status(column, row) is status


@pytest.mark.published("jcgm-100-2008", "Table G.2")
@pytest.mark.parametrize(("nu", "factor"), [(16, "2.17"), (math.inf, "2.000")])
def test_student_factor_as_printed(printed, nu: float, factor: str) -> None:
    assert table("jcgm-100-2008", "table-g2").look_up("t_95_45", degrees_of_freedom=nu) == printed(factor)


def test_student_table_is_the_distribution_rounded(printed) -> None:
    """Computed independently (scipy's inverse distribution)."""
    held = table("jcgm-100-2008", "table-g2")
    for row in held.rows:
        for (column, _), cell in zip(held.values, row[1:], strict=True):
            level = float(column.removeprefix("t_").replace("_", ".")) / 100
            nu = float(row[0])
            exact = ndtri((1 + level) / 2) if math.isinf(nu) else stdtrit(nu, (1 + level) / 2)
            assert float(exact) == printed(cell)


def test_degrees_of_freedom_are_truncated_never_rounded_up() -> None:
    held = table("jcgm-100-2008", "table-g2")
    assert held.look_up("t_95_45", degrees_of_freedom=16.9) == 2.17
    assert held.look_up("t_95_45", degrees_of_freedom=1e6) == 2.025
    with pytest.raises(OutsideTableError):
        held.look_up("t_95_45", degrees_of_freedom=0.9)


@pytest.mark.published("iec-60364-4-41", "Table 41.1")
@pytest.mark.parametrize(
    ("voltage", "tn", "tt"),
    [(120, "0.8", "0.3"), (121, "0.4", "0.2"), (230, "0.4", "0.2"), (400, "0.2", "0.07"), (600, "0.1", "0.04")],
)
def test_disconnection_times_as_printed(printed, voltage: float, tn: str, tt: str) -> None:
    held = table("iec-60364-4-41", "table-41-1")
    assert held.look_up("tn_ac", nominal_voltage=voltage) == printed(tn)
    assert held.look_up("tt_ac", nominal_voltage=voltage) == printed(tt)


def test_nothing_is_required_up_to_fifty_volts_nor_for_direct_current_up_to_120() -> None:
    held = table("iec-60364-4-41", "table-41-1")
    for column, voltage in (("tn_ac", 50.0), ("tn_ac", 24.0), ("tt_dc", 120.0)):
        with pytest.raises(OutsideTableError):
            held.look_up(column, nominal_voltage=voltage)


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("rated_voltage", "rated_power", "low", "high"),
    [(120.0, 1500.0, 9.0, 10.0), (230.0, 2000.0, 25.0, 28.0), (230.0, 3000.0, 16.5, 18.5)],
)
def test_a_heating_element_is_a_few_percent_lower_cold_than_hot(
    rated_voltage: float, rated_power: float, low: float, high: float
) -> None:
    factor = table("own-choices", "hot-factor").look_up("factor", material="nickel-chromium")
    assert low <= rated_voltage**2 / rated_power / factor <= high


def test_the_chosen_hot_factor_covers_the_tabulated_alloy() -> None:
    chosen = table("own-choices", "hot-factor")
    factor = chosen.look_up("factor", material="nickel-chromium")
    doubt = 2 * chosen.look_up("standard_uncertainty", material="nickel-chromium")
    alloy = table("heating-alloys-ct", "ct")
    for temperature in (400.0, 650.0, 1000.0):
        assert abs(alloy.look_up("nicr_80_20", temperature=temperature) - factor) <= doubt


def test_an_alloy_is_not_guessed_beyond_its_temperatures() -> None:
    alloy = table("heating-alloys-ct", "ct")
    for column, temperature in (("nicr_80_20", 1200.0), ("fecral_13_4", 1100.0)):
        with pytest.raises(OutsideTableError):
            alloy.look_up(column, temperature=temperature)


@pytest.mark.parametrize(
    ("temperature", "ratio"),
    [(2200, "11.24"), (2450, "12.77"), (2650, "14.03"), (2700, "14.34"), (2800, "14.99"), (3000, "16.29")],
)
def test_hot_over_cold_resistance_of_tungsten(printed, temperature: float, ratio: str) -> None:
    """Computed independently (numpy) from the same table."""
    held = table("jones-langmuir-1927", "tungsten")
    hot, cold = (held.look_up("resistivity", temperature=at) for at in (temperature, 300.0))
    assert hot / cold == printed(ratio)
