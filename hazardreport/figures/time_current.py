"""The time-current chart: zones of the effects of alternating current, and where the exposures of a case lie in it."""

from collections.abc import Iterator
from dataclasses import dataclass

from hazardreport.assess.records import Assessment
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.axes import LogAxis
from hazardreport.figures.drawing import Drawing, Fill, Ink, Shape, Stroke, Words
from hazardreport.figures.inks import FAINT, PAPER, RULE, TEXT, ZONE_INKS, seen_through
from hazardreport.figures.naming import state_words
from hazardreport.figures.operating_points import OperatingPoint, operating_points
from hazardreport.figures.pieces import Box, at_least, beside, centred, corners, line, marker, pill
from hazardreport.figures.text_width import fitted_size, shortened, text_width
from hazardreport.quantity.formatting import format_value
from hazardreport.severity.terms import Skin, Zone
from hazardreport.severity.zones import curve, curve_source
from hazardreport.wording import sentence

SHORTEST, LONGEST = 0.01, 10.0
LOWEST, HIGHEST = 2e-4, 3.0
BOUNDARIES = ("a", "b", "c1", "c2", "c3")
STEPS = 96
MARKERS = {Skin.DRY: "full", Skin.WATER_WET: "open", Skin.SALT_WET: "diamond"}


@dataclass(frozen=True, kw_only=True, slots=True)
class _Frame:
    """Where everything lies: the plot with its axes, above it the strip of exposures that last 10 s or longer."""

    plot: Box
    strip_top: float
    current: LogAxis
    time: LogAxis
    small: float
    compact: bool
    lanes: int

    @property
    def name_size(self) -> float:
        return self.small if self.compact else self.small + 0.2

    @property
    def lane(self) -> float:
        return (self.plot[1] - self.strip_top) / max(self.lanes, 1)


def _frame(width: float, height: float, lanes: int, highest: float) -> _Frame:
    compact = width < 110
    small = 2.0 if compact else 2.5
    left, right = (11.5, width - 1.5) if compact else (18.0, width - 2.0)
    bottom = height - (7.5 if compact else 13.5)
    strip_top = 1.5
    plot_top = strip_top + lanes * (3.6 if compact else 4.4)
    high = HIGHEST
    while high < highest * 1.2:
        high *= 10
    return _Frame(
        plot=(left, plot_top, right, bottom),
        strip_top=strip_top,
        current=LogAxis(low=LOWEST, high=high, start=left, end=right, unit="A"),
        time=LogAxis(low=SHORTEST, high=LONGEST, start=bottom, end=plot_top, unit="s"),
        small=small,
        compact=compact,
        lanes=lanes,
    )


def _durations() -> tuple[float, ...]:
    return tuple(SHORTEST * (LONGEST / SHORTEST) ** (step / STEPS) for step in range(STEPS + 1))


def _boundary(frame: _Frame, name: str) -> tuple[tuple[float, float], ...]:
    """A curve from the shortest time to the top of the strip."""
    points = [(frame.current.place(curve(name, time)), frame.time.place(time)) for time in _durations()]
    return (*points, (points[-1][0], frame.strip_top))


def _zones(frame: _Frame) -> Iterator[Shape]:
    left, _, right, bottom = frame.plot
    sides = [_boundary(frame, name) for name in BOUNDARIES]
    edges = [((left, bottom), (left, frame.strip_top)), *sides, ((right, bottom), (right, frame.strip_top))]
    for zone, first, second in zip(Zone, edges, edges[1:], strict=False):
        yield Fill(points=(*first, *reversed(second)), ink=ZONE_INKS[zone])
    for value, _ in frame.current.decades():
        x = frame.current.place(value)
        yield line((x, frame.strip_top), (x, bottom), ink=seen_through(RULE, 0.7), width=0.12)
    for value, _ in frame.time.decades():
        y = frame.time.place(value)
        yield line((left, y), (right, y), ink=seen_through(RULE, 0.7), width=0.12)
    for side in sides:
        yield Stroke(points=side, ink=TEXT, width=0.2 if frame.compact else 0.28)


def _gap(frame: _Frame, place: int, top: float, bottom: float) -> tuple[float, float]:
    """Left and right end of the room that a zone leaves between two heights of the paper."""
    left, _, right, _ = frame.plot
    low, high = frame.time.low, frame.time.high
    span = frame.time.start - frame.time.end
    starts, ends = [], []
    for y in (top, (top + bottom) / 2, bottom):
        time = low * (high / low) ** ((frame.time.start - y) / span)
        starts.append(frame.current.place(curve(BOUNDARIES[place - 1], time)) if place else left)
        ends.append(frame.current.place(curve(BOUNDARIES[place], time)) if place < len(BOUNDARIES) else right)
    return max(starts), min(ends)


