"""Four answers that decide whom a report may go to."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.circumstances import Answer


class Territory(StrEnum):
    """Territory whose law applies."""

    OPEN = "open"
    EU = "European Union or EEA"
    GREAT_BRITAIN = "Great Britain"
    NORTHERN_IRELAND = "Northern Ireland"
    UNITED_STATES = "United States"
    CANADA = "Canada"
    AUSTRALIA = "Australia"
    ELSEWHERE = "elsewhere"
    UNKNOWN = "unknown"


@dataclass(frozen=True, kw_only=True, slots=True)
class Situation:
    """Where the submitter lives, where the unit was bought, whether online, whether anybody was hurt.

    residence  of the submitter
    bought_in  where the seller delivered or handed over the unit
    online     bought through the internet
    injured    somebody was hurt, or died
    """

    residence: Territory = Territory.OPEN
    bought_in: Territory = Territory.OPEN
    online: Answer = Answer.OPEN
    injured: Answer = Answer.OPEN
