"""The command line: assess, check, export and verify answer, and never write into the case."""

import json
import os
import stat
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from hazardreport import wording
from hazardreport.case import edits
from hazardreport.case.reading import Quantity
from hazardreport.resources_dir import RESOURCES
from hazardreport.storage import files
from hazardreport.storage.folder import open_case, save_case

Answered = Callable[..., Any]
COMPLETE, INCOMPLETE = "eu-maker-notice", "us-agency-harm"


def change(folder: Path, **changes: object) -> None:
    """Saves the case with some of its records replaced."""
    opened = open_case(folder)
    save_case(replace(opened.case, **changes), folder)  # type: ignore[arg-type]
    opened.close()


def floats(value: object) -> list[float]:
    """Every float of a JSON document."""
    if isinstance(value, dict):
        return [number for item in value.values() for number in floats(item)]
    if isinstance(value, list):
        return [number for item in value for number in floats(item)]
    return [value] if isinstance(value, float) else []


def test_no_reading_command_writes_into_the_case(
    answered: Answered, demo: Path, tmp_path: Path, fingerprint: Callable[[Path], object]
) -> None:
    before = fingerprint(demo)

    assert answered("assess", demo).code == 0
    assert answered("assess", demo, "--json").code == 0
    assert answered("check", demo, "--for", COMPLETE).code == 0
    assert answered("export", demo, "--for", COMPLETE, "--out", tmp_path / "report.pdf").code == 0
    assert answered("verify", demo).code == 0

    assert fingerprint(demo) == before
    parts = {"case.json", "log.jsonl", "values.jsonl", "manifest-sha256.txt", "pictures", "attachments"}
    assert {path.name for path in demo.iterdir()} == parts


def test_the_summary_names_word_states_and_figures(answered: Answered, demo: Path) -> None:
    answer = answered("assess", demo)

    assert answer.code == 0
    assert "\nDANGER\n" in answer.out
    for part in ("switch off", "plug reversed", "They tell one story", "Against limits", "231.", "does not operate"):
        assert part in answer.out
    assert all(len(line) <= 170 for line in answer.out.splitlines())
    assert "Fitting the readings" in answer.err


def test_quiet_says_nothing_about_progress(answered: Answered, demo: Path) -> None:
    assert answered("assess", "--quiet", demo).err == ""


def test_the_json_is_the_same_again_and_holds_no_special_number(answered: Answered, demo: Path) -> None:
    first, second = answered("assess", demo, "--json"), answered("assess", demo, "--json")

    assert first.out == second.out
    document = json.loads(first.out, parse_constant=lambda name: pytest.fail(name))
    assert (document["format"], document["version"]) == ("hazardreport-assessment", 1)
    assert document["assessment"]["verdict"]["word"] == "DANGER"
    assert all(abs(number) < 1e300 for number in floats(document))


def test_every_number_of_the_json_comes_after_its_inputs(answered: Answered, demo: Path) -> None:
    trace = json.loads(answered("assess", demo, "--json").out)["assessment"]["trace"]

    seen: set[str] = set()
    for number in trace:
        assert set(number["inputs"]) <= seen, number["id"]
        assert number["id"] not in seen
        seen.add(number["id"])
    assert len(seen) > 50


def test_infinite_numbers_are_null_with_a_flag(answered: Answered, demo: Path) -> None:
    trace = json.loads(answered("assess", demo, "--json").out)["assessment"]["trace"]

    free = [number["measured"] for number in trace if number["measured"]["degrees_of_freedom"] is None]
    assert free
    assert all(measured["degrees_of_freedom_infinite"] == "+" for measured in free)


def test_every_key_of_the_json_is_described(answered: Answered, demo: Path) -> None:
    described = (RESOURCES / "schema" / "assessment.md").read_text(encoding="utf-8")
    assessment = json.loads(answered("assess", demo, "--json").out)["assessment"]

    def keys(value: object) -> set[str]:
        if isinstance(value, dict):
            return {str(key) for key in value} | {key for item in value.values() for key in keys(item)}
        if isinstance(value, list):
            return {key for item in value for key in keys(item)}
        return set()

    undescribed = {key for key in keys(assessment) if f"`{key}`" not in described and not key.endswith("_infinite")}
    assert undescribed == set()


def printed_text(path: Path) -> str:
    """All words of a PDF, with single spaces."""
    document = pypdfium2.PdfDocument(path)
    try:
        return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
    finally:
        document.close()


def live_instructions() -> list[str]:
    """Longer pieces of every instruction of a live test, between its fields."""
    pieces = []
    for key in wording.keys("tests"):
        if key.startswith(("tests.live_", "tests.supply_proof")) and key.endswith(".instruction"):
            pieces += [part for part in wording.template(key).replace("}", "{").split("{") if len(part) > 30]
    return [" ".join(piece.split()) for piece in pieces]


