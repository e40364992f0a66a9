"""Law and standards that the addressee applies, element by element, with the place in this report."""

from hazardreport.addressees.asked import Clause, ClauseStatus
from hazardreport.addressees.completeness import ElementState, State, element_states, gaps
from hazardreport.addressees.profiles import Level
from hazardreport.addressees.proposal import proposals
from hazardreport.case.circumstances import Answer
from hazardreport.case.situation import Territory
from hazardreport.report.context import Context, answer_text, clause_runs, clauses_paragraph, stated_runs
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
from hazardreport.wording import lines, sentence

MARKET = "eu-2019-1020"
MARKET_CLAUSE = Clause(reference=MARKET, place="Annex I; art. 4, 11, 14 and 16", status=ClauseStatus.FROM_MEMORY)


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
            Section(title=sentence("report.law.belongs"), blocks=_belongs(context)),
            *_market_surveillance(context),
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
    accepted = () if "form_text" in context.profile.parts else (Paragraph(runs=(context.profile.accepts,)),)
    return (
        *accepted,
        Paragraph(runs=(whole,), role="strong"),
        Paragraph(runs=(sentence("report.law.no_claim"),), role="small"),
    )


def _level(context: Context, states: tuple[ElementState, ...], level: Level) -> Section:
    name = level.name.lower()
    asked = [state for state in states if state.element.level is level]
    return Section(
        title=sentence(f"report.law.{name}"), blocks=(_table(context, asked, sentence(f"report.law.{name}_caption")),)
    )


def _said(state: ElementState) -> str:
    """What the case says, after the word for its state; what is missing says so by itself."""
    if state.state is State.MISSING:
        if state.pending:
            return sentence("profiles.states.pending", pending=state.pending)
        return sentence("report.law.missing")
    reason = _withheld_once(state.reason)
    if reason == sentence("report.words.withheld"):
        return reason
    word = sentence(f"report.law.state_{state.state.name.lower()}")
    if state.state is State.PRESENT:
        return f"{word}: {sentence('report.law.on_last_sheet') if state.personal else state.text}"
    shown = "" if state.personal else state.text
    text = f"{shown}; {reason}" if shown else reason
    if not state.complete:
        return f"{word}: {sentence('report.law.reason_not_enough', reason=text)}"
    return f"{word}: {text}"


def _withheld_once(reason: str) -> str:
    """The reasons of an element's fields; that facts are withheld is told once, and as no reason for their absence."""
    withheld = sentence("report.words.withheld")
    pieces = (withheld if piece.endswith(withheld) else piece for piece in reason.split("; "))
    return "; ".join(dict.fromkeys(pieces)) if withheld in reason else reason


def _place(context: Context, state: ElementState) -> Runs:
    """The part where it stands, or that this report has no such part."""
    key = state.element.part
    if state.state is State.NOT_APPLICABLE:
        return (sentence("report.law.no_place"),)
    title = sentence(f"report.parts.{key}")
    return (Reference(target=part_anchor(key), text=title),) if key in context.profile.parts else (title,)


def _table(context: Context, states: list[ElementState], caption: str) -> Table:
    columns = (
        Column(title=sentence("report.law.element"), share=1.8),
        Column(title=sentence("report.law.clause"), share=2.7),
        Column(title=sentence("report.law.said"), share=2.9),
        Column(title=sentence("report.law.without"), share=2.2),
        Column(title=sentence("report.law.place"), share=1.6),
    )
    rows = tuple(
        Row(
            cells=(
                (state.element.name,),
                clause_runs(state.element.clauses, (ClauseStatus.READ,)) or (sentence("report.law.no_clause"),),
                (_said(state),),
                (state.why,),
                _place(context, state),
            )
        )
        for state in states
    )
    return Table(caption=caption, columns=columns, rows=rows, note=sentence("report.law.read_note"))


def _belongs(context: Context) -> tuple[Block, ...]:
    """The answers that bring a report to an addressee, and the clauses by which they bring it to this one."""
    situation = context.case.situation
    territories = (("residence", situation.residence), ("bought_in", situation.bought_in))
    rows = [
        KeyValue(
            label=sentence(f"report.law.{name}"),
            runs=(sentence(f"report.territory.{territory.name.lower()}"),),
            known=territory not in (Territory.OPEN, Territory.UNKNOWN),
        )
        for name, territory in territories
    ]
    online = situation.online
    known = online in (Answer.YES, Answer.NO)
    rows.append(KeyValue(label=sentence("report.law.online"), runs=(answer_text(online),), known=known))
    found = next((one for one in proposals(situation) if one.profile == context.profile.key), None)
    brought = clause_runs(found.clauses) if found is not None else ()
    chosen = (sentence("report.law.chosen" if found is None else "report.law.no_clause"),)
    rows.append(KeyValue(label=sentence("report.law.brought"), runs=brought or chosen, known=bool(brought)))
    return (KeyValues(rows=tuple(rows)),)


def _market_surveillance(context: Context) -> tuple[Section, ...]:
    """What the European regulation on market surveillance has to do with it, where the addressee's clauses name it."""
    if all(clause.reference != MARKET for clause in context.profile.clauses):
        return ()
    items = Items(items=tuple((line,) for line in lines("report.law.market_items")))
    return (Section(title=sentence("report.law.market"), blocks=(items, clauses_paragraph((MARKET_CLAUSE,)))),)


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
