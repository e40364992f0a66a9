"""Packs that would do harm, or lie: each is refused with its reason, and nothing is left of it."""

import hashlib
import io
import stat
import struct
import zipfile
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from hazardreport import errors, wording
from hazardreport.storage import unpack as unpacking
from hazardreport.storage import zip_reader
from hazardreport.storage.folder import open_case
from hazardreport.storage.unpack import unpack

Members = list[tuple[zipfile.ZipInfo, bytes]]
Change = Callable[[Members], Members]


def info(name: str, mode: int = 0o100644, method: int = zipfile.ZIP_STORED) -> zipfile.ZipInfo:
    made = zipfile.ZipInfo(name)
    made.external_attr, made.compress_type, made.create_system = mode << 16, method, 3
    return made


def members(pack: Path) -> Members:
    with zipfile.ZipFile(pack) as source:
        return [(info(one.filename), source.read(one)) for one in source.infolist()]


@pytest.mark.filterwarnings("ignore:Duplicate name")
def zipped(path: Path, contents: Members) -> Path:
    with zipfile.ZipFile(path, "w") as target:
        for one, content in contents:
            target.writestr(one, content)
    return path


def refusal(pack: Path, into: Path) -> dict[str, str]:
    """Why the pack was refused, by file the first reason; and nothing is left."""
    before = sorted(into.parent.iterdir())
    with pytest.raises(errors.PackRefusedError) as caught:
        unpack(pack, into)
    assert wording.what(caught.value)
    assert wording.remedy(caught.value)
    assert sorted(into.parent.iterdir()) == before
    return {one.place: one.key.removeprefix("storage.") for one in reversed(caught.value.details)}


def consistent(contents: Members, added: dict[str, bytes]) -> Members:
    """The members and further files of the payload, listed as if they belonged there."""
    root = contents[0][0].filename.partition("/")[0] + "/"
    files = {one.filename: content for one, content in contents} | {root + name: data for name, data in added.items()}
    lines = files[f"{root}manifest-sha256.txt"].decode()
    for name, data in added.items():
        listed = name.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")
        lines += f"{hashlib.sha256(data).hexdigest()}  {listed}\n"
    files[f"{root}manifest-sha256.txt"] = lines.encode("utf-8", "surrogateescape")
    octets = sum(len(data) for name, data in files.items() if name.startswith(f"{root}data/"))
    count = sum(name.startswith(f"{root}data/") for name in files)
    said = files[f"{root}bag-info.txt"].decode().splitlines()
    said = [f"Payload-Oxum: {octets}.{count}" if line.startswith("Payload-Oxum") else line for line in said]
    files[f"{root}bag-info.txt"] = ("\n".join(said) + "\n").encode()
    tags = ("bag-info.txt", "bagit.txt", "manifest-sha256.txt")
    files[f"{root}tagmanifest-sha256.txt"] = "".join(
        f"{hashlib.sha256(files[root + name]).hexdigest()}  {name}\n" for name in tags
    ).encode()
    return [(info(name), data) for name, data in files.items()]


def test_a_file_more_that_is_listed_everywhere_is_taken(packed: Path, tmp_path: Path) -> None:
    """So what the tests below find is what they plant."""
    pack = zipped(tmp_path / "b.zip", consistent(members(packed), {"data/pictures/more.jpg": b"x"}))
    opened = open_case(unpack(pack, tmp_path / "back").folder, for_writing=False)
    assert opened.problems == ()


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("data/pictures/../../../../tmp/evil", "name_leads_out"),
        ("data/pictures/./a.jpg", "name_leads_out"),
        ("data/pictures//a.jpg", "name_leads_out"),
        ("data/pictures/C:evil.jpg", "name_leads_out"),
        ("data/pictures/a\\..\\b.jpg", "name_leads_out"),
        ("data/pictures/a.jpg:stream", "name_leads_out"),
        ("data/pictures/CON", "name_of_device"),
        ("data/pictures/lpt1.jpg", "name_of_device"),
        ("data/pictures/com¹.jpg", "name_of_device"),
        ("data/pictures/nul .jpg", "name_of_device"),
        ("data/pictures/a.jpg.", "name_of_device"),
        ("data/pictures/a.jpg ", "name_of_device"),
        ("data/pictures/bell\a.jpg", "name_no_text"),
        ("data/pictures/" + "a" * 256, "name_too_long"),
        ("data/pictures/" + "ä" * 128, "name_too_long"),
        ("data/pictures/" + "/".join(["a" * 100] * 11), "name_too_long"),
        ("data/pictures/PICTURE-001.jpg", "name_clash"),
        ("data/Pictures/b.jpg", "name_clash"),
        ("data/pictures/picture-001.jpg/b.jpg", "name_clash"),
        ("data/journal.json", "not_of_a_case"),
        ("data/case.lock", "not_of_a_case"),
        ("data/.case.json.new", "not_of_a_case"),
        ("data/manifest-sha256.txt", "not_of_a_case"),
        ("data/pictures/.picture-009.jpg.part", "not_of_a_case"),
        ("data/other/file.txt", "not_of_a_case"),
        ("data/program.exe", "not_of_a_case"),
    ],
)
def test_a_name_that_leads_elsewhere_or_not_every_system_holds(
    packed: Path, tmp_path: Path, name: str, key: str
) -> None:
    found = refusal(zipped(tmp_path / "b.zip", consistent(members(packed), {name: b"x"})), tmp_path / "back")
    assert key in found.values()


