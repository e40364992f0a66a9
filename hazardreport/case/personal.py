"""Which texts of a case identify a person, which may do so because people write them freely, and which never do.

A place is written as the record has it: "readings[].by", "submitter.email"; a `Stated` field stands for its text and
its reason. Pictures have their own answer (`Picture.recognisable`), attachments are never published.
"""

from collections.abc import Mapping
from dataclasses import fields
from enum import StrEnum

from hazardreport.case.scenario import HarmFactors
from hazardreport.case.stated import Stated
from hazardreport.case.unit import Unit


class Person(StrEnum):
    """Whom a personal field is about; a person is erased by this."""

    SUBMITTER = "submitter"
    MEASURER = "measurer"
    KEEPER = "keeper"
    OTHERS = "others"


PERSONAL: Mapping[str, Person] = {
    "submitter.first_name": Person.SUBMITTER,
    "submitter.last_name": Person.SUBMITTER,
    "submitter.address": Person.SUBMITTER,
    "submitter.email": Person.SUBMITTER,
    "submitter.phone": Person.SUBMITTER,
    "submitter.guardian": Person.SUBMITTER,
    "occurrence.contacts": Person.SUBMITTER,
    "occurrence.injured_person": Person.OTHERS,
    "harm_factors.assessor": Person.MEASURER,
    "confirmations[].name": Person.OTHERS,
    "confirmations[].second_reader": Person.OTHERS,
    "letters[].person": Person.OTHERS,
    "competence.name": Person.MEASURER,
    "competence.qualification": Person.MEASURER,
    "competence.permitted": Person.MEASURER,
    "cautions[].by": Person.MEASURER,
    "readings[].by": Person.MEASURER,
    "steps[].by": Person.MEASURER,
    "steps[].informed": Person.KEEPER,
    "custody.kept_at": Person.KEEPER,
    "items[].place": Person.KEEPER,
    "transfers[].giver": Person.KEEPER,
    "transfers[].taker": Person.KEEPER,
    "transfers[].place": Person.KEEPER,
    "anchors[].whom": Person.KEEPER,
    "pictures[].original_name": Person.OTHERS,
    "attachments[].original_name": Person.OTHERS,
    "private_words[]": Person.OTHERS,
}
"""Always about a person: never in a publication, and only as salted hashes in the log."""

FREE_TEXT = frozenset(
    (
        "title",
        *(f"unit.{field.name}" for field in fields(Unit)),
        "wiring.circuit_breaker",
        "wiring.note",
        "household.place",
        "household.users",
        "household.reasons",
        "occurrence.narrative",
        "occurrence.date",
        "occurrence.injury",
        "occurrence.treatment",
        "occurrence.maintained",
        "submitter.country",
        "custody.kept_until",
        "custody.units_examined",
        "custody.units_faulty",
        "points[].description",
        "pictures[].camera",
        "pictures[].caption",
        "pictures[].description",
        "pictures[].marks[].text",
        "pictures[].covers[].reason",
        "instruments[].name",
        "instruments[].kind",
        "instruments[].serial",
        "instruments[].calibrated_by",
        "readings[].note",
        "findings[].text",
        "findings[].requirement",
        "findings[].cause",
        "absences[].reason",
        "exposures[].reason",
        "attachments[].caption",
        "items[].description",
        "items[].label",
        "items[].condition",
        "items[].since",
        "transfers[].when",
        "transfers[].purpose",
        "transfers[].condition",
        "steps[].what",
        "steps[].when",
        "anchors[].when",
        "anchors[].reference",
        "household.use",
        "occurrence.damage",
        "consents.early_publication",
        *(f"upkeep.{name}.text" for name in ("socket_earth", "cord", "cleaning", "instructions")),
        *(f"upkeep.{name}.text" for name in ("repairs", "changes", "misuse")),
        *(f"conformity_marks[].{name}" for name in ("mark", "holder", "number", "place", "note")),
        "requirements[].note",
        "scenarios[].title",
        "scenarios[].who",
        "scenarios[].severity_reason",
        "scenarios[].steps[].text",
        "scenarios[].steps[].reason",
        *(
            f"harm_factors.{field.name}"
            for field in fields(HarmFactors)
            if field.type is Stated and field.name != "assessor"
        ),
        "confirmations[].note",
        "letters[].whom",
        "letters[].day",
        "letters[].means",
        "letters[].reference",
        "letters[].text",
        "letters[].answer_by",
    )
)
"""Written freely, so a name may stand in it: salted hashes in the log; published without private words."""

_STATED = ("text", "reason")


def person_of(place: str) -> Person | None:
    """Whom the text at a place is about, or None if it is not always about a person.

    >>> person_of("readings[].by").value, person_of("submitter.email.text").value, person_of("unit.model.text")
    ('measurer', 'submitter', None)
    """
    return PERSONAL.get(place) or PERSONAL.get(_field(place))


def is_withheld_in_log(place: str) -> bool:
    """Whether a text enters the log only as a salted hash."""
    field = _field(place)
    return any(name in PERSONAL or name in FREE_TEXT for name in (place, field))


def _field(place: str) -> str:
    """The field of a `Stated` text or reason."""
    field, _, last = place.rpartition(".")
    return field if last in _STATED else place
