"""One row of a bench sheet as a reading, and back."""

import math
import re
from collections.abc import Mapping
from enum import StrEnum
from typing import TypeVar

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.reading import (
    Brightness,
    CutOut,
    EarthState,
    Load,
    LoadKind,
    PlugPosition,
    Quantity,
    Reading,
    State,
    SupplyKind,
    SwitchPosition,
    Temperature,
    TrippingDevice,
    Waveform,
)
from hazardreport.case.wiring import SwitchPoles
from hazardreport.errors import TextNotUnderstoodError, UnitMismatchError
from hazardreport.quantity.typed import read_value
from hazardreport.readings.tripped import is_trip
from hazardreport.storage.faults import Gathered, at_line, fault

COLUMNS = (
    "id",
    "first",
    "second",
    "quantity",
    "value",
    "plug",
    "switch",
    "earth",
    "temperature",
    "cut_out",
    "waveform",
    "load",
    "load_ohm",
    "load_rated_V",
    "load_rated_W",
    "load_tolerance",
    "instrument",
    "supply",
    "supply_voltage",
    "device",
    "proved",
    "repeats",
    "taken",
    "by",
    "as_found",
    "picture",
    "note",
)
NEEDED = ("first", "second", "quantity", "value")
"""Columns without which no row can be read."""

REPEATS_LIMIT = 500

Choice = TypeVar("Choice", bound=StrEnum)

_YES, _NO = ("yes", "y", "true", "1", "x"), ("no", "n", "false", "0", "")


def cells(one: Reading) -> dict[str, str]:
    """The cells of a reading by column."""
    load = one.load
    return {
        "id": one.id,
        "first": one.first,
        "second": one.second,
        "quantity": one.quantity.value,
        "value": one.typed,
        "plug": one.state.plug.value,
        "switch": one.state.switch.value,
        "earth": one.state.earth.value,
        "temperature": one.state.temperature.value,
        "cut_out": one.state.cut_out.value,
        "waveform": one.state.waveform.value,
        "load": load.kind.value,
        "load_ohm": _number_text(load.resistance),
        "load_rated_V": _number_text(load.rated_voltage),
        "load_rated_W": _number_text(load.rated_power),
        "load_tolerance": _number_text(load.tolerance),
        "instrument": one.instrument,
        "supply": one.supply.value,
        "supply_voltage": one.supply_typed,
        "device": one.device.value,
        "proved": "yes" if one.proved else "no",
        "repeats": "; ".join(one.repeats),
        "taken": one.taken,
        "by": one.by,
        "as_found": "yes" if one.as_found else "no",
        "picture": one.picture,
        "note": one.note,
    }


def _number_text(number: float | None) -> str:
    return "" if number is None else f"{number:.15g}" if float(f"{number:.15g}") == number else repr(number)


def reading(case: Case, row: Mapping[str, str], line: int, free_id: str, faults: Gathered) -> Reading | None:
    """The reading of a row, or None where a cell was refused; each refusal is one more fault."""
    before = len(faults)
    made = _Row(case=case, row=row, line=line, faults=faults).reading(free_id)
    return made if len(faults) == before else None


