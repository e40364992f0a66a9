"""Measurements: tables by unit, plates with lettered points, instruments, cautions, and what was not measured."""

from collections.abc import Collection, Iterable
from decimal import Decimal

from hazardreport.assess.records import ReadNumber
from hazardreport.case.picture import Picture, PointRole
from hazardreport.case.reading import (
    CutOut,
    Instrument,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    SwitchPosition,
    TrippingDevice,
    Waveform,
)
from hazardreport.case.unit_state import UnitState
from hazardreport.figures.plate import plate
from hazardreport.quantity.formatting import format_bound, format_number, format_value
from hazardreport.quantity.typed import Bound
from hazardreport.report.context import (
    MEMORY_MARK,
    Context,
    answer_text,
    moment_text,
    number_anchor,
    reading_anchor,
    state_text,
)
from hazardreport.report.document import (
    Block,
    Column,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Plate,
    Reference,
    Row,
    Runs,
    Section,
    Table,
)
from hazardreport.report.links import pictures_of, point_anchor
from hazardreport.wording import keys, sentence

PLATE_HEIGHT = 105.0
TELLING_VOLTS = 25.0
"""A voltage above this, while switched off, is told before all others. [V]"""
OPEN = "\u2026"
OPEN_FIELDS = dict.fromkeys(("first", "second", "plug", "switch"), OPEN)


def measurements(context: Context, number: int) -> Part:
    """The part on measurements."""
    return Part(
        key="measurements",
        number=number,
        title=sentence("report.parts.measurements"),
        sections=(
            Section(title="", blocks=(Paragraph(runs=(sentence("report.measurements.opening"),)),)),
            Section(title=sentence("report.measurements.readings"), blocks=_tables(context)),
            Section(title=sentence("report.measurements.plates"), blocks=_plates(context)),
            Section(title=sentence("report.measurements.points"), blocks=_points(context)),
            Section(title=sentence("report.measurements.instruments"), blocks=_instruments(context)),
            Section(title=sentence("report.measurements.cautions"), blocks=_cautions(context)),
            Section(title=sentence("report.measurements.not_measured"), blocks=_not_measured(context)),
        ),
    )


def _read(context: Context, reading: Reading) -> ReadNumber | None:
    return next((read for read in context.assessment.readings if read.reading == reading.id), None)


def value_text(context: Context, reading: Reading) -> str:
    """A reading as number with doubt or as bound; the text as typed where no number was made of it."""
    read = _read(context, reading)
    number = context.number(read.number) if read is not None else None
    if read is None or number is None:
        return sentence("report.measurements.as_typed", typed=reading.typed)
    if read.bound is not Bound.NONE:
        return format_bound(number.measured.value, number.measured.unit, read.bound)
    return format_number(number)


def plate_values(context: Context) -> dict[str, str]:
    """Values to write beside the reading lines of a plate, by reading; the most telling first."""
    readings = sorted(context.case.readings, key=lambda reading: _telling(context, reading), reverse=True)
    return {reading.id: value_text(context, reading) for reading in readings}


def headline_value(context: Context, state: UnitState, shown: Collection[str]) -> dict[str, str]:
    """The most telling value between points that are shown, by reading, of those taken in one state; none if none."""
    values = plate_values(context)
    taken = {
        reading.id
        for reading in context.case.readings
        if {reading.first, reading.second} <= set(shown)
        and (reading.state.plug, reading.state.switch) == (state.plug, state.switch)
        and (reading.state.cut_out is CutOut.OPEN) == state.cut_out_open
    }
    return dict([(key, text) for key, text in values.items() if key in taken][:1])


def _telling(context: Context, reading: Reading) -> tuple[bool, bool, bool, float]:
    """Order of values on a plate: volts on a touchable part before others, switched off before on, then the size."""
    roles = {point.role for letter in (reading.first, reading.second) if (point := context.case.point(letter))}
    read = _read(context, reading)
    number = context.number(read.number) if read is not None else None
    volts = reading.quantity is Quantity.VOLTAGE and reading.state.plug is not PlugPosition.UNPLUGGED
    size = abs(number.measured.value) if number is not None else -1.0
    live = volts and number is not None and PointRole.TOUCHABLE_PART in roles
    return live, reading.state.switch is SwitchPosition.OFF and size >= TELLING_VOLTS, number is not None, size


def _split(text: str) -> tuple[str, str, str]:
    """Value, uncertainty and unit of "117.4 V ± 1.2 V"; the whole text as value where it is of another form."""
    pieces = text.split(" ± ")
    value, _, unit = pieces[0].rpartition("\u00a0")
    if len(pieces) == 2 and pieces[1].endswith(f"\u00a0{unit}"):
        return value, pieces[1].removesuffix(f"\u00a0{unit}"), unit
    if len(pieces) == 1 and unit and " " not in text and _is_number(value.lstrip(">< \u00a0")):
        return value, "", unit
    return text, "", ""


