"""Numbers of the trace that no closed form gives: each class by its text, and how it is held against its source."""

import math
from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray
from pocket_calculator import overlap, printed_interval
from scipy.optimize import minimize
from told_case import Told, near, reading_of

from hazardreport.assess.against_limits import protection_class, rated_voltage
from hazardreport.assess.fitted import protective_earth_resistance
from hazardreport.assess.persons import counted_path
from hazardreport.assess.protection import with_doubt
from hazardreport.assess.readings_in import lamp_of
from hazardreport.assess.second_part import SECOND_PART_TO_EARTH
from hazardreport.assess.source import share_to_earth
from hazardreport.case.circumstances import Answer, ResidualCurrentDevice
from hazardreport.case.reading import Quantity
from hazardreport.case.wiring import Earthing, SwitchPoles
from hazardreport.circuit.free_parameters import SYMBOL, hot_factor, rated_resistance
from hazardreport.circuit.loads import brightness_bracket, lamp_bound, lamp_resistance
from hazardreport.circuit.routes import Nature, two_loads_bounds
from hazardreport.circuit.thevenin import (
    PART_TO_EARTH,
    PART_TO_SECOND_PART,
    Currents,
    currents,
    source_at_part,
)
from hazardreport.quantity.trace import Number
from hazardreport.severity.body import body_impedance, body_point, heart_current_factor, least_body_current, path_factor
from hazardreport.severity.devices import exposure_duration, overcurrent_operation, residual_current_operation
from hazardreport.severity.limits import (
    contact_voltage_limit,
    disconnection_time_limit,
    earth_continuity_limit,
    insulation_limit,
    rated_voltage_factor,
    touch_current_limit,
)
from hazardreport.severity.stored_charge import pin_limit
from hazardreport.severity.terms import BodyPath, ContactArea, Skin
from hazardreport.severity.touch_network import network_body_resistance, touch_network
from hazardreport.severity.zones import long_duration
from hazardreport.standards.tables import table

LAWFUL_CAPACITANCE = 4.7e-9
RISE_95 = 3.841458820694124
DOUBLE_POLE = "double-pole"
PORTS = {"second": SECOND_PART_TO_EARTH, "between": PART_TO_SECOND_PART}


def at_second_part(told: Told, key: str) -> BodyPath:
    """The path of a person at a second part, by the end of the number's id."""
    return BodyPath.HAND_TO_HAND if key == "between" else counted_path(told.case.household)


def as_read(told: Told, number: Number) -> bool:
    result = told.results[reading_of(number.id)]
    return result.value is not None and near(number, result.value.value)


def as_stated(told: Told, number: Number) -> bool:
    """What the case states, a usual value or a choice, by the number's id."""
    wiring, own = told.case.wiring, {item.id: item for item in told.case.exposures}
    kind, *rest = number.id.split(".")
    simple: dict[str, float | None] = {
        "wiring.RL": wiring.line_resistance,
        "wiring.RN": wiring.neutral_resistance,
        "wiring.RPE": protective_earth_resistance(wiring),
        "wiring.RPEu": wiring.unit_earth_resistance,
        "supply.frequency": wiring.frequency,
        "supply.nominal": wiring.nominal_voltage,
        "pins.Ur": rated_voltage(told.case) or wiring.nominal_voltage,
        "unit.rated-voltage": rated_voltage(told.case) or wiring.nominal_voltage,
        "duration.long": long_duration(),
        "artefact.CY": LAWFUL_CAPACITANCE,
        "table.hot-factor": hot_factor(wiring)[0],
        "person.series.floor": told.case.household.floor_resistance,
    }
    expected = simple.get(number.id)
    if expected is None and kind == "load":
        expected = _of_load(told, number)
    if expected is None and kind == "meter":
        impedance = told.results[reading_of(number.id)].meter_impedance
        expected = abs(impedance) if impedance is not None else None
    if expected is None and kind == "person":
        expected = own[rest[-1]].series_resistance if rest[0] == "series" else own[rest[2]].duration
    return expected is not None and near(number, expected)


def _of_load(told: Told, number: Number) -> float | None:
    """Resistance or capacitance of what stood between the two points, meter included."""
    reading = told.case.reading(reading_of(number.id))
    result = told.results[reading_of(number.id)]
    frequency, meter = told.case.wiring.frequency, result.meter_impedance
    if reading is None or not frequency or meter is None:
        return result.load_impedance.real if result.load_impedance is not None else None
    if number.id.endswith(".C"):
        return (1.0 / meter).imag / (2.0 * math.pi * frequency)
    lamp = lamp_of(reading)
    load = reading.load.resistance or math.inf
    if lamp is not None and result.value is not None:
        load = lamp_resistance(result.value.value, lamp.rated_voltage, lamp.rated_power)
    return 1.0 / ((1.0 / meter).real + 1.0 / load)


