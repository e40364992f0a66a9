"""A person touching the part: currents at 5, 50 and 95 %, the zones, and exposures that the case adds."""

from hazardreport.assess.records import Exposure
from hazardreport.figures.time_current import time_current_chart
from hazardreport.report.context import (
    Context,
    contact_text,
    memory_note,
    sources_paragraph,
    state_text,
    usual,
)
from hazardreport.report.document import Block, Column, Figure, Missing, Paragraph, Row, Table
from hazardreport.report.key_numbers import headline_cell
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.wording import sentence

CHART_HEIGHT = 100.0
NONE_COUNTED = "\u2013"


def person_exposures(context: Context) -> tuple[Exposure, ...]:
    """Usual exposures that the report prints: in the headline's state, the plausible ones; all of them if none is."""
    cell = headline_cell(context)
    if cell is None:
        return ()
    exposures = [e for e in context.assessment.exposures if e.state == cell.state and usual(e)]
    contacts = {(e.skin, e.path) for e in exposures if e.plausible}
    shown = (e for e in exposures if not contacts or (e.skin, e.path) in contacts)
    skins, paths = list(Skin), list(BodyPath)
    return tuple(sorted(shown, key=lambda e: (skins.index(e.skin), paths.index(e.path), e.percentile)))


def further_exposures(context: Context) -> tuple[Exposure, ...]:
    """In the headline's state: those with a medium area of contact, then those that the case adds."""
    cell = headline_cell(context)
    found = (e for e in context.assessment.exposures if cell is not None and e.state == cell.state and not usual(e))
    return tuple(sorted(found, key=lambda e: bool(e.own)))


def person(context: Context) -> tuple[Block, ...]:
    """A person who touches the part in the state of the verdict."""
    exposures = person_exposures(context)
    cell = headline_cell(context)
    if not exposures or cell is None:
        return (Missing(what=sentence("report.severity.no_person"), why=context.why_missing),)
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
                (contact_text(exposure.path, exposure.skin),),
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
    chart = time_current_chart(context.assessment, context.width, CHART_HEIGHT, state=cell.state)
    return (
        Paragraph(runs=(sentence("report.severity.person_text", state=state_text(cell.state)),)),
        Table(
            caption=sentence("report.severity.person_caption"),
            columns=columns,
            rows=rows,
            note=memory_note(context, ids),
        ),
        *_further(context),
        *sources_paragraph(source for e in (*exposures, *further_exposures(context)) for source in e.sources),
        Figure(drawing=chart, caption=sentence("report.severity.chart"), anchor="figure-time-current"),
        Paragraph(runs=(sentence("report.severity.person_limits"),), role="small"),
    )


def _further(context: Context) -> tuple[Block, ...]:
    """Exposures beside the usual ones: they are shown, and decide nothing."""
    exposures = further_exposures(context)
    if not exposures:
        return ()
    columns = (
        Column(title=sentence("report.severity.contact"), share=3.6),
        Column(title=sentence("report.severity.share_of_adults"), unit="%", numeric=True, share=0.9),
        Column(title=sentence("report.severity.series"), numeric=True, share=1.2),
        Column(title=sentence("report.severity.body_current"), numeric=True, share=2.2),
        Column(title=sentence("report.severity.heart_current"), numeric=True, share=2.2),
        Column(title=sentence("report.severity.duration"), share=1.1),
        Column(title=sentence("report.severity.zone"), share=0.9),
    )
    rows = tuple(
        Row(
            cells=(
                (_further_contact(context, exposure),),
                (str(exposure.percentile),),
                context.runs(exposure.series_resistance) if exposure.series_resistance else (NONE_COUNTED,),
                context.runs(exposure.body_current),
                context.runs(exposure.heart_current),
                (context.text(exposure.duration),),
                (exposure.zone.value,),
            )
        )
        for exposure in exposures
    )
    ids = [key for e in exposures for key in (e.body_current, e.heart_current)]
    approximate = any(exposure.area is ContactArea.MEDIUM for exposure in exposures)
    notes = (memory_note(context, ids), sentence("report.severity.medium_note") if approximate else "")
    return (
        Table(
            caption=sentence("report.severity.further_caption"),
            columns=columns,
            rows=rows,
            note=" ".join(note for note in notes if note),
        ),
    )


def _further_contact(context: Context, exposure: Exposure) -> str:
    """The contact, with the words "approximate" where its area is medium, and why the case adds it."""
    contact = contact_text(exposure.path, exposure.skin)
    if exposure.area is ContactArea.MEDIUM:
        contact = sentence("report.severity.medium_area", contact=contact)
    own = next((one for one in context.case.exposures if one.id == exposure.own), None)
    if not exposure.own:
        return contact
    reason = own.reason if own is not None and own.reason else sentence("report.words.no_reason")
    return sentence("report.severity.own_exposure", contact=contact, reason=reason)
