"""A unit sheet: one TOML file with the unit, its wiring and circumstances, into the case as one edit.

An empty text, and a field that is not there, leave the case as it is. All faults of a sheet are told together, each
with its line and field; a sheet with a fault changes nothing.
"""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Competence
from hazardreport.case.exposure import OwnExposure
from hazardreport.case.picture import Point
from hazardreport.case.reading import Instrument
from hazardreport.case.wiring import Element, Filter, Wiring
from hazardreport.errors import UnitSheetRefusedError
from hazardreport.quantity.formatting import format_value
from hazardreport.storage import files, unit_sheet_custody, unit_sheet_findings, unit_sheet_letters
from hazardreport.storage.faults import at_line, fault, listing
from hazardreport.storage.toml_fields import Sheet
from hazardreport.storage.toml_lines import line_numbers
from hazardreport.storage.toml_shape import shape_faults
from hazardreport.storage.unit_sheet_custody import with_custody
from hazardreport.storage.unit_sheet_findings import with_findings
from hazardreport.storage.unit_sheet_letters import with_letters

BYTE_LIMIT = 1_000_000
SECTIONS = (
    "unit",
    "wiring",
    "household",
    "occurrence",
    "submitter",
    "consents",
    "custody",
    "situation",
    "upkeep",
    "harm_factors",
)
"""Tables of a sheet that are one record of the case each, with its name."""

NAMES = (
    *("title", *SECTIONS, "competence", "points", "instruments", "exposures", "absent"),
    *(*unit_sheet_findings.NAMES, *unit_sheet_custody.NAMES, *unit_sheet_letters.NAMES),
)
"""Every top-level name of a sheet."""

PERCENTILES = (5, 50, 95)
"""Columns of the body impedance tables that an exposure may name."""

LARGEST = {"nominal_voltage": (1000.0, "V"), "frequency": (1000.0, "Hz")}
LARGEST_OF_FILTER = dict.fromkeys(("y_capacitance_1", "y_capacitance_2", "x_capacitance"), (100e-6, "F"))
LARGEST_OF_ELEMENT = {"rated_voltage": (1000.0, "V"), "rated_power": (100e3, "W")}
"""Above these a number of a sheet is a slip: (largest, unit)."""

ABSENT = {
    "pictures": "pictures",
    "readings": "readings",
    "dangerous": "findings.dangerous",
    "protection": "findings.protection",
    "submitter_category": "submitter.category",
}
"""What may be absent as a whole: its name in a sheet, and in the case."""

_LINE = re.compile(r"\(at line (\d+), column \d+\)")


def read_unit_sheet(case: Case, path: Path) -> Case:
    """The case with what the sheet says.

    Raises
    ------
    CouldNotReadError
        If the file cannot be read.
    UnitSheetRefusedError
        If anything in it is not known or does not fit, with every such place; the case is then as it was.
    """
    document, sheet = _loaded(path)
    changed = _with_document(case, document, sheet)
    if sheet.faults:
        raise UnitSheetRefusedError(
            path=str(path), count=len(sheet.faults), listing=listing(sheet.faults), details=tuple(sheet.faults)
        )
    return changed


