"""The command that makes a publication, and what it tells the person who answers for it."""

import argparse
import re
from collections import Counter
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.terminal import Terminal
from hazardreport.case.circumstances import Answer
from hazardreport.errors import ExitCode

if TYPE_CHECKING:
    from hazardreport.case.publication import Published, Withheld


def pack_for_publication(options: argparse.Namespace, terminal: Terminal) -> ExitCode:
    """The publication of the case as one file; 1 if the case has pictures and none of them is in it."""
    from hazardreport.storage.publication import pack_publication

    terminal.progress(wording.sentence("publication.command.progress"))
    made = pack_publication(options.case, options.out, created=terminal.now())
    info, published = made.packed.info, made.published
    of = len(published.originals) + sum(one.place.startswith("pictures[") for one in _pictures(published))
    terminal.say(
        wording.sentence(
            "publication.command.done",
            file=options.out,
            revision=info.revision,
            count=info.streams,
            pictures=len(published.originals),
            of=of,
        )
    )
    terminal.say(wording.sentence("publication.command.derived", derived=info.derived))
    for line in (*_withheld(published.withheld), *_replaced(published)):
        terminal.say(line)
    for line in _cautions(published, terminal.clock().astimezone().date()):
        terminal.warn(line)
    if of and not published.originals:
        terminal.warn(wording.sentence("publication.command.none_left"))
        return ExitCode.INCOMPLETE_OR_CHANGED
    return ExitCode.DONE


def about(published: "Published", today: date) -> tuple[list[str], list[str]]:
    """What a publication leaves out and replaces; and what the person must see before it leaves the house."""
    return [*_withheld(published.withheld), *_replaced(published)], _cautions(published, today)


def _pictures(published: "Published") -> "list[Withheld]":
    """Whole pictures that were left out."""
    return [one for one in published.withheld if one.why.name in ("RECOGNISABLE", "NOT_LOOKED_AT")]


def _withheld(withheld: "Iterable[Withheld]") -> list[str]:
    """What was left out, by reason: the same field of many records in one line, files with their hash."""
    kinds: dict[str, list[Withheld]] = {}
    for one in withheld:
        kinds.setdefault(one.why.name.lower(), []).append(one)
    told: list[str] = []
    for why, found in kinds.items():
        told.append(wording.sentence("publication.command.withheld", why=wording.sentence(f"publication.why.{why}")))
        told += [
            wording.sentence("publication.command.file", place=one.place, sha256=one.sha256)
            for one in found
            if one.sha256
        ]
        places = Counter(re.sub(r"\[[^]]*\]", "[]", one.place) for one in found if not one.sha256)
        told += [
            wording.sentence("publication.command.place_many" if count > 1 else "publication.command.place", **fields)
            for place, count in places.items()
            for fields in ({"place": place, "count": count},)
        ]
    return told


def _replaced(published: "Published") -> list[str]:
    if not published.replaced:
        return []
    heading = wording.sentence("publication.command.replaced", by=wording.sentence("publication.withheld"))
    return [
        heading,
        *(
            wording.sentence("publication.command.replaced_in", place=one.place, count=one.count)
            for one in published.replaced
        ),
    ]


def _cautions(published: "Published", today: date) -> list[str]:
    """What the person must see before the publication leaves the house."""
    from hazardreport.addressees.publication_hold import publication_hold
    from hazardreport.case.publication_looks import looks

    told = []
    open_ = [
        one.place.removeprefix("pictures[")[:-1] for one in _pictures(published) if one.why.name == "NOT_LOOKED_AT"
    ]
    if open_:
        told.append(wording.sentence("publication.command.not_looked_at", pictures=", ".join(open_)))
    told += [
        wording.sentence("publication.command.shown_on", place=one.place, picture=one.shown_on)
        for one in published.withheld
        if one.shown_on
    ]
    found = looks(published.case)
    if found:
        told.append(wording.sentence("publication.command.looks"))
        told += [wording.sentence("publication.command.look", place=one.place, text=one.text) for one in found]
    if published.case.consents.publish is not Answer.YES:
        told.append(wording.sentence("publication.command.no_consent"))
    return [*told, *publication_hold(published.case, today).sentences, wording.sentence("publication.command.read_it")]