def _free_height(frame: _Frame, wished: float, taken: tuple[Box, ...], reach: float) -> float:
    """The height nearest to a wished one where a line of names does not meet what is taken."""
    _, top, _, bottom = frame.plot
    heights = (top + reach + (bottom - top - 2 * reach) * step / 40 for step in range(41))
    free = [y for y in heights if all(y + reach < box[1] or y - reach > box[3] for box in taken)]
    return min(free, key=lambda y: abs(y - wished), default=wished)


def _name_heights(frame: _Frame, taken: tuple[Box, ...]) -> dict[Zone, float]:
    """One height for the names of the wide zones, one for the two narrow ones where they are steep."""
    reach = 1.9 * frame.name_size
    wide = _free_height(frame, frame.time.place(0.5), taken, reach)
    steep = _free_height(frame, frame.time.place(0.025), taken, reach)
    return {zone: steep if zone in {Zone.AC_4_1, Zone.AC_4_2} else wide for zone in Zone}


def _zone_names(frame: _Frame, heights: dict[Zone, float]) -> Iterator[Shape]:
    """Each zone's name inside it, whole or without its prefix, or left out where it has no room."""
    size = frame.name_size
    for place, (zone, y) in enumerate(heights.items()):
        start, end = _gap(frame, place, y - size / 2, y + size / 2)
        for text in (zone.value, zone.value.removeprefix("AC-")):
            if text_width(text, size, bold=True) + 0.8 <= end - start:
                yield centred((start + end) / 2, y, text, size, bold=True)
                break
        else:
            continue
        if place < 3 and not frame.compact:
            meaning = sentence(f"figures.time_current.zone_words_{zone.value.lower()}")
            start, end = _gap(frame, place, y + size * 0.8, y + size * 1.9)
            if text_width(meaning, frame.small) + 0.8 <= end - start:
                yield centred((start + end) / 2, y + size * 1.35, meaning, frame.small)
    for name in BOUNDARIES:
        x = frame.current.place(curve(name, SHORTEST)) + 0.7
        yield Words(x=x, y=frame.plot[3] - 0.9, text=name, ink=TEXT, size=frame.small, italic=True)


def _axes(frame: _Frame, width: float, height: float) -> Iterator[Shape]:
    left, top, right, bottom = frame.plot
    size = frame.small
    yield Stroke(points=corners((left, frame.strip_top, right, bottom)), ink=TEXT, width=0.25, closed=True)
    yield line((left, top), (right, top), width=0.25)
    for value in frame.current.between():
        yield line((frame.current.place(value), bottom), (frame.current.place(value), bottom + 0.6), width=0.15)
    for value in frame.time.between():
        yield line((left - 0.6, frame.time.place(value)), (left, frame.time.place(value)), width=0.15)
    for value, label in frame.current.decades():
        x = frame.current.place(value)
        yield line((x, bottom), (x, bottom + 1.1), width=0.25)
        yield Words(x=x, y=bottom + 1.5 + 0.8 * size, text=label, ink=TEXT, size=size, anchor="middle")
    for value, label in frame.time.decades():
        y = frame.time.place(value)
        yield line((left - 1.1, y), (left, y), width=0.25)
        yield beside(left - 1.6, y, label, size, anchor="end")
    if frame.lanes:
        middle = (frame.strip_top + top) / 2 - (0.6 if frame.lanes == 1 else 0)
        yield beside(left - 1.6, middle, sentence("figures.time_current.longer"), size, anchor="end")
    title = sentence("figures.time_current.current_short" if frame.compact else "figures.time_current.current")
    y = bottom + (3.0 if frame.compact else 3.4) + 1.7 * size
    yield Words(x=(left + right) / 2, y=y, text=title, ink=TEXT, size=size, anchor="middle")
    if not frame.compact:
        time = sentence("figures.time_current.time")
        yield Words(x=2.0 + size * 0.6, y=(top + bottom) / 2, text=time, ink=TEXT, size=size, anchor="middle", angle=90)
        note = sentence("figures.time_current.fibrillation")
        fitted = fitted_size(note, size - 0.1, width - 4, smallest=2.0)
        yield Words(
            x=(left + right) / 2 if text_width(note, fitted) < right - left else width / 2,
            y=height - 1.2,
            text=note,
            ink=FAINT,
            size=fitted,
            anchor="middle",
        )


