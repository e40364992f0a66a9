"""Law and standards that the addressee applies, element by element, with the place in this report."""

from hazardreport.addressees.completeness import ElementState, State, element_states, gaps
from hazardreport.addressees.profiles import Level
from hazardreport.report.context import Context, clause_runs, stated_runs
from hazardreport.report.document import (
    Block,
    Column,
    Items,
    KeyValue,
    KeyValues,
    Paragraph,
    Part,
    Reference,
    Row,
    Runs,
    Section,
    Table,
    part_anchor,
)
from hazardreport.wording import sentence

PERSONAL = {f"submitter.{name}" for name in ("first_name", "last_name", "address", "email", "phone")}


def law(context: Context, number: int) -> Part:
    """The part on law and standards."""
    states = element_states(context.case, context.profile, context.assessment)
    return Part(
        key="law",
        number=number,
        title=sentence("report.parts.law"),
        sections=(
            Section(title="", blocks=_opening(context)),
            *(_level(context, states, level) for level in Level if any(s.element.level is level for s in states)),
            Section(title=sentence("report.law.contacts"), blocks=_contacts(context)),
            Section(title=sentence("report.law.follow_up"), blocks=_follow_up(context)),
        ),
    )


def _opening(context: Context) -> tuple[Block, ...]:
    missing = gaps(context.case, context.profile, context.assessment)
    if missing:
        names = "; ".join(state.element.name for state in missing)
        whole = sentence("report.law.incomplete", count=len(missing), names=names)
    else:
        whole = sentence("report.law.complete", who=context.profile.who)
    return (
        Paragraph(runs=(context.profile.accepts,)),
        Paragraph(runs=(whole,), role="strong"),
        Paragraph(runs=(sentence("report.law.no_claim"),), role="small"),
    )


def _level(context: Context, states: tuple[ElementState, ...], level: Level) -> Section:
    name = level.name.lower()
    asked = [state for state in states if state.element.level is level]
    if context.profile.form_only:
        blocks: tuple[Block, ...] = (KeyValues(rows=tuple(_entry(state) for state in asked)),)
    else:
        blocks = (_table(asked, sentence(f"report.law.{name}_caption")),)
    return Section(title=sentence(f"report.law.{name}"), blocks=blocks)


def _said(state: ElementState) -> Runs:
    if state.state is State.PRESENT:
        return (sentence("report.law.on_last_sheet") if PERSONAL & set(state.element.fields) else state.text,)
    if state.state is State.NOT_APPLICABLE:
        return (state.reason,)
    if state.state is State.ABSENT_WITH_REASON:
        shown = "" if PERSONAL & set(state.element.fields) else state.text
        text = f"{shown}; {state.reason}" if shown else state.reason
        if not state.complete:
            return (sentence("report.law.reason_not_enough", reason=text),)
        return (text,)
    return (sentence("report.law.missing"),)


def _stated(state: ElementState) -> Runs:
    """What the case says, after the word for its state; what is missing says so by itself."""
    said = _said(state)
    if state.state is State.MISSING:
        return said
    return (f"{sentence(f'report.law.state_{state.state.name.lower()}')}: ", *said)


def _entry(state: ElementState) -> KeyValue:
    element = state.element
    return KeyValue(
        label=element.name,
        runs=_said(state),
        note=(f"{element.asked}. ", *clause_runs(element.clauses), ". ", _place(state), "."),
        known=state.state is State.PRESENT,
    )


def _place(state: ElementState) -> Reference:
    key = state.element.part
    return Reference(target=part_anchor(key), text=sentence(f"report.parts.{key}"))


def _table(states: list[ElementState], caption: str) -> Table:
    columns = (
        Column(title=sentence("report.law.element"), share=2.0),
        Column(title=sentence("report.law.clause"), share=2.9),
        Column(title=sentence("report.law.said"), share=3.4),
        Column(title=sentence("report.law.place"), share=1.4),
    )
    rows = tuple(
        Row(
            cells=(
                (state.element.name,),
                clause_runs(state.element.clauses),
                _stated(state),
                (_place(state),),
            )
        )
        for state in states
    )
    return Table(caption=caption, columns=columns, rows=rows)


def _contacts(context: Context) -> tuple[Block, ...]:
    contacts = context.case.occurrence.contacts
    row = KeyValue(
        label=sentence("report.law.contacts_label"), runs=stated_runs(contacts), known=bool(contacts.text.strip())
    )
    return (KeyValues(rows=(row,)),)


def _follow_up(context: Context) -> tuple[Block, ...]:
    items = tuple(
        (follow.text, *((" ", *clause_runs(follow.clauses)) if follow.clauses else ()))
        for follow in context.profile.follow_up
    )
    return (
        Items(items=items),
        Paragraph(runs=(sentence("report.law.follow_up_note"),), role="small"),
    )
