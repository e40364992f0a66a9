"""The time-current chart: zones of the effects of alternating current, and where the exposures of a case lie in it."""

from collections.abc import Iterator

from hazardreport.assess.records import Assessment
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.drawing import Drawing, Ink, Shape, Stroke, Words
from hazardreport.figures.inks import FAINT, PAPER, TEXT, seen_through
from hazardreport.figures.naming import state_words
from hazardreport.figures.operating_points import OperatingPoint, operating_points
from hazardreport.figures.pieces import Box, at_least, beside, line, marker, pill
from hazardreport.figures.text_width import shortened, text_width
from hazardreport.figures.zone_chart import (
    BOUNDARIES,
    LONGEST,
    SHORTEST,
    Frame,
    axes,
    frame_of,
    free_height,
    name_heights,
    zone_grounds,
    zone_names,
)
from hazardreport.quantity.formatting import format_value
from hazardreport.severity.terms import Skin, Zone
from hazardreport.severity.zones import curve, curve_source
from hazardreport.wording import sentence

MARKERS = {Skin.DRY: "full", Skin.WATER_WET: "open", Skin.SALT_WET: "diamond"}


def _legend(frame: Frame, points: tuple[OperatingPoint, ...], taken: tuple[Box, ...]) -> Iterator[Shape]:
    """What mark, bar and grey mean, among short times and small currents where nothing else stands."""
    size = frame.small
    texts = ["figures.time_current.legend_mark", "figures.time_current.legend_bar"]
    if any(not point.plausible for point in points):
        texts.append("figures.time_current.legend_grey")
    row = size * 1.5
    x = frame.current.place(curve("a", SHORTEST)) + (3.0 if frame.compact else 4.5)
    reach = len(texts) * row / 2
    middle = free_height(frame, frame.plot[3] - (3.4 if frame.compact else 4.2) - reach, taken, reach)
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


def _rows(frame: Frame, points: tuple[OperatingPoint, ...]) -> tuple[tuple[float, OperatingPoint], ...]:
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


def _time_marks(frame: Frame, rows: tuple[tuple[float, OperatingPoint], ...], x: float) -> Iterator[Shape]:
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


def _point_name(frame: Frame, point: OperatingPoint) -> str:
    return sentence(f"figures.skin.{point.skin.value}") if frame.compact else point.name


def _name_beside(frame: Frame, name: str, bar: tuple[float, float], y: float, ink: Ink) -> Iterator[Shape]:
    """A name on a light ground after its bar, or before it where it has more room."""
    before, after = bar[0] - 2.0 - frame.plot[0], frame.plot[2] - bar[1] - 2.0
    text = shortened(name, frame.small, max(before, after) - 0.8)
    width, half = text_width(text, frame.small), frame.small * 0.55
    left = bar[1] + 1.6 if width <= after - 0.8 else bar[0] - 1.6 - width
    yield from pill((left - 0.4, y - half, left + width + 0.4, y + half), seen_through(PAPER, 0.75))
    yield beside(left, y, text, frame.small, ink)


def _points(frame: Frame, rows: tuple[tuple[float, OperatingPoint], ...]) -> Iterator[Shape]:
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
    frame = frame_of(width, height, long, max((point.high for point in shown), default=0.0))
    rows = _rows(frame, shown)
    taken = tuple((0.0, y - 1.8, width, y + 1.8) for y, point in rows if point.duration < LONGEST)
    heights = name_heights(frame, taken)
    y = heights[Zone.AC_2]
    named = ((0.0, y - frame.name_size, width, y + 2 * frame.name_size),)
    shapes = (
        *zone_grounds(frame),
        *zone_names(frame, heights),
        *(_legend(frame, shown, (*taken, *named)) if shown else ()),
        *axes(frame, width, height),
        *_points(frame, rows),
    )
    curves = (curve_source(name, duration) for name in BOUNDARIES for duration in (SHORTEST, 0.5, LONGEST))
    sources = dict.fromkeys((*curves, *(source for point in shown for source in point.sources)))
    return Drawing(
        width=width, height=height, description=_description(points, state), shapes=shapes, sources=tuple(sources)
    )
