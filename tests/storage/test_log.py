"""The log gives the record of every revision back, and begins anew only in the open."""

import hashlib
import json
import shutil
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.case.wiring import Wiring
from hazardreport.errors import AnchorDisagreesError, CaseNotSavableError, LogDisagreesError, PatchRefusedError
from hazardreport.review.chain import check_chain
from hazardreport.review.integrity import check_folder
from hazardreport.storage import revision
from hazardreport.storage.case_json import case_from_document, plain_document, record_in
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.log import Line, Log, log_from_bytes, new_line, record_of, replayed, texts_of
from hazardreport.storage.values import SALT_BYTES, values_from_bytes
from tests.storage.generated_cases import records
from tests.storage.revisions import NOON, Saves

OLD_CASE = Path(__file__).parents[1] / "old-cases" / "1" / "case"


def text(record: object) -> bytes:
    """As JSON: 1, 1.0 and true apart."""
    return msgspec.json.encode(record)


def assert_gives_every_revision(saves: Saves) -> None:
    log, texts = log_from_bytes(saves.log), texts_of(values_from_bytes(saves.values)[0])
    assert log.faults == ()
    assert [line.revision for line in log.lines] == [case.revision for case in saves.saved]
    for count, case in enumerate(saves.saved, 1):
        record, missing = record_of(log, texts, count)
        assert text(record) == text(plain_document(case))
        assert missing == set()
    problems = check_chain(*saves.files).problems
    assert [problem for problem in problems if not isinstance(problem, AnchorDisagreesError)] == []


@given(cases=st.lists(records(Case), min_size=1, max_size=5), sound=st.booleans())
@settings(derandomize=True, deadline=None, max_examples=20)
def test_replaying_gives_the_record_at_each_revision(cases: list[Case], sound: bool) -> None:
    assert_gives_every_revision(Saves.of((replace(case, id="C-1", revision=0) for case in cases), "Kim", sound))


@given(first=records(Case), second=records(Case), picks=st.lists(st.lists(st.booleans()), min_size=1, max_size=12))
@settings(derandomize=True, deadline=None, max_examples=20)
def test_so_does_replaying_edits_of_single_fields(first: Case, second: Case, picks: list[list[bool]]) -> None:
    saves, case = Saves(), replace(first, revision=0)
    saves.save(case)
    for picked in picks:
        names = [name for name, wanted in zip(Case.__dataclass_fields__, picked, strict=False) if wanted]
        other = second if len(saves.saved) % 2 else first
        case = replace(case, **{name: getattr(other, name) for name in names if name != "revision"})
        saves.save(case)
    assert_gives_every_revision(saves)


NUMBERS = [0.0, -0.0, 1.0, 5, 1e22, 1e23, 5e-324, 2.2250738585072014e-308, 1.7976931348623157e308, 0.1, 2.0**53, -1]


def test_odd_numbers_are_the_same_in_log_and_record() -> None:
    saves = Saves.of(Case(id="C-1", wiring=Wiring(nominal_voltage=number)) for number in NUMBERS)
    assert_gives_every_revision(saves)
    written = [line.changes[-1].value for line in log_from_bytes(saves.log).lines[1:]]
    assert list(map(repr, written)) == [repr(float(number)) for number in NUMBERS[1:]]
    assert repr(record_in(saves.case)["wiring"]["nominal_voltage"]) == "-1.0"


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -float("inf")])
def test_a_number_that_is_none_is_refused_in_a_field_that_may_be_empty(number: float) -> None:
    with pytest.raises(CaseNotSavableError) as caught:
        Saves().save(Case(id="C-1", wiring=Wiring(nominal_voltage=number)))
    assert [fault.place for fault in caught.value.details] == ["case.wiring.nominal_voltage"]


def test_a_field_that_a_later_program_added_breaks_no_older_log() -> None:
    saves = Saves.of([Case(id="C-1", title="a"), Case(id="C-1", title="b")])
    older = Saves()
    older.case = saves.case.replace(b'      "earthing": "unknown",\n', b"")
    assert older.case.count(b"earthing") == 0
    assert older.case != saves.case
    older.log = without_field(saves.log, ("wiring", "earthing"))
    head = hashlib.sha256(older.log.splitlines()[-1]).hexdigest()
    older.case = older.case.replace(record_head(older.case).encode(), head.encode())
    older.values = saves.values
    assert check_chain(*older.files).problems == ()

    older.save(Case(id="C-1", title="c"))

    assert check_chain(*older.files).problems == ()
    line = log_from_bytes(older.log).lines[-1]
    assert [(one.op, one.path) for one in line.changes] == [
        ("replace", "/title"),
        ("replace", "/revision"),
        ("add", "/wiring/earthing"),
    ]
    assert older.damaged == ()


