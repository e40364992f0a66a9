"""Draws the six pictures of the demo case: `python tests/making/demo_pictures.py FOLDER`.

They are drawings and say so in a corner. Their EXIF claims a time, as a telephone's would, in the club's local time.
"""

import sys
from pathlib import Path

import numpy as np
from canvas import (
    STEEL,
    Canvas,
    Colour,
    Mask,
    Point,
    along,
    around,
    box,
    cone,
    curve,
    ellipse,
    ellipse_points,
    grey,
    hexa,
    line,
    mix,
    polygon,
    words,
)
from PIL import Image

DISPLAY = "230.4"
TEAL = hexa("245058")
AMBER = hexa("d9962f")
CREAM = hexa("efe8da")
OAK, OAK_DARK = hexa("c9a06a"), hexa("9c7343")
BROWN, BLUE = hexa("6b3f22"), hexa("2f6fb0")
GREEN, YELLOW = hexa("3c8c3e"), hexa("e6cf3c")
SOOT = hexa("1c1712")
OFFSET = "+02:00"
TIMES = {
    "as-found.jpg": "2026:05:11 16:42:10",
    "underside.jpg": "2026:05:12 09:05:41",
    "plug.jpg": "2026:05:12 09:11:26",
    "terminals.jpg": "2026:05:12 10:37:52",
    "element-end.jpg": "2026:05:12 10:58:03",
    "meter-reversed-off.jpg": "2026:05:12 10:12:37",
}


def bench(canvas: Canvas, colour: Colour = OAK, dark: Colour = OAK_DARK) -> None:
    """A workbench seen from above."""
    h, w, _ = canvas.pixels.shape
    canvas.wood(box(0, 0, w, h), colour, dark)
    for y in (270, 640, 1010):
        canvas.shade(line([(0, y), (w, y + 4)], 4), 0.45)
        canvas.shade(line([(0, y + 4), (w, y + 8)], 2), -0.18)
    canvas.fill(box(0, 0, w, h), around((560, 300), 1500, [(0, (1, 0.97, 0.9)), (1, (0.25, 0.2, 0.18))]), 0.16)


def mat(canvas: Canvas) -> None:
    """A grey-green mat with a grid of centimetres, seen from above."""
    h, w, _ = canvas.pixels.shape
    canvas.fill(box(0, 0, w, h), along((0, 0), (w, h), [(0, hexa("75867f")), (1, hexa("56675f"))]))
    for x in range(20, w, 80):
        canvas.fill(line([(x, 0), (x, h)], 2), (0.86, 0.92, 0.88), 0.26 if (x - 20) % 400 else 0.5)
    for y in range(40, h, 80):
        canvas.fill(line([(0, y), (w, y)], 2), (0.86, 0.92, 0.88), 0.26 if (y - 40) % 400 else 0.5)
    canvas.grainy(box(0, 0, w, h), 0.03, 3)


def screw(canvas: Canvas, x: float, y: float, r: float, turn: float = 30, *, cross: bool = True) -> None:
    """Head of a screw."""
    head = ellipse(x, y, r)
    canvas.solid(
        head,
        cone(
            (x, y),
            [
                (0, grey(0.55)),
                (0.15, grey(0.9)),
                (0.3, grey(0.5)),
                (0.5, grey(0.72)),
                (0.65, grey(0.92)),
                (0.8, grey(0.5)),
                (1, grey(0.55)),
            ],
        ),
        drop=r * 0.3,
        blur=r * 0.3,
    )
    canvas.fill(
        ellipse(x, y, r * 0.86), around((x - r * 0.3, y - r * 0.3), r * 1.3, [(0, grey(0.88)), (1, grey(0.55))])
    )
    for angle in (turn, turn + 90) if cross else (turn,):
        dx, dy = np.cos(np.radians(angle)) * r * 0.58, np.sin(np.radians(angle)) * r * 0.58
        canvas.fill(line([(x - dx, y - dy), (x + dx, y + dy)], r * 0.24), grey(0.16))
        canvas.shade(line([(x - dx + 1, y - dy + r * 0.13), (x + dx + 1, y + dy + r * 0.13)], r * 0.06), -0.5)


def earth_core(canvas: Canvas, path: list[Point], width: float) -> None:
    """A green core with yellow bands."""
    canvas.tube(path, width, GREEN, drop=7)
    points = np.array(path)
    steps = np.hypot(*np.diff(points, axis=0).T)
    place = np.concatenate([[0.0], np.cumsum(steps)])
    core = line(path, width * 0.94)
    at = 0.0
    while at < place[-1]:
        part = [
            (float(np.interp(s, place, points[:, 0])), float(np.interp(s, place, points[:, 1])))
            for s in np.linspace(at, min(at + width * 0.8, place[-1]), 8)
        ]
        band = line(part, width, round_ends=False).within(core)
        canvas.fill(band, YELLOW, 0.62)
        at += width * 2.3
    shine = line([(x - width * 0.18, y - width * 0.18) for x, y in path], width * 0.14).blurred(1.2)
    canvas.fill(shine, (1, 1, 1), 0.4)


