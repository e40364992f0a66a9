"""What an addressee finds missing, and which addressees the four answers propose, as plain text for a terminal."""

from collections.abc import Sequence

from hazardreport.addressees.addressed import names_allowed
from hazardreport.addressees.completeness import ElementState, State, gaps
from hazardreport.addressees.profiles import Level, Profile, profile, profile_keys
from hazardreport.addressees.proposal import OpenQuestion, Proposal, open_questions, proposals, remarks
from hazardreport.app.before_sending import faults
from hazardreport.app.cli_text import WIDTH, table, wrapped
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.evidence.names import shown
from hazardreport.wording import sentence

ENTERED_ELSEWHERE = (
    *("pictures", "readings", "severity", "findings", "requirements"),
    *("scenarios", "risk", "conformity_marks", "letters"),
)
"""What is entered in a way of its own, by the first word of its link."""


def completeness(case: Case, profile: Profile, states: Sequence[ElementState]) -> str:
    """Each element that the addressee requires or names, what is missing and why it matters, and what is withheld."""
    shown = [state for state in states if state.element.level is not Level.NOT_ASKED]
    rows = [(_standing(state), state.element.name, _where(state)) for state in shown]
    lacking = sum(not state.complete for state in states)
    if lacking == 0:
        end = sentence("cli.check.complete")
    else:
        end = sentence("cli.check.incomplete_one" if lacking == 1 else "cli.check.incomplete_many", count=lacking)
    parts = [
        sentence("cli.check.heading", title=profile.title),
        _listed(rows),
        _lacking(states),
        _held_back(case, profile),
        _to_look_at(case, profile, states),
    ]
    return "\n\n".join(part for part in (*parts, end) if part) + "\n"


def _listed(rows: Sequence[tuple[str, str, str]]) -> str:
    """A line for each element; what would not fit beside the name stands in lines below it."""
    heads = table([(standing, name) for standing, name, _ in rows]).split("\n")
    column = max((len(head) for head in heads), default=0) + 2
    below = max(len(standing) for standing, _, _ in rows) + 6
    lines = []
    for head, (_, _, where) in zip(heads, rows, strict=True):
        if not where:
            lines.append(head)
        elif column + len(where) <= WIDTH:
            lines.append(head.ljust(column) + where)
        else:
            lines += [head, wrapped(where, " " * below)]
    return "\n".join(lines)


def _lacking(states: Sequence[ElementState]) -> str:
    """For each thing that keeps the report incomplete: what is asked, by which law, why, and where it is entered."""
    return "\n".join(
        wrapped(
            sentence(
                "cli.check.lacking",
                name=state.element.name,
                asked=state.element.asked,
                clauses="; ".join(
                    sentence(f"profiles.law_names.{clause.reference}", place=clause.place)
                    for clause in state.element.clauses
                ),
                why=_why(state),
                where=_entered(state.field),
            )
        )
        for state in states
        if not state.complete
    )


def _why(state: ElementState) -> str:
    """What must be answered first or is only begun, and what happens without it."""
    return sentence("cli.check.pending", pending=state.pending, why=state.why) if state.pending else state.why


def _entered(field: str) -> str:
    """Where what a field lacks is entered."""
    kind = field.partition(".")[0]
    return sentence(f"cli.check.enter_{kind if kind in ENTERED_ELSEWHERE else 'field'}", field=field)


def _held_back(case: Case, profile: Profile) -> str:
    """That names and contact do not reach this addressee, while the consent for it is not given."""
    if names_allowed(case, profile):
        return ""
    return wrapped(sentence("cli.check.held_back", field=profile.contact_consent))


def _to_look_at(case: Case, profile: Profile, states: Sequence[ElementState]) -> str:
    """Faults of what the addressee asks; they keep nothing incomplete."""
    found = faults(case, profile, states)
    if not found:
        return ""
    lines = (wrapped(sentence("cli.check.fault", text=shown(fault.text), field=fault.link)) for fault in found)
    return "\n".join((sentence("cli.check.to_look_at"), *lines))


def _standing(state: ElementState) -> str:
    if state.state is State.PRESENT:
        return sentence("cli.check.present")
    if state.state is State.NOT_APPLICABLE:
        return sentence("cli.check.not_applicable")
    if state.complete:
        key = "cli.check.absent" if state.state is State.ABSENT_WITH_REASON else "cli.check.not_required"
        return sentence(key)
    return sentence("cli.check.missing")


def _where(state: ElementState) -> str:
    if state.state is State.PRESENT:
        return ""
    if state.state is State.NOT_APPLICABLE:
        return sentence("cli.check.decided", reason=state.reason, field=state.field)
    return sentence("cli.check.field", field=state.field) if state.state is State.MISSING else state.reason


def overview(case: Case, assessment: Assessment) -> tuple[str, bool]:
    """Addressees that the four answers propose, a line for each profile, and whether nothing is missing for those.

    Returns
    -------
    str
        For the terminal.
    bool
        Every proposed addressee has what it requires, and each of the four questions is answered.
    """
    proposed, questions = proposals(case.situation), open_questions(case.situation)
    counts = {key: len(gaps(case, profile(key), assessment)) for key in profile_keys()}
    keys = [proposal.profile for proposal in proposed]
    others = [key for key in profile_keys() if key not in keys]
    parts = [
        sentence("cli.check.proposed"),
        *(_proposed(proposal, counts[proposal.profile]) for proposal in proposed),
        _questions(questions),
        "\n".join(wrapped(remark) for remark in remarks(case.situation)),
        sentence("cli.check.others") if others else "",
        table([(key, _count(counts[key]), profile(key).title) for key in others]) if others else "",
        sentence("cli.check.one_by_one"),
    ]
    whole = not questions and not any(counts[key] for key in keys)
    return "\n\n".join(part for part in parts if part) + "\n", whole


def _count(missing: int) -> str:
    if not missing:
        return sentence("cli.check.count_none")
    return sentence("cli.check.count", count=missing)


def _proposed(proposal: Proposal, missing: int) -> str:
    head = table([(proposal.profile, _count(missing), proposal.title)])
    told = (proposal.reason, *(duty.text for duty in proposal.duties))
    return "\n".join((head, *(wrapped(text, "      ") for text in told)))


def _questions(questions: Sequence[OpenQuestion]) -> str:
    if not questions:
        return ""
    lines = (
        sentence(
            "cli.check.question",
            question=question.question,
            field=question.field,
            profiles=", ".join(question.profiles),
        )
        for question in questions
    )
    return sentence("cli.check.questions") + "\n" + "\n".join(wrapped(line) for line in lines)
