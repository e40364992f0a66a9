"""Which fields the Unit page shows, in which group, and which edit each of them makes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import reduce
from typing import Any

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Grip, ResidualCurrentDevice, SubmitterCategory
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


@dataclass(frozen=True, kw_only=True, slots=True)
class FieldPlace:
    """One field: its path in the case ("unit.model"), label, kind and hint.

    kind   "stated", "long", "answer", "text", "words", "fraction", an enumeration, a unit sign in brackets for a
           number: "[V]", or a quantity in angle brackets for one that is typed with unit and prefix: "<capacitance>"
    words  what people see for a value of the enumeration, where it is not the value itself
    """

    path: str
    label: str
    kind: str | type[StrEnum] = "stated"
    hint: str = ""
    words: Mapping[object, str] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, slots=True)
class Group:
    """A titled group of fields; `hint` is a key of the wording or "". `name` stands in the row of links."""

    name: str
    title: str
    fields: tuple[FieldPlace, ...]
    hint: str = ""


def _f(
    path: str,
    label: str,
    kind: str | type[StrEnum] = "stated",
    hint: str = "",
    words: Mapping[object, str] | None = None,
) -> FieldPlace:
    return FieldPlace(path=path, label=label, kind=kind, hint=hint, words=words or {})


CUT_OUT_WORDS: Mapping[object, str] = {
    SwitchPoles.NONE: "None described",
    SwitchPoles.POLE_1: "Interrupts pole 1",
    SwitchPoles.POLE_2: "Interrupts pole 2",
    SwitchPoles.BOTH: "Interrupts both poles",
}

GROUPS = (
    Group(
        name="Plate",
        title="Rating plate and identity",
        hint="window.unit.plate",
        fields=(
            _f("unit.product_name", "What it is", hint="in plain words"),
            _f("unit.category", "Kind of product"),
            _f("unit.brand", "Brand"),
            _f("unit.model", "Model"),
            _f("unit.serial", "Serial number"),
            _f("unit.batch", "Batch"),
            _f("unit.date_code", "Date code", hint="as stamped"),
            _f("unit.date_code_meaning", "What the date code means"),
            _f("unit.barcode", "Barcode", hint="8, 12, 13 or 14 digits"),
            _f("unit.rated_voltage", "Rated voltage", hint="with unit, as on the plate"),
            _f("unit.rated_frequency", "Rated frequency"),
            _f("unit.rated_power", "Rated power"),
            _f("unit.protection_class", "Protection class", hint="0, I, II or III"),
            _f("unit.marks", "Marks of conformity", hint="with holder and file number"),
            _f("unit.condition", "Condition as found", "long"),
            _f("unit.repairs_and_changes", "Repairs and changes", "long"),
        ),
    ),
    Group(
        name="Maker and sale",
        title="Maker, importer, purchase",
        fields=(
            _f("unit.maker", "Maker"),
            _f("unit.maker_address", "Maker's address"),
            _f("unit.maker_contact", "Maker's contact"),
            _f("unit.importer", "Importer"),
            _f("unit.importer_address", "Importer's address"),
            _f("unit.country", "Country of origin"),
            _f("unit.seller", "Seller"),
            _f("unit.seller_address", "Seller's address"),
            _f("unit.marketplace", "Marketplace"),
            _f("unit.listing", "Address of the offer", hint="with the day it was seen"),
            _f("unit.purchased", "Purchased on"),
            _f("unit.price", "Price"),
            _f("unit.still_on_sale", "Still on sale", hint="seen where and when"),
        ),
    ),
    Group(
        name="Wiring",
        title="Wiring and supply",
        hint="window.unit.wiring",
        fields=(
            _f("wiring.supply", "Supply", Supply),
            _f("wiring.nominal_voltage", "Nominal voltage", "[V]"),
            _f("wiring.frequency", "Frequency", "[Hz]"),
            _f("wiring.cord_cores", "Cores in the cord", "[cores]"),
            _f("wiring.plug", "Plug goes in", Plug),
            _f("wiring.protective_earth", "Protective earth as found", ProtectiveEarth),
            _f("wiring.switch", "Switch interrupts", SwitchPoles),
            _f("wiring.element.rated_voltage", "Element, rated voltage", "[V]"),
            _f("wiring.element.rated_power", "Element, rated power", "[W]"),
            _f("wiring.element.material", "Element, material", ElementMaterial),
            _f("wiring.element.hot_factor", "Hot over cold resistance", "[1]", hint="of its material"),
            _f("wiring.line_resistance", "Line conductor", "[Ω]"),
            _f("wiring.neutral_resistance", "Neutral conductor", "[Ω]"),
            _f("wiring.installation_earth_resistance", "Earth of the installation", "[Ω]"),
            _f("wiring.unit_earth_resistance", "Earth of the unit, if joined", "[Ω]"),
            _f("wiring.circuit_breaker", "Breaker or fuse upstream", "text", hint="B16, 13 A fuse"),
            _f("wiring.note", "Anything else about it", "text"),
        ),
    ),
    Group(
        name="More wiring",
        title="Further about the wiring",
        hint="window.unit.further",
        fields=(
            _f("wiring.cut_out", "Cut-out or thermostat", SwitchPoles, words=CUT_OUT_WORDS),
            _f("wiring.cut_out_leakage", "Leakage, cut-out open", "<resistance>", hint="1 MΩ"),
            _f("wiring.switch_leakage", "Leakage, switch open", "<resistance>", hint="1 MΩ"),
            _f("wiring.element.open_at", "Element broken at", "fraction", hint="0 to 1 from pin 1"),
            _f("wiring.second_part", "Second touchable part", SecondPart),
            _f("wiring.filter.y_capacitance_1", "Filter, pin 1 to metal", "<capacitance>", hint="2.2 nF"),
            _f("wiring.filter.y_capacitance_2", "Filter, pin 2 to metal", "<capacitance>", hint="2.2 nF"),
            _f("wiring.filter.x_capacitance", "Filter, between the pins", "<capacitance>", hint="100 nF"),
            _f("wiring.filter.bleeder_resistance", "Filter, discharge resistor", "<resistance>", hint="1 MΩ"),
            _f("wiring.earthing", "Earthing of the installation", Earthing),
            _f("wiring.electrode_resistance", "Its own earth electrode", "<resistance>", hint="20 Ω"),
            _f("wiring.supply_fault", "Supply found interrupted", SupplyFault),
        ),
    ),
    Group(
        name="Use",
        title="Where and by whom it was used",
        hint="window.unit.use",
        fields=(
            _f("household.place", "Place", hint="kitchen, workshop, bathroom"),
            _f("household.users", "Used by"),
            _f("household.earthed_metal_in_reach", "Tap or earthed metal in reach", "answer"),
            _f("household.conductive_floor", "Stone or damp floor, thin shoes", "answer"),
            _f("household.floor_resistance", "Floor and footwear, measured", "<resistance>", hint="5 kΩ"),
            _f("household.wet_hands", "Wet hands in use", "answer"),
            _f("household.both_hands", "Held with both hands", "answer"),
            _f("household.children", "Children use it or are near", "answer"),
            _f("household.grip", "How it is touched", Grip),
            _f("household.residual_current_device", "Residual-current device there", ResidualCurrentDevice),
            _f("household.socket_earth", "Earth at that socket found good", "answer"),
            _f("household.reasons", "How this is known", "long", hint="who saw or told it"),
        ),
    ),
    Group(
        name="Event",
        title="What happened",
        fields=(
            _f("occurrence.narrative", "Account", "long", hint="the harm, or how it could have come"),
            _f("occurrence.date", "Day"),
            _f("occurrence.injury", "Injury"),
            _f("occurrence.treatment", "Medical treatment"),
            _f("occurrence.contacts", "Contacts with seller or maker", "long"),
            _f("occurrence.maintained", "Installed and maintained properly", hint="seen, told or unknown"),
        ),
    ),
    Group(
        name="Reporter",
        title="Who reports, and what may be passed on",
        hint="window.unit.reporter",
        fields=(
            _f("submitter.first_name", "First name"),
            _f("submitter.last_name", "Last name"),
            _f("submitter.address", "Address", "long"),
            _f("submitter.country", "Country"),
            _f("submitter.email", "E-mail"),
            _f("submitter.phone", "Telephone"),
            _f("submitter.category", "Reports as", SubmitterCategory),
            _f("consents.verified", "True to the best of my knowledge", "answer"),
            _f("consents.verified_on", "Stated on", "text", hint="2026-01-31"),
            _f("consents.publish", "May be published", "answer"),
            _f("consents.contact_to_firm", "Name and contact to the maker", "answer"),
            _f("private_words", "Names left out of a publication", "words", hint="one in each line: R. Oakes"),
        ),
    ),
    Group(
        name="Keeping",
        title="Where the unit is kept",
        fields=(
            _f("custody.kept_at", "Kept at"),
            _f("custody.kept_until", "Kept until"),
            _f("custody.units_examined", "Units examined"),
            _f("custody.units_faulty", "Units found faulty"),
        ),
    ),
)

_SETTERS: dict[str, Callable[..., Case]] = {
    "wiring": edits.set_wiring,
    "household": edits.set_household,
    "occurrence": edits.set_occurrence,
    "submitter": edits.set_submitter,
    "consents": edits.set_consents,
    "custody": edits.set_custody,
}


def field_value(case: Case, path: str) -> Any:
    """What the case holds at a path."""
    return reduce(getattr, path.split("."), case)


def _with(record: Any, names: list[str], value: object) -> Any:
    head, *rest = names
    return replace(record, **{head: _with(getattr(record, head), rest, value) if rest else value})


def edit_of(case: Case, path: str, value: object) -> tuple[Callable[..., Case], tuple[object, ...]]:
    """The edit that puts a value at a path, with its arguments."""
    room, *names = path.split(".")
    if not names:
        return edits.set_private_words, (value,)
    if room == "unit":
        return edits.set_unit_field, (names[0], value)
    return _SETTERS[room], (_with(getattr(case, room), names, value),)