def _is_number(text: str) -> bool:
    return text.replace("\u2212", "-").replace(".", "").lstrip("-").isdigit()


def _tables(context: Context) -> tuple[Block, ...]:
    readings = context.case.readings
    if not readings:
        why = context.case.absence("readings") or sentence("report.words.open")
        return (Missing(what=sentence("report.measurements.none"), why=why),)
    groups: dict[tuple[Quantity, str], list[tuple[Reading, str, str]]] = {}
    for reading in readings:
        value, uncertainty, unit = _split(value_text(context, reading))
        groups.setdefault((reading.quantity, unit), []).append((reading, value, uncertainty))
    order = sorted(groups, key=lambda group: (list(Quantity).index(group[0]), group[1] == ""))
    return tuple(_table(context, quantity, unit, groups[quantity, unit]) for quantity, unit in order)


def _table(context: Context, quantity: Quantity, unit: str, rows: list[tuple[Reading, str, str]]) -> Table:
    kind = sentence(f"report.quantity.{quantity.name.lower()}")
    caption = sentence("report.measurements.in_unit", kind=kind, unit=unit) if unit else kind
    values: tuple[Column, ...]
    if unit:
        values = (
            Column(title=sentence("report.measurements.value"), unit=unit, numeric=True, share=1.35),
            Column(title=sentence("report.measurements.uncertainty"), unit=unit, numeric=True, share=1.05),
        )
    else:
        values = (Column(title=sentence("report.measurements.value"), share=2.4),)
    columns = (
        Column(title=sentence("report.measurements.reading"), share=1.35),
        Column(title=sentence("report.measurements.between"), share=1.0),
        *values,
        Column(title=sentence("report.measurements.state"), share=2.9),
        Column(title=sentence("report.measurements.load"), share=1.7),
        Column(title=sentence("report.measurements.instrument"), share=1.45),
        Column(title=sentence("report.measurements.plate"), share=1.2),
    )
    note = (
        sentence("report.words.memory_note", mark=MEMORY_MARK) if any(_marked(context, r) for r, _, _ in rows) else ""
    )
    return Table(
        caption=caption,
        columns=columns,
        rows=tuple(_row(context, reading, value, uncertainty, bool(unit)) for reading, value, uncertainty in rows),
        note=note,
    )


def _marked(context: Context, reading: Reading) -> bool:
    read = _read(context, reading)
    return read is not None and read.number in context.memory


def _row(context: Context, reading: Reading, value: str, uncertainty: str, split: bool) -> Row:
    read = _read(context, reading)
    shown: Runs = (value + (MEMORY_MARK if _marked(context, reading) else ""),)
    if read is not None and read.number:
        shown = (Reference(target=number_anchor(read.number), text=str(shown[0]), quiet=True),)
    doubt: tuple[Runs, ...] = ((uncertainty or "\u2013",),) if split else ()
    unused = read is None or not read.used
    shown_state = (reading_state(reading) + (f"; {sentence('report.measurements.not_used')}" if unused else ""),)
    picture: Runs = pictures_of(context, (reading.picture,)) if reading.picture else _plates_of(context, reading)
    instrument = context.case.instrument(reading.instrument)
    return Row(
        anchor=reading_anchor(reading.id),
        cells=(
            (reading.id,),
            (f"{reading.first}\u2013{reading.second}",),
            shown,
            *doubt,
            shown_state,
            (load_text(reading),),
            (instrument.name if instrument is not None else sentence("report.words.not_stated"),),
            picture,
        ),
    )


def _plates_of(context: Context, reading: Reading) -> Runs:
    for picture in context.case.pictures:
        letters = {placement.letter for placement in picture.placements}
        if {reading.first, reading.second} <= letters:
            return (Reference(target=plate_anchor(picture.id), text=picture.id),)
    return (sentence("report.measurements.no_plate"),)


def plate_anchor(id: str) -> str:
    """Anchor of a plate."""
    return f"plate-{id}"


def reading_state(reading: Reading) -> str:
    """The state in which a reading was taken."""
    state = reading.state
    pieces = [
        sentence(f"report.plug.{state.plug.name.lower()}"),
        sentence(f"report.switch.{state.switch.name.lower()}"),
        sentence(f"report.temperature.{state.temperature.name.lower()}"),
    ]
    if state.cut_out is CutOut.OPEN:
        pieces.append(sentence("report.words.cut_out_open"))
    if state.waveform is not Waveform.FULL:
        pieces.append(sentence(f"report.waveform.{state.waveform.name.lower()}"))
    if state.plug is not PlugPosition.UNPLUGGED:
        pieces.append(sentence(f"report.reading_earth.{state.earth.name.lower()}"))
        pieces.append(sentence(f"report.supply_kind.{reading.supply.name.lower()}"))
        if reading.supply_typed:
            pieces.append(sentence("report.measurements.supply_noted", typed=reading.supply_typed))
        pieces.append(sentence("report.measurements.proved" if reading.proved else "report.measurements.not_proved"))
    if reading.device is not TrippingDevice.NOT_NOTED:
        pieces.append(sentence(f"report.tripping_device.{reading.device.name.lower()}"))
    return ", ".join(pieces)


