"""An attachment is erased as a picture is: its file, every text about it, what points to it; whole or not at all."""

import json
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import hazardreport
from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.case.custody import Anchor, AnchorKind
from hazardreport.case.letter import Letter
from hazardreport.review.integrity import check_folder
from hazardreport.storage import files
from hazardreport.storage.erasing import Wish, erase
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.journal import write_journal
from hazardreport.storage.revision import Signature
from tests.storage.conftest import ATTACHMENT, NOON, small_case
from tests.storage.failing_disk import FAULTS, Fault, failing

ID, PATH = "attachment-001", "attachments/attachment-001.pdf"
CAPTION, NAME = "letter of Zdenka Quillfeather", "note.pdf"
SIGNED = Signature(author="Keeper of records", time=NOON)
WISH = Wish(attachments=frozenset({ID}), reason="erased")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A case whose attachment had another caption, and is named by an anchor and a letter; with a journal left over."""
    folder = small_case(tmp_path / "case", Case(id="C-1", title="Wax pot"))
    case = open_case(folder, for_writing=False).case
    attachment = case.attachments[0]
    case = save_case(
        replace(
            case,
            attachments=(replace(attachment, caption=CAPTION),),
            anchors=(Anchor(id="anchor-001", kind=AnchorKind.SENT, revision=1, head="0" * 64, attachment=ID),),
            letters=(Letter(id="letter-001", attachments=(ID,)),),
        ),
        folder,
    )
    case = replace(case, anchors=(replace(case.anchors[0], head=check_folder(folder).chain.revisions[0].sha256),))
    write_journal(case, folder)
    save_case(replace(case, attachments=(replace(attachment, caption="a letter"),)), folder, author="Kim")
    return folder


def case_of(folder: Path) -> Case:
    return open_case(folder, for_writing=False).case


def everything(folder: Path) -> bytes:
    return b"\0".join(path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file())


def assert_gone(folder: Path) -> None:
    data = everything(folder)
    for trace in (ATTACHMENT, CAPTION.encode(), NAME.encode(), b"a letter"):
        assert trace not in data, trace
    assert not (folder / PATH).exists()
    assert PATH not in (folder / "manifest-sha256.txt").read_text(encoding="utf-8")
    found = check_folder(folder)
    assert found.whole, found.problems
    assert found.chain.revisions[-1].erased == 3
    assert not (folder / "journal.json").exists()
    assert [path.name for path in folder.iterdir() if path.name.startswith(".") or path.name == "case.lock"] == []


def test_file_texts_and_links_are_gone_and_the_log_keeps_its_hashes(folder: Path) -> None:
    before = check_folder(folder).chain.revisions
    saved = erase(case_of(folder), folder, WISH, SIGNED)
    assert_gone(folder)
    assert saved.attachments == ()
    assert saved.anchors[0].attachment == ""
    assert saved.anchors[0].revision == 1
    assert saved.letters[0].attachments == ()
    assert [picture.id for picture in saved.pictures] == ["picture-001"]
    after = check_folder(folder).chain.revisions
    assert [one.sha256 for one in after[:-1]] == [one.sha256 for one in before]
    assert case_of(folder) == saved


def test_an_attachment_no_longer_in_the_record_goes_too(folder: Path) -> None:
    erase(save_case(replace(case_of(folder), attachments=()), folder), folder, WISH, SIGNED)
    assert_gone(folder)


def test_a_file_that_another_attachment_names_stays(folder: Path) -> None:
    case = case_of(folder)
    twin = replace(case.attachments[0], id="attachment-002", caption="the same file")
    saved = erase(save_case(replace(case, attachments=(*case.attachments, twin)), folder), folder, WISH, SIGNED)
    assert saved.attachments == (twin,)
    assert (folder / PATH).read_bytes() == ATTACHMENT
    assert check_folder(folder).whole


def test_one_that_is_not_there_cannot_be_erased(folder: Path) -> None:
    before = everything(folder)
    with pytest.raises(errors.NoSuchRecordError, match="attachment-009"):
        erase(case_of(folder), folder, replace(WISH, attachments=frozenset({"attachment-009"})), SIGNED)
    assert everything(folder) == before


def test_a_log_that_names_a_file_elsewhere_removes_nothing_there(tmp_path: Path) -> None:
    folder = tmp_path / "case"
    small_case(folder, Case(id="C-1"))
    kept = tmp_path / "kept.txt"
    kept.write_bytes(b"somebody else's")
    case = case_of(folder)
    lines = (folder / "log.jsonl").read_bytes().splitlines()
    forged = json.loads(lines[-1])
    [change] = [one for one in forged["changes"] if one["path"].startswith("/attachments/")]
    change["value"]["file"] = "../../kept.txt"
    lines[-1] = json.dumps(forged, separators=(",", ":"), ensure_ascii=False).encode()
    (folder / "log.jsonl").write_bytes(b"\n".join(lines) + b"\n")
    erase(replace(case, attachments=()), folder, WISH, SIGNED)
    assert kept.read_bytes() == b"somebody else's"


@pytest.mark.parametrize(
    "wish",
    [
        WISH,
        Wish(words=("Nobody Known",), authors=frozenset({"Nobody Known"}), reason="erased"),
        Wish(reason="erased"),
    ],
    ids=["erased before", "a name that is nowhere", "an empty wish"],
)
def test_an_erase_that_finds_nothing_makes_no_revision(folder: Path, wish: Wish) -> None:
    saved = erase(case_of(folder), folder, WISH, SIGNED)
    before = everything(folder)
    assert erase(saved, folder, wish, SIGNED) == saved
    assert everything(folder) == before


def test_unsaved_work_stays_in_the_journal_when_nothing_is_found(folder: Path) -> None:
    write_journal(replace(case_of(folder), title="unsaved"), folder)
    case = case_of(folder)
    assert erase(case, folder, Wish(words=("Nobody Known",), reason="erased"), SIGNED) == case
    assert case_of(folder).title == "unsaved"


def test_a_damaged_record_beside_the_case_goes_whatever_it_says(folder: Path) -> None:
    (folder / "case.json").write_bytes((folder / "case.json").read_bytes()[:-50])
    case = save_case(case_of(folder), folder)
    assert list(folder.glob("*.damaged-*"))
    assert erase(case, folder, Wish(words=("Nobody Known",), reason="erased"), SIGNED).revision == case.revision + 1
    assert not list(folder.glob("*.damaged-*"))


@pytest.mark.parametrize(
    "fault", ["full", *(pytest.param(one, marks=pytest.mark.slow) for one in FAULTS if one != "full")]
)
@pytest.mark.parametrize("persists", [False, True])
def test_an_erase_whose_disk_fails_is_finished_at_the_next_opening_or_has_not_happened(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: str, persists: bool
) -> None:
    monkeypatch.setattr(files, "fsync", lambda descriptor: None)
    place = tmp_path / "copy"
    shutil.copytree(folder, place)
    with failing({}) as calls:
        erase(case_of(place), place, WISH, SIGNED)
    outcomes = [tried(folder, place, number, FAULTS[fault], persists) for number in range(1, len(calls) + 1)]
    assert {state for state, _ in outcomes} == {"kept", "gone"}


def tried(start: Path, place: Path, number: int, fault: Fault, persists: bool) -> tuple[str, bool]:
    """What an erase leaves, and whether it was said to be done, when a call of it goes wrong."""
    shutil.rmtree(place)
    shutil.copytree(start, place)
    said = True
    with failing({number: fault}, fault if persists else None):
        try:
            erase(case_of(place), place, WISH, SIGNED)
        except errors.CouldNotWriteError:
            said = False
    state = after_the_next_opening(place)
    assert state == "gone" or not said, number
    return state, said


def after_the_next_opening(folder: Path) -> str:
    """Say "kept" if nothing was erased, "gone" if everything was; nothing else is allowed."""
    opened = open_case(folder)
    opened.close()
    assert opened.problems == ()
    assert not opened.read_only
    if opened.case.attachments:
        assert (folder / PATH).read_bytes() == ATTACHMENT
        assert not (folder / ".erasing.part").exists()
        assert check_folder(folder).whole
        return "kept"
    assert_gone(folder)
    return "gone"


DIES = """
import os, sys
from pathlib import Path
from hazardreport.storage import files
from hazardreport.storage.erasing import Wish, erase
from hazardreport.storage.folder import open_case
from hazardreport.storage.revision import Signature

