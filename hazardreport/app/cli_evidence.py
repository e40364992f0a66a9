"""The commands by which a case is handed on and looked into: pack, unpack, verify. None writes into the case."""

import argparse
from pathlib import Path

from hazardreport import wording
from hazardreport.app.cli_anchors import tell_anchors, tell_strays
from hazardreport.app.cli_commands import refuse_to_write_into, told
from hazardreport.app.cli_publication import pack_for_publication
from hazardreport.app.terminal import Terminal
from hazardreport.errors import (
    ExitCode,
    FileInTheWayError,
    HazardReportError,
    ManifestMissingError,
    NothingThereError,
)
from hazardreport.storage import layout


def pack(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The case, or its publication, as one file, which is a bag in a zip file."""
    from hazardreport.storage.pack import pack_case

    if options.out.exists():
        raise FileInTheWayError(path=str(options.out))
    refuse_to_write_into(options.case, options.out)
    if options.for_publication:
        return pack_for_publication(options, terminal)
    terminal.progress(wording.sentence("cli.pack.progress"))
    packed = pack_case(options.case, options.out, created=terminal.now())
    count, head = packed.info.streams, packed.info.head
    key = "cli.pack.done_one" if count == 1 else "cli.pack.done"
    terminal.say(wording.sentence(key, file=options.out, count=count, revision=packed.info.revision))
    if head:
        terminal.say(wording.sentence("cli.pack.head", head=head))
    terminal.say(wording.sentence("cli.pack.anchored", anchored=packed.info.anchored))
    return ExitCode.DONE


def unpack(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The folder of the case that a pack holds."""
    from hazardreport.storage.unpack import unpack as unpacked

    terminal.progress(wording.sentence("cli.unpack.progress"))
    found = unpacked(options.file, options.into)
    for remark in found.remarks:
        terminal.warn(told(remark))
    terminal.say(wording.sentence("cli.unpack.done", folder=options.into))
    return ExitCode.DONE


def verify(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """Every file of the case, or of the pack, against its hash."""
    path: Path = options.case
    if not path.exists():
        raise NothingThereError(path=str(path))
    return _verify_pack(path, terminal) if path.is_file() else _verify_folder(path, terminal)


def _verify_folder(folder: Path, terminal: Terminal) -> ExitCode:
    from hazardreport.review.integrity import check_folder

    found = check_folder(folder)
    _tell_files([(file.state.name, file.state.value, file.path) for file in found.files], terminal)
    _tell_problems(found.problems, terminal)
    tell_strays(found.chain, terminal)
    if found.whole:
        key = "cli.verify.whole_one" if len(found.files) == 1 else "cli.verify.whole"
        terminal.say(wording.sentence(key, count=len(found.files)))
        tell_anchors(found.chain, terminal)
        return ExitCode.DONE
    no_list = any(isinstance(problem, ManifestMissingError) for problem in found.problems)
    states = [(file.state.name, file.state.value, file.path) for file in found.files]
    _tell_states(states, terminal, no_list=no_list)
    return ExitCode.INCOMPLETE_OR_CHANGED


def _verify_pack(path: Path, terminal: Terminal) -> ExitCode:
    from hazardreport.review.pack_integrity import check_pack
    from hazardreport.storage.faults import listing

    found = check_pack(path)
    states = [(file.state.name, file.state.value, file.path) for file in found.files]
    _tell_files(states, terminal)
    _tell_problems(found.problems, terminal)
    tell_strays(found.chain, terminal)
    if found.container:
        terminal.say(wording.sentence("cli.verify.container", file=path))
        terminal.say(listing(found.container))
        terminal.say(wording.sentence("cli.verify.remedy_container"))
    if found.whole:
        terminal.say(wording.sentence("cli.verify.whole_pack", count=len(found.files)))
        tell_anchors(found.chain, terminal)
        return ExitCode.DONE
    if all(name == "WHOLE" for name, _, _ in states):
        terminal.say(wording.sentence("cli.verify.whole_files", count=len(states)))
    _tell_states(states, terminal)
    return ExitCode.INCOMPLETE_OR_CHANGED


def _tell_files(files: list[tuple[str, str, str]], terminal: Terminal) -> None:
    for _, state, path in files:
        terminal.say(wording.sentence("cli.verify.file", state=state, path=path))


def _tell_problems(problems: tuple[HazardReportError, ...], terminal: Terminal) -> None:
    for problem in problems:
        terminal.warn(told(problem))


def _tell_states(files: list[tuple[str, str, str]], terminal: Terminal, *, no_list: bool = False) -> None:
    """How many files are not whole, and what to do about each kind; without a list of hashes, only that."""
    if no_list:
        manifest = layout.MANIFEST
        terminal.say(wording.sentence("cli.verify.no_list", total=len(files), manifest=manifest))
        return
    wrong = [name for name, _, _ in files if name not in ("WHOLE", "NOT_LISTED")]
    extra = [name for name, _, _ in files if name == "NOT_LISTED"]
    if wrong:
        key = "cli.verify.changed_one" if len(wrong) == 1 else "cli.verify.changed"
        terminal.say(wording.sentence(key, count=len(wrong), total=len(files) - len(extra)))
    if extra:
        key = "cli.verify.extra_one" if len(extra) == 1 else "cli.verify.extra"
        terminal.say(wording.sentence(key, count=len(extra)))
    for name in dict.fromkeys((*wrong, *extra)):
        terminal.say(wording.sentence(f"cli.verify.remedy_{name.lower()}"))