def _legend(frame: _Frame, points: tuple[OperatingPoint, ...], taken: tuple[Box, ...]) -> Iterator[Shape]:
    """What mark, bar and grey mean, among short times and small currents where nothing else stands."""
    size = frame.small
    texts = ["figures.time_current.legend_mark", "figures.time_current.legend_bar"]
    if any(not point.plausible for point in points):
        texts.append("figures.time_current.legend_grey")
    row = size * 1.5
    x = frame.current.place(curve("a", SHORTEST)) + (3.0 if frame.compact else 4.5)
    reach = len(texts) * row / 2
    middle = _free_height(frame, frame.plot[3] - (3.4 if frame.compact else 4.2) - reach, taken, reach)
    time = SHORTEST * (LONGEST / SHORTEST) ** (
        (frame.time.start - middle + reach) / (frame.time.start - frame.time.end)
    )
    room = frame.current.place(curve("b", min(time, LONGEST))) - x - 6.5
    for place, key in enumerate(texts):
        y = middle - reach + (place + 0.5) * row
        if key.endswith("mark"):
            yield from marker("full", x + 2.2, y, size=0.9)
        elif key.endswith("bar"):
            yield from _bar(x, x + 4.4, y, TEXT)
        else:
            yield from _bar(x, x + 4.4, y, FAINT)
            yield from marker("full", x + 2.2, y, FAINT, size=0.9)
        text = sentence(f"{key}_short" if frame.compact else key)
        yield beside(x + 6, y, shortened(text, size, room), size)


def _bar(start: float, end: float, y: float, ink: Ink) -> Iterator[Shape]:
    yield line((start, y), (end, y), ink=PAPER, width=1.1)
    yield line((start, y), (end, y), ink=ink, width=0.45)
    for x in (start, end):
        yield line((x, y - 0.8), (x, y + 0.8), ink=ink, width=0.3)


def _rows(frame: _Frame, points: tuple[OperatingPoint, ...]) -> tuple[tuple[float, OperatingPoint], ...]:
    """The height of each point: long exposures on lanes of the strip, the others stacked about their time."""
    rows = []
    long = [point for point in points if point.duration >= LONGEST]
    for lane, point in enumerate(long):
        rows.append((frame.strip_top + (lane + 0.5) * frame.lane, point))
    for duration in sorted({point.duration for point in points} - {point.duration for point in long}):
        same = [point for point in points if point.duration == duration]
        step = 2.9 if frame.compact else 3.5
        reach = (len(same) - 1) * step / 2 + step / 2
        middle = min(max(frame.time.place(duration), frame.plot[1] + reach), frame.plot[3] - reach)
        rows.extend((middle + (place - (len(same) - 1) / 2) * step, point) for place, point in enumerate(same))
    return tuple(rows)


def _time_marks(frame: _Frame, rows: tuple[tuple[float, OperatingPoint], ...], x: float) -> Iterator[Shape]:
    """From the time axis to the points that share that time."""
    for duration in sorted({point.duration for _, point in rows if point.duration < LONGEST}):
        heights = [y for y, point in rows if point.duration == duration]
        true = frame.time.place(duration)
        yield Stroke(points=((frame.plot[0], true), (x, true)), ink=TEXT, width=0.2, dashes=(0.8, 0.8))
        yield line((x, min(*heights, true) - 0.8), (x, max(*heights, true) + 0.8), width=0.3)
        label = format_value(duration, "s", 2)
        y = min(true, frame.plot[3] - 1.3 * frame.small) - 0.7
        if y - frame.small < frame.plot[1]:
            y = true + frame.small
        yield Words(x=frame.plot[0] + 1, y=y, text=label, ink=TEXT, size=frame.small, bold=True)


def _point_name(frame: _Frame, point: OperatingPoint) -> str:
    return sentence(f"figures.skin.{point.skin.value}") if frame.compact else point.name


def _name_beside(frame: _Frame, name: str, bar: tuple[float, float], y: float, ink: Ink) -> Iterator[Shape]:
    """A name on a light ground after its bar, or before it where it has more room."""
    before, after = bar[0] - 2.0 - frame.plot[0], frame.plot[2] - bar[1] - 2.0
    text = shortened(name, frame.small, max(before, after) - 0.8)
    width, half = text_width(text, frame.small), frame.small * 0.55
    left = bar[1] + 1.6 if width <= after - 0.8 else bar[0] - 1.6 - width
    yield from pill((left - 0.4, y - half, left + width + 0.4, y + half), seen_through(PAPER, 0.75))
    yield beside(left, y, text, frame.small, ink)


