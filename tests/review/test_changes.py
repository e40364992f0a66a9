"""Changes of a revision in words: records by their ids, texts before and after, erased ones said to be so."""

import typing
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from hazardreport import wording
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Competence
from hazardreport.case.picture import Cover, Mark, MarkKind, Picture, Placement, Point
from hazardreport.case.reading import Load, LoadKind, Quantity, Reading
from hazardreport.case.stated import Stated, unknown, value
from hazardreport.errors import ValuesMissingError
from hazardreport.review.chain import Chain, Revision
from hazardreport.review.changes import (
    changes_between,
    changes_of,
    field_by_field,
    line,
    summary,
    told,
)
from hazardreport.review.integrity import check_folder
from hazardreport.review.record_changes import Deed
from hazardreport.storage.folder import create_case, save_case


def reading(number: int, typed: str) -> Reading:
    return Reading(id=f"reading-{number:03d}", first="A", second="B", quantity=Quantity.VOLTAGE, typed=typed)


def picture(number: int, **more: Any) -> Picture:
    return Picture(
        id=f"picture-{number:03d}",
        file=f"picture-{number:03d}.jpg",
        original_name="a.jpg",
        media_type="image/jpeg",
        sha256="0" * 64,
        size=1,
        width=10,
        height=10,
        **more,
    )


CASE = Case(id="C-1", readings=tuple(reading(number, f"{number} V") for number in range(1, 9)))


def lines(before: Case, after: Case) -> list[str]:
    return [line(change) for change in changes_between(before, after)]


def test_a_reading_is_told_by_its_id_with_what_was_typed_before_and_after() -> None:
    after = edits.change_reading(CASE, replace(CASE.readings[6], typed="231 V"))
    assert lines(CASE, after) == ["reading-007: value 7 V → 231 V"]


def test_records_taken_out_here_and_there_are_named_whatever_the_patch_counts() -> None:
    after = edits.remove_reading(edits.remove_reading(CASE, "reading-002"), "reading-005")
    assert lines(CASE, after) == ["reading-002 removed", "reading-005 removed"]


def test_the_fields_of_an_added_record_are_its_parts() -> None:
    (change,) = changes_between(CASE, edits.add_picture(CASE, picture(1, caption="the plug")))
    assert line(change) == "picture-001 added"
    assert change.deed is Deed.ADDED
    told_parts = [line(part) for part in field_by_field([change])]
    assert told_parts[0] == "picture-001 added"
    assert "picture-001: caption (empty) → the plug" in told_parts


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        (lambda case: edits.set_title(case, "Pot"), ["case: title (empty) → Pot"]),
        (lambda case: edits.set_unit_field(case, "brand", value("Lumenkessel")), ["unit: brand (empty) → Lumenkessel"]),
        (lambda case: edits.set_unit_field(case, "brand", unknown("worn")), ["unit: brand (empty) → unknown: worn"]),
        (
            lambda case: edits.set_unit_field(case, "brand", Stated(private=True)),
            ["unit: brand, private no → yes"],
        ),
        (lambda case: edits.add_point(case, Point(letter="A")), ["point A added"]),
        (
            lambda case: edits.change_reading(
                case, replace(case.readings[0], load=Load(kind=LoadKind.RESISTOR, resistance=1000.0))
            ),
            ["reading-001: load, kind none → resistor", "reading-001: load, resistance (empty) → 1000"],
        ),
        (
            lambda case: edits.state_competence(
                case, Competence(name="Ina Muster", qualification="q", permitted="p", stated="2026-05-12")
            ),
            ["competence added"],
        ),
        (lambda case: replace(case, readings=case.readings[::-1]), ["readings: another order"]),
        (lambda case: replace(case, revision=7), []),
    ],
)
def test_edits_in_words(edit: Any, expected: list[str]) -> None:
    assert lines(CASE, edit(CASE)) == expected


def test_what_lies_on_a_picture_is_told_with_the_picture() -> None:
    before = edits.add_picture(CASE, picture(1, placements=(Placement(letter="A", x=1, y=2),)))
    after = edits.place_point(before, "picture-001", Placement(letter="A", x=4, y=2))
    after = edits.add_cover(after, "picture-001", Cover(id="cover-001", left=0, top=0, right=2, bottom=3))
    mark = Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((1.0, 2.5), (3.0, 4.0)))
    (last,) = changes_between(after, edits.add_mark(after, "picture-001", mark))
    assert lines(before, after) == [
        "point A added",
        "picture-001, point A: from the left 1 → 4",
        "picture-001, cover-001 added",
    ]
    assert "picture-001, mark-001: corners (empty) → (1, 2.5), (3, 4)" in [line(one) for one in last.parts]


def test_one_line_tells_three_things_takes_kinds_together_and_counts_the_rest() -> None:
    after = edits.set_title(CASE, "Pot")
    for number in range(1, 5):
        after = edits.add_picture(after, picture(number))
    for name in ("brand", "model", "serial"):
        after = edits.set_unit_field(after, name, value("x"))
    assert summary(changes_between(CASE, after)) == (
        "case: title (empty) → Pot; unit: brand (empty) → x; unit: model (empty) → x; 5 more"
    )
    assert summary(changes_between(after, CASE)).endswith("; 5 more")
    pictures = replace(CASE, pictures=after.pictures)
    assert summary(changes_between(CASE, pictures)) == "4 pictures added"
    assert summary(()) == "nothing changed"


