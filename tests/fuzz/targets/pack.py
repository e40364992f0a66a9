"""Fuzz target: a pack, opened and verified. Where it is refused nothing is left; nothing is written elsewhere."""

import random
import shutil
import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path

from hazardreport.errors import HazardReportError
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage.case_json import case_from_bytes
from hazardreport.storage.folder import create_case
from hazardreport.storage.pack import pack_case
from hazardreport.storage.unpack import unpack
from tests.fuzz import zip_text
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL

RUNS = 8_000
TIME = "2026-06-01T12:00:00Z"
_FOLDER = tempfile.TemporaryDirectory()


@cache
def seeds() -> list[bytes]:
    """A pack as we write it, the same compressed, and one that holds a picture."""
    folder = Path(_FOLDER.name)
    create_case(folder / "plain", replace(SMALL, pictures=()), time=TIME)
    pack_case(folder / "plain", folder / "plain.zip", created=TIME)
    plain = (folder / "plain.zip").read_bytes()
    parts = zip_text.parts_of(plain)
    root = parts[0].name.partition(b"/")[0]
    picture = zip_text.Part(name=root + b"/data/pictures/picture-001.jpg", data=b"not in the record")
    return [
        plain,
        zip_text.written([replace(part, method=8) for part in parts]),
        zip_text.written(zip_text.listed([*parts, picture])),
    ]


def changed(data: bytes, random_: random.Random) -> bytes:
    """The pack after odd changes."""
    return zip_text.changed(data, random_)


def one_input(data: bytes) -> None:
    """One try to verify a pack and to unpack it."""
    with tempfile.TemporaryDirectory(dir=_FOLDER.name) as folder:
        path = Path(folder) / "case.zip"
        path.write_bytes(data)
        try:
            for problem in check_pack(path).problems:
                told(problem)
        except HazardReportError as error:
            told(error)
        into = Path(folder) / "case"
        try:
            for remark in unpack(path, into).remarks:
                told(remark)
        except HazardReportError as error:
            told(error)
            assert [one.name for one in Path(folder).iterdir()] == ["case.zip"]
            return
        case_from_bytes((into / "case.json").read_bytes(), "case.json")
        assert not any(one.is_symlink() for one in into.rglob("*"))
        assert sorted(one.name for one in Path(folder).iterdir()) == ["case", "case.zip"]
        shutil.rmtree(into)
