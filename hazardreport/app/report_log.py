"""The log of a case as a report shows it. No Qt here."""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from hazardreport.report.context import RevisionLine


def report_log(folder: Path) -> "tuple[RevisionLine, ...]":
    """Revisions of the case in a folder, in order; none for a case that was never saved with a log.

    Each is told twice, with and without what the texts say: the report takes what its addressee may see.
    """
    from hazardreport.errors import NoCaseError
    from hazardreport.report.context import RevisionLine
    from hazardreport.review.changes import changes_of, told
    from hazardreport.review.integrity import check_log

    try:
        chain = check_log(folder)
    except NoCaseError:
        return ()
    return tuple(
        RevisionLine(
            revision=revision.number,
            time=revision.time,
            author=revision.author,
            changed=told(revision, changes),
            fields=told(revision, changes, texts=False),
            hash=revision.sha256,
        )
        for revision, changes in zip(chain.revisions, changes_of(chain), strict=True)
    )
