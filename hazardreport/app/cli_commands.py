"""One function for each command; those that only read (assess, check, export) never write into the case."""

import argparse
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.terminal import Terminal
from hazardreport.errors import (
    CaseFileChangedError,
    CaseFileDamagedError,
    CaseOpenElsewhereError,
    CaseReadOnlyError,
    CouldNotWriteError,
    ExitCode,
    FileInTheWayError,
    HazardReportError,
    ManifestDamagedError,
    ManifestMissingError,
    NewerCaseReadOnlyError,
    NoCaseError,
    NoScreenError,
    NothingThereError,
    UnsavedWorkRecoveredError,
)
from hazardreport.resources_dir import DEMO_CASE

if TYPE_CHECKING:
    from hazardreport.addressees.completeness import ElementState
    from hazardreport.assess.records import Assessment
    from hazardreport.case.case import Case
    from hazardreport.storage.folder import OpenedCase

NOT_AS_SAVED = (CaseFileChangedError, CaseFileDamagedError)
NOT_BY_THIS_COMMAND = (CaseFileChangedError, UnsavedWorkRecoveredError)
"""Problems that mean a difference which whoever calls a command did not make: it becomes a revision of its own."""

CANNOT_BE_CHECKED = (ManifestMissingError, ManifestDamagedError)


def start_window(argv: Sequence[str]) -> int:
    """Exit code of the window, once it has been closed."""
    screens = ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    if sys.platform.startswith("linux") and not any(os.environ.get(name) for name in screens):
        raise NoScreenError(reason=wording.sentence("cli.open.no_display"))
    try:
        from hazardreport.app.main import main
    except ImportError as error:
        raise NoScreenError(reason=str(error)) from error
    return main(list(argv))


def open_window(options: argparse.Namespace, terminal: Terminal) -> int:
    """The window with one case in it."""
    if not options.path.exists():
        raise NoCaseError(path=str(options.path))
    return start_window([str(options.path)])