def test_names_composed_in_two_ways(packed: Path, tmp_path: Path) -> None:
    added = {"data/pictures/\u00e9.jpg": b"x", "data/pictures/e\u0301.jpg": b"y"}
    found = refusal(zipped(tmp_path / "b.zip", consistent(members(packed), added)), tmp_path / "back")
    assert "name_clash" in found.values()


@pytest.mark.parametrize("name", ["/etc/evil", "../evil", "C:/evil", "HR-2026-7/../evil", "//host/evil", "\\evil"])
def test_a_member_beside_the_bag_that_leads_out(packed: Path, tmp_path: Path, name: str) -> None:
    found = refusal(zipped(tmp_path / "b.zip", [*members(packed), (info(name), b"x")]), tmp_path / "back")
    assert found[name] in ("name_leads_out", "bag_outside")
    assert not (tmp_path / "evil").exists()


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_name_twice(packed: Path, tmp_path: Path) -> None:
    contents, name = members(packed), "HR-2026-7/data/case.json"
    found = refusal(zipped(tmp_path / "b.zip", [*contents, (info(name), b"another")]), tmp_path / "back")
    assert found[name] == "name_twice"


@pytest.mark.parametrize("mode", [stat.S_IFLNK, stat.S_IFIFO, stat.S_IFCHR, stat.S_IFBLK, stat.S_IFSOCK, stat.S_IFDIR])
def test_a_link_or_device(packed: Path, tmp_path: Path, mode: int) -> None:
    contents = members(packed)
    name = contents[-3][0].filename
    contents[-3] = (info(name, mode | 0o777), b"/etc/passwd")
    assert refusal(zipped(tmp_path / "b.zip", contents), tmp_path / "back")[name] == "zip_no_file"


def test_an_encrypted_member(packed: Path, tmp_path: Path) -> None:
    data = bytearray(packed.read_bytes())
    for signature, place in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = data.index(signature)
        data[at + place] |= 1
    (tmp_path / "b.zip").write_bytes(data)
    assert "zip_encrypted" in refusal(tmp_path / "b.zip", tmp_path / "back").values()


@pytest.mark.parametrize("method", [zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA])
def test_a_compression_that_is_not_read(packed: Path, tmp_path: Path, method: int) -> None:
    contents = [(info(one.filename, method=method), content) for one, content in members(packed)]
    assert set(refusal(zipped(tmp_path / "b.zip", contents), tmp_path / "back").values()) == {"zip_method"}


def test_compressed_members_are_taken_with_a_remark(packed: Path, tmp_path: Path) -> None:
    contents = [(info(one.filename, method=zipfile.ZIP_DEFLATED), content) for one, content in members(packed)]
    contents.insert(0, (info("HR-2026-7/", stat.S_IFDIR | 0o755), b""))
    contents.append((info("__MACOSX/HR-2026-7/._bagit.txt"), b"of the system"))
    unpacked = unpack(zipped(tmp_path / "b.zip", contents), tmp_path / "back")
    assert [type(remark) for remark in unpacked.remarks] == [errors.PackNotCanonicalError]
    assert wording.what(unpacked.remarks[0])
    assert open_case(unpacked.folder, for_writing=False).problems == ()


