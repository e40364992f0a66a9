"""How many adults would carry more than a threshold: in words, as a table, as a curve; never a probability of death."""

import math

from hazardreport.assess.records import PopulationResult
from hazardreport.case.circumstances import Answer
from hazardreport.figures.population_curve import PopulationCurve, Threshold, population_curve
from hazardreport.quantity.formatting import NO_BREAK_SPACE, format_value
from hazardreport.quantity.trace import Number
from hazardreport.report.context import (
    MEMORY_MARK,
    Context,
    contact_text,
    memory_note,
    number_anchor,
    percent,
    sources_paragraph,
    state_text,
    usual,
)
from hazardreport.report.document import Block, Column, Figure, Items, Missing, Paragraph, Reference, Row, Runs, Table
from hazardreport.report.key_numbers import headline_cell
from hazardreport.severity.body import heart_current_factor
from hazardreport.severity.let_go import let_go_limit
from hazardreport.severity.population import Contact, share_above
from hazardreport.severity.zones import curve
from hazardreport.wording import sentence

CURVE_HEIGHT = 66.0
STEPS = 160
MEDIAN = 50
NONE = "\u2013"
SMALLEST, LARGEST = 1e-9, 1e3
"""Currents that hold every current through a person between them. [A]"""
HALVINGS = 60


def population(context: Context) -> tuple[Block, ...]:
    """Shares of adults in the headline's state, for each exposure that the circumstances let in."""
    settled = context.assessment.settled
    results = population_results(context)
    cell = headline_cell(context)
    if settled is None or not results or cell is None:
        why = sentence("report.population.not_settled") if settled is None else context.why_missing
        return (Missing(what=sentence("report.population.none"), why=why), *_children(context))
    leading = leading_result(context, results)
    return (
        Paragraph(runs=(sentence("report.population.text", state=state_text(cell.state)),)),
        Items(items=_sentences(results)),
        _table(context, results, leading),
        *sources_paragraph(source for result in results for source in result.sources),
        *_figure(context, leading),
        Paragraph(runs=(sentence("report.population.caution"),), role="strong"),
        *_children(context),
    )


def population_results(context: Context) -> tuple[PopulationResult, ...]:
    """Results of the headline's state: the plausible ones, or all where none is."""
    cell = headline_cell(context)
    settled = context.assessment.settled
    if cell is None or settled is None:
        return ()
    found = tuple(result for result in settled.population if result.state == cell.state)
    return tuple(result for result in found if result.plausible) or found


def leading_result(context: Context, results: tuple[PopulationResult, ...]) -> PopulationResult:
    """The exposure of the verdict; else that in which most adults are above c2, c1, their let-go current."""
    driving = {
        (exposure.skin, exposure.path)
        for exposure in context.assessment.exposures
        if exposure.body_current in context.assessment.verdict.figures
    }
    of_verdict = next((result for result in results if (result.skin, result.path) in driving), None)

    def weight(result: PopulationResult) -> tuple[float, ...]:
        ids = (result.above_c2, result.above_c1, result.above_let_go)
        return tuple(number.measured.value if (number := context.number(key)) is not None else -1.0 for key in ids)

    return of_verdict or max(results, key=weight)


def _sentences(results: tuple[PopulationResult, ...]) -> tuple[Runs, ...]:
    """One sentence for all exposures of which the same is said: that of the first, then the names of the others."""
    alike: dict[str, list[PopulationResult]] = {}
    for result in results:
        said = result.sentence.replace(result.skin.value, "").replace(result.path.value, "")
        alike.setdefault(said, []).append(result)
    items: list[Runs] = []
    for first, *others in alike.values():
        names = "; ".join(contact_text(other.path, other.skin) for other in others)
        items.append((first.sentence, *((" ", sentence("report.population.alike", contacts=names)) if others else ())))
    return tuple(items)


def _children(context: Context) -> tuple[Block, ...]:
    if context.case.household.children is not Answer.YES:
        return ()
    return (Paragraph(runs=(sentence("report.population.children"),), role="strong"),)


def _table(context: Context, results: tuple[PopulationResult, ...], leading: PopulationResult) -> Table:
    heads = ("perception", "let_go", "c1", "c2")
    columns = (
        Column(title=sentence("report.severity.contact"), share=4.2),
        *(Column(title=sentence(f"report.population.{name}"), unit="%", numeric=True, share=1.1) for name in heads),
        Column(title=sentence("report.population.tolerance"), unit="%", numeric=True, share=1.1),
        Column(title=sentence("report.population.trials"), share=1.1),
        Column(title=sentence("report.population.seed"), share=1.5),
    )
    rows = tuple(
        Row(
            strong=result == leading,
            cells=(
                (contact_text(result.path, result.skin),),
                *(_share(context, key) for key in share_ids(result)),
                (_tolerance(result),),
                (format_count(result.trials) if result.trials else NONE,),
                (f"{result.seed}" if result.trials else NONE,),
            ),
        )
        for result in results
    )
    ids = {key for result in results for key in share_ids(result)}
    return Table(
        caption=sentence("report.population.caption"),
        columns=columns,
        rows=rows,
        note=" ".join(note for note in (memory_note(context, ids), sentence("report.population.note")) if note),
    )


