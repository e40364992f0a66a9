"""What is connected between the two points of a reading: the meter's input, a test load, a touch-current network."""

import cmath
from dataclasses import replace

from hazardreport.case.case import Case
from hazardreport.case.reading import Instrument, LoadKind, Quantity, Reading
from hazardreport.circuit.touch_networks import FIGURE_OF, touch_network_load
from hazardreport.readings.accuracy import CHOICES, rectangular
from hazardreport.readings.result import ReadingResult
from hazardreport.standards.editions import default_edition
from hazardreport.standards.tables import table


def meter_impedance(instrument: Instrument | None, frequency: float | None) -> complex:
    """Impedance of a voltmeter's input at a frequency; that of a common meter where it is not stated. [ohm]"""
    common = table(CHOICES, "meter-input")
    resistance = instrument.input_resistance if instrument else None
    capacitance = instrument.input_capacitance if instrument else None
    resistance = resistance if resistance is not None and resistance > 0.0 else common.look_up("resistance")
    capacitance = capacitance if capacitance is not None and capacitance >= 0.0 else common.look_up("capacitance")
    return 1.0 / (1.0 / resistance + 2j * cmath.pi * (frequency or 0.0) * capacitance)


def read_across_network(reading: Reading) -> bool:
    """Whether the number was read across the output of a touch-current network."""
    return reading.load.kind in FIGURE_OF and reading.quantity in (Quantity.VOLTAGE, Quantity.CURRENT)


def network_output_resistance(figure: int) -> float:
    """Resistance by which a voltage across the output of figure 3 or 4 is divided to give the touch current. [ohm]

    References
    ----------
    iec-60990, Figures 3 and 4.
    """
    return table(default_edition("touch-network"), f"figure-{figure}").look_up("R_B")


def with_load(result: ReadingResult, reading: Reading, case: Case) -> ReadingResult:
    """Result with the impedance between the two points, as far as it is linear.

    Parameters
    ----------
    result : ReadingResult
        Without a load so far.
    reading : Reading
        Names the load and the instrument.
    case : Case
        Gives the instrument and the frequency.

    Returns
    -------
    ReadingResult
        With `meter_impedance`, `load_impedance` [ohm], `load_uncertainty` and `reading_factor` [1].
    """
    if reading.quantity is Quantity.RESISTANCE:
        return result
    if read_across_network(reading):
        return _with_network(result, reading, case.wiring.frequency)
    instrument = case.instrument(reading.instrument)
    load = reading.load
    meter = None
    if reading.quantity is Quantity.VOLTAGE:
        meter = meter_impedance(instrument, case.wiring.frequency)
        stated = instrument is not None and None not in (instrument.input_resistance, instrument.input_capacitance)
        if not stated:
            source = table(CHOICES, "meter-input").source()
            result = replace(result, choices=("common_meter_input",), sources=(source,))
    if load.kind is LoadKind.NONE:
        return replace(result, meter_impedance=meter, load_impedance=meter)
    if load.kind is not LoadKind.RESISTOR or not load.resistance or load.resistance < 0.0:
        return replace(result, meter_impedance=meter)
    together = load.resistance if meter is None else 1.0 / (1.0 / load.resistance + 1.0 / meter)
    tolerance = load.tolerance
    if tolerance is None:
        common = table(CHOICES, "resistor-tolerance")
        tolerance = common.look_up("tolerance")
        result = replace(
            result,
            choices=(*result.choices, "resistor_tolerance"),
            sources=(*result.sources, common.source("tolerance")),
        )
    return replace(
        result, meter_impedance=meter, load_impedance=complex(together), load_uncertainty=rectangular(tolerance)
    )


def _with_network(result: ReadingResult, reading: Reading, frequency: float | None) -> ReadingResult:
    """The network alone is the load: the meter across its output is too weak a load to count."""
    figure = FIGURE_OF[reading.load.kind]
    network = default_edition("touch-network")
    result = replace(
        result,
        quantity=Quantity.CURRENT,
        choices=("network_meter",),
        sources=(table(network, f"figure-{figure}").source(), table(network, "meter").source()),
    )
    if not frequency or frequency < 0.0:
        return result
    load = touch_network_load(figure, frequency)
    return replace(result, load_impedance=load.impedance, reading_factor=load.reading_factor)
