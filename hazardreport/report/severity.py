"""Severity: the source at the touchable part, every state, the person, devices, limits, no artefact of the meter."""

from hazardreport.assess.agreement import entered, without_misfits
from hazardreport.assess.records import (
    Basis,
    Fit,
    LeastCurrent,
    LimitComparison,
    ParameterProfile,
    PartSource,
    StateCell,
)
from hazardreport.figures.schematic import schematic
from hazardreport.quantity.formatting import format_chi_square, format_deviation, format_exact, format_value
from hazardreport.report.context import (
    Context,
    basis_text,
    contact_text,
    memory_note,
    number_anchor,
    percent,
    plug_and_switch,
    source_runs,
    state_text,
)
from hazardreport.report.devices import as_built, devices
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
from hazardreport.report.explanations import explanations
from hazardreport.report.key_numbers import headline_cell
from hazardreport.report.links import readings_of
from hazardreport.report.person import person
from hazardreport.report.population import population
from hazardreport.report.unplugged import unplugged
from hazardreport.wording import sentence

SCHEMATIC_HEIGHT = 82.0
HUGE_RATIO = 1000
NONE = "\u2013"


def severity(context: Context, number: int) -> Part:
    """The part on severity."""
    return Part(
        key="severity",
        number=number,
        title=sentence("report.parts.severity"),
        sections=(
            Section(title=sentence("report.severity.how"), blocks=_how(context)),
            Section(title=sentence("report.severity.routes"), blocks=_routes(context)),
            Section(title=sentence("report.severity.states"), blocks=(*_states(context), *_second_part(context))),
            Section(title=sentence("report.severity.person"), blocks=person(context)),
            Section(title=sentence("report.population.title"), blocks=population(context)),
            Section(title=sentence("report.severity.devices"), blocks=devices(context)),
            Section(title=sentence("report.severity.as_built"), blocks=as_built(context)),
            Section(title=sentence("report.severity.limits"), blocks=_limits(context)),
            *unplugged(context),
            Section(title=sentence("report.severity.artefact"), blocks=explanations(context)),
        ),
    )


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
        return (Missing(what=sentence("report.severity.no_fit"), why=context.why_missing),)
    profiles = profiles_of(context)
    rows = tuple(
        Row(
            cells=(
                (parameter.symbol,),
                (number.name if (number := context.number(parameter.number)) is not None else parameter.symbol,),
                context.runs(parameter.number) if parameter.determined else _range(context, parameter.number),
                *((_interval(context, profiles.get(parameter.number)),) if profiles else ()),
                (sentence("report.severity.determined" if parameter.determined else "report.severity.undetermined"),),
            )
        )
        for parameter in fit.parameters
    )
    columns = (
        Column(title=sentence("report.severity.symbol"), share=0.8),
        Column(title=sentence("report.severity.parameter"), share=3.0),
        Column(title=sentence("report.severity.value"), share=2.4),
        *((Column(title=sentence("report.severity.profile"), share=2.4),) if profiles else ()),
        Column(title=sentence("report.severity.determination"), share=1.8),
    )
    verdict = " ".join((entered(context.assessment), _agreement(context, fit)))
    worst = max(fit.residuals, key=lambda residual: abs(residual.standardized), default=None)
    blocks: list[Block] = [
        Table(
            caption=sentence("report.severity.fit_caption"),
            columns=columns,
            rows=rows,
            note=_notes(
                memory_note(context, [parameter.number for parameter in fit.parameters]),
                sentence("report.severity.profile_note") if profiles else "",
            ),
        ),
        Paragraph(runs=(verdict,)),
    ]
    if worst is not None and fit.consistent is not None:
        blocks.append(
            Paragraph(
                runs=(
                    sentence(
                        "report.severity.worst_residual",
                        size=format_deviation(abs(worst.standardized)).removeprefix("+"),
                    ),
                    *readings_of(context, (worst.reading,)),
                    ".",
                )
            )
        )
    return tuple(blocks)


def _agreement(context: Context, fit: Fit) -> str:
    """Whether the readings tell one story; never so where one was left out as not fitting."""
    apart = without_misfits(context.assessment)
    if apart:
        return apart
    if fit.consistent is None:
        return sentence("report.severity.fit_exact")
    key = "report.severity.fit_consistent" if fit.consistent else "report.severity.fit_inconsistent"
    return sentence(key, chi=format_chi_square(fit.chi_square), freedom=fit.degrees_of_freedom)


def _range(context: Context, id: str) -> Runs:
    """The physical range of a parameter that the readings do not determine; a value in it would mean nothing."""
    number = context.number(id)
    if number is None or number.low is None or number.high is None:
        return context.runs(id)
    low, high = (format_exact(end, number.measured.unit) for end in (number.low, number.high))
    text = sentence("report.severity.range", low=low, high=high)
    return (Reference(target=number_anchor(id), text=text, quiet=True),)


