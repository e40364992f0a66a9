"""The ground of the time-current chart: its frame with two logarithmic axes, the zones with their curves and names."""

from collections.abc import Iterator
from dataclasses import dataclass

from hazardreport.figures.axes import LogAxis
from hazardreport.figures.drawing import Fill, Shape, Stroke, Words
from hazardreport.figures.inks import FAINT, RULE, TEXT, ZONE_INKS, seen_through
from hazardreport.figures.pieces import Box, beside, centred, corners, line
from hazardreport.figures.text_width import fitted_size, text_width
from hazardreport.severity.terms import Zone
from hazardreport.severity.zones import curve
from hazardreport.wording import sentence

SHORTEST, LONGEST = 0.01, 10.0
LOWEST, HIGHEST = 2e-4, 3.0
BOUNDARIES = ("a", "b", "c1", "c2", "c3")
STEPS = 96


@dataclass(frozen=True, kw_only=True, slots=True)
class Frame:
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
        """Em of the zones' names. [mm]"""
        return self.small if self.compact else self.small + 0.2

    @property
    def lane(self) -> float:
        """Height of one exposure in the strip. [mm]"""
        return (self.plot[1] - self.strip_top) / max(self.lanes, 1)


def frame_of(width: float, height: float, lanes: int, highest: float) -> Frame:
    """The frame for a size [mm], so many long exposures, and the highest current [A]; narrow ones are set smaller."""
    compact = width < 110
    small = 2.0 if compact else 2.5
    left, right = (11.5, width - 1.5) if compact else (18.0, width - 2.0)
    bottom = height - (7.5 if compact else 13.5)
    strip_top = 1.5
    plot_top = strip_top + lanes * (3.6 if compact else 4.4)
    high = HIGHEST
    while high < highest * 1.2:
        high *= 10
    return Frame(
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


def _boundary(frame: Frame, name: str) -> tuple[tuple[float, float], ...]:
    """A curve from the shortest time to the top of the strip."""
    points = [(frame.current.place(curve(name, time)), frame.time.place(time)) for time in _durations()]
    return (*points, (points[-1][0], frame.strip_top))


def zone_grounds(frame: Frame) -> Iterator[Shape]:
    """Grounds of the zones, the grid, and the curves."""
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


def _gap(frame: Frame, place: int, top: float, bottom: float) -> tuple[float, float]:
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


def free_height(frame: Frame, wished: float, taken: tuple[Box, ...], reach: float) -> float:
    """The height nearest to a wished one where a line of names does not meet what is taken."""
    _, top, _, bottom = frame.plot
    heights = (top + reach + (bottom - top - 2 * reach) * step / 40 for step in range(41))
    free = [y for y in heights if all(y + reach < box[1] or y - reach > box[3] for box in taken)]
    return min(free, key=lambda y: abs(y - wished), default=wished)


def name_heights(frame: Frame, taken: tuple[Box, ...]) -> dict[Zone, float]:
    """One height for the names of the wide zones, one for the two narrow ones where they are steep."""
    reach = 1.9 * frame.name_size
    wide = free_height(frame, frame.time.place(0.5), taken, reach)
    steep = free_height(frame, frame.time.place(0.025), taken, reach)
    return {zone: steep if zone in {Zone.AC_4_1, Zone.AC_4_2} else wide for zone in Zone}


def zone_names(frame: Frame, heights: dict[Zone, float]) -> Iterator[Shape]:
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


def axes(frame: Frame, width: float, height: float) -> Iterator[Shape]:
    """Ticks, their labels, and the titles."""
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
