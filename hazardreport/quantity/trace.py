"""How a number remembers where it came from."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from hazardreport.quantity.measured import Measured


class Status(StrEnum):
    """How well a value is known to be what its source says."""

    CONFIRMED = "confirmed"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"
    CHOICE = "choice"


def weakest(statuses: Iterable[Status]) -> Status:
    """The least certain of several: from memory, common practice, choice, confirmed, in that order."""
    order = (Status.FROM_MEMORY, Status.COMMON_PRACTICE, Status.CHOICE, Status.CONFIRMED)
    present = set(statuses)
    return next((status for status in order if status in present), Status.CONFIRMED)


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """Where an equation or a table comes from: key in references.toml, place in it, status."""

    key: str
    place: str = ""
    status: Status = Status.CONFIRMED


@dataclass(frozen=True, kw_only=True, slots=True)
class Number:
    """One number of the result.

    id         unique in its trace: "source.straight-off.two-loads.isc"
    name       what it is, for people (from the wording)
    symbol     as in the nomenclature: "Isc"
    measured   value, standard uncertainty, unit; value is infinite where a device never acts
    low, high  95 % interval where ± U would mislead (one-sided bounds, asymmetric results); else None
    equation   as text with symbols: "U0 / (Zs + ZB)"; for a typed reading "as read"
    inputs     ids of the numbers that entered
    sources    of equation and tables
    """

    id: str
    name: str
    symbol: str
    measured: Measured
    low: float | None = None
    high: float | None = None
    equation: str
    inputs: tuple[str, ...] = ()
    sources: tuple[Source, ...] = ()

    @property
    def status(self) -> Status:
        """The least certain status among its own sources (not those of its inputs)."""
        return weakest(source.status for source in self.sources)


@dataclass(frozen=True, kw_only=True, slots=True)
class Trace:
    """All numbers of one assessment, in the order of calculation: an input always stands before its result."""

    numbers: tuple[Number, ...] = ()
    _index: dict[str, Number] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_index", {number.id: number for number in self.numbers})

    def __iter__(self) -> Iterator[Number]:
        return iter(self.numbers)

    def __getitem__(self, id: str) -> Number:
        return self._index[id]

    def __contains__(self, id: object) -> bool:
        return id in self._index

    def behind(self, id: str) -> tuple[Number, ...]:
        """The number with all that it rests on, inputs first."""
        wanted: set[str] = set()
        pending = [id]
        while pending:
            current = pending.pop()
            if current not in wanted:
                wanted.add(current)
                pending.extend(self[current].inputs)
        return tuple(number for number in self.numbers if number.id in wanted)
