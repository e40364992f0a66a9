"""Which tables an assessment used: key, table, edition, status and hash, so that it can be repeated years later."""

from collections.abc import Iterable

from hazardreport.quantity.trace import Source, Status, Trace
from hazardreport.standards.tables import Table, all_tables, table

BY_READER = "confirmed by a reader"
PARTLY_BY_READER = "partly confirmed by a reader"


def editions_used(trace: Trace, further: Iterable[Source] = ()) -> tuple[tuple[str, str, str, str, str], ...]:
    """(key, table, edition, status, sha256) of every table that a number of the trace or `further` names, sorted.

    The hash is that of the program's file, confirmed or not: no digit of it differs.
    """
    named = {(source.key, source.place) for number in trace for source in number.sources}
    named |= {(source.key, source.place) for source in further}
    keys = {key for key, _ in named}
    held = (table(key, name) for key, name in all_tables() if key in keys)
    return tuple(
        sorted(
            (item.citation.key, item.citation.table, item.citation.edition, _status(item), item.sha256)
            for item in held
            if (item.citation.key, item.citation.table) in named
        )
    )


def _status(item: Table) -> str:
    if not item.confirmed:
        return item.citation.status.value
    return BY_READER if item.citation.status is Status.CONFIRMED else PARTLY_BY_READER
