"""Protective devices upstream, and the unit if it had been built right."""

from hazardreport.assess.records import DeviceVerdict
from hazardreport.quantity.formatting import format_value
from hazardreport.report.context import (
    Context,
    joined,
    memory_note,
    number_anchor,
    plug_and_switch,
    sources_paragraph,
)
from hazardreport.report.document import Block, Column, Items, Missing, Paragraph, Reference, Row, Runs, Table
from hazardreport.report.key_numbers import devices_of_place, headline_cell
from hazardreport.wording import sentence


def _device_row(context: Context, verdict: DeviceVerdict) -> Row:
    time: Runs = (sentence("report.severity.no_time"),)
    longest = context.number(verdict.time)
    if longest is not None:
        text = format_value(longest.measured.value, longest.measured.unit)
        time = (Reference(target=number_anchor(longest.id), text=text, quiet=True),)
    absent = verdict.for_person and verdict.device not in devices_of_place(context)
    device = sentence("report.severity.for_comparison", device=verdict.device) if absent else verdict.device
    return Row(
        cells=(
            (device,),
            (sentence("report.severity.sees_person" if verdict.for_person else "report.severity.sees_fault"),),
            (plug_and_switch(verdict.state),),
            context.runs(verdict.current),
            (sentence(f"report.operation.{verdict.operation.name.lower()}"),),
            time,
        )
    )


def _device_table(context: Context, verdicts: tuple[DeviceVerdict, ...], caption: str) -> Table:
    columns = (
        Column(title=sentence("report.severity.device"), share=2.2),
        Column(title=sentence("report.severity.sees"), share=1.7),
        Column(title=sentence("report.severity.state"), share=2.4),
        Column(title=sentence("report.severity.current"), numeric=True, share=2.2),
        Column(title=sentence("report.severity.operation"), share=1.6),
        Column(title=sentence("report.severity.time"), share=1.5),
    )
    ids = [key for verdict in verdicts for key in (verdict.current, verdict.time)]
    rows = tuple(_device_row(context, verdict) for verdict in verdicts)
    return Table(caption=caption, columns=columns, rows=rows, note=memory_note(context, ids))


def devices(context: Context) -> tuple[Block, ...]:
    """What each device does in the state of the verdict."""
    cell = headline_cell(context)
    verdicts = tuple(d for d in context.assessment.devices if cell is None or d.state == cell.state)
    if not verdicts:
        return (Missing(what=sentence("report.severity.no_devices"), why=sentence("report.severity.no_devices_why")),)
    return (
        Paragraph(runs=(sentence("report.severity.devices_text"),)),
        _device_table(context, verdicts, sentence("report.severity.devices_caption")),
        *sources_paragraph(source for verdict in verdicts for source in verdict.sources),
    )


def as_built(context: Context) -> tuple[Block, ...]:
    """The unit with its protective earth connected, and one thing built or plugged in otherwise."""
    built = context.assessment.as_built
    if not built:
        return (Missing(what=sentence("report.severity.no_as_built"), why=context.why_missing),)
    columns = (
        Column(title=sentence("report.severity.state"), share=2.8),
        Column(title=sentence("report.severity.touch_same_earth"), numeric=True, share=2.2),
        Column(title=sentence("report.severity.touch_true_earth"), numeric=True, share=2.2),
        Column(title=sentence("report.severity.earth_current"), numeric=True, share=2.2),
    )
    rows = tuple(
        Row(
            cells=(
                (plug_and_switch(one.state),),
                context.runs(one.touch_voltage),
                context.runs(one.touch_voltage_true_earth),
                context.runs(one.earth_current),
            )
        )
        for one in built
    )
    ids = [key for one in built for key in (one.touch_voltage, one.touch_voltage_true_earth, one.earth_current)]
    table = Table(
        caption=sentence("report.severity.as_built_caption"),
        columns=columns,
        rows=rows,
        note=memory_note(context, ids),
    )
    devices = tuple(device for one in built for device in one.devices)
    shown = (_device_table(context, devices, sentence("report.severity.as_built_devices")),) if devices else ()
    return (Paragraph(runs=(sentence("report.severity.as_built_text"),)), table, *shown, *_otherwise(context))


def _otherwise(context: Context) -> tuple[Block, ...]:
    """The headline state with one thing built or plugged in otherwise, each sentence with its numbers."""
    items: list[Runs] = []
    for one in context.assessment.otherwise:
        numbers = [("U0 = ", *context.runs(one.voltage))]
        if one.current:
            numbers.append(("IB = ", *context.runs(one.current)))
        items.append((one.text, " (", *joined(numbers), ")"))
    if not items:
        return ()
    return (Paragraph(runs=(sentence("report.severity.otherwise"),)), Items(items=tuple(items)))
