"""The record as JSON: what is saved comes back equal; what could be misread is refused with its place."""

import dataclasses
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from hazardreport import errors, wording
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Household
from hazardreport.case.picture import Mark, MarkKind, Picture
from hazardreport.case.stated import value
from hazardreport.case.unit import Unit
from hazardreport.case.wiring import Wiring
from hazardreport.storage.case_json import case_bytes, case_from_bytes
from hazardreport.storage.folder import create_case, open_case, save_case
from tests.storage.generated_cases import records


@given(case=records(Case))
@settings(derandomize=True, deadline=None, max_examples=100)
def test_every_case_comes_back_equal(case: Case) -> None:
    assert case_from_bytes(case_bytes(case), "case.json") == case


@given(case=records(Case))
@settings(derandomize=True, deadline=None, max_examples=25)
def test_every_case_comes_back_equal_from_its_folder(tmp_path_factory: pytest.TempPathFactory, case: Case) -> None:
    folder = tmp_path_factory.mktemp("case")
    saved = create_case(folder, case)
    opened = open_case(folder)
    opened.close()
    assert opened.case == saved == dataclasses.replace(case, revision=case.revision + 1)
    again = save_case(opened.case, folder)
    assert again == dataclasses.replace(saved, revision=saved.revision + 1)


def test_the_record_can_be_read_by_people() -> None:
    case = Case(id="C-1", unit=Unit(brand=value("Größe Ω")), household=Household(children=Answer.YES))
    text = case_bytes(case).decode()
    assert text.startswith('{\n  "format": 3,\n  "oldest_reader": 2,\n  "case": {\n    "id": "C-1",\n')
    assert '"text": "Größe Ω"' in text
    assert '"children": "yes"' in text
    assert text.endswith("}\n")


def changed(change: Callable[[dict[str, Any]], None]) -> bytes:
    """A good record after a change."""
    picture = Picture(
        id="picture-001",
        file="picture-001.jpg",
        original_name="a",
        media_type="image/jpeg",
        sha256="0",
        size=1,
        width=1,
        height=1,
        marks=(Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((0.0, 1.0),)),),
    )
    record = json.loads(case_bytes(Case(id="C-1", pictures=(picture,), wiring=Wiring(nominal_voltage=230.0))))
    change(record)
    return json.dumps(record).encode()


def refusal(data: bytes) -> errors.CaseInvalidError:
    with pytest.raises(errors.CaseInvalidError) as caught:
        case_from_bytes(data, "case.json")
    assert wording.what(caught.value).startswith("case.json cannot be read as a case:\n- ")
    return caught.value


@pytest.mark.parametrize(
    ("change", "place"),
    [
        pytest.param(lambda r: r.update(more=1), "more", id="unknown key beside the case"),
        pytest.param(lambda r: r["case"].update(more=1), "case.more", id="unknown key in the case"),
        pytest.param(lambda r: r["case"]["unit"]["brand"].update(x=1), "case.unit.brand.x", id="unknown key deep in"),
        pytest.param(
            lambda r: r["case"]["pictures"][0]["marks"][0].update(x=1), "case.pictures[0].marks[0].x", id="in a list"
        ),
        pytest.param(lambda r: r["case"].update(revision="1"), "case.revision", id="text for a number"),
        pytest.param(lambda r: r["case"].update(revision=1.5), "case.revision", id="broken number for a count"),
        pytest.param(lambda r: r["case"].update(title=None), "case.title", id="null for a text"),
        pytest.param(lambda r: r["case"]["wiring"].update(plug="sideways"), "case.wiring.plug", id="no such choice"),
        pytest.param(lambda r: r["case"].pop("id"), "case", id="missing key"),
        pytest.param(lambda r: r["case"].update(pictures={}), "case.pictures", id="object for a list"),
        pytest.param(lambda r: r["case"].update(unit=[]), "case.unit", id="list for an object"),
        pytest.param(lambda r: r.pop("case"), "case", id="no case"),
        pytest.param(lambda r: r.update(format=0), "format", id="no such format"),
        pytest.param(lambda r: r.update(format="1"), "format", id="text for the format"),
        pytest.param(lambda r: r.update(format=True), "format", id="truth for the format"),
        pytest.param(lambda r: r.pop("format"), "", id="no format"),
        pytest.param(lambda r: r["case"].update(title="half \ud83d"), "case.title", id="lone surrogate"),
        pytest.param(lambda r: r["case"].update({"\udc00": 1}), "case", id="lone surrogate in a key"),
        pytest.param(
            lambda r: r["case"]["wiring"].update(nominal_voltage=float("nan")), "case.wiring.nominal_voltage", id="NaN"
        ),
        pytest.param(
            lambda r: r["case"]["wiring"].update(nominal_voltage=float("inf")), "case.wiring.nominal_voltage", id="inf"
        ),
        pytest.param(lambda r: r["case"].update(revision=10**30), "case.revision", id="endless number"),
        *(
            pytest.param(
                lambda r, file=file: r["case"]["pictures"][0].update(file=file),
                "case.pictures[0].file",
                id=f"file {file}",
            )
            for file in (
                "../case.json",
                "/etc/passwd",
                "a/b.jpg",
                "..",
                "",
                ".hidden",
                "a\\b.jpg",
                "C:x.jpg",
                "a\n.jpg",
            )
        ),
    ],
)
def test_what_could_be_misread_is_refused_with_its_place(change: Callable[[dict[str, Any]], None], place: str) -> None:
    assert refusal(changed(change)).details[0].place == place