def test_a_member_that_blows_up(packed: Path, tmp_path: Path) -> None:
    contents = members(packed)
    bomb = (info("HR-2026-7/data/pictures/bomb.jpg", method=zipfile.ZIP_DEFLATED), bytes(20_000_000))
    found = refusal(zipped(tmp_path / "b.zip", [*contents, bomb]), tmp_path / "back")
    assert found["HR-2026-7/data/pictures/bomb.jpg"] == "zip_ratio"


def patched(pack: Path, name: str, place: int, value: bytes) -> bytes:
    """The zip file with other bytes in the directory's entry of a member."""
    data = bytearray(pack.read_bytes())
    at = data.index(b"PK\x01\x02")
    while True:
        length = struct.unpack_from("<H", data, at + 28)[0]
        if data[at + 46 : at + 46 + length] == name.encode():
            data[at + place : at + place + len(value)] = value
            return bytes(data)
        at = data.index(b"PK\x01\x02", at + 1)


@pytest.mark.parametrize("size", [0, 10, 100_000, 2**32 - 2])
def test_a_size_that_is_declared_falsely(packed: Path, tmp_path: Path, size: int) -> None:
    name = "HR-2026-7/data/case.json"
    contents = [(info(one.filename, method=zipfile.ZIP_DEFLATED), content) for one, content in members(packed)]
    zipped(tmp_path / "b.zip", contents)
    data = bytearray(patched(tmp_path / "b.zip", name, 24, struct.pack("<I", size)))
    with zipfile.ZipFile(tmp_path / "b.zip") as source:
        header = source.getinfo(name).header_offset
    (tmp_path / "b.zip").write_bytes(data)
    assert name in refusal(tmp_path / "b.zip", tmp_path / "back")
    struct.pack_into("<I", data, header + 22, size)
    (tmp_path / "b.zip").write_bytes(data)
    assert name in refusal(tmp_path / "b.zip", tmp_path / "back")


def test_more_than_the_disk_holds(packed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(unpacking, "SIZE_LIMIT", 100)
    assert "zip_no_room" in refusal(packed, tmp_path / "back").values()


def test_too_many_members(packed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(zip_reader, "MEMBER_LIMIT", 5)
    assert "zip_too_many" in refusal(packed, tmp_path / "back").values()


def test_members_that_share_bytes(packed: Path, tmp_path: Path) -> None:
    """One content under many names is the way of the largest bombs."""
    data = packed.read_bytes()
    with zipfile.ZipFile(packed) as source:
        first, second = source.infolist()[:2]
    shared = patched(packed, second.filename, 42, struct.pack("<I", first.header_offset))
    (tmp_path / "b.zip").write_bytes(shared)
    assert second.filename in refusal(tmp_path / "b.zip", tmp_path / "back")
    assert len(shared) == len(data)


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"", id="empty"),
        pytest.param(b"PK\x05\x06" + bytes(18), id="no members"),
        pytest.param(b"not a zip file at all" * 100, id="no zip"),
        pytest.param(b"PK\x05\x06" + b"\xff" * 16 + b"\0\0", id="end of nonsense"),
        pytest.param(
            b"PK\x06\x06" + b"\xff" * 52 + b"PK\x06\x07" + b"\xff" * 16 + b"PK\x05\x06" + b"\xff" * 16 + b"\0\0",
            id="wide end of nonsense",
        ),
    ],
)
def test_what_is_no_zip_file(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "b.zip").write_bytes(data)
    assert refusal(tmp_path / "b.zip", tmp_path / "back")


@pytest.mark.parametrize("change", [lambda data: b"#!" + data, lambda data: data[:-30], lambda data: data + b"PK"])
def test_a_zip_file_with_something_before_it_or_without_its_end(
    packed: Path, tmp_path: Path, change: Callable[[bytes], bytes]
) -> None:
    (tmp_path / "b.zip").write_bytes(change(packed.read_bytes()))
    assert refusal(tmp_path / "b.zip", tmp_path / "back")


def edited(contents: Members, name: str, edit: Callable[[str], str]) -> Members:
    """The members with one text changed."""
    return [
        (one, edit(content.decode()).encode() if one.filename.endswith("/" + name) else content)
        for one, content in contents
    ]


