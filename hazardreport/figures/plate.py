"""A plate: a picture with its lettered points, the readings between them and the marks drawn over it."""

import math
from collections.abc import Iterator, Mapping

from hazardreport.case.case import Case
from hazardreport.case.picture import Mark, MarkKind, Picture, PointRole
from hazardreport.case.reading import Reading
from hazardreport.figures.drawing import Disc, Drawing, Fill, PictureArea, Shape, Stroke
from hazardreport.figures.inks import PICTURE_HALO, PICTURE_INK, PICTURE_MARK, seen_through
from hazardreport.figures.pieces import Box, arrow_head, centred, pill, rounded
from hazardreport.figures.placing import Places
from hazardreport.figures.text_width import fitted_size, shortened, text_width
from hazardreport.wording import sentence

LETTER_SIZE = 3.0
LETTER_RADIUS = 2.3
TEXT_SIZE = 2.7
LINE_STEP = 3.5
MOST_VALUES = 4
SPOT = 0.75

Place = tuple[float, float]


class _Plate:
    """Puts the shapes together; a place on the picture becomes a place on the paper, always inside the frame."""

    def __init__(self, case: Case, picture: Picture, width: float, max_height: float) -> None:
        self.case, self.picture = case, picture
        self.scale = min(width / picture.width, max_height / picture.height)
        self.width, self.height = picture.width * self.scale, picture.height * self.scale
        self.places = Places(width=self.width, height=self.height)
        placed = {found.letter: self.place(found.x, found.y) for found in picture.placements}
        self.spots: dict[str, Place] = dict(sorted(placed.items(), key=lambda pair: (len(pair[0]), pair[0])))

    def place(self, x: float, y: float, margin: float = SPOT) -> Place:
        margin = min(margin, self.width / 2, self.height / 2)
        return (
            min(max(x * self.scale, margin), self.width - margin),
            min(max(y * self.scale, margin), self.height - margin),
        )

    def held(self, points: tuple[Place, ...]) -> tuple[Place, ...]:
        """Places on the paper, each moved into the frame."""
        return tuple((min(max(x, 0.0), self.width), min(max(y, 0.0), self.height)) for x, y in points)

    def around(self, spot: Place, width: float, height: float, reach: float) -> tuple[Place, ...]:
        """Places beside a spot: right above first, then the other ways."""
        across, along = width / 2 + reach, height / 2 + reach
        turns = ((0.72, -0.72), (-0.72, -0.72), (0.72, 0.72), (-0.72, 0.72), (0, -1), (1, 0), (-1, 0), (0, 1))
        return tuple((spot[0] + x * across, spot[1] + y * along) for x, y in turns)

    def letters(self) -> Iterator[Shape]:
        """Each point: a small ring on the very spot and a disc with its letter beside it."""
        radius = min(LETTER_RADIUS, self.width / 2, self.height / 2)
        ring = min(SPOT, self.width / 2, self.height / 2)
        for x, y in self.spots.values():
            self.places.spots.append((x - ring, y - ring, x + ring, y + ring))
        for letter, spot in self.spots.items():
            x, y = self.places.take(self.around(spot, 2 * radius, 2 * radius, 1.4), 2 * radius, 2 * radius)
            distance = math.hypot(x - spot[0], y - spot[1])
            if distance > radius + ring:
                yield from _haloed((spot, (x, y)), 0.3)
            yield Disc(x=spot[0], y=spot[1], radius=ring, ink=PICTURE_HALO)
            yield Disc(x=spot[0], y=spot[1], radius=max(ring - 0.3, 0.1), ink=PICTURE_INK)
            yield Disc(x=x, y=y, radius=radius, ink=PICTURE_HALO)
            yield Disc(x=x, y=y, radius=max(radius - 0.35, 0.1), ink=PICTURE_INK)
            size = fitted_size(letter, LETTER_SIZE, 2 * radius - 1.2, bold=True)
            yield centred(x, y, letter, size, PICTURE_HALO, bold=True)

    def label(self, near: tuple[Place, ...], lines: tuple[str, ...], *, bold: bool) -> Iterator[Shape]:
        """Lines of text on a light ground."""
        room = max(self.width - 2.0, 1.0)
        size = min(TEXT_SIZE, self.height / (1.4 * len(lines)))
        step = LINE_STEP * size / TEXT_SIZE
        texts = tuple(shortened(text, size, room - 1.6, bold=bold) for text in lines)
        width = min(max(text_width(text, size, bold=bold) for text in texts) + 1.6, self.width)
        height = min(step * len(texts) + 0.6, self.height)
        x, y = self.places.take(near, width, height)
        box: Box = (x - width / 2, y - height / 2, x + width / 2, y + height / 2)
        yield from pill(box, seen_through(PICTURE_HALO, 0.92), PICTURE_INK)
        for row, text in enumerate(texts):
            yield centred(x, y + (row - (len(texts) - 1) / 2) * step, text, size, PICTURE_INK, bold=bold)

    def ends(self, first: str, second: str) -> tuple[Place, Place]:
        """Both ends of a reading, last the one on the touchable part: its value should not cover what people touch."""
        point = self.case.point(first)
        if point is not None and point.role is PointRole.TOUCHABLE_PART:
            first, second = second, first
        return self.spots[first], self.spots[second]

    def reading_lines(self, pairs: Mapping[tuple[str, str], tuple[str, ...]]) -> Iterator[Shape]:
        for first, second in pairs:
            yield from _haloed((self.spots[first], self.spots[second]), 0.4)

    def reading_values(self, pairs: Mapping[tuple[str, str], tuple[str, ...]]) -> Iterator[Shape]:
        for (first, second), values in pairs.items():
            (x1, y1), (x2, y2) = self.ends(first, second)
            aside = LINE_STEP * min(len(values), MOST_VALUES) / 2 + 1.8
            near = tuple(
                (x1 + (x2 - x1) * share, y1 + (y2 - y1) * share + side)
                for share in (0.2, 0.32, 0.44, 0.56, 0.68)
                for side in (-aside, aside, 0.0)
            )
            lines = values
            if len(values) > MOST_VALUES:
                kept = MOST_VALUES - 1
                lines = (*values[:kept], sentence("figures.plate.more", count=len(values) - kept))
            yield from self.label(near, lines, bold=True)

    def mark(self, mark: Mark) -> Iterator[Shape]:
        points = tuple(self.place(x, y, 0.4) for x, y in mark.vertices)
        if not points:
            return
        match mark.kind:
            case MarkKind.ARROW if len(points) > 1:
                tail, tip = points[0], points[-1]
                length = math.hypot(tip[0] - tail[0], tip[1] - tail[1])
                head = min(2.8, length) if length else 0.0
                share = 0.7 * head / length if length else 0.0
                base = (tip[0] + (tail[0] - tip[0]) * share, tip[1] + (tail[1] - tip[1]) * share)
                wings = self.held(arrow_head(tip, tail, head, PICTURE_MARK).points)
                yield Stroke(points=(tail, base), ink=PICTURE_HALO, width=1.5)
                yield Stroke(points=wings, ink=PICTURE_HALO, width=0.8, closed=True)
                yield Stroke(points=(tail, base), ink=PICTURE_MARK, width=0.7)
                yield Fill(points=wings, ink=PICTURE_MARK)
            case MarkKind.OUTLINE if len(points) > 1:
                (x1, y1), (x2, y2) = points[0], points[-1]
                box = (min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2))
                yield from _haloed(rounded(box, 1.2), 0.6, closed=True)
            case MarkKind.FREE_LINE if len(points) > 1:
                yield from _haloed(points, 0.6)
            case _:
                pass

    def mark_text(self, mark: Mark) -> Iterator[Shape]:
        if not mark.text.strip() or not mark.vertices:
            return
        text = shortened(mark.text, TEXT_SIZE, max(self.width - 4, 1.0))
        width = text_width(text, TEXT_SIZE) + 1.6
        x, y = self.place(*mark.vertices[0], 0.4)
        if mark.kind is MarkKind.TEXT:
            near: tuple[Place, ...] = ((x + width / 2, y),)
        elif mark.kind is MarkKind.OUTLINE:
            end_x, end_y = self.place(*mark.vertices[-1], 0.4)
            left, top, bottom = min(x, end_x), min(y, end_y), max(y, end_y)
            near = ((left + width / 2, top - 2.6), (left + width / 2, bottom + 2.6))
        else:
            after_x, after_y = self.place(*mark.vertices[min(1, len(mark.vertices) - 1)], 0.4)
            length = math.hypot(x - after_x, y - after_y) or 1.0
            across, along = (x - after_x) / length, (y - after_y) / length
            behind = (x + across * (width / 2 + 0.8), y + along * (LINE_STEP / 2 + 0.8))
            near = (behind, *self.around((x, y), width, LINE_STEP, 0.6))
        yield from self.label(near, (text,), bold=False)