def load_text(reading: Reading) -> str:
    """The test load of a reading."""
    load = reading.load
    if load.kind is LoadKind.NONE:
        return sentence("report.measurements.meter_alone")
    if load.kind is LoadKind.RESISTOR and load.resistance is not None:
        return sentence("report.measurements.resistor", resistance=format_value(load.resistance, "ohm"))
    if load.rated_voltage is not None and load.rated_power is not None:
        return sentence(
            "report.measurements.lamp",
            lamp=sentence(f"report.load.{load.kind.name.lower()}"),
            power=format_value(load.rated_power, "W"),
            voltage=format_value(load.rated_voltage, "V"),
        )
    return sentence(f"report.load.{load.kind.name.lower()}")


def _plates(context: Context) -> tuple[Block, ...]:
    shown = [picture for picture in context.case.pictures if picture.placements or picture.marks]
    if not shown:
        return (Missing(what=sentence("report.measurements.no_plates"), why=sentence("report.measurements.no_points")),)
    return tuple(_plate(context, picture) for picture in shown)


def _plate(context: Context, picture: Picture) -> Plate:
    drawing = plate(context.case, picture, context.width, PLATE_HEIGHT, plate_values(context))
    caption = picture.caption or sentence("report.words.no_caption")
    key = "report.words.illustration" if picture.illustration else "report.words.picture"
    return Plate(
        drawing=drawing,
        caption=sentence(key, id=picture.id, caption=caption),
        picture=picture.id,
        anchor=plate_anchor(picture.id),
    )


def _points(context: Context) -> tuple[Block, ...]:
    if not context.case.points:
        return (Missing(what=sentence("report.measurements.no_point"), why=sentence("report.words.open")),)
    rows = tuple(
        Row(
            anchor=point_anchor(point.letter),
            cells=(
                (point.letter,),
                (point.description or sentence("report.words.not_stated"),),
                (sentence(f"report.point_role.{point.role.name.lower()}"),),
                _shown_on(context, point.letter),
            ),
        )
        for point in context.case.points
    )
    columns = (
        Column(title=sentence("report.measurements.point"), share=0.6),
        Column(title=sentence("report.measurements.description"), share=3.2),
        Column(title=sentence("report.measurements.role"), share=2.2),
        Column(title=sentence("report.measurements.shown_on"), share=2.0),
    )
    return (Table(caption=sentence("report.measurements.points_caption"), columns=columns, rows=rows),)


def _shown_on(context: Context, letter: str) -> Runs:
    ids = [p.id for p in context.case.pictures if any(placement.letter == letter for placement in p.placements)]
    runs: list[str | Reference] = []
    for key in ids:
        runs.extend([", "] if runs else [])
        runs.append(Reference(target=plate_anchor(key), text=key))
    return tuple(runs) or (sentence("report.measurements.on_no_picture"),)


def _instruments(context: Context) -> tuple[Block, ...]:
    if not context.case.instruments:
        why = sentence("report.words.open")
        return (Missing(what=sentence("report.measurements.no_instruments"), why=why),)
    columns = (
        Column(title=sentence("report.measurements.instrument"), share=1.6),
        Column(title=sentence("report.measurements.serial"), share=1.2),
        Column(title=sentence("report.measurements.input"), share=1.6),
        Column(title=sentence("report.measurements.accuracy"), share=4.2),
        Column(title=sentence("report.measurements.calibrated"), share=1.8),
    )
    rows = tuple(Row(cells=_instrument(instrument)) for instrument in context.case.instruments)
    note = sentence("report.measurements.instruments_note")
    return (Table(caption=sentence("report.measurements.instruments_caption"), columns=columns, rows=rows, note=note),)