@pytest.mark.parametrize("readings", ["all", "only dead", "none"])
def test_without_competence_no_live_instruction_is_in_any_answer(
    answered: Answered, demo: Path, tmp_path: Path, readings: str
) -> None:
    case = open_case(demo, for_writing=False).case
    kept = {"all": case.readings, "only dead": case.readings[:12], "none": ()}[readings]
    change(demo, competence=None, readings=kept, findings=(), cautions=())
    said = [
        answered("assess", demo),
        answered("assess", demo, "--json"),
        answered("check", demo, "--for", COMPLETE),
        answered("check", demo, "--for", INCOMPLETE),
        answered("export", demo, "--for", COMPLETE, "--out", tmp_path / "report.pdf"),
        answered("verify", demo),
    ]

    pieces = live_instructions()
    assert len(pieces) >= 6
    for answer in said:
        text = " ".join((answer.out + answer.err).split())
        assert not [piece for piece in pieces if piece in text]
        assert '"live_' not in text
    printed = printed_text(tmp_path / "report.pdf")
    assert not [piece for piece in pieces if piece in printed]


def test_the_competence_gate_asks_for_a_competent_person(answered: Answered, demo: Path) -> None:
    case = open_case(demo, for_writing=False).case
    dead = tuple(
        replace(reading, typed="OL") if reading.quantity is Quantity.RESISTANCE and reading.second == "A" else reading
        for reading in case.readings[:12]
    )
    change(demo, readings=dead, cautions=(), findings=())
    with_competence = json.loads(answered("assess", demo, "--json").out)["assessment"]["next_test"]
    change(demo, competence=None)
    answer, text = answered("assess", demo, "--json"), answered("assess", demo).out

    test = json.loads(answer.out)["assessment"]["next_test"]
    assert with_competence["live"]
    assert with_competence["shown"]
    assert test["live"]
    assert not test["shown"]
    assert test["instruction"].startswith("Ask a competent person to measure ")
    assert "Ask a competent person to measure " in text
    assert with_competence["instruction"][:60] not in answer.out + text


def test_check_names_what_is_missing_with_its_field(answered: Answered, demo: Path) -> None:
    complete, incomplete = answered("check", demo, "--for", COMPLETE), answered("check", demo, "--for", INCOMPLETE)

    assert complete.code == 0
    assert "Nothing that this addressee requires is missing." in complete.out
    assert incomplete.code == 1
    assert "2 things that this addressee requires are missing." in incomplete.out
    assert "submitter.category" in incomplete.out
    assert "consents.publish" in incomplete.out


def test_one_answer_closes_one_gap(answered: Answered, demo: Path) -> None:
    from hazardreport.case.circumstances import Answer

    case = open_case(demo, for_writing=False).case
    change(demo, consents=replace(case.consents, publish=Answer.NO))

    answer = answered("check", demo, "--for", INCOMPLETE)

    assert answer.code == 1
    assert "One thing that this addressee requires is missing." in answer.out


@pytest.mark.parametrize("command", ["check", "export"])
def test_an_unknown_addressee_is_told_with_the_known_ones(
    answered: Answered, demo: Path, tmp_path: Path, command: str
) -> None:
    out = ("--out", tmp_path / "report.pdf") if command == "export" else ()

    answer = answered(command, demo, "--for", "the-press", *out)

    assert answer.code == 2
    assert "the-press" in answer.err
    assert COMPLETE in answer.err
    assert not (tmp_path / "report.pdf").exists()


def test_export_writes_a_pdf_and_says_so(answered: Answered, demo: Path, tmp_path: Path) -> None:
    out = tmp_path / "report.pdf"

    answer = answered("export", demo, "--for", COMPLETE, "--out", out)

    assert answer.code == 0, answer.err
    assert out.read_bytes().startswith(b"%PDF-")
    assert answer.out == f"The report is {out}.\n"
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_export_at_the_same_moment_gives_the_same_bytes(answered: Answered, demo: Path, tmp_path: Path) -> None:
    change(demo, readings=())
    for name in ("one.pdf", "two.pdf"):
        answered("export", demo, "--for", INCOMPLETE, "--out", tmp_path / name, "--paper", "letter")

    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_what_is_missing_says_what_is_asked_by_which_law_and_where_it_is_entered(
    answered: Answered, tmp_path: Path
) -> None:
    answered("new", tmp_path / "case")

    told = " ".join(answered("check", tmp_path / "case", "--for", COMPLETE).out.split())

    assert "Missing: Danger found: what was seen or measured on this unit (" in told
    assert "Describe it as a finding, in the window or under [[findings]] of a unit sheet." in told
    assert "Enter it in the field unit.maker" in told
    assert "leaves out names and contact, because the consent for it is not given (field consents." in told


def test_an_incomplete_report_is_written_and_its_gaps_are_told(answered: Answered, demo: Path, tmp_path: Path) -> None:
    out = tmp_path / "report.pdf"

    answer = answered("export", demo, "--for", INCOMPLETE, "--out", out)

    assert answer.code == 0
    assert out.exists()
    assert "2 required things are missing: " in answer.out