LIES: dict[str, tuple[str, Callable[[str], str], str]] = {
    "a line too few": ("manifest-sha256.txt", lambda text: "\n".join(text.splitlines()[1:]) + "\n", "file_not_listed"),
    "a file that is not there": ("manifest-sha256.txt", lambda text: text + f"{'0' * 64}  data/none\n", "file_missing"),
    "a file outside": ("manifest-sha256.txt", lambda text: text + f"{'0' * 64}  bagit.txt\n", "manifest_outside"),
    "a line twice": ("manifest-sha256.txt", lambda text: text + text.splitlines()[0] + "\n", "manifest_twice"),
    "a path above": ("manifest-sha256.txt", lambda text: text + f"{'0' * 64}  data/../../x\n", "manifest_line"),
    "no line at all": ("manifest-sha256.txt", lambda text: "", "file_not_listed"),
    "a short hash": ("manifest-sha256.txt", lambda text: text[8:], "manifest_hash"),
    "another hash": ("tagmanifest-sha256.txt", lambda text: "0" * 64 + text[64:], "file_changed_in_pack"),
    "a lost tag file": ("tagmanifest-sha256.txt", lambda text: text + f"{'0' * 64}  none.txt\n", "file_missing"),
    "another encoding": ("bagit.txt", lambda text: text.replace("UTF-8", "UTF-7"), "bag_declaration"),
}


@pytest.mark.parametrize("lie", LIES)
def test_a_manifest_that_lies(packed: Path, tmp_path: Path, lie: str) -> None:
    name, edit, key = LIES[lie]
    found = refusal(zipped(tmp_path / "b.zip", edited(members(packed), name, edit)), tmp_path / "back")
    assert key in found.values()


def without_tag_manifest(contents: Members) -> Members:
    return [one for one in contents if not one[0].filename.endswith("tagmanifest-sha256.txt")]


def test_a_hash_that_is_not_that_of_the_file(packed: Path, tmp_path: Path) -> None:
    contents = edited(members(packed), "manifest-sha256.txt", lambda text: "0" * 64 + text[64:])
    found = refusal(zipped(tmp_path / "b.zip", without_tag_manifest(contents)), tmp_path / "back")
    assert "file_changed_in_pack" in found.values()


def test_a_bag_without_tag_manifest_is_taken(packed: Path, tmp_path: Path) -> None:
    assert unpack(zipped(tmp_path / "b.zip", without_tag_manifest(members(packed))), tmp_path / "back").remarks


@pytest.mark.parametrize(
    ("change", "key"),
    [
        pytest.param(
            lambda some: [one for one in some if "manifest" not in one[0].filename], "bag_no_manifest", id="no manifest"
        ),
        pytest.param(
            lambda some: [one for one in some if not one[0].filename.endswith("bagit.txt")],
            "bag_none",
            id="no bagit.txt",
        ),
        pytest.param(lambda some: [*some, (info("HR-2026-7/fetch.txt"), b"")], "bag_fetch", id="fetch.txt"),
        pytest.param(lambda some: [*some, (info("other/bagit.txt"), b"")], "bag_several", id="two bags"),
        pytest.param(
            lambda some: [*some, (info("HR-2026-7/manifest-crc32.txt"), b"")], "manifest_algorithm", id="hash"
        ),
        pytest.param(lambda some: [*some, (info("letter.txt"), b"")], "bag_outside", id="a file beside"),
        pytest.param(
            lambda some: [one for one in some if not one[0].filename.endswith("case.json")], "bag_no_case", id="no case"
        ),
    ],
)
def test_what_is_no_bag_of_a_case(packed: Path, tmp_path: Path, change: Change, key: str) -> None:
    found = refusal(zipped(tmp_path / "b.zip", change(members(packed))), tmp_path / "back")
    assert key in found.values()


def test_a_false_count_of_bytes(packed: Path, tmp_path: Path) -> None:
    contents = edited(members(packed), "bag-info.txt", lambda text: text.replace("Payload-Oxum: ", "Payload-Oxum: 1"))
    found = refusal(zipped(tmp_path / "b.zip", without_tag_manifest(contents)), tmp_path / "back")
    assert found["bag-info.txt"] == "bag_oxum"


