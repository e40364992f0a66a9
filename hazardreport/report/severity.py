"""Severity: the source at the touchable part, every state, the person, devices, limits, no artefact of the meter."""

from hazardreport.assess.records import Basis, DeviceVerdict, Exposure, LimitComparison, StateCell
from hazardreport.figures.schematic import schematic
from hazardreport.figures.time_current import time_current_chart
from hazardreport.quantity.formatting import format_value
from hazardreport.quantity.trace import Source
from hazardreport.report.context import (
    MEMORY_MARK,
    Context,
    basis_text,
    number_anchor,
    plug_and_switch,
    readings_of,
    source_runs,
    state_text,
)
from hazardreport.report.document import (
    Block,
    Column,
    Figure,
    Items,
    Missing,
    Paragraph,
    Part,
    Reference,
    Row,
    Runs,
    Section,
    Table,
)
from hazardreport.report.first_page import devices_of_place, headline_cell
from hazardreport.severity.terms import BodyPath, Skin
from hazardreport.wording import sentence

SCHEMATIC_HEIGHT = 82.0
CHART_HEIGHT = 100.0
HUGE_RATIO = 1000


def severity(context: Context, number: int) -> Part:
    """The part on severity."""
    return Part(
        key="severity",
        number=number,
        title=sentence("report.parts.severity"),
        sections=(
            Section(title=sentence("report.severity.how"), blocks=_how(context)),
            Section(title=sentence("report.severity.routes"), blocks=_routes(context)),
            Section(title=sentence("report.severity.states"), blocks=_states(context)),
            Section(title=sentence("report.severity.person"), blocks=_person(context)),
            Section(title=sentence("report.severity.devices"), blocks=_devices(context)),
            Section(title=sentence("report.severity.as_built"), blocks=_as_built(context)),
            Section(title=sentence("report.severity.limits"), blocks=_limits(context)),
            Section(title=sentence("report.severity.artefact"), blocks=_artefact(context)),
        ),
    )


def _memory_note(context: Context, ids: list[str]) -> str:
    return sentence("report.words.memory_note", mark=MEMORY_MARK) if set(ids) & context.memory else ""


def _how(context: Context) -> tuple[Block, ...]:
    cell = headline_cell(context)
    state = cell.state if cell is not None else None
    drawing = schematic(context.case, context.assessment, context.width, SCHEMATIC_HEIGHT, state=state, person=True)
    shown = sentence("report.severity.any_state") if state is None else state_text(state)
    figure = Figure(
        drawing=drawing, caption=sentence("report.severity.schematic", state=shown), anchor="figure-schematic"
    )
    return (Paragraph(runs=(sentence("report.severity.how_text"),)), figure, *_fit(context))


def _fit(context: Context) -> tuple[Block, ...]:
    fit = context.assessment.fit
    if fit is None:
        return (Missing(what=sentence("report.severity.no_fit"), why=context.assessment.verdict.reason),)
    rows = tuple(
        Row(
            cells=(
                (parameter.symbol,),
                (number.name if (number := context.number(parameter.number)) is not None else parameter.symbol,),
                context.runs(parameter.number),
                (sentence("report.severity.determined" if parameter.determined else "report.severity.undetermined"),),
            )
        )
        for parameter in fit.parameters
    )
    columns = (
        Column(title=sentence("report.severity.symbol"), share=0.8),
        Column(title=sentence("report.severity.parameter"), share=3.0),
        Column(title=sentence("report.severity.value"), share=2.4),
        Column(title=sentence("report.severity.determination"), share=1.8),
    )
    if fit.consistent is None:
        verdict = sentence("report.severity.fit_exact")
    else:
        key = "report.severity.fit_consistent" if fit.consistent else "report.severity.fit_inconsistent"
        verdict = sentence(key, chi=f"{fit.chi_square:.2f}", freedom=fit.degrees_of_freedom)
    worst = max(fit.residuals, key=lambda residual: abs(residual.standardized), default=None)
    blocks: list[Block] = [
        Table(
            caption=sentence("report.severity.fit_caption"),
            columns=columns,
            rows=rows,
            note=_memory_note(context, [parameter.number for parameter in fit.parameters]),
        ),
        Paragraph(runs=(verdict,)),
    ]
    if worst is not None and fit.consistent is not None:
        blocks.append(
            Paragraph(
                runs=(
                    sentence("report.severity.worst_residual", size=f"{abs(worst.standardized):.1f}"),
                    *readings_of(context, (worst.reading,)),
                    ".",
                )
            )
        )
    return tuple(blocks)


