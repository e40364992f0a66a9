"""Look-ups go on between rows only as the table says, refuse outside, and carry the status of the cells they use."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.errors import OutsideTableError, UnknownReferenceError, UnknownTableError
from hazardreport.quantity.trace import Status
from hazardreport.standards.editions import default_edition, subjects
from hazardreport.standards.references import reference
from hazardreport.standards.tables import Between, Outside, Table, all_tables, table, table_from

DRY = ("iec-60479-1-2018", "table-1")
C2 = ("iec-60479-1-2018", "figure-20-c2")


def planted(between: str, outside: str, rows: str = '["1", "10"], ["2", "20"], ["4", "80"]') -> Table:
    return table_from(f"""
[citation]
key = "own-choices"
table = "1"
edition = "1"
status = "confirmed"
source = "planted"
[table]
name = "planted"
arguments = {{ x = "s" }}
values = {{ y = "A" }}
between = "{between}"
between_status = "choice"
outside = "{outside}"
outside_status = "from memory"
rows = [{rows}]
""")


@pytest.mark.parametrize(
    ("between", "expected"),
    [("linear", 50.0), ("log-log", 45.0), ("next lower row", 20.0), ("next higher row", 80.0)],
)
def test_between_rows_the_table_decides(between: str, expected: float) -> None:
    entry = planted(between, "not allowed").entry("y", x=3.0)

    assert entry.value == pytest.approx(expected, rel=0.001)
    assert entry.source.status is Status.CHOICE


def test_on_a_row_the_printed_value_stands_and_no_rule_is_used() -> None:
    entry = planted("log-log", "clamp").entry("y", x=2.0)

    assert entry.value == 20.0
    assert entry.printed == ("20",)
    assert entry.source.status is Status.CONFIRMED


def test_between_rows_is_refused_where_nothing_is_said() -> None:
    with pytest.raises(OutsideTableError):
        planted("not allowed", "clamp").look_up("y", x=3.0)


@pytest.mark.parametrize(
    ("outside", "below", "above"),
    [("not allowed", None, None), ("clamp", 10.0, 80.0), ("clamp below", 10.0, None), ("clamp above", None, 80.0)],
)
def test_outside_the_rows_it_refuses_unless_the_table_holds_its_last_value(
    outside: str, below: float | None, above: float | None
) -> None:
    held = planted("linear", outside)
    for at, expected in ((0.5, below), (5.0, above)):
        if expected is None:
            with pytest.raises(OutsideTableError) as caught:
                held.look_up("y", x=at)
            assert caught.value.argument == "x"
            assert caught.value.allowed == "1…4 s"
        else:
            assert held.look_up("y", x=at) == expected
            assert held.source("y", x=at).status is Status.FROM_MEMORY


def test_not_a_number_is_refused_even_where_the_table_clamps() -> None:
    with pytest.raises(OutsideTableError):
        planted("linear", "clamp").look_up("y", x=math.nan)


def test_an_empty_cell_is_refused() -> None:
    with pytest.raises(OutsideTableError):
        planted("not allowed", "not allowed", '["1", "10"], ["2", ""]').look_up("y", x=2.0)


def test_a_text_argument_that_is_not_printed_is_refused() -> None:
    with pytest.raises(OutsideTableError) as caught:
        table("iec-60479-1-2018", "table-12").look_up("factor", path="ear to ear")
    assert "foot to foot" in caught.value.allowed


def test_an_unknown_column_or_argument_is_a_defect_of_the_caller() -> None:
    with pytest.raises(KeyError):
        table(*DRY).look_up("percentile_20", touch_voltage=100.0)
    with pytest.raises(KeyError):
        table(*DRY).look_up("percentile_50", voltage=100.0)


@pytest.mark.parametrize("name", [("iec-60479-1-2018", "table-99"), ("no-standard", "table-1"), ("..", "editions")])
def test_an_unknown_table_is_refused(name: tuple[str, str]) -> None:
    with pytest.raises(UnknownTableError):
        table(*name)


def test_an_unknown_reference_and_an_unknown_subject_are_refused() -> None:
    with pytest.raises(UnknownReferenceError):
        reference("nothing")
    with pytest.raises(UnknownTableError):
        default_edition("nothing")


@pytest.mark.parametrize(
    ("percentile", "voltage", "status"),
    [
        (50, 100.0, Status.CONFIRMED),
        (50, 117.3, Status.CONFIRMED),
        (5, 117.3, Status.FROM_MEMORY),
        (95, 25.0, Status.CONFIRMED),
        (95, 30.0, Status.FROM_MEMORY),
        (50, 10.0, Status.CHOICE),
    ],
)
def test_the_status_of_a_look_up_is_that_of_the_cells_it_uses(percentile: int, voltage: float, status: Status) -> None:
    source = table(*DRY).source(f"percentile_{percentile}", touch_voltage=voltage)

    assert (source.key, source.place, source.status) == ("iec-60479-1-2018", "Table 1", status)


def test_a_column_answers_for_its_least_certain_cell_and_the_table_for_its_citation() -> None:
    assert table(*DRY).source("percentile_50").status is Status.CONFIRMED
    assert table(*DRY).source("percentile_95").status is Status.FROM_MEMORY
    assert table(*DRY).source().status is Status.FROM_MEMORY
    assert table(*C2).source().status is Status.CONFIRMED


@settings(derandomize=True, deadline=None)
@given(st.sampled_from(all_tables()), st.data())
def test_a_look_up_lies_between_the_printed_cells_it_names(name: tuple[str, str], data: st.DataObject) -> None:
    held = table(*name)
    numeric = [argument for argument, unit in held.arguments if unit != "text"]
    if len(held.arguments) != 1 or not numeric:
        return
    column = data.draw(st.sampled_from([column for column, unit in held.values if unit != "text"]))
    at = data.draw(st.floats(0, 2000))
    try:
        entry = held.entry(column, **{numeric[0]: at})
    except OutsideTableError:
        return
    cells = [float(cell) for cell in entry.printed]
    assert min(cells) * (1 - 1e-12) <= entry.value <= max(cells) * (1 + 1e-12)


def test_rules_of_the_tables_that_severity_rests_on() -> None:
    assert (table(*DRY).between, table(*DRY).outside) == (Between.LINEAR, Outside.CLAMP)
    assert (table(*C2).between, table(*C2).outside) == (Between.LOG_LOG, Outside.CLAMP)
    assert table("iec-61008-1", "break-time").between is Between.NEXT_LOWER_ROW


def test_every_subject_has_one_default_edition() -> None:
    assert len({subject.key for subject in subjects()}) == len(subjects())
    assert default_edition("body-impedance") == "iec-60479-1-2018"


def test_printed_digits_are_kept() -> None:
    cells = {row[0]: row for row in table("jcgm-100-2008", "table-g2").rows}
    assert cells["2"][3] == "4.30"
