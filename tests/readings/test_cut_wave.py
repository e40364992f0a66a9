"""A reading at a half-wave or phase-cut heat setting never counts as a value of the full wave."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reading_benches import LAMP, METER, P1, RESISTOR, E, T, bench, dead, live, taken

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import PointRole
from hazardreport.case.reading import PlugPosition, Quantity, Reading, State, SwitchPosition, Waveform
from hazardreport.quantity.typed import Bound
from hazardreport.readings.number import read_number
from hazardreport.readings.result import ReadingResult

AVERAGE = replace(METER, id="instrument-009", name="old meter", true_rms=False)


def wave(waveform: Waveform, plug: PlugPosition = PlugPosition.STRAIGHT) -> State:
    return State(plug=plug, switch=SwitchPosition.ON, waveform=waveform)


def read(reading: Reading) -> ReadingResult:
    case = bench(reading)
    return read_number(reading, replace(case, instruments=(*case.instruments, AVERAGE)))


def keys(result: ReadingResult) -> set[str]:
    return {key for key, _ in result.problems}


@pytest.mark.parametrize("waveform", [Waveform.HALF, Waveform.CUT])
@pytest.mark.parametrize("quantity", [Quantity.VOLTAGE, Quantity.CURRENT])
def test_an_average_responding_meter_is_refused_at_a_cut_wave(waveform: Waveform, quantity: Quantity) -> None:
    typed = "60 V" if quantity is Quantity.VOLTAGE else "5 mA"
    given_reading = taken(
        T, E, quantity, typed, state=wave(waveform), proved=True, load=RESISTOR, instrument=AVERAGE.id
    )
    result = read(given_reading)

    assert (result.refused, result.value, result.bound, result.restricts) == (True, None, Bound.NONE, False)
    assert "average_on_cut_wave" in keys(result)
    assert "average_responding" not in keys(result)


def test_an_average_responding_meter_may_read_a_full_wave() -> None:
    result = read(live("60 V", instrument=AVERAGE.id))
    assert (result.used, "average_responding" in keys(result)) == (True, True)


def test_a_half_wave_reading_is_a_lower_bound_and_no_value() -> None:
    result = read(live("81.0 V", state=wave(Waveform.HALF), load=RESISTOR))

    assert result.value is not None
    assert (result.value.value, result.bound) == (81.0, Bound.ABOVE)
    assert (result.used, result.restricts, result.refused) == (False, True, False)
    assert "half_wave" in keys(result)
    assert "cut_wave" in result.choices
    assert wording.sentence("choices.cut_wave")


def test_a_phase_cut_reading_restricts_nothing() -> None:
    result = read(live("81.0 V", state=wave(Waveform.CUT), load=RESISTOR))

    assert result.value is not None
    assert (result.bound, result.used, result.restricts, result.refused) == (Bound.ABOVE, False, False, False)
    assert "phase_cut" in keys(result)


@pytest.mark.parametrize("typed", ["< 5 V", "not detected"])
def test_an_upper_bound_at_a_half_wave_restricts_nothing(typed: str) -> None:
    result = read(live(typed, state=wave(Waveform.HALF)))
    assert (result.bound, result.restricts, "upper_bound_cut_wave" in keys(result)) == (Bound.BELOW, False, True)
    assert read(live(typed)).restricts


def test_a_lower_bound_at_a_half_wave_stays_one() -> None:
    result = read(live("> 60 V", state=wave(Waveform.HALF)))
    assert (result.bound, result.restricts) == (Bound.ABOVE, True)


def test_a_lamp_lit_by_a_half_wave_still_shows_at_least_its_current() -> None:
    assert read(live("dim", quantity=Quantity.LAMP, load=LAMP, state=wave(Waveform.HALF))).used
    assert not read(live("dim", quantity=Quantity.LAMP, load=LAMP, state=wave(Waveform.CUT))).used


def test_without_a_named_meter_a_half_wave_reading_restricts_nothing() -> None:
    result = read(live("81 V", state=wave(Waveform.HALF), instrument=""))
    assert ("wave_by_unknown_meter" in keys(result), result.restricts, result.refused) == (True, False, False)


def test_an_unplugged_unit_has_no_wave() -> None:
    result = read(dead(P1, T, "9.8 Ω", state=wave(Waveform.HALF, PlugPosition.UNPLUGGED)))
    assert (result.used, "wave_unplugged" in keys(result)) == (True, True)


def test_the_supply_itself_has_no_heat_setting() -> None:
    result = read(
        taken(PointRole.LINE, PointRole.NEUTRAL, Quantity.VOLTAGE, "120 V", state=wave(Waveform.HALF), proved=True)
    )
    assert result.used


def test_a_case_without_instruments_is_read_too() -> None:
    result = read_number(live("81 V", state=wave(Waveform.HALF)), Case(id="c"))
    assert result.refused


# --- why a half wave bounds and a phase-cut one does not -----------------------------------------------------------

HARMONICS = np.arange(0, 4096)


def series(wave_form: np.ndarray) -> np.ndarray:
    """Root-mean-square amplitude of each harmonic of one period."""
    amplitudes = np.abs(np.fft.rfft(wave_form))[: len(HARMONICS)] / len(wave_form)
    return np.where(HARMONICS == 0, amplitudes, amplitudes * math.sqrt(2.0))


def shown(wave_form: np.ndarray, corner: float) -> float:
    """R.m.s. value behind a series capacitance: corner is ωRC of the fundamental, infinite for a mere resistance."""
    gain = np.ones(len(HARMONICS)) if math.isinf(corner) else HARMONICS * corner / np.hypot(1.0, HARMONICS * corner)
    return float(np.sqrt(np.sum((gain * series(wave_form)) ** 2)))


ANGLE = np.arange(16384) * 2.0 * np.pi / 16384
SINE = np.sin(ANGLE)
HALF = np.maximum(SINE, 0.0)


@settings(derandomize=True, deadline=None)
@given(corner=st.floats(1e-4, 1e4) | st.just(math.inf))
def test_a_half_wave_shows_no_more_than_0_71_of_the_full_sine(corner: float) -> None:
    assert shown(HALF, corner) <= shown(SINE, corner) / math.sqrt(2.0) * (1.0 + 1e-6)


@settings(derandomize=True, deadline=None)
@given(angle=st.floats(0.1, 3.0))
def test_a_phase_cut_wave_shows_less_through_resistance(angle: float) -> None:
    cut = np.where(np.mod(ANGLE, np.pi) < angle, 0.0, SINE)
    assert shown(cut, math.inf) <= shown(SINE, math.inf) * (1.0 + 1e-9)


def test_a_phase_cut_wave_shows_many_times_more_through_a_small_capacitance() -> None:
    cut = np.where(np.mod(ANGLE, np.pi) < np.pi / 2.0, 0.0, SINE)
    corner = 2.0 * math.pi * 50.0 * 1000.0 * 2.2e-9
    assert shown(cut, corner) > 5.0 * shown(SINE, corner)
