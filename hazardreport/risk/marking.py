"""Texts of tables with their status beside them, wherever they are printed."""

from hazardreport import wording
from hazardreport.quantity.trace import Source, Status


def marked(text: str, source: Source | Status | None) -> str:
    """A text with the status of its cell in brackets, unless that is confirmed.

    >>> marked("serious", Status.FROM_MEMORY), marked("low", Status.CONFIRMED)
    ('serious (table cell from memory)', 'low')
    """
    status = source.status if isinstance(source, Source) else source
    if status is None or status is Status.CONFIRMED or not text:
        return text
    return wording.sentence(f"risk.marked.{status.name.lower()}", text=text)
