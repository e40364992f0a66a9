"""The columns of the bench sheet: what each shows, how it is entered, and what entering makes of a reading."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

from hazardreport.app.models.load_text import load_of, load_text
from hazardreport.case.case import Case
from hazardreport.case.reading import (
    CutOut,
    EarthState,
    PlugPosition,
    Quantity,
    Reading,
    SupplyKind,
    SwitchPosition,
    Temperature,
    TrippingDevice,
    Waveform,
)

Choices = Callable[[Case], list[tuple[object, str]]]


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """One column.

    text     what the cell shows
    change   the reading with another value in this column; None for a column that cannot be entered
    choices  values with their texts; None for typed text
    tick     a yes or no
    """

    key: str
    head: str
    width: int
    text: Callable[[Reading, Case], str]
    change: Callable[[Reading, Any], Reading] | None = None
    choices: Choices | None = None
    tick: Callable[[Reading], bool] | None = None
    hint: str = ""


def _members(enumeration: type[StrEnum]) -> Choices:
    return lambda case: [(member, member.value) for member in enumeration]


def _letters(case: Case) -> list[tuple[object, str]]:
    return [(p.letter, f"{p.letter}  {p.description or p.role.value}") for p in case.points]


def _instruments(case: Case) -> list[tuple[object, str]]:
    return [("", "not said"), *((one.id, one.name or one.id) for one in case.instruments)]


def _pictures(case: Case) -> list[tuple[object, str]]:
    return [("", "none"), *((one.id, one.caption or one.original_name) for one in case.pictures)]


def _plain(name: str) -> Callable[[Reading, Any], Reading]:
    def changed(reading: Reading, value: Any) -> Reading:
        return replace(reading, **{name: value})

    return changed


def _state(name: str) -> Callable[[Reading, Any], Reading]:
    def changed(reading: Reading, value: Any) -> Reading:
        return replace(reading, state=replace(reading.state, **{name: value}))

    return changed


def _instrument_name(reading: Reading, case: Case) -> str:
    found = case.instrument(reading.instrument)
    return (found.name or found.id) if found is not None else ""


def _picture_name(reading: Reading, case: Case) -> str:
    found = case.picture(reading.picture)
    return (found.caption or found.id) if found is not None else ""


VALUE, UNDERSTOOD = "typed", "understood"
COLUMNS = (
    Column(key="first", head="From", width=52, text=lambda r, c: r.first, change=_plain("first"), choices=_letters),
    Column(key="second", head="To", width=52, text=lambda r, c: r.second, change=_plain("second"), choices=_letters),
    Column(
        key="quantity",
        head="Quantity",
        width=104,
        text=lambda r, c: r.quantity.value,
        change=_plain("quantity"),
        choices=_members(Quantity),
    ),
    Column(
        key=VALUE, head="As read", width=118, text=lambda r, c: r.typed, change=_plain("typed"), hint="24.3 Ω, 1k2, OL"
    ),
    Column(key=UNDERSTOOD, head="Understood", width=170, text=lambda r, c: ""),
    Column(
        key="plug",
        head="Plug",
        width=92,
        text=lambda r, c: r.state.plug.value,
        change=_state("plug"),
        choices=_members(PlugPosition),
    ),
    Column(
        key="switch",
        head="Switch",
        width=74,
        text=lambda r, c: r.state.switch.value,
        change=_state("switch"),
        choices=_members(SwitchPosition),
    ),
    Column(
        key="load",
        head="Load",
        width=120,
        text=lambda r, c: load_text(r.load),
        change=lambda r, value: replace(r, load=load_of(str(value), r.load)),
        hint="47 kΩ, lamp 230 V 40 W, network 4",
    ),
    Column(
        key="instrument",
        head="Instrument",
        width=118,
        text=_instrument_name,
        change=_plain("instrument"),
        choices=_instruments,
    ),
    Column(
        key="supply_typed",
        head="Supply noted",
        width=100,
        text=lambda r, c: r.supply_typed,
        change=_plain("supply_typed"),
        hint="231 V",
    ),
    Column(
        key="supply",
        head="Fed by",
        width=100,
        text=lambda r, c: r.supply.value,
        change=_plain("supply"),
        choices=_members(SupplyKind),
    ),
    Column(
        key="device",
        head="Tripping device",
        width=150,
        text=lambda r, c: r.device.value,
        change=_plain("device"),
        choices=_members(TrippingDevice),
    ),
    Column(
        key="proved",
        head="Meter proved",
        width=96,
        text=lambda r, c: "yes" if r.proved else "no",
        change=_plain("proved"),
        tick=lambda r: r.proved,
    ),
    Column(
        key="earth",
        head="Earth",
        width=92,
        text=lambda r, c: r.state.earth.value,
        change=_state("earth"),
        choices=_members(EarthState),
    ),
    Column(
        key="temperature",
        head="Condition",
        width=128,
        text=lambda r, c: r.state.temperature.value,
        change=_state("temperature"),
        choices=_members(Temperature),
    ),
    Column(
        key="cut_out",
        head="Thermostat",
        width=92,
        text=lambda r, c: r.state.cut_out.value,
        change=_state("cut_out"),
        choices=_members(CutOut),
    ),
    Column(
        key="waveform",
        head="Heat setting",
        width=100,
        text=lambda r, c: r.state.waveform.value,
        change=_state("waveform"),
        choices=_members(Waveform),
    ),
    Column(
        key="repeats",
        head="Repeats",
        width=110,
        text=lambda r, c: "; ".join(r.repeats),
        change=lambda r, value: replace(r, repeats=tuple(p.strip() for p in str(value).split(";") if p.strip())),
        hint="24.4; 24.2",
    ),
    Column(
        key="as_found",
        head="As found",
        width=76,
        text=lambda r, c: "yes" if r.as_found else "no",
        change=_plain("as_found"),
        tick=lambda r: r.as_found,
    ),
    Column(
        key="picture",
        head="Display on",
        width=120,
        text=_picture_name,
        change=_plain("picture"),
        choices=_pictures,
    ),
    Column(key="by", head="Read by", width=100, text=lambda r, c: r.by, change=_plain("by")),
    Column(key="taken", head="When", width=120, text=lambda r, c: r.taken, change=_plain("taken")),
    Column(key="note", head="Note", width=200, text=lambda r, c: r.note, change=_plain("note")),
)
PLACES = {column.key: place for place, column in enumerate(COLUMNS)}
