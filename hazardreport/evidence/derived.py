"""Pictures for showing and printing: upright, scaled, on white, without any metadata. The original is only read."""

import io
import textwrap
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from hazardreport.case.picture import Picture
from hazardreport.errors import CouldNotReadError
from hazardreport.evidence.opening import JPEG, damage_named, decoded, opened
from hazardreport.resources_dir import RESOURCES

_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def upright_image(path: Path, picture: Picture, longest_side: int) -> Image.Image:
    """The picture upright in RGB, not larger than asked and never enlarged.

    Parameters
    ----------
    path : Path
        File of the picture.
    picture : Picture
        Its record; kind and orientation are taken from here.
    longest_side : int
        Longest side of the answer, at least 1. [pixel]

    Raises
    ------
    CouldNotReadError, PictureDamagedError, PictureTooLargeError
        If the file is gone, broken or too large to decode.
    """
    try:
        with path.open("rb") as stream:
            image = opened(stream, picture.media_type, picture.file)
            size = _fitted(image.size, longest_side)
            if picture.media_type == JPEG:
                image.draft("RGB", size)
            with damage_named(picture.file):
                scaled = _scaled(_in_rgb(decoded(image, picture.file)), size)
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=error.strerror or str(error)) from error
    upright = scaled.transpose(_UPRIGHT[picture.orientation]) if picture.orientation in _UPRIGHT else scaled
    upright.info = {}
    return upright


def upright_jpeg(path: Path, picture: Picture, longest_side: int, quality: int = 85) -> bytes:
    """The same as JPEG bytes that carry pixels and nothing else; the same input gives the same bytes."""
    buffer = io.BytesIO()
    upright_image(path, picture, longest_side).save(buffer, "JPEG", quality=quality)
    return buffer.getvalue()


def stand_in_jpeg(picture: Picture, longest_side: int, text: str) -> bytes:
    """An empty field with the proportions of a picture that must not be shown, and the text that says why."""
    width, height = _fitted((max(1, picture.width), max(1, picture.height)), longest_side)
    image = Image.new("RGB", (width, height), (232, 232, 232))
    draw = ImageDraw.Draw(image)
    draw.line((0, 0, width, height), fill=(205, 205, 205), width=2)
    draw.line((0, height, width, 0), fill=(205, 205, 205), width=2)
    size = max(8, min(width, height) // 14)
    font = ImageFont.truetype(str(RESOURCES / "fonts" / "Arimo-Regular.ttf"), size)
    lines = "\n".join(textwrap.wrap(text, max(8, round(1.6 * width / size))))
    draw.multiline_text((width / 2, size / 2), lines, fill=(60, 60, 60), font=font, anchor="ma", align="center")
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=85)
    return buffer.getvalue()


def _fitted(size: tuple[int, int], longest_side: int) -> tuple[int, int]:
    factor = min(1.0, max(1, longest_side) / max(size))
    return max(1, round(size[0] * factor)), max(1, round(size[1] * factor))


def _scaled(image: Image.Image, size: tuple[int, int]) -> Image.Image:
    """A new image without the old one's metadata."""
    if image.size == size:
        return image.copy()
    return image.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)


def _in_rgb(image: Image.Image) -> Image.Image:
    """The picture in RGB: 16 bits are scaled, not clipped; what is transparent becomes white."""
    if image.mode.startswith("I"):
        image = image.convert("I").point(lambda level: level * (1 / 257)).convert("L")
    if image.mode in ("RGBA", "LA", "PA", "RGBa", "La") or "transparency" in image.info:
        layer = image.convert("RGBA")
        white = Image.new("RGBA", layer.size, "white")
        white.alpha_composite(layer)
        return white.convert("RGB")
    return image if image.mode == "RGB" else image.convert("RGB")
