"""Types of consumers, by the EU guidelines' table."""

from dataclasses import dataclass

from hazardreport.case.scenario import Consumer
from hazardreport.quantity.trace import Source
from hazardreport.risk.cells import rows

CONSUMERS = ("eu-2019-417", "consumers")


@dataclass(frozen=True, kw_only=True, slots=True)
class ConsumerKind:
    """One type of consumer, and who belongs to it."""

    consumer: Consumer
    who: str
    source: Source


def consumer_kinds() -> tuple[ConsumerKind, ...]:
    """All types, the most vulnerable first."""
    return tuple(
        ConsumerKind(consumer=Consumer(row["type"].text), who=row["who"].text, source=row["who"].source)
        for row in rows(*CONSUMERS)
    )
