"""Keeping and privacy in a unit sheet: read once, described anew by id or telling fields, refused as a whole."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.custody import Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.case.picture import Picture
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.stated import not_applicable, unknown, value
from hazardreport.case.unit import Unit
from hazardreport.storage.unit_sheet import read_unit_sheet

PLATE = Picture(
    id="picture-001",
    file="picture-001.jpg",
    original_name="a.jpg",
    media_type="image/jpeg",
    sha256="0" * 64,
    size=1,
    width=10,
    height=10,
)
READ = Reading(id="reading-001", first="A", second="B", quantity=Quantity.RESISTANCE, typed="5 Ω")
CASE = Case(id="C-1", pictures=(PLATE,), readings=(READ,))
POT = Item(id="item-001", description="pot", label="seal 7")
Make = Callable[[str], Path]


@pytest.fixture
def sheet(tmp_path: Path) -> Make:
    def make(text: str) -> Path:
        path = tmp_path / "unit.toml"
        path.write_bytes(text.encode())
        return path

    return make


def faults(path: Path, case: Case = CASE) -> list[str]:
    with pytest.raises(errors.UnitSheetRefusedError) as caught:
        read_unit_sheet(case, path)
    return [fault.place for fault in caught.value.details]


WHOLE = """private_words = ["R. Oakes", " Mill Lane 3 ", ""]
[unit]
serial = { value = "0417", private = true }
seller = { unknown = "sold by a private person", private = true }
brand = "Lumenta"
[[items]]
description = "pot"
label = "seal 7"
pictures = ["picture-001"]
[[items]]
kind = "cord"
description = "cord, cut off"
[[transfers]]
items = ["seal 7", "item-002"]
giver = "R. Oakes"
taker = "college"
when = 2026-05-06T10:00:00+02:00
seal_whole = "yes"
picture = "picture-001"
[[steps]]
what = "base taken off"
effect = "destructive"
opens = true
items = ["seal 7"]
pictures = ["picture-001"]
readings = ["reading-001"]
"""


def test_keeping_comes_in_once(sheet: Make) -> None:
    case = read_unit_sheet(CASE, sheet(WHOLE))

    assert case.items == (
        replace(POT, pictures=("picture-001",)),
        Item(id="item-002", kind=ItemKind.CORD, description="cord, cut off"),
    )
    assert case.transfers == (
        Transfer(
            id="transfer-001",
            items=("item-001", "item-002"),
            giver="R. Oakes",
            taker="college",
            when="2026-05-06T10:00:00+02:00",
            seal_whole=Answer.YES,
            picture="picture-001",
        ),
    )
    assert case.steps == (
        Step(
            id="step-001",
            what="base taken off",
            effect=StepEffect.DESTRUCTIVE,
            opens=True,
            items=("item-001",),
            pictures=("picture-001",),
            readings=("reading-001",),
        ),
    )
    assert case.private_words == ("R. Oakes", "Mill Lane 3")
    assert case.unit == Unit(
        serial=replace(value("0417"), private=True),
        seller=replace(unknown("sold by a private person"), private=True),
        brand=value("Lumenta"),
    )
    assert read_unit_sheet(case, sheet(WHOLE)) == case


def test_a_record_is_described_anew_by_its_id_or_its_label(sheet: Make) -> None:
    case = read_unit_sheet(CASE, sheet(WHOLE))
    text = """[[items]]
label = "seal 7"
place = "cabinet"
[[items]]
id = "item-002"
label = "seal 8"
[[transfers]]
id = "transfer-001"
purpose = "examination"
[[steps]]
id = "step-001"
informed = "maker"
"""
    changed = read_unit_sheet(case, sheet(text))

    assert changed.items[0] == replace(case.items[0], place="cabinet")
    assert changed.items[1] == replace(case.items[1], label="seal 8")
    assert changed.transfers == (replace(case.transfers[0], purpose="examination"),)
    assert changed.steps == (replace(case.steps[0], informed="maker"),)


def test_an_id_that_the_case_does_not_have_is_taken_over(sheet: Make) -> None:
    case = read_unit_sheet(CASE, sheet('[[items]]\nid = "item-007"\n[[items]]\ndescription = "x"\n'))
    assert [item.id for item in case.items] == ["item-007", "item-008"]


@pytest.mark.parametrize("field", ['"0417"', '{ value = "0418", picture = "picture-001" }', '{ unknown = "worn" }'])
def test_what_is_private_stays_so_until_a_sheet_says_otherwise(sheet: Make, field: str) -> None:
    case = replace(CASE, unit=Unit(serial=replace(value("0417"), private=True)))
    assert read_unit_sheet(case, sheet(f"[unit]\nserial = {field}\n")).unit.serial.private
    public = '[unit]\nserial = { value = "0417", private = false }\n'
    assert read_unit_sheet(case, sheet(public)).unit.serial == value("0417")
    assert read_unit_sheet(case, sheet('[unit]\nserial = ""\n')) == case


def test_private_holds_for_every_table_of_stated_fields(sheet: Make) -> None:
    text = """[household]
