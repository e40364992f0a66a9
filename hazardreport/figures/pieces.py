"""Small pieces that several figures are put together from."""

import math
from collections.abc import Iterable, Iterator

from hazardreport.figures.drawing import Disc, Drawing, Fill, Ink, Shape, Stroke, Words
from hazardreport.figures.inks import FAINT, PAPER, TEXT
from hazardreport.figures.text_width import CAP_HEIGHT, text_width, wrapped

Box = tuple[float, float, float, float]
"""Left, top, right, bottom. [mm]"""

ASCENT, DESCENT = 0.76, 0.22
"""How far letters reach above and below the baseline, as a fraction of the em."""


def words_box(words: Words) -> Box:
    """The upright box that a line covers, from its ascenders to its descenders; for angles 0 and 90."""
    width = text_width(words.text, words.size, bold=words.bold, italic=words.italic)
    before = {"start": 0.0, "middle": 0.5, "end": 1.0}[words.anchor] * width
    up, down = ASCENT * words.size, DESCENT * words.size
    if abs(words.angle) < 1e-9:
        return words.x - before, words.y - up, words.x - before + width, words.y + down
    return words.x - up, words.y + before - width, words.x + down, words.y + before


def overlap(first: Box, second: Box) -> float:
    """Area that two boxes share. [mm²]"""
    across = min(first[2], second[2]) - max(first[0], second[0])
    along = min(first[3], second[3]) - max(first[1], second[1])
    return max(across, 0.0) * max(along, 0.0)


def centred(x: float, y: float, text: str, size: float, ink: Ink = TEXT, *, bold: bool = False) -> Words:
    """A line whose capitals are centred on a place, both ways."""
    return Words(x=x, y=y + CAP_HEIGHT * size / 2, text=text, ink=ink, size=size, bold=bold, anchor="middle")


def beside(x: float, y: float, text: str, size: float, ink: Ink = TEXT, *, anchor: str = "start") -> Words:
    """A line whose capitals are centred on a height, beginning or ending at a place."""
    return Words(x=x, y=y + CAP_HEIGHT * size / 2, text=text, ink=ink, size=size, anchor=anchor)


def line(first: tuple[float, float], *others: tuple[float, float], ink: Ink = TEXT, width: float = 0.25) -> Stroke:
    """A plain polyline."""
    return Stroke(points=(first, *others), ink=ink, width=width)


def corners(box: Box) -> tuple[tuple[float, float], ...]:
    """The four corners of a box."""
    left, top, right, bottom = box
    return (left, top), (right, top), (right, bottom), (left, bottom)


def rounded(box: Box, radius: float) -> tuple[tuple[float, float], ...]:
    """The outline of a box with round corners."""
    left, top, right, bottom = box
    radius = min(radius, (right - left) / 2, (bottom - top) / 2)
    centres = (
        (right - radius, top + radius, -90),
        (right - radius, bottom - radius, 0),
        (left + radius, bottom - radius, 90),
        (left + radius, top + radius, 180),
    )
    return tuple(point for x, y, start in centres for point in arc(x, y, radius, start, start + 90, steps=6))


def arc(
    x: float, y: float, radius: float, start: float, stop: float, *, steps: int = 24
) -> tuple[tuple[float, float], ...]:
    """Points on a circle between two angles in degrees, clockwise on paper from the right."""
    angles = (math.radians(start + (stop - start) * step / steps) for step in range(steps + 1))
    return tuple((x + radius * math.cos(angle), y + radius * math.sin(angle)) for angle in angles)


def pill(box: Box, ink: Ink = PAPER, edge: Ink | None = None) -> Iterator[Shape]:
    """A ground with round corners for a label."""
    outline = rounded(box, 0.8)
    yield Fill(points=outline, ink=ink)
    if edge is not None:
        yield Stroke(points=outline, ink=edge, width=0.2, closed=True)


def arrow_head(tip: tuple[float, float], tail: tuple[float, float], size: float, ink: Ink) -> Fill:
    """A filled head at the tip of an arrow that comes from the tail."""
    angle = math.atan2(tip[1] - tail[1], tip[0] - tail[0])
    wings = ((tip[0] - size * math.cos(angle + turn), tip[1] - size * math.sin(angle + turn)) for turn in (0.42, -0.42))
    return Fill(points=(tip, *wings), ink=ink)


def marker(kind: str, x: float, y: float, ink: Ink = TEXT, size: float = 1.1) -> Iterator[Shape]:
    """A mark told apart by shape: "full", "open" (discs) or "diamond", with a thin halo."""
    if kind == "diamond":
        reach = size * 1.3
        tips = ((x, y - reach), (x + reach, y), (x, y + reach), (x - reach, y))
        yield Stroke(points=tips, ink=PAPER, width=0.7, closed=True)
        yield Fill(points=tips, ink=ink)
    else:
        yield Disc(x=x, y=y, radius=size + 0.3, ink=PAPER)
        yield Disc(x=x, y=y, radius=size - 0.15, ink=ink if kind == "full" else PAPER, outline=ink, width=0.35)


def notice(width: float, height: float, text: str, size: float = 2.8) -> Drawing:
    """A figure that cannot be drawn yet says so instead."""
    lines = wrapped(text, size, width - 4)
    top = height / 2 - (len(lines) - 1) * size * 0.7
    shapes: Iterable[Shape] = (
        centred(width / 2, top + place * size * 1.4, text, size, FAINT) for place, text in enumerate(lines)
    )
    return Drawing(width=width, height=height, description=text, shapes=tuple(shapes))


def at_least(width: float, height: float, least_width: float, least_height: float) -> tuple[float, float]:
    """The size itself, or one of the same shape that is large enough to be drawn in; who paints scales it down. [mm]"""
    factor = max(1.0, least_width / width, least_height / height)
    return width * factor, height * factor
