"""The commands about who changed what: log, anchor, erase."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.cli_anchors import tell_anchors
from hazardreport.app.cli_commands import case_folder, edited, for_writing, told_of_nameless_log
from hazardreport.app.terminal import Terminal
from hazardreport.case.custody import Anchor, AnchorKind
from hazardreport.errors import AnchorRefusedError, ExitCode, UsageError
from hazardreport.evidence.moments import is_later
from hazardreport.evidence.names import shown

if TYPE_CHECKING:
    from hazardreport.case.case import Case
    from hazardreport.review.chain import Chain, Revision

KINDS = {"sent": AnchorKind.SENT, "countersigned": AnchorKind.COUNTERSIGNED, "time-stamp": AnchorKind.TIME_STAMP}


def log(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """Every revision: number, time, author, what changed, hash; then whose hands a hash is in."""
    from hazardreport.review.changes import changes_of, field_by_field, line, told

    chain = _chain(case_folder(options.case, terminal))
    if not chain.revisions:
        terminal.say(wording.sentence("cli.log.none"))
        return ExitCode.INCOMPLETE_OR_CHANGED if chain.problems else ExitCode.DONE
    for revision, changes in zip(chain.revisions, changes_of(chain), strict=True):
        erased = wording.sentence("cli.log.author_erased", hash=revision.author_hash[:8])
        nobody = erased if revision.author_hash else wording.sentence("cli.log.nobody")
        terminal.say(
            wording.sentence(
                "cli.log.revision", number=revision.number, time=revision.time, author=shown(revision.author) or nobody
            )
        )
        terminal.say("  " + told(revision, changes))
        terminal.say("  " + wording.sentence("cli.log.hash", sha256=revision.sha256))
        if options.all:
            for change in field_by_field(changes):
                terminal.say("    " + line(change))
    for problem in chain.problems:
        terminal.warn(wording.what(problem) + "\n" + wording.remedy(problem))
    tell_anchors(chain, terminal)
    return ExitCode.INCOMPLETE_OR_CHANGED if chain.problems else ExitCode.DONE


def _chain(folder: Path) -> "Chain":
    from hazardreport.review.integrity import check_log

    return check_log(folder)


def anchor(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The case says in whose hands the hash of a revision is; refused if the log has another hash for it."""
    from hazardreport.case.edits import next_id, record_anchor

    revisions = {revision.number: revision for revision in _chain(options.case).revisions}
    number = options.revision or max(revisions, default=0)
    when = options.when or terminal.now()
    if reason := _not_so(options, revisions, number, when, terminal.now()):
        raise AnchorRefusedError(reason=reason)
    head = revisions[number].sha256

    def edit(case: "Case") -> "Case":
        return record_anchor(
            case,
            Anchor(
                id=next_id("anchor", (one.id for one in case.anchors)),
                kind=KINDS[options.kind],
                revision=number,
                head=head,
                whom=options.whom,
                when=when,
                reference=options.reference,
                attachment=options.attachment,
            ),
        )

    saved = edited(options.case, terminal, edit)
    terminal.say(
        wording.sentence("cli.anchor.done", number=number, head=head, whom=options.whom, revision=saved.revision)
    )
    return ExitCode.DONE


def _not_so(options: argparse.Namespace, revisions: "dict[int, Revision]", number: int, when: str, now: str) -> str:
    """Why what is said of a hash that was handed over cannot be so, "" if it can."""
    if not revisions:
        return wording.sentence("cli.log.none")
    if number not in revisions:
        return wording.sentence("cli.anchor.no_revision", number=number)
    found = revisions[number]
    if not found.sha256.startswith(options.head.lower().replace(" ", "")):
        return wording.sentence("cli.anchor.other_hash", number=number, head=found.sha256)
    if not options.whom.strip():
        return wording.sentence("cli.anchor.no_whom")
    if is_later(found.time, when):
        return wording.sentence("cli.anchor.earlier", when=when, number=number, saved=found.time)
    return wording.sentence("cli.anchor.later", when=when, now=now) if is_later(when, now) else ""


def erase(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The case without one person; the log keeps its hashes and stays valid."""
    from hazardreport.case.personal import Person
    from hazardreport.review.changes import places_with
    from hazardreport.storage.erasing import Wish, recognisable_pictures
    from hazardreport.storage.erasing import erase as erased
    from hazardreport.storage.revision import Signature

    if not (options.person or options.name or options.picture or options.attachment or options.recognisable):
        raise UsageError(message=wording.sentence("cli.erase.nothing_asked"), command="hazardreport erase")
    with for_writing(options.case, terminal) as opened:
        case = opened.case
        pictures = frozenset(options.picture) | (recognisable_pictures(case) if options.recognisable else frozenset())
        reason = wording.sentence("cli.erase.reason", day=terminal.now()[:10])
        wish = Wish(
            persons=frozenset(Person(name) for name in options.person),
            pictures=pictures,
            attachments=frozenset(options.attachment),
            authors=frozenset(options.name),
            words=tuple(options.name),
            reason=reason,
        )
        saved = erased(case, options.case, wish, Signature(author=terminal.author, time=terminal.now()))
    left = places_with(saved, options.name)
    nothing = saved.revision == case.revision
    if nothing and not left:
        terminal.warn(wording.sentence("cli.erase.nothing_found"))
        return ExitCode.INCOMPLETE_OR_CHANGED
    if not nothing:
        told_of_nameless_log(terminal)
        terminal.say(wording.sentence("cli.erase.done", revision=saved.revision))
        terminal.say(wording.sentence("cli.erase.not_searched"))
        terminal.say(wording.sentence("cli.erase.out_of_reach"))
    if left:
        terminal.warn(wording.sentence("cli.erase.still_there", places=", ".join(left)))
    return ExitCode.INCOMPLETE_OR_CHANGED if left else ExitCode.DONE