@pytest.mark.parametrize(
    ("data", "key"),
    [
        (b"", "no_json"),
        (b"null", "no_format"),
        (b"[]", "no_format"),
        (b'{"format": 1, "case": {"id": "C-1"}} trailing', "no_json"),
        (b'{"format": 1, "case": {"id": "C-1", "id": "C-2"}}', "repeated_key"),
        (b'{"format": 1, "format": 1, "case": {"id": "C-1"}}', "repeated_key"),
        (b'{"format": 1, "case": {"id": "C-1", "wiring": {"nominal_voltage": 1e999}}}', "not_finite"),
        (b'{"format": 1, "case": {"id": "\xff"}}', "not_utf8"),
        (b'\xef\xbb\xbf{"format": 1, "case": {"id": "C-1"}}', "no_json"),
        (b'{"format": 1, "case": ' + b"[" * 100_000, "too_deep"),
        (b'{"format": 1, "case": ' + b'{"a":' * 40 + b"1" + b"}" * 41, "too_deep"),
        (b'{"format": 1, "case": {"id": "C-1"', "no_json"),
    ],
)
def test_what_is_no_record_is_refused(data: bytes, key: str) -> None:
    assert refusal(data).details[0].key == f"storage.{key}"


def test_brackets_in_texts_are_no_nesting() -> None:
    case = Case(id="C-1", title='[{"' * 100)
    assert case_from_bytes(case_bytes(case), "") == case


def test_all_faults_are_told_together() -> None:
    error = refusal(
        b'{"format": 1, "x": 1, "case": {"id": "C-1", "y": 1, "unit": {"z": 1}, "title": "a", "title": "b"}}'
    )
    assert [fault.place for fault in error.details] == ["case.title", "x", "case.y", "case.unit.z"]
    assert error.count == 4


def test_a_record_without_newer_fields_still_opens() -> None:
    assert case_from_bytes(b'{"format": 1, "case": {"id": "C-1"}}', "") == Case(id="C-1")


def test_very_many_faults_are_counted(tmp_path: Path) -> None:
    keys = ", ".join(f'"k{number}": 1' for number in range(100))
    error = refusal(f'{{"format": 1, "case": {{"id": "C-1", {keys}}}}}'.encode())
    assert error.count == 100
    assert error.listing.splitlines()[-1] == "- and 60 more"


def test_odd_characters_out_of_a_file_are_shown_not_obeyed() -> None:
    error = refusal(b'{"format": 1, "case": {"id": "C-1", "a\\u202e\\nb": 1}}')
    assert "case.a[U+202E][U+000A]b: " in error.listing