def _routes(context: Context) -> tuple[Block, ...]:
    routes = context.assessment.routes
    if not routes:
        return (Missing(what=sentence("report.severity.no_routes"), why=context.assessment.verdict.reason),)
    columns = (
        Column(title=sentence("report.severity.route"), share=1.6),
        Column(title=sentence("report.severity.state"), share=1.9),
        Column(title="U0", numeric=True, share=2.0),
        Column(title="|Zs|", numeric=True, share=2.5),
        Column(title="Isc", numeric=True, share=2.4),
        Column(title=sentence("report.severity.rests_on"), share=1.5),
    )
    rows = tuple(
        Row(
            cells=(
                (
                    sentence(f"report.route.{route.kind.name.lower()}")
                    + ("" if route.resolved else f", {sentence('report.severity.not_resolved')}"),
                ),
                (plug_and_switch(route.state),),
                context.runs(route.open_circuit_voltage),
                context.runs(route.source_impedance),
                context.runs(route.available_fault_current),
                readings_of(context, route.readings),
            )
        )
        for route in routes
    )
    ids = [
        key
        for route in routes
        for key in (route.open_circuit_voltage, route.source_impedance, route.available_fault_current)
    ]
    resolved = all(route.resolved for route in routes)
    unresolved = "" if resolved else sentence("report.severity.not_resolved_note")
    return (
        Paragraph(runs=(sentence("report.severity.routes_text"),)),
        Table(
            caption=sentence("report.severity.routes_caption"),
            columns=columns,
            rows=rows,
            note=_notes(_memory_note(context, ids), unresolved),
        ),
    )


def _states(context: Context) -> tuple[Block, ...]:
    cells = context.assessment.states
    if not cells:
        return (Missing(what=sentence("report.severity.no_states"), why=context.assessment.verdict.reason),)
    headline = headline_cell(context)
    columns = (
        Column(title=sentence("report.severity.state"), share=2.9),
        Column(title="U0", numeric=True, share=2.0),
        Column(title="Isc", numeric=True, share=2.2),
        Column(title=sentence("report.severity.median_adult"), numeric=True, share=2.2),
        Column(title=sentence("report.severity.basis"), share=2.6),
    )
    rows = tuple(
        Row(
            strong=cell == headline,
            cells=(
                (state_text(cell.state),),
                context.runs(cell.open_circuit_voltage),
                context.runs(cell.available_fault_current),
                context.runs(cell.body_current),
                (_cell_basis(cell),),
            ),
        )
        for cell in cells
    )
    ids = [key for c in cells for key in (c.open_circuit_voltage, c.available_fault_current, c.body_current)]
    return (
        Paragraph(runs=(sentence("report.severity.states_text"),)),
        Table(
            caption=sentence("report.severity.states_caption"),
            columns=columns,
            rows=rows,
            note=_notes(_memory_note(context, ids), _median_contact(context)),
        ),
    )


def _notes(*notes: str) -> str:
    return " ".join(note for note in notes if note)


def _median_contact(context: Context) -> str:
    """The contact that the states table speaks of."""
    shown = {cell.body_current for cell in context.assessment.states if cell.body_current}
    exposure = next((e for e in context.assessment.exposures if e.body_current in shown), None)
    return "" if exposure is None else sentence("report.severity.median_note", contact=_contact(exposure))


