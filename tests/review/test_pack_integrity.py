"""Tampering with a pack: every changed byte, every file that was taken out, put in or exchanged is found and named."""

import os
import subprocess
import sys
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from hazardreport import errors, wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.review import pack_integrity
from hazardreport.review.integrity import FileState
from hazardreport.review.pack_integrity import PackIntegrity, check_pack
from hazardreport.storage import files
from hazardreport.storage.folder import create_case, save_case
from hazardreport.storage.pack import pack_case

ROOT = "T-1/"
TAGS = ("bag-info.txt", "bagit.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt")
NOON = "2026-06-01T12:00:00Z"


def made(place: Path) -> Path:
    """The pack of a case with two pictures."""
    folder = place / "case"
    case = create_case(folder, Case(id="T-1"))
    pictures = []
    for number, content in ((1, b"bytes of a picture"), (2, b"bytes of another one")):
        path = folder / "pictures" / f"picture-00{number}.jpg"
        path.write_bytes(content)
        pictures.append(
            Picture(
                id=f"picture-00{number}",
                file=path.name,
                original_name="a.jpg",
                media_type="image/jpeg",
                sha256=files.digest(content),
                size=len(content),
                width=1,
                height=1,
            )
        )
    save_case(replace(case, pictures=tuple(pictures)), folder)
    return pack_case(folder, place / "a.zip", created=NOON).path


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return made(tmp_path_factory.mktemp("packed"))


def states(integrity: PackIntegrity) -> dict[str, str]:
    return {check.path: check.state.value for check in integrity.files}


def named(path: Path) -> set[str]:
    """Every file that the answer says something against; the whole answer if there is no more than a refusal."""
    try:
        found = check_pack(path)
    except errors.PackRefusedError as error:
        return {one.place for one in error.details} | {path.name}
    assert not found.whole
    wrong = {check.path for check in found.files if check.state is not FileState.WHOLE}
    return wrong | {one.place.removeprefix(ROOT) for one in found.container}


def owners(path: Path) -> list[str]:
    """For each byte of the zip file, its member by Python's zipfile; at the end the file itself."""
    with zipfile.ZipFile(path) as source:
        found = [path.name] * path.stat().st_size
        infos = source.infolist()
        starts = [info.header_offset for info in infos] + [source.start_dir]
        for info, start, end in zip(infos, starts, starts[1:], strict=False):
            found[start:end] = [info.filename] * (end - start)
        place = source.start_dir
        for info in infos:
            length = 46 + len(info.filename.encode()) + len(info.extra) + len(info.comment)
            found[place : place + length] = [info.filename] * length
            place += length
    return [name.removeprefix(ROOT) for name in found]


def unnamed(pack: Path, target: Path, places: Iterator[tuple[int, int]]) -> list[tuple[int, int, str, set[str]]]:
    """Changes of one byte after which the answer does not name the file that it belongs to."""
    data, names = bytearray(pack.read_bytes()), owners(pack)
    missed = []
    for place, flip in places:
        data[place] ^= flip
        target.write_bytes(data)
        data[place] ^= flip
        found = named(target)
        if names[place] not in found and not (names[place] == pack.name and target.name in found):
            missed.append((place, flip, names[place], found))
    return missed


def test_a_pack_is_whole(pack: Path) -> None:
    found = check_pack(pack)
    assert found.whole
    assert [check.path for check in found.files][:4] == list(TAGS)
    assert set(states(found).values()) == {"whole"}
    assert all(check.sha256 for check in found.files)


def test_changed_bytes_of_every_kind_are_found_and_named(pack: Path, tmp_path: Path) -> None:
    """A sample; the slow test below changes every byte."""
    names = owners(pack)
    ends = [place for place in range(1, len(names)) if names[place] != names[place - 1]]
    near = {place + step for place in ends for step in range(-3, 50, 4)}
    places = sorted(place for place in near | set(range(0, len(names), 97)) if 0 <= place < len(names))
    flips = (0x01, 0x20, 0x80, 0xFF)
    changes = ((place, flips[index % 4]) for index, place in enumerate(places))
    assert unnamed(pack, tmp_path / "b.zip", changes) == []


@pytest.mark.slow
def test_each_changed_byte_is_found_and_named(pack: Path, tmp_path: Path) -> None:
    size = pack.stat().st_size
    assert unnamed(pack, tmp_path / "b.zip", ((place, 0x01) for place in range(size))) == []


