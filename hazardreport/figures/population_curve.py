"""How many adults carry more than a current in one exposure: a falling curve, with the thresholds of effects marked."""

from collections.abc import Iterator
from dataclasses import dataclass

from hazardreport.figures.axes import LogAxis
from hazardreport.figures.drawing import Drawing, Fill, Shape, Stroke, Words
from hazardreport.figures.inks import ACCENT, RULE, TEXT, seen_through
from hazardreport.figures.pieces import Box, at_least, beside, corners, line, pill
from hazardreport.figures.source_line import spread
from hazardreport.figures.text_width import shortened, text_width
from hazardreport.quantity.formatting import format_exact, format_value
from hazardreport.wording import sentence

SMALL = 2.5
DASHES: tuple[tuple[float, ...], ...] = ((0.3, 0.9), (1.6, 1.0), (3.0, 1.2), ())
"""Of the thresholds from the lowest to the highest; the last is whole, and all but that one thin."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Threshold:
    """A current at which an effect begins.

    mark     short name at the line; meaning: in the legend, with the current
    current  [A]; share: of adults above it, as text, for those who cannot see the curve
    """

    mark: str
    meaning: str
    current: float
    share: str


@dataclass(frozen=True, kw_only=True, slots=True)
class PopulationCurve:
    """What the figure draws.

    points      (current [A], share of adults above it [1]), rising in current
    thresholds  rising in current, at most four
    exposure    in words; median: current that half of the adults exceed [A]
    """

    points: tuple[tuple[float, float], ...]
    thresholds: tuple[Threshold, ...]
    exposure: str
    median: float


@dataclass(frozen=True, kw_only=True, slots=True)
class _Frame:
    plot: Box
    current: LogAxis

    def height(self, share: float) -> float:
        """Where a share lies. [mm]"""
        _, top, _, bottom = self.plot
        return bottom + (top - bottom) * share

    def place(self, current: float, share: float) -> tuple[float, float]:
        return self.current.place(current), self.height(share)


def _frame(curve: PopulationCurve, width: float, height: float) -> _Frame:
    left, top, right, bottom = 13.0, 6.0, width - 2.0, height - 11.0
    currents = [threshold.current for threshold in curve.thresholds]
    reached = [current for current, share in curve.points if 0.001 < share < 0.999]
    low, high = min(*currents, *reached, curve.median), max(*currents, *reached, curve.median)
    return _Frame(
        plot=(left, top, right, bottom),
        current=LogAxis(low=low / 2.0, high=high * 2.0, start=left, end=right, unit="A"),
    )


def _axes(frame: _Frame, width: float, height: float) -> Iterator[Shape]:
    left, top, right, bottom = frame.plot
    for count in range(0, 11, 2):
        y = frame.height(count / 10)
        yield line((left, y), (right, y), ink=seen_through(RULE, 0.8), width=0.12)
        yield beside(left - 1.4, y, str(count), SMALL, anchor="end")
    for value in frame.current.between():
        x = frame.current.place(value)
        yield line((x, bottom), (x, bottom + 0.6), width=0.15)
    for value, _ in frame.current.decades():
        x = frame.current.place(value)
        yield line((x, top), (x, bottom), ink=seen_through(RULE, 0.8), width=0.12)
        yield line((x, bottom), (x, bottom + 1.1))
        label = format_exact(value, "A")
        half = text_width(label, SMALL) / 2
        held = min(max(x, half + 0.5), width - half - 0.5)
        yield Words(x=held, y=bottom + 3.9, text=label, ink=TEXT, size=SMALL, anchor="middle")
    title = sentence("figures.population.current")
    middle = (left + right) / 2
    yield Words(x=middle, y=height - 1.8, text=title, ink=TEXT, size=SMALL, anchor="middle")
    name = shortened(sentence("figures.population.adults"), SMALL, bottom - top + 8.0)
    yield Words(x=3.4, y=(top + bottom) / 2, text=name, ink=TEXT, size=SMALL, anchor="middle", angle=90)


def _curve(frame: _Frame, curve: PopulationCurve) -> Iterator[Shape]:
    left, _, right, bottom = frame.plot
    low, high = frame.current.low, frame.current.high
    inner = [frame.place(current, share) for current, share in curve.points if low < current < high]
    before = max((point for point in curve.points if point[0] <= low), default=curve.points[0])[1]
    after = min((point for point in curve.points if point[0] >= high), default=curve.points[-1])[1]
    points = ((left, frame.height(before)), *inner, (right, frame.height(after)))
    yield Fill(points=((left, bottom), *points, (right, bottom)), ink=seen_through(ACCENT, 0.10))
    yield Stroke(points=points, ink=ACCENT, width=0.8)


def _thresholds(frame: _Frame, curve: PopulationCurve) -> Iterator[Shape]:
    """A line for each, and above the plot its mark, moved aside where two stand close."""
    left, top, right, bottom = frame.plot
    places = [frame.current.place(threshold.current) for threshold in curve.thresholds]
    step = max(text_width(threshold.mark, SMALL, bold=True) for threshold in curve.thresholds) + 2.0
    for threshold, x, dashes, at in zip(
        curve.thresholds, places, DASHES, spread(tuple(places), step, left + step / 2, right - step / 2), strict=False
    ):
        yield Stroke(points=((x, top), (x, bottom)), ink=TEXT, width=0.25 if dashes else 0.4, dashes=dashes)
        yield line((at, top - 1.8), (x, top), width=0.15)
        yield Words(x=at, y=top - 2.4, text=threshold.mark, ink=TEXT, size=SMALL, bold=True, anchor="middle")


def _legend(frame: _Frame, curve: PopulationCurve) -> Iterator[Shape]:
    """What the lines mean, where the curve leaves room: below it, or beyond it."""
    left, top, right, bottom = frame.plot
    row, size = SMALL * 1.55, SMALL
    turn = frame.current.place(curve.median)
    below = turn - left > right - turn
    room = (turn - left if below else right - turn) - 14.0
    shown = [shortened(threshold.meaning, size, max(room, 40.0)) for threshold in curve.thresholds]
    width = 9.5 + max(text_width(text, size) for text in shown)
    high = row * len(shown) + 1.6
    x, y = (left + 2.5, bottom - high - 2.0) if below else (right - width - 2.5, top + 2.5)
    yield from pill((x, y, x + width, y + high), edge=RULE)
    for place, (text, dashes) in enumerate(zip(shown, DASHES, strict=False)):
        at = y + 0.8 + (place + 0.5) * row
        stroke = Stroke(points=((x + 1.2, at), (x + 7.0, at)), ink=TEXT, width=0.25 if dashes else 0.4, dashes=dashes)
        yield stroke
        yield beside(x + 8.2, at, text, size)


def population_curve(curve: PopulationCurve, width: float, height: float) -> Drawing:
    """Share of adults above a current, over that current.

    Parameters
    ----------
    curve : PopulationCurve
        Points and thresholds of one exposure, computed by who asks.
    width, height : float
        Size of the figure; below 110 by 50 the same shape is drawn larger. [mm]

    Returns
    -------
    Drawing
        Current on the horizontal axis, logarithmic; on the vertical one how many of ten adults carry more.
    """
    width, height = at_least(width, height, 110.0, 50.0)
    frame = _frame(curve, width, height)
    said = "; ".join(
        sentence("figures.population.said", meaning=threshold.meaning, share=threshold.share)
        for threshold in curve.thresholds
    )
    description = sentence(
        "figures.population.description",
        exposure=curve.exposure,
        median=format_value(curve.median, "A"),
        thresholds=f"{said}.",
    )
    shapes = (
        *_axes(frame, width, height),
        *_curve(frame, curve),
        *_thresholds(frame, curve),
        Stroke(points=corners(frame.plot), ink=TEXT, width=0.25, closed=True),
        *_legend(frame, curve),
    )
    return Drawing(width=width, height=height, description=description, shapes=shapes)
