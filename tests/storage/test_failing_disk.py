"""A disk that fails at any call of a save, or at two of them: the old case or the new one, never a mix.

Calls are enumerated, not sampled: a save is done once on a sound disk to count them, then once for each call and fault.
"""

import ast
import itertools
import shutil
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

import hazardreport
from hazardreport.case.case import Case
from hazardreport.errors import (
    CouldNotWriteError,
    FolderNotEmptyError,
    HazardReportError,
    NoCaseError,
    UnsavedWorkRecoveredError,
)
from hazardreport.review.integrity import check_folder
from hazardreport.storage import files
from hazardreport.storage.folder import OpenedCase, create_case, open_case, save_case
from hazardreport.storage.journal import clear_journal, write_journal
from tests.storage.conftest import NOON, small_case
from tests.storage.failing_disk import FAULTS, SHORT, Fault, failing

OLD_FORMAT = Path(__file__).parents[1] / "old-cases" / "1" / "case"

Work = Callable[[Case, Path], object]


def save(case: Case, folder: Path) -> Case:
    """One save, signed."""
    return save_case(case, folder, author="Kim", time=NOON)


def plain(folder: Path) -> None:
    """A case with a picture and an attachment."""
    small_case(folder, Case(id="C-1", title="old"))


def damaged_log(folder: Path) -> None:
    """The same, its log damaged: a save keeps it and begins another."""
    plain(folder)
    path = folder / "log.jsonl"
    path.write_bytes(path.read_bytes()[:-100])


def damaged_record(folder: Path) -> None:
    """The same, its record damaged."""
    plain(folder)
    path = folder / "case.json"
    path.write_bytes(path.read_bytes()[:-100])


def first_format(folder: Path) -> None:
    """A case of a program that wrote no log, with the older record that such a program kept."""
    shutil.copytree(OLD_FORMAT, folder)
    shutil.copy(folder / "case.json", folder / "case.previous.json")


def cut_off(folder: Path) -> None:
    """A save was cut off between two renames."""
    plain(folder)
    case = open_case(folder, for_writing=False).case
    with failing({}) as calls:
        save(case, folder)
    last = len(calls) - calls[::-1].index("replace")
    try:
        with failing({last - 2: FAULTS["failing"]}, from_then_on=FAULTS["failing"]):
            save(case, folder)
    except CouldNotWriteError:
        return
    raise AssertionError("the save was not cut off")


MORE_ARE_SLOW = ["full", *(pytest.param(one, marks=pytest.mark.slow) for one in FAULTS if one != "full")]
STARTS = (plain, damaged_log, damaged_record, first_format, cut_off)


@pytest.fixture(autouse=True)
def _no_waiting_for_the_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """Failures are put where the disk is asked, so that it need not be waited for."""
    monkeypatch.setattr(files, "fsync", lambda descriptor: None)


@pytest.fixture(scope="module")
def starts(tmp_path_factory: pytest.TempPathFactory) -> dict[Callable[[Path], None], Path]:
    place = tmp_path_factory.mktemp("starts")
    for start in STARTS:
        start(place / start.__name__)
    return {start: place / start.__name__ for start in STARTS}


class Trial:
    """A start, and what is done to copies of it on a disk that fails."""

    def __init__(self, start: Path, place: Path, work: Work, title: str = "new") -> None:
        self.start, self.place, self.work = start, place, work
        self.before = self.look(start)
        self.after = replace(self.before.case, title=title)
        self.outcomes: set[str] = set()
        with failing({}) as calls:
            self.work(self.after, self.fresh())
        self.calls = tuple(calls)

    def fresh(self) -> Path:
        """A new copy of the start."""
        shutil.rmtree(self.place, ignore_errors=True)
        shutil.copytree(self.start, self.place)
        return self.place

    @staticmethod
    def look(folder: Path) -> OpenedCase:
        return open_case(folder, for_writing=False)

    def run(self, faults: Mapping[int, Fault], from_then_on: Fault | None = None) -> bool:
        """Whether it was said to be done; what the folder then holds has been looked at."""
        folder, said = self.fresh(), True
        with failing(faults, from_then_on):
            try:
                self.work(self.after, folder)
            except CouldNotWriteError:
                said = False
        self.assert_one_or_the_other(folder, said=said, hint=f"{sorted(faults)} of {self.calls}")
        return said

    def assert_one_or_the_other(self, folder: Path, *, said: bool, hint: str) -> None:
        looked_at = self.look(folder)
        is_new = looked_at.case.title == self.after.title
        self.outcomes.add("new" if is_new else "old")
        assert is_new or not said, hint
        assert replace(looked_at.case, revision=0) == replace(self.after if is_new else self.before.case, revision=0)
        kinds = [type(problem) for problem in looked_at.problems]
        expected = self.problems_of_new() if is_new else [type(one) for one in self.before.problems]
        assert kinds == expected, hint
        assert check_folder(folder).whole or not is_new or self.is_journal(), hint
        opened = open_case(folder)
        assert not opened.read_only, hint
        assert opened.case == looked_at.case, hint
        assert [type(problem) for problem in opened.problems] == expected, hint
        later = save(replace(opened.case, title="later"), folder)
        clear_journal(folder)
        opened.close()
        self.assert_sound(folder, later, hint)

    def problems_of_new(self) -> list[type[HazardReportError]]:
        return [type(one) for one in self.before.problems] + [UnsavedWorkRecoveredError] if self.is_journal() else []

    def is_journal(self) -> bool:
        return self.work is write_journal

    def assert_sound(self, folder: Path, case: Case, hint: str) -> None:
        again = self.look(folder)
        assert again.case == case, hint
        assert again.problems == (), hint
        assert check_folder(folder).whole, hint
        left = [path.name for path in folder.iterdir() if path.name.startswith(".") or path.name == "case.lock"]
        assert left == [], hint