@pytest.mark.parametrize(("fate", "told"), [("changed", "changed since it was taken in"), ("missing", "is missing")])
def test_a_picture_that_is_not_the_one_taken_in_is_named_and_not_shown(
    answered: Answered, demo: Path, tmp_path: Path, fate: str, told: str
) -> None:
    picture = demo / "pictures" / "picture-002.jpg"
    data = bytearray(picture.read_bytes())
    data[1000] ^= 1
    picture.unlink() if fate == "missing" else picture.write_bytes(bytes(data))

    answer = answered("export", demo, "--for", COMPLETE, "--out", tmp_path / "report.pdf")

    assert answer.code == 1
    assert "picture-002: " in answer.err
    assert told in answer.err
    pdf = pypdfium2.PdfDocument(tmp_path / "report.pdf")
    text = " ".join(" ".join(page.get_textpage().get_text_range() for page in pdf).split())
    pdf.close()
    assert f"Not shown picture-002: {answer.err.partition('picture-002: ')[2].splitlines()[0]}" in text


def test_a_record_that_is_not_as_it_was_saved_is_not_reported_on(
    answered: Answered, demo: Path, tmp_path: Path
) -> None:
    record = demo / "case.json"
    record.write_text(record.read_text(encoding="utf-8").replace("youth craft", "craft"), encoding="utf-8")

    answer = answered("export", demo, "--for", COMPLETE, "--out", tmp_path / "report.pdf")

    assert answer.code == 1
    assert "No report was written" in answer.err
    assert not (tmp_path / "report.pdf").exists()


def test_a_report_on_a_case_without_its_list_of_hashes_answers_1(
    answered: Answered, demo: Path, tmp_path: Path
) -> None:
    change(demo, readings=())
    (demo / "manifest-sha256.txt").unlink()

    answer = answered("export", demo, "--for", COMPLETE, "--out", tmp_path / "report.pdf")

    assert answer.code == 1
    assert (tmp_path / "report.pdf").exists()


def test_a_full_disk_leaves_the_old_report(
    answered: Answered, demo: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "report.pdf"
    out.write_bytes(b"the old one")
    change(demo, readings=())

    def full(descriptor: int, data: bytes) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files, "write", full)
    answer = answered("export", demo, "--for", COMPLETE, "--out", out)

    assert answer.code == 4
    assert "could not be written: No space left on device" in answer.err
    assert out.read_bytes() == b"the old one"
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


@pytest.mark.parametrize("place", ["nowhere/report.pdf", "demo/report.pdf", "demo/pictures/report.pdf", "."])
def test_a_report_that_cannot_lie_there_is_told(
    answered: Answered, demo: Path, tmp_path: Path, fingerprint: Callable[[Path], object], place: str
) -> None:
    before = fingerprint(demo)

    answer = answered("export", demo, "--for", COMPLETE, "--out", tmp_path / place)

    assert answer.code == 4
    assert " could not be written: " in answer.err
    assert fingerprint(demo) == before


def test_a_pipe_or_device_is_not_replaced_by_a_report(answered: Answered, demo: Path, tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)

    answer = answered("export", demo, "--for", COMPLETE, "--out", pipe)

    assert answer.code == 4
    assert "no ordinary file" in answer.err
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_unsaved_work_is_told_and_left_where_it_is(
    answered: Answered, demo: Path, fingerprint: Callable[[Path], object]
) -> None:
    from hazardreport.storage.journal import write_journal

    case = open_case(demo, for_writing=False).case
    write_journal(edits.set_title(case, "Another title"), demo)
    before = fingerprint(demo)

    answer = answered("assess", demo)

    assert answer.code == 0
    assert answer.out.startswith("Another title, case ")
    assert answer.err
    assert fingerprint(demo) == before


def test_a_new_case_is_not_assessed_and_can_still_be_looked_at(answered: Answered, tmp_path: Path) -> None:
    answered("new", tmp_path / "case")

    assessed = answered("assess", tmp_path / "case")
    checked = answered("check", tmp_path / "case", "--for", INCOMPLETE)
    exported = answered("export", tmp_path / "case", "--for", INCOMPLETE, "--out", tmp_path / "report.pdf")

    assert assessed.code == 0
    assert "NOT YET ASSESSED" in assessed.out
    assert checked.code == 1
    assert exported.code == 0
    assert (tmp_path / "report.pdf").read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize("supply", ["isolated", "direct current"])
def test_a_supply_that_is_not_solved_is_told(answered: Answered, demo: Path, tmp_path: Path, supply: str) -> None:
    sheet = tmp_path / "unit.toml"
    sheet.write_text(f'[wiring]\nsupply = "{supply}"\n', encoding="utf-8")
    assert answered("import-unit", demo, sheet).code == 0

    answer = answered("assess", demo)

    assert answer.code in (0, 3)
    assert "\nDANGER\n" not in answer.out
    assert supply in answer.out + answer.err