def _contact(exposure: Exposure) -> str:
    path = sentence(f"report.path.{exposure.path.name.lower()}")
    return f"{path}, {sentence(f'report.skin.{exposure.skin.name.lower()}')}"


def _cell_basis(cell: StateCell) -> str:
    pieces = [basis_text(cell.basis)]
    if cell.basis is not Basis.NOT_DETERMINED:
        pieces.append(
            sentence("report.severity.established" if cell.established else "report.severity.not_established")
        )
    if not cell.plausible:
        key = "report.severity.earthed_not_found" if cell.state.earthed else "report.severity.not_plausible"
        pieces.append(sentence(key))
    return ", ".join(pieces)


def person_exposures(context: Context) -> tuple[Exposure, ...]:
    """Exposures that the report prints: in the headline's state, the plausible ones; all of them if none is."""
    cell = headline_cell(context)
    if cell is None:
        return ()
    exposures = [e for e in context.assessment.exposures if e.state == cell.state]
    contacts = {(e.skin, e.path) for e in exposures if e.plausible}
    shown = (e for e in exposures if not contacts or (e.skin, e.path) in contacts)
    skins, paths = list(Skin), list(BodyPath)
    return tuple(sorted(shown, key=lambda e: (skins.index(e.skin), paths.index(e.path), e.percentile)))


def _person(context: Context) -> tuple[Block, ...]:
    exposures = person_exposures(context)
    cell = headline_cell(context)
    if not exposures or cell is None:
        return (Missing(what=sentence("report.severity.no_person"), why=context.assessment.verdict.reason),)
    columns = (
        Column(title=sentence("report.severity.contact"), share=2.9),
        Column(title=sentence("report.severity.share_of_adults"), unit="%", numeric=True, share=0.9),
        Column(title=sentence("report.severity.body_voltage"), numeric=True, share=2.0),
        Column(title=sentence("report.severity.body_current"), numeric=True, share=2.3),
        Column(title=sentence("report.severity.heart_current"), numeric=True, share=2.3),
        Column(title=sentence("report.severity.duration"), share=0.9),
        Column(title=sentence("report.severity.zone"), share=0.9),
    )
    rows = tuple(
        Row(
            strong=exposure.percentile == 50 and exposure.plausible,
            cells=(
                (_contact(exposure),),
                (str(exposure.percentile),),
                context.runs(exposure.body_voltage),
                context.runs(exposure.body_current),
                context.runs(exposure.heart_current),
                (context.text(exposure.duration),),
                (exposure.zone.value,),
            ),
        )
        for exposure in exposures
    )
    ids = [key for e in exposures for key in (e.body_voltage, e.body_current, e.heart_current)]
    sources = tuple(dict.fromkeys(source for e in exposures for source in e.sources))
    chart = time_current_chart(context.assessment, context.width, CHART_HEIGHT, state=cell.state)
    return (
        Paragraph(runs=(sentence("report.severity.person_text", state=state_text(cell.state)),)),
        Table(
            caption=sentence("report.severity.person_caption"),
            columns=columns,
            rows=rows,
            note=_memory_note(context, ids),
        ),
        *_sources(sources),
        Figure(drawing=chart, caption=sentence("report.severity.chart"), anchor="figure-time-current"),
        Paragraph(runs=(sentence("report.severity.person_limits"),), role="small"),
    )


def _sources(sources: tuple[Source, ...]) -> tuple[Block, ...]:
    if not sources:
        return ()
    return (Paragraph(runs=(sentence("report.words.sources"), *source_runs(sources), "."), role="small"),)


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
    return Table(caption=caption, columns=columns, rows=rows, note=_memory_note(context, ids))


