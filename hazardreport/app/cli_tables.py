"""The command by which a person who holds a document confirms a table: an empty sheet out, typed digits in."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from hazardreport import wording
from hazardreport.app.cli_commands import edited
from hazardreport.app.cli_keys import listed
from hazardreport.app.table_words import words_to_type
from hazardreport.app.terminal import Terminal
from hazardreport.errors import (
    ExitCode,
    FileInTheWayError,
    NoTableKeyError,
    NothingThereError,
    TableOfOurWordsError,
    UsageError,
)

if TYPE_CHECKING:
    from hazardreport.case.case import Case
    from hazardreport.case.confirmation import TableConfirmation
    from hazardreport.standards.tables import Table

COMMAND = "confirm-table"


def add_table_command(add: Callable[..., Any]) -> None:
    """The words of the command."""
    text = wording.sentence
    sub = add(COMMAND, confirm_table)
    sub.add_argument("case", type=Path, nargs="?", metavar="CASE", help=text("cli.confirm_table.case"))
    sub.add_argument("--table", default="", metavar="STANDARD/TABLE", help=text("cli.confirm_table.table"))
    either = sub.add_mutually_exclusive_group(required=True)
    either.add_argument("--list", dest="listing", action="store_true", help=text("cli.confirm_table.listing"))
    either.add_argument("--blank", type=Path, metavar="FILE.csv", help=text("cli.confirm_table.blank"))
    either.add_argument("--digits", type=Path, metavar="FILE.csv", help=text("cli.confirm_table.digits"))
    sub.add_argument("--edition", default="", metavar="TEXT", help=text("cli.confirm_table.edition"))
    sub.add_argument("--page", default="", metavar="TEXT", help=text("cli.confirm_table.page"))
    sub.add_argument("--by", default="", metavar="NAME", help=text("cli.confirm_table.by"))
    sub.add_argument("--day", default="", metavar="DAY", help=text("cli.confirm_table.day"))
    sub.add_argument("--second", default="", metavar="NAME", help=text("cli.confirm_table.second"))
    sub.add_argument("--second-day", default="", metavar="DAY", help=text("cli.confirm_table.second_day"))
    sub.add_argument("--note", default="", metavar="TEXT", help=text("cli.confirm_table.note"))


def confirm_table(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The list of tables, an empty sheet for one of them, or the digits of a filled one, taken into the case."""
    from hazardreport.standards.tables import table_as_filed

    if options.listing:
        terminal.say(listed("tables"))
        return ExitCode.DONE
    if options.case is None or not options.table:
        message = wording.sentence("cli.confirm_table.which")
        raise UsageError(message=message, command=f"hazardreport {COMMAND}")
    if not options.case.exists():
        raise NothingThereError(path=str(options.case))
    standard, slash, name = options.table.partition("/")
    if not slash:
        raise NoTableKeyError(text=options.table)
    held = table_as_filed(standard, name)
    if held.own_words:
        raise TableOfOurWordsError(table=options.table)
    return _blank(options, held, terminal) if options.blank is not None else _digits(options, held, terminal)


def _blank(options: argparse.Namespace, held: "Table", terminal: Terminal) -> ExitCode:
    from hazardreport.storage import files
    from hazardreport.storage.table_sheet import blank_sheet

    if options.blank.exists():
        raise FileInTheWayError(path=str(options.blank))
    files.write_atomically(options.blank, blank_sheet(held).encode())
    terminal.say(
        wording.sentence(
            "cli.confirm_table.written",
            file=options.blank,
            table=held.citation.table,
            name=held.name,
            edition=held.citation.edition,
            case=options.case,
            wanted=options.table,
        )
    )
    if words := words_to_type(held):
        terminal.say(words)
    return ExitCode.DONE


def _digits(options: argparse.Namespace, held: "Table", terminal: Terminal) -> ExitCode:
    from hazardreport.case import edits
    from hazardreport.case.confirmation import TableConfirmation
    from hazardreport.storage.table_sheet import read_table_sheet

    missing = [f"--{name}" for name in ("edition", "page", "by") if not getattr(options, name).strip()]
    if missing:
        message = wording.sentence("cli.confirm_table.missing", words=", ".join(missing))
        raise UsageError(message=message, command=f"hazardreport {COMMAND}")
    rows = read_table_sheet(options.digits, held)
    done: TableConfirmation | None = None

    def edit(case: "Case") -> "Case":
        nonlocal done
        earlier = next((one for one in case.confirmations if _same_reader(one, options)), None)
        done = TableConfirmation(
            id=earlier.id if earlier else edits.next_id("confirmation", (one.id for one in case.confirmations)),
            table=options.table,
            sha256=held.sha256,
            edition=options.edition.strip(),
            page=options.page.strip(),
            name=options.by.strip(),
            day=options.day.strip() or terminal.now()[:10],
            second_reader=options.second.strip(),
            second_day=options.second_day.strip(),
            rows=rows,
            note=options.note.strip(),
        )
        return edits.change_confirmation(case, done) if earlier else edits.add_confirmation(case, done)

    saved = edited(options.case, terminal, edit)
    return _told(saved, done, terminal)


def _same_reader(confirmation: "TableConfirmation", options: argparse.Namespace) -> bool:
    """An earlier reading of the table by the same person is replaced; the log of the case keeps it."""
    reader: str = options.by
    return confirmation.table == options.table and confirmation.name.casefold() == reader.strip().casefold()


def _told(saved: "Case", done: "TableConfirmation | None", terminal: Terminal) -> ExitCode:
    from hazardreport.app.problem_lines import problem_texts
    from hazardreport.assess.confirmations import confirmation_problems
    from hazardreport.standards.confirmed import compared

    found = [(compared(one), one) for one in saved.confirmations if done is not None and one.id == done.id]
    for comparison, one in found:
        terminal.say(
            wording.sentence(
                "cli.confirm_table.done",
                id=one.id,
                revision=saved.revision,
                table=one.table,
                agreeing=len(comparison.agreeing),
                compared=comparison.compared,
                cells=comparison.cells,
            )
        )
    problems = [problem for problem in confirmation_problems(saved) if done is not None and problem.id == done.id]
    for problem in problems:
        terminal.say("\n".join(problem_texts(problem)))
    return ExitCode.INCOMPLETE_OR_CHANGED if problems else ExitCode.DONE
