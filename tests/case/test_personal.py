"""Every text of the records is personal, free, or plain; a new field must be put into one of the three."""

import types
import typing
from collections.abc import Iterator
from dataclasses import dataclass, is_dataclass
from enum import StrEnum

import pytest

from hazardreport.case.case import Case
from hazardreport.case.personal import FREE_TEXT, PERSONAL, Person, is_withheld_in_log, person_of
from hazardreport.case.stated import Stated

IDS_AND_LINKS = {
    "id",
    "addressee",
    "absences[].field",
    "cautions[].caution",
    "cautions[].test",
    "points[].letter",
    "pictures[].id",
    "pictures[].file",
    "pictures[].placements[].letter",
    "pictures[].marks[].id",
    "pictures[].covers[].id",
    "instruments[].id",
    "readings[].id",
    "readings[].first",
    "readings[].second",
    "readings[].instrument",
    "readings[].picture",
    "findings[].id",
    "findings[].pictures[]",
    "findings[].readings[]",
    "exposures[].id",
    "attachments[].id",
    "attachments[].file",
    "attachments[].still",
    "items[].id",
    "items[].pictures[]",
    "transfers[].id",
    "transfers[].items[]",
    "transfers[].picture",
    "steps[].id",
    "steps[].items[]",
    "steps[].pictures[]",
    "steps[].readings[]",
    "anchors[].id",
    "anchors[].attachment",
    *(f"upkeep.{name}.pictures[]" for name in ("repairs", "changes", "misuse")),
    "conformity_marks[].id",
    "conformity_marks[].picture",
    "conformity_marks[].point",
    "requirements[].id",
    "requirements[].pictures[]",
    "requirements[].readings[]",
    "scenarios[].id",
    "scenarios[].hazard",
    "scenarios[].injury",
    "scenarios[].findings[]",
    "scenarios[].steps[].pictures[]",
    "scenarios[].steps[].readings[]",
    "confirmations[].id",
    "confirmations[].table",
    "letters[].id",
    "letters[].addressee",
    "letters[].answers",
    "letters[].attachments[]",
}
OF_FILES = {
    "pictures[].media_type",
    "pictures[].sha256",
    "pictures[].claimed_time",
    "pictures[].imported",
    "pictures[].derived_from",
    "attachments[].media_type",
    "attachments[].sha256",
    "attachments[].imported",
    "anchors[].head",
    "published_from",
    "confirmations[].sha256",
    "letters[].file_sha256",
}
VALUES_AND_DAYS = {
    "created",
    "consents.verified_on",
    "competence.stated",
    "cautions[].when",
    "instruments[].calibrated",
    "readings[].typed",
    "readings[].supply_typed",
    "readings[].repeats[]",
    "readings[].taken",
    "scenarios[].steps[].probability",
    "harm_factors.assessed_on",
    "confirmations[].edition",
    "confirmations[].page",
    "confirmations[].day",
    "confirmations[].second_day",
    "confirmations[].rows[][]",
}
PLAIN = IDS_AND_LINKS | OF_FILES | VALUES_AND_DAYS


def text_places(kind: object, place: str = "") -> Iterator[str]:
    """Places of all texts in a record, as `case.personal` writes them; a `Stated` field is one place."""
    if kind is str or kind is Stated:
        yield place
    elif isinstance(kind, type) and issubclass(kind, StrEnum):
        return
    elif typing.get_origin(kind) in (types.UnionType, typing.Union):
        for option in typing.get_args(kind):
            yield from text_places(option, place)
    elif typing.get_origin(kind) is tuple:
        for inner in dict.fromkeys(typing.get_args(kind)):
            yield from text_places(inner, f"{place}[]")
    elif isinstance(kind, type) and is_dataclass(kind):
        for name, hint in typing.get_type_hints(kind).items():
            yield from text_places(hint, f"{place}.{name}" if place else name)
    elif kind not in (int, float, bool, types.NoneType, Ellipsis):
        raise TypeError(f"{place}: this guard does not know {kind}")


def unsorted(kind: object) -> set[str]:
    """Text places that are in none of the three groups."""
    return set(text_places(kind)) - set(PERSONAL) - FREE_TEXT - PLAIN


def test_every_text_of_a_case_is_personal_free_or_plain() -> None:
    assert unsorted(Case) == set()


def test_no_text_is_in_two_groups_and_no_group_names_a_text_that_is_not_there() -> None:
    groups = [*PERSONAL, *FREE_TEXT, *PLAIN]
    assert len(groups) == len(set(groups))
    assert set(groups) == set(text_places(Case))


@dataclass(frozen=True, kw_only=True, slots=True)
class PlantedWitness:
    name: str = ""
    told: Stated = Stated()
    age: int = 0
    further: tuple[tuple[float, str], ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class PlantedCase:
    title: str = ""
    witness: PlantedWitness | None = None
    more: tuple[PlantedWitness, ...] = ()


def test_a_planted_field_is_caught_at_any_depth() -> None:
    assert unsorted(PlantedCase) == {
        f"{room}.{name}" for room in ("witness", "more[]") for name in ("name", "told", "further[][]")
    }


def test_a_record_that_the_guard_cannot_read_is_an_error() -> None:
    @dataclass(frozen=True, kw_only=True, slots=True)
    class Planted:
        notes: object = None

    with pytest.raises(TypeError):
        unsorted(Planted)


def test_personal_and_free_texts_enter_the_log_as_hashes_only() -> None:
    for place in (*PERSONAL, *FREE_TEXT):
        assert is_withheld_in_log(place)
    for place in ("unit.serial.text", "submitter.email.reason", "items[].place"):
        assert is_withheld_in_log(place)
    for place in PLAIN:
        assert not is_withheld_in_log(place)


def test_a_person_is_found_by_place() -> None:
    assert person_of("submitter.address.reason") is Person.SUBMITTER
    assert person_of("steps[].by") is Person.MEASURER
    assert person_of("transfers[].taker") is Person.KEEPER
    assert person_of("private_words[]") is Person.OTHERS
    assert person_of("unit.serial") is None
    assert person_of("items[].label") is None