def new(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """A new case, and a sheet for its unit if asked for."""
    from hazardreport.case.case import Case
    from hazardreport.storage import files
    from hazardreport.storage.folder import create_case
    from hazardreport.storage.unit_sheet_template import unit_sheet_template

    sheet: Path | None = options.unit_sheet
    if sheet is not None and sheet.exists():
        raise FileInTheWayError(path=str(sheet))
    if sheet is not None and not sheet.parent.is_dir():
        raise CouldNotWriteError(path=str(sheet), reason=wording.sentence("cli.export.no_folder", folder=sheet.parent))
    now = terminal.clock()
    case = Case(id=now.strftime("case-%Y%m%d-%H%M%S"), title=options.title, created=terminal.now())
    saved = create_case(options.folder, case, author=terminal.author, time=terminal.now())
    told_of_nameless_log(terminal)
    terminal.say(wording.sentence("cli.new.done", id=saved.id, folder=options.folder))
    if sheet is not None:
        files.write_atomically(sheet, unit_sheet_template().encode())
        terminal.say(wording.sentence("cli.new.sheet", file=sheet, folder=options.folder))
    return ExitCode.DONE


def copy_demo(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """A copy of the demo case in a folder of its own."""
    from hazardreport.storage.folder import copy_case

    copy_case(DEMO_CASE, options.folder)
    terminal.say(wording.sentence("cli.copy_demo.done", folder=options.folder))
    return ExitCode.DONE


def import_unit(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The case with what its unit sheet says; what cannot be or contradicts itself by it is told, and kept."""
    from hazardreport.app.problem_lines import problem_texts
    from hazardreport.assess.record_problems import record_problems
    from hazardreport.storage.unit_sheet import read_unit_sheet

    changed = False
    odd: list[str] = []

    def edit(case: "Case") -> "Case":
        nonlocal changed
        after = read_unit_sheet(case, options.file)
        changed = after != case
        known = record_problems(case)
        new = (problem for problem in record_problems(after) if not problem.gentle and problem not in known)
        odd.extend(" ".join(problem_texts(problem)) for problem in new)
        return after

    saved = edited(options.case, terminal, edit)
    key = "cli.import_unit.done" if changed else "cli.import_unit.nothing_new"
    terminal.say(wording.sentence(key, file=options.file, revision=saved.revision))
    for told_once in odd:
        terminal.warn(wording.sentence("cli.import_unit.odd", told=told_once))
    return ExitCode.DONE


def import_readings(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The case with the readings of a bench sheet added."""
    from hazardreport.storage.bench_sheet import read_bench_sheet

    before, known = 0, 0

    def edit(case: "Case") -> "Case":
        nonlocal before, known
        before = len(case.readings)
        after = read_bench_sheet(case, options.file)
        there = {replace(reading, id="") for reading in case.readings}
        new = tuple(one for one in after.readings[before:] if replace(one, id="") not in there)
        known = len(after.readings) - before - len(new)
        return replace(after, readings=(*case.readings, *new))

    saved = edited(options.case, terminal, edit)
    count = len(saved.readings) - before
    if known:
        terminal.warn(wording.sentence(f"cli.import_readings.known_{'one' if known == 1 else 'many'}", count=known))
    done = f"cli.import_readings.done_{'one' if count == 1 else 'many'}"
    terminal.say(wording.sentence(done, count=count, revision=saved.revision, total=len(saved.readings)))
    return ExitCode.DONE


def assess(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """How dangerous the unit is, as text or as JSON."""
    opened = opened_for_reading(options.case, terminal)
    terminal.progress(wording.sentence("cli.assess.progress"))
    assessment = _assessed(opened.case)
    if options.json:
        from hazardreport.app.assessment_json import assessment_json

        terminal.out.write(assessment_json(opened.case, assessment))
    else:
        from hazardreport.app.cli_summary import summary

        terminal.out.write(summary(opened.case, assessment, str(options.case)))
    return ExitCode.DONE


def check(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """What the addressee asks for and how each element stands; without one, whom the four answers propose."""
    from hazardreport.addressees.completeness import element_states
    from hazardreport.addressees.profiles import profile
    from hazardreport.app.cli_check import completeness, overview

    addressee = profile(options.addressee) if options.addressee else None
    opened = opened_for_reading(options.case, terminal)
    assessment = _assessed(opened.case)
    if addressee is None:
        text, whole = overview(opened.case, assessment)
    else:
        states = element_states(opened.case, addressee, assessment)
        text, whole = completeness(opened.case, addressee, states), all(state.complete for state in states)
    terminal.out.write(text)
    return ExitCode.DONE if whole else ExitCode.INCOMPLETE_OR_CHANGED


def export(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The report for one addressee as a file.

    A record that is not as it was saved is not reported on. A picture that is not the one taken in is named, not shown.
    """
    from hazardreport.addressees.completeness import gaps
    from hazardreport.addressees.profiles import profile
    from hazardreport.app.report_log import report_log
    from hazardreport.app.report_pictures import picture_bytes, withheld_pictures
    from hazardreport.report.build import report_document
    from hazardreport.report.pdf.draw import draw_pdf
    from hazardreport.storage import files

    addressee = profile(options.addressee)
    opened = opened_for_reading(options.case, terminal)
    if any(isinstance(problem, NOT_AS_SAVED) for problem in opened.problems):
        terminal.warn(wording.sentence("cli.export.not_as_saved", folder=options.case))
        return ExitCode.INCOMPLETE_OR_CHANGED
    refuse_to_write_into(options.case, options.out)
    pictures = opened.folder / "pictures"
    withheld = withheld_pictures(opened.case, pictures)
    terminal.progress(wording.sentence("cli.export.assessing"))
    assessment = _assessed(opened.case)
    terminal.progress(wording.sentence("cli.export.building"))
    paper = options.paper or addressee.paper
    document = report_document(
        opened.case,
        assessment,
        addressee,
        created=terminal.now(),
        paper=paper,
        withheld=withheld,
        log=report_log(opened.folder),
    )
    terminal.progress(wording.sentence("cli.export.drawing"))
    files.write_atomically(options.out, draw_pdf(document, picture_bytes(opened.case, pictures, withheld)))
    _exported(options.out, gaps(opened.case, addressee, assessment), terminal)
    for reason in withheld.values():
        terminal.warn(reason)
    doubtful = withheld or any(isinstance(problem, CANNOT_BE_CHECKED) for problem in opened.problems)
    return ExitCode.INCOMPLETE_OR_CHANGED if doubtful else ExitCode.DONE


def told(error: HazardReportError) -> str:
    return f"{wording.what(error)}\n{wording.remedy(error)}"


def case_folder(path: Path, terminal: Terminal) -> Path:
    """The folder of a case; that of a pack is a temporary one, gone after the command."""
    if not path.exists():
        raise NothingThereError(path=str(path))
    if not path.is_file():
        return path
    from hazardreport.app.opening import unpacked_for_a_look

    unpacked = unpacked_for_a_look(path, terminal.at_end)
    for remark in unpacked.remarks:
        terminal.warn(told(remark))
    return unpacked.folder


def opened_for_reading(path: Path, terminal: Terminal) -> "OpenedCase":
    """The case of a folder or of a pack, only to read: nothing is written there, not even a lock."""
    from hazardreport.storage.folder import open_case

    opened = open_case(case_folder(path, terminal), for_writing=False)
    for problem in opened.problems:
        terminal.warn(told(problem))
    return opened


@contextmanager
def for_writing(folder: Path, terminal: Terminal) -> Iterator["OpenedCase"]:
    """The case of a folder that may be written to, as long as the block lasts; otherwise the reason is raised."""
    from hazardreport.storage.folder import open_case

    opened = open_case(folder)
    try:
        for problem in opened.problems:
            if isinstance(problem, CaseReadOnlyError):
                raise CouldNotWriteError(path=problem.path, reason=problem.reason)
            if isinstance(problem, CaseOpenElsewhereError | NewerCaseReadOnlyError):
                raise problem
            terminal.warn(told(problem))
        yield opened
    finally:
        opened.close()


def edited(folder: Path, terminal: Terminal, edit: Callable[["Case"], "Case"]) -> "Case":
    """The case after an edit, saved if it changed anything."""
    from hazardreport.storage.folder import save_case
    from hazardreport.storage.journal import clear_journal

    with for_writing(folder, terminal) as opened:
        after = edit(opened.case)
        if after == opened.case:
            return after
        if any(isinstance(problem, NOT_BY_THIS_COMMAND) for problem in opened.problems):
            save_case(opened.case, folder, time=terminal.now())
            terminal.warn(wording.sentence("cli.program.apart"))
        saved = save_case(after, folder, author=terminal.author, time=terminal.now())
        clear_journal(folder)
        told_of_nameless_log(terminal)
        return saved


def told_of_nameless_log(terminal: Terminal) -> None:
    """After a revision was made: whether the log says by whom."""
    if not terminal.author:
        terminal.warn(wording.sentence("cli.program.nobody_named"))


def _assessed(case: "Case") -> "Assessment":
    from hazardreport.assess.assessment import assess as assessment_of

    return assessment_of(case)


def refuse_to_write_into(case: Path, out: Path) -> None:
    """Before the long work: a folder that is not there, the case's own folder, something that is no file."""
    if out.resolve().is_relative_to(case.resolve()):
        raise CouldNotWriteError(path=str(out), reason=wording.sentence("cli.export.inside_case"))
    if not out.parent.is_dir():
        raise CouldNotWriteError(path=str(out), reason=wording.sentence("cli.export.no_folder", folder=out.parent))
    if out.exists() and not out.is_file():
        raise CouldNotWriteError(path=str(out), reason=wording.sentence("cli.export.no_file"))


def _exported(out: Path, missing: "tuple[ElementState, ...]", terminal: Terminal) -> None:
    if not missing:
        terminal.say(wording.sentence("cli.export.done", file=out))
        return
    key = "cli.export.gaps_one" if len(missing) == 1 else "cli.export.gaps_many"
    names = ", ".join(state.element.name for state in missing)
    terminal.say(wording.sentence(key, file=out, count=len(missing), gaps=names))
