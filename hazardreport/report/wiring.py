"""Wiring and supply as labelled values: what every unit has, and what this one has beside it only where stated."""

from hazardreport.case.wiring import Earthing, Element, Filter, SecondPart, SupplyFault, SwitchPoles, Wiring
from hazardreport.quantity.formatting import format_exact, format_value
from hazardreport.report.document import KeyValue
from hazardreport.wording import sentence


def wiring_rows(wiring: Wiring) -> tuple[KeyValue, ...]:
    """The usual rows in any case; then those that someone stated."""
    open_ = sentence("report.words.open")
    rows = {**_usual(wiring), **_stated(wiring), "note": wiring.note or sentence("report.identity.no_note")}
    return tuple(
        KeyValue(label=sentence(f"report.identity.{key}"), runs=(text,), known=text != open_)
        for key, text in rows.items()
    )


def _volts(value: float | None, unit: str) -> str:
    return sentence("report.words.open") if value is None else format_value(value, unit)


def _element(element: Element) -> str:
    return sentence(
        "report.identity.element_value",
        power=_volts(element.rated_power, "W"),
        voltage=_volts(element.rated_voltage, "V"),
        material=sentence(f"report.material.{element.material.name.lower()}"),
    )


def _usual(wiring: Wiring) -> dict[str, str]:
    return {
        "supply": sentence(f"report.supply.{wiring.supply.name.lower()}"),
        "nominal": f"{_volts(wiring.nominal_voltage, 'V')}, {_volts(wiring.frequency, 'Hz')}",
        "cord": sentence("report.words.open")
        if wiring.cord_cores is None
        else sentence("report.identity.cores", cores=wiring.cord_cores),
        "plug": sentence(f"report.plug_kind.{wiring.plug.name.lower()}"),
        "earth": sentence(f"report.protective_earth.{wiring.protective_earth.name.lower()}"),
        "switch": sentence(f"report.switch_poles.{wiring.switch.name.lower()}"),
        "element": _element(wiring.element),
        "resistances": sentence(
            "report.identity.resistances_value",
            line=format_value(wiring.line_resistance, "ohm", 2),
            neutral=format_value(wiring.neutral_resistance, "ohm", 2),
            installation=format_value(wiring.installation_earth_resistance, "ohm", 2),
            unit=format_value(wiring.unit_earth_resistance, "ohm", 2),
        ),
        "breaker": wiring.circuit_breaker or sentence("report.words.open"),
    }


def _stated(wiring: Wiring) -> dict[str, str]:
    """What only some units have; a row for each that was stated, none for the others."""
    rows: dict[str, str] = {}
    if wiring.earthing is not Earthing.UNKNOWN:
        rows["earthing"] = sentence(f"report.identity.earthing_{wiring.earthing.name.lower()}")
        if wiring.electrode_resistance is not None:
            resistance = format_exact(wiring.electrode_resistance, "ohm")
            rows["earthing"] += sentence("report.identity.electrode", resistance=resistance)
    if wiring.supply_fault is not SupplyFault.NONE:
        rows["supply_fault"] = sentence(f"report.supply_fault.{wiring.supply_fault.name.lower()}")
    if wiring.cut_out is not SwitchPoles.NONE:
        rows["cut_out"] = sentence(f"report.switch_poles.{wiring.cut_out.name.lower()}")
    if leakages := _leakages(wiring):
        rows["leakage"] = leakages
    if wiring.more_elements:
        numbered = enumerate(wiring.more_elements, start=2)
        rows["further_elements"] = "; ".join(
            sentence("report.identity.further_element", number=number, element=_element(element))
            for number, element in numbered
        )
        rows["faulty_element"] = str(wiring.faulty_element)
    if broken := _broken(wiring):
        rows["broken_at"] = broken
    if parts := _filter(wiring.filter):
        rows["filter"] = parts
    if wiring.second_part is not SecondPart.NONE:
        rows["second_part"] = sentence(f"report.second_part.{wiring.second_part.name.lower()}")
    return rows


def _leakages(wiring: Wiring) -> str:
    found = {"switch": wiring.switch_leakage, "cut_out": wiring.cut_out_leakage}
    return "; ".join(
        sentence(f"report.identity.leakage_{name}", resistance=format_exact(value, "ohm"))
        for name, value in found.items()
        if value is not None
    )


def _broken(wiring: Wiring) -> str:
    """Where each broken element is broken; with its number where there are several."""
    texts = []
    for number, element in enumerate((wiring.element, *wiring.more_elements), start=1):
        if element.open_at is None:
            continue
        text = sentence("report.identity.broken_value", share=format_exact(100.0 * element.open_at, "1"))
        several = bool(wiring.more_elements)
        texts.append(sentence("report.identity.further_element", number=number, element=text) if several else text)
    return "; ".join(texts)


def _filter(parts: Filter) -> str:
    found = (
        ("filter_y1", parts.y_capacitance_1, "F"),
        ("filter_y2", parts.y_capacitance_2, "F"),
        ("filter_x", parts.x_capacitance, "F"),
        ("filter_bleeder", parts.bleeder_resistance, "ohm"),
    )
    return "; ".join(
        sentence(f"report.identity.{key}", value=format_exact(value, unit))
        for key, value, unit in found
        if value is not None
    )
