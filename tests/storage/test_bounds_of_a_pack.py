"""Checking and opening a pack take bounded memory, and our own pack passes our own check whatever the record says."""

import zipfile
from pathlib import Path

import pytest

from hazardreport.case.case import Case
from hazardreport.errors import PackRefusedError
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage import bag, unpack, zip_check
from hazardreport.storage.folder import create_case
from hazardreport.storage.pack import pack_case
from hazardreport.storage.zip_format import Entry, local_header


@pytest.fixture
def pack(tmp_path: Path) -> Path:
    create_case(tmp_path / "case", Case(id="HR-1"))
    pack_case(tmp_path / "case", tmp_path / "pack.zip", created="2026-05-04")
    return tmp_path / "pack.zip"


def with_more(pack: Path, members: dict[str, bytes]) -> Path:
    found = pack.with_name("more.zip")
    with zipfile.ZipFile(pack) as source, zipfile.ZipFile(found, "w") as target:
        for name in source.namelist():
            target.writestr(name, source.read(name))
        for name, data in members.items():
            target.writestr(name, data)
    return found


def test_a_tag_file_of_another_program_is_hashed_and_not_kept(pack: Path, tmp_path: Path) -> None:
    more = with_more(pack, {"HR-1/notes.txt": b"notes"})
    assert "notes.txt" in [file.path for file in check_pack(more).files]
    assert unpack.unpack(more, tmp_path / "into").folder.is_dir()


def test_tag_files_that_are_read_are_bounded_together(
    pack: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(unpack, "TAGS_LIMIT", 5_000)
    more = with_more(pack, {f"HR-1/manifest-sha{number}.txt": bytes(2_000) for number in (1, 384, 512)})
    with pytest.raises(PackRefusedError) as told:
        unpack.unpack(more, tmp_path / "into")
    assert [one.key for one in told.value.details] == ["storage.tag_too_large"]


def test_a_walk_over_headers_ends(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(zip_check, "MEMBER_LIMIT", 7)
    data = b""
    for number in range(20):
        data += local_header(Entry(name=f"HR-1/data/pictures/{number}", size=0, crc=0, offset=len(data)))
    (tmp_path / "heads.zip").write_bytes(data)
    with (tmp_path / "heads.zip").open("rb") as stream:
        assert len(zip_check.container(stream, "heads.zip").members) == 7


def test_a_long_value_is_cut_and_the_pack_is_whole(tmp_path: Path) -> None:
    create_case(tmp_path / "case", Case(id="x" * 200_000))
    info = pack_case(tmp_path / "case", tmp_path / "pack.zip", created="2026-05-04").info
    assert len(bag.info_from_bytes(bag.info_bytes(info))["External-Identifier"]) == bag.VALUE_LIMIT
    assert check_pack(tmp_path / "pack.zip").whole
