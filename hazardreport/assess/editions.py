"""Which tables an assessment used: key, table, edition, status and hash, so that it can be repeated years later."""

from hazardreport.quantity.trace import Trace
from hazardreport.standards.tables import all_tables, table


def editions_used(trace: Trace) -> tuple[tuple[str, str, str, str, str], ...]:
    """(key, table, edition, status, sha256) of every table that a number of the trace names, sorted."""
    named = {(source.key, source.place) for number in trace for source in number.sources}
    keys = {key for key, _ in named}
    held = (table(key, name) for key, name in all_tables() if key in keys)
    return tuple(
        sorted(
            (item.citation.key, item.citation.table, item.citation.edition, item.citation.status.value, item.sha256)
            for item in held
            if (item.citation.key, item.citation.table) in named
        )
    )
