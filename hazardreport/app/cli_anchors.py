"""What the commands say about the log of a case as a whole, and about whose hands its hashes are in."""

from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.app.terminal import Terminal

if TYPE_CHECKING:
    from hazardreport.review.chain import Chain


def tell_strays(chain: "Chain", terminal: Terminal) -> None:
    """How many texts no line of the log names, if there are any: no fault, but what they say is still there to read."""
    if chain.strays:
        terminal.say(wording.sentence("cli.verify.strays", count=chain.strays))


def tell_anchors(chain: "Chain", terminal: Terminal) -> None:
    """Which revisions are said to be in somebody else's hands; without any, how little a whole chain proves."""
    if not chain.revisions:
        if not chain.problems:
            terminal.say(wording.sentence("cli.verify.no_log"))
        return
    if chain.published_from:
        head, revision = chain.published_from, chain.revisions[0].number
        terminal.say(wording.sentence("publication.command.verified", revision=revision, head=head))
        return
    confirmed = [one.anchor for one in chain.anchors if one.confirmed]
    for anchor in confirmed:
        terminal.say(
            wording.sentence(
                "cli.verify.anchored",
                revision=anchor.revision,
                kind=anchor.kind.value,
                when=anchor.when,
                whom=anchor.whom or wording.sentence("report.words.not_stated"),
                reference=anchor.reference or wording.sentence("report.words.not_stated"),
            )
        )
    if confirmed:
        terminal.say(wording.sentence("cli.verify.ask_them"))
    elif not chain.anchors:
        terminal.say(wording.sentence("cli.verify.not_anchored", head=chain.head))