def _haloed(points: tuple[Place, ...], width: float, *, closed: bool = False) -> Iterator[Shape]:
    ink = PICTURE_MARK if width > 0.5 else PICTURE_INK
    yield Stroke(points=points, ink=PICTURE_HALO, width=width + 0.7, closed=closed)
    yield Stroke(points=points, ink=ink, width=width, closed=closed)


def _pairs(
    plate: _Plate, readings: tuple[Reading, ...], values: Mapping[str, str]
) -> dict[tuple[str, str], tuple[str, ...]]:
    """The different values between two points that stand on this picture, by pair, in the given order."""
    by_id = {reading.id: reading for reading in readings}
    shown: dict[tuple[str, str], list[str]] = {}
    for reading_id, text in values.items():
        reading = by_id.get(reading_id)
        if (
            reading is None
            or reading.first == reading.second
            or not {reading.first, reading.second} <= plate.spots.keys()
        ):
            continue
        first, second = sorted((reading.first, reading.second))
        texts = shown.setdefault((first, second), [])
        if text not in texts:
            texts.append(text)
    return {pair: tuple(texts) for pair, texts in sorted(shown.items())}


def _description(plate: _Plate, pairs: Mapping[tuple[str, str], tuple[str, ...]]) -> str:
    picture = plate.picture
    caption = picture.description.strip() or picture.caption.strip()
    if not caption:
        caption = sentence("figures.plate.picture", id=picture.id)
    elif caption[-1] not in ".!?":
        caption += "."
    named = []
    for letter in plate.spots:
        point = plate.case.point(letter)
        described = point.description.strip() if point else ""
        named.append(sentence("figures.plate.point", letter=letter, description=described) if described else letter)
    said = [
        sentence("figures.plate.reading", first=first, second=second, value=value)
        for (first, second), values in pairs.items()
        for value in values
    ]
    return sentence(
        "figures.plate.description",
        caption=caption,
        points=sentence("figures.plate.points", points="; ".join(named)) if named else "",
        readings=sentence("figures.plate.readings", readings="; ".join(said)) if said else "",
    )


def plate(case: Case, picture: Picture, width: float, max_height: float, values: Mapping[str, str]) -> Drawing:
    """A picture with its points, readings and marks.

    Parameters
    ----------
    case : Case
        Whose points and readings stand on the picture.
    picture : Picture
        Upright size in pixels gives the shape of the plate.
    width, max_height : float
        The plate is as large as fits in both. [mm]
    values : mapping
        Text of each reading that is to be shown, by its id, the most telling first: between two points only the first
        few have room. A reading without text, or with a point that is not on this picture, is left out.

    Returns
    -------
    Drawing
        As wide and high as the picture; everything lies inside it.
    """
    board = _Plate(case, picture, width, max_height)
    pairs = _pairs(board, case.readings, values)
    letters = tuple(board.letters())
    reading_values = tuple(board.reading_values(pairs))
    shapes = (
        PictureArea(picture=picture.id, x=0.0, y=0.0, width=board.width, height=board.height),
        *(shape for mark in picture.marks for shape in board.mark(mark)),
        *board.reading_lines(pairs),
        *(shape for mark in picture.marks for shape in board.mark_text(mark)),
        *letters,
        *reading_values,
    )
    return Drawing(width=board.width, height=board.height, description=_description(board, pairs), shapes=shapes)