def record_head(data: bytes) -> str:
    """The hash of the last line, as the record names it."""
    head: str = json.loads(data)["log_head"]
    return head


def without_field(data: bytes, keys: tuple[str, ...]) -> bytes:
    """The log as a program would have written it that does not know the field; chained anew."""
    lines, before = [], ""
    for line in log_from_bytes(data).lines:
        for change in line.changes:
            holder = change.value if change.path == "" else None
            for key in keys[:-1]:
                holder = holder[key] if holder is not None else None
            if holder is not None:
                del holder[keys[-1]]
        lines.append(text(msgspec.structs.replace(line, before=before)))
        before = hashlib.sha256(lines[-1]).hexdigest()
    return b"".join(line + b"\n" for line in lines)


def test_a_record_changed_outside_is_a_change_of_the_next_revision(tmp_path: Path) -> None:
    folder = tmp_path / "case"
    create_case(folder, Case(id="C-1", title="Wax pot"), time=NOON)
    path = folder / "case.json"
    path.write_bytes(path.read_bytes().replace(b"Wax pot", b"Toy"))
    opened = open_case(folder, for_writing=False)
    save_case(opened.case, folder, time=NOON)
    assert check_folder(folder).whole
    last = check_folder(folder).chain.revisions[-1]
    assert {"op": "replace", "path": "/title", "value": "Toy"} in last.changes


def test_a_record_forged_together_with_its_manifest_shows_in_the_next_revision(tmp_path: Path) -> None:
    folder = tmp_path / "case"
    create_case(folder, Case(id="C-1", title="231 V on the metal"))
    record = (folder / "case.json").read_bytes().replace(b"231 V on the metal", b"12 V on the metal")
    (folder / "case.json").write_bytes(record)
    manifest = (folder / "manifest-sha256.txt").read_text(encoding="utf-8").splitlines(keepends=True)
    lines = [line for line in manifest if not line.endswith("  case.json\n")]
    lines.append(f"{hashlib.sha256(record).hexdigest()}  case.json\n")
    (folder / "manifest-sha256.txt").write_text("".join(sorted(lines, key=lambda one: one[66:])), encoding="utf-8")
    assert [type(problem) for problem in check_folder(folder).problems] == [LogDisagreesError]

    save_case(replace(open_case(folder, for_writing=False).case, addressee="eu-maker-notice"), folder)

    found = check_folder(folder)
    assert found.whole
    changes = found.chain.revisions[-1].changes
    assert {"op": "replace", "path": "/title", "value": "12 V on the metal"} in changes


