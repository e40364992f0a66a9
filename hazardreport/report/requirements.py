"""Construction requirements as answered, each with what shows it and its basis; and the class of protection."""

from hazardreport.assess.records import LimitComparison, RequirementState
from hazardreport.report.context import (
    Context,
    joined,
    memory_note,
    reference_anchor,
    source_runs,
    sources_paragraph,
)
from hazardreport.report.document import (
    Block,
    Column,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Reference,
    Row,
    Runs,
    Section,
    Table,
)
from hazardreport.report.links import shown_by
from hazardreport.risk.protection_class import ClassReasoning
from hazardreport.risk.requirements import Group, Requirement, requirement
from hazardreport.wording import sentence


def requirement_anchor(key: str) -> str:
    """Anchor of a construction requirement."""
    return f"requirement-{key}"


def requirement_sections(context: Context) -> tuple[Section, ...]:
    """Class of protection, then the requirements by group; those not looked at in brief."""
    return (
        Section(title=sentence("report_requirements.class.title"), blocks=_class(context.assessment.protection_class)),
        Section(title=sentence("report_requirements.part.title"), blocks=_requirements(context)),
    )


def _class(reasoning: ClassReasoning) -> tuple[Block, ...]:
    if not reasoning.sentence:
        why = sentence("report_requirements.class.none_why")
        return (Missing(what=sentence("report_requirements.class.none"), why=why),)
    rows = [
        KeyValue(label=sentence("report_requirements.class.sentence"), runs=(reasoning.sentence,)),
        *_reasons(reasoning),
    ]
    rows += [
        KeyValue(label=sentence("report_requirements.class.contradiction"), runs=(one.text,))
        for one in reasoning.contradictions
    ]
    if reasoning.caution:
        rows.append(KeyValue(label=sentence("report_requirements.class.caution"), runs=(reasoning.caution,)))
    return (KeyValues(rows=tuple(rows)), *sources_paragraph(reasoning.sources))


def _reasons(reasoning: ClassReasoning) -> tuple[KeyValue, ...]:
    """What was seen, then what the maker marked or stated; a reason that two records give stands once."""
    rows = []
    for key, mark in (("reason", False), ("by_mark", True)):
        texts = dict.fromkeys(reason.text for reason in reasoning.reasons if reason.mark is mark)
        if texts:
            label = sentence(f"report_requirements.class.{key}")
            rows.append(KeyValue(label=label, runs=(" ".join(texts),)))
    return tuple(rows)


def _requirements(context: Context) -> tuple[Block, ...]:
    states = context.assessment.requirements
    answered = [state for state in states if _told(state)]
    blocks: list[Block] = [Paragraph(runs=(sentence("report_requirements.part.opening"),))]
    if not answered:
        why = context.case.absence("requirements") or sentence("report_requirements.part.none_why")
        blocks.append(Missing(what=sentence("report_requirements.part.none"), why=why))
    for group in (*Group, None):
        rows = tuple(
            _row(context, state, held) for state in answered if _group(held := requirement(state.key)) is group
        )
        if rows:
            blocks.append(_table(context, group, rows, answered))
    if left := _not_looked_at(states):
        blocks.append(KeyValues(rows=left))
    return tuple(blocks)


def _told(state: RequirementState) -> bool:
    """Whether something was answered, or measured of a unit that the point concerns."""
    return state.answer is not None or (state.comparison is not None and state.applies)


def _group(held: Requirement | None) -> Group | None:
    return None if held is None else held.group


def _table(context: Context, group: Group | None, rows: tuple[Row, ...], answered: list[RequirementState]) -> Table:
    columns = (
        Column(title=sentence("report_requirements.part.point"), share=2.1),
        Column(title=sentence("report_requirements.part.can_be_said"), share=4.2),
        Column(title=sentence("report_requirements.part.measured"), share=1.9),
        Column(title=sentence("report_requirements.part.basis"), share=2.4),
    )
    compared = [
        state.comparison
        for state in answered
        if state.comparison is not None and _group(requirement(state.key)) is group
    ]
    name = "unknown" if group is None else group.name.lower()
    return Table(
        caption=sentence(f"report_requirements.group.{name}"),
        columns=columns,
        rows=rows,
        note=memory_note(context, [key for one in compared for key in (one.number, one.limit)]),
    )


def _row(context: Context, state: RequirementState, held: Requirement | None) -> Row:
    answer = (
        sentence("report_requirements.part.by_reading")
        if state.answer is None
        else sentence(f"report.finding_answer.{state.answer.name.lower()}")
    )
    if state.answer is not None and not state.supported:
        answer = sentence("report_requirements.part.unsupported", answer=answer)
    return Row(
        anchor=requirement_anchor(state.key),
        cells=(
            (sentence("report_requirements.part.answer", name=state.name or state.key, answer=answer),),
            _said(context, state, held),
            _compared(context, state.comparison, held),
            _basis(held),
        ),
    )


def _said(context: Context, state: RequirementState, held: Requirement | None) -> Runs:
    given = context.case.requirement(state.key)
    runs: list[str | Reference] = [state.sentence]
    if given is not None and given.note.strip():
        runs.append(sentence("report_requirements.part.note", note=given.note))
    if given is not None and (shown := shown_by(context, given.pictures, given.readings)):
        runs += [sentence("report_requirements.part.shown_by"), *shown, "."]
    remarks = {
        "not_concerned": not state.applies,
        "opened": held is not None and held.opened,
    }
    runs += [sentence(f"report_requirements.part.{key}") for key, holds in remarks.items() if holds]
    return tuple(runs)


def _compared(context: Context, comparison: LimitComparison | None, held: Requirement | None) -> Runs:
    """The number that decides, with its doubt, against its limit; or that the eye decides, or that nothing does."""
    if comparison is None:
        by_eye = held is None or held.compare is None
        return (sentence(f"report_requirements.part.{'by_eye' if by_eye else 'no_reading'}"),)
    decision = sentence(f"report.decision.{comparison.decision.name.lower()}")
    return (
        *context.runs(comparison.number),
        sentence("report_requirements.part.against"),
        *context.runs(comparison.limit),
        sentence("report_requirements.part.decision", decision=decision),
        *((" (", *source_runs(comparison.sources), ")") if comparison.sources else ()),
    )


def _basis(held: Requirement | None) -> Runs:
    """Every clause with edition and how it was checked, each leading to the bibliography."""
    if held is None:
        return (sentence("report_requirements.part.no_basis"),)
    clauses = joined(
        (
            (
                Reference(target=reference_anchor(clause.reference), text=clause.reference),
                " ",
                sentence(
                    "report_requirements.part.clause",
                    place=clause.place,
                    status=sentence(f"report_requirements.status.{clause.status.name.lower()}"),
                ),
            )
            for clause in held.clauses
        ),
        "; ",
    )
    return (*clauses, sentence("report_requirements.part.edition", edition=held.edition))


def _not_looked_at(states: tuple[RequirementState, ...]) -> tuple[KeyValue, ...]:
    """Points without an answer and without a reading that decides, by name; those that do not concern it apart."""
    left = [state for state in states if not _told(state)]
    found = {"open": [one.name for one in left if one.applies], "other": [one.name for one in left if not one.applies]}
    return tuple(
        KeyValue(
            label=sentence(f"report_requirements.part.{key}"),
            runs=(sentence(f"report_requirements.part.{key}_text", names="; ".join(names)),),
            known=False,
        )
        for key, names in found.items()
        if names
    )