def tiles(canvas: Canvas, x0: int, y1: int) -> None:
    """Glazed tiles on the wall above the sink."""
    w = canvas.pixels.shape[1]
    canvas.fill(box(x0, 0, w, y1), hexa("b9c0c0"))
    size, rng = 138, np.random.default_rng(5)
    for j, y in enumerate(range(y1 - 6, -size, -size)):
        for x in range(x0 + 5, w, size):
            tone = mix(hexa("dfe8e8"), hexa("cfdcdd"), float(rng.uniform()))
            tile = box(x, y - size + 6, x + size - 6, y, 5)
            canvas.fill(
                tile,
                along(
                    (x, y - size),
                    (x + size, y),
                    [(0, mix(tone, (1, 1, 1), 0.5)), (0.6, tone), (1, mix(tone, (0, 0, 0), 0.08))],
                ),
            )
            canvas.bevel(tile, 2, 0.5, 0.12)
            if (j + x // size) % 5 == 0:
                canvas.fill(line([(x + 24, y - size + 60), (x + 64, y - size + 22)], 9).blurred(3), (1, 1, 1), 0.55)


def socket(canvas: Canvas, x: float, y: float) -> None:
    """A round recessed socket with earth clips above and below."""
    canvas.solid(
        box(x - 92, y - 92, x + 92, y + 92, 14),
        along((x - 92, y - 92), (x + 92, y + 92), [(0, grey(0.98)), (1, grey(0.84))]),
        drop=7,
        blur=9,
        opacity=0.3,
    )
    canvas.bevel(box(x - 92, y - 92, x + 92, y + 92, 14), 3)
    canvas.fill(ellipse(x, y, 72), along((x - 60, y - 60), (x + 60, y + 60), [(0, grey(0.55)), (1, grey(0.9))]))
    canvas.fill(
        ellipse(x + 2, y + 3, 65), along((x - 60, y - 60), (x + 60, y + 60), [(0, grey(0.66)), (1, grey(0.86))])
    )
    for side in (-1, 1):
        canvas.solid(
            box(x - 13, y + side * 58 - 12, x + 13, y + side * 58 + 12, 3),
            along((x - 13, 0), (x + 13, 0), [(0, grey(0.5)), (0.5, grey(0.9)), (1, grey(0.55))]),
            drop=2,
            blur=2,
        )


def wax(canvas: Canvas, x: float, y: float, w: float, h: float, colour: Colour) -> None:
    """A block of wax with a lit top."""
    d = w * 0.22
    front = polygon([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
    side = polygon([(x + w, y), (x + w + d, y - d * 0.6), (x + w + d, y + h - d * 0.6), (x + w, y + h)])
    top = polygon([(x, y), (x + d, y - d * 0.6), (x + w + d, y - d * 0.6), (x + w, y)])
    canvas.shadow(
        polygon([(x, y + h - 6), (x + w + d, y + h - d * 0.6), (x + w + d + 50, y + h + 4), (x + 30, y + h + 18)]),
        4,
        2,
        9,
        0.5,
    )
    canvas.fill(
        front, along((x, y), (x, y + h), [(0, mix(colour, (1, 1, 1), 0.12)), (1, mix(colour, (0, 0, 0), 0.15))])
    )
    canvas.fill(side, mix(colour, (0, 0, 0), 0.28))
    canvas.fill(top, mix(colour, (1, 1, 1), 0.38))


def pot(canvas: Canvas, x: float, y: float, s: float = 1.0) -> None:
    """The pot, seen from the front and a little above; x, y: middle of where it stands."""

    def at(dx: float, dy: float) -> Point:
        return (x + dx * s, y + dy * s)

    def hull(top: float, bottom: float, wide: float, narrow: float, sag: float) -> Mask:
        lower = [(px, py) for px, py in ellipse_points(*at(0, bottom), narrow * s, sag * s, 0, 0, 180)]
        return polygon([at(wide, top), *lower, at(-wide, top)])

    canvas.shadow(ellipse(*at(24, 8), 262 * s, 48 * s), 16, 6, 22 * s, 0.62)
    base = hull(-138, -6, 206, 232, 40)
    canvas.fill(
        base,
        along(
            at(-232, 0),
            at(232, 0),
            [
                (0, mix(TEAL, (0, 0, 0), 0.62)),
                (0.2, mix(TEAL, (1, 1, 1), 0.10)),
                (0.3, mix(TEAL, (1, 1, 1), 0.30)),
                (0.45, TEAL),
                (0.75, mix(TEAL, (0, 0, 0), 0.25)),
                (1, mix(TEAL, (0, 0, 0), 0.68)),
            ],
        ),
    )
    canvas.fill(
        line([(px, py) for px, py in ellipse_points(*at(0, -22), 230 * s, 40 * s, 0, 4, 176)], 7 * s),
        (0.05, 0.08, 0.09),
        0.6,
    )
    canvas.fill(ellipse(*at(0, -138), 206 * s, 36 * s), mix(TEAL, (0, 0, 0), 0.45))
    for side in (-1, 1):
        grip = curve(
            at(side * 176, -352), at(side * 252, -352), at(side * 270, -300), at(side * 246, -258), at(side * 178, -262)
        )
        canvas.tube(grip, 30 * s, grey(0.17), gloss=0.45, drop=6)
    body = hull(-420, -140, 190, 186, 33)
    canvas.fill(body, along(at(-190, 0), at(190, 0), STEEL))
    canvas.fill(body.faded(lambda px, py: np.clip((py - (y - 240 * s)) / (130 * s), 0, 1) * 0.45), (0.10, 0.14, 0.15))
    canvas.fill(
        line([(px, py) for px, py in ellipse_points(*at(0, -152), 187 * s, 33 * s, 0, 3, 177)], 3 * s), grey(0.2), 0.7
    )
    for k, dy in enumerate((-330, -300, -270)):
        run = [(px, py) for px, py in ellipse_points(*at(0, dy), 189 * s, 33 * s, 0, 50 + 8 * k, 96 - 6 * k)]
        canvas.fill(line(run, 2.5 * s), (0.2, 0.22, 0.25), 0.5)
    canvas.fill(ellipse(*at(0, -420), 204 * s, 47 * s), along(at(-204, 0), at(204, 0), STEEL))
    canvas.shade(line([(px, py) for px, py in ellipse_points(*at(0, -412), 200 * s, 46 * s, 0, 8, 172)], 5 * s), 0.5)
    canvas.fill(
        ellipse(*at(0, -421), 188 * s, 41 * s),
        along(at(-188, 0), at(188, 0), [(0, grey(0.75)), (0.4, grey(0.4)), (1, grey(0.24))]),
    )
    canvas.fill(
        ellipse(*at(0, -411), 178 * s, 34 * s),
        along(at(-150, -440), at(150, -380), [(0, hexa("f4dfa6")), (0.5, hexa("e2b860")), (1, hexa("b98735"))]),
    )
    canvas.fill(ellipse(*at(-62, -420), 56 * s, 8 * s, -4).blurred(4 * s), (1, 1, 0.95), 0.7)
    drip = curve(at(92, -388), at(96, -352), at(93, -312), at(94, -288))
    canvas.tube(drip, 11 * s, hexa("e5c27a"), gloss=0.8, drop=3)
    canvas.fill(ellipse(*at(94, -286), 9 * s, 12 * s), hexa("dfb764"))
    knob(canvas, *at(0, -56), s)
    canvas.fill(words("LUMENKESSEL", *at(-133, -74), 19 * s, bold=True, anchor="mm", angle=7), (0.93, 0.95, 0.93), 0.9)
    canvas.fill(ellipse(*at(112, -64), 9 * s), around(at(109, -67), 14 * s, [(0, hexa("b5574a")), (1, hexa("4a1512"))]))


def knob(canvas: Canvas, x: float, y: float, s: float) -> None:
    """The switch on the base, turned to 0."""
    canvas.fill(ellipse(x, y, 44 * s, 42 * s), (0.90, 0.91, 0.88), 0.9)
    canvas.fill(ellipse(x, y, 41 * s, 39 * s), mix(TEAL, (0, 0, 0), 0.25))
    canvas.solid(
        ellipse(x, y, 31 * s),
        around((x - 10 * s, y - 12 * s), 46 * s, [(0, grey(0.36)), (1, grey(0.09))]),
        drop=5 * s,
        blur=5 * s,
    )
    canvas.fill(line([(x, y), (x - 17 * s, y - 17 * s)], 6 * s), AMBER)
    canvas.fill(words("0", x - 42 * s, y - 46 * s, 21 * s, bold=True, anchor="mm"), (0.95, 0.95, 0.92))
    canvas.fill(words("I", x + 42 * s, y - 46 * s, 21 * s, bold=True, anchor="mm"), (0.95, 0.95, 0.92))


def sink(canvas: Canvas) -> None:
    """A steel sink with a tap, to the right."""
    rim = polygon([(1130, 846), (1660, 846), (1660, 1010), (1070, 1010)])
    canvas.solid(
        rim,
        along((1100, 846), (1600, 1010), [(0, grey(0.72)), (0.3, grey(0.93)), (0.6, grey(0.7)), (1, grey(0.86))]),
        drop=4,
        blur=6,
    )
    canvas.fill(
        polygon([(1172, 862), (1660, 862), (1660, 990), (1128, 990)]),
        along((0, 862), (0, 990), [(0, grey(0.30)), (0.5, grey(0.52)), (1, grey(0.78))]),
    )
    canvas.fill(
        polygon([(1172, 862), (1200, 862), (1190, 990), (1128, 990)]),
        along((1130, 0), (1200, 0), [(0, grey(0.85)), (1, grey(0.5))]),
    )
    canvas.fill(ellipse(1440, 950, 60, 14), grey(0.22))
    for px, py, r in ((1250, 925, 7), (1290, 950, 5), (1345, 930, 8), (1330, 965, 4), (1545, 940, 6)):
        canvas.fill(ellipse(px, py, r * 1.6, r * 0.7), (0.93, 0.96, 1.0), 0.65)
    canvas.tube(
        curve((1400, 838), (1400, 620), (1400, 500), (1345, 425), (1262, 440), (1238, 520), (1238, 570)),
        34,
        grey(0.70),
        gloss=1.3,
        drop=9,
    )
    canvas.fill(ellipse(1238, 573, 17, 7), grey(0.2))
    canvas.solid(box(1362, 806, 1438, 862, 12), along((1362, 0), (1438, 0), STEEL), drop=5, blur=6)
    canvas.tube([(1428, 720), (1500, 686)], 18, grey(0.72), gloss=1.2, drop=6)
    canvas.fill(ellipse(1402, 722, 25, 25), around((1394, 714), 30, [(0, grey(0.97)), (1, grey(0.45))]))
    drop = polygon([(1238, 612), (1247, 634), (1238, 645), (1229, 634)]).blurred(1.2)
    canvas.fill(drop, (0.86, 0.93, 1.0), 0.9)


def as_found() -> Image.Image:
    """The pot on the worktop beside the sink, plugged in, as it stood."""
    canvas = Canvas(seed=11)
    canvas.fill(
        box(0, 0, 1600, 860),
        along((0, 0), (1500, 860), [(0, mix(CREAM, (1, 1, 1), 0.35)), (1, mix(CREAM, (0, 0, 0), 0.14))]),
    )
    canvas.grainy(box(0, 0, 1060, 860), 0.018, 3)
    tiles(canvas, 1050, 850)
    sheet = polygon([(430, 96), (668, 78), (684, 300), (446, 318)])
    canvas.solid(
        sheet, along((430, 90), (680, 310), [(0, (1, 1, 0.97)), (1, hexa("e6e1d0"))]), drop=6, blur=7, opacity=0.28
    )
    canvas.tube(curve((520, 282), (516, 236), (520, 190)), 40, hexa("d2665a"), gloss=0.4, drop=0, flat=True)
    canvas.tube(curve((606, 276), (604, 240), (608, 206)), 34, hexa("5f8fb8"), gloss=0.4, drop=0, flat=True)
    for fx, fy in ((520, 158), (608, 176)):
        canvas.fill(polygon([(fx, fy - 28), (fx + 12, fy), (fx, fy + 16), (fx - 12, fy)]).blurred(0.8), AMBER)
    canvas.fill(ellipse(556, 92, 8), hexa("b5403a"))
    socket(canvas, 208, 480)
    canvas.wood(box(0, 846, 1600, 1112), OAK, OAK_DARK)
    canvas.fill(
        box(0, 846, 1600, 1112), along((0, 846), (0, 1112), [(0, (0.2, 0.13, 0.07)), (1, (1, 0.95, 0.85))]), 0.16
    )
    canvas.shade(box(0, 838, 1600, 866).blurred(8), 0.3)
    canvas.wood(box(0, 1112, 1600, 1200), mix(OAK, (0, 0, 0), 0.2), mix(OAK_DARK, (0, 0, 0), 0.3))
    canvas.shade(line([(0, 1112), (1600, 1112)], 5), 0.4)
    canvas.shade(line([(0, 1107), (1600, 1107)], 3), -0.35)
    sink(canvas)
    wax(canvas, 128, 868, 132, 70, hexa("ecd9ab"))
    wax(canvas, 170, 816, 112, 52, hexa("c96f5c"))
    canvas.soften(1.3)
    canvas.solid(ellipse(208, 480, 58), around((190, 460), 78, [(0, grey(0.30)), (1, grey(0.06))]), drop=12, blur=12)
    canvas.fill(ellipse(208, 480, 40), around((196, 468), 56, [(0, grey(0.26)), (1, grey(0.10))]))
    canvas.tube(
        curve((208, 484), (214, 560), (236, 700), (300, 860), (392, 960), (500, 955), (560, 926)),
        19,
        grey(0.13),
        gloss=0.5,
        drop=10,
    )
    canvas.solid(ellipse(208, 482, 21), around((202, 476), 26, [(0, grey(0.32)), (1, grey(0.1))]), drop=4, blur=4)
    pot(canvas, 760, 966)
    for k, (cx, colour) in enumerate(((378, hexa("e9dcc0")), (452, hexa("7fa38b")))):
        canvas.tube([(cx, 1060 + 14 * k), (cx, 978 + 14 * k)], 44, colour, gloss=0.5, drop=8, flat=True)
        canvas.fill(ellipse(cx, 978 + 14 * k, 22, 7), mix(colour, (1, 1, 1), 0.35))
        canvas.fill(line([(cx, 976 + 14 * k), (cx + 3, 956 + 14 * k)], 3), grey(0.2))
    return canvas.finish()


def underside() -> Image.Image:
    """The pot upside down on a mat: rating plate, feet, cord."""
    canvas = Canvas(seed=12)
    mat(canvas)
    canvas.tube(curve((-6, 1260), (50, 930), (150, 720), (300, 640), (420, 628)), 38, grey(0.13), gloss=0.5, drop=14)
    for side in (-1, 1):
        canvas.tube(
            [(820 + side * 430, 540), (820 + side * 620, 540), (820 + side * 620, 660), (820 + side * 430, 660)],
            52,
            grey(0.17),
            gloss=0.4,
            drop=14,
        )
    canvas.solid(
        ellipse(820, 600, 528),
        cone(
            (820, 600),
            [
                (0, grey(0.5)),
                (0.1, grey(0.82)),
                (0.25, grey(0.55)),
                (0.4, grey(0.4)),
                (0.6, grey(0.9)),
                (0.75, grey(0.6)),
                (0.9, grey(0.42)),
                (1, grey(0.5)),
            ],
        ),
        drop=26,
        blur=26,
        opacity=0.6,
    )
    canvas.fill(
        ellipse(820, 600, 500),
        around((640, 380), 900, [(0, mix(TEAL, (1, 1, 1), 0.22)), (0.6, TEAL), (1, mix(TEAL, (0, 0, 0), 0.5))]),
    )
    canvas.grainy(ellipse(820, 600, 496), 0.035, 2)
    for r, dark in ((472, 0.35), (468, -0.18), (372, 0.30), (368, -0.15)):
        canvas.shade(line(ellipse_points(820, 600, r, r), 4), dark)
    for angle in range(0, 360, 12):
        if 150 < angle < 210:
            continue
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        slot = line([(820 + 395 * c, 600 + 395 * s), (820 + 448 * c, 600 + 448 * s)], 9)
        canvas.fill(slot, (0.02, 0.05, 0.06), 0.9)
        canvas.shade(slot.moved(2, 2).minus(slot), -0.25)
    for angle in (52, 128, 232, 308):
        x, y = 820 + 318 * np.cos(np.radians(angle)), 600 + 318 * np.sin(np.radians(angle))
        canvas.solid(
            ellipse(x, y, 40), around((x - 14, y - 14), 56, [(0, grey(0.32)), (1, grey(0.08))]), drop=6, blur=8
        )
        canvas.shade(line(ellipse_points(x, y, 27, 27), 3), 0.5)
    for x, y, turn in ((820, 300, 20), (820, 900, 62), (1112, 600, 5)):
        canvas.fill(ellipse(x, y, 27), (0.02, 0.05, 0.06), 0.85)
        screw(canvas, x, y, 19, turn)
    canvas.solid(
        box(344, 590, 462, 666, 18),
        along((0, 590), (0, 666), [(0, grey(0.30)), (0.3, grey(0.2)), (1, grey(0.06))]),
        drop=10,
        blur=10,
    )
    for x in (366, 388, 410, 432):
        canvas.shade(line([(x, 598), (x, 658)], 4), 0.6)
    rating_plate(canvas, 560, 446)
    return canvas.finish()


def rating_plate(canvas: Canvas, x: float, y: float) -> None:
    """The plate that names the unit; 520 by 316."""
    plate = box(x, y, x + 520, y + 316, 14)
    canvas.solid(
        plate,
        along((x, y), (x + 520, y + 316), [(0, grey(0.90)), (0.35, grey(0.80)), (0.5, grey(0.93)), (1, grey(0.76))]),
        drop=3,
        blur=4,
    )
    canvas.bevel(plate, 2, 0.6, 0.35)
    ink = (0.07, 0.09, 0.11)
    canvas.fill(line([(x + 22, y + 74), (x + 498, y + 74)], 3), ink)
    canvas.fill(words("LUMENKESSEL", x + 24, y + 58, 42, bold=True), ink)
    rows = [
        ("Wax-melting pot", 110, 27, True),
        ("Type  LK-WX 6", 146, 27, True),
        ("230 V ~   50 Hz   600 W", 184, 29, True),
        ("Serial  0142-3377-06     Batch  26-04", 220, 22, False),
        ("Date code  6D", 248, 22, False),
        ("Lumenkessel Geraetebau, Dochtgasse 12,", 276, 20, False),
        ("00000 Kerzenau (invented)", 300, 20, False),
    ]
    for text, dy, size, bold in rows:
        canvas.fill(words(text, x + 24, y + dy, size, bold=bold), ink)
    cx, cy = x + 448, y + 140
    canvas.fill(line(ellipse_points(cx, cy, 34, 34), 4), ink)
    canvas.fill(line([(cx, cy - 24), (cx, cy + 2)], 4), ink)
    for k, half in enumerate((20, 13, 6)):
        canvas.fill(line([(cx - half, cy + 2 + 9 * k), (cx + half, cy + 2 + 9 * k)], 4), ink)


def painted_tray(canvas: Canvas) -> Mask:
    """Inside of the base, metal with hammered grey-blue paint; the mask of its floor."""
    outer = ellipse(820, 640, 800, 700)
    canvas.solid(
        outer,
        cone(
            (820, 640),
            [
                (0, grey(0.55)),
                (0.12, grey(0.85)),
                (0.3, grey(0.5)),
                (0.55, grey(0.38)),
                (0.68, grey(0.92)),
                (0.85, grey(0.5)),
                (1, grey(0.55)),
            ],
        ),
        drop=20,
        blur=24,
    )
    canvas.fill(
        ellipse(820, 640, 770, 672),
        along((200, 100), (1400, 1200), [(0, hexa("3f4d57")), (0.5, hexa("64757f")), (1, hexa("8fa0a8"))]),
    )
    floor = ellipse(830, 656, 716, 622)
    canvas.fill(floor, around((620, 420), 1100, [(0, hexa("8b9ca5")), (0.6, hexa("71838d")), (1, hexa("4c5b65"))]))
    for cell, amount in ((60, 0.03), (9, 0.035), (3, 0.02)):
        canvas.grainy(floor, amount, cell)
    canvas.shade(ellipse(830, 656, 716, 622).minus(ellipse(846, 676, 708, 612)).blurred(9).within(floor), 0.45)
    return floor


def terminals() -> Image.Image:
    """The terminal compartment: the earth core's ring stands on paint."""
    canvas = Canvas(seed=13)
    bench(canvas, mix(OAK, (0, 0, 0), 0.25), mix(OAK_DARK, (0, 0, 0), 0.35))
    painted_tray(canvas)
    canvas.solid(
        box(-40, 560, 210, 720, 30),
        along((0, 560), (0, 720), [(0, grey(0.34)), (0.3, grey(0.2)), (1, grey(0.07))]),
        drop=12,
        blur=14,
    )
    canvas.tube([(-30, 640), (330, 640)], 92, grey(0.16), gloss=0.4, drop=14)
    canvas.solid(
        box(226, 566, 300, 714, 10),
        along((0, 566), (0, 714), [(0, hexa("d8d2c2")), (1, hexa("a49c8a"))]),
        drop=10,
        blur=10,
    )
    screw(canvas, 263, 592, 17, 15)
    screw(canvas, 263, 688, 17, 70)
    canvas.tube(curve((330, 622), (460, 560), (600, 440), (760, 392), (850, 396)), 34, BROWN, drop=10)
    canvas.tube(curve((330, 648), (500, 640), (660, 540), (780, 498), (850, 498)), 34, BLUE, drop=10)
    for x, y in ((1380, 292), (1440, 606)):
        canvas.solid(
            ellipse(x, y, 48),
            along((x - 40, y - 40), (x + 40, y + 40), [(0, grey(0.34)), (1, grey(0.08))]),
            drop=5,
            blur=6,
        )
        canvas.fill(ellipse(x, y, 30), grey(0.02))
    canvas.tube(curve((1068, 396), (1180, 380), (1280, 306), (1372, 292)), 34, BROWN, drop=10)
    canvas.tube(curve((1068, 498), (1190, 516), (1320, 596), (1432, 606)), 34, BLUE, drop=10)
    for x, y in ((1380, 292), (1440, 606)):
        canvas.shade(
            polygon([(x - 6, y - 24), (x + 30, y - 24), (x + 30, y + 24), (x - 6, y + 24)])
            .within(ellipse(x, y, 30))
            .blurred(3),
            0.9,
        )
    canvas.solid(
        box(836, 340, 1084, 552, 12),
        along((836, 340), (1084, 552), [(0, hexa("f4f0e4")), (1, hexa("cbc4b2"))]),
        drop=16,
        blur=16,
    )
    canvas.bevel(box(836, 340, 1084, 552, 12), 4)
    for y, text in ((396, "1"), (498, "2")):
        for x in (890, 1030):
            canvas.fill(
                ellipse(x, y, 34), along((x - 30, y - 30), (x + 30, y + 30), [(0, hexa("8d8674")), (1, hexa("e5decb"))])
            )
            screw(canvas, x, y, 24, (x * 7 + y * 3) % 90, cross=False)
        canvas.fill(words(text, 960, y, 34, bold=True, anchor="mm"), grey(0.25))
    earth_core(canvas, curve((330, 668), (420, 730), (540, 860), (690, 900), (812, 872)), 36)
    boss(canvas, 930, 846)
    canvas.fill(words("PE", 1075, 990, 40, bold=True, anchor="mm"), grey(0.92), 0.75)
    return canvas.finish()


def boss(canvas: Canvas, x: float, y: float) -> None:
    """The boss for the earth conductor: a ring terminal screwed down on unbroken paint."""
    paint = hexa("7c8e98")
    canvas.solid(
        ellipse(x, y, 158, 150),
        around(
            (x - 60, y - 60), 240, [(0, mix(paint, (1, 1, 1), 0.30)), (0.7, paint), (1, mix(paint, (0, 0, 0), 0.3))]
        ),
        drop=10,
        blur=14,
    )
    for cell, amount in ((18, 0.05), (7, 0.05)):
        canvas.grainy(ellipse(x, y, 154, 146), amount, cell)
    barrel = polygon([(x - 170, y + 4), (x - 60, y - 32), (x - 44, y + 34), (x - 158, y + 58)])
    canvas.solid(
        barrel,
        along(
            (x - 120, y - 26),
            (x - 104, y + 52),
            [(0, grey(0.62)), (0.25, grey(0.96)), (0.55, grey(0.62)), (1, grey(0.30))],
        ),
        drop=9,
        blur=8,
    )
    for shift in (-128, -98):
        canvas.shade(line([(x + shift, y - 4), (x + shift + 14, y + 44)], 11).blurred(2), 0.55)
    ring = ellipse(x + 14, y, 92, 88).minus(ellipse(x + 14, y, 30))
    canvas.shadow(ring, 7, 12, 7, 0.7)
    canvas.fill(
        ring,
        cone(
            (x + 14, y),
            [
                (0, grey(0.62)),
                (0.12, grey(0.9)),
                (0.3, grey(0.6)),
                (0.5, grey(0.5)),
                (0.62, grey(0.95)),
                (0.8, grey(0.65)),
                (1, grey(0.62)),
            ],
        ),
    )
    canvas.bevel(ring, 3, 0.6, 0.45)
    screw(canvas, x + 14, y, 50, 38)


def element_end() -> Image.Image:
    """The end of the heating element: a crack in its sheath beside terminal 2, with residue."""
    canvas = Canvas(seed=14)
    bench(canvas, hexa("a9a196"), hexa("857d72"))
    canvas.soften(4)
    flange = box(300, 210, 420, 990, 26)
    canvas.tube(curve((80, 600), (190, 600), (330, 600)), 66, grey(0.72), gloss=1.2, drop=18)
    for x in range(96, 300, 17):
        canvas.shade(line([(x, 566), (x + 9, 634)], 5).blurred(1), 0.35)
    canvas.tube(curve((-20, 930), (40, 800), (60, 680), (96, 610)), 44, BLUE, gloss=0.5, drop=14)
    canvas.solid(
        polygon([(56, 566), (150, 560), (150, 640), (56, 634)]), along((0, 556), (0, 640), STEEL), drop=8, blur=8
    )
    canvas.tube(
        curve((420, 600), (760, 600), (1080, 596), (1330, 540), (1500, 380), (1640, 130)),
        168,
        hexa("8f9194"),
        gloss=0.75,
        drop=30,
    )
    body = line(curve((420, 600), (760, 600), (1080, 596), (1330, 540), (1500, 380), (1640, 130)), 160)
    canvas.grainy(body, 0.04, 5)
    canvas.fill(body.faded(lambda x, y: np.clip((x - 900) / 700, 0, 1) * 0.35), hexa("7a5236"))
    canvas.solid(
        flange,
        along((300, 0), (420, 0), [(0, grey(0.45)), (0.3, grey(0.88)), (0.7, grey(0.7)), (1, grey(0.4))]),
        drop=22,
        blur=18,
    )
    canvas.bevel(flange, 4)
    screw(canvas, 360, 290, 34, 25)
    screw(canvas, 360, 910, 34, 70)
    canvas.solid(
        polygon([(414, 496), (486, 476), (486, 724), (414, 704)]),
        along(
            (0, 476), (0, 724), [(0, hexa("c9c3b3")), (0.3, hexa("faf7ee")), (0.6, hexa("e6e0d0")), (1, hexa("948d7c"))]
        ),
        drop=10,
        blur=10,
    )
    crack(canvas, 640, 596)
    ruler(canvas, 470, 900)
    return canvas.finish()


def crack(canvas: Canvas, x: float, y: float) -> None:
    """A crack across the sheath, soot around it, wax that ran in."""
    stain = ellipse(x, y + 6, 120, 74, 12).blurred(26)
    canvas.fill(stain, hexa("3a2414"), 0.75)
    canvas.fill(ellipse(x + 4, y, 56, 62, 8).blurred(13), SOOT, 0.85)
    rng = np.random.default_rng(3)
    rows = np.linspace(0, 1, 19)
    middle = [(x - 24 + 48 * t + float(rng.normal(0, 8)), y - 79 + 156 * t) for t in rows]
    half = [1.5 + 9 * float(np.sin(np.pi * t)) ** 0.8 * float(rng.uniform(0.6, 1.3)) for t in rows]
    gap = [(px - w, py) for (px, py), w in zip(middle, half, strict=True)]
    gap += [(px + w, py) for (px, py), w in reversed(list(zip(middle, half, strict=True)))]
    edge = polygon(gap)
    canvas.fill(edge.moved(-4, -2), grey(0.82), 0.8)
    canvas.fill(edge.moved(4, 2), grey(0.5), 0.5)
    canvas.fill(edge, (0.02, 0.015, 0.01))
    canvas.fill(line(middle[7:12], 3.5), hexa("d0662c"), 0.75)
    for start, dx, dy in ((5, 58, 18), (9, -54, 22), (13, 44, 6), (3, -34, -12)):
        sx, sy = middle[start]
        for reach, thick in ((1.0, 2.0), (0.55, 4.0)):
            branch = curve(
                (sx, sy), (sx + dx * 0.45 * reach, sy + dy * 0.1 * reach), (sx + dx * reach, sy + dy * reach)
            )
            canvas.fill(line(branch, thick), (0.03, 0.02, 0.02))
    for dx, dy, rx, ry in ((84, 58, 40, 15), (-62, 66, 30, 11), (30, 80, 50, 12)):
        drop = ellipse(x + dx, y + dy, rx, ry, 4)
        canvas.fill(drop, along((x, y + dy - ry), (x, y + dy + ry), [(0, hexa("f1d69a")), (1, hexa("a8762c"))]), 0.85)
        canvas.fill(ellipse(x + dx - rx * 0.3, y + dy - ry * 0.35, rx * 0.3, ry * 0.22).blurred(1.5), (1, 1, 0.95), 0.8)


def ruler(canvas: Canvas, x: float, y: float) -> None:
    """A steel rule, so that the crack has a scale: 16 pixels to the millimetre."""
    body = box(x, y, x + 1000, y + 96, 6)
    canvas.solid(
        body,
        along((x, y), (x + 1000, y + 96), [(0, grey(0.92)), (0.4, grey(0.78)), (0.6, grey(0.95)), (1, grey(0.8))]),
        drop=10,
        blur=9,
    )
    canvas.bevel(body, 2)
    for k in range(61):
        size = 40 if k % 10 == 0 else 28 if k % 5 == 0 else 18
        canvas.fill(line([(x + 20 + 16 * k, y + 2), (x + 20 + 16 * k, y + size)], 2, round_ends=False), grey(0.1))
        if k % 10 == 0 and k < 60:
            canvas.fill(words(str(k), x + 20 + 16 * k, y + 76, 28, anchor="ms"), grey(0.1))
    canvas.fill(words("mm", x + 940, y + 76, 24, anchor="ms"), grey(0.25))


SEGMENTS = {
    "0": "abcdef",
    "1": "bc",
    "2": "abged",
    "3": "abgcd",
    "4": "fgbc",
    "5": "afgcd",
    "6": "afgedc",
    "7": "abc",
    "8": "abcdefg",
    "9": "abcdfg",
}


def seven_segments(canvas: Canvas, text: str, x: float, y: float, h: float, ink: Colour) -> None:
    """Digits as a liquid crystal shows them; unlit segments stay faintly visible."""
    w, t, slant = h * 0.50, h * 0.125, 0.08

    def bar(ax: float, ay: float, bx: float, by: float) -> Mask:
        g = t * 0.10
        if ay == by:
            raw = [
                (ax + g, ay),
                (ax + g + t / 2, ay - t / 2),
                (bx - g - t / 2, ay - t / 2),
                (bx - g, ay),
                (bx - g - t / 2, ay + t / 2),
                (ax + g + t / 2, ay + t / 2),
            ]
        else:
            raw = [
                (ax, ay + g),
                (ax + t / 2, ay + g + t / 2),
                (ax + t / 2, by - g - t / 2),
                (ax, by - g),
                (ax - t / 2, by - g - t / 2),
                (ax - t / 2, ay + g + t / 2),
            ]
        return polygon([(px + (y + h - py) * slant, py) for px, py in raw])

    for sign in text:
        if sign == ".":
            canvas.fill(ellipse(x - h * 0.13, y + h, t * 0.6), ink)
            continue
        bars = {
            "a": bar(x, y, x + w, y),
            "g": bar(x, y + h / 2, x + w, y + h / 2),
            "d": bar(x, y + h, x + w, y + h),
            "f": bar(x, y, x, y + h / 2),
            "b": bar(x + w, y, x + w, y + h / 2),
            "e": bar(x, y + h / 2, x, y + h),
            "c": bar(x + w, y + h / 2, x + w, y + h),
        }
        for name, shape in bars.items():
            canvas.fill(shape, ink, 0.95 if name in SEGMENTS[sign] else 0.05)
        x += h * 0.76


def meter(display: str = DISPLAY) -> Image.Image:
    """The meter during the reading: switch off, plug reversed, nothing but the meter between pot and earth."""
    canvas = Canvas(seed=15)
    canvas.fill(box(0, 0, 1600, 760), along((0, 0), (1600, 760), [(0, hexa("d8d2c4")), (1, hexa("aaa294"))]))
    canvas.wood(box(0, 740, 1600, 1200), OAK, OAK_DARK)
    canvas.shade(box(0, 720, 1600, 770).blurred(12), 0.3)
    pot(canvas, 1180, 860, 1.18)
    canvas.solid(box(1020, 344, 1066, 424, 8), hexa("a8332c"), drop=8, blur=8)
    canvas.tube(
        curve((1040, 330), (1010, 210), (900, 190), (840, 420), (800, 900), (690, 1130)),
        20,
        hexa("a8332c"),
        gloss=0.5,
        drop=12,
    )
    canvas.soften(7)
    body = box(210, 60, 760, 1160, 64)
    canvas.shadow(body, 26, 30, 34, 0.6)
    canvas.fill(body, along((210, 60), (760, 1160), [(0, hexa("7a5c7e")), (0.5, hexa("5d4563")), (1, hexa("3f2d46"))]))
    canvas.bevel(body, 8, 0.35, 0.45)
    inner = box(246, 98, 724, 1122, 40)
    canvas.fill(inner, along((246, 98), (724, 1122), [(0, hexa("33363c")), (1, hexa("1d1f24"))]))
    canvas.grainy(inner, 0.02, 2)
    canvas.bevel(inner, 4, 0.15, 0.5)
    lcd(canvas, display)
    dial(canvas, 485, 660)
    for x, text, colour in ((350, "COM", grey(0.07)), (485, "V Ω", hexa("8e2a25")), (620, "10 A", hexa("8e2a25"))):
        canvas.solid(ellipse(x, 990, 46), colour, drop=4, blur=5)
        canvas.fill(ellipse(x, 990, 30), around((x - 8, 982), 44, [(0, grey(0.25)), (1, grey(0.02))]))
        canvas.fill(words(text, x, 920, 28, bold=True, anchor="mm"), grey(0.88))
    canvas.tube(curve((485, 990), (500, 1080), (560, 1160), (640, 1230)), 26, hexa("a8332c"), gloss=0.5, drop=10)
    canvas.tube(curve((350, 990), (330, 1090), (250, 1170), (180, 1230)), 26, grey(0.12), gloss=0.6, drop=10)
    for x, colour in ((350, grey(0.14)), (485, hexa("a8332c"))):
        canvas.solid(
            ellipse(x, 992, 27),
            around((x - 8, 984), 34, [(0, mix(colour, (1, 1, 1), 0.4)), (1, colour)]),
            drop=6,
            blur=6,
        )
    return canvas.finish()


def lcd(canvas: Canvas, display: str) -> None:
    """The meter's display."""
    glass = box(278, 132, 692, 392, 20)
    canvas.fill(box(270, 124, 700, 400, 24), grey(0.05))
    canvas.fill(glass, along((278, 132), (692, 392), [(0, hexa("c3ccb6")), (1, hexa("a9b49c"))]))
    canvas.shade(glass.minus(glass.moved(6, 8)).blurred(5).within(glass), 0.4)
    ink = hexa("1c211b")
    seven_segments(canvas, display, 306, 214, 108, ink)
    canvas.fill(words("V", 658, 252, 44, bold=True, anchor="mm"), ink)
    canvas.fill(words("AC", 658, 306, 26, bold=True, anchor="mm"), ink)
    canvas.fill(words("TRUE RMS", 300, 172, 22, bold=True), ink)
    canvas.fill(words("AUTO", 474, 172, 22), ink)
    canvas.fill(words("10 MΩ", 590, 172, 22), ink)
    for k in range(41):
        tall = 14 if k % 10 == 0 else 8
        canvas.fill(line([(304 + 8.4 * k, 376 - tall), (304 + 8.4 * k, 376)], 2, round_ends=False), ink, 0.85)
    canvas.fill(polygon([(278, 132), (470, 132), (360, 392), (278, 392)]).within(glass), (1, 1, 1), 0.09)


def dial(canvas: Canvas, x: float, y: float) -> None:
    """The rotary switch, on alternating volts."""
    labels = (("OFF", -150), ("V~", -115), ("V=", -80), ("Ω", -45), ("nF", -10), ("A~", 170))
    for text, angle in labels:
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        chosen = text == "V~"
        canvas.fill(words(text, x + 182 * c, y + 182 * s, 32, bold=True, anchor="mm"), AMBER if chosen else grey(0.82))
        canvas.fill(line([(x + 132 * c, y + 132 * s), (x + 148 * c, y + 148 * s)], 4), AMBER if chosen else grey(0.6))
    canvas.solid(
        ellipse(x, y, 122), around((x - 46, y - 50), 190, [(0, hexa("6d7078")), (1, hexa("25272c"))]), drop=12, blur=12
    )
    canvas.shade(line(ellipse_points(x, y, 116, 116), 4), 0.4)
    c, s = np.cos(np.radians(-115)), np.sin(np.radians(-115))
    canvas.solid(
        line([(x - 96 * c, y - 96 * s), (x + 96 * c, y + 96 * s)], 52),
        along((x - 40, y - 40), (x + 40, y + 40), [(0, hexa("858891")), (1, hexa("33353b"))]),
        drop=8,
        blur=8,
    )
    canvas.fill(line([(x + 60 * c, y + 60 * s), (x + 106 * c, y + 106 * s)], 9), AMBER)


def plug() -> Image.Image:
    """The plug from its face: two equal pins, earth contacts at two sides, stickers 1 and 2."""
    canvas = Canvas(seed=16)
    bench(canvas)
    canvas.tube(
        curve((960, 640), (1180, 760), (1330, 900), (1480, 1000), (1640, 1040)), 62, grey(0.13), gloss=0.5, drop=18
    )
    canvas.solid(
        polygon([(980, 560), (1180, 690), (1240, 780), (1190, 850), (1080, 830), (900, 740)]),
        along((1000, 560), (1100, 860), [(0, grey(0.34)), (1, grey(0.05))]),
        drop=18,
        blur=18,
    )
    x, y, r = 720, 560, 350
    canvas.solid(
        ellipse(x, y, r),
        around((x - 150, y - 170), r * 1.9, [(0, grey(0.36)), (0.5, grey(0.20)), (1, grey(0.05))]),
        drop=30,
        blur=30,
        opacity=0.6,
    )
    canvas.shade(line(ellipse_points(x, y, r - 16, r - 16), 5), 0.5)
    face = ellipse(x, y, r - 52)
    canvas.fill(face, around((x - 130, y - 140), r * 1.7, [(0, grey(0.30)), (1, grey(0.09))]))
    canvas.grainy(face, 0.02, 2)
    canvas.bevel(face, 4, 0.18, 0.4)
    for side in (-1, 1):
        canvas.fill(
            box(x - 62, y + side * (r - 44) - 52, x + 62, y + side * (r - 44) + 52, 10).within(ellipse(x, y, r)),
            grey(0.03),
        )
        canvas.solid(
            box(x - 40, y + side * (r - 62) - 44, x + 40, y + side * (r - 62) + 44, 8),
            along((x - 40, 0), (x + 40, 0), [(0, grey(0.42)), (0.35, grey(0.96)), (0.6, grey(0.72)), (1, grey(0.4))]),
            drop=6,
            blur=6,
        )
        canvas.shade(line([(x - 34, y + side * (r - 96)), (x + 34, y + side * (r - 96))], 7).blurred(2), 0.5)
    for px, name in ((x - 150, "1"), (x + 150, "2")):
        canvas.fill(ellipse(px, y, 62), grey(0.06))
        canvas.shadow(ellipse(px, y, 46), 26, 34, 16, 0.75)
        canvas.fill(
            ellipse(px, y, 47), around((px - 16, y - 18), 70, [(0, grey(0.98)), (0.5, grey(0.72)), (1, grey(0.36))])
        )
        canvas.fill(
            ellipse(px - 3, y - 3, 34),
            around((px - 12, y - 14), 52, [(0, grey(1.0)), (0.7, grey(0.82)), (1, grey(0.6))]),
        )
        tag = box(px - 36, y + 92, px + 36, y + 154, 8)
        canvas.solid(
            tag,
            along((px - 36, y + 92), (px + 36, y + 154), [(0, hexa("fbf3c4")), (1, hexa("ead98a"))]),
            drop=4,
            blur=4,
        )
        canvas.fill(words(name, px, y + 124, 44, bold=True, anchor="mm"), grey(0.12))
    canvas.fill(words("16 A  250 V ~", x, y - 112, 30, anchor="mm"), grey(0.55))
    return canvas.finish()


SCENES = {
    "as-found.jpg": as_found,
    "underside.jpg": underside,
    "plug.jpg": plug,
    "meter-reversed-off.jpg": meter,
    "terminals.jpg": terminals,
    "element-end.jpg": element_end,
}


def save(image: Image.Image, path: Path) -> None:
    """A JPEG that claims a time and a maker of the camera, as a telephone's would."""
    exif = Image.Exif()
    exif[0x010E] = "Illustration, drawn for the demo case"
    exif[0x010F], exif[0x0110] = "Drawn", "demo_pictures.py"
    exif[0x0112] = 1
    times = exif.get_ifd(0x8769)
    times[0x9003] = times[0x9004] = TIMES[path.name]
    times[0x9011] = times[0x9012] = OFFSET
    image.save(path, quality=88, optimize=True, subsampling="4:2:0", exif=exif, dpi=(144, 144))


def draw_all(folder: Path, names: list[str] | None = None) -> None:
    """All pictures, or those named, as files in a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, scene in SCENES.items():
        if not names or name in names:
            save(scene(), folder / name)


if __name__ == "__main__":
    draw_all(Path(sys.argv[1]), sys.argv[2:])
