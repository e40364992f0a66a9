"""Writes down each number of an assessment once, inputs first; turns into a Trace at the end."""

import math
from collections.abc import Mapping
from functools import lru_cache

from hazardreport import wording
from hazardreport.quantity.measured import Measured
from hazardreport.quantity.trace import Number, Source, Trace


@lru_cache(maxsize=8192)
def _named(name: str, fields: tuple[tuple[str, object], ...]) -> str:
    return wording.sentence(f"numbers.{name}", **dict(fields))


class Ledger:
    """The numbers of one assessment in the making, after those of an earlier part of it if there is one."""

    def __init__(self, before: Trace | None = None) -> None:
        self._numbers: dict[str, Number] = {number.id: number for number in before} if before else {}

    def __getitem__(self, id: str) -> Number:
        return self._numbers[id]

    def __contains__(self, id: object) -> bool:
        return id in self._numbers

    def value(self, id: str) -> float:
        """The value of a number that was written down before."""
        return self._numbers[id].measured.value

    def enter(
        self,
        id: str,
        name: str,
        symbol: str,
        value: float,
        unit: str,
        *,
        uncertainty: float = 0.0,
        equation: str,
        inputs: tuple[str, ...] = (),
        sources: tuple[Source, ...] = (),
        low: float | None = None,
        high: float | None = None,
        fields: Mapping[str, object] | None = None,
    ) -> str:
        """Write a number down and return its id; `name` is a key of numbers.toml, `uncertainty` is standard.

        A second entry of the same id with another value is a defect of ours and raises ValueError.
        """
        old = self._numbers.get(id)
        missing = [needed for needed in inputs if needed not in self._numbers]
        if missing or (old is not None and not math.isclose(old.measured.value, value, rel_tol=1e-9)):
            raise ValueError(f"{id}: inputs {missing} are not written down, or another value was")
        if old is not None:
            return id
        self._numbers[id] = Number(
            id=id,
            name=_named(name, tuple(fields.items()) if fields else ()),
            symbol=symbol,
            measured=Measured(value=value, standard_uncertainty=uncertainty, unit=unit),
            low=low,
            high=high,
            equation=equation,
            inputs=tuple(dict.fromkeys(inputs)) if inputs else (),
            sources=sources,
        )
        return id

    def trace(self) -> Trace:
        """All numbers, in the order in which they were entered."""
        return Trace(numbers=tuple(self._numbers.values()))
