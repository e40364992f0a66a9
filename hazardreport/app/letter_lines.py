"""Correspondence as lines of the window: letters with what is to be said of them, and what is expected by when."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from hazardreport import wording
from hazardreport.addressees.letter_answers import answers_due, corrections
from hazardreport.addressees.letter_days import in_order
from hazardreport.addressees.letter_remarks import remarks
from hazardreport.addressees.letters import Expected, ExpectedState, every_expected
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.app.addressee_lines import clauses_text
from hazardreport.app.pages.letter_fields import KIND_WORDS
from hazardreport.app.views.record_list import Block, Note
from hazardreport.case.case import Case
from hazardreport.case.letter import AttackedPoint, Letter

SHOWN_OF_HASH = 16


@dataclass(frozen=True, kw_only=True, slots=True)
class ExpectedLine:
    """One thing that is expected: of whom, its word, what it is, how it stands, how days were counted, by which law.

    counted  a day can be counted, or it came; what has no day yet is told in small
    """

    title: str
    word: str
    text: str
    state: str
    source: str
    overdue: bool
    counted: bool


def letter_blocks(case: Case, today: date) -> tuple[Block, ...]:
    """The letters in their order, each with what is odd about it and what it asks for.

    What is only good to know of several letters is said once, with the last of them.
    """
    notes = _notes(case, today)
    return tuple(_block(letter, notes.get(letter.id, ())) for letter in in_order(case))


def _block(letter: Letter, notes: Sequence[Note]) -> Block:
    day = letter.day.strip() or wording.sentence("letters.no_day")
    heading = f"{day}  {KIND_WORDS[letter.kind]}" + (f": {letter.whom.strip()}" if letter.whom.strip() else "")
    title = profile(letter.addressee).title if letter.addressee in profile_keys() else letter.addressee
    facts = (
        ("Reference", letter.reference),
        ("How", letter.means),
        ("Person", letter.person),
        ("Answers", letter.answers),
        ("Answer asked for by", letter.answer_by),
    )
    sent = (
        ("Revision", str(letter.revision or "")),
        ("File", f"SHA-256 {letter.file_sha256[:SHOWN_OF_HASH]}…" if letter.file_sha256 else ""),
        ("Attachments", ", ".join(letter.attachments)),
    )
    lines = (f"{letter.id}, {title}" if title else letter.id, _told(facts), _told(sent), letter.text.strip())
    return Block(id=letter.id, heading=heading, lines=tuple(line for line in lines if line), notes=tuple(notes))


def _told(facts: Sequence[tuple[str, str]]) -> str:
    return "; ".join(f"{label}: {text.strip()}" for label, text in facts if text.strip())


def _notes(case: Case, today: date) -> dict[str, tuple[Note, ...]]:
    found: dict[str, tuple[Note, ...]] = {}

    def add(letter: str, text: str, problem: bool) -> None:
        found[letter] = (*found.get(letter, ()), Note(text=text, problem=problem))

    gentle: dict[str, list[str]] = {}
    for remark in remarks(case, today):
        if remark.gentle:
            gentle.setdefault(f"{remark.what} {remark.remedy}", []).append(remark.letter)
        else:
            add(remark.letter, f"{remark.what} {remark.remedy}", True)
    disputed = {row.letter for row in corrections(case, today)}
    for due in answers_due(case, today):
        if due.letter not in disputed:
            key = "answered" if due.answered_by else "over" if due.overdue else "open" if due.by else "no_day"
            whose = wording.sentence(
                f"letters.due.{'ours' if due.ours else 'theirs'}", letter=due.letter, whom=due.whom
            )
            state = wording.sentence(f"letters.due.{key}", by=due.by, answered_by=due.answered_by)
            add(due.letter, f"{whose} {state}", due.overdue)
    for row in corrections(case, today):
        if row.point is not AttackedPoint.NONE:
            add(row.letter, wording.sentence("window.letters.disputes", point=row.point.value), False)
        key = "answered" if row.answered_by else "with_day" if row.by else "without_day"
        state = wording.sentence(f"letters.correction.{key}", by=row.by, answered_by=row.answered_by)
        add(row.letter, state, row.overdue)
        if not row.answered_by:
            add(row.letter, wording.sentence("letters.correction.burden"), False)
    for told, letters in gentle.items():
        once = wording.sentence("cli.letters.good_to_know", letters=", ".join(letters), told=told)
        add(letters[-1], told if len(letters) == 1 else once, False)
    return found


def expected_lines(case: Case, today: date) -> tuple[ExpectedLine, ...]:
    """What is expected of each addressee that has a letter; it needs the calendars of holidays, so it runs in a job."""
    return tuple(_line(row) for row in every_expected(case, today))


def _line(row: Expected) -> ExpectedLine:
    word = wording.sentence(f"window.letters.word.{row.state.name.lower()}")
    counted = row.counted if row.latest is not None else ""
    source = " ".join(part for part in (counted, clauses_text(row.clauses)) if part)
    return ExpectedLine(
        title=profile(row.profile).title,
        word=word,
        text=row.text,
        state="" if row.state is ExpectedState.NO_DAY else row.sentence,
        source=source,
        overdue=row.state is ExpectedState.OVERDUE,
        counted=row.state not in (ExpectedState.NO_DAY, ExpectedState.NOT_STARTED),
    )


def calendar_bytes(case: Case, today: date) -> bytes:
    """The calendar file of everything that is expected or due."""
    from datetime import UTC, datetime

    from hazardreport.addressees.calendar_file import calendar_file

    return calendar_file(case, every_expected(case, today), answers_due(case, today), datetime.now(UTC))
