"""Cases for the tests of addressees: every field answered, and one field changed."""

from dataclasses import fields, replace
from typing import Any

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Finding, FindingAnswer, FindingClaim, SubmitterCategory
from hazardreport.case.picture import Picture
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.stated import Stated, unknown, value

PICTURE = Picture(
    id="picture-001",
    file="picture-001.jpg",
    original_name="plate.jpg",
    media_type="image/jpeg",
    sha256="ab" * 32,
    size=1000,
    width=400,
    height=300,
)
CLAIMS = {"findings.dangerous": FindingClaim.DANGEROUS, "findings.protection": FindingClaim.PROTECTION}


def answered(record: Any) -> Any:
    """The record with every open `Stated` and `Answer` field answered."""
    changes: dict[str, Any] = {}
    for field in fields(record):
        held = getattr(record, field.name)
        if isinstance(held, Stated):
            changes[field.name] = value(f"{field.name} as told")
        elif isinstance(held, Answer):
            changes[field.name] = Answer.YES
        elif isinstance(held, SubmitterCategory):
            changes[field.name] = SubmitterCategory.CONSUMER
    return replace(record, **changes)


def full_case() -> Case:
    """A case that answers everything that any profile asks."""
    case = Case(id="WP-1")
    return replace(
        case,
        unit=answered(case.unit),
        occurrence=answered(case.occurrence),
        submitter=answered(case.submitter),
        consents=answered(case.consents),
        custody=answered(case.custody),
        pictures=(PICTURE,),
        readings=(Reading(id="reading-001", first="A", second="D", quantity=Quantity.VOLTAGE, typed="117 V"),),
        findings=(
            Finding(id="finding-001", text="The rim was live.", claim=FindingClaim.DANGEROUS),
            Finding(id="finding-002", text="The earth core was not connected.", claim=FindingClaim.PROTECTION),
        ),
    )


def omitted(case: Case, link: str) -> Case:
    """The case without that field."""
    if link == "pictures":
        return replace(case, pictures=())
    if link == "readings":
        return replace(case, readings=())
    if link in CLAIMS:
        return replace(case, findings=tuple(f for f in case.findings if f.claim is not CLAIMS[link]))
    return _with(case, link, {Stated: Stated(), Answer: Answer.OPEN, SubmitterCategory: SubmitterCategory.OPEN})


def absent(case: Case, link: str) -> Case:
    """The case in which that field is absent and says why."""
    if link in CLAIMS:
        findings = tuple(
            replace(f, answer=FindingAnswer.COULD_NOT_CHECK) if f.claim is CLAIMS[link] else f for f in case.findings
        )
        return replace(case, findings=findings)
    if link in ("pictures", "readings", "submitter.category"):
        return edits.state_absence(omitted(case, link), link, "the camera was broken")
    return _with(case, link, {Stated: unknown("the plate is worn off"), Answer: Answer.NO})


def _with(case: Case, link: str, answers: dict[type, Any]) -> Case:
    record, name = link.split(".")
    owner = getattr(case, record)
    return replace(case, **{record: replace(owner, **{name: answers[type(getattr(owner, name))]})})
