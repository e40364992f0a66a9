"""Answers to construction requirements: what was looked for on the unit, and what shows it."""

from dataclasses import dataclass

from hazardreport.case.circumstances import FindingAnswer


@dataclass(frozen=True, kw_only=True, slots=True)
class RequirementAnswer:
    """Answer to one construction requirement.

    id        key of the requirement in resources/requirements
    answer    seen, not seen, could not check
    note      what exactly was seen, or why it could not be checked
    pictures, readings   ids of what shows it
    """

    id: str
    answer: FindingAnswer
    note: str = ""
    pictures: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