def of_table(told: Told, number: Number) -> bool:
    """The number in its table, by the number's id."""
    household, class_ = told.case.household, protection_class(told.case)
    key = number.id.rsplit(".", 1)[-1]
    nominal = told.case.wiring.nominal_voltage or 0.0
    kinds: dict[str, Callable[[], float]] = {
        "table.path-factor.": lambda: path_factor(BodyPath[key.upper()]),
        "table.heart-factor.": lambda: heart_current_factor(BodyPath[key.upper()]),
        "table.hot-factor": lambda: hot_factor(told.case.wiring)[0],
        "table.test-voltage-factor": lambda: rated_voltage_factor(heating=True)[0],
        "table.touch-network.RB": lambda: network_body_resistance(4),
        "limits.touch-current.": lambda: touch_current_limit(class_ or "")[0],
        "limits.touch-voltage.": lambda: contact_voltage_limit(Answer.YES in (household.wet_hands, household.children))[
            0
        ],
        "limits.earth-continuity.": lambda: earth_continuity_limit()[0],
        "limits.accessible-voltage.": lambda: table("iec-60335-1-2001", "clause-8-1-4").look_up("voltage_ac"),
        "limits.insulation.": lambda: insulation_limit(class_ or "")[0],
        "limits.disconnection-time": lambda: disconnection_time_limit(
            share_to_earth(told.case.wiring) * nominal, "tt" if told.case.wiring.earthing is Earthing.TT else "tn"
        )[0],
        "pins.L": lambda: pin_limit()[0],
        "pins.t": lambda: pin_limit()[1],
    }
    found = next((look_up for prefix, look_up in kinds.items() if number.id.startswith(prefix)), None)
    return found is not None and near(number, found())


def of_measuring_network(told: Told, number: Number) -> bool:
    entrance, transfer = touch_network(4, told.case.wiring.frequency or 0.0)
    return near(number, {"Rn": entrance.real, "Xn": entrance.imag, "Zt": abs(transfer)}[number.symbol])


def fitted(told: Told, number: Number) -> bool:
    """A fitted parameter: with it as the trace has it, no step of any parameter makes the sum of squares less."""
    fit, vector = told.vectors[number.id.rsplit(".", 1)[0]]
    here = next(index for index, name in enumerate(fit.names) if SYMBOL[name] == number.symbol)
    step = np.maximum(1e-3 * np.abs(vector), 1e-6)[here]
    moved = np.tile(vector, (3, 1))
    moved[1, here] = min(vector[here] + step, fit.free.upper[here])
    moved[2, here] = max(vector[here] - step, fit.free.lower[here])
    at, above, below = (float(height) for height in fit.squares.heights(moved))
    return at <= above + 1e-6 and at <= below + 1e-6


def profiled(told: Told, number: Number) -> bool:
    """An end of a profile: held there, with all other parameters searched anew, the sum of squares is 3.84 more."""
    fit, vector = told.vectors[number.inputs[0].rsplit(".", 1)[0]]
    here = next(index for index, name in enumerate(fit.names) if SYMBOL[name] == number.symbol)
    others = np.delete(vector, here)
    scale = np.maximum(np.abs(others), 1e-3)

    def height(free: NDArray[np.float64], held: float) -> float:
        return float(fit.squares.heights(np.insert(free * scale, here, held)))

    low, high = np.delete(fit.free.lower, here) / scale, np.delete(fit.free.upper, here) / scale
    ends = [
        minimize(
            height,
            others / scale,
            args=(held,),
            method="Nelder-Mead",
            bounds=list(zip(low, high, strict=True)),
            options={"xatol": 1e-8, "fatol": 1e-8, "maxiter": 20000, "maxfev": 20000},
        ).fun
        for held in (float(vector[here]), number.measured.value)
    ]
    return math.isclose(ends[1] - ends[0], RISE_95, rel_tol=0.02)


def put_back(told: Told, number: Number) -> bool:
    """A predicted reading: the fitted parameters as the trace has them, put into the network."""
    prefix, _, reading = number.id.partition(".reading.")
    fit, vector = told.vectors[prefix]
    names = [observation.id for observation in fit.squares.plan.observations]
    return near(number, float(fit.squares.predicted(vector)[names.index(reading)]))


