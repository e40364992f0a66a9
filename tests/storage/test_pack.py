"""Packs: the same case gives the same bytes, an unsound case gives none, and what was packed comes back."""

import hashlib
import os
import zipfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from hazardreport import errors, wording
from hazardreport.case.case import Case
from hazardreport.case.custody import Anchor, AnchorKind
from hazardreport.storage import bag, files
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.journal import write_journal
from hazardreport.storage.manifest import read_manifest
from hazardreport.storage.pack import pack_case
from hazardreport.storage.unpack import unpack
from hazardreport.storage.zip_check import check_zip

NOON = "2026-06-01T12:00:00Z"
IDS = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=12)
MakeCase = Callable[..., Path]


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name != "case.lock"
    }


def faults(folder: Path, out: Path) -> dict[str, str]:
    """What keeps the case from being packed, by file; and nothing was written."""
    with pytest.raises(errors.CaseNotPackedError) as caught:
        pack_case(folder, out, created=NOON)
    assert wording.what(caught.value)
    assert wording.remedy(caught.value)
    assert not out.exists()
    assert not [path for path in out.parent.iterdir() if path.name.endswith(".part")]
    return {one.place: one.key.removeprefix("storage.") for one in caught.value.details}


def test_a_pack_holds_the_bag_and_nothing_of_the_programs_work(case_folder: Path, packed: Path) -> None:
    manifest = read_manifest(case_folder / "manifest-sha256.txt")
    assert manifest is not None
    with zipfile.ZipFile(packed) as source:
        names = source.namelist()
        tags = {name: source.read(f"HR-2026-7/{name}") for name in bag.TAG_FILES}
    assert names == [
        f"HR-2026-7/{name}" for name in sorted([*bag.TAG_FILES, *(f"data/{path}" for path in manifest.hashes)])
    ]
    info = bag.info_from_bytes(tags["bag-info.txt"])
    assert info["External-Identifier"] == "HR-2026/7"
    assert info["Bagging-Date"] == "2026-06-01"
    assert info["Case-Revision"] == "2"
    assert info["Anchored"].startswith("no: ")
    assert tags["bagit.txt"] == bag.DECLARATION
    assert check_zip(packed) == ()


def test_the_same_case_gives_the_same_bytes(case_folder: Path, packed: Path, tmp_path: Path) -> None:
    (case_folder / "pictures" / "picture-001.jpg").touch()
    (case_folder / "pictures" / ".picture-002.jpg.part").write_bytes(b"half")
    again = pack_case(case_folder, tmp_path / "again.zip", created="2026-06-01T23:59:59Z").path
    assert again.read_bytes() == packed.read_bytes()
    other = pack_case(case_folder, tmp_path / "other.zip", created="2026-06-02T00:00:00Z").path
    assert other.read_bytes() != packed.read_bytes()


def test_packing_writes_nothing_into_the_case(case_folder: Path, tmp_path: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in (case_folder, *case_folder.rglob("*"))}
    pack_case(case_folder, tmp_path / "a.zip", created=NOON)
    assert {path: path.stat().st_mtime_ns for path in (case_folder, *case_folder.rglob("*"))} == before


def test_a_pack_unpacks_to_the_very_same_case(case_folder: Path, packed: Path, tmp_path: Path) -> None:
    unpacked = unpack(packed, tmp_path / "deep" / "back")
    assert unpacked.remarks == ()
    assert contents(unpacked.folder) == contents(case_folder)
    opened, before = open_case(unpacked.folder), open_case(case_folder, for_writing=False)
    opened.close()
    assert opened.problems == ()
    assert opened.case == before.case
    saved = save_case(replace(opened.case, title="Goes on"), unpacked.folder)
    assert saved.revision == before.case.revision + 1
    assert pack_case(unpacked.folder, tmp_path / "next.zip", created=NOON).info.revision == saved.revision