def profiles_of(context: Context) -> dict[str, ParameterProfile]:
    """Intervals by profile, by the id of the parameter's number."""
    settled = context.assessment.settled
    return {} if settled is None else {profile.number: profile for profile in settled.profiles}


def _interval(context: Context, profile: ParameterProfile | None) -> Runs:
    """Both ends; an end that the readings do not set says so."""
    if profile is None:
        return (NONE,)
    if not profile.low and not profile.high:
        return (sentence("report.severity.no_end"),)
    if not profile.low:
        return (sentence("report.severity.up_to"), " ", *context.computed(profile.high))
    if not profile.high:
        return (sentence("report.severity.from"), " ", *context.computed(profile.low))
    return (*context.computed(profile.low), " ", sentence("report.severity.to"), " ", *context.computed(profile.high))


def _routes(context: Context) -> tuple[Block, ...]:
    routes = context.assessment.routes
    if not routes:
        return (Missing(what=sentence("report.severity.no_routes"), why=context.why_missing),)
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
            note=_notes(memory_note(context, ids), unresolved),
        ),
    )


def _states(context: Context) -> tuple[Block, ...]:
    cells = context.assessment.states
    if not cells:
        return (Missing(what=sentence("report.severity.no_states"), why=context.why_missing),)
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
    least = context.assessment.least
    bounds = (
        Paragraph(runs=(sentence("report.severity.least"),)),
        Items(items=tuple(_least(context, one) for one in least)),
    )
    return (
        Paragraph(runs=(sentence("report.severity.states_text"), " ", sentence("assess.basis.established"))),
        Table(
            caption=sentence("report.severity.states_caption"),
            columns=columns,
            rows=rows,
            note=_notes(memory_note(context, ids), _median_contact(context)),
        ),
        *(bounds if least else ()),
    )


def _least(context: Context, one: LeastCurrent) -> Runs:
    """What a reading proves of a state that is otherwise open."""
    said = sentence(
        "report.severity.least_item",
        state=state_text(one.state),
        path=sentence(f"report.path.{one.path.name.lower()}"),
    )
    return (said, " ", *context.computed(one.number), " (", *readings_of(context, (one.reading,)), ")")


def _second_part(context: Context) -> tuple[Block, ...]:
    """What a second touchable part gives, to earth and to the first part; nothing for a unit without one."""
    found = context.assessment.second_part
    if not found:
        return ()
    columns = (
        Column(title=sentence("report.severity.between_parts"), share=2.6),
        Column(title=sentence("report.severity.state"), share=2.4),
        Column(title="U0", numeric=True, share=2.0),
        Column(title="Isc", numeric=True, share=2.0),
        Column(title=sentence("report.severity.median_adult"), numeric=True, share=2.0),
        Column(title=sentence("report.severity.basis"), share=1.8),
    )
    rows = tuple(
        Row(
            cells=(
                (one.name,),
                (plug_and_switch(one.state),),
                context.runs(one.voltage),
                context.runs(one.current),
                context.runs(one.body_current),
                (_part_basis(one),),
            )
        )
        for one in found
    )
    ids = [key for one in found for key in (one.voltage, one.current, one.body_current)]
    return (
        Table(
            caption=sentence("report.severity.second_part_caption"),
            columns=columns,
            rows=rows,
            note=_notes(memory_note(context, ids), sentence("report.severity.second_part_note")),
        ),
    )


def _part_basis(one: PartSource) -> str:
    pieces = [sentence("report.severity.established" if one.established else "report.severity.not_established")]
    if not one.plausible:
        key = "report.severity.earthed_not_found" if one.state.earthed else "report.severity.not_plausible"
        pieces.append(sentence(key))
    return ", ".join(pieces)


def _notes(*notes: str) -> str:
    return " ".join(note for note in notes if note)


def _median_contact(context: Context) -> str:
    """The contact that the states table speaks of."""
    shown = {cell.body_current for cell in context.assessment.states if cell.body_current}
    exposure = next((e for e in context.assessment.exposures if e.body_current in shown), None)
    return (
        ""
        if exposure is None
        else sentence("report.severity.median_note", contact=contact_text(exposure.path, exposure.skin))
    )


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


def _limits(context: Context) -> tuple[Block, ...]:
    limits = context.assessment.limits
    if not limits:
        return (Missing(what=sentence("report.severity.no_limits"), why=context.why_missing),)
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
                (percent(one.probability),),
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
            note=memory_note(context, ids),
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
