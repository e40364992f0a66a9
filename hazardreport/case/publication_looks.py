"""Parts of a publication that look as if they told who or where somebody is; a person has to look at them.

They are only listed: a serial number may look like a telephone number.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from enum import Enum

from hazardreport.case.case import Case
from hazardreport.case.identifying_words import addresses_and_numbers
from hazardreport.case.publication_places import IDS, KEPT, LINKS

_DEGREES = r"[-+]?\d{1,3}\.\d{3,}"
_COORDINATES = re.compile(
    rf"(?<![\d.]){_DEGREES}\s?°?\s?[NS]?\s?[,;/ ]\s?{_DEGREES}(?![\d.])|\d{{1,3}}\s?°\s?\d{{1,2}}\s?['′]"
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Look:
    """Where it stands, records by their id, and what stands there."""

    place: str
    text: str


def looks(case: Case) -> tuple[Look, ...]:
    """E-mail addresses, telephone numbers and coordinates in the texts of a published case, in its order.

    The numbers of the case and of the unit are known for what they are.
    """
    known = (case.id, case.unit.serial.text, case.unit.barcode.text)
    return tuple(
        Look(place=place, text=found)
        for place, text in _texts(case, "", "")
        for found in dict.fromkeys((*addresses_and_numbers(text), *_COORDINATES.findall(text)))
        if not any(found in one for one in known)
    )


def _texts(value: object, place: str, shown: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        if not isinstance(value, Enum) and place not in KEPT and place not in LINKS and place not in IDS:
            yield shown, value
    elif isinstance(value, tuple):
        for index, item in enumerate(value):
            name = getattr(item, "id", "") or getattr(item, "letter", "") or index
            yield from _texts(item, f"{place}[]", f"{shown}[{name}]")
    elif is_dataclass(value):
        for field in fields(value):
            inner, told = (f"{name}.{field.name}" if name else field.name for name in (place, shown))
            yield from _texts(getattr(value, field.name), inner, told)
