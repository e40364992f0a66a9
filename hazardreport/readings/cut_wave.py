"""Readings at half-wave and phase-cut heat settings: never a value of the full wave, at most a lower bound of one.

A half wave without steep edges gives, through resistance and through capacitance alike, at most 1/√2 of what the full
sine gives, so that a true-r.m.s. reading bounds the full wave from below. A phase-cut wave jumps: through a capacitance
its edges can pass many times the current of the sine, so that it bounds nothing. Average-responding meters err by tens
of percent on both and are refused.
"""

from collections.abc import Iterator
from dataclasses import replace

from hazardreport.case.case import Case
from hazardreport.case.reading import Instrument, PlugPosition, Quantity, Reading, Waveform
from hazardreport.quantity.typed import Bound
from hazardreport.readings.result import Problem, Purpose, ReadingResult


def cut(reading: Reading, purpose: Purpose) -> bool:
    """Whether the reading was taken while a heat setting let less than the full wave through to the unit."""
    return (
        reading.state.waveform is not Waveform.FULL
        and reading.state.plug is not PlugPosition.UNPLUGGED
        and reading.quantity is not Quantity.RESISTANCE
        and purpose is Purpose.UNIT
    )


def wave_problems(reading: Reading, case: Case, purpose: Purpose) -> Iterator[Problem]:
    """What a heat setting does to a reading: refused, restricting nothing, or marked as a lower bound."""
    if reading.state.waveform is not Waveform.FULL and reading.state.plug is PlugPosition.UNPLUGGED:
        yield "wave_unplugged", (("wave", reading.state.waveform.value),)
    if not cut(reading, purpose):
        return
    fields = (("wave", reading.state.waveform.value),)
    if reading.quantity is not Quantity.LAMP:
        yield from _meter(case.instrument(reading.instrument), fields)
    if reading.state.waveform is Waveform.CUT:
        yield "phase_cut", ()
    else:
        yield "half_wave", ()


def _meter(instrument: Instrument | None, fields: tuple[tuple[str, str], ...]) -> Iterator[Problem]:
    if instrument is None:
        yield "wave_by_unknown_meter", fields
    elif not instrument.true_rms:
        yield "average_on_cut_wave", (("instrument", instrument.name or instrument.id), *fields)


def bounded(result: ReadingResult) -> ReadingResult:
    """The result of a reading at a cut wave: its value turned into a lower bound, an upper bound without force."""
    problems = result.problems
    if result.bound is Bound.BELOW and result.brightness is None:
        problems = (*problems, ("upper_bound_cut_wave", ()))
    bound = Bound.ABOVE if result.bound is Bound.NONE and result.value is not None else result.bound
    used = result.used and result.brightness is not None
    return replace(result, bound=bound, used=used, problems=problems, choices=(*result.choices, "cut_wave"))
