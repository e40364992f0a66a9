"""What is said at once under a field of the Unit page, from what stands in it; nothing that was typed is changed."""

from hazardreport import wording
from hazardreport.app.problem_lines import problem_texts
from hazardreport.assess.record_problems import record_problems
from hazardreport.case.barcode import LENGTHS, barcode_digits, barcode_fault
from hazardreport.case.case import Case
from hazardreport.case.days import MONTHS, Precision, TypedDay, day_of
from hazardreport.errors import DayNotUnderstoodError, HazardReportError

DAYS = ("unit.manufactured", "unit.purchased", "unit.listing_seen", "occurrence.date", "consents.verified_on")
"""Fields that take a day; what is understood of it is said below."""

ITSELF = frozenset({"day_not_understood", "no_such_day", "ambiguous_day", "weekday_differs"})
"""Problems of one day alone, which `day_remark` tells without naming the field."""


def barcode_remark(text: str, *, typing: bool = False) -> tuple[str, bool]:
    """How a barcode number stands, and whether that is to be mended; while it is being typed it may be short."""
    if not text.strip():
        return "", False
    digits = barcode_digits(text)
    if typing and digits.isdigit() and len(digits) < max(LENGTHS) and len(digits) not in LENGTHS:
        return wording.sentence("window.barcode.so_far", count=len(digits)), False
    fault = barcode_fault(text)
    return wording.sentence(f"window.barcode.{fault or 'whole'}"), bool(fault)


def day_remark(text: str, *, typing: bool = False) -> tuple[str, bool]:
    """What is understood of a typed day, or why nothing is, and whether that is to be mended."""
    if not text.strip():
        return "", False
    try:
        return _understood(day_of(text)), False
    except DayNotUnderstoodError:
        return "" if typing else wording.sentence("window.days.not_read"), False
    except HazardReportError as error:
        return f"{wording.what(error)} {wording.remedy(error)}", True


def _understood(day: TypedDay) -> str:
    month = f"{MONTHS[day.first.month - 1].capitalize()} {day.first.year}"
    shown = {
        Precision.DAY: f"{day.first.day} {month}",
        Precision.MONTH: month,
        Precision.YEAR: str(day.first.year),
    }
    key = f"about_{day.precision.value}" if day.about else day.precision.value
    return wording.sentence(f"window.days.{key}", day=shown[day.precision])


def case_remarks(case: Case) -> dict[str, tuple[str, bool]]:
    """What the record says in two ways, half, or impossibly, by the path of its field; true where to be mended."""
    found: dict[str, tuple[str, bool]] = {}
    for problem in record_problems(case):
        path = problem.id if problem.kind == "wording" else f"{problem.kind}.{problem.id}"
        if problem.key in ITSELF or path == "unit.barcode":
            continue
        text, mend = found.get(path, ("", False))
        told = " ".join((text, *problem_texts(problem))).strip()
        found[path] = (told, mend or not problem.gentle)
    return found
