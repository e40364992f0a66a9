"""Integrity: each file whole, changed, missing or not listed."""

from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.review.integrity import FileState, Integrity, check_folder
from hazardreport.storage import files
from hazardreport.storage.folder import create_case, save_case
from hazardreport.storage.journal import write_journal

RECORD, PICTURE = "case.json", "pictures/picture-001.jpg"
LISTED = (RECORD, "log.jsonl", "values.jsonl", PICTURE)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "case"
    case = create_case(folder, Case(id="C-1"))
    path = folder / PICTURE
    path.write_bytes(b"bytes of a picture")
    picture = Picture(
        id="picture-001",
        file=path.name,
        original_name="a.jpg",
        media_type="image/jpeg",
        sha256=files.sha256(path),
        size=18,
        width=1,
        height=1,
    )
    save_case(replace(case, pictures=(picture,)), folder)
    return folder


def states(integrity: Integrity) -> dict[str, str]:
    return {check.path: check.state for check in integrity.files}


def test_a_saved_case_is_whole(folder: Path) -> None:
    integrity = check_folder(folder)
    assert states(integrity) == dict.fromkeys(LISTED, "whole")
    assert integrity.whole
    assert all(check.sha256 == check.listed != "" for check in integrity.files)


def test_files_of_the_programs_own_work_do_not_count(folder: Path) -> None:
    write_journal(Case(id="C-1", title="edited"), folder)
    (folder / "case.lock").write_text("1 elsewhere", encoding="utf-8")
    (folder / "pictures" / ".picture-002.part").write_bytes(b"half")
    (folder / "pictures" / ".DS_Store").write_bytes(b"of the system")
    assert check_folder(folder).whole


@pytest.mark.parametrize("path", LISTED)
@pytest.mark.parametrize("byte", [0, 5, -1])
def test_one_changed_byte_is_found(folder: Path, path: str, byte: int) -> None:
    data = bytearray((folder / path).read_bytes())
    data[byte] ^= 0x01
    (folder / path).write_bytes(bytes(data))
    integrity = check_folder(folder)
    assert states(integrity)[path] == FileState.CHANGED
    assert not integrity.whole


@pytest.mark.parametrize("path", LISTED)
def test_a_missing_file_is_found(folder: Path, path: str) -> None:
    (folder / path).unlink()
    integrity = check_folder(folder)
    assert states(integrity)[path] == FileState.MISSING
    assert not integrity.whole


@pytest.mark.parametrize("path", ["pictures/extra.png", "pictures/deep/er.txt", "note.txt"])
def test_a_file_that_nobody_listed_is_found(folder: Path, path: str) -> None:
    (folder / path).parent.mkdir(exist_ok=True)
    (folder / path).write_bytes(b"x")
    integrity = check_folder(folder)
    assert states(integrity)[path] == FileState.NOT_LISTED
    assert not integrity.whole


def test_a_link_is_not_the_file(folder: Path, tmp_path: Path) -> None:
    (folder / PICTURE).rename(tmp_path / "away.jpg")
    (folder / PICTURE).symlink_to(tmp_path / "away.jpg")
    assert states(check_folder(folder))[PICTURE] == FileState.CHANGED


def test_a_record_that_cannot_be_read_is_a_problem_even_if_it_is_listed(folder: Path) -> None:
    (folder / RECORD).write_bytes(b"{}")
    manifest = (folder / "manifest-sha256.txt").read_text(encoding="utf-8").splitlines()
    lines = [f"{files.sha256(folder / RECORD)}  {RECORD}", *manifest[1:]]
    (folder / "manifest-sha256.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    integrity = check_folder(folder)
    assert states(integrity)[RECORD] == FileState.WHOLE
    assert [type(problem) for problem in integrity.problems] == [errors.CaseInvalidError]
    assert not integrity.whole


def test_a_picture_and_manifest_exchanged_together_disagree_with_the_record(folder: Path) -> None:
    (folder / PICTURE).write_bytes(b"another picture")
    lines = [f"{files.sha256(folder / path)}  {path}" for path in sorted(LISTED)]
    (folder / "manifest-sha256.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    integrity = check_folder(folder)
    assert set(states(integrity).values()) == {"whole"}
    assert [type(problem) for problem in integrity.problems] == [errors.PictureHashesDisagreeError]


def test_without_a_manifest_nothing_is_whole(folder: Path) -> None:
    (folder / "manifest-sha256.txt").unlink()
    integrity = check_folder(folder)
    assert set(states(integrity).values()) == {"not listed"}
    assert [type(problem) for problem in integrity.problems] == [errors.ManifestMissingError]


def test_a_damaged_manifest_is_a_problem(folder: Path) -> None:
    with (folder / "manifest-sha256.txt").open("a", encoding="utf-8") as stream:
        stream.write("what\n")
    assert [type(problem) for problem in check_folder(folder).problems] == [errors.ManifestDamagedError]


def test_a_folder_without_a_case_is_named(tmp_path: Path) -> None:
    with pytest.raises(errors.NoCaseError):
        check_folder(tmp_path)


def test_checking_writes_nothing(folder: Path) -> None:
    before = {
        path: (path.stat().st_mtime_ns, path.stat().st_size) for path in (folder, *folder.rglob("*")) if path.exists()
    }
    check_folder(folder)
    assert {path: (path.stat().st_mtime_ns, path.stat().st_size) for path in (folder, *folder.rglob("*"))} == before
