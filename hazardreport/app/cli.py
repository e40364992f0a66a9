"""The program without a window: one word for each thing that can be done.

The answer goes to standard output, progress and errors as sentences to standard error. Nothing here imports Qt, and a
room is imported only by the command that needs it, so that help comes at once.
"""

import argparse
import os
import sys
import traceback
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NoReturn, TextIO

import hazardreport
from hazardreport import wording
from hazardreport.app import cli_commands as commands
from hazardreport.app import cli_evidence as evidence
from hazardreport.app import cli_intake as intake
from hazardreport.app import cli_log as history
from hazardreport.app.cli_keys import add_keys_command
from hazardreport.app.cli_letters import add_letter_commands
from hazardreport.app.cli_tables import add_table_command
from hazardreport.app.terminal import Clock, Terminal, author_from, clock_from, debug_wanted
from hazardreport.case.personal import Person
from hazardreport.errors import (
    CouldNotReadError,
    CouldNotWriteError,
    ExitCode,
    HazardReportError,
    NeitherCommandNorCaseError,
    UsageError,
)
from hazardreport.resources_dir import RESOURCES

Command = Callable[[argparse.Namespace, Terminal], ExitCode]
PAPERS = ("a4", "letter")


class _Help(argparse.RawDescriptionHelpFormatter):
    """Help whose list of commands begins with the first of them; the word for all of them stands in the usage."""

    def _format_action(self, action: argparse.Action) -> str:
        text = super()._format_action(action)
        return text.partition("\n")[2] if isinstance(action, argparse._SubParsersAction) else text


class _Parser(argparse.ArgumentParser):
    """argparse that speaks to a given stream and raises our own error."""

    stream: TextIO = sys.stdout

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(formatter_class=_Help, allow_abbrev=False, **kwargs)

    def _print_message(self, message: str, file: Any = None) -> None:
        self.stream.write(message)

    def error(self, message: str) -> NoReturn:
        raise UsageError(message=message, command=self.prog)


def _addressees() -> str:
    """Keys of all addressees: the names of the files, so that help need not read them."""
    return ", ".join(sorted(path.stem for path in (RESOURCES / "profiles").glob("*/*.toml")))


def _parser(out: TextIO) -> _Parser:
    text = wording.sentence

    class Parser(_Parser):
        stream = out

    parser = Parser(
        prog="hazardreport",
        description=text("cli.program.description"),
        epilog=text("cli.program.epilog"),
    )
    parser.add_argument(
        "--version", action="version", version=text("cli.program.version", version=hazardreport.__version__)
    )
    parser.add_argument("--debug", action="store_true", help=text("cli.program.debug"))
    subparsers = parser.add_subparsers(
        dest="command",
        required=True,
        metavar="command",
        title=text("cli.program.commands"),
    )

    def add(name: str, command: Command, *, long: bool = False) -> _Parser:
        entry = name.replace("-", "_")
        example = wording.sentence("cli.program.example", example=wording.template(f"cli.{entry}.example"))
        summary = wording.template(f"cli.{entry}.help")
        sub = subparsers.add_parser(name, help=summary, description=summary, epilog=example)
        sub.set_defaults(run=command, quiet=False, author="")
        if name in CHANGING:
            sub.add_argument("--author", default="", metavar="NAME", help=text("cli.program.author"))
        if long:
            sub.add_argument("--quiet", action="store_true", help=text("cli.program.quiet"))
        return sub

    _add_case_commands(add)
    _add_reading_commands(add)
    _add_evidence_commands(add)
    _add_log_commands(add)
    add_letter_commands(add, _addressees())
    add_table_command(add)
    add_keys_command(add)
    return parser


