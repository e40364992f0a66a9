"""What a picture file claims about itself: time, camera, orientation, position. Claims, not facts."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from PIL import Image

from hazardreport.evidence.opening import DAMAGE, quiet

_ORIENTATION, _MAKE, _MODEL = 0x0112, 0x010F, 0x0110
_EXIF_IFD, _GPS_IFD = 0x8769, 0x8825
_TIMES = ((0x9003, 0x9011), (0x9004, 0x9012))
"""Tags of time and offset in the Exif directory: when taken, when digitised."""
_XMP = ("xmp", "XML:com.adobe.xmp")
_XMP_POSITIONS = (b"GPSLatitude", b"GPSLongitude", b"GPSDestLatitude", b"GPSCoordinates")
_FILE_TIME, _FILE_OFFSET = 0x0132, 0x9010


@dataclass(frozen=True, kw_only=True, slots=True)
class Claims:
    """Claims of a file.

    orientation   1…8, 1 if none
    claimed_time  ISO 8601 with the offset that the file states; without offset if it states none; "" if no time
    camera        make and model
    has_position  it carries a geographic position, as EXIF or XMP
    """

    orientation: int = 1
    claimed_time: str = ""
    camera: str = ""
    has_position: bool = False


def claims(image: Image.Image) -> Claims:
    """The claims of a decoded picture; metadata that cannot be read claims nothing."""
    in_xmp = _has_xmp_position(image.info)
    with quiet():
        try:
            exif = image.getexif()
            details = dict(exif.get_ifd(_EXIF_IFD))
            position = dict(exif.get_ifd(_GPS_IFD))
            top = dict(exif)
        except DAMAGE:
            return Claims(has_position=in_xmp)
    return Claims(
        orientation=_orientation(top.get(_ORIENTATION)),
        claimed_time=_claimed_time(top, details),
        camera=_camera(top),
        has_position=any(tag in position for tag in (2, 4)) or in_xmp,
    )


def _has_xmp_position(info: Mapping[Any, Any]) -> bool:
    for name in _XMP:
        found = info.get(name)
        text = found.encode("utf-8", "replace") if isinstance(found, str) else found
        if isinstance(text, bytes) and any(field in text for field in _XMP_POSITIONS):
            return True
    return False


def _orientation(found: object) -> int:
    return found if isinstance(found, int) and 1 <= found <= 8 else 1


def _claimed_time(top: dict[int, object], details: dict[int, object]) -> str:
    for tag, offset_tag in _TIMES:
        if time := _time(details.get(tag)):
            return time + _offset(details.get(offset_tag))
    if time := _time(top.get(_FILE_TIME)):
        return time + _offset(details.get(_FILE_OFFSET))
    return ""


def _time(found: object) -> str:
    text = clean(found)
    try:
        return datetime.strptime(text[:19], "%Y:%m:%d %H:%M:%S").isoformat()
    except ValueError:
        return ""


def _offset(found: object) -> str:
    text = clean(found)
    return text if re.fullmatch(r"[+-](0\d|1[0-4]):[0-5]\d", text) else ""


def _camera(top: dict[int, object]) -> str:
    make, model = clean(top.get(_MAKE)), clean(top.get(_MODEL))
    if make and model.casefold().startswith(make.casefold()):
        return model
    return f"{make} {model}".strip()


def clean(found: object) -> str:
    """A text field of the metadata without padding; what is not printable is left out, at most 80 characters."""
    if isinstance(found, bytes):
        found = found.decode("ascii", "ignore")
    if not isinstance(found, str):
        return ""
    return "".join(character for character in found if character.isprintable()).strip()[:80]
