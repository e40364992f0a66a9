"""Declaration, consents, contact: the last, detachable sheet; all personal data of the submitter stand here."""

from hazardreport.addressees.completeness import field_state
from hazardreport.case.circumstances import Answer
from hazardreport.report.context import Context, moment_text
from hazardreport.report.document import KeyValue, KeyValues, Paragraph, Part, Section, SignatureLine
from hazardreport.report.links import stated_row
from hazardreport.wording import sentence

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
            Section(title="", blocks=(Paragraph(runs=(sentence("report.declaration.opening"),)),)),
            Section(title=sentence("report.declaration.statements"), blocks=(KeyValues(rows=_statements(context)),)),
            Section(title=sentence("report.declaration.contact"), blocks=(KeyValues(rows=_contact(context)),)),
            Section(title=sentence("report.declaration.measured_by"), blocks=(KeyValues(rows=_competence(context)),)),
            Section(
                title="",
                blocks=(
                    SignatureLine(
                        place=sentence("report.declaration.place_and_day"),
                        name=sentence("report.declaration.signature"),
                    ),
                ),
            ),
        ),
    )


def _statements(context: Context) -> tuple[KeyValue, ...]:
    rows = []
    for consent in context.profile.consents:
        record, name = consent.field.split(".")
        answer: Answer = getattr(getattr(context.case, record), name)
        given = sentence(f"report.declaration.answer_{answer.name.lower()}")
        if consent.field == "consents.verified" and context.case.consents.verified_on:
            given = sentence("report.declaration.given_on", given=given, day=context.case.consents.verified_on)
        rows.append(KeyValue(label=f"{BOXES[answer]} {given}", runs=(consent.text,), known=answer is Answer.YES))
    return tuple(rows)


def _contact(context: Context) -> tuple[KeyValue, ...]:
    submitter = context.case.submitter
    names = ("first_name", "last_name", "address", "country", "email", "phone")
    category = field_state(context.case, "submitter.category")
    text = category.text or category.reason or sentence("report.words.open")
    return (
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