def _add_case_commands(add: Callable[..., _Parser]) -> None:
    text = wording.sentence
    sub = add("open", commands.open_window)
    sub.add_argument("path", type=Path, metavar="CASE", help=text("cli.open.path"))
    sub = add("new", commands.new)
    sub.add_argument("folder", type=Path, metavar="FOLDER", help=text("cli.new.folder"))
    sub.add_argument("--title", default="", help=text("cli.new.title"))
    sub.add_argument("--unit-sheet", type=Path, metavar="FILE.toml", help=text("cli.new.unit_sheet"))
    sub = add("copy-demo", commands.copy_demo)
    sub.add_argument("folder", type=Path, metavar="FOLDER", help=text("cli.copy_demo.folder"))
    sub = add("import-unit", commands.import_unit)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.import_unit.case"))
    sub.add_argument("file", type=Path, metavar="FILE.toml", help=text("cli.import_unit.file"))
    sub = add("import-readings", commands.import_readings)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.import_readings.case"))
    sub.add_argument("file", type=Path, metavar="FILE.csv", help=text("cli.import_readings.file"))
    for name, command in (("add-pictures", intake.add_pictures), ("attach", intake.attach)):
        entry = name.replace("-", "_")
        sub = add(name, command, long=True)
        sub.add_argument("case", type=Path, metavar="CASE", help=text(f"cli.{entry}.case"))
        sub.add_argument("files", type=Path, metavar="FILE", nargs="+", help=text(f"cli.{entry}.files"))


def _add_reading_commands(add: Callable[..., _Parser]) -> None:
    text = wording.sentence
    sub = add("assess", commands.assess, long=True)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.assess.case"))
    sub.add_argument("--json", action="store_true", help=text("cli.assess.json"))
    sub = add("check", commands.check)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.check.case"))
    sub.add_argument(
        "--for",
        dest="addressee",
        default="",
        metavar="KEY",
        help=text("cli.check.addressee", keys=_addressees()),
    )
    sub = add("export", commands.export, long=True)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.export.case"))
    sub.add_argument(
        "--for",
        dest="addressee",
        required=True,
        metavar="KEY",
        help=text("cli.export.addressee", keys=_addressees()),
    )
    sub.add_argument("--out", type=Path, required=True, metavar="FILE.pdf", help=text("cli.export.out"))
    sub.add_argument("--paper", choices=PAPERS, default="", help=text("cli.export.paper"))


def _add_evidence_commands(add: Callable[..., _Parser]) -> None:
    text = wording.sentence
    sub = add("pack", evidence.pack, long=True)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.pack.case"))
    sub.add_argument("--out", type=Path, required=True, metavar="FILE.zip", help=text("cli.pack.out"))
    sub.add_argument("--for-publication", action="store_true", help=text("publication.command.help"))
    sub = add("unpack", evidence.unpack, long=True)
    sub.add_argument("file", type=Path, metavar="FILE.zip", help=text("cli.unpack.file"))
    sub.add_argument("--into", type=Path, required=True, metavar="FOLDER", help=text("cli.unpack.into"))
    sub = add("verify", evidence.verify)
    sub.add_argument("case", type=Path, metavar="CASE|FILE.zip", help=text("cli.verify.case"))


def _add_log_commands(add: Callable[..., _Parser]) -> None:
    text = wording.sentence
    sub = add("log", history.log)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.log.case"))
    sub.add_argument("--all", action="store_true", help=text("cli.log.all"))
    sub = add("anchor", history.anchor)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.anchor.case"))
    sub.add_argument("--kind", choices=tuple(history.KINDS), required=True, help=text("cli.anchor.kind"))
    sub.add_argument("--with", dest="whom", required=True, metavar="WHOM", help=text("cli.anchor.whom"))
    sub.add_argument("--revision", type=int, metavar="N", help=text("cli.anchor.revision"))
    sub.add_argument("--head", default="", metavar="HASH", help=text("cli.anchor.head"))
    sub.add_argument("--when", default="", metavar="TIME", help=text("cli.anchor.when"))
    sub.add_argument("--reference", default="", metavar="TEXT", help=text("cli.anchor.reference"))
    sub.add_argument("--attachment", default="", metavar="ID", help=text("cli.anchor.attachment"))
    sub = add("erase", history.erase)
    sub.add_argument("case", type=Path, metavar="CASE", help=text("cli.erase.case"))
    sub.add_argument(
        "--person", action="append", default=[], choices=[one.value for one in Person], help=text("cli.erase.person")
    )
    sub.add_argument("--name", action="append", default=[], metavar="NAME", help=text("cli.erase.name"))
    sub.add_argument("--picture", action="append", default=[], metavar="ID", help=text("cli.erase.picture"))
    sub.add_argument("--attachment", action="append", default=[], metavar="ID", help=text("cli.erase.attachment"))
    sub.add_argument("--recognisable", action="store_true", help=text("cli.erase.recognisable"))