def of_network(told: Told, number: Number) -> bool:
    """Source or current of a state: the fitted parameters as the trace has them, put into the network."""
    prefix = "fit.other-way" if number.id.startswith("other-way.") else "fit"
    fit, vector = told.vectors[prefix]
    wiring, parameters = told.case.wiring, fit.free.parameters(vector)
    key = number.id.split(".")[1]
    if key == DOUBLE_POLE:
        wiring, key = replace(wiring, switch=SwitchPoles.BOTH), number.id.split(".")[2]
    state = told.states[key]
    if number.symbol in ("U0", "Zs"):
        port = PORTS.get(number.id.split(".")[0], PART_TO_EARTH)
        voltage, impedance = source_at_part(wiring, parameters, state, port)
        return near(number, float(np.abs(voltage if number.symbol == "U0" else impedance)))
    flowing: Currents = currents(wiring, parameters, state)
    fields = {"IL": "line_current", "IPE": "earth_current", "UT": "touch_voltage_true_earth"}
    return near(number, float(getattr(flowing, fields[number.symbol])))


def of_line(told: Told, number: Number) -> bool:
    """Line current of the network and that of a person, added as numbers."""
    fit, vector = told.vectors["fit"]
    state = replace(told.states[number.id.split(".")[1]], earthed=False)
    flowing = currents(told.case.wiring, fit.free.parameters(vector), state)
    return near(number, float(flowing.line_current) + told.value(number.inputs[-1]))


def of_pins(told: Told, number: Number) -> bool:
    """Capacitance between the pins, and what empties it."""
    parts = told.case.wiring.filter
    if number.symbol == "C":
        in_series = [value for value in (parts.y_capacitance_1, parts.y_capacitance_2) if value]
        both = 1.0 / sum(1.0 / value for value in in_series) if len(in_series) == 2 else 0.0
        return near(number, (parts.x_capacitance or 0.0) + both)
    leaking = 1.0 / parts.bleeder_resistance if parts.bleeder_resistance else 0.0
    if number.id == "pins.on.R" and told.case.wiring.element.open_at is None:
        fit = told.live.fit
        cold = (
            float(fit.parameters.element_resistance) / float(fit.parameters.hot_factor)
            if fit
            else rated_resistance(told.case.wiring)
        )
        leaking += 1.0 / cold if cold else 0.0
    return near(number, 1.0 / leaking if leaking else math.inf)


def low_end(told: Told, number: Number) -> bool:
    """Voltage or current of a reading under load, twice its doubt taken off; of a lamp by its brightness."""
    reading = told.case.reading(reading_of(number.id))
    assert reading is not None
    result, load = told.results[reading.id], told.results[reading.id].load_impedance
    if reading.quantity is Quantity.LAMP:
        lamp, brightness = lamp_of(reading), result.brightness
        assert lamp is not None
        assert brightness is not None
        current, voltage = lamp_bound(lamp, brightness), brightness_bracket(brightness)[0] * lamp.rated_voltage
    elif reading.quantity is Quantity.CURRENT:
        assert result.value is not None
        assert load is not None
        current = max(0.0, result.value.value - 2.0 * result.value.standard_uncertainty)
        voltage = current * abs(load) * (1.0 - 2.0 * result.load_uncertainty)
    else:
        item = told.at_part[reading.id]
        voltage = item.value - 2.0 * item.uncertainty
        current = voltage / (item.resistance + 2.0 * item.load_doubt)
    return near(number, {"I": current, "V": voltage}[number.symbol])


def least_of_body(told: Told, number: Number) -> bool:
    current, voltage = (told.value(name) for name in number.inputs)
    path = BodyPath[number.id.split(".")[-2].upper()]
    return near(number, least_body_current(current, voltage, Skin.DRY, 50, path))


def of_body(told: Told, number: Number) -> bool:
    """The body impedance at the voltage that the trace gives: with UB and IB by their equations the solve is whole."""
    base = number.id.removesuffix(".ZB")
    item = told.exposures.get(number.id)
    path = item.path if item else at_second_part(told, base.rsplit(".", 1)[1])
    skin, percentile, area = (item.skin, item.percentile, item.area) if item else (Skin.DRY, 50, ContactArea.LARGE)
    low, high = printed_interval(told.trace[f"{base}.UB"])
    ends = [path_factor(path) * body_impedance(voltage, skin, percentile, area) for voltage in (low, high)]
    return overlap(printed_interval(number), (min(ends), max(ends)))


def of_parts(told: Told, number: Number) -> bool:
    """Real and imaginary part of an impedance whose modulus is in the trace."""
    base = number.id.rsplit(".", 1)[0]
    modulus = math.hypot(told.value(f"{base}.Rs"), told.value(f"{base}.Xs"))
    return near(told.trace[number.inputs[0]], modulus)


