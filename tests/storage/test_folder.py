"""A case as a folder: save, open, and all that can go wrong with either."""

import errno
import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport import errors, wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.case.reading import Load, LoadKind, Quantity, Reading
from hazardreport.storage import files
from hazardreport.storage.case_json import FORMAT
from hazardreport.storage.condition import evidence_problems
from hazardreport.storage.folder import OpenedCase, copy_case, create_case, open_case, save_case
from hazardreport.storage.manifest import read_manifest

PIXELS = b"the bytes of a picture, as far as storage cares"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A saved case with one picture."""
    folder = tmp_path / "case"
    case = create_case(folder, Case(id="C-1", title="Wax pot"))
    path = folder / "pictures" / "picture-001.jpg"
    path.write_bytes(PIXELS)
    picture = Picture(
        id="picture-001",
        file="picture-001.jpg",
        original_name="plate.jpg",
        media_type="image/jpeg",
        sha256=files.sha256(path),
        size=len(PIXELS),
        width=4,
        height=3,
    )
    save_case(replace(case, pictures=(picture,)), folder)
    return folder


def opened(folder: Path) -> OpenedCase:
    result = open_case(folder)
    result.close()
    return result


def kinds(result: OpenedCase) -> set[type]:
    for problem in result.problems:
        assert wording.what(problem)
        assert wording.remedy(problem)
    return {type(problem) for problem in result.problems}


def test_a_new_case_has_revision_one_and_each_save_counts_on(tmp_path: Path) -> None:
    case = create_case(tmp_path / "new", Case(id="C-1"))
    assert case.revision == 1
    assert save_case(case, tmp_path / "new").revision == 2
    assert opened(tmp_path / "new").case.revision == 2


def test_a_save_after_undo_still_counts_on(tmp_path: Path) -> None:
    first = create_case(tmp_path / "new", Case(id="C-1"))
    save_case(replace(first, title="later"), tmp_path / "new")
    assert save_case(first, tmp_path / "new").revision == 3


def test_a_sound_case_opens_without_problems(folder: Path) -> None:
    result = opened(folder)
    assert result.problems == ()
    assert not result.read_only
    assert sorted(path.name for path in folder.iterdir()) == [
        "case.json",
        "log.jsonl",
        "manifest-sha256.txt",
        "pictures",
        "values.jsonl",
    ]


def test_open_and_save_change_nothing_but_the_revision(folder: Path) -> None:
    before = opened(folder).case
    after = save_case(before, folder)
    assert replace(after, revision=before.revision) == before
    assert opened(folder).case == after


def test_the_manifest_names_record_and_pictures_with_their_hashes(folder: Path) -> None:
    lines = (folder / "manifest-sha256.txt").read_text(encoding="utf-8").splitlines()
    names = ("case.json", "log.jsonl", "pictures/picture-001.jpg", "values.jsonl")
    assert lines == [f"{files.sha256(folder / path)}  {path}" for path in names]


def test_a_new_case_is_never_laid_over_something(folder: Path) -> None:
    with pytest.raises(errors.FolderNotEmptyError):
        create_case(folder, Case(id="C-2"))
    assert opened(folder).case.id == "C-1"
    with pytest.raises(errors.FolderNotEmptyError):
        create_case(folder / "case.json", Case(id="C-2"))
    (folder / "empty").mkdir()
    assert create_case(folder / "empty", Case(id="C-3")).revision == 1


def test_a_folder_without_a_case_is_named(tmp_path: Path) -> None:
    with pytest.raises(errors.NoCaseError):
        open_case(tmp_path)
    with pytest.raises(errors.NoCaseError):
        open_case(tmp_path / "nowhere")


def test_opening_only_to_read_writes_nothing(folder: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in (folder, *folder.rglob("*"))}
    result = open_case(folder, for_writing=False)
    assert result.read_only
    assert result.problems == ()
    assert {path: path.stat().st_mtime_ns for path in (folder, *folder.rglob("*"))} == before


def test_a_newer_format_is_refused_with_a_sentence(folder: Path) -> None:
    record = json.loads((folder / "case.json").read_text(encoding="utf-8"))
    record["format"] = record["oldest_reader"] = FORMAT + 1
    record["unheard of"] = 1
    (folder / "case.json").write_text(json.dumps(record), encoding="utf-8")
    with pytest.raises(errors.NewerCaseFormatError) as caught:
        open_case(folder)
    assert (caught.value.format, caught.value.supported) == (FORMAT + 1, FORMAT)
    assert "newer version" in wording.remedy(caught.value)
    with pytest.raises(errors.NewerCaseFormatError):
        save_case(Case(id="C-1"), folder)


def test_a_newer_format_that_may_be_shown_opens_read_only_and_says_what_is_left_out(folder: Path) -> None:
    record = json.loads((folder / "case.json").read_text(encoding="utf-8"))
    record["format"] = FORMAT + 1
    record["case"]["unit"]["colour"] = "green"
    (folder / "case.json").write_text(json.dumps(record), encoding="utf-8")
    result = opened(folder)
    assert result.read_only
    assert result.case.title == "Wax pot"
    assert kinds(result) == {errors.NewerCaseReadOnlyError, errors.CaseFileChangedError}
    newer = next(problem for problem in result.problems if isinstance(problem, errors.NewerCaseReadOnlyError))
    assert "case.unit.colour" in newer.listing
    with pytest.raises(errors.NewerCaseFormatError):
        save_case(result.case, folder)
    assert json.loads((folder / "case.json").read_text(encoding="utf-8")) == record


def test_half_a_record_is_named_and_the_log_gives_it_back_whole(folder: Path) -> None:
    good = opened(folder).case
    data = (folder / "case.json").read_bytes()
    (folder / "case.json").write_bytes(data[: len(data) // 2])

    result = opened(folder)

    assert kinds(result) == {errors.CaseFileDamagedError, errors.CaseFileChangedError}
    assert result.case == good
    save_case(result.case, folder)
    assert (folder / "case.damaged-1.json").read_bytes() == data[: len(data) // 2]
    assert opened(folder).problems == ()


def test_half_a_record_without_any_copy_is_refused_with_its_place(folder: Path) -> None:
    (folder / "log.jsonl").unlink()
    (folder / "case.json").write_bytes((folder / "case.json").read_bytes()[:200])
    with pytest.raises(errors.CaseInvalidError) as caught:
        open_case(folder)
    assert caught.value.details[0].place.startswith("line ")
    assert open_again(folder)


def open_again(folder: Path) -> bool:
    """The lock was given back although opening failed."""
    return not (folder / "case.lock").exists()


def test_a_missing_record_falls_back_too(folder: Path) -> None:
    (folder / "case.json").unlink()
    assert kinds(opened(folder)) == {errors.CaseFileDamagedError}


def test_a_record_changed_by_hand_opens_and_is_named(folder: Path) -> None:
    text = (folder / "case.json").read_text(encoding="utf-8")
    (folder / "case.json").write_text(text.replace("Wax pot", "Toy"), encoding="utf-8")
    result = opened(folder)
    assert kinds(result) == {errors.CaseFileChangedError}
    assert result.case.title == "Toy"


@pytest.mark.parametrize("byte", [0, len(PIXELS) // 2, len(PIXELS) - 1])
def test_one_changed_byte_of_a_picture_is_named_and_the_rest_opens(folder: Path, byte: int) -> None:
    path = folder / "pictures" / "picture-001.jpg"
    data = bytearray(path.read_bytes())
    data[byte] ^= 1
    path.write_bytes(bytes(data))
    result = opened(folder)
    assert result.problems == (), "opening looks at sizes only"
    assert result.case.title == "Wax pot"
    (problem,) = evidence_problems(result.case, folder, thorough=True)
    assert isinstance(problem, errors.PictureChangedError)


def test_a_save_never_gives_a_changed_picture_a_fresh_hash(folder: Path) -> None:
    (folder / "pictures" / "picture-001.jpg").write_bytes(b"other")
    save_case(opened(folder).case, folder)
    assert kinds(opened(folder)) == {errors.PictureChangedError}
    removed = replace(opened(folder).case, pictures=())
    save_case(removed, folder)
    manifest = read_manifest(folder / "manifest-sha256.txt")
    assert manifest is not None
    assert manifest.hashes["pictures/picture-001.jpg"] != files.sha256(folder / "pictures" / "picture-001.jpg")


def test_a_missing_picture_is_named_and_the_rest_opens(folder: Path) -> None:
    (folder / "pictures" / "picture-001.jpg").unlink()
    assert kinds(opened(folder)) == {errors.PictureMissingError}


def test_a_picture_behind_a_link_is_not_the_picture(folder: Path, tmp_path: Path) -> None:
    path = folder / "pictures" / "picture-001.jpg"
    path.rename(tmp_path / "elsewhere.jpg")
    path.symlink_to(tmp_path / "elsewhere.jpg")
    assert kinds(opened(folder)) == {errors.PictureChangedError}


def test_a_missing_manifest_is_named(folder: Path) -> None:
    (folder / "manifest-sha256.txt").unlink()
    assert kinds(opened(folder)) == {errors.ManifestMissingError}


@pytest.mark.parametrize(
    "line", ["no hash at all", f"{'0' * 64}  ../outside.txt", f"{'0' * 64}  /etc/passwd", f"{'0' * 64}  C:/x", "0" * 64]
)
def test_damaged_lines_of_the_manifest_are_numbered(folder: Path, line: str) -> None:
    with (folder / "manifest-sha256.txt").open("a", encoding="utf-8") as stream:
        stream.write(line + "\n")
    result = opened(folder)
    assert [problem.fields()["lines"] for problem in result.problems] == ["5"]


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EIO, errno.EROFS])
def test_a_full_or_forbidden_disk_leaves_the_old_case_intact(
    folder: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    case = opened(folder).case

    def full(descriptor: int, data: bytes) -> int:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(files, "write", full)
    with pytest.raises(errors.CouldNotWriteError) as caught:
        save_case(replace(case, title="changed"), folder)
    monkeypatch.undo()

    assert caught.value.exit_code == errors.ExitCode.COULD_NOT_WRITE
    assert os.strerror(number) in wording.what(caught.value)
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("call", range(1, 5))
def test_a_disk_that_fills_up_at_any_write_leaves_the_old_case_intact(
    folder: Path, monkeypatch: pytest.MonkeyPatch, call: int
) -> None:
    case = opened(folder).case
    calls = []

    def fills_up(descriptor: int, data: bytes) -> int:
        calls.append(len(data))
        if len(calls) < call:
            return os.write(descriptor, data)
        if len(calls) == call:
            return os.write(descriptor, data[: len(data) // 2])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(files, "write", fills_up)
    with pytest.raises(errors.CouldNotWriteError):
        save_case(replace(case, title="changed"), folder)
    monkeypatch.undo()

    assert opened(folder).case == case
    assert opened(folder).problems == ()


def test_a_new_case_that_cannot_be_written_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(descriptor: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr(files, "write", full)
    with pytest.raises(errors.CouldNotWriteError):
        create_case(tmp_path / "new", Case(id="C-1"))
    assert list(tmp_path.iterdir()) == []


def test_values_that_no_file_could_give_back_are_refused_with_their_place(folder: Path) -> None:
    case = opened(folder).case
    load = Load(kind=LoadKind.RESISTOR, resistance=float("inf"))
    reading = Reading(id="reading-001", first="A", second="B", quantity=Quantity.VOLTAGE, typed="1 V", load=load)
    with pytest.raises(errors.CaseNotSavableError) as caught:
        save_case(replace(case, title="half \ud800", readings=(reading,)), folder)
    assert {fault.place for fault in caught.value.details} == {"case.title", "case.readings[0].load.resistance"}
    assert opened(folder).case == case


def test_a_copy_is_the_case_without_what_lies_beside_it(folder: Path, tmp_path: Path) -> None:
    copy = copy_case(folder, tmp_path / "copy")
    assert sorted(path.name for path in copy.iterdir()) == [
        "case.json",
        "log.jsonl",
        "manifest-sha256.txt",
        "pictures",
        "values.jsonl",
    ]
    for name in ("case.json", "log.jsonl", "values.jsonl", "manifest-sha256.txt", "pictures/picture-001.jpg"):
        assert (copy / name).read_bytes() == (folder / name).read_bytes()
    assert opened(copy).problems == ()
    (tmp_path / "empty").mkdir()
    assert opened(copy_case(folder, tmp_path / "empty")).case == opened(folder).case
    with pytest.raises(errors.FolderNotEmptyError):
        copy_case(folder, copy)
    with pytest.raises(errors.NoCaseError):
        copy_case(tmp_path / "nothing", tmp_path / "other")


def test_a_copy_that_fails_leaves_nothing(folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(descriptor: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr(files, "write", full)
    with pytest.raises(errors.CouldNotWriteError):
        copy_case(folder, tmp_path / "copy")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["case"]


@pytest.mark.parametrize("name", ["case.json", "log.jsonl", "manifest-sha256.txt", "journal.json"])
def test_a_pipe_in_place_of_a_file_is_not_waited_for(folder: Path, name: str) -> None:
    (folder / name).unlink(missing_ok=True)
    os.mkfifo(folder / name)
    assert open_case(folder, for_writing=False).problems
