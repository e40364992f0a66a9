"""The zip file of a pack: others read it, its bytes follow from its members, and every other byte is found.

Outside checks: Python's own zipfile, and Info-ZIP's `unzip -t` where it is installed.
"""

import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import errors
from hazardreport.storage import files, zip_format
from hazardreport.storage.canonical_zip import CanonicalZip, SizeChangedError
from hazardreport.storage.zip_check import check_zip

MEMBERS = {"T/a.txt": b"one", "T/b/empty": b"", "T/b/ä\n%.bin": bytes(range(256)) * 10, "T/c": b"x" * 100_000}
NAMES = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), min_size=1, max_size=12)


def written(path: Path, members: dict[str, bytes]) -> Path:
    with CanonicalZip(path, overwrite=True) as target:
        for name in sorted(members, key=str.encode):
            target.add(name, len(members[name]), [members[name]])
    return path


def read(path: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(path) as source:
        assert source.testzip() is None
        return {info.orig_filename: source.read(info) for info in source.infolist()}


def test_others_read_what_was_written(tmp_path: Path) -> None:
    path = written(tmp_path / "a.zip", MEMBERS)
    assert read(path) == MEMBERS
    assert check_zip(path) == ()
    assert [path.name for path in tmp_path.iterdir()] == ["a.zip"]
    with zipfile.ZipFile(path) as source:
        info = source.infolist()[0]
        assert (info.date_time, info.external_attr >> 16, info.compress_type) == ((1980, 1, 1, 0, 0, 0), 0o100644, 0)


@pytest.mark.skipif(shutil.which("unzip") is None, reason="unzip is not installed")
def test_info_zip_reads_it(tmp_path: Path) -> None:
    path = written(tmp_path / "a.zip", MEMBERS)
    subprocess.run(["unzip", "-tqq", str(path)], check=True, capture_output=True, timeout=60)


@given(members=st.dictionaries(NAMES, st.binary(max_size=40), min_size=1, max_size=5))
@settings(derandomize=True, deadline=None, max_examples=100)
def test_any_members_come_back_and_the_same_members_give_the_same_bytes(
    tmp_path_factory: pytest.TempPathFactory, members: dict[str, bytes]
) -> None:
    path = tmp_path_factory.getbasetemp() / "any.zip"
    written(path, members)
    first = path.read_bytes()
    assert read(path) == members
    assert check_zip(path) == ()
    assert written(path, dict(reversed(members.items()))).read_bytes() == first


@pytest.mark.parametrize("limit", [1, 50, 2_000])
def test_numbers_above_32_bits_are_read_by_others_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: int
) -> None:
    monkeypatch.setattr(zip_format, "limit", limit)
    path = written(tmp_path / "a.zip", MEMBERS)
    assert b"PK\x06\x06" in path.read_bytes()
    assert read(path) == MEMBERS
    assert check_zip(path) == ()
    monkeypatch.undo()
    assert check_zip(path) != ()


def test_more_members_than_16_bits_hold(tmp_path: Path) -> None:
    members = {f"{number:05}": b"" for number in range(0x10001)}
    path = written(tmp_path / "a.zip", members)
    assert read(path).keys() == members.keys()
    assert check_zip(path) == ()


def test_an_existing_file_is_not_overwritten_unasked(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    path.write_bytes(b"work")
    with pytest.raises(errors.FileInTheWayError), CanonicalZip(path):
        pass
    assert path.read_bytes() == b"work"
    written(path, MEMBERS)
    assert read(path) == MEMBERS


def test_a_folder_is_never_replaced(tmp_path: Path) -> None:
    (tmp_path / "a.zip").mkdir()
    with pytest.raises(errors.FileInTheWayError), CanonicalZip(tmp_path / "a.zip", overwrite=True):
        pass


@pytest.mark.parametrize("content", [b"12", b"1234"])
def test_a_content_of_another_size_is_refused_and_nothing_is_left(tmp_path: Path, content: bytes) -> None:
    with pytest.raises(SizeChangedError), CanonicalZip(tmp_path / "a.zip") as target:
        target.add("a", 3, [content])
    assert list(tmp_path.iterdir()) == []


def test_members_out_of_order_are_a_defect(tmp_path: Path) -> None:
    with CanonicalZip(tmp_path / "a.zip") as target:
        target.add("b", 0, [])
        for name in ("a", "b"):
            with pytest.raises(ValueError):
                target.add(name, 0, [])


def test_a_disk_that_fails_at_any_write_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write, calls, fails_at = files.write, 0, 0

    def fails(descriptor: int, data: bytes) -> int:
        nonlocal calls
        calls += 1
        if calls == fails_at:
            raise OSError(28, "No space left on device")
        return write(descriptor, data[: max(1, len(data) // 2)])

    monkeypatch.setattr(files, "write", fails)
    small = {"a": b"one", "b": b"two"}
    written(tmp_path / "a.zip", small)
    monkeypatch.setattr(files, "write", write)
    whole, total = (tmp_path / "a.zip").read_bytes(), calls
    assert whole == written(tmp_path / "b.zip", small).read_bytes()
    (tmp_path / "a.zip").unlink()
    (tmp_path / "b.zip").unlink()
    monkeypatch.setattr(files, "write", fails)
    for number in range(1, total + 1):
        calls, fails_at = 0, number
        with pytest.raises(errors.CouldNotWriteError):
            written(tmp_path / "a.zip", small)
        assert list(tmp_path.iterdir()) == []


def deviations(path: Path, data: bytes) -> list[str]:
    path.write_bytes(data)
    return [one.place for one in check_zip(path)]


def test_what_belongs_to_nothing_is_found(tmp_path: Path) -> None:
    data = written(tmp_path / "a.zip", {"T/a": b"one", "T/b": b"two"}).read_bytes()
    path = tmp_path / "b.zip"
    start = data.index(b"PK\x01\x02")
    assert deviations(path, data) == []
    assert "b.zip" in deviations(path, data + b"\0")
    assert deviations(path, b"\0" + data)
    assert deviations(path, data[:start] + b"\0" + data[start:])
    assert deviations(path, data[:-1])
    assert deviations(path, data[:-2] + b"\x01\x00!")
    assert deviations(path, b"")
    assert deviations(path, b"PK")


def test_the_same_members_in_another_order_are_found(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    with zipfile.ZipFile(path, "w") as target:
        for name in ("T/b", "T/a"):
            target.writestr(zipfile.ZipInfo(name), b"one")
    assert "zip_order" in {one.key.partition(".")[2] for one in check_zip(path)}


def test_a_zip_file_of_others_is_no_canonical_one(tmp_path: Path) -> None:
    path = tmp_path / "a.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as target:
        for name, content in MEMBERS.items():
            target.writestr(name, content)
    assert {one.place for one in check_zip(path)} >= set(MEMBERS)
