"""Small files that would keep a decoder busy for hours, or fill the memory, are refused before it sees them."""

import io
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from hazardreport import errors
from hazardreport.evidence import headers, opening
from hazardreport.evidence.kinds import JPEG, PNG
from hazardreport.evidence.proof import proved

Refused = Callable[[bytes, str], str]


def encoded(kind: str, **options: Any) -> bytes:
    buffer = io.BytesIO()
    Image.effect_noise((64, 48), 60).convert("RGB").save(buffer, kind, **options)
    return buffer.getvalue()


def more_scans(data: bytes, count: int) -> bytes:
    """The last scan of a progressive JPEG once more, again and again."""
    last = data[data.rindex(b"\xff\xda") : -2]
    return data[:-2] + last * count + b"\xff\xd9"


def chunk(kind: bytes, data: bytes = b"") -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


@pytest.fixture
def refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Refused:
    def refused(data: bytes, kind: str) -> str:
        monkeypatch.setitem(opening._PLUGINS, kind, lambda _: pytest.fail("a decoder saw it"))
        (tmp_path / "a").write_bytes(data)
        with pytest.raises(errors.PictureDamagedError) as caught:
            proved(tmp_path / "a", kind, "a")
        return caught.value.reason

    return refused


def test_a_jpeg_with_endless_scans_is_refused(refused: Refused) -> None:
    assert refused(more_scans(encoded("JPEG", progressive=True), 50), JPEG) == "it has more than 50 scans"


def test_scans_of_single_colours_count_too(refused: Refused) -> None:
    data = encoded("JPEG")
    scan = data.index(b"\xff\xda")
    one = b"\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00" + data[scan + 14 : -2]
    assert refused(data[:scan] + one * 60 + b"\xff\xd9", JPEG) == "it has more than 50 scans"


def test_a_jpeg_with_endless_parts_is_refused(refused: Refused) -> None:
    data = encoded("JPEG")
    assert refused(data[:2] + b"\xff\xe5\x00\x02" * 10_001 + data[2:], JPEG) == "it has more than 10000 parts"
    assert refused(data[:2] + b"\xff\xe5\x00\x00" * 10_001 + data[2:], JPEG) == "it has more than 10000 parts"


@pytest.mark.parametrize("junk", [b"\0", b"\xff", b"\xff\xd8", b"\xff\0", b"x"])
def test_a_jpeg_with_endless_junk_is_refused(refused: Refused, junk: bytes) -> None:
    assert "no picture" in refused(b"\xff\xd8\xff" + junk * 140_000, JPEG)


def test_a_png_with_endless_parts_is_refused(refused: Refused) -> None:
    data = encoded("PNG")
    assert refused(data[:33] + chunk(b"prVt") * 10_000 + data[33:], PNG) == "it has more than 10000 parts"


@pytest.mark.parametrize(
    ("data", "kind"),
    [
        pytest.param(more_scans(encoded("JPEG", progressive=True), 30), JPEG, id="some more scans"),
        pytest.param(encoded("JPEG", progressive=True) + b"\xff\xda" * 1000, JPEG, id="scans in a video behind it"),
        pytest.param(encoded("JPEG") + b"\xff\xda" * 1000, JPEG, id="baseline, the same"),
        pytest.param(encoded("JPEG")[:2] + b"\xff" * 60_000 + encoded("JPEG")[2:], JPEG, id="filling"),
        pytest.param(
            encoded("PNG")[:33] + chunk(b"prVt") * 500 + chunk(b"IDAT") * 20_000 + encoded("PNG")[33:], PNG, id="parts"
        ),
    ],
)
def test_what_is_only_unusual_is_taken(tmp_path: Path, data: bytes, kind: str) -> None:
    (tmp_path / "a").write_bytes(data)
    assert (proved(tmp_path / "a", kind, "a").width, headers.SCAN_LIMIT) == (64, 50)
