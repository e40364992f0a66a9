"""The part of a unit sheet on correspondence: what was sent, and what came in."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.letter import Letter
from hazardreport.storage.toml_fields import Sheet
from hazardreport.storage.unit_sheet_records import check_named, records

NAMES = ("letters",)
"""Top-level names of a sheet that are read here."""

NO_ADDRESSEE = "none"
"""What a sheet says where a letter belongs to none of the addressees."""


def with_letters(case: Case, document: Mapping[str, Any], sheet: Sheet) -> Case:
    """The case with the letters of the sheet; faults go to the sheet.

    A day that is none, an answer before its letter, a revision that never was are kept: the list of letters tells them.
    """
    for place, letter in records(Letter, case.letters, document, sheet, "letters", _alike):
        check_named(case, place, sheet, attachments=letter.attachments)
        if letter.addressee.strip().casefold() == NO_ADDRESSEE:
            letter = replace(letter, addressee="")
        if letter.answers and case.letter(letter.answers) is None:
            sheet.found(f"{place}.answers", "unknown_letter", text=letter.answers)
        if letter.file_sha256 and not re.fullmatch("[0-9a-f]{64}", letter.file_sha256):
            sheet.found(f"{place}.file_sha256", "no_hash", text=letter.file_sha256)
        change = edits.add_letter if case.letter(letter.id) is None else edits.change_letter
        case = change(case, letter)
    return case


def _alike(old: Letter, new: Letter) -> bool:
    return (old.kind, old.whom, old.day) == (new.kind, new.whom, new.day)