@given(id=IDS, title=st.text(st.characters(exclude_categories=("Cs",)), max_size=20))
@settings(derandomize=True, deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_number_of_a_case_comes_back(tmp_path: Path, id: str, title: str) -> None:
    place = tmp_path / os.urandom(8).hex()
    created = create_case(place / "case", Case(id=id, title=title))
    pack = pack_case(place / "case", place / "a.zip", created=NOON)
    assert contents(unpack(pack.path, place / "back").folder) == contents(place / "case")
    with zipfile.ZipFile(pack.path) as source:
        info = next(name for name in source.namelist() if name.endswith("/bag-info.txt"))
        assert bag.info_from_bytes(source.read(info))["External-Identifier"] == created.id


def test_names_with_line_breaks_and_percent_signs_come_back(make_case: MakeCase, tmp_path: Path) -> None:
    folder = make_case(Case(id="C-1"), {"pictures/100%\n%0A.jpg": b"odd", "pictures/ä\r.jpg": b"odd too"})
    pack = pack_case(folder, tmp_path / "a.zip", created=NOON).path
    assert contents(unpack(pack, tmp_path / "back").folder) == contents(folder)


def test_unsaved_work_is_not_left_out_silently(case_folder: Path, tmp_path: Path) -> None:
    case = open_case(case_folder, for_writing=False).case
    write_journal(replace(case, title="Not saved yet"), case_folder)
    with pytest.raises(errors.UnsavedWorkError):
        pack_case(case_folder, tmp_path / "a.zip", created=NOON)
    write_journal(case, case_folder)
    pack_case(case_folder, tmp_path / "a.zip", created=NOON)
    (case_folder / "journal.json").write_bytes(b"{")
    with pytest.raises(errors.UnsavedWorkError):
        pack_case(case_folder, tmp_path / "b.zip", created=NOON)


def test_every_fault_of_the_folder_is_told_at_once(case_folder: Path, tmp_path: Path) -> None:
    (case_folder / "pictures" / "picture-001.jpg").write_bytes(b"other")
    (case_folder / "attachments" / "attachment-001.pdf").unlink()
    (case_folder / "pictures" / "stray.jpg").write_bytes(b"x")
    (case_folder / "note.txt").write_bytes(b"x")
    assert faults(case_folder, tmp_path / "a.zip") == {
        "pictures/picture-001.jpg": "file_changed",
        "attachments/attachment-001.pdf": "file_missing_here",
        "pictures/stray.jpg": "file_not_listed_here",
        "note.txt": "file_not_listed_here",
    }


def test_a_changed_file_alone_is_told(case_folder: Path, tmp_path: Path) -> None:
    path = case_folder / "pictures" / "picture-001.jpg"
    data = bytearray(path.read_bytes())
    data[3] ^= 1
    path.write_bytes(bytes(data))
    assert faults(case_folder, tmp_path / "a.zip") == {"pictures/picture-001.jpg": "file_changed"}


def test_a_link_is_not_the_file(case_folder: Path, tmp_path: Path) -> None:
    path = case_folder / "pictures" / "picture-001.jpg"
    path.rename(tmp_path / "away.jpg")
    path.symlink_to(tmp_path / "away.jpg")
    assert faults(case_folder, tmp_path / "a.zip") == {"pictures/picture-001.jpg": "file_changed"}
    (case_folder / "pictures" / "more").symlink_to(tmp_path)
    assert faults(case_folder, tmp_path / "a.zip")["pictures/more"] == "file_not_listed_here"


def test_a_folder_without_list_of_hashes_is_not_packed(case_folder: Path, tmp_path: Path) -> None:
    (case_folder / "manifest-sha256.txt").unlink()
    assert "manifest_none" in faults(case_folder, tmp_path / "a.zip").values()


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("pictures/a:b.jpg", "name_leads_out"),
        ("pictures/con.jpg", "name_of_device"),
        ("pictures/dot.", "name_of_device"),
        ("pictures/tab\t.jpg", "name_no_text"),
        (os.fsdecode(b"pictures/odd\xff.jpg"), "name_no_text"),
        ("pictures/Picture-001.JPG", "name_clash"),
    ],
)
def test_a_name_that_not_every_system_holds_is_not_packed(
    make_case: MakeCase, tmp_path: Path, name: str, key: str
) -> None:
    folder = make_case(Case(id="C-1"), {name: b"x"})
    assert key in faults(folder, tmp_path / "a.zip").values()


