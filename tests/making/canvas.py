"""A small painter for the drawn pictures of the demo case: soft-edged shapes, gradients, shadows, textures.

A shape is a `Mask`: coverage 0…1 over its own box. Shapes are drawn four times finer and averaged, so edges are smooth.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter, ImageFont

Floats = NDArray[np.float32]
Point = tuple[float, float]
Colour = tuple[float, float, float]
Paint = Colour | Callable[[Floats, Floats], Floats]
Stops = Sequence[tuple[float, Colour]]

FINE = 4
FONTS = Path(__file__).resolve().parents[2] / "resources" / "fonts"


@dataclass(frozen=True)
class Mask:
    """Coverage 0…1 of a shape; x, y: where its box begins on the canvas."""

    cover: Floats
    x: int
    y: int

    def _on(self, x: int, y: int, height: int, width: int) -> Floats:
        out = np.zeros((height, width), np.float32)
        h, w = self.cover.shape
        x0, y0 = max(self.x, x), max(self.y, y)
        x1, y1 = min(self.x + w, x + width), min(self.y + h, y + height)
        if x1 > x0 and y1 > y0:
            out[y0 - y : y1 - y, x0 - x : x1 - x] = self.cover[y0 - self.y : y1 - self.y, x0 - self.x : x1 - self.x]
        return out

    def minus(self, other: "Mask") -> "Mask":
        """What of this shape the other leaves."""
        return Mask(self.cover * (1 - other._on(self.x, self.y, *self.cover.shape)), self.x, self.y)

    def within(self, other: "Mask") -> "Mask":
        """What both shapes cover."""
        return Mask(self.cover * other._on(self.x, self.y, *self.cover.shape), self.x, self.y)

    def moved(self, dx: float, dy: float) -> "Mask":
        """The same shape elsewhere."""
        return Mask(self.cover, self.x + round(dx), self.y + round(dy))

    def blurred(self, radius: float) -> "Mask":
        """The shape with an edge as soft as a shadow's."""
        margin = int(3 * radius) + 1
        padded = np.pad(self.cover, margin)
        image = Image.fromarray((padded * 255).astype(np.uint8)).filter(ImageFilter.GaussianBlur(radius))
        return Mask(np.asarray(image, np.float32) / 255, self.x - margin, self.y - margin)

    def faded(self, paint: Callable[[Floats, Floats], Floats]) -> "Mask":
        """The shape with its coverage multiplied by a function of place."""
        h, w = self.cover.shape
        ys, xs = np.mgrid[self.y : self.y + h, self.x : self.x + w].astype(np.float32)
        return Mask(self.cover * paint(xs, ys), self.x, self.y)


def _mask(
    points: Sequence[Point], margin: float, draw: Callable[[ImageDraw.ImageDraw, Callable[[Point], Point]], None]
) -> Mask:
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    x, y = int(np.floor(min(xs) - margin)) - 1, int(np.floor(min(ys) - margin)) - 1
    w, h = int(np.ceil(max(xs) + margin)) + 2 - x, int(np.ceil(max(ys) + margin)) + 2 - y
    image = Image.new("L", (w * FINE, h * FINE), 0)
    draw(ImageDraw.Draw(image), lambda p: ((p[0] - x) * FINE, (p[1] - y) * FINE))
    return Mask(np.asarray(image.reduce(FINE), np.float32) / 255, x, y)


def polygon(points: Sequence[Point]) -> Mask:
    """A filled polygon."""
    return _mask(points, 0, lambda draw, at: draw.polygon([at(p) for p in points], fill=255))


def ellipse_points(
    cx: float, cy: float, rx: float, ry: float, angle: float = 0, start: float = 0, end: float = 360
) -> list[Point]:
    """Points along an ellipse, angles in degrees, clockwise from the right."""
    t = np.radians(np.linspace(start, end, 120))
    c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    x, y = rx * np.cos(t), ry * np.sin(t)
    return [(float(cx + a * c - b * s), float(cy + a * s + b * c)) for a, b in zip(x, y, strict=True)]


