"""A drawing: one list of strokes, fills, texts and one picture, in mm from the top left corner.

The window's painter (app/views/painting.py) and the report's (report/pdf/painting.py) paint the same list.
"""

from dataclasses import dataclass

from hazardreport.quantity.trace import Source


@dataclass(frozen=True, kw_only=True, slots=True)
class Ink:
    """A colour as red, green, blue and opacity, 0…1; the window may exchange `role` inks for those of its palette.

    role  "text", "faint", "paper", "accent", "danger", "warning", "caution", "zone-1" … ; "" keeps the colour
    """

    red: float
    green: float
    blue: float
    opacity: float = 1.0
    role: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Stroke:
    """A polyline. points in mm; width in mm; dashes in mm; round caps and joins."""

    points: tuple[tuple[float, float], ...]
    ink: Ink
    width: float = 0.25
    dashes: tuple[float, ...] = ()
    closed: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Fill:
    """A filled polygon, with an optional outline of the same ink."""

    points: tuple[tuple[float, float], ...]
    ink: Ink


@dataclass(frozen=True, kw_only=True, slots=True)
class Disc:
    """A filled circle; with outline if `outline` is given."""

    x: float
    y: float
    radius: float
    ink: Ink
    outline: Ink | None = None
    width: float = 0.25


@dataclass(frozen=True, kw_only=True, slots=True)
class Words:
    """One line of text; size is the height of the em in mm; anchor "start", "middle" or "end"; y is the baseline."""

    x: float
    y: float
    text: str
    ink: Ink
    size: float = 3.0
    bold: bool = False
    italic: bool = False
    anchor: str = "start"
    angle: float = 0.0


@dataclass(frozen=True, kw_only=True, slots=True)
class PictureArea:
    """Where the upright picture of that id lies; only plates have one, and it is painted first."""

    picture: str
    x: float
    y: float
    width: float
    height: float


Shape = Stroke | Fill | Disc | Words | PictureArea


@dataclass(frozen=True, kw_only=True, slots=True)
class Drawing:
    """A figure: size in mm, what it shows in words (for people who cannot see it), its shapes in painting order."""

    width: float
    height: float
    description: str
    shapes: tuple[Shape, ...]
    sources: tuple[Source, ...] = ()
