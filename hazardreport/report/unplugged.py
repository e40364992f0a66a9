"""What stays between the pins after unplugging: where the unit has a capacitor, or someone read the pins."""

from hazardreport.assess.records import PinCharge
from hazardreport.case.case import Case
from hazardreport.case.reading import PlugPosition, Quantity
from hazardreport.quantity.formatting import format_exact
from hazardreport.quantity.trace import Source
from hazardreport.report.context import Context, memory_note, percent, sources_paragraph
from hazardreport.report.document import Block, Column, Missing, Paragraph, Row, Runs, Section, Table
from hazardreport.severity.stored_charge import pin_limit, pin_limit_source
from hazardreport.wording import sentence


def unplugged(context: Context) -> tuple[Section, ...]:
    """The section; none for a unit without a known filter whose pins nobody read."""
    pins = context.assessment.pins
    if not pins and not filter_known(context.case) and not pins_read(context.case):
        return ()
    return (Section(title=sentence("report.unplugged.title"), blocks=_blocks(context) if pins else _none(context)),)


def pins_read(case: Case) -> bool:
    """Whether someone read the voltage that stays after unplugging."""
    return any(
        reading.quantity is Quantity.VOLTAGE and reading.state.plug is PlugPosition.UNPLUGGED
        for reading in case.readings
    )


def filter_known(case: Case) -> bool:
    """Whether any part of a filter is known."""
    parts = case.wiring.filter
    return any((parts.y_capacitance_1, parts.y_capacitance_2, parts.x_capacitance, parts.bleeder_resistance))


def _none(context: Context) -> tuple[Block, ...]:
    if context.case.wiring.filter.x_capacitance:
        why = sentence("report.unplugged.no_supply")
    else:
        why = sentence(f"report.unplugged.{'no_capacitor_read' if pins_read(context.case) else 'no_capacitor'}")
    return (Missing(what=sentence("report.unplugged.none"), why=why),)


def pin_sources(context: Context) -> tuple[Source, ...]:
    """Where the limit comes from; nothing where no charge is shown."""
    pins = context.assessment.pins
    compared = tuple(one for pin in pins if pin.comparison is not None for one in pin.comparison.sources)
    return compared or ((pin_limit_source(),) if pins else ())


def _blocks(context: Context) -> tuple[Block, ...]:
    limit, after = pin_limit()
    columns = (
        Column(title=sentence("report.unplugged.switch"), share=1.1),
        Column(title=sentence("report.unplugged.rated", time=format_exact(after, "s")), share=2.1),
        Column(
            title=sentence("report.unplugged.decision", limit=format_exact(limit, "V")),
            share=2.2,
        ),
        Column(title=sentence("report.unplugged.measured", time=format_exact(after, "s")), share=2.1),
        Column(title=sentence("report.unplugged.charge"), share=1.8),
        Column(title=sentence("report.unplugged.energy"), share=1.8),
        Column(title=sentence("report.unplugged.safe", limit=format_exact(limit, "V")), share=1.8),
    )
    pins = context.assessment.pins
    rows = tuple(
        Row(
            cells=(
                (sentence(f"report.switch.{pin.switch.name.lower()}"),),
                context.computed(pin.voltage_rated),
                _decision(pin),
                context.computed(pin.voltage_measured),
                context.computed(pin.charge),
                context.computed(pin.energy),
                context.computed(pin.time_to_safe),
            )
        )
        for pin in pins
    )
    ids = {key for pin in pins for key in (pin.voltage_rated, pin.voltage_measured, pin.charge, pin.energy)}
    return (
        Paragraph(runs=(sentence("report.unplugged.text"),)),
        Table(
            caption=sentence("report.unplugged.caption"),
            columns=columns,
            rows=rows,
            note=memory_note(context, ids),
        ),
        *sources_paragraph(pin_sources(context)),
    )


def _decision(pin: PinCharge) -> Runs:
    if pin.comparison is None:
        return (sentence("report.unplugged.no_limit"),)
    decided = sentence(f"report.unplugged.decided_{pin.comparison.decision.name.lower()}")
    if pin.comparison.probability in (0.0, 1.0):
        return (decided,)
    share = percent(pin.comparison.probability)
    return (sentence("report.unplugged.decided", decision=decided, probability=share),)
