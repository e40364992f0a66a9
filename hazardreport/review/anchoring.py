"""Whether the newest state of a case is in other hands by its hash."""

from collections.abc import Sequence

from hazardreport.case.custody import Anchor
from hazardreport.review.chain import Chain
from hazardreport.review.record_changes import Change

_OF_ANCHORING = ("anchors", "attachments")


def anchor_of_now(chain: Chain, changes: Sequence[Sequence[Change]]) -> Anchor | None:
    """The anchor that covers all that the case says now; None if there is none.

    An anchor is recorded in the revision after the one that it fixes; so revisions that add only anchors, and the files
    that belong to them, count for nothing here. An anchor whose hash is not the one of the log covers nothing.

    Parameters
    ----------
    chain : Chain
        The log.
    changes : sequence
        Of each revision, as `changes_of` gives them.
    """
    true = [one.anchor for one in chain.anchors if one.confirmed]
    if chain.problems or not true:
        return None
    last = max(true, key=lambda anchor: anchor.revision)
    later = [
        change
        for revision, of_this in zip(chain.revisions, changes, strict=True)
        if revision.number > last.revision
        for change in of_this
    ]
    return last if all(change.kind in _OF_ANCHORING for change in later) else None
