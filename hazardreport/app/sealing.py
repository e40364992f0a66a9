"""Work of the Case menu that runs in jobs; knows no widget."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from hazardreport.app.jobs import Control
from hazardreport.case.case import Case
from hazardreport.case.custody import Anchor
from hazardreport.case.edits import record_anchor

if TYPE_CHECKING:
    from hazardreport.case.publication import Published
    from hazardreport.evidence.batch import Destination, Taken
    from hazardreport.review.chain import Chain
    from hazardreport.review.record_changes import Change
    from hazardreport.storage.pack import Packed
    from hazardreport.storage.publication import PackedPublication


@dataclass(frozen=True, kw_only=True, slots=True)
class LogRead:
    """The log of a case and the changes of each revision."""

    chain: "Chain"
    changes: "tuple[tuple[Change, ...], ...]"

    @property
    def anchored(self) -> Anchor | None:
        """The anchor that covers all that the case says now."""
        from hazardreport.review.anchoring import anchor_of_now

        return anchor_of_now(self.chain, self.changes)


def now() -> str:
    """The time, ISO 8601 UTC."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def log_read(folder: Path) -> LogRead:
    """The log of a case; no picture is read."""
    from hazardreport.review.changes import changes_of
    from hazardreport.review.integrity import check_log

    chain = check_log(folder)
    return LogRead(chain=chain, changes=changes_of(chain))


def packed(control: Control, folder: Path, out: Path, overwrite: bool) -> "Packed":
    """The case as one file."""
    from hazardreport.storage.pack import pack_case

    return pack_case(folder, out, created=now(), overwrite=overwrite, step=control.step)


def publication(folder: Path) -> "Published":
    """What a publication of the saved case would be; nothing is written."""
    from hazardreport.storage.publication import published_folder

    return published_folder(folder)


def packed_publication(folder: Path, out: Path, overwrite: bool) -> "PackedPublication":
    """The publication of the case as one file."""
    from hazardreport.storage.publication import pack_publication

    return pack_publication(folder, out, created=now(), overwrite=overwrite)


def recovered_changes(folder: Path, case: Case) -> tuple[Case, tuple[str, ...]]:
    """The case as it was saved, and what the journal made of it, in lines."""
    from hazardreport.app.opening import saved_beside
    from hazardreport.review.changes import changes_between, line

    saved = saved_beside(folder)
    return saved, tuple(line(change) for change in changes_between(saved, case))


def place_for_attachment(case: Case, folder: Path) -> "Destination":
    """Where a file goes that belongs to an anchor."""
    from hazardreport.evidence.batch import Wanted, destination
    from hazardreport.storage.layout import ATTACHMENTS, PICTURES

    return destination(case, folder / PICTURES, folder / ATTACHMENTS, Wanted.ATTACHMENTS, now())


def with_anchor(case: Case, anchor: Anchor, taken: "Taken | None") -> Case:
    """Case with an anchor, and with the file that belongs to it."""
    from hazardreport.evidence.batch import with_taken

    if taken is None:
        return record_anchor(case, anchor)
    ids = [one.id for one in taken.attachments] + [known for _, known in taken.known]
    return record_anchor(with_taken(case, taken), replace(anchor, attachment=ids[0]))
