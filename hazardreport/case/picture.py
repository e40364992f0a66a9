"""Pictures, the points and marks on them."""

from dataclasses import dataclass
from enum import StrEnum


class PointRole(StrEnum):
    """What a lettered point is, electrically."""

    TOUCHABLE_PART = "touchable part"
    SECOND_PART = "second touchable part"
    PIN_1 = "pin 1"
    PIN_2 = "pin 2"
    EARTH_PIN = "earth pin"
    EARTH = "earth of the installation"
    LINE = "line of the socket"
    NEUTRAL = "neutral of the socket"
    OTHER = "other"


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """A lettered point of the unit or its supply; the same point may stand on several pictures.

    letter       "A", "B" … "Z", "AA" …
    description  for people: "pot rim, bare metal"
    """

    letter: str
    role: PointRole = PointRole.OTHER
    description: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Placement:
    """Where a point stands on a picture, in pixels of the upright picture from its top left corner."""

    letter: str
    x: float
    y: float


class MarkKind(StrEnum):
    """Shapes that can be drawn over a picture."""

    ARROW = "arrow"
    OUTLINE = "outline"
    FREE_LINE = "free line"
    TEXT = "text"


@dataclass(frozen=True, kw_only=True, slots=True)
class Mark:
    """A mark over a picture, in pixels of the upright picture.

    vertices  arrow: tail, head; outline: two opposite corners; free line: all points; text: where it begins
    text      label, or ""
    """

    id: str
    kind: MarkKind
    vertices: tuple[tuple[float, float], ...]
    text: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Cover:
    """A rectangle of a picture that is replaced in everything derived from it, in pixels of the upright picture.

    left, top, right, bottom  edges, left < right and top < bottom
    reason                    what is hidden: "face", "address"
    """

    id: str
    left: float
    top: float
    right: float
    bottom: float
    reason: str = ""


class Recognisable(StrEnum):
    """Whether a picture, with its covers, lets anybody recognise a person or a private place."""

    OPEN = "open"
    NO = "no"
    YES = "yes"


@dataclass(frozen=True, kw_only=True, slots=True)
class Picture:
    """One picture as it came.

    id             "picture-003"
    file           name in the case's folder of pictures: "picture-003.jpg"
    original_name  as it came, odd characters escaped so that the name can be had back (evidence.names)
    media_type     "image/jpeg", "image/png", "image/tiff", "image/webp", "image/heic"
    sha256         of the original bytes, hexadecimal
    size           of the original [byte]
    width, height  of the upright picture [pixel]
    orientation    EXIF orientation 1…8; 1 if none
    claimed_time   what the file claims, with its offset if any; "" if it claims none
    imported       when it was copied in, ISO 8601 UTC
    camera         what the file claims
    has_position   the file carries a geographic position
    caption, description   description is for people who cannot see the picture
    as_found       shows the unit before it was opened or moved
    illustration   drawn, not photographed
    covers         what is hidden in everything derived
    recognisable   whether anybody can be recognised with the covers; a publication shows only pictures with "no"
    derived_from   SHA-256 of the original if this file was derived from it for a publication; "" for an original
    """

    id: str
    file: str
    original_name: str
    media_type: str
    sha256: str
    size: int
    width: int
    height: int
    orientation: int = 1
    claimed_time: str = ""
    imported: str = ""
    camera: str = ""
    has_position: bool = False
    caption: str = ""
    description: str = ""
    as_found: bool = False
    illustration: bool = False
    placements: tuple[Placement, ...] = ()
    marks: tuple[Mark, ...] = ()
    covers: tuple[Cover, ...] = ()
    recognisable: Recognisable = Recognisable.OPEN
    derived_from: str = ""
