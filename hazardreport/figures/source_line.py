"""What the touchable part can deliver: the source's line, the lines of loads, and where they meet.

Both axes are logarithmic, so that the meter's microamperes and a dead short stand on one sheet. The source is drawn by
its magnitude, taken as resistive.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.axes import LogAxis
from hazardreport.figures.drawing import Drawing, Shape, Stroke, Words
from hazardreport.figures.inks import ACCENT, FAINT, LIVE, PAPER, RULE, TEXT, seen_through
from hazardreport.figures.load_lines import LoadLine, load_lines
from hazardreport.figures.naming import state_words
from hazardreport.figures.pieces import at_least, beside, corners, line, marker, notice
from hazardreport.figures.text_width import fitted_size
from hazardreport.quantity.formatting import format_number, format_value
from hazardreport.wording import sentence

SMALL = 2.5
COLUMN = 54.0
STEPS = 80


@dataclass(frozen=True, kw_only=True, slots=True)
class _Frame:
    voltage: LogAxis
    current: LogAxis
    width: float
    height: float

    def place(self, volts: float, amperes: float) -> tuple[float, float]:
        return self.voltage.place(volts), self.current.place(amperes)

    def inside(self, volts: float, amperes: float) -> bool:
        return self.voltage.low <= volts <= self.voltage.high and self.current.low <= amperes <= self.current.high


def _frame(width: float, height: float, u0: float, short: float, loads: tuple[LoadLine, ...]) -> _Frame:
    least = min(load.amperes for load in loads)
    top = 10 ** math.ceil(math.log10(max(short, *(load.amperes for load in loads)) * 1.3))
    low = 10 ** math.floor(math.log10(least * 0.7))
    high = u0 * 1.5
    return _Frame(
        voltage=LogAxis(low=min(1.0, u0 / 100), high=high, start=18.0, end=width - COLUMN, unit="V"),
        current=LogAxis(low=low, high=max(top, low * 10), start=height - 10.5, end=2.0, unit="A"),
        width=width,
        height=height,
    )


def _axes(frame: _Frame) -> Iterator[Shape]:
    left, right = frame.voltage.start, frame.voltage.end
    bottom, top = frame.current.start, frame.current.end
    for value, label in frame.voltage.decades():
        x = frame.voltage.place(value)
        yield line((x, top), (x, bottom), ink=seen_through(RULE, 0.8), width=0.12)
        yield line((x, bottom), (x, bottom + 1.1))
        yield Words(x=x, y=bottom + 3.5, text=label, ink=TEXT, size=SMALL, anchor="middle")
    for value, label in frame.current.decades():
        y = frame.current.place(value)
        yield line((left, y), (right, y), ink=seen_through(RULE, 0.8), width=0.12)
        yield line((left - 1.1, y), (left, y))
        yield beside(left - 1.6, y, label, SMALL, anchor="end")
    for value in frame.voltage.between():
        x = frame.voltage.place(value)
        yield line((x, bottom), (x, bottom + 0.6), width=0.15)
        if f"{value:.0e}"[0] in "25":
            label = format_value(value, "V", 1)
            yield Words(x=x, y=bottom + 3.5, text=label, ink=TEXT, size=SMALL, anchor="middle")
    yield Stroke(points=corners((left, top, right, bottom)), ink=TEXT, width=0.25, closed=True)
    title = sentence("figures.source_line.voltage")
    yield Words(x=(left + right) / 2, y=frame.height - 1.8, text=title, ink=TEXT, size=SMALL, anchor="middle")
    name = sentence("figures.source_line.current")
    yield Words(x=3.4, y=(top + bottom) / 2, text=name, ink=TEXT, size=SMALL, anchor="middle", angle=90)


def _curve(frame: _Frame, current: Callable[[float], float], last: float) -> tuple[tuple[float, float], ...]:
    """The part of a curve that lies in the frame, up to a voltage."""
    low = frame.voltage.low
    volts = [low * (last / low) ** (step / STEPS) for step in range(STEPS + 1)]
    return tuple(frame.place(v, current(v)) for v in volts if frame.inside(v, current(v)))


def _source(frame: _Frame, u0: float, short: float) -> Iterator[Shape]:
    """Flat at the short-circuit current, then falling at the open-circuit voltage."""
    low, high = frame.voltage.low, u0 * (1 - frame.current.low / short)
    flat = [low * (0.9 * u0 / low) ** (step / STEPS) for step in range(STEPS)]
    least = math.log(max(1 - high / u0, 1e-9))
    steep = [u0 * (1 - math.exp(math.log(0.1) + (least - math.log(0.1)) * step / STEPS)) for step in range(STEPS + 1)]
    points = tuple(frame.place(v, short * (1 - v / u0)) for v in (*flat, *steep) if v < u0)
    yield Stroke(points=points, ink=LIVE, width=0.7)


def _loads(frame: _Frame, loads: tuple[LoadLine, ...]) -> Iterator[Shape]:
    for load in loads:
        points = _curve(frame, load.current, load.voltage)
        if len(points) > 1:
            yield Stroke(
                points=points,
                ink=ACCENT if load.person else FAINT,
                width=0.35,
                dashes=() if load.person else (1.4, 0.9),
            )


def _point_text(load: LoadLine) -> str:
    return sentence(
        "figures.source_line.point",
        name=load.name,
        voltage=format_value(load.voltage, "V"),
        current=format_value(load.amperes, "A"),
    )


def spread(wished: tuple[float, ...], step: float, low: float, high: float) -> tuple[float, ...]:
    """Heights at least a step apart between two ends, in the same order, moved as little as their neighbours force.

    Examples
    --------
    >>> spread((5.0, 5.0, 9.0), 2.0, 0.0, 10.0)
    (4.0, 6.0, 9.0)
    """
    groups: list[list[float]] = []

    def middle(group: list[float]) -> float:
        reach = (len(group) - 1) * step / 2
        return min(max(sum(group) / len(group), low + reach), max(high - reach, low + reach))

    for height in wished:
        groups.append([height])
        while len(groups) > 1:
            above, below = groups[-2], groups[-1]
            air = middle(below) - (len(below) - 1) * step / 2 - middle(above) - (len(above) - 1) * step / 2
            if air >= step - 1e-9:
                break
            groups[-2:] = [above + below]
    return tuple(
        middle(group) + (place - (len(group) - 1) / 2) * step for group in groups for place in range(len(group))
    )


def _column(frame: _Frame, loads: tuple[LoadLine, ...], u0: float, open_text: str) -> Iterator[Shape]:
    """A line of text for each load, and for none, in a column beside the plot, tied to its point."""
    ordered = sorted(loads, key=lambda load: -load.amperes)
    rows = [
        (frame.place(load.voltage, load.amperes), _point_text(load), ACCENT if load.person else TEXT)
        for load in ordered
    ]
    rows.append((frame.place(u0, frame.current.low), open_text, LIVE))
    x = frame.voltage.end + 5.0
    heights = spread(tuple(at[1] for at, _, _ in rows), SMALL * 1.6, frame.current.end + 1.5, frame.current.start - 1.5)
    for (at, text, ink), y in zip(rows, heights, strict=True):
        yield Stroke(points=(at, (x - 3.2, y), (x - 0.8, y)), ink=PAPER, width=0.7)
        yield Stroke(points=(at, (x - 3.2, y), (x - 0.8, y)), ink=ink, width=0.2)
        yield beside(x, y, text, fitted_size(text, SMALL, frame.width - x - 0.5, smallest=1.8), ink)


def _source_words(frame: _Frame, short: float, short_text: str) -> Iterator[Shape]:
    x, y = frame.place(frame.voltage.low, short)
    texts = (sentence("figures.source_line.source"), short_text)
    for place, text in enumerate(texts):
        yield Words(x=x + 2, y=y + 4.2 + place * 3.7, text=text, ink=LIVE, size=SMALL, bold=place == 0)


def source_characteristic(
    case: Case, assessment: Assessment, width: float, height: float, state: UnitState | None = None
) -> Drawing:
    """The source at the touchable part in one state, with the loads that were used and three persons.

    Parameters
    ----------
    case : Case
        Its readings name the meters and loads.
    assessment : Assessment
        Its states give open-circuit voltage and source impedance.
    width, height : float
        Size of the figure; below 120 by 66 the same shape is drawn larger. [mm]
    state : UnitState, optional
        The verdict's state if not given.

    Returns
    -------
    Drawing
        Voltage on the horizontal, current on the vertical axis, both logarithmic; a sentence instead where the source
        is not determined.
    """
    width, height = at_least(width, height, 120.0, 66.0)
    state = state or assessment.verdict.headline
    cell = assessment.cell(state) if state else None
    if state is None or cell is None or not cell.open_circuit_voltage or not cell.source_impedance:
        return notice(width, height, sentence("figures.source_line.missing"))
    u0_number, zs_number = assessment.number(cell.open_circuit_voltage), assessment.number(cell.source_impedance)
    u0, zs = u0_number.measured.value, zs_number.measured.value
    if not (math.isfinite(u0) and math.isfinite(zs)) or u0 <= 0 or zs <= 0:
        return notice(width, height, sentence("figures.source_line.missing"))
    short = u0 / zs
    loads = load_lines(case, state, u0, zs)
    available = (
        format_number(assessment.number(cell.available_fault_current))
        if cell.available_fault_current
        else (format_value(short, "A"))
    )
    texts = (
        sentence("figures.source_line.open_circuit", value=format_number(u0_number)),
        sentence("figures.source_line.available", value=available),
    )
    frame = _frame(width, height, u0, short, loads)
    points = [
        shape
        for load in loads
        for shape in marker(
            "full" if load.person else "open",
            *frame.place(load.voltage, load.amperes),
            ACCENT if load.person else TEXT,
        )
    ]
    said = "; ".join(_point_text(load) for load in loads)
    description = sentence(
        "figures.source_line.description",
        state=state_words(state),
        open_circuit=format_number(u0_number),
        available=available,
        points=f"{said}.",
    )
    shapes = (
        *_axes(frame),
        *_loads(frame, loads),
        *_source(frame, u0, short),
        *_source_words(frame, short, texts[1]),
        *_column(frame, loads, u0, texts[0]),
        *points,
    )
    return Drawing(width=width, height=height, description=description, shapes=shapes)
