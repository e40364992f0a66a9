"""The list of hashes: what is written is read back, and nothing in it leads out of the folder."""

import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.review.integrity import check_folder
from hazardreport.storage import files
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.manifest import manifest_bytes, read_manifest

NAMES = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="/\\\0"), min_size=1, max_size=8).filter(
    lambda name: name not in (".", "..")
)
PATHS = st.lists(NAMES, min_size=1, max_size=3).map("/".join).filter(lambda path: path[1:2] != ":")
HASHES = st.binary(min_size=32, max_size=32).map(bytes.hex)


@given(hashes=st.dictionaries(PATHS, HASHES, max_size=5))
@settings(derandomize=True, deadline=None, max_examples=200)
def test_a_manifest_comes_back_as_it_was(tmp_path_factory: pytest.TempPathFactory, hashes: dict[str, str]) -> None:
    path = tmp_path_factory.getbasetemp() / "manifest"
    path.write_bytes(manifest_bytes(hashes))
    manifest = read_manifest(path)
    assert manifest is not None
    assert manifest.hashes == hashes
    assert manifest.damaged == ()


@pytest.mark.parametrize(
    "path", ["../x", "a/../x", "/x", "C:/x", "c:x", "a\\b", ".", "..", "", "./x", "a//b", "a/", "a/./b", "a\0b"]
)
def test_no_path_leads_out_of_the_folder_or_is_written_in_two_ways(tmp_path: Path, path: str) -> None:
    (tmp_path / "manifest").write_bytes(f"{'0' * 64}  {path}\n".encode())
    manifest = read_manifest(tmp_path / "manifest")
    assert manifest is not None
    assert manifest.hashes == {}
    assert manifest.damaged == (1,)


def test_a_path_twice_is_damage(tmp_path: Path) -> None:
    (tmp_path / "manifest").write_bytes(f"{'0' * 64}  a\r\n\n{'1' * 64} *a\n{'A' * 64} *b\n".encode())
    manifest = read_manifest(tmp_path / "manifest")
    assert manifest is not None
    assert manifest.hashes == {"a": "0" * 64, "b": "a" * 64}
    assert manifest.damaged == (3,)


def test_a_file_whose_name_is_no_text_is_listed_and_checked(tmp_path: Path) -> None:
    folder = tmp_path / "case"
    case = create_case(folder, Case(id="C-1"))
    odd = os.fsencode(folder / "pictures") + b"/odd\xff\n%.bin"
    with open(odd, "wb") as stream:
        stream.write(b"x")
    save_case(case, folder)
    assert open_case(folder, for_writing=False).problems == ()
    integrity = check_folder(folder)
    assert integrity.whole
    assert [check.path for check in integrity.files] == [
        "case.json",
        "log.jsonl",
        "pictures/odd[U+DCFF][U+000A]%.bin",
        "values.jsonl",
    ]
    assert integrity.files[2].sha256 == files.sha256(Path(os.fsdecode(odd)))