@pytest.mark.parametrize("damage", ["byte", "half", "line gone", "empty line"])
def test_a_log_that_cannot_be_continued_is_kept_and_a_new_one_says_so(tmp_path: Path, damage: str) -> None:
    folder = tmp_path / "case"
    case = create_case(folder, Case(id="C-1"), time=NOON)
    case = save_case(replace(case, title="Wax pot"), folder, time=NOON)
    path = folder / "log.jsonl"
    data = path.read_bytes()
    first, second = data.splitlines(keepends=True)
    damaged = {
        "byte": data.replace(b"C-1", b"C-7"),
        "half": data[: len(data) // 2],
        "line gone": second,
        "empty line": first + b"\n" + second,
    }[damage]
    path.write_bytes(damaged)
    assert not check_folder(folder).whole

    save_case(open_case(folder, for_writing=False).case, folder, time=NOON)

    assert (folder / "log.damaged-1.jsonl").read_bytes() == damaged
    chain = check_folder(folder).chain
    assert check_folder(folder).whole
    assert [one.restarted for one in chain.revisions] == [hashlib.sha256(damaged).hexdigest()]
    assert chain.revisions[0].number == 3
    path.write_bytes(b"again\n")
    save_case(case, folder, time=NOON)
    assert (folder / "log.damaged-2.jsonl").read_bytes() == b"again\n"
    assert (folder / "log.damaged-1.jsonl").read_bytes() == damaged


def test_a_case_of_the_first_format_is_taken_over_in_the_open(tmp_path: Path) -> None:
    folder = tmp_path / "case"
    shutil.copytree(OLD_CASE, folder)
    case = open_case(folder, for_writing=False).case
    saved = save_case(case, folder, time=NOON)
    saved = save_case(replace(saved, title="later"), folder, time=NOON)
    integrity = check_folder(folder)
    assert integrity.problems == ()
    assert [one.from_format for one in integrity.chain.revisions] == [1, 0]
    log = log_from_bytes((folder / "log.jsonl").read_bytes())
    texts = texts_of(values_from_bytes((folder / "values.jsonl").read_bytes())[0])
    taken_over = case_from_document(record_of(log, texts, 1)[0], "")
    assert taken_over == replace(case, revision=case.revision + 1)
    assert log.lines[0].changes[0].path == ""


def test_a_log_without_any_line_gives_no_record() -> None:
    with pytest.raises(PatchRefusedError):
        replayed(())
    with pytest.raises(PatchRefusedError):
        record_of(log_from_bytes(b""), {})


def test_numbers_of_revisions_only_grow_even_after_an_undo() -> None:
    saves = Saves.of([Case(id="C-1"), Case(id="C-1", title="a"), Case(id="C-1", revision=7), Case(id="C-1")])
    assert [case.revision for case in saves.saved] == [1, 2, 8, 9]


def test_a_line_says_what_it_is_given() -> None:
    line, values = new_line(
        [{"op": "add", "path": "/readings/0/by", "value": "Kim"}],
        revision=4,
        time=NOON,
        author="Kim",
        program="p",
        log=Log(),
        texts={},
        salt=lambda: bytes(SALT_BYTES),
        erased=("0" * 64,),
    )
    expected = hashlib.sha256(bytes(16) + b"Kim").hexdigest()
    assert msgspec.json.decode(text(line)) == {
        "revision": 4,
        "time": NOON,
        "author": {"sha256": expected},
        "program": "p",
        "before": "",
        "changes": [{"op": "add", "path": "/readings/0/by", "value": {"sha256": expected}}],
        "erased": ["0" * 64],
    }
    assert [value.text for value in values] == ["Kim", "Kim"]


def test_a_very_long_log_is_refused_unread(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("hazardreport.storage.log.BYTE_LIMIT", 10)
    assert [fault.key for fault in log_from_bytes(b"x" * 11).faults] == ["storage.too_many_bytes"]


def test_hashes_stay_with_their_lines_when_a_line_before_them_is_damaged() -> None:
    saves = Saves.of(Case(id="C-1", title=title) for title in "abc")
    lines = saves.log.splitlines()
    log = log_from_bytes(lines[0] + b"\n{\n" + lines[2] + b"\n")
    assert [line.revision for line in log.lines] == [1, 3]
    assert log.hashes == tuple(hashlib.sha256(lines[index]).hexdigest() for index in (0, 2))
    assert log.head == log.hashes[-1]
    assert isinstance(log.lines[0], Line)


@given(cases=st.lists(records(Case), min_size=2, max_size=4), erase=st.booleans())
@settings(derandomize=True, deadline=None, max_examples=10)
def test_a_save_that_remembers_what_it_wrote_writes_what_one_that_reads_it_does(cases: list[Case], erase: bool) -> None:
    remembering, reading = Saves(author="Kim"), Saves(author="Kim")
    for number, case in enumerate(cases):
        remembering.author = reading.author = ("Kim", "Lou")[number % 2]
        named = replace(case, id="C-1", revision=0)
        remembered = revision_of(remembering, named, remembers=True, erase=erase and number == 1)
        read = revision_of(reading, named, remembers=False, erase=erase and number == 1)
        assert remembered == read


def revision_of(saves: Saves, case: Case, *, remembers: bool, erase: bool) -> tuple[bytes, bytes, bytes]:
    """The files after one save; the first text is erased, if that is wanted."""
    hashes = tuple(hashlib.sha256(data).hexdigest() for data in saves.files)
    gone = [value.sha256 for value in values_from_bytes(saves.values)[0][:1]] if erase else []
    revision._remembered.clear()
    if remembers and saves.last is not None:
        revision.remember(saves.last, hashes)
        assert revision._remembered
    saves.save(case, gone, hashes)
    return saves.files
