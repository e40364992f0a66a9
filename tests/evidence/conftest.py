"""Small real pictures, made when they are needed."""

import io
import struct
import zlib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

MakePicture = Callable[..., Path]


def marked(width: int = 40, height: int = 24, mode: str = "RGB") -> Image.Image:
    """White with a red block in the top left quarter, so that every orientation looks different."""
    image = Image.new("RGB", (width, height), "white")
    image.paste((220, 20, 20), (0, 0, width // 2, height // 2))
    return image.convert(mode)


@pytest.fixture
def jpeg(tmp_path: Path) -> MakePicture:
    """Writes a JPEG: name, picture, Exif tags of the top, Exif and GPS directories."""

    def make(name: str = "plate.jpg", image: Image.Image | None = None, **tags: dict[int, Any]) -> Path:
        exif = Image.Exif()
        exif.update(tags.get("top", {}))
        exif.get_ifd(0x8769).update(tags.get("details", {}))
        exif.get_ifd(0x8825).update(tags.get("gps", {}))
        buffer = io.BytesIO()
        (image or marked()).save(buffer, "JPEG", quality=95, subsampling=0, exif=exif, comment=b"a private remark")
        path = tmp_path / name
        path.write_bytes(buffer.getvalue())
        return path

    return make


@pytest.fixture
def png(tmp_path: Path) -> MakePicture:
    """Writes a PNG of a picture."""

    def make(name: str, image: Image.Image) -> Path:
        path = tmp_path / name
        image.save(path, "PNG")
        return path

    return make


def png_header(width: int, height: int) -> bytes:
    """A PNG that claims a size and has next to no data."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )


@pytest.fixture
def claiming_png(tmp_path: Path) -> Callable[[int, int], Path]:
    def make(width: int, height: int) -> Path:
        path = tmp_path / "huge.png"
        path.write_bytes(png_header(width, height))
        return path

    return make