def ellipse(cx: float, cy: float, rx: float, ry: float | None = None, angle: float = 0) -> Mask:
    """A filled ellipse."""
    return polygon(ellipse_points(cx, cy, rx, rx if ry is None else ry, angle))


def box(x0: float, y0: float, x1: float, y1: float, radius: float = 0) -> Mask:
    """A rectangle with rounded corners."""
    corners = [(x0, y0), (x1, y1)]
    return _mask(
        corners, 0, lambda draw, at: draw.rounded_rectangle([at(corners[0]), at(corners[1])], radius * FINE, fill=255)
    )


def line(points: Sequence[Point], width: float, *, round_ends: bool = True) -> Mask:
    """A stroke through points, with round joints."""

    def draw(pen: ImageDraw.ImageDraw, at: Callable[[Point], Point]) -> None:
        placed = [at(p) for p in points]
        r = width * FINE / 2
        for (ax, ay), (bx, by) in pairwise(placed):
            length = max(np.hypot(bx - ax, by - ay), 1e-6)
            nx, ny = -(by - ay) / length * r, (bx - ax) / length * r
            pen.polygon([(ax + nx, ay + ny), (bx + nx, by + ny), (bx - nx, by - ny), (ax - nx, ay - ny)], fill=255)
        for x, y in placed if round_ends else placed[1:-1]:
            pen.ellipse([x - r, y - r, x + r, y + r], fill=255)

    return _mask(points, width, draw)


def curve(*controls: Point, steps: int = 60) -> list[Point]:
    """Points of a smooth curve through the given points (Catmull-Rom)."""
    knots = [controls[0], *controls, controls[-1]]
    out: list[Point] = []
    for i in range(1, len(knots) - 2):
        p0, p1, p2, p3 = (np.array(knots[i + k]) for k in (-1, 0, 1, 2))
        for t in np.linspace(0, 1, steps, endpoint=i == len(knots) - 3):
            q = 0.5 * (
                2 * p1 + (p2 - p0) * t + (2 * p0 - 5 * p1 + 4 * p2 - p3) * t**2 + (3 * p1 - p0 - 3 * p2 + p3) * t**3
            )
            out.append((float(q[0]), float(q[1])))
    return out


