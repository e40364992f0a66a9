"""How far each page is: empty, begun, complete for the chosen addressee, or in need of attention."""

from dataclasses import dataclass

from hazardreport.app.pages.unit_fields import GROUPS
from hazardreport.app.pages.unit_places import field_value
from hazardreport.app.views.rail import PageState
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.evidence.custody_order import ITEMS, Weight, custody_remarks
from hazardreport.severity.terms import SignalWord

GENTLE = frozenset({"no_picture", "no_instrument"})
"""Problems that are worth knowing and need no mending."""

PROBLEM_PAGES = {
    "reading": "readings",
    "instrument": "readings",
    "wiring": "unit",
    "unit": "unit",
    "picture": "pictures",
    "requirement": "findings",
    "scenario": "findings",
    "confirmation": "findings",
    "occurrence": "unit",
    "submitter": "unit",
    "situation": "unit",
    "upkeep": "unit",
    "consents": "unit",
    "harm_factors": "findings",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class PageStanding:
    """State of a page and why."""

    state: PageState
    detail: str = ""


def page_of(link: str) -> str:
    """The page that shows a field or record."""
    head = link.split(".")[0].split("-")[0]
    places = {"picture": "pictures", "reading": "readings", "finding": "findings", "instrument": "readings"}
    rooms = {"point": "pictures", "points": "pictures", "competence": "readings", "cautions": "readings"}
    plain = {"pictures", "readings", "findings", "severity", "report", "review", "unit"}
    if head in plain:
        return head
    if head in ("instruments", "test"):
        return "readings"
    if head in ("requirement", "requirements", "scenario", "scenarios", "harm_factors", "risk", "confirmation"):
        return "findings"
    if head in ("letter", "letters", "addressee"):
        return "report"
    if head in ("assessment", "verdict", "limits", "states", "number"):
        return "severity"
    return places.get(head) or rooms.get(head) or "unit"


def standings(
    case: Case, assessment: Assessment | None, missing: tuple[str, ...] | None, whole: bool | None
) -> dict[str, PageStanding]:
    """Every page's standing.

    Parameters
    ----------
    missing : links of required elements that the chosen addressee misses; None while no addressee is chosen
    whole   : last integrity check, or None
    """
    problems = {} if assessment is None else _problem_counts(assessment)
    lacking: dict[str, int] = {}
    for link in missing or ():
        lacking[page_of(link)] = lacking.get(page_of(link), 0) + 1
    result: dict[str, PageStanding] = {}
    for page, begun in _begun(case).items():
        if not begun:
            result[page] = PageStanding(state=PageState.EMPTY)
        elif problems.get(page):
            result[page] = PageStanding(state=PageState.ATTENTION, detail=_count(problems[page], "thing to mend"))
        elif missing is not None and not lacking.get(page):
            result[page] = PageStanding(state=PageState.COMPLETE)
        else:
            missed = lacking.get(page, 0)
            detail = f"{_count(missed, 'required element')} missing" if missed else ""
            result[page] = PageStanding(state=PageState.BEGUN, detail=detail)
    result["unit"] = _with_custody(case, result["unit"])
    result["severity"] = _severity(assessment)
    result["report"] = _report(missing)
    result["review"] = PageStanding(
        state=PageState.EMPTY if whole is None else PageState.COMPLETE if whole else PageState.ATTENTION
    )
    return result


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s".replace("thing to mends", "things to mend")


def _problem_counts(assessment: Assessment) -> dict[str, int]:
    counts: dict[str, int] = {}
    for problem in assessment.problems:
        page = PROBLEM_PAGES.get(problem.kind)
        if page and not problem.gentle and problem.key not in GENTLE:
            counts[page] = counts.get(page, 0) + 1
    return counts


def _with_custody(case: Case, standing: PageStanding) -> PageStanding:
    """The unit page with what its record of keeping lacks: never more than begun, since the danger is told without."""
    lacking = sum(remark.weight is Weight.MEND and remark.link != ITEMS for remark in custody_remarks(case))
    if not lacking or standing.state is PageState.ATTENTION:
        return standing
    told = _count(lacking, "thing to mend").replace("mend", "mend in the record of keeping")
    return PageStanding(state=PageState.BEGUN, detail="; ".join(part for part in (standing.detail, told) if part))


def _begun(case: Case) -> dict[str, bool]:
    empty = Case(id="")
    unit = any(
        field_value(case, place.path) != field_value(empty, place.path) for group in GROUPS for place in group.fields
    )
    return {
        "unit": unit or bool(case.items or case.transfers or case.steps or case.conformity_marks),
        "pictures": bool(case.pictures),
        "readings": bool(case.readings),
        "findings": bool(case.findings or case.requirements or case.scenarios)
        or case.harm_factors != empty.harm_factors,
    }


def _severity(assessment: Assessment | None) -> PageStanding:
    if assessment is None or assessment.verdict.word is SignalWord.NOT_ASSESSED:
        return PageStanding(state=PageState.EMPTY)
    if assessment.verdict.word is SignalWord.NOT_EXCLUDED:
        return PageStanding(state=PageState.BEGUN, detail=assessment.verdict.sentence)
    return PageStanding(state=PageState.COMPLETE, detail=assessment.verdict.sentence)


def _report(missing: tuple[str, ...] | None) -> PageStanding:
    if missing is None:
        return PageStanding(state=PageState.EMPTY)
    if missing:
        return PageStanding(state=PageState.BEGUN, detail=f"{_count(len(missing), 'required element')} missing")
    return PageStanding(state=PageState.COMPLETE)