def test_a_long_text_is_cut_in_the_line_and_whole_in_the_change() -> None:
    (change,) = changes_between(CASE, edits.set_title(CASE, "pot\n" * 100))
    assert change.after == "pot\n" * 100
    assert line(change).startswith("case: title (empty) → pot pot")
    assert len(line(change)) < 90


def saved(folder: Path, *states: Case, author: str = "Rosa Example") -> Chain:
    case = create_case(folder, states[0], author=author)
    for state in states[1:]:
        case = save_case(replace(state, revision=case.revision), folder, author=author)
    return check_folder(folder).chain


def test_a_log_tells_each_revision_as_the_difference_of_its_states(tmp_path: Path) -> None:
    second = edits.change_reading(CASE, replace(CASE.readings[6], typed="231 V", note="again"))
    third = edits.remove_reading(edits.remove_reading(second, "reading-001"), "reading-003")
    states = (CASE, second, third, edits.set_title(third, "Pot"))
    chain = saved(tmp_path / "case", *states)
    found = changes_of(chain)
    assert found[0] == changes_between(Case(id=""), CASE)
    assert list(found[1:]) == [changes_between(*pair) for pair in pairwise(states)]
    assert changes_of(chain) == found


def test_the_first_revision_counts_what_was_there(tmp_path: Path) -> None:
    chain = saved(tmp_path / "case", CASE)
    text = told(chain.revisions[0], changes_of(chain)[0])
    assert text.startswith("the case as it was then; 8 readings added")


def test_a_text_of_which_only_the_hash_is_left_is_said_to_be_erased(tmp_path: Path) -> None:
    second = edits.set_title(CASE, "Ina's pot")
    folder = tmp_path / "case"
    chain = saved(folder, CASE, second)
    (hash_left,) = [
        line_.split('"sha256":"')[1][:64]
        for line_ in (folder / "values.jsonl").read_text(encoding="utf-8").splitlines()
        if "Ina's pot" in line_
    ]
    save_case(replace(edits.set_title(second, "pot"), revision=2), folder, erase=[hash_left])
    chain = check_folder(folder).chain
    found = changes_of(chain)
    assert chain.problems == ()
    assert line(found[1][0]) == "case: title (empty) → [erased]"
    assert line(found[2][0]) == "case: title [erased] → pot"
    assert told(chain.revisions[2], found[2]).startswith("texts erased: 1; ")


def test_a_text_that_nobody_erased_is_said_not_to_be_there(tmp_path: Path) -> None:
    saved(tmp_path / "case", CASE, edits.set_title(CASE, "pot"))
    (tmp_path / "case" / "values.jsonl").write_bytes(b"")
    chain = check_folder(tmp_path / "case").chain
    assert any(isinstance(problem, ValuesMissingError) for problem in chain.problems)
    assert line(changes_of(chain)[1][0]) == "case: title (empty) → [text not there]"


def revision(*changes: dict[str, Any], before: str = "x") -> Revision:
    return Revision(number=1, time="", author="", author_hash="", program="", sha256="", before=before, changes=changes)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"op": "replace", "path": "/readings/40/typed", "value": "9 V"}, "case: readings, 40, value → 9 V"),
        ({"op": "add", "path": "/readings/a/typed", "value": 4.5}, "case: readings, a, value → 4.5"),
        ({"op": "replace", "path": "/title/deep/er", "value": None}, "case: title, deep, er → (empty)"),
        ({"op": "remove", "path": "/nothing"}, "case removed"),
    ],
)
def test_a_change_that_does_not_fit_is_told_as_the_log_has_it(change: dict[str, Any], expected: str) -> None:
    (found,) = changes_of(Chain(revisions=(revision(change),)))
    assert [line(one) for one in found] == [expected]


def test_a_revision_says_what_else_is_to_be_known_of_it() -> None:
    assert told(replace(revision(), from_format=1), ()) == "taken over from format 1; nothing changed"
    assert "could not be continued (abcdefab…)" in told(replace(revision(), restarted="abcdefab" * 8), ())


def records(kind: Any, seen: set[Any]) -> Iterator[Any]:
    if kind in seen:
        return
    seen.add(kind)
    yield kind
    for hint in typing.get_type_hints(kind).values():
        stack = [hint]
        while stack:
            one = stack.pop()
            stack += typing.get_args(one)
            if is_dataclass(one):
                yield from records(one, seen)


def test_every_field_of_every_record_has_its_word_and_no_word_is_left_over() -> None:
    names = {field.name for kind in records(Case, set()) for field in fields(kind)}
    words = {key.removeprefix("changes.field.") for key in wording.keys("changes") if key.startswith("changes.field.")}
    assert names - words == set()
    assert words - names == {"case"}