def _points(frame: _Frame, rows: tuple[tuple[float, OperatingPoint], ...]) -> Iterator[Shape]:
    """Names in one column before the first curve that the bars reach, with a leader to each bar."""
    names = {id(point): _point_name(frame, point) for _, point in rows}
    widest = max((text_width(name, frame.small) for name in names.values()), default=0.0)
    least = min((frame.current.place(point.low) for _, point in rows), default=0.0)
    column = min(least - 2.0, max(frame.current.place(curve("b", LONGEST)) - 1.5, frame.plot[0] + widest + 4))
    soon = any(point.duration < LONGEST for _, point in rows)
    aligned = column - widest > frame.plot[0] + (4.6 * frame.small if soon else 1.0)
    yield from _time_marks(frame, rows, column - widest - 1.2 if aligned else frame.plot[0] + 4.2 * frame.small)
    for y, point in rows:
        ink = TEXT if point.plausible else FAINT
        start, end = frame.current.place(point.low), frame.current.place(point.high)
        if aligned:
            yield beside(column, y, names[id(point)], frame.small, ink, anchor="end")
            yield Stroke(points=((column + 0.8, y), (start - 0.8, y)), ink=ink, width=0.15, dashes=(0.1, 0.8))
        else:
            yield from _name_beside(frame, names[id(point)], (start, end), y, ink)
        yield from _bar(start, end, y, ink)
        yield from marker(MARKERS[point.skin], frame.current.place(point.middle), y, ink, 0.9 if frame.compact else 1.1)


def _description(points: tuple[OperatingPoint, ...], state: UnitState | None) -> str:
    if not points or state is None:
        found = sentence("figures.time_current.description_none")
    else:
        said = " ".join(
            sentence(
                "figures.time_current.description_point",
                name=point.name,
                middle=format_value(point.middle, "A"),
                low=format_value(point.low, "A"),
                high=format_value(point.high, "A"),
                duration=sentence("figures.time_current.duration_long")
                if point.duration >= LONGEST
                else format_value(point.duration, "s", 2),
                zone=point.zone.value,
            )
            for point in points
        )
        found = sentence("figures.time_current.description_state", state=state_words(state), points=said)
    return sentence("figures.time_current.description", points=found)


def _shown(points: tuple[OperatingPoint, ...], compact: bool) -> tuple[OperatingPoint, ...]:
    """All that the chart has room for: six, or in the small one dry and wet skin on the most severe path."""
    if not compact:
        return points[:6]
    if not points:
        return ()
    path = points[0].path
    return tuple(point for point in points if point.path is path)[:3]


def time_current_chart(
    assessment: Assessment | None, width: float, height: float, state: UnitState | None = None
) -> Drawing:
    """Zones and curves, and the operating points of one state.

    Parameters
    ----------
    assessment : Assessment or None
        None draws the zones alone.
    width, height : float
        Size of the figure; below 110 mm of width it is drawn for a side panel. Below 60 by 48 the same shape is drawn
        larger. [mm]
    state : UnitState, optional
        The verdict's state if not given.

    Returns
    -------
    Drawing
        Current on the horizontal, time on the vertical axis, both logarithmic.
    """
    width, height = at_least(width, height, 60.0, 48.0)
    state = state or (assessment.verdict.headline if assessment else None)
    points = operating_points(assessment, state) if assessment else ()
    shown = _shown(points, width < 110)
    long = sum(point.duration >= LONGEST for point in shown)
    frame = _frame(width, height, long, max((point.high for point in shown), default=0.0))
    rows = _rows(frame, shown)
    taken = tuple((0.0, y - 1.8, width, y + 1.8) for y, point in rows if point.duration < LONGEST)
    heights = _name_heights(frame, taken)
    y = heights[Zone.AC_2]
    named = ((0.0, y - frame.name_size, width, y + 2 * frame.name_size),)
    shapes = (
        *_zones(frame),
        *_zone_names(frame, heights),
        *(_legend(frame, shown, (*taken, *named)) if shown else ()),
        *_axes(frame, width, height),
        *_points(frame, rows),
    )
    curves = (curve_source(name, duration) for name in BOUNDARIES for duration in (SHORTEST, 0.5, LONGEST))
    sources = dict.fromkeys((*curves, *(source for point in shown for source in point.sources)))
    return Drawing(
        width=width, height=height, description=_description(points, state), shapes=shapes, sources=tuple(sources)
    )