def _instrument(instrument: Instrument) -> tuple[Runs, ...]:
    unknown = sentence("report.words.not_stated")
    inputs = [
        format_value(value, unit)
        for value, unit in ((instrument.input_resistance, "ohm"), (instrument.input_capacitance, "F"))
        if value is not None
    ]
    accuracies = "; ".join(
        sentence(
            "report.measurements.accuracy_value",
            quantity=accuracy.quantity.value,
            range=format_value(accuracy.range_to, _unit(accuracy.quantity)),
            percent=_decimals(accuracy.percent),
            digits=_decimals(accuracy.digits),
        )
        for accuracy in instrument.accuracies
    )
    calibrated = (
        sentence(
            "report.measurements.calibrated_value",
            day=instrument.calibrated,
            by=instrument.calibrated_by or unknown,
        )
        if instrument.calibrated
        else sentence("report.measurements.not_calibrated")
    )
    name = f"{instrument.name or instrument.id} ({instrument.kind})"
    return (
        (name,),
        (instrument.serial or unknown,),
        (" / ".join(inputs) or unknown,),
        (accuracies or unknown,),
        (calibrated,),
    )


def _unit(quantity: Quantity) -> str:
    return {Quantity.RESISTANCE: "ohm", Quantity.VOLTAGE: "V", Quantity.CURRENT: "A"}.get(quantity, "1")


def _decimals(value: float) -> str:
    return f"{Decimal(str(value)).normalize():f}"


def _cautions(context: Context) -> tuple[Block, ...]:
    if not context.case.cautions:
        return (
            Missing(
                what=sentence("report.measurements.no_cautions"), why=sentence("report.measurements.no_caution_shown")
            ),
        )
    competence = context.case.competence
    alone = competence is not None and all(caution.by == competence.name for caution in context.case.cautions)
    note = sentence("report.measurements.shown_to_competent") if alone else ""
    columns = (
        Column(title=sentence("report.measurements.caution"), share=5.6),
        Column(title=sentence("report.measurements.before"), share=1.8),
        *(() if alone else (Column(title=sentence("report.measurements.by"), share=1.4),)),
        Column(title=sentence("report.measurements.when"), share=2.0),
        Column(title=sentence("report.measurements.kept"), share=0.7),
    )
    rows = tuple(
        Row(
            cells=(
                (_named("cautions", caution.caution),),
                (_named("tests", caution.test),),
                *(() if alone else ((caution.by or sentence("report.words.not_stated"),),)),
                (moment_text(caution.when) or sentence("report.words.not_stated"),),
                (answer_text(caution.kept),),
            )
        )
        for caution in context.case.cautions
    )
    return (Table(caption=sentence("report.measurements.cautions_caption"), columns=columns, rows=rows, note=note),)


def _named(file: str, key: str) -> str:
    """The name of a test or caution without its open fields; its key where a case of another version names it."""
    known = keys(file)
    entry = next((f"{file}.{key}.{part}" for part in ("name", "text") if f"{file}.{key}.{part}" in known), "")
    if not entry:
        return key
    pieces = sentence(entry, **OPEN_FIELDS, load=sentence("report.measurements.a_load")).split(", ")
    return ", ".join(piece for place, piece in enumerate(pieces) if place == 0 or OPEN not in piece)


def _not_measured(context: Context) -> tuple[Block, ...]:
    blocks: list[Block] = []
    unused = [
        reading for reading in context.case.readings if (read := _read(context, reading)) is None or not read.used
    ]
    rows = tuple(
        KeyValue(
            label=reading.id,
            runs=(sentence("report.measurements.unused", typed=reading.typed, why=_why_unused(context, reading)),),
        )
        for reading in unused
    )
    if rows:
        blocks.append(KeyValues(rows=rows))
    open_states = [cell for cell in context.assessment.states if not cell.established]
    if open_states:
        states = "; ".join(state_text(cell.state) for cell in open_states)
        blocks.append(
            Missing(
                what=sentence("report.measurements.states_open"),
                why=sentence("report.measurements.states_why", states=states),
            )
        )
    test = context.assessment.next_test
    if test is not None:
        key = "report.measurements.next_test" if test.shown else "report.measurements.next_test_competent"
        blocks.append(Paragraph(runs=(sentence(key, test=test.name, instruction=test.instruction),)))
    elif context.assessment.no_further_test:
        blocks.append(Paragraph(runs=(sentence(f"tests.no_further.{context.assessment.no_further_test}"),)))
    return tuple(blocks) or (Paragraph(runs=(sentence("report.measurements.all_measured"),)),)


def _why_unused(context: Context, reading: Reading) -> str:
    read = _read(context, reading)
    told = problems_of(context, reading.id)
    if told:
        return told
    bound = read is not None and read.number and read.bound is not Bound.NONE
    return sentence("report.measurements.bound_only" if bound else "report.measurements.no_problem")


def problems_of(context: Context, id: str) -> str:
    """What the assessment holds against one record."""
    problems = [p for p in context.assessment.problems if p.id == id and not p.gentle]
    return " ".join(problem_text(p.key, p.fields) for p in problems)


def problem_text(key: str, fields: Iterable[tuple[str, str]]) -> str:
    """A problem as a sentence."""
    return sentence(f"problems.{key}.what", **dict(fields))
