"""A case with its assessment and a trace that may hold a planted number, and what it is held against."""

import math
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from hazardreport.assess.assessment import Live, live_part, settled_part
from hazardreport.assess.readings_in import LiveReading, live_readings
from hazardreport.assess.records import Assessment, DeviceVerdict, Exposure, PopulationResult
from hazardreport.case.case import Case
from hazardreport.case.unit_state import UnitState
from hazardreport.circuit.fit import FitResult
from hazardreport.circuit.free_parameters import SYMBOL
from hazardreport.quantity.trace import Number, Trace
from hazardreport.readings.number import read_number
from hazardreport.readings.result import ReadingResult
from hazardreport.severity.population import Contact, exact_shares, population_shares

SHARES = ("above_perception", "above_let_go", "above_c1", "above_c2")
OF_PRINTED_DIGITS = 1e-5


@dataclass(frozen=True)
class Told:
    """A case with its assessment; the trace may hold a planted number."""

    live: Live
    assessment: Assessment
    trace: Trace

    @property
    def case(self) -> Case:
        return self.live.case

    @cached_property
    def results(self) -> dict[str, ReadingResult]:
        return {reading.id: read_number(reading, self.case) for reading in self.case.readings}

    @cached_property
    def at_part(self) -> dict[str, LiveReading]:
        found = live_readings(self.case, tuple(self.results.values()))
        return {item.reading.id: item for item in found}

    @cached_property
    def states(self) -> dict[str, UnitState]:
        return {cell.state.key: cell.state for cell in self.assessment.states}

    @cached_property
    def exposures(self) -> dict[str, Exposure]:
        return {name: item for item in self.assessment.exposures for name in (item.body_impedance, item.duration)}

    @cached_property
    def devices(self) -> dict[str, DeviceVerdict]:
        built = [device for item in self.assessment.as_built for device in item.devices]
        return {item.time: item for item in (*self.assessment.devices, *built) if item.time}

    @cached_property
    def reruns(self) -> dict[str, tuple[float, float]]:
        """Of every share of adults: what the same seed gives again, and its tolerance."""
        settled = self.assessment.settled
        found: dict[str, tuple[float, float]] = {}
        for item in settled.population if settled else ():
            again = _drawn_again(self, item)
            found |= {getattr(item, name): (getattr(again, name), item.tolerance) for name in SHARES}
        return found

    @cached_property
    def vectors(self) -> dict[str, tuple[FitResult, NDArray[np.float64]]]:
        """By prefix of the ids, a fit and its parameters as the trace has them."""
        fit = self.live.fit
        assert fit is not None
        fits = {"fit": fit} | ({"fit.other-way": fit.alternative} if fit.alternative else {})
        return {
            prefix: (one, np.array([self.trace[f"{prefix}.{SYMBOL[name]}"].measured.value for name in one.names]))
            for prefix, one in fits.items()
            if f"{prefix}.U" in self.trace
        }

    def value(self, id: str) -> float:
        return self.trace[id].measured.value


def told(case: Case) -> Told:
    """A case with its whole assessment."""
    live = live_part(case)
    assessment = settled_part(live)
    return Told(live=live, assessment=assessment, trace=assessment.trace)


def near(number: Number, expected: float) -> bool:
    """Whether a number is as expected, to the digits that inputs are printed with."""
    if not math.isfinite(expected):
        return number.measured.value == expected
    return math.isclose(number.measured.value, expected, rel_tol=OF_PRINTED_DIGITS, abs_tol=1e-15)


def reading_of(id: str) -> str:
    """Id of the reading that a number belongs to."""
    return next(part for part in id.split(".") if part.startswith("reading-"))


def _drawn_again(told: Told, item: PopulationResult) -> Any:
    exposure = next(
        one for one in told.assessment.exposures if one.duration == item.duration and one.state == item.state
    )
    source = next(one for one in told.live.solved.sources if one.state == item.state)
    series = next(
        (
            told.value(one.series_resistance)
            for one in told.assessment.exposures
            if one.path is item.path and one.series_resistance and not one.own
        ),
        0.0,
    )
    contact = Contact(
        open_circuit_voltage=told.value(source.voltage_id),
        source_impedance=source.impedance,
        skin=item.skin,
        path=item.path,
        duration=told.value(exposure.duration),
        series_resistance=series,
    )
    return exact_shares(contact) if not item.trials else population_shares(contact, source.covariance, item.seed)


def planted(told: Told, id: str, factor: float) -> Told:
    """The same with one number of the trace multiplied, its inputs as they were."""
    numbers = tuple(
        replace(number, measured=replace(number.measured, value=factor * number.measured.value))
        if number.id == id
        else number
        for number in told.trace
    )
    again = Told(live=told.live, assessment=told.assessment, trace=Trace(numbers=numbers))
    again.__dict__["reruns"] = told.reruns
    return again