@pytest.fixture(params=STARTS, ids=lambda start: str(start.__name__))
def trial(request: pytest.FixtureRequest, starts: dict[Callable[[Path], None], Path], tmp_path: Path) -> Trial:
    return Trial(starts[request.param], tmp_path / "case", save)


def test_a_save_makes_these_changes_and_in_this_order(
    starts: dict[Callable[[Path], None], Path], tmp_path: Path
) -> None:
    calls = Trial(starts[plain], tmp_path / "case", save).calls
    lock, one_file = ("create", "truncate", "write"), ("create", "write", "fsync")
    new_manifest, places = ("replace", "fsync"), ("replace",) * 4
    assert calls == (*lock, *one_file * 4, *new_manifest, *places, "fsync", "unlink", "unlink")


@pytest.mark.parametrize("fault", MORE_ARE_SLOW)
def test_a_save_whose_disk_fails_once_is_whole_or_has_not_happened(trial: Trial, fault: str) -> None:
    said = [trial.run({number: FAULTS[fault]}) for number in range(1, len(trial.calls) + 1)]
    assert trial.outcomes == {"old", "new"}
    assert said.count(True) >= 2


@pytest.mark.slow
@pytest.mark.parametrize("fault", FAULTS)
def test_so_is_one_whose_disk_fails_from_some_call_on(trial: Trial, fault: str) -> None:
    said = [trial.run({number: FAULTS[fault]}, from_then_on=FAULTS[fault]) for number in range(1, len(trial.calls) + 1)]
    assert "old" in trial.outcomes
    assert not all(said)


@pytest.mark.slow
@pytest.mark.parametrize("fault", SHORT)
def test_a_save_whose_writes_are_short_is_done(trial: Trial, fault: str) -> None:
    assert all(trial.run({number: SHORT[fault]}) for number in range(1, len(trial.calls) + 1))
    assert trial.outcomes == {"new"}


def test_a_save_all_of_whose_writes_are_short_is_done(trial: Trial) -> None:
    assert trial.run({}, from_then_on=SHORT["half"])
    assert trial.outcomes == {"new"}


@pytest.mark.slow
def test_a_save_whose_disk_fails_at_two_calls_in_a_row_is_whole_or_has_not_happened(trial: Trial) -> None:
    for number, (first, second) in itertools.product(
        range(1, len(trial.calls) + 1), (("full", "failing"), ("done but refused", "read-only"))
    ):
        trial.run({number: FAULTS[first], number + 1: FAULTS[second]})
    assert trial.outcomes == {"old", "new"}


@pytest.mark.slow
@pytest.mark.parametrize("first", ["failing", "done but refused"])
def test_so_is_one_whose_disk_fails_at_any_two_calls(trial: Trial, first: str) -> None:
    """The calls of what the program does about the first failure stand after it, so they are among them."""
    for one, other in itertools.combinations(range(1, len(trial.calls) + 6), 2):
        trial.run({one: FAULTS[first], other: FAULTS["failing"]})
    assert trial.outcomes == {"old", "new"}


@pytest.fixture(params=["without a journal", "with one"])
def journalling(request: pytest.FixtureRequest, starts: dict[Callable[[Path], None], Path], tmp_path: Path) -> Trial:
    start = tmp_path / "start"
    shutil.copytree(starts[plain], start)
    trial = Trial(start, tmp_path / "case", write_journal)
    if request.param == "with one":
        write_journal(replace(trial.before.case, title="older edit"), start)
        trial = JournalTrial(start, tmp_path / "case", write_journal)
    return trial


class JournalTrial(Trial):
    """A journal is there before."""

    def problems_of_new(self) -> list[type[HazardReportError]]:
        return [UnsavedWorkRecoveredError]


