"""Fields of the Unit page for the wiring and the supply, as found by whoever opened the unit."""

from collections.abc import Mapping

from hazardreport.app.pages.unit_places import Group, place
from hazardreport.case.wiring import (
    Earthing,
    ElementMaterial,
    Plug,
    ProtectiveEarth,
    SecondPart,
    Supply,
    SupplyFault,
    SwitchPoles,
)

CUT_OUT_WORDS: Mapping[object, str] = {
    SwitchPoles.NONE: "None described",
    SwitchPoles.POLE_1: "Interrupts pole 1",
    SwitchPoles.POLE_2: "Interrupts pole 2",
    SwitchPoles.BOTH: "Interrupts both poles",
}

WIRING = (
    Group(
        name="Wiring",
        title="Wiring and supply",
        hint="window.unit.wiring",
        measured=True,
        fields=(
            place("wiring.supply", "Supply", Supply),
            place("wiring.nominal_voltage", "Nominal voltage", "[V]"),
            place("wiring.frequency", "Frequency", "[Hz]"),
            place("wiring.cord_cores", "Cores in the cord", "[cores]"),
            place("wiring.plug", "Plug goes in", Plug),
            place("wiring.protective_earth", "Protective earth as found", ProtectiveEarth),
            place("wiring.switch", "Switch interrupts", SwitchPoles),
            place("wiring.element.rated_voltage", "Element, rated voltage", "[V]"),
            place("wiring.element.rated_power", "Element, rated power", "[W]"),
            place("wiring.element.material", "Element, material", ElementMaterial),
            place("wiring.element.hot_factor", "Hot over cold resistance", "[1]", hint="of its material"),
            place("wiring.line_resistance", "Line conductor", "[Ω]"),
            place("wiring.neutral_resistance", "Neutral conductor", "[Ω]"),
            place("wiring.installation_earth_resistance", "Earth of the installation", "[Ω]"),
            place("wiring.unit_earth_resistance", "Earth of the unit, if joined", "[Ω]"),
            place("wiring.circuit_breaker", "Breaker or fuse upstream", "text", hint="B16, 13 A fuse"),
            place("wiring.note", "Anything else about it", "text"),
        ),
    ),
    Group(
        name="More wiring",
        title="Further about the wiring",
        hint="window.unit.further",
        measured=True,
        fields=(
            place("wiring.cut_out", "Cut-out or thermostat", SwitchPoles, words=CUT_OUT_WORDS),
            place("wiring.cut_out_leakage", "Leakage, cut-out open", "<resistance>", hint="1 MΩ"),
            place("wiring.switch_leakage", "Leakage, switch open", "<resistance>", hint="1 MΩ"),
            place("wiring.element.open_at", "Element broken at", "fraction", hint="0 to 1 from pin 1"),
            place("wiring.second_part", "Second touchable part", SecondPart),
            place("wiring.filter.y_capacitance_1", "Filter, pin 1 to metal", "<capacitance>", hint="2.2 nF"),
            place("wiring.filter.y_capacitance_2", "Filter, pin 2 to metal", "<capacitance>", hint="2.2 nF"),
            place("wiring.filter.x_capacitance", "Filter, between the pins", "<capacitance>", hint="100 nF"),
            place("wiring.filter.bleeder_resistance", "Filter, discharge resistor", "<resistance>", hint="1 MΩ"),
            place("wiring.earthing", "Earthing of the installation", Earthing),
            place("wiring.electrode_resistance", "Its own earth electrode", "<resistance>", hint="20 Ω"),
            place("wiring.supply_fault", "Supply found interrupted", SupplyFault),
        ),
    ),
)
