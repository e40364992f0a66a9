"""Packs are bags: checked with the reference library for RFC 8493, both ways."""

import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import bagit
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.storage import bag
from hazardreport.storage.folder import open_case
from hazardreport.storage.pack import pack_case
from hazardreport.storage.unpack import unpack

NOON = "2026-06-01T12:00:00Z"
MakeCase = Callable[..., Path]
TEXTS = st.text(st.characters(exclude_categories=("Cs",)), max_size=20)


def extracted(pack: Path, into: Path) -> Path:
    """The bag as another program unpacks it."""
    with zipfile.ZipFile(pack) as source:
        source.extractall(into)
    (folder,) = into.iterdir()
    return folder


@pytest.mark.published("rfc-8493", "section 3: valid, by the reference library bagit")
def test_a_pack_is_a_valid_bag(packed: Path, tmp_path: Path) -> None:
    found = bagit.Bag(str(extracted(packed, tmp_path / "bag")))
    assert found.is_valid(fast=False)
    assert found.version_info == (1, 0)
    assert found.info["External-Identifier"] == "HR-2026/7"
    assert found.has_oxum()


@pytest.mark.published("rfc-8493", "section 2.1.3: line breaks in paths, by the reference library bagit")
def test_names_with_line_breaks_are_valid_too(make_case: MakeCase, tmp_path: Path) -> None:
    folder = make_case(Case(id="C-1"), {"pictures/a\nb.jpg": b"x", "pictures/ö\r\n.jpg": b"y"})
    pack = pack_case(folder, tmp_path / "a.zip", created=NOON).path
    assert bagit.Bag(str(extracted(pack, tmp_path / "bag"))).is_valid()


@pytest.mark.published("rfc-8493", "section 2.1.3: line feed, carriage return and percent sign, and only those")
def test_paths_are_encoded_as_the_rfc_says() -> None:
    manifest = bag.payload_manifest({"pictures/100% a\r\n.jpg": "0" * 64})
    assert manifest == b"0" * 64 + b"  data/pictures/100%25 a%0D%0A.jpg\n"
    assert bag.listed(manifest, "m") == ({"data/pictures/100% a\r\n.jpg": "0" * 64}, [])


def test_the_reference_library_leaves_percent_signs_as_they_are(tmp_path: Path) -> None:
    """It is the one place where it does not keep to the RFC; our names of pictures hold no percent sign."""
    (tmp_path / "bag").mkdir()
    (tmp_path / "bag" / "100%.jpg").write_bytes(b"x")
    bagit.make_bag(str(tmp_path / "bag"), checksums=["sha256"])
    assert "data/100%.jpg" in (tmp_path / "bag" / "manifest-sha256.txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("checksums", [["sha256"], ["sha512"], ["md5", "sha256", "sha512"]])
@pytest.mark.parametrize("in_folder", [True, False])
def test_a_bag_that_the_reference_library_made_opens(
    case_folder: Path, tmp_path: Path, checksums: list[str], in_folder: bool
) -> None:
    theirs = tmp_path / "theirs" / "bag"
    shutil.copytree(case_folder, theirs, ignore=shutil.ignore_patterns("manifest-sha256.txt", "case.lock"))
    bagit.make_bag(str(theirs), {"Contact-Name": "A. Nobody"}, checksums=checksums)
    pack = Path(shutil.make_archive(str(tmp_path / "theirs"), "zip", theirs.parent if in_folder else theirs))

    unpacked = unpack(pack, tmp_path / "back")

    opened = open_case(unpacked.folder)
    opened.close()
    assert opened.problems == ()
    assert opened.case == open_case(case_folder, for_writing=False).case
    assert [type(remark).__name__ for remark in unpacked.remarks] == ["PackNotCanonicalError"]
    manifest = (unpacked.folder / "manifest-sha256.txt").read_bytes()
    assert manifest == (case_folder / "manifest-sha256.txt").read_bytes()


@given(identifier=TEXTS, anchored=TEXTS)
@settings(derandomize=True, deadline=None, max_examples=300)
def test_any_value_stands_in_one_line_and_comes_back(identifier: str, anchored: str) -> None:
    info = bag.BagInfo(
        octets=1,
        streams=1,
        date="2026-06-01",
        identifier=identifier,
        agent="hazardreport 1",
        revision=3,
        head="",
        anchored=anchored,
    )
    data = bag.info_bytes(info)
    found = bag.info_from_bytes(data)
    assert (found.get("External-Identifier", ""), found.get("Anchored", "")) == (identifier, anchored)
    lines = data.decode().splitlines()
    assert len(lines) == 4 + bool(identifier) + bool(anchored)


@given(identifier=TEXTS)
@settings(derandomize=True, deadline=None, max_examples=100)
def test_the_reference_library_reads_every_label(tmp_path_factory: pytest.TempPathFactory, identifier: str) -> None:
    path = tmp_path_factory.getbasetemp() / "bag-info.txt"
    info = bag.BagInfo(
        octets=5, streams=2, date="2026-06-01", identifier=identifier, agent="a", revision=3, head="b", anchored="no"
    )
    path.write_bytes(bag.info_bytes(info))
    found = bagit._load_tag_file(str(path))
    assert found["Payload-Oxum"] == "5.2"
    assert found.get("External-Identifier", "") == bag._written(identifier)


def test_folded_lines_of_others_are_joined() -> None:
    assert bag.info_from_bytes(b"\xef\xbb\xbfA: one\r\n  two\r\nB : c\n") == {"A": "one two", "B": "c"}


@pytest.mark.parametrize(
    ("line", "key"),
    [
        ("no hash at all", "manifest_line"),
        ("0" * 64, "manifest_line"),
        (f"{'0' * 64}  ../x", "manifest_line"),
        (f"{'0' * 64}  /x", "manifest_line"),
        (f"{'0' * 64}  data\\x", "manifest_line"),
        (f"{'0' * 64}  data/%0A/../x", "manifest_line"),
        (f"{'0' * 64}  data/a", "manifest_twice"),
    ],
)
def test_lines_of_a_manifest_that_lead_elsewhere_or_stand_twice_are_told(line: str, key: str) -> None:
    hashes, faults = bag.listed(f"{'1' * 64} *data/a\r\n\n{line}\n".encode(), "m.txt")
    assert hashes == {"data/a": "1" * 64}
    assert [(one.place, one.key) for one in faults] == [("m.txt, line 3", f"storage.{key}")]
