"""The commands about correspondence: record a letter; list what went out and came in, and what is expected by when."""

import argparse
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.cli_commands import edited, opened_for_reading, refuse_to_write_into
from hazardreport.app.terminal import Terminal
from hazardreport.case.letter import AttackedPoint, Letter, LetterKind
from hazardreport.errors import ExitCode, LetterRefusedError
from hazardreport.evidence.names import shown

if TYPE_CHECKING:
    from hazardreport.addressees.letter_answers import AnswerDue, Correction
    from hazardreport.addressees.letter_remarks import LetterRemark
    from hazardreport.addressees.letters import Expected
    from hazardreport.case.case import Case

KINDS = {
    "report": LetterKind.REPORT,
    "message": LetterKind.MESSAGE,
    "receipt": LetterKind.RECEIPT,
    "answer": LetterKind.ANSWER,
    "forwarded": LetterKind.FORWARDED,
    "published": LetterKind.PUBLISHED,
    "comment": LetterKind.MAKER_COMMENT,
    "correction": LetterKind.CORRECTION_REQUEST,
}
POINTS = {
    "product": AttackedPoint.PRODUCT,
    "maker": AttackedPoint.MAKER,
    "harm": AttackedPoint.HARM,
    "date": AttackedPoint.DATE,
}
TEXTS = ("person", "means", "reference", "text", "answers", "addressee")
"""Options that are a text of the letter by the same name."""


def add_letter_commands(add: Callable[..., argparse.ArgumentParser], addressees: str) -> None:
    """Adds both commands to the program's; `addressees` are the keys that help names."""
    text = wording.sentence
    sub = add("letter", letter)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.letter.case"))
    sub.add_argument("--kind", choices=tuple(KINDS), required=True, help=text("cli.letter.kind"))
    way = sub.add_mutually_exclusive_group(required=True)
    way.add_argument("--to", default="", metavar="WHOM", help=text("cli.letter.to"))
    way.add_argument("--from", dest="sender", default="", metavar="WHOM", help=text("cli.letter.sender"))
    sub.add_argument("--day", required=True, metavar="DAY", help=text("cli.letter.day"))
    sub.add_argument("--addressee", default="", metavar="KEY", help=text("cli.letter.addressee", keys=addressees))
    sub.add_argument("--reference", default="", metavar="TEXT", help=text("cli.letter.reference"))
    sub.add_argument("--text", default="", metavar="TEXT", help=text("cli.letter.text"))
    sub.add_argument("--means", default="", metavar="TEXT", help=text("cli.letter.means"))
    sub.add_argument("--person", default="", metavar="NAME", help=text("cli.letter.person"))
    sub.add_argument("--answers", default="", metavar="ID", help=text("cli.letter.answers"))
    sub.add_argument("--answer-by", default="", metavar="DAY", help=text("cli.letter.answer_by"))
    sub.add_argument("--disputes", choices=tuple(POINTS), help=text("cli.letter.disputes"))
    sub.add_argument("--revision", type=int, default=0, metavar="N", help=text("cli.letter.revision"))
    sub.add_argument("--file", type=Path, metavar="FILE.pdf", help=text("cli.letter.file"))
    sub.add_argument("--attachment", action="append", default=[], metavar="ID", help=text("cli.letter.attachment"))
    sub = add("letters", letters)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.letters.case"))
    sub.add_argument("--calendar", type=Path, metavar="FILE.ics", help=text("cli.letters.calendar"))