def share_ids(result: PopulationResult) -> tuple[str, str, str, str]:
    """Ids of the four shares, in the order of their thresholds."""
    return result.above_perception, result.above_let_go, result.above_c1, result.above_c2


def _tolerance(result: PopulationResult) -> str:
    """Tolerance of the trials in percent; exact where there were none."""
    if not result.trials:
        return sentence("report.words.exact")
    return "< 0.1" if result.tolerance < 0.001 else format_value(100.0 * result.tolerance, "1", 2)


def format_count(count: int) -> str:
    """A count with its thousands apart.

    Examples
    --------
    >>> format_count(40000).replace(chr(0xA0), " ")
    '40 000'
    """
    return f"{count:,}".replace(",", NO_BREAK_SPACE)


def _share(context: Context, id: str) -> Runs:
    number = context.number(id)
    if number is None:
        return (sentence("report.words.not_determined"),)
    mark = MEMORY_MARK if id in context.memory else ""
    return (Reference(target=number_anchor(id), text=percent(number.measured.value) + mark, quiet=True),)


def _behind(context: Context, number: Number) -> dict[str, float]:
    """Inputs of a number by their symbol."""
    found = (context.number(key) for key in number.inputs)
    return {one.symbol: one.measured.value for one in found if one is not None}


def contact_of(context: Context, result: PopulationResult) -> Contact | None:
    """The source of an exposure at its best estimate, as its median adult meets it."""
    contacts = (
        exposure
        for exposure in context.assessment.exposures
        if (exposure.state, exposure.skin, exposure.path) == (result.state, result.skin, result.path)
        and exposure.percentile == MEDIAN
        and usual(exposure)
    )
    exposure = next(contacts, None)
    duration = context.number(result.duration)
    across = context.number(exposure.body_voltage) if exposure is not None else None
    if across is None or duration is None:
        return None
    inputs = _behind(context, across)
    if "U0" not in inputs or not {"Zs", "Rs"} & inputs.keys():
        return None
    return Contact(
        open_circuit_voltage=inputs["U0"],
        source_impedance=complex(inputs.get("Rs", inputs.get("Zs", 0.0)), inputs.get("Xs", 0.0)),
        skin=result.skin,
        path=result.path,
        duration=duration.measured.value,
        series_resistance=inputs.get("Rser", 0.0),
    )


def curve_of(context: Context, result: PopulationResult) -> PopulationCurve | None:
    """Shares over the current for one exposure, by inversion at the best estimate of the source."""
    contact = contact_of(context, result)
    if contact is None or contact.open_circuit_voltage <= 0.0:
        return None
    heart = heart_current_factor(contact.path)
    currents = {
        "perception": curve("a", contact.duration),
        "let_go": let_go_limit(),
        "c1": curve("c1", contact.duration) / heart,
        "c2": curve("c2", contact.duration) / heart,
    }
    low, high = _ends(contact)
    points = tuple(
        (current, share_above(contact, current))
        for current in (low * (high / low) ** (step / STEPS) for step in range(STEPS + 1))
    )
    thresholds = tuple(
        Threshold(
            mark=sentence(f"report.population.mark_{name}"),
            meaning=sentence(f"report.population.meaning_{name}", current=format_value(current, "A", 2)),
            current=current,
            share=f"{percent(share_above(contact, current))} %",
        )
        for name, current in sorted(currents.items(), key=lambda item: item[1])
    )
    return PopulationCurve(
        points=points,
        thresholds=thresholds,
        exposure=contact_text(result.path, result.skin),
        median=_current_of(contact, 0.5, low, high),
    )


def _ends(contact: Contact) -> tuple[float, float]:
    """Currents that nearly all and next to no adults exceed. [A]"""
    low, high = SMALLEST, LARGEST
    return _current_of(contact, 0.9999, low, high), _current_of(contact, 0.0001, low, high)


def _current_of(contact: Contact, share: float, low: float, high: float) -> float:
    """The current that a share of adults exceeds, by halving: the share falls as the current rises. [A]"""
    for _ in range(HALVINGS):
        middle = math.sqrt(low * high)
        if share_above(contact, middle) > share:
            low = middle
        else:
            high = middle
    return math.sqrt(low * high)


def _figure(context: Context, result: PopulationResult) -> tuple[Block, ...]:
    found = curve_of(context, result)
    if found is None:
        return (Missing(what=sentence("report.population.figure"), why=sentence("report.population.no_figure")),)
    drawing = population_curve(found, context.width, CURVE_HEIGHT)
    caption = sentence("report.population.figure_caption", contact=found.exposure)
    return (Figure(drawing=drawing, caption=caption, anchor="figure-population"),)