@pytest.mark.slow
@pytest.mark.parametrize("flip", [0x20, 0x80, 0xFF])
def test_each_byte_outside_of_the_record_changed_in_other_ways_is_found_and_named(
    pack: Path, tmp_path: Path, flip: int
) -> None:
    with zipfile.ZipFile(pack) as source:
        large = [info for info in source.infolist() if info.filename.endswith((".json", ".jsonl"))]
        inside = {
            place
            for info in large
            for end in (info.header_offset + 30 + len(info.filename) + info.file_size,)
            for place in range(end - info.file_size, end)
        }
    places = (place for place in range(pack.stat().st_size) if place not in inside)
    assert unnamed(pack, tmp_path / "b.zip", ((place, flip) for place in places)) == []


def contents(pack: Path) -> dict[str, bytes]:
    with zipfile.ZipFile(pack) as source:
        return {info.filename: source.read(info) for info in source.infolist()}


def rezipped(target: Path, members: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(target, "w") as writer:
        for name, content in members.items():
            writer.writestr(zipfile.ZipInfo(name), content)
    return target


@pytest.mark.slow
def test_each_changed_byte_of_a_bag_that_others_zipped_again_is_named(pack: Path, tmp_path: Path) -> None:
    members = contents(pack)
    for name, content in members.items():
        for place in range(len(content)):
            changed = content[:place] + bytes([content[place] ^ 0x01]) + content[place + 1 :]
            found = check_pack(rezipped(tmp_path / "b.zip", {**members, name: changed}))
            assert states(found)[name.removeprefix(ROOT)] == "changed", (name, place)


@pytest.mark.parametrize("flip", [0x01, 0x20, 0xFF])
def test_changed_bytes_of_a_bag_that_others_zipped_again_are_named(pack: Path, tmp_path: Path, flip: int) -> None:
    members = contents(pack)
    for name, content in members.items():
        for place in {0, len(content) // 3, len(content) // 2, len(content) - 1}:
            changed = content[:place] + bytes([content[place] ^ flip]) + content[place + 1 :]
            found = check_pack(rezipped(tmp_path / "b.zip", {**members, name: changed}))
            assert states(found)[name.removeprefix(ROOT)] == "changed", (name, place)
            assert not found.whole


def test_a_bag_that_others_zipped_again_has_whole_files_and_another_container(pack: Path, tmp_path: Path) -> None:
    found = check_pack(rezipped(tmp_path / "b.zip", contents(pack)))
    assert set(states(found).values()) == {"whole"}
    assert found.container
    assert not found.whole


def test_each_file_that_is_taken_out_is_missing(pack: Path, tmp_path: Path) -> None:
    members = contents(pack)
    for name in members:
        left = {other: content for other, content in members.items() if other != name}
        found = check_pack(rezipped(tmp_path / "b.zip", left))
        assert states(found)[name.removeprefix(ROOT)] == "missing"
        assert not found.whole


@pytest.mark.parametrize(
    "name", ["data/pictures/more.jpg", "data/journal.json", "notes.txt", "data/pictures/x/y.jpg", "../beside.txt"]
)
def test_a_file_that_is_put_in_is_not_listed(pack: Path, tmp_path: Path, name: str) -> None:
    found = check_pack(rezipped(tmp_path / "b.zip", {**contents(pack), ROOT + name: b"x"}))
    assert states(found)[ROOT + name if name.startswith("..") else name] == "not listed"
    assert not found.whole


def test_files_that_are_exchanged_are_both_changed(pack: Path, tmp_path: Path) -> None:
    members = contents(pack)
    one, other = f"{ROOT}data/pictures/picture-001.jpg", f"{ROOT}data/pictures/picture-002.jpg"
    found = check_pack(rezipped(tmp_path / "b.zip", {**members, one: members[other], other: members[one]}))
    assert {name for name, state in states(found).items() if state == "changed"} == {
        one.removeprefix(ROOT),
        other.removeprefix(ROOT),
    }


def test_a_picture_exchanged_with_all_its_hashes_disagrees_with_the_record(pack: Path, tmp_path: Path) -> None:
    members = contents(pack)
    name = f"{ROOT}data/pictures/picture-001.jpg"
    before, after = files.digest(members[name]), files.digest(b"other bytes, 18 ..")
    manifest = members[f"{ROOT}manifest-sha256.txt"]
    new_manifest = manifest.replace(before.encode(), after.encode())
    tags = members[f"{ROOT}tagmanifest-sha256.txt"].replace(
        files.digest(manifest).encode(), files.digest(new_manifest).encode()
    )
    changed = {
        **members,
        name: b"other bytes, 18 ..",
        f"{ROOT}manifest-sha256.txt": new_manifest,
        f"{ROOT}tagmanifest-sha256.txt": tags,
    }
    found = check_pack(rezipped(tmp_path / "b.zip", changed))
    assert set(states(found).values()) == {"whole"}
    assert [type(problem) for problem in found.problems] == [errors.PackDisagreesError]
    assert "picture-001.jpg" in wording.what(found.problems[0])


@pytest.mark.parametrize(
    ("label", "value"),
    [
        ("External-Identifier", "T-2"),
        ("Case-Revision", "7"),
        ("Payload-Oxum", "1.1"),
        ("Log-Head", "0" * 64),
    ],
)
def test_what_the_pack_says_falsely_about_its_case(pack: Path, tmp_path: Path, label: str, value: str) -> None:
    members = contents(pack)
    info = members[f"{ROOT}bag-info.txt"]
    lines = [f"{label}: {value}" if line.startswith(label) else line for line in info.decode().splitlines()]
    new = ("\n".join(lines) + "\n").encode()
    tags = members[f"{ROOT}tagmanifest-sha256.txt"].replace(files.digest(info).encode(), files.digest(new).encode())
    changed = {**members, f"{ROOT}bag-info.txt": new, f"{ROOT}tagmanifest-sha256.txt": tags}
    found = check_pack(rezipped(tmp_path / "b.zip", changed))
    assert set(states(found).values()) == {"whole"}
    assert [type(problem) for problem in found.problems] == [errors.PackDisagreesError]
    assert label in wording.what(found.problems[0])


@pytest.mark.parametrize(
    ("name", "change"),
    [
        ("bagit.txt", lambda data: data.replace(b"\n", b"\r\n")),
        ("bagit.txt", lambda data: data + b"\n"),
        ("bag-info.txt", lambda data: data.replace(b": ", b":  ", 1)),
        ("bag-info.txt", lambda data: data + b"Contact-Name: Nobody\n"),
        ("manifest-sha256.txt", lambda data: data.upper().replace(b"DATA", b"data")),
        ("manifest-sha256.txt", lambda data: b"\n".join(reversed(data.split(b"\n")))),
        ("manifest-sha256.txt", lambda data: data.replace(b"  ", b" ")),
        ("tagmanifest-sha256.txt", lambda data: data.replace(b"  ", b" *")),
    ],
)
def test_a_tag_file_that_says_the_same_in_another_way_is_changed(
    pack: Path, tmp_path: Path, name: str, change: Callable[[bytes], bytes]
) -> None:
    """The reference validator for bags lets most of these pass."""
    members = contents(pack)
    before = members[ROOT + name]
    members[ROOT + name] = change(before)
    tag_manifest = f"{ROOT}tagmanifest-sha256.txt"
    members[tag_manifest] = members[tag_manifest].replace(
        files.digest(before).encode(), files.digest(members[ROOT + name]).encode()
    )
    found = check_pack(rezipped(tmp_path / "b.zip", members))
    assert states(found)[name] == "changed"


@pytest.mark.parametrize("data", [b"", b"PK", b"no zip at all" * 50])
def test_what_is_no_pack_is_refused(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "b.zip").write_bytes(data)
    with pytest.raises(errors.PackRefusedError) as caught:
        check_pack(tmp_path / "b.zip")
    assert wording.what(caught.value)
    with pytest.raises(errors.CouldNotReadError):
        check_pack(tmp_path / "none.zip")


def test_a_zip_file_without_a_case_is_refused(tmp_path: Path) -> None:
    with pytest.raises(errors.PackRefusedError):
        check_pack(rezipped(tmp_path / "b.zip", {"letters/a.txt": b"x"}))


def test_several_threads_find_the_same(pack: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    alone = check_pack(pack)
    monkeypatch.setattr(pack_integrity, "SMALL", 0)
    assert check_pack(pack) == alone


def test_verifying_imports_no_engine_no_decoder_and_no_window() -> None:
    heavy = ("numpy", "scipy", "pint", "reportlab", "pikepdf", "PIL", "PySide6", "fontTools", "pypdfium2", "pi_heif")
    module = "hazardreport.review.pack_integrity"
    program = f"import sys, {module}; print([name for name in {heavy!r} if name in sys.modules])"
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60, env=environment
    )
    assert done.stdout.strip() == "[]"