def _loaded(path: Path) -> tuple[Mapping[str, Any], Sheet]:
    """Tables of the file; a file that is no TOML at all is a fault of its own."""
    data = files.read(path)
    sheet = Sheet(lines={})
    if len(data) > BYTE_LIMIT:
        sheet.faults.append(fault("", "too_many_bytes", limit=BYTE_LIMIT // 1_000_000))
        return {}, sheet
    try:
        text = data.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        sheet.faults.append(fault("", "not_utf8", byte=error.start))
        return {}, sheet
    sheet.faults.extend(shape_faults(text))
    if sheet.faults:
        return {}, sheet
    try:
        document = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as error:
        line = _LINE.search(str(error))
        place = at_line(int(line[1]) if line else None, "")
        sheet.faults.append(fault(place, "no_toml", problem=_LINE.sub("", str(error)).strip()[:200]))
        return {}, sheet
    sheet.lines = line_numbers(text)
    return document, sheet


def _with_document(case: Case, document: Mapping[str, Any], sheet: Sheet) -> Case:
    sheet.known(document, NAMES, "")
    if (title := sheet.read(document.get("title", ""), str, "title", "")) and isinstance(title, str):
        case = edits.set_title(case, title)
    for name in SECTIONS:
        if name in document:
            record = sheet.changed(getattr(case, name), sheet.table(document[name], name), name)
            case = replace(case, **{name: record})
    _check_wiring(case, document, sheet)
    case = _with_points(case, document.get("points", []), sheet)
    case = _with_instruments(case, document.get("instruments", []), sheet)
    case = _with_exposures(case, document.get("exposures", []), sheet)
    case = with_findings(case, document, sheet)
    case = with_custody(case, document, sheet)
    case = with_letters(case, document, sheet)
    case = _with_absences(case, sheet.table(document.get("absent", {}), "absent"), sheet)
    stated = sheet.table(document.get("competence", {}), "competence")
    if any(text != "" for text in stated.values()):
        competence = sheet.made(Competence, stated, "competence")
        if competence and not competence.dated:
            sheet.found("competence.stated", "no_date", text=competence.stated[:60])
        case = edits.state_competence(case, competence) if competence else case
    return case


def _check_wiring(case: Case, document: Mapping[str, Any], sheet: Sheet) -> None:
    """Numbers that no household unit has."""
    wiring = case.wiring
    if "wiring" not in document:
        return
    if wiring.cord_cores not in (None, 2, 3):
        sheet.found("wiring.cord_cores", "cord_cores", text=str(wiring.cord_cores))
    for name in ("nominal_voltage", "frequency", "electrode_resistance", "switch_leakage", "cut_out_leakage"):
        if getattr(wiring, name) == 0:
            sheet.found(f"wiring.{name}", "no_such_number", text="0")
    for name in ("y_capacitance_1", "y_capacitance_2", "x_capacitance", "bleeder_resistance"):
        if getattr(wiring.filter, name) == 0:
            sheet.found(f"wiring.filter.{name}", "no_such_number", text="0")
    _check_largest(sheet, wiring, "wiring", LARGEST)
    _check_largest(sheet, wiring.filter, "wiring.filter", LARGEST_OF_FILTER)
    _check_elements(wiring, sheet)


def _check_largest(
    sheet: Sheet, record: Wiring | Filter | Element, place: str, largest: Mapping[str, tuple[float, str]]
) -> None:
    """Numbers that are above anything a household unit has: a slip of the prefix, or of the keyboard."""
    for name, (limit, unit) in largest.items():
        value = getattr(record, name)
        if value is not None and value > limit:
            given, most = format_value(value, unit), format_value(limit, unit)
            sheet.found(f"{place}.{name}", "too_large", text=given, limit=most)


def _check_elements(wiring: Wiring, sheet: Sheet) -> None:
    count = 1 + len(wiring.more_elements)
    if not 1 <= wiring.faulty_element <= count:
        sheet.found("wiring.faulty_element", "no_such_element", text=str(wiring.faulty_element), count=count)
    places = ("wiring.element", *(f"wiring.more_elements[{number}]" for number in range(len(wiring.more_elements))))
    for place, element in zip(places, (wiring.element, *wiring.more_elements), strict=True):
        _check_largest(sheet, element, place, LARGEST_OF_ELEMENT)
        for name in ("rated_voltage", "rated_power", "hot_factor"):
            if getattr(element, name) == 0:
                sheet.found(f"{place}.{name}", "no_such_number", text="0")
        if element.open_at is not None and element.open_at > 1.0:
            sheet.found(f"{place}.open_at", "no_fraction", text=f"{element.open_at:g}")


def _with_points(case: Case, tables: object, sheet: Sheet) -> Case:
    """Points by letter: a letter that the case has is described anew."""
    seen: set[str] = set()
    for place, table in sheet.tables(tables, "points"):
        letter = table.get("letter")
        present = case.point(letter.strip().upper()) if isinstance(letter, str) else None
        if present is None:
            point = sheet.made(Point, table, place)
        else:
            point = sheet.changed(present, {**table, "letter": present.letter}, place)
        if point is None:
            continue
        point = replace(point, letter=point.letter.upper())
        if not re.fullmatch("[A-Z]{1,2}", point.letter):
            sheet.found(f"{place}.letter", "no_letter", text=point.letter)
        elif point.letter in seen:
            sheet.found(f"{place}.letter", "repeated", text=point.letter)
        else:
            seen.add(point.letter)
            case = edits.add_point(case, point)
    return case


def _with_instruments(case: Case, tables: object, sheet: Sheet) -> Case:
    """Instruments by id, or by name where no id is given: one that the case has is described anew."""
    seen: set[str] = set()
    for place, table in sheet.tables(tables, "instruments"):
        given = {name: item for name, item in table.items() if item != ""}
        present = next(
            (
                one
                for one in case.instruments
                if one.id == given.get("id") or ("id" not in given and one.name and one.name == given.get("name"))
            ),
            None,
        )
        if present is not None:
            instrument: Instrument | None = sheet.changed(present, table, place)
        else:
            free = edits.next_id("instrument", (one.id for one in case.instruments))
            instrument = sheet.made(Instrument, {**table, "id": given.get("id", free)}, place)
        if instrument is None:
            continue
        if instrument.id in seen:
            sheet.found(place, "repeated", text=instrument.id)
        elif not re.fullmatch("[A-Za-z0-9][A-Za-z0-9_-]{0,39}", instrument.id):
            sheet.found(f"{place}.id", "no_id", text=instrument.id)
        else:
            seen.add(instrument.id)
            change = edits.add_instrument if case.instrument(instrument.id) is None else edits.change_instrument
            case = change(case, instrument)
    return case


def _with_exposures(case: Case, tables: object, sheet: Sheet) -> Case:
    """Exposures by id: one that the case has is described anew; one without id is added unless it is there."""
    seen: set[str] = set()
    for place, table in sheet.tables(tables, "exposures"):
        given = {name: item for name, item in table.items() if item != ""}
        present = next((one for one in case.exposures if one.id == given.get("id")), None)
        if present is not None:
            exposure: OwnExposure | None = sheet.changed(present, table, place)
        else:
            free = edits.next_id("exposure", (one.id for one in case.exposures))
            exposure = sheet.made(OwnExposure, {**table, "id": given.get("id", free)}, place)
        if exposure is None or any(replace(one, id=exposure.id) == exposure for one in case.exposures):
            continue
        if exposure.percentile not in PERCENTILES:
            sheet.found(f"{place}.percentile", "percentile", text=str(exposure.percentile))
        if exposure.duration == 0:
            sheet.found(f"{place}.duration", "no_such_number", text="0")
        if exposure.id in seen:
            sheet.found(f"{place}.id", "repeated", text=exposure.id)
            continue
        if not re.fullmatch("[A-Za-z0-9][A-Za-z0-9_-]{0,39}", exposure.id):
            sheet.found(f"{place}.id", "no_id", text=exposure.id)
            continue
        seen.add(exposure.id)
        case = (edits.add_exposure if present is None else edits.change_exposure)(case, exposure)
    return case


def _with_absences(case: Case, table: Mapping[str, Any], sheet: Sheet) -> Case:
    """Reasons why something is absent as a whole."""
    sheet.known(table, ABSENT, "absent")
    for name, field in ABSENT.items():
        reason = table.get(name, "")
        if not isinstance(reason, str):
            sheet.found(f"absent.{name}", "no_text", text=str(reason)[:60])
        elif reason.strip():
            case = edits.state_absence(case, field, reason.strip())
    return case