@pytest.mark.parametrize("fault", FAULTS)
def test_a_journal_whose_disk_fails_is_the_old_one_or_the_new_one(journalling: Trial, fault: str) -> None:
    assert journalling.calls == ("create", "write", "fsync", "replace", "fsync")
    for number in range(1, 6):
        journalling.run({number: FAULTS[fault]})
        journalling.run({number: FAULTS[fault]}, from_then_on=FAULTS[fault])
        journalling.run({number: FAULTS[fault], number + 1: FAULTS["failing"]})
    assert journalling.outcomes == {"old", "new"}


@pytest.mark.parametrize("fault", SHORT)
def test_a_journal_whose_writes_are_short_is_written(journalling: Trial, fault: str) -> None:
    assert journalling.run({2: SHORT[fault]})
    assert journalling.outcomes == {"new"}


@pytest.mark.parametrize("fault", FAULTS)
@pytest.mark.parametrize("persists", [False, True])
def test_a_new_case_whose_disk_fails_is_there_or_not(tmp_path: Path, fault: str, persists: bool) -> None:
    folder, case = tmp_path / "case", Case(id="C-1", title="new")
    with failing({}) as calls:
        create_case(folder, case, time=NOON)
    there = []
    for number in range(1, len(calls) + 1):
        shutil.rmtree(folder, ignore_errors=True)
        with failing({number: FAULTS[fault]}, FAULTS[fault] if persists else None):
            try:
                create_case(folder, case, time=NOON)
                said = True
            except CouldNotWriteError:
                said = False
        try:
            opened = open_case(folder)
        except NoCaseError:
            assert not said
            there.append(False)
            if not persists and fault != "done but refused":  # a lock that is made and refused stays
                assert create_case(folder, case, time=NOON).title == "new"
            continue
        opened.close()
        there.append(True)
        assert opened.problems == ()
        assert opened.case.title == "new"
        assert check_folder(folder).whole
        with pytest.raises(FolderNotEmptyError):
            create_case(folder, case, time=NOON)
    assert set(there) == {False, True}


AROUND = {
    "os": {"write", "pwrite", "replace", "rename", "renames", "remove", "unlink", "link", "symlink", "truncate"}
    | {"ftruncate", "fsync", "fdatasync", "mknod", "mkfifo"},
    "shutil": {"copy", "copy2", "copyfile", "copyfileobj", "copytree", "move"},
}
OF_PATHS = {"write_bytes", "write_text", "unlink", "touch", "rename", "symlink_to", "hardlink_to", "link_to"}
STORAGE = Path(hazardreport.__file__).parent / "storage"


def around_the_hooks(source: str) -> list[str]:
    """Calls that change files otherwise than through `files`. Making and removing folders changes no file of a case."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.Call):
            continue
        name, owner = "", ""
        if isinstance(node.func, ast.Attribute):
            name = node.func.attr
            owner = node.func.value.id if isinstance(node.func.value, ast.Name) else "?"
        elif isinstance(node.func, ast.Name):
            name = node.func.id
        modes = [word.value for word in node.keywords if word.arg == "mode"] + node.args[0 if owner else 1 :][:1]
        opens_to_write = name == "open" and any(
            isinstance(mode, ast.Constant) and isinstance(mode.value, str) and set(mode.value) & set("wax+")
            for mode in modes
        )
        creates = owner == "os" and name == "open" and "O_CREAT" in ast.unparse(node)
        if owner == "files":
            continue
        of_a_path = name in OF_PATHS or (
            name == "replace" and owner not in ("files", "") and len(node.args) == 1 and not node.keywords
        )
        if name in AROUND.get(owner, ()) or of_a_path or creates or (opens_to_write and owner != "os"):
            found.append(f"line {node.lineno}: {ast.unparse(node)[:60]}")
    return found


def test_storage_changes_files_only_where_failures_can_be_put() -> None:
    found = {
        path.name: calls
        for path in sorted(STORAGE.rglob("*.py"))
        if path.name != "files.py" and (calls := around_the_hooks(path.read_text(encoding="utf-8")))
    }
    assert found == {}


@pytest.mark.parametrize(
    "offence",
    [
        "path.write_bytes(b'')",
        "(folder / 'a').write_text('x')",
        "os.write(3, b'')",
        "os.replace(a, b)",
        "a.replace(b)",
        "(folder / 'a').replace(b)",
        "path.unlink(missing_ok=True)",
        "os.open(path, os.O_WRONLY | os.O_CREAT)",
        "path.open('wb')",
        "open(path, mode='a')",
        "path.open('r+b')",
        "shutil.copyfile(a, b)",
        "os.fsync(3)",
    ],
)
def test_a_planted_offence_is_found(offence: str) -> None:
    assert around_the_hooks(f"def f():\n    {offence}\n") == [f"line 2: {offence}"]


@pytest.mark.parametrize(
    "call", ["files.replace(a, b)", "text.replace('a', 'b')", "path.open('rb')", "files.unlink(a)"]
)
def test_what_is_no_offence_is_not_found(call: str) -> None:
    assert around_the_hooks(call) == []