def test_a_record_that_cannot_be_read(packed: Path, tmp_path: Path) -> None:
    contents = consistent(members(packed), {"data/case.json": b"{}"})
    lines = {one.filename: data for one, data in contents}["HR-2026-7/manifest-sha256.txt"].decode().splitlines()
    kept = [line for line in lines if not line.endswith("data/case.json")] + [lines[-1]]
    contents = edited(contents, "manifest-sha256.txt", lambda text: text if "tag" in text else "\n".join(kept) + "\n")
    with pytest.raises(errors.CaseInvalidError):
        unpack(zipped(tmp_path / "b.zip", without_tag_manifest(contents)), tmp_path / "back")
    assert not (tmp_path / "back").exists()


def test_a_picture_that_the_record_names_otherwise(packed: Path, tmp_path: Path) -> None:
    path = "data/pictures/picture-001.jpg"
    contents = consistent(members(packed), {path: b"another picture"})
    lines = {one.filename: data for one, data in contents}["HR-2026-7/manifest-sha256.txt"].decode().splitlines()
    first = next(index for index, line in enumerate(lines) if line.endswith(path))
    contents = edited(
        contents, "manifest-sha256.txt", lambda text: "\n".join([*lines[:first], *lines[first + 1 :]]) + "\n"
    )
    found = refusal(zipped(tmp_path / "b.zip", without_tag_manifest(contents)), tmp_path / "back")
    assert found == {"pictures/picture-001.jpg": "record_disagrees"}


def test_a_bad_stream_of_compressed_bytes(packed: Path, tmp_path: Path) -> None:
    contents = [(info(one.filename, method=zipfile.ZIP_DEFLATED), content) for one, content in members(packed)]
    path = zipped(tmp_path / "b.zip", contents)
    with zipfile.ZipFile(path) as source:
        one = source.getinfo("HR-2026-7/data/case.json")
        start = one.header_offset + 30 + len(one.filename)
    for place in range(start, start + one.compress_size, 7):
        data = bytearray(path.read_bytes())
        data[place] ^= 0xFF
        (tmp_path / "c.zip").write_bytes(data)
        assert set(refusal(tmp_path / "c.zip", tmp_path / "back").values()) <= {
            "zip_content",
            "zip_size",
            "zip_checksum",
        }


def test_bytes_behind_the_end_of_a_compressed_stream(packed: Path, tmp_path: Path) -> None:
    worker = zlib.compressobj(9, zlib.DEFLATED, -15)
    inner = worker.compress(b"x" * 100) + worker.flush()
    for tail in (b"hidden", bytes(600_000)):
        one = zip_reader.Member(
            name="a",
            raw=b"a",
            size=100,
            packed=len(inner + tail),
            crc=zlib.crc32(b"x" * 100),
            offset=0,
            flags=0,
            method=8,
            attributes=0,
        )
        with pytest.raises(zip_reader.BadContentError):
            list(zip_reader.pieces(io.BytesIO(inner + tail), one))


def test_the_place_must_be_free(packed: Path, tmp_path: Path) -> None:
    (tmp_path / "back").mkdir()
    (tmp_path / "back" / "work.txt").write_bytes(b"work")
    with pytest.raises(errors.FolderNotEmptyError):
        unpack(packed, tmp_path / "back")
    with pytest.raises(errors.FolderNotEmptyError):
        unpack(packed, packed)
    (tmp_path / "link").symlink_to(tmp_path / "none")
    with pytest.raises(errors.FolderNotEmptyError):
        unpack(packed, tmp_path / "link")
    (tmp_path / "empty").mkdir()
    assert open_case(unpack(packed, tmp_path / "empty").folder, for_writing=False).problems == ()


def test_a_pack_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(errors.CouldNotReadError):
        unpack(tmp_path / "none.zip", tmp_path / "back")
    with pytest.raises(errors.CouldNotReadError):
        unpack(tmp_path, tmp_path / "back")


def test_a_disk_that_fails_at_any_write_leaves_nothing(
    packed: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write, calls, fails_at = unpacking.files.write, 0, 0

    def fails(descriptor: int, data: bytes) -> int:
        nonlocal calls
        calls += 1
        if calls == fails_at:
            raise OSError(28, "No space left on device")
        return write(descriptor, data)

    monkeypatch.setattr(unpacking.files, "write", fails)
    unpack(packed, tmp_path / "whole")
    before, total = sorted(tmp_path.iterdir()), calls
    assert total > 3
    for number in range(1, total + 1):
        calls, fails_at = 0, number
        with pytest.raises(errors.CouldNotWriteError):
            unpack(packed, tmp_path / "back")
        assert sorted(tmp_path.iterdir()) == before
