"""Generic circuit symbols, our own drawing of them: source, resistor, contact, earth, plug, person."""

import math
from collections.abc import Iterator

from hazardreport.figures.drawing import Disc, Fill, Ink, Shape, Stroke
from hazardreport.figures.inks import FAINT, PAPER, TEXT
from hazardreport.figures.pieces import Box, centred, corners, line, rounded

WIRE = 0.35

Place = tuple[float, float]


def wire(*points: Place, ink: Ink = TEXT) -> Stroke:
    """A conductor."""
    return Stroke(points=points, ink=ink, width=WIRE)


def node(x: float, y: float, ink: Ink = TEXT) -> Disc:
    """A joint of conductors."""
    return Disc(x=x, y=y, radius=0.6, ink=ink)


def alternating_source(x: float, y: float, radius: float) -> Iterator[Shape]:
    """A circle with one wave."""
    yield Disc(x=x, y=y, radius=radius, ink=PAPER, outline=TEXT, width=WIRE)
    reach = radius * 0.6
    wave = tuple(
        (x - reach + 2 * reach * step / 24, y - radius * 0.38 * math.sin(math.tau * step / 24)) for step in range(25)
    )
    yield Stroke(points=wave, ink=TEXT, width=0.3)


def direct_source(x: float, y: float, radius: float) -> Iterator[Shape]:
    """A circle with a full and a broken line."""
    yield Disc(x=x, y=y, radius=radius, ink=PAPER, outline=TEXT, width=WIRE)
    reach = radius * 0.55
    yield line((x - reach, y - 0.6), (x + reach, y - 0.6), width=0.3)
    yield Stroke(points=((x - reach, y + 0.6), (x + reach, y + 0.6)), ink=TEXT, width=0.3, dashes=(0.8, 0.8))


def resistor(box: Box, ink: Ink = TEXT) -> Iterator[Shape]:
    """A rectangle."""
    yield Fill(points=corners(box), ink=PAPER)
    yield Stroke(points=corners(box), ink=ink, width=WIRE, closed=True)


def capacitor(x: float, y: float, half: float = 2.0) -> Iterator[Shape]:
    """Two plates across a vertical conductor."""
    yield Stroke(points=((x, y - 0.6), (x, y + 0.6)), ink=PAPER, width=1.6)
    for level in (y - 0.7, y + 0.7):
        yield line((x - half, level), (x + half, level), width=0.5)


def break_across(x: float, y: float, half: float) -> Iterator[Shape]:
    """A part that is broken across: a slanting gap."""
    edges = [((x - half, y + rise + 0.9), (x + half, y + rise - 0.9)) for rise in (-0.8, 0.8)]
    yield Fill(points=(*edges[0], *reversed(edges[1])), ink=PAPER)
    for edge in edges:
        yield line(*edge, width=WIRE)


def earth(x: float, y: float, ink: Ink = TEXT) -> Iterator[Shape]:
    """Three bars below the end of a conductor."""
    for place, half in enumerate((2.2, 1.4, 0.6)):
        level = y + place * 0.9
        yield line((x - half, level), (x + half, level), ink=ink, width=WIRE)


def contact(left: Place, right: Place, *, closed: bool) -> Iterator[Shape]:
    """A contact in a horizontal conductor; open, its lever stands up."""
    yield Stroke(points=(left, right), ink=PAPER, width=1.6)
    length = right[0] - left[0]
    tip = right if closed else (left[0] + length * 0.86, left[1] - length * 0.42)
    yield wire(left, tip)
    for end in (left, right):
        yield Disc(x=end[0], y=end[1], radius=0.65, ink=PAPER, outline=TEXT, width=0.3)


def unknown_part(x: float, y: float, size: float) -> Iterator[Shape]:
    """A question mark in a broken box, where the wiring is not known."""
    box = (x - size, y - size * 0.75, x + size, y + size * 0.75)
    yield Fill(points=rounded(box, 0.8), ink=PAPER)
    yield Stroke(points=rounded(box, 0.8), ink=FAINT, width=0.25, dashes=(0.8, 0.6), closed=True)
    yield centred(x, y, "?", 2.8, FAINT, bold=True)


def gap(x: float, y: float, half: float = 1.8) -> Iterator[Shape]:
    """A horizontal conductor that is interrupted: two open ends, and a stroke across each."""
    yield Stroke(points=((x - half, y), (x + half, y)), ink=PAPER, width=2.0)
    for end, side in ((x - half, -1), (x + half, 1)):
        yield line((end + side * 0.5, y + 1.1), (end - side * 0.5, y - 1.1), width=WIRE)


def broken_gap(x: float, y: float, half: float = 1.8, *, upright: bool = False) -> Iterator[Shape]:
    """An interrupted conductor that should be whole, horizontal or upright: the gap is crossed out."""
    if upright:
        yield Stroke(points=((x, y - half), (x, y + half)), ink=PAPER, width=2.0)
        for end, side in ((y - half, -1), (y + half, 1)):
            yield line((x - 1.1, end + side * 0.5), (x + 1.1, end - side * 0.5), width=WIRE)
    else:
        yield from gap(x, y, half)
    yield line((x - 0.9, y - 0.9), (x + 0.9, y + 0.9), width=0.45)
    yield line((x - 0.9, y + 0.9), (x + 0.9, y - 0.9), width=0.45)


PERSON_HEIGHT = 1.42
"""Height of the figure over the height of its hand."""


def _figure(hand: Place, ground: float) -> tuple[float, float, float, float]:
    """Total height, and the heights on the paper of crown, shoulders and hip."""
    total = (ground - hand[1]) * PERSON_HEIGHT
    crown = ground - total
    return total, crown, crown + total * 0.2, crown + total * 0.5


def person(hand: Place, x: float, ground: float, ink: Ink = TEXT) -> Iterator[Shape]:
    """A plain figure that stands on the ground and touches a place with one hand."""
    total, crown, shoulders, hip = _figure(hand, ground)
    limb = total * 0.042
    yield Disc(x=x, y=crown + total * 0.075, radius=total * 0.068, ink=ink)
    wide, narrow = total * 0.075, total * 0.05
    trunk = ((x - wide, shoulders), (x + wide, shoulders), (x + narrow, hip), (x - narrow, hip))
    yield Fill(points=trunk, ink=ink)
    yield Stroke(points=trunk, ink=ink, width=limb, closed=True)
    elbow = ((x - wide + hand[0]) / 2 - 0.4, (shoulders + hand[1]) / 2 + total * 0.035)
    yield Stroke(points=((x - wide, shoulders + limb * 0.3), elbow, hand), ink=ink, width=limb)
    yield Stroke(points=((x + wide, shoulders), (x + wide * 1.5, hip + total * 0.02)), ink=ink, width=limb)
    for side in (-1, 1):
        foot = (x + side * narrow * 1.1, ground - limb * 0.6)
        yield Stroke(points=((x + side * narrow * 0.7, hip), foot), ink=ink, width=limb * 1.25)


def person_path(hand: Place, x: float, ground: float) -> tuple[Place, ...]:
    """The way of a current through that figure, from the hand to the ground."""
    total, _, shoulders, hip = _figure(hand, ground)
    wide = total * 0.075
    elbow = ((x - wide + hand[0]) / 2 - 0.4, (shoulders + hand[1]) / 2 + total * 0.035)
    return hand, elbow, (x - wide, shoulders), (x, shoulders + total * 0.03), (x, hip), (x, ground)