class _Row:
    """The cells of one row while they are read."""

    def __init__(self, *, case: Case, row: Mapping[str, str], line: int, faults: Gathered) -> None:
        self.case, self.row, self.line, self.faults = case, row, line, faults

    def cell(self, column: str) -> str:
        return self.row.get(column, "")

    def refuse(self, column: str, key: str, **about: object) -> None:
        self.faults.append(fault(at_line(self.line, column), key, **about))

    def reading(self, free_id: str) -> Reading:
        quantity = self.choice("quantity", Quantity, None) or Quantity.VOLTAGE
        first, second = self.point("first"), self.point("second")
        if first and first == second:
            self.refuse("second", "same_point", letter=first)
        typed = self.value("value", self.cell("value"), quantity, needed=True)
        return Reading(
            id=self.id(free_id),
            first=first,
            second=second,
            quantity=quantity,
            typed=typed,
            state=self.state(quantity),
            load=self.load(),
            instrument=self.instrument(),
            supply=self.choice("supply", SupplyKind, SupplyKind.DIRECT) or SupplyKind.DIRECT,
            supply_typed=self.value("supply_voltage", self.cell("supply_voltage"), Quantity.VOLTAGE),
            device=self.choice("device", TrippingDevice, TrippingDevice.NOT_NOTED) or TrippingDevice.NOT_NOTED,
            proved=self.truth("proved"),
            repeats=self.repeats(quantity),
            taken=self.cell("taken"),
            by=self.cell("by"),
            picture=self.picture(),
            as_found=self.truth("as_found"),
            note=self.cell("note"),
        )

    def id(self, free_id: str) -> str:
        given = self.cell("id")
        if given and not re.fullmatch("[A-Za-z0-9][A-Za-z0-9_-]{0,39}", given):
            self.refuse("id", "no_id", text=given[:60])
        return given or free_id

    def point(self, column: str) -> str:
        letter = self.cell(column).upper()
        if not letter:
            self.refuse(column, "missing_cell")
        elif self.case.point(letter) is None:
            letters = ", ".join(point.letter for point in self.case.points)
            self.refuse(column, "unknown_point" if letters else "no_points", letter=letter[:20], letters=letters)
        return letter

    def value(self, column: str, text: str, quantity: Quantity, *, needed: bool = False) -> str:
        """The text as typed, after it was tried whether it can be read."""
        if not text:
            if needed:
                self.refuse(column, "missing_cell")
            return ""
        if is_trip(text, quantity):
            return text
        if quantity is Quantity.LAMP:
            return self.chosen(column, text, Brightness) or ""
        try:
            read_value(text, quantity.value)
        except (TextNotUnderstoodError, UnitMismatchError) as error:
            self.refuse(column, "no_value", problem=wording.what(error), remedy=wording.remedy(error))
        return text

    def repeats(self, quantity: Quantity) -> tuple[str, ...]:
        texts = [text.strip() for text in self.cell("repeats").split(";")]
        if len(texts) > REPEATS_LIMIT:
            self.refuse("repeats", "too_many_items", limit=REPEATS_LIMIT)
            return ()
        return tuple(self.value("repeats", text, quantity) for text in texts if text)

    def state(self, quantity: Quantity) -> State:
        dead = quantity is Quantity.RESISTANCE
        without_switch = self.case.wiring.switch is SwitchPoles.NONE
        if not self.cell("switch") and not without_switch:
            self.refuse("switch", "missing_switch")
        return State(
            plug=self.choice("plug", PlugPosition, PlugPosition.UNPLUGGED if dead else PlugPosition.UNKNOWN)
            or PlugPosition.UNKNOWN,
            switch=self.choice("switch", SwitchPosition, SwitchPosition.NONE) or SwitchPosition.NONE,
            earth=self.choice("earth", EarthState, EarthState.AS_FOUND) or EarthState.AS_FOUND,
            temperature=self.choice("temperature", Temperature, Temperature.COLD) or Temperature.COLD,
            cut_out=self.choice("cut_out", CutOut, CutOut.CLOSED) or CutOut.CLOSED,
            waveform=self.choice("waveform", Waveform, Waveform.FULL) or Waveform.FULL,
        )

    def load(self) -> Load:
        kind = self.choice("load", LoadKind, LoadKind.NONE) or LoadKind.NONE
        load = Load(
            kind=kind,
            resistance=self.number("load_ohm"),
            rated_voltage=self.number("load_rated_V"),
            rated_power=self.number("load_rated_W"),
            tolerance=self.number("load_tolerance"),
        )
        needed = {LoadKind.RESISTOR: ("load_ohm",), LoadKind.LAMP: ("load_rated_V", "load_rated_W")}.get(kind, ())
        for column in needed:
            if not self.cell(column):
                self.refuse(column, "load_needs", load=kind.value)
        if kind is LoadKind.NONE and load != Load():
            self.refuse("load", "load_missing")
        return load

    def instrument(self) -> str:
        given = self.cell("instrument")
        for one in self.case.instruments:
            if given and given.casefold() in (one.id.casefold(), one.name.casefold()):
                return one.id
        if given:
            known = ", ".join(one.name or one.id for one in self.case.instruments)
            self.refuse("instrument", "unknown_instrument" if known else "no_instruments", text=given[:60], known=known)
        return ""

    def picture(self) -> str:
        given = self.cell("picture")
        if given and self.case.picture(given) is None:
            self.refuse("picture", "unknown_picture", text=given[:60])
        return given

    def truth(self, column: str) -> bool:
        text = self.cell(column).casefold()
        if text not in _YES + _NO:
            self.refuse(column, "no_yes_or_no", text=text[:60])
        return text in _YES

    def number(self, column: str) -> float | None:
        """A positive number without unit; point and comma are both decimal marks."""
        text = self.cell(column)
        if not text:
            return None
        plain = text.replace(",", ".")
        number = float(plain) if re.fullmatch(r"\d{1,15}(\.\d{1,20})?([eE][+-]?\d{1,3})?", plain) else math.nan
        if not 0 < number < math.inf:
            self.refuse(column, "no_positive_number", text=text[:60])
            return None
        return number

    def choice(self, column: str, kind: type[Choice], default: Choice | None) -> Choice | None:
        text = self.cell(column)
        if text:
            return self.chosen(column, text, kind)
        if default is None:
            self.refuse(column, "missing_cell")
        return default

    def chosen(self, column: str, text: str, kind: type[Choice]) -> Choice | None:
        for option in kind:
            if option.value.casefold() == " ".join(text.split()).casefold():
                return option
        options = ", ".join(f"“{option.value}”" for option in kind)
        self.refuse(column, "no_such_choice", text=text[:60], options=options)
        return None