def test_names_that_differ_only_in_how_letters_are_composed_are_not_packed(make_case: MakeCase, tmp_path: Path) -> None:
    folder = make_case(Case(id="C-1"), {"pictures/\u00e4.jpg": b"x", "pictures/a\u0308.jpg": b"y"})
    assert "name_clash" in faults(folder, tmp_path / "a.zip").values()


def test_a_file_that_changes_while_it_is_packed_is_not_packed(
    case_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = case_folder / "pictures" / "picture-001.jpg"
    before, write = path.read_bytes(), files.write
    other, seen = bytes(len(before)), []

    def meddling(descriptor: int, data: bytes) -> int:
        seen.append(data)
        path.write_bytes(before if other in seen else other)
        return write(descriptor, data)

    monkeypatch.setattr(files, "write", meddling)
    assert faults(case_folder, tmp_path / "a.zip") == {"pictures/picture-001.jpg": "file_changing"}


@pytest.mark.parametrize("size", [0, 10, 1000])
def test_a_file_that_grows_or_shrinks_while_it_is_packed_is_not_packed(
    case_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: int
) -> None:
    path, write = case_folder / "pictures" / "picture-001.jpg", files.write

    def meddling(descriptor: int, data: bytes) -> int:
        path.write_bytes(bytes(size))
        return write(descriptor, data)

    monkeypatch.setattr(files, "write", meddling)
    assert faults(case_folder, tmp_path / "a.zip") == {"pictures/picture-001.jpg": "file_changed"}


def test_a_pack_does_not_go_into_its_own_case_nor_over_a_file(case_folder: Path, tmp_path: Path) -> None:
    with pytest.raises(errors.CouldNotWriteError):
        pack_case(case_folder, case_folder / "a.zip", created=NOON)
    (tmp_path / "a.zip").write_bytes(b"work")
    with pytest.raises(errors.FileInTheWayError):
        pack_case(case_folder, tmp_path / "a.zip", created=NOON)
    assert (tmp_path / "a.zip").read_bytes() == b"work"
    pack_case(case_folder, tmp_path / "a.zip", created=NOON, overwrite=True)
    assert check_zip(tmp_path / "a.zip") == ()


def test_a_folder_without_a_case_is_named(tmp_path: Path) -> None:
    with pytest.raises(errors.NoCaseError):
        pack_case(tmp_path / "none", tmp_path / "a.zip", created=NOON)


def test_an_anchor_is_told_in_the_pack_if_its_hash_is_that_of_the_log(case_folder: Path, tmp_path: Path) -> None:
    case = open_case(case_folder, for_writing=False).case
    lines = (case_folder / "log.jsonl").read_bytes().splitlines()
    heads = {number: hashlib.sha256(line).hexdigest() for number, line in enumerate(lines, 1)}
    true = tuple(
        Anchor(id=f"anchor-{number}", kind=AnchorKind.SENT, revision=number, head=heads[number], when="2026-05-04")
        for number in (2, 1)
    )
    false = Anchor(id="anchor-3", kind=AnchorKind.SENT, revision=3, head="0" * 64, when="2026-05-05")
    save_case(replace(case, anchors=(false,)), case_folder)
    assert pack_case(case_folder, tmp_path / "a.zip", created=NOON).info.anchored.startswith("no: ")
    save_case(replace(case, anchors=(*true, false)), case_folder)
    info = pack_case(case_folder, tmp_path / "b.zip", created=NOON).info
    assert info.anchored == "revision 2: hash sent, 2026-05-04"
    assert info.head == hashlib.sha256((case_folder / "log.jsonl").read_bytes().splitlines()[-1]).hexdigest()
