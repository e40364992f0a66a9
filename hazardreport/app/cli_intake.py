"""The commands that copy files into a case, byte for byte: pictures, and anything else as attachment."""

import argparse
from collections.abc import Callable
from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.cli_commands import edited, told
from hazardreport.app.terminal import Terminal
from hazardreport.errors import ExitCode

if TYPE_CHECKING:
    from hazardreport.case.case import Case
    from hazardreport.evidence.batch import Taken, Wanted


def add_pictures(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """Pictures copied into the case; each that is refused is told, the others are taken."""
    from hazardreport.evidence.batch import Wanted

    return _taken_in(options, terminal, Wanted.PICTURES, "add_pictures")


def attach(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """Files of any kind copied into the case as they are; each that is refused is told, the others are taken."""
    from hazardreport.evidence.batch import Wanted

    return _taken_in(options, terminal, Wanted.ATTACHMENTS, "attach")


def _taken_in(options: argparse.Namespace, terminal: Terminal, wanted: "Wanted", command: str) -> ExitCode:
    from hazardreport.evidence.batch import Taken, destination, take_in_many, with_taken
    from hazardreport.storage import layout

    taken = Taken()
    folders = options.case / layout.PICTURES, options.case / layout.ATTACHMENTS

    def edit(case: "Case") -> "Case":
        nonlocal taken
        place = destination(case, *folders, wanted, terminal.now())
        taken = take_in_many(options.files, place, _progress(terminal))
        return with_taken(case, taken)

    saved = edited(options.case, terminal, edit)
    taken.settled.done()
    _tell(taken, terminal)
    count = len(taken.pictures) + len(taken.attachments)
    ending = "done" if count else "none"
    terminal.say(
        wording.sentence(f"cli.{command}.{ending}", taken=count, total=len(options.files), revision=saved.revision)
    )
    return max((error.exit_code for error in taken.refused), default=ExitCode.DONE)


def _progress(terminal: Terminal) -> Callable[[int, int], None]:
    """Says how many files have been looked at, once for each number."""
    last = 0

    def say(done: int, total: int) -> None:
        nonlocal last
        if done > last:
            last = done
            terminal.progress(wording.sentence("cli.program.files_done", done=done, total=total))

    return say


def _tell(taken: "Taken", terminal: Terminal) -> None:
    for name, known in taken.known:
        terminal.warn(wording.sentence("cli.program.known", file=name, id=known))
    for error in (*taken.remarks, *taken.refused):
        terminal.warn(told(error))