COMMANDS = (
    "open",
    "new",
    "copy-demo",
    "import-unit",
    "import-readings",
    "add-pictures",
    "attach",
    "assess",
    "check",
    "export",
    "pack",
    "unpack",
    "verify",
    "log",
    "anchor",
    "erase",
    "letter",
    "letters",
    "confirm-table",
    "keys",
)

CHANGING = (
    "new",
    "import-unit",
    "import-readings",
    "add-pictures",
    "attach",
    "anchor",
    "erase",
    "letter",
    "confirm-table",
)
"""Commands that make a revision, and take --author."""

WRITING = (*CHANGING, "copy-demo", "export", "pack", "unpack", "letters")


def _with_command(argv: Sequence[str]) -> list[str]:
    """The words with `open` put before a first word that is no command but a path that exists."""
    word = argv[0]
    if word in COMMANDS or word.startswith("-"):
        return list(argv)
    if not Path(word).exists():
        raise NeitherCommandNorCaseError(word=word, commands=", ".join(COMMANDS))
    return ["open", *argv]


def _refused(error: OSError, command: str) -> HazardReportError:
    """What the system refused, as an error with a sentence: a file to be read, one to be written, or the answer itself.

    Only the streams of the answer have no file name.
    """
    reason = error.strerror or str(error)
    path = str(error.filename or wording.sentence("cli.program.answer"))
    if command in WRITING or error.filename is None:
        return CouldNotWriteError(path=path, reason=reason)
    return CouldNotReadError(path=path, reason=reason)


def _report_defect(error: BaseException, err: TextIO, *, debug: bool) -> None:
    if debug:
        traceback.print_exception(error, file=err)
    kind = type(error).__name__
    err.write(wording.sentence("cli.defect.what", version=hazardreport.__version__, kind=kind) + "\n")
    err.write(wording.sentence("cli.defect.remedy") + "\n")


def _let_go(out: TextIO) -> None:
    """Send what is left of an answer nowhere if it cannot be written, so that the flush at exit does not fail again."""
    try:
        out.flush()
    except OSError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, out.fileno())
        os.close(nowhere)


def run(argv: Sequence[str], out: TextIO, err: TextIO, *, clock: Clock | None = None) -> int:
    """Exit code after doing what the words ask for; without words the window opens.

    Parameters
    ----------
    argv : sequence of str
        Words after the program's name.
    out, err : text streams
        For the answer; for progress and errors.
    clock : callable, optional
        Present time; else the computer's, or SOURCE_DATE_EPOCH.
    """
    debug = debug_wanted() or "--debug" in argv
    wanted = [word for word in argv if word != "--debug"]
    try:
        if not wanted:
            return int(commands.start_window([]))
        options = _parser(out).parse_args(_with_command(wanted))
        terminal = Terminal(
            out=out,
            err=err,
            clock=clock or clock_from(os.environ),
            quiet=options.quiet,
            author=options.author.strip() or author_from(),
        )
        command: Command = options.run
        with terminal.at_end:
            code = int(command(options, terminal))
        out.flush()
        return code
    except HazardReportError as error:
        err.write(wording.what(error) + "\n" + wording.remedy(error) + "\n")
        return int(error.exit_code)
    except BrokenPipeError:
        _let_go(out)
        return int(ExitCode.DONE)
    except OSError as error:
        _let_go(out)
        refused = _refused(error, wanted[0])
        err.write(wording.what(refused) + "\n" + wording.remedy(refused) + "\n")
        return int(refused.exit_code)
    except SystemExit as finished:
        return int(finished.code or 0)
    except KeyboardInterrupt:
        err.write(wording.sentence("cli.defect.stopped") + "\n")
        return int(ExitCode.INCOMPLETE_OR_CHANGED)
    except Exception as error:  # noqa: BLE001 - the outermost door: a defect becomes a sentence and exit code 70
        _report_defect(error, err, debug=debug)
        return int(ExitCode.DEFECT)
