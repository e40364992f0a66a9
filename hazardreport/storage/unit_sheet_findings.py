"""The part of a unit sheet on what was found: marks, findings, requirements, ways to an injury, repair and misuse."""

from collections.abc import Iterable, Mapping
from typing import Any

from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import Scenario
from hazardreport.case.unit import ConformityMark
from hazardreport.storage.toml_fields import Sheet
from hazardreport.storage.unit_sheet_records import check_named, records

NAMES = ("conformity_marks", "findings", "requirements", "scenarios")
"""Top-level names of a sheet that are read here."""

HIGHEST_SEVERITY = 4
ALTERATIONS = ("repairs", "changes", "misuse")


def with_findings(case: Case, document: Mapping[str, Any], sheet: Sheet) -> Case:
    """The case with what the sheet says was found; faults go to the sheet."""
    if "upkeep" in document:
        for name in ALTERATIONS:
            check_named(case, f"upkeep.{name}", sheet, pictures=getattr(case.upkeep, name).pictures)
    case = _with_marks(case, document, sheet)
    for place, finding in records(Finding, case.findings, document, sheet, "findings", _alike_findings):
        check_named(case, place, sheet, pictures=finding.pictures, readings=finding.readings)
        new = all(one.id != finding.id for one in case.findings)
        case = (edits.add_finding if new else edits.change_finding)(case, finding)
    case = _with_requirements(case, document.get("requirements", []), sheet)
    return _with_scenarios(case, document, sheet)


def _alike_findings(old: Finding, new: Finding) -> bool:
    return old.text == new.text


def _alike_marks(old: ConformityMark, new: ConformityMark) -> bool:
    return (old.mark, old.number, old.place) == (new.mark, new.number, new.place)


def _alike_scenarios(old: Scenario, new: Scenario) -> bool:
    return old.title == new.title


def _with_marks(case: Case, document: Mapping[str, Any], sheet: Sheet) -> Case:
    rows = records(ConformityMark, case.conformity_marks, document, sheet, "conformity_marks", _alike_marks)
    for place, mark in rows:
        if mark.picture and case.picture(mark.picture) is None:
            sheet.found(f"{place}.picture", "unknown_picture", text=mark.picture)
        if mark.point and case.point(mark.point) is None:
            letters = ", ".join(point.letter for point in case.points)
            sheet.found(
                f"{place}.point", "unknown_point" if letters else "no_points", letter=mark.point, letters=letters
            )
        new = all(one.id != mark.id for one in case.conformity_marks)
        case = (edits.add_conformity_mark if new else edits.change_conformity_mark)(case, mark)
    return case


def _with_requirements(case: Case, tables: object, sheet: Sheet) -> Case:
    """Answers by the key of their requirement: one that the case has is answered anew."""
    from hazardreport.risk.requirements import requirements

    seen: set[str] = set()
    for place, table in sheet.tables(tables, "requirements"):
        present = case.requirement(str(table.get("id", "")).strip())
        if present is None:
            answer = sheet.made(RequirementAnswer, table, place)
        else:
            answer = sheet.changed(present, table, place)
        if answer is None:
            continue
        if answer.id in seen:
            sheet.found(f"{place}.id", "repeated", text=answer.id)
            continue
        seen.add(answer.id)
        _check_key(answer.id, (one.key for one in requirements()), f"{place}.id", sheet)
        check_named(case, place, sheet, pictures=answer.pictures, readings=answer.readings)
        case = edits.answer_requirement(case, answer)
    return case


def _check_key(key: str, known: Iterable[str], place: str, sheet: Sheet) -> None:
    if key not in (every := tuple(known)):
        sheet.found(place, "no_such_choice", text=key, options=", ".join(f"“{one}”" for one in every))


def _with_scenarios(case: Case, document: Mapping[str, Any], sheet: Sheet) -> Case:
    """Ways to an injury; a probability is kept as it is typed, and judged where the risk is."""
    from hazardreport.risk.hazards import hazards
    from hazardreport.risk.injuries import injuries

    for place, scenario in records(Scenario, case.scenarios, document, sheet, "scenarios", _alike_scenarios):
        if scenario.hazard:
            _check_key(scenario.hazard, (one.key for one in hazards()), f"{place}.hazard", sheet)
        if scenario.injury:
            _check_key(scenario.injury, (one.key for one in injuries()), f"{place}.injury", sheet)
        if scenario.severity > HIGHEST_SEVERITY:
            sheet.found(f"{place}.severity", "severity", text=str(scenario.severity))
        check_named(case, place, sheet, findings=scenario.findings)
        for number, step in enumerate(scenario.steps):
            at = f"{place}.steps[{number}]"
            check_named(case, at, sheet, pictures=step.pictures, readings=step.readings)
        new = case.scenario(scenario.id) is None
        case = (edits.add_scenario if new else edits.change_scenario)(case, scenario)
    return case
