"""What a person has to look at in a publication: it is listed with its place, nothing is replaced."""

from dataclasses import replace

import pytest

from hazardreport.case.case import Case
from hazardreport.case.publication_looks import Look, looks
from hazardreport.case.reading import Quantity, Reading

READING = Reading(id="reading-001", first="A", second="B", quantity=Quantity.VOLTAGE, typed="231 V")


@pytest.mark.parametrize(
    ("note", "found"),
    [
        ("ask r.oakes@x.example", "r.oakes@x.example"),
        ("call +49 221 555-0147", "+49 221 555-0147"),
        ("found at 50.9375, 6.9603 by the door", "50.9375, 6.9603"),
    ],
)
def test_what_looks_like_an_address_is_listed(note: str, found: str) -> None:
    case = Case(id="HR-1", title="Wax pot", readings=(replace(READING, note=note),))
    assert looks(case) == (Look(place="readings[reading-001].note", text=found),)


def test_readings_and_dates_are_not() -> None:
    note = "231.4 V on 2026-11-20, then 0.350 mA; 14.11.2026"
    assert looks(Case(id="HR-1", title="Wax pot", readings=(replace(READING, note=note),))) == ()