step, folder = int(sys.argv[1]), Path(sys.argv[2])
case = open_case(folder, for_writing=False).case
steps = 0

def dying(real):
    def call(*arguments):
        global steps
        steps += 1
        if steps == step:
            os._exit(9)
        return real(*arguments)
    return call

files.fsync = lambda descriptor: None
for name in ("write", "replace", "unlink"):
    setattr(files, name, dying(getattr(files, name)))
wish = Wish(attachments=frozenset({"attachment-001"}), reason="erased")
erase(case, folder, wish, Signature(author="Keeper of records"))
"""


def killed(folder: Path, step: int) -> int:
    """Exit code of a process that erases and dies at a step: 9, or 0 if it has not so many."""
    return subprocess.run(
        [sys.executable, "-c", DIES, str(step), str(folder)],
        check=False,
        timeout=60,
        cwd=Path(hazardreport.__file__).parents[1],
    ).returncode


def test_an_erase_cut_off_at_any_step_is_finished_at_the_next_opening_or_has_not_happened(
    folder: Path, tmp_path: Path
) -> None:
    seen: list[str] = []
    for step in range(1, 40):
        place = tmp_path / "copy"
        shutil.rmtree(place, ignore_errors=True)
        shutil.copytree(folder, place)
        code = killed(place, step)
        seen.append(after_the_next_opening(place))
        if code == 0:
            break
        assert code == 9
    assert code == 0
    assert seen == sorted(seen, reverse=True)
    assert seen.count("kept") > 5
    assert seen.count("gone") > 5


def test_a_new_case_has_nothing_to_erase(tmp_path: Path) -> None:
    case = create_case(tmp_path / "case", Case(id="C-1"))
    assert erase(case, tmp_path / "case", Wish(words=("Kim",), reason="erased"), SIGNED) == case