place = { value = "club", private = true }
[occurrence]
injury = { not_applicable = "none", private = true }
"""
    case = read_unit_sheet(CASE, sheet(text))
    assert case.household.place == replace(value("club"), private=True)
    assert case.occurrence.injury == replace(not_applicable("none"), private=True)


def test_private_words_are_only_ever_added(sheet: Make) -> None:
    case = replace(CASE, private_words=("Kim",))
    assert read_unit_sheet(case, sheet('private_words = ["Sander", "Kim"]')).private_words == ("Kim", "Sander")
    assert read_unit_sheet(case, sheet("private_words = []")) == case


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ('private_words = "Kim"', ["line 1, private_words"]),
        ("private_words = [1]", ["line 1, private_words"]),
        ('[unit]\nserial = { value = "1", private = "yes" }', ["line 2, unit.serial.private"]),
        ("[unit]\nserial = { private = true }", ["line 2, unit.serial"]),
        ('[unit]\nserial = { value = "1", privat = true }', ["line 2, unit.serial.privat"]),
        ("items = 3", ["line 1, items"]),
        ('items = ["x"]', ["line 1, items[0]"]),
        ('[[items]]\nkind = "spaceship"', ["line 2, items[0].kind"]),
        ('[[items]]\nid = "../x"', ["line 2, items[0].id"]),
        ('[[items]]\nid = "\\u202Eitem"', ["line 2, items[0].id"]),
        ("[[items]]\nid = 3", ["line 2, items[0].id"]),
        ('[[items]]\npictures = ["picture-009", "picture-001"]', ["line 2, items[0].pictures"]),
        ('[[items]]\npictures = [["x"]]', ["line 2, items[0].pictures"]),
        ('[[items]]\nlable = "7"', ["line 2, items[0].lable"]),
        ('[[items]]\nid = "item-001"\n[[items]]\nid = "item-001"', ["line 4, items[1].id"]),
        ('[[items]]\nlabel = "7"\n[[items]]\nlabel = "7"', ["line 3, items[1].id"]),
        ('[[transfers]]\nitems = ["item-009"]', ["line 2, transfers[0].items"]),
        ('[[transfers]]\nitems = "item-001"', ["line 2, transfers[0].items"]),
        ("[[transfers]]\nseal_whole = true", ["line 2, transfers[0].seal_whole"]),
        ("[[transfers]]\nwhen = 12:30:00", ["line 2, transfers[0].when"]),
        ('[[transfers]]\npicture = "picture-009"', ["line 2, transfers[0].picture"]),
        ('[[steps]]\nopens = "yes"', ["line 2, steps[0].opens"]),
        ('[[steps]]\neffect = "explosive"\nreadings = ["reading-009"]', ["line 2, steps[0].effect"]),
        (
            '[[steps]]\nreadings = ["reading-009"]\nitems = ["x"]',
            ["line 2, steps[0].readings", "line 3, steps[0].items"],
        ),
        ("[steps]\nwhat = 3", ["line 1, steps"]),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(sheet: Make, text: str, places: list[str]) -> None:
    assert faults(sheet(text)) == places


def test_a_label_on_two_items_names_neither(sheet: Make) -> None:
    case = replace(CASE, items=(POT, replace(POT, id="item-002")))
    assert faults(sheet('[[steps]]\nitems = ["seal 7"]\n'), case) == ["line 2, steps[0].items"]
    named = read_unit_sheet(case, sheet('[[steps]]\nitems = ["item-002", "item-002"]\n'))
    assert named.steps[0].items == ("item-002",)


def test_one_fault_anywhere_leaves_the_case_as_it_was(sheet: Make) -> None:
    assert faults(sheet(WHOLE + "readings_ = 1\n")) == ["line 27, steps[0].readings_"]


ODD = st.one_of(
    st.text(max_size=6).map(lambda text: "'" + "".join(c for c in text if c.isprintable() and c != "'") + "'"),
    st.sampled_from(["true", "-1", "nan", "[]", "[1]", "['a']", "{}", "{value='x'}", "2026-05-04", "'item-001'", "''"]),
)
FIELDS = st.sampled_from(
    ["id", "kind", "label", "items", "pictures", "readings", "when", "effect", "opens", "seal_whole", "picture", "x"]
)


@given(
    table=st.sampled_from(["items", "transfers", "steps"]),
    rows=st.lists(st.dictionaries(FIELDS, ODD, max_size=4), max_size=4),
)
@settings(derandomize=True, deadline=None, max_examples=200)
def test_any_sheet_is_read_again_alike_or_refused(
    tmp_path_factory: pytest.TempPathFactory, table: str, rows: list[dict[str, str]]
) -> None:
    path = tmp_path_factory.mktemp("sheet") / "unit.toml"
    lines = [line for row in rows for line in (f"[[{table}]]", *(f"{name} = {odd}" for name, odd in row.items()))]
    path.write_text("\n".join(lines), encoding="utf-8")
    try:
        case = read_unit_sheet(replace(CASE, items=(POT,)), path)
    except errors.UnitSheetRefusedError:
        return
    assert read_unit_sheet(case, path) == case