def of_device(told: Told, number: Number) -> bool:
    """The longest time of a device at the current that the trace gives."""
    if number.id in told.devices:
        item = told.devices[number.id]
        kinds = {kind.value: kind for kind in ResidualCurrentDevice}
        operation = (
            partial(residual_current_operation, kinds[item.device])
            if item.device in kinds
            else partial(overcurrent_operation, item.device)
        )
        seconds = with_doubt(operation, told.trace[item.current].measured)[1]
    else:
        kind = told.case.household.residual_current_device
        seconds = exposure_duration(residual_current_operation(kind, told.value(number.inputs[0])))
    return seconds is not None and near(number, seconds)


def of_lamp(told: Told, number: Number) -> bool:
    reading = told.case.reading(reading_of(number.id))
    assert reading is not None
    lamp, brightness = lamp_of(reading), told.results[reading.id].brightness
    return lamp is not None and brightness is not None and near(number, lamp_bound(lamp, brightness))


def same_as_input(told: Told, number: Number) -> bool:
    return near(number, told.value(number.inputs[0]))


def standard_uncertainty(told: Told, number: Number) -> bool:
    return near(number, told.trace[number.inputs[0]].measured.standard_uncertainty)


def one_sided(told: Told, number: Number) -> bool:
    """Bounds of Zs and Isc where doubt drowns the difference of two loads, from the numbers of the trace."""
    v1, r1, c1, v2, r2, c2, f = (told.trace[name].measured for name in number.inputs)
    omega = 2.0 * math.pi * f.value
    nature = Nature.CAPACITIVE if ".capacitive." in number.id else Nature.RESISTIVE
    bounds = two_loads_bounds(
        (v1.value, v1.standard_uncertainty),
        complex(1.0 / r1.value, omega * c1.value),
        (v2.value, v2.standard_uncertainty),
        complex(1.0 / r2.value, omega * c2.value),
        nature,
    )
    return near(number, bounds.greatest_impedance if number.symbol == "Zs" else bounds.least_current)


def drawn_again(told: Told, number: Number) -> bool:
    """A share of adults: the same seed gives it again within its tolerance."""
    again, tolerance = told.reruns[number.id]
    return abs(number.measured.value - again) <= tolerance


def possible(told: Told, number: Number) -> bool:
    """A median adult at a part that could drive any current, at the highest voltage that is left open."""
    measured = told.trace[number.inputs[0]].measured
    highest = max(0.0, measured.value) + 2.0 * measured.standard_uncertainty
    return near(number, body_point(highest, 0.0, Skin.DRY, 50, counted_path(told.case.household)).body_current)


CLASSES: dict[str, Callable[[Told, Number], bool]] = {
    "as read": as_read,
    "as stated": as_stated,
    "as stated, or the usual value": as_stated,
    "as stated, or the usual value; resistance and capacitance beside each other": as_stated,
    "as stated, load and meter in parallel": as_stated,
    "R(V) of the lamp beside the meter": as_stated,
    "as on the plate": as_stated,
    "nominal, within ± 10 %": as_stated,
    "unit and installation, as stated or the usual values": as_stated,
    "choice": as_stated,
    "table": of_table,
    "of the network's components at the supply's frequency": of_measuring_network,
    "weighted least squares of all readings with a value": fitted,
    "95 % end by profile: the sum of squares with all other parameters fitted anew": profiled,
    "the fitted network at this reading": put_back,
    "open-circuit voltage of the fitted network in this state": of_network,
    "source impedance of the fitted network in this state": of_network,
    "line current of the fitted network in this state": of_network,
    "earth current of the fitted network in this state": of_network,
    "touch voltage of the fitted network in this state": of_network,
    "line current of the fitted network and IB; at most, since the two need not be in phase": of_line,
    "X capacitor, with both Y capacitors in series": of_pins,
    "bleeder and element beside each other": of_pins,
    "low end of the reading with its load": low_end,
    "the lesser of I and of what V drives through the body": least_of_body,
    "BF · ZT(UB), found together with UB": of_body,
    "real part of Zs": of_parts,
    "imaginary part of Zs": of_parts,
    "longest time of the device at that current": of_device,
    "longest time of the device over all of the current's ± U": of_device,
    "current of the lamp at the least voltage of its brightness, less its tolerance": of_lamp,
    "standard uncertainty": standard_uncertainty,
    "as read without load": same_as_input,
    "one-sided 95 % bounds, Zs ≥ 0": one_sided,
    "share of adults in seeded trials over population and measurement": drawn_again,
    "share of adults, exact by inversion": drawn_again,
    "as if the part could drive any current at that voltage, doubt added": possible,
    "as if the part stood at the supply's voltage, since no reading fixes this state": possible,
}
"""Everything else must be an equation."""
