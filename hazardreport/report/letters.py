"""The part on correspondence: what was sent and came back, what is expected, corrections, comments, publication."""

from datetime import date, datetime

from hazardreport.addressees.letter_answers import AnswerDue, Correction, answers_due, comments, corrections
from hazardreport.addressees.letter_days import in_order
from hazardreport.addressees.letters import Expected, expected
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.addressees.publication_hold import publication_hold
from hazardreport.case.letter import AttackedPoint, Letter
from hazardreport.report.context import Context, clause_runs, joined, moment_text
from hazardreport.report.document import (
    Block,
    Column,
    Items,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Reference,
    Row,
    Runs,
    Section,
    Table,
)
from hazardreport.report.links import letter_anchor, letters_of
from hazardreport.report.record import attachment_anchor
from hazardreport.wording import sentence

FILE_HASH_SHOWN = 12
"""So many characters of a file's hash are printed: enough to recognise it, and they fit into the column."""


def letters(context: Context, number: int) -> Part:
    """The part on correspondence."""
    today = _today(context)
    return Part(
        key="letters",
        number=number,
        title=sentence("report.parts.letters"),
        sections=(
            _section("log", _log(context)),
            _section("expected", _expected(context, today)),
            _section("due", _due(context, today)),
            _section("corrections", _corrections(context, today)),
            _section("comments", _comments(context)),
            _section("hold", _hold(context, today)),
        ),
    )


def _section(name: str, blocks: tuple[Block, ...]) -> Section:
    return Section(title=sentence(f"report_letters.title.{name}"), blocks=blocks)


def _today(context: Context) -> date | None:
    """The day on which the report is made, or None where what stands there is no day."""
    try:
        return datetime.fromisoformat(context.created).date()
    except ValueError:
        return None


def _none(name: str) -> tuple[Missing, ...]:
    return (Missing(what=sentence(f"report_letters.none.{name}"), why=sentence(f"report_letters.none_why.{name}")),)


def _said(text: str) -> str:
    return text if text.strip() else sentence("report.words.not_stated")


def _log(context: Context) -> tuple[Block, ...]:
    found = in_order(context.case)
    if not found:
        return _none("log")
    shares = {"letter": 1.6, "when": 1.35, "whom": 2.0, "means": 1.7, "text": 2.9, "file": 1.7}
    columns = tuple(Column(title=sentence(f"report_letters.log.{name}"), share=share) for name, share in shares.items())
    rows = tuple(Row(anchor=letter_anchor(letter.id), cells=_letter(context, letter)) for letter in found)
    return (Table(caption=sentence("report_letters.log.caption"), columns=columns, rows=rows),)


def _letter(context: Context, letter: Letter) -> tuple[Runs, ...]:
    kind = sentence(f"report_letters.kind.{letter.kind.name.lower()}")
    return (
        (sentence("report_letters.log.letter_value", letter=letter.id, kind=kind),),
        (moment_text(letter.day) if letter.day.strip() else sentence("report.words.not_stated"),),
        (_whom(letter),),
        (_means(letter),),
        _text(context, letter),
        _file(context, letter),
    )


def _means(letter: Letter) -> str:
    if not letter.reference.strip():
        return _said(letter.means)
    return sentence("report_letters.log.means_value", means=_said(letter.means), reference=letter.reference)


def _whom(letter: Letter) -> str:
    whom = _said(letter.whom)
    if letter.person.strip():
        whom = sentence("report_letters.log.whom_value", whom=whom, person=letter.person)
    if not letter.addressee:
        return whom
    if letter.addressee in profile_keys():
        belongs = profile(letter.addressee).who
    else:
        belongs = sentence("report_letters.log.unknown_profile", profile=letter.addressee)
    return whom + sentence("report_letters.log.belongs", profile=belongs)


def _text(context: Context, letter: Letter) -> Runs:
    runs: list[str | Reference] = [_said(letter.text)]
    if letter.disputes is not AttackedPoint.NONE:
        point = sentence(f"report_letters.point.{letter.disputes.name.lower()}")
        runs.append(sentence("report_letters.log.disputes", point=point))
    if letter.answers:
        runs += [sentence("report_letters.log.answers"), *letters_of(context, (letter.answers,)), "."]
    if letter.answer_by.strip():
        runs.append(sentence("report_letters.log.answer_by", day=letter.answer_by))
    return tuple(runs)


