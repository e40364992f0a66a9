"""Charge between the pins: clause 22.5, and values computed by hand."""

import math
from dataclasses import replace

import pytest

from hazardreport.errors import StoredChargeNotPhysicalError
from hazardreport.severity.stored_charge import (
    PinCircuit,
    exempt,
    longest_time_constant,
    pin_limit,
    pin_limit_source,
    stored_charge,
)

CIRCUIT = PinCircuit(capacitance=0.22e-6, bleeder=1e6)


@pytest.mark.parametrize(("voltage", "constant", "resistance"), [(230.0, 0.4428, 2.01e6), (120.0, 0.6220, 2.83e6)])
def test_longest_time_constant(voltage: float, constant: float, resistance: float) -> None:
    """Values computed apart from the program."""
    assert longest_time_constant(voltage) == pytest.approx(constant, abs=5e-5)
    assert longest_time_constant(voltage) / 0.22e-6 == pytest.approx(resistance, abs=5e3)


@pytest.mark.parametrize("voltage", [120.0, 230.0])
def test_at_the_limit_just_in_time(voltage: float) -> None:
    limit, after = pin_limit()
    circuit = replace(CIRCUIT, bleeder=longest_time_constant(voltage) / CIRCUIT.capacitance)
    left = stored_charge(circuit, voltage, after, limit)
    assert (limit, after) == (34.0, 1.0)
    assert left.voltage == pytest.approx(limit)
    assert left.time_to_limit == pytest.approx(after)


def test_charge_and_energy_at_the_crest() -> None:
    left = stored_charge(CIRCUIT, 230.0, 0.0, 34.0)
    assert left.voltage == pytest.approx(325.269, abs=1e-3)
    assert left.charge == pytest.approx(71.559e-6, abs=1e-9)
    assert left.energy == pytest.approx(11.638e-3, abs=1e-6)


def test_an_element_in_circuit_empties_the_capacitor_at_once_and_a_meter_helps() -> None:
    open_switch = stored_charge(CIRCUIT, 230.0, 1.0, 34.0)
    closed = stored_charge(replace(CIRCUIT, element=26.45), 230.0, 1.0, 34.0)
    read = stored_charge(replace(CIRCUIT, meter=10e6), 230.0, 1.0, 34.0)
    assert closed.time_to_limit < 20e-6
    assert closed.voltage == 0.0
    assert read.voltage < open_switch.voltage


def test_nothing_discharges_without_a_bleeder() -> None:
    left = stored_charge(PinCircuit(capacitance=0.22e-6), 230.0, 1.0, 34.0)
    assert left.time_to_limit == math.inf
    assert left.voltage == pytest.approx(325.269, abs=1e-3)
    assert stored_charge(PinCircuit(capacitance=0.0), 230.0, 1.0, 34.0).voltage == 0.0


def test_small_capacitances_are_exempt() -> None:
    assert exempt(0.1e-6)
    assert not exempt(0.11e-6)
    assert pin_limit_source().key == "iec-60335-1-2001"


@pytest.mark.parametrize(("capacitance", "bleeder"), [(-1e-9, 1e6), (math.nan, 1e6), (1e-9, 0.0), (1e-9, -1.0)])
def test_absurd_circuits_are_refused(capacitance: float, bleeder: float) -> None:
    with pytest.raises(StoredChargeNotPhysicalError):
        PinCircuit(capacitance=capacitance, bleeder=bleeder)


@pytest.mark.parametrize(("voltage", "after", "limit"), [(-1.0, 1.0, 34.0), (230.0, -1.0, 34.0), (230.0, 1.0, 0.0)])
def test_absurd_questions_are_refused(voltage: float, after: float, limit: float) -> None:
    with pytest.raises(StoredChargeNotPhysicalError):
        stored_charge(CIRCUIT, voltage, after, limit)
