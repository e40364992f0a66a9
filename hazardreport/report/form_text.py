"""The part with the text to enter on an addressee's own form: element by element, counted, and what to attach."""

from hazardreport.addressees.completeness import State
from hazardreport.addressees.form_text import FormEntry, FormText
from hazardreport.addressees.form_text import form_text as text_to_enter
from hazardreport.report.context import Context
from hazardreport.report.document import Block, Items, KeyValue, KeyValues, Missing, Paragraph, Part, Section
from hazardreport.wording import sentence


def form_text(context: Context, number: int) -> Part:
    """The part with the text to enter; what is personal stands on the last sheet and is only counted."""
    given = text_to_enter(context.case, context.profile, context.assessment)
    opening = Paragraph(runs=(sentence("report_form.form.opening"),))
    return Part(
        key="form_text",
        number=number,
        title=sentence("report.parts.form_text"),
        sections=(
            Section(title="", blocks=(opening, KeyValues(rows=_accepted(given)))),
            Section(title=sentence("report_form.form.title"), blocks=_entries(given)),
            Section(title=sentence("report_form.form.attachments"), blocks=_attachments(given)),
        ),
    )


def _accepted(given: FormText) -> tuple[KeyValue, ...]:
    rows = [KeyValue(label=sentence("report_form.form.accepts"), runs=(given.accepts,))]
    if given.size:
        rows.append(KeyValue(label=sentence("report_form.form.size"), runs=(given.size,)))
    return tuple(rows)


def _entries(given: FormText) -> tuple[Block, ...]:
    if not given.entries:
        why = sentence("report_form.form.none_why")
        return (Missing(what=sentence("report_form.form.none"), why=why),)
    return (KeyValues(rows=tuple(_entry(entry) for entry in given.entries)),)


def _entry(entry: FormEntry) -> KeyValue:
    if not entry.text:
        said = sentence("report_form.form.nothing")
        return KeyValue(label=entry.name, runs=(said,), note=(entry.note,) if entry.note else (), known=False)
    counted = (
        sentence("report_form.form.characters", count=entry.characters)
        if entry.limit is None
        else sentence("report_form.form.limit", count=entry.characters, limit=entry.limit)
    )
    note = f"{counted}. {entry.note}" if entry.note else counted
    text = sentence("report_form.form.personal") if entry.personal else entry.text
    return KeyValue(label=entry.name, runs=(text,), note=(note,), known=entry.state is State.PRESENT)


def _attachments(given: FormText) -> tuple[Block, ...]:
    listed = tuple(
        (sentence("report_form.form.attachment", name=one.name, note=one.note),) for one in given.attachments
    )
    withheld = tuple((line,) for line in given.withheld)
    return (Items(items=(*listed, *withheld)),)
