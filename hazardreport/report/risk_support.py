"""Computed shares of adults beside the steps that rest on a calculation: one table for each step."""

from fractions import Fraction
from itertools import groupby

from hazardreport.assess.records import ShareRelation, Support
from hazardreport.assess.risk import share_text
from hazardreport.case.scenario import Scenario
from hazardreport.report.context import (
    MEMORY_MARK,
    Context,
    contact_text,
    memory_note,
    number_anchor,
    sources_paragraph,
    state_text,
)
from hazardreport.report.document import Block, Column, Paragraph, Reference, Row, Runs, Table
from hazardreport.risk.probability import spoken
from hazardreport.wording import sentence


def support_blocks(context: Context, scenario: Scenario) -> tuple[Block, ...]:
    """A table for each step beside which shares were computed, then once what they are not, and their sources."""
    supports = context.assessment.risk.support(scenario.id)
    result = context.assessment.risk.scenario(scenario.id)
    if not supports or result is None:
        return ()
    tables = tuple(
        _table(context, step, result.steps[step - 1], tuple(those))
        for step, those in groupby(supports, key=lambda one: one.step)
    )
    sources = dict.fromkeys(source for support in supports for source in support.sources)
    return (*tables, Paragraph(runs=(sentence("risk.support.limits"),)), *sources_paragraph(sources))


def _table(context: Context, step: int, judged: str, supports: tuple[Support, ...]) -> Table:
    columns = (
        Column(title=sentence("report_risk.support.contact"), share=3.0),
        *(Column(title=sentence(f"report_risk.support.{share.threshold}"), share=2.1) for share in supports[0].shares),
        Column(title=sentence("report_risk.support.tolerance"), unit="%", share=0.7),
        Column(title=sentence("report_risk.support.agrees"), share=1.9),
    )
    states = tuple(dict.fromkeys(support.state for support in supports))
    ids = {share.number for support in supports for share in support.shares}
    return Table(
        caption=sentence(
            "report_risk.support.caption",
            step=step,
            probability=spoken(Fraction(judged)),
            states="; ".join(state_text(state) for state in states),
        ),
        columns=columns,
        rows=tuple(_row(context, support, len(states) > 1) for support in supports),
        note=memory_note(context, ids),
    )


def _row(context: Context, support: Support, several_states: bool) -> Row:
    contact = contact_text(support.path, support.skin)
    if several_states:
        contact = f"{state_text(support.state)}: {contact}"
    agreeing = [
        sentence(f"report_risk.support.{share.threshold}")
        for share in support.shares
        if share.relation is ShareRelation.WITHIN
    ]
    return Row(
        strong=bool(agreeing),
        cells=(
            (contact,),
            *(_share(context, share.number) for share in support.shares),
            (f"{100.0 * support.tolerance:.2g}",),
            ("; ".join(agreeing) or sentence("report_risk.support.none"),),
        ),
    )


def _share(context: Context, id: str) -> Runs:
    mark = MEMORY_MARK if id in context.memory else ""
    text = share_text(context.assessment.number(id).measured.value) + mark
    return (Reference(target=number_anchor(id), text=text, quiet=True),)
