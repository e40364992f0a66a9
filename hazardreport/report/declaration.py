"""Declaration, consents, contact: the last, detachable sheet; all personal data of the submitter stand here."""

from hazardreport.addressees.asked import Clause, ClauseStatus
from hazardreport.addressees.completeness import field_state
from hazardreport.case.circumstances import Answer
from hazardreport.case.stated import not_applicable
from hazardreport.report.context import Context, answer_text, clause_runs, moment_text
from hazardreport.report.document import KeyValue, KeyValues, Paragraph, Part, Section, SignatureLine
from hazardreport.report.links import stated_row
from hazardreport.wording import sentence

GUARDIAN = Clause(reference="16-cfr-1102", place="1102.10(g)", status=ClauseStatus.READ)
BOXES = {Answer.YES: "\u2612", Answer.NO: "\u2610", Answer.OPEN: "\u2610", Answer.UNKNOWN: "\u2610"}


def declaration(context: Context, number: int) -> Part:
    """The detachable last sheet."""
    return Part(
        key="declaration",
        number=number,
        title=sentence("report.parts.declaration"),
        own_page=True,
        detachable=True,
        sections=(
            Section(title="", blocks=_opening(context)),
            Section(title=sentence("report.declaration.statements"), blocks=(KeyValues(rows=_statements(context)),)),
            Section(title=sentence("report.declaration.contact"), blocks=(KeyValues(rows=_contact(context)),)),
            Section(title=sentence("report.declaration.minor"), blocks=(KeyValues(rows=_minor(context)),)),
            Section(title=sentence("report.declaration.measured_by"), blocks=(KeyValues(rows=_competence(context)),)),
            Section(title="", blocks=_signatures(context)),
        ),
    )


def _opening(context: Context) -> tuple[Paragraph, ...]:
    opening = Paragraph(runs=(sentence("report.declaration.opening"),))
    if not context.names_left_out:
        return (opening,)
    left_out = sentence("report.words.left_out", mark=sentence("publication.withheld"))
    return (opening, Paragraph(runs=(left_out,)))


def _signatures(context: Context) -> tuple[SignatureLine, ...]:
    """A line for the submitter, and one for a parent or guardian unless nobody concerned is under 18."""
    concerned = context.case.submitter.minor is not Answer.NO
    names = ("signature", "guardian_signature") if concerned else ("signature",)
    place = sentence("report.declaration.place_and_day")
    return tuple(SignatureLine(place=place, name=sentence(f"report.declaration.{name}")) for name in names)


def _statements(context: Context) -> tuple[KeyValue, ...]:
    rows = []
    for consent in context.profile.consents:
        record, name = consent.field.split(".")
        answer: Answer = getattr(getattr(context.case, record), name)
        given = _given(answer)
        if consent.field == "consents.verified" and context.case.consents.verified_on:
            given = sentence("report.declaration.given_on", given=given, day=context.case.consents.verified_on)
        note = clause_runs(consent.clauses) if consent.clauses else ()
        rows.append(KeyValue(label=given, runs=(consent.text,), note=note, known=answer is Answer.YES))
    if not rows:
        none = sentence("report.declaration.no_statements")
        rows.append(KeyValue(label=sentence("report.declaration.statements"), runs=(none,), known=False))
    return tuple(rows)


def _given(answer: Answer) -> str:
    return f"{BOXES[answer]} {sentence(f'report.declaration.answer_{answer.name.lower()}')}"


def _minor(context: Context) -> tuple[KeyValue, ...]:
    """Whether somebody concerned is under 18, who the parent or guardian is, and whether that person agrees."""
    submitter = context.case.submitter
    minor, guardian, agrees = submitter.minor, submitter.guardian, context.case.consents.guardian_agrees
    nobody = not_applicable(sentence("report.declaration.nobody_minor"))
    needed = minor is not Answer.NO
    told = guardian if guardian.answered or needed else nobody
    label = sentence("report.declaration.guardian_agrees")
    if needed or agrees is not Answer.OPEN:
        agreed = KeyValue(
            label=_given(agrees),
            runs=(sentence("report.declaration.guardian_statement"),),
            note=clause_runs((GUARDIAN,)),
            known=agrees is Answer.YES,
        )
    else:
        agreed = stated_row(context, label, nobody)
    return (
        KeyValue(
            label=sentence("report.declaration.under_18"),
            runs=(answer_text(minor),),
            known=minor in (Answer.YES, Answer.NO),
        ),
        stated_row(context, sentence("report.declaration.guardian"), told),
        agreed,
    )


def _contact(context: Context) -> tuple[KeyValue, ...]:
    submitter = context.case.submitter
    names: tuple[str, ...] = ("first_name", "last_name", "address", "country", "email", "phone")
    category = field_state(context.case, "submitter.category")
    text = category.text or category.reason or sentence("report.words.open")
    if context.names_left_out:
        left_out = sentence("report.declaration.name_and_contact")
        rows = [stated_row(context, left_out, submitter.first_name)]
        names = ("country",)
    else:
        rows = []
    return (
        *rows,
        *(stated_row(context, sentence(f"report.declaration.{name}"), getattr(submitter, name)) for name in names),
        KeyValue(label=sentence("report.declaration.category"), runs=(text,), known=bool(category.text)),
    )


def _competence(context: Context) -> tuple[KeyValue, ...]:
    competence = context.case.competence
    if competence is None:
        published = bool(context.case.published_from)
        text = sentence(f"report.declaration.{'competence_published' if published else 'no_competence'}")
        return (KeyValue(label=sentence("report.declaration.competence"), runs=(text,), known=False),)
    return (
        KeyValue(label=sentence("report.declaration.competence"), runs=(competence.name,)),
        KeyValue(label=sentence("report.declaration.qualification"), runs=(competence.qualification,)),
        KeyValue(label=sentence("report.declaration.permitted"), runs=(competence.permitted,)),
        KeyValue(label=sentence("report.declaration.stated"), runs=(moment_text(competence.stated),)),
    )
