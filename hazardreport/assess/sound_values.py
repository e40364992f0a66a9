"""Values that no unit and no person can have, as a damaged file may hold them: not calculated with, and said.

Sheets and window refuse them when they are typed; a case that comes from elsewhere is opened all the same, and the rest
of it is assessed.
"""

from collections.abc import Iterator
from dataclasses import fields, replace

from hazardreport.assess.records import Problem
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Household
from hazardreport.case.exposure import OwnExposure
from hazardreport.case.wiring import Element, Filter, Wiring


def sound_case(case: Case) -> Case:
    """The case that can be calculated: without a wiring, a floor or exposures that cannot be."""
    kept = tuple(one for one in case.exposures if not _of_exposure(one))
    wiring = case.wiring if not any(_of_wiring(case.wiring)) else Wiring()
    household = case.household
    if any(_below_zero(household, "")):
        household = replace(household, floor_resistance=None)
    if wiring is case.wiring and household is case.household and len(kept) == len(case.exposures):
        return case
    return replace(case, wiring=wiring, household=household, exposures=kept)


def value_problems(case: Case) -> tuple[Problem, ...]:
    """A problem for each such value of the case."""
    found = [
        Problem(
            key="value_not_possible",
            kind="wiring",
            id="" if "." in place else place,
            fields=(("name", _words(place)), ("value", text)),
        )
        for place, text in _of_wiring(case.wiring)
    ]
    for name, text in _below_zero(case.household, ""):
        told = (("name", _words(name)), ("value", text))
        found.append(Problem(key="household_not_possible", kind="household", id=name, fields=told))
    for one in case.exposures:
        for name, text in _of_exposure(one):
            told = (("name", _words(name)), ("value", text))
            found.append(Problem(key="exposure_not_possible", kind="exposure", id=one.id, fields=told))
    return tuple(found)


def _of_wiring(wiring: Wiring) -> Iterator[tuple[str, str]]:
    """Field and value of what a wiring cannot have: numbers below zero, breaks outside, elements that are not there."""
    yield from _below_zero(wiring, "")
    yield from _below_zero(wiring.filter, "filter.")
    every = (wiring.element, *wiring.more_elements)
    for place, element in zip(("element", *("more_elements" for _ in wiring.more_elements)), every, strict=True):
        yield from _below_zero(element, f"{place}.")
        if element.open_at is not None and element.open_at > 1.0:
            yield f"{place}.open_at", f"{element.open_at:g}"
    if not 1 <= wiring.faulty_element <= len(every):
        yield "faulty_element", str(wiring.faulty_element)


def _below_zero(record: Wiring | Filter | Element | Household | OwnExposure, place: str) -> Iterator[tuple[str, str]]:
    for one in fields(record):
        value = getattr(record, one.name)
        if isinstance(value, int | float) and value < 0:
            yield place + one.name, f"{value:g}"


def _of_exposure(exposure: OwnExposure) -> tuple[tuple[str, str], ...]:
    return tuple(_below_zero(exposure, ""))


def _words(place: str) -> str:
    """A field as people read it."""
    return place.replace(".", ": ").replace("_", " ")