def letter(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """One line of the correspondence; refused if what is said of it cannot be so."""
    from hazardreport.addressees.letter_remarks import remarks
    from hazardreport.case.edits import add_letter, next_id
    from hazardreport.storage import files

    kind = KINDS[options.kind]
    if kind.sent is not bool(options.to):
        raise LetterRefusedError(reason=wording.sentence(f"cli.letter.{'needs_to' if kind.sent else 'needs_from'}"))
    sha256 = files.sha256(options.file) if options.file is not None else ""
    told: list[LetterRemark] = []
    recorded = ""

    def edit(case: "Case") -> "Case":
        nonlocal told, recorded
        new = Letter(
            id=next_id("letter", (one.id for one in case.letters)),
            kind=kind,
            disputes=POINTS[options.disputes] if options.disputes else AttackedPoint.NONE,
            whom=(options.to or options.sender).strip(),
            day=options.day.strip(),
            answer_by=options.answer_by.strip(),
            revision=options.revision,
            file_sha256=sha256,
            attachments=tuple(options.attachment),
            **{name: _given(name, getattr(options, name).strip()) for name in TEXTS},
        )
        after = add_letter(case, new)
        told = [remark for remark in remarks(after, _today(terminal)) if remark.letter == new.id]
        wrong = next((remark for remark in told if not remark.gentle), None)
        if wrong is not None:
            raise LetterRefusedError(reason=wrong.what)
        recorded = new.id
        return after

    saved = edited(options.case, terminal, edit)
    terminal.say(wording.sentence("cli.letter.done", id=recorded, revision=saved.revision))
    for remark in told:
        terminal.warn(f"{remark.what} {remark.remedy}")
    return ExitCode.DONE


def _given(name: str, text: str) -> str:
    """What was given for a text of a letter; "none" names no addressee."""
    return "" if name == "addressee" and text.casefold() == "none" else text


def _today(terminal: Terminal) -> date:
    """The day where the person is."""
    return terminal.clock().astimezone().date()


def letters(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The correspondence in its order, what is odd about it, and what is expected; a calendar file if asked for."""
    from hazardreport.addressees.calendar_file import calendar_file
    from hazardreport.addressees.letter_answers import answers_due, corrections
    from hazardreport.addressees.letter_days import in_order
    from hazardreport.addressees.letter_remarks import remarks
    from hazardreport.addressees.letters import every_expected
    from hazardreport.storage import files

    if options.calendar is not None:
        refuse_to_write_into(options.case, options.calendar)
    case = opened_for_reading(options.case, terminal).case
    today = _today(terminal)
    odd = remarks(case, today)
    if not case.letters:
        terminal.say(wording.sentence("cli.letters.none"))
    for one in in_order(case):
        _tell_letter(one, terminal)
        for remark in odd:
            if remark.letter == one.id and not remark.gentle:
                terminal.say("    " + shown(f"{remark.what} {remark.remedy}"))
    _tell_corrections(corrections(case, today), terminal)
    due, rows = answers_due(case, today), every_expected(case, today)
    _tell_due(due, terminal)
    _tell_expected(rows, terminal)
    _tell_gentle(odd, terminal)
    if options.calendar is not None:
        files.write_atomically(options.calendar, calendar_file(case, rows, due, terminal.clock()))
        terminal.say(wording.sentence("cli.letters.calendar_done", file=options.calendar))
    return ExitCode.INCOMPLETE_OR_CHANGED if any(not remark.gentle for remark in odd) else ExitCode.DONE


def _line(text: str) -> str:
    """A text of a person on one line, safe to show."""
    return shown(" ".join(text.split()))


def _tell_letter(one: Letter, terminal: Terminal) -> None:
    way = "cli.letters.sent" if one.kind.sent else "cli.letters.came"
    nothing = wording.sentence("letters.no_day")
    terminal.say(
        wording.sentence(way, id=one.id, day=_line(one.day) or nothing, kind=one.kind.value, whom=_line(one.whom))
    )
    more = {
        "addressee": _title(one.addressee),
        "person": one.person,
        "means": one.means,
        "reference": one.reference,
        "answers": one.answers,
        "answer_by": one.answer_by,
        "revision": str(one.revision or ""),
        "file_sha256": one.file_sha256,
        "attachments": ", ".join(one.attachments),
        "text": one.text,
    }
    for name, text in more.items():
        if text.strip():
            terminal.say("    " + wording.sentence(f"cli.letters.of.{name}", text=_line(text)))


def _tell_gentle(odd: "tuple[LetterRemark, ...]", terminal: Terminal) -> None:
    """What is only good to know, each thing once, with the letters that have it."""
    letters: dict[str, list[str]] = {}
    for remark in odd:
        if remark.gentle:
            letters.setdefault(f"{remark.what} {remark.remedy}", []).append(remark.letter)
    for told, ids in letters.items():
        terminal.say(shown(wording.sentence("cli.letters.good_to_know", letters=", ".join(ids), told=told)))


def _title(addressee: str) -> str:
    """An addressee by its title; a key that the program does not know as it is."""
    from hazardreport.addressees.profiles import profile, profile_keys

    return profile(addressee).title if addressee in profile_keys() else addressee


def _tell_corrections(rows: "tuple[Correction, ...]", terminal: Terminal) -> None:
    if not rows:
        return
    terminal.say(wording.sentence("cli.letters.corrections"))
    for row in rows:
        terminal.say(
            "  "
            + wording.sentence(
                "cli.letters.correction", letter=row.letter, point=row.point.value, passage=_line(row.passage)
            )
        )
        key = "answered" if row.answered_by else "with_day" if row.by else "without_day"
        terminal.say("    " + wording.sentence(f"letters.correction.{key}", by=row.by, answered_by=row.answered_by))
    terminal.say("  " + wording.sentence("letters.correction.burden"))


def _tell_due(rows: "tuple[AnswerDue, ...]", terminal: Terminal) -> None:
    if not rows:
        return
    terminal.say(wording.sentence("cli.letters.due"))
    for row in rows:
        state = "answered" if row.answered_by else "over" if row.overdue else "open" if row.by else "no_day"
        whose = "ours" if row.ours else "theirs"
        terminal.say(
            "  "
            + wording.sentence(f"letters.due.{whose}", letter=row.letter, whom=_line(row.whom))
            + " "
            + wording.sentence(f"letters.due.{state}", by=row.by, answered_by=row.answered_by)
        )


def _tell_expected(rows: "tuple[Expected, ...]", terminal: Terminal) -> None:
    if not rows:
        return
    terminal.say(wording.sentence("cli.letters.expected"))
    profile = ""
    for row in rows:
        if row.profile != profile:
            profile = row.profile
            terminal.say(f"  {_title(profile)}")
        terminal.say(f"    {row.text}")
        terminal.say(f"      {row.sentence}")
        if row.latest is not None and row.counted:
            terminal.say(f"      {row.counted}")