def words(
    text: str,
    x: float,
    y: float,
    size: float,
    *,
    bold: bool = False,
    anchor: str = "ls",
    angle: float = 0,
    font: str = "",
) -> Mask:
    """Text as a shape; x, y: left end of the baseline unless `anchor` says otherwise."""
    name = font or ("Arimo-Bold.ttf" if bold else "Arimo-Regular.ttf")
    face = ImageFont.truetype(str(FONTS / name), round(size * FINE))
    left, top, right, bottom = face.getbbox(text, anchor=anchor)
    pad = 4 * FINE
    reach = int(max(abs(v) for v in (left, top, right, bottom))) + pad
    reach += -reach % FINE
    image = Image.new("L", (2 * reach, 2 * reach), 0)
    ImageDraw.Draw(image).text((reach, reach), text, fill=255, font=face, anchor=anchor)
    if angle:
        image = image.rotate(-angle, Image.Resampling.BICUBIC)
    cover = np.asarray(image.reduce(FINE), np.float32) / 255
    return Mask(cover, round(x) - reach // FINE, round(y) - reach // FINE)


def grey(value: float) -> Colour:
    """A neutral colour."""
    return (value, value, value)


def hexa(text: str) -> Colour:
    """A colour written as six hexadecimal digits."""
    return (int(text[0:2], 16) / 255, int(text[2:4], 16) / 255, int(text[4:6], 16) / 255)


def mix(a: Colour, b: Colour, share: float) -> Colour:
    """Between two colours; share of the second."""
    return tuple(float(x * (1 - share) + y * share) for x, y in zip(a, b, strict=True))  # type: ignore[return-value]


def ramp(t: Floats, stops: Stops) -> Floats:
    """Colours along stops."""
    at = [s[0] for s in stops]
    return np.stack([np.interp(t, at, [s[1][k] for s in stops]) for k in range(3)], axis=-1).astype(np.float32)


def along(a: Point, b: Point, stops: Stops) -> Callable[[Floats, Floats], Floats]:
    """A straight gradient from a to b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    return lambda x, y: ramp(((x - a[0]) * dx + (y - a[1]) * dy) / length, stops)


def around(centre: Point, radius: float, stops: Stops) -> Callable[[Floats, Floats], Floats]:
    """A round gradient."""
    return lambda x, y: ramp(np.hypot(x - centre[0], y - centre[1]) / radius, stops)


def cone(centre: Point, stops: Stops, turn: float = 0) -> Callable[[Floats, Floats], Floats]:
    """A gradient that goes around a centre, as on turned metal."""
    return lambda x, y: ramp(((np.arctan2(y - centre[1], x - centre[0]) / (2 * np.pi)) + turn) % 1, stops)


STEEL: Stops = [
    (0.0, grey(0.30)),
    (0.05, grey(0.46)),
    (0.14, (0.80, 0.82, 0.84)),
    (0.22, (0.93, 0.94, 0.95)),
    (0.30, (0.74, 0.76, 0.78)),
    (0.45, (0.58, 0.60, 0.63)),
    (0.60, (0.66, 0.68, 0.70)),
    (0.72, (0.84, 0.85, 0.87)),
    (0.80, (0.90, 0.90, 0.91)),
    (0.90, grey(0.56)),
    (1.0, grey(0.28)),
]


def clouds(rng: np.random.Generator, height: int, width: int, cell_y: float, cell_x: float) -> Floats:
    """Smooth noise, mean 0, about ±1, with cells of a given size."""
    small = rng.normal(size=(max(2, int(height / cell_y) + 2), max(2, int(width / cell_x) + 2)))
    lo, hi = small.min(), small.max()
    image = Image.fromarray(((small - lo) / (hi - lo) * 255).astype(np.uint8)).resize(
        (width, height), Image.Resampling.BICUBIC
    )
    out = np.asarray(image, np.float32) / 255
    return ((out - out.mean()) / (out.std() + 1e-6)).astype(np.float32)


class Canvas:
    """A picture in the making, colours 0…1."""

    def __init__(self, width: int = 1600, height: int = 1200, seed: int = 1) -> None:
        self.pixels = np.zeros((height, width, 3), np.float32)
        self.rng = np.random.default_rng(seed)

    def fill(self, mask: Mask, paint: Paint, opacity: float = 1.0) -> None:
        """Paint over a shape."""
        height, width, _ = self.pixels.shape
        h, w = mask.cover.shape
        x0, y0, x1, y1 = max(mask.x, 0), max(mask.y, 0), min(mask.x + w, width), min(mask.y + h, height)
        if x1 <= x0 or y1 <= y0:
            return
        cover = mask.cover[y0 - mask.y : y1 - mask.y, x0 - mask.x : x1 - mask.x, None] * opacity
        if callable(paint):
            ys, xs = np.mgrid[y0:y1, x0:x1].astype(np.float32)
            colour: Floats = np.clip(paint(xs, ys), 0, 1)
        else:
            colour = np.asarray(paint, np.float32)
        view = self.pixels[y0:y1, x0:x1]
        view[...] = view * (1 - cover) + colour * cover

    def shade(self, mask: Mask, opacity: float) -> None:
        """Darken (or, below zero, lighten) what a shape covers."""
        self.fill(mask, (0.03, 0.03, 0.05) if opacity > 0 else (1, 1, 1), abs(opacity))

    def shadow(self, mask: Mask, dx: float, dy: float, blur: float, opacity: float = 0.5) -> None:
        """The shadow that a shape casts on what is painted so far."""
        self.shade(mask.blurred(blur).moved(dx, dy), opacity)

    def solid(self, mask: Mask, paint: Paint, *, drop: float = 8, blur: float = 10, opacity: float = 0.45) -> None:
        """A shape with its shadow."""
        self.shadow(mask, drop * 0.6, drop, blur, opacity)
        self.fill(mask, paint)

    def bevel(self, mask: Mask, width: float = 3, light: float = 0.45, dark: float = 0.4) -> None:
        """A lit upper left and a shaded lower right edge."""
        self.shade(mask.minus(mask.moved(width, width)).blurred(width / 3).within(mask), -light)
        self.shade(mask.minus(mask.moved(-width, -width)).blurred(width / 3).within(mask), dark)

    def tube(
        self,
        points: Sequence[Point],
        width: float,
        colour: Colour,
        *,
        gloss: float = 0.5,
        drop: float = 8,
        flat: bool = False,
    ) -> None:
        """A cable, wire or tube: dark edges, a highlight towards the upper left."""
        body = line(points, width, round_ends=not flat)
        if drop:
            self.shadow(body, drop * 0.6, drop, max(3, width * 0.3), 0.42)
        self.fill(body, mix(colour, (0, 0, 0), 0.62))
        count = max(8, round(width / 5))
        for k in range(1, count + 1):
            share = k / count
            shift = -width * 0.13 * share
            inner = line(
                [(x + shift, y + shift) for x, y in points],
                max(0.8, width * (0.97 - 0.80 * share)),
                round_ends=not flat,
            )
            tone = mix(mix(colour, (0, 0, 0), 0.50), mix(colour, (1, 1, 1), gloss * 0.75), share**1.4)
            self.fill(inner.within(body), tone, 0.75 if count == 8 else 0.5)

    def wood(self, mask: Mask, light: Colour, dark: Colour, *, upright: bool = False, grain: float = 5) -> None:
        """Wooden boards."""
        h, w = mask.cover.shape
        long, short = (260, grain) if not upright else (grain, 260)
        noise = clouds(self.rng, h, w, short, long) * 0.55 + clouds(self.rng, h, w, short * 5, long * 2) * 0.6
        rings = np.sin(clouds(self.rng, h, w, short * 14, long * 3) * 9) * 0.35
        t = np.clip(0.5 + 0.22 * (noise + rings), 0, 1)
        colours = np.asarray(light, np.float32) * t[..., None] + np.asarray(dark, np.float32) * (1 - t[..., None])
        x0, y0 = mask.x, mask.y
        self.fill(mask, lambda x, y: colours[(y - y0).astype(int), (x - x0).astype(int)])

    def grainy(self, mask: Mask, amount: float, cell: float = 2) -> None:
        """Roughness of plaster, cast plastic or paint."""
        h, w = mask.cover.shape
        noise = clouds(self.rng, h, w, cell, cell)
        self.fill(Mask(mask.cover * np.clip(noise, 0, 2) * amount, mask.x, mask.y), (1, 1, 1))
        self.fill(Mask(mask.cover * np.clip(-noise, 0, 2) * amount, mask.x, mask.y), (0, 0, 0))

    def soften(self, radius: float) -> None:
        """Blur everything so far: it lies behind the plane in focus."""
        image = Image.fromarray((np.clip(self.pixels, 0, 1) * 255).astype(np.uint8))
        self.pixels = np.asarray(image.filter(ImageFilter.GaussianBlur(radius)), np.float32) / 255

    def finish(self, badge: str = "illustration") -> Image.Image:
        """The picture, darker to the corners, with a little grain and the badge that says that it is drawn."""
        h, w, _ = self.pixels.shape
        ys, xs = np.mgrid[0:h, 0:w].astype(np.float32)
        r = np.hypot((xs - w * 0.48) / w, (ys - h * 0.45) / h)
        self.pixels *= (1 - 0.55 * np.clip(r - 0.28, 0, 1) ** 1.3)[..., None]
        self.pixels += self.rng.normal(0, 0.008, (h, w, 1)).astype(np.float32)
        text = words(badge, w - 32, h - 30, 26, anchor="rs")
        columns = np.flatnonzero(text.cover.any(axis=0))
        wide = int(columns[-1] - columns[0])
        self.fill(box(w - wide - 50, h - 62, w - 14, h - 14, 8), (1, 1, 1), 0.82)
        self.fill(text, (0.1, 0.1, 0.12))
        return Image.fromarray((np.clip(self.pixels, 0, 1) * 255).round().astype(np.uint8))