def _file(context: Context, letter: Letter) -> Runs:
    if letter.revision:
        told = sentence("report_letters.log.revision", revision=letter.revision)
    else:
        told = sentence(f"report_letters.log.{'no_revision' if letter.kind.sent else 'came_in'}")
    if letter.file_sha256.strip():
        told += sentence("report_letters.log.hash", hash=letter.file_sha256[:FILE_HASH_SHOWN])
    kept = joined(_attachment(context, key) for key in letter.attachments)
    return (told, sentence("report_letters.log.kept_as"), *kept) if kept else (told,)


def _attachment(context: Context, id: str) -> Runs:
    if context.case.attachment(id) is None:
        return (sentence("report.custody.not_in_case", record=id),)
    return (Reference(target=attachment_anchor(id), text=id),)


def _expected(context: Context, today: date | None) -> tuple[Block, ...]:
    if today is None:
        why = sentence("report_letters.expected.no_today")
        return (Missing(what=sentence("report_letters.none.expected"), why=why),)
    found = expected(context.case, context.profile, today)
    if not found:
        return _none("expected")
    columns = (
        Column(title=sentence("report_letters.expected.what"), share=3.2),
        Column(title=sentence("report_letters.expected.stands"), share=4.2),
        Column(title=sentence("report_letters.expected.clause"), share=2.4),
    )
    counted = dict.fromkeys(one.counted for one in found if one.latest is not None)
    rows = tuple(Row(cells=((one.text,), _stands(context, one), _clauses(one))) for one in found)
    return (
        Table(
            caption=sentence("report_letters.expected.caption"),
            columns=columns,
            rows=rows,
            note=" ".join((sentence("report_letters.expected.note"), *counted)),
        ),
    )


def _stands(context: Context, one: Expected) -> Runs:
    links = letters_of(context, [key for key in (one.started_by, one.met_by) if key])
    return (one.sentence, *((" (", *links, ")") if links else ()))


def _clauses(one: Expected) -> Runs:
    return clause_runs(one.clauses) or (sentence("report_letters.expected.no_clause"),)


def _due(context: Context, today: date | None) -> tuple[Block, ...]:
    found = answers_due(context.case, today or date.min)
    if not found:
        return _none("due")
    return (Items(items=tuple(_asked(context, one, today) for one in found)),)


def _asked(context: Context, one: AnswerDue, today: date | None) -> Runs:
    told = sentence(f"letters.due.{'ours' if one.ours else 'theirs'}", letter=one.letter, whom=_said(one.whom))
    if one.answered_by:
        state = sentence("letters.due.answered", answered_by=one.answered_by)
    elif one.by is None:
        state = sentence("letters.due.no_day")
    else:
        state = sentence(f"letters.due.{'over' if today is not None and one.overdue else 'open'}", by=one.by)
    return (f"{told} {state} (", *letters_of(context, (one.letter,)), ")")


def _corrections(context: Context, today: date | None) -> tuple[Block, ...]:
    """Requests under the point that they dispute; a point that nobody disputes is not listed."""
    found = corrections(context.case, today or date.min)
    if not found:
        return _none("corrections")
    rows = tuple(
        KeyValue(
            label=sentence(f"report_letters.point.{point.name.lower()}"),
            runs=(*letters_of(context, (one.letter,)), ": ", _passage(one)),
            note=(_answered(one),),
        )
        for point in AttackedPoint
        for one in found
        if one.point is point
    )
    burden = Paragraph(runs=(sentence("letters.correction.burden"),), role="small")
    return (KeyValues(rows=rows), burden)


def _passage(one: Correction) -> str:
    if not one.passage.strip():
        return sentence("report_letters.corrections.no_passage")
    return sentence("report_letters.corrections.passage", passage=one.passage)


def _answered(one: Correction) -> str:
    if one.answered_by:
        return sentence("letters.correction.answered", answered_by=one.answered_by)
    if one.by is not None:
        return sentence("letters.correction.with_day", by=one.by)
    return sentence("letters.correction.without_day")


def _hold(context: Context, today: date | None) -> tuple[Block, ...]:
    """Without a day of the report no letter is known to be sent before it."""
    return (Items(items=tuple((line,) for line in publication_hold(context.case, today or date.min).sentences)),)


def _comments(context: Context) -> tuple[Block, ...]:
    found = comments(context.case)
    if not found:
        return _none("comments")
    return (
        Items(
            items=tuple(
                (*letters_of(context, (letter.id,)), f" ({_said(letter.day)}): {_said(letter.text)}")
                for letter in found
            )
        ),
    )