def _devices(context: Context) -> tuple[Block, ...]:
    cell = headline_cell(context)
    verdicts = tuple(d for d in context.assessment.devices if cell is None or d.state == cell.state)
    if not verdicts:
        return (Missing(what=sentence("report.severity.no_devices"), why=sentence("report.severity.no_devices_why")),)
    sources = tuple(dict.fromkeys(source for verdict in verdicts for source in verdict.sources))
    return (
        Paragraph(runs=(sentence("report.severity.devices_text"),)),
        _device_table(context, verdicts, sentence("report.severity.devices_caption")),
        *_sources(sources),
    )


def _as_built(context: Context) -> tuple[Block, ...]:
    built = context.assessment.as_built
    if not built:
        return (Missing(what=sentence("report.severity.no_as_built"), why=context.assessment.verdict.reason),)
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
        note=_memory_note(context, ids),
    )
    devices = tuple(device for one in built for device in one.devices)
    shown = (_device_table(context, devices, sentence("report.severity.as_built_devices")),) if devices else ()
    return (Paragraph(runs=(sentence("report.severity.as_built_text"),)), table, *shown)


def _limits(context: Context) -> tuple[Block, ...]:
    limits = context.assessment.limits
    if not limits:
        return (Missing(what=sentence("report.severity.no_limits"), why=context.assessment.verdict.reason),)
    columns = (
        Column(title=sentence("report.severity.comparison"), share=4.2),
        Column(title=sentence("report.severity.value"), share=2.1),
        Column(title=sentence("report.severity.limit"), share=1.0),
        Column(title=sentence("report.severity.ratio"), share=1.4),
        Column(title=sentence("report.severity.probability"), unit="%", numeric=True, share=1.2),
        Column(title=sentence("report.severity.decision"), share=1.8),
    )
    rows = tuple(
        Row(
            cells=(
                (_compared(context, one), *((" (", *source_runs(one.sources), ")") if one.sources else ())),
                context.runs(one.number),
                context.runs(one.limit),
                (_ratio(context, one),),
                (_percent(one.probability),),
                (sentence(f"report.decision.{one.decision.name.lower()}"),),
            )
        )
        for one in limits
    )
    ids = [key for one in limits for key in (one.number, one.limit)]
    return (
        Paragraph(runs=(sentence("report.severity.limits_text"),)),
        Table(
            caption=sentence("report.severity.limits_caption"),
            columns=columns,
            rows=rows,
            note=_memory_note(context, ids),
        ),
    )


def _compared(context: Context, comparison: LimitComparison) -> str:
    """Name of the comparison, with the state that its numbers belong to."""
    state = comparison.state
    return comparison.name if state is None else f"{comparison.name}, {plug_and_switch(state)}"


def _ratio(context: Context, comparison: LimitComparison) -> str:
    number, limit = context.number(comparison.number), context.number(comparison.limit)
    if number is None or limit is None or not limit.measured.value:
        return sentence("report.words.not_determined")
    ratio = number.measured.value / limit.measured.value
    shown = format_value(ratio, "1", 2) if ratio < HUGE_RATIO else f"> {HUGE_RATIO}"
    return sentence("report.first_page.times", ratio=shown)


def _percent(probability: float) -> str:
    if probability > 0.99:
        return "> 99"
    if probability < 0.01:
        return "< 1"
    return format_value(100 * probability, "1", 2)


def _artefact(context: Context) -> tuple[Block, ...]:
    arguments = context.assessment.artefact
    if not arguments:
        return (Missing(what=sentence("report.severity.no_artefact"), why=context.assessment.verdict.reason),)
    blocks: list[Block] = []
    for supports, key in ((True, "supports"), (False, "against"), (None, "open")):
        items: list[Runs] = []
        for argument in arguments:
            if argument.supports is supports:
                rests = (" (", *readings_of(context, argument.readings), ")") if argument.readings else ()
                items.append((argument.text, *rests))
        if items:
            blocks += [Paragraph(runs=(sentence(f"report.severity.argument_{key}"),)), Items(items=tuple(items))]
    return (*blocks, Paragraph(runs=(sentence("report.severity.artefact_text"),), role="small"))
