"""Which readings entered the fit, which were left out and why, and whether they tell one story, in sentences."""

from collections.abc import Iterable

from hazardreport.assess.records import Assessment, Fit
from hazardreport.quantity.formatting import format_chi_square
from hazardreport.wording import sentence

RUN = 3
"""Numbers in a row from which a list names only the first and the last."""
WHY = ("misfit", "bound_broken", "not_explained")


def entered(assessment: Assessment) -> str:
    """How each reading counts: by its value, as a bound, beside the fit, left out, or not at all.

    Without a fit only how many count.
    """
    total = len(assessment.readings)
    fit = assessment.fit
    used = tuple(item.reading for item in assessment.readings if item.used)
    if fit is None:
        return sentence("assess.agreement.used", used=len(used), total=total)
    fitted = tuple(item.reading for item in fit.residuals)
    named = {*fitted, *fit.bounds, *fit.left_out}
    beside = tuple(one for one in used if one not in named)
    nothing = tuple(item.reading for item in assessment.readings if item.reading not in named and not item.used)
    parts = [_part("fitted", fitted, total)]
    parts += [
        _part(key, ids, total)
        for key, ids in (("bounds", fit.bounds), ("beside", beside), ("misfits", fit.left_out), ("nothing", nothing))
        if ids
    ]
    return " ".join(parts)


def _part(key: str, ids: tuple[str, ...], total: int) -> str:
    number = "none" if not ids else "one" if len(ids) == 1 else "many"
    return sentence(f"assess.agreement.{key}.{number}", count=len(ids), total=total, readings=listed(ids))


def without_misfits(assessment: Assessment) -> str:
    """That the readings tell no one story, with those that were left out and why; "" where none was."""
    fit = assessment.fit
    if fit is None or not fit.left_out:
        return ""
    reasons = "; ".join(_left_out(assessment, reading) for reading in fit.left_out)
    return " ".join((sentence("assess.agreement.no_one_story", readings=reasons), _rest(fit)))


def _left_out(assessment: Assessment, reading: str) -> str:
    problem = next((one for one in assessment.problems if one.id == reading and one.key in WHY), None)
    if problem is None:
        return reading
    return sentence(f"assess.agreement.why.{problem.key}", reading=reading, **dict(problem.fields))


def _rest(fit: Fit) -> str:
    key = {True: "agree", False: "apart", None: "untested"}[fit.consistent]
    return sentence(
        f"assess.agreement.rest.{key}",
        count=len(fit.residuals),
        chi_square=format_chi_square(fit.chi_square),
        freedom=fit.degrees_of_freedom,
    )


def with_misfits(assessment: Assessment) -> str:
    """That the explanations were held against all readings, those left out included; "" where none was."""
    fit = assessment.fit
    rivals = assessment.settled.rivals if assessment.settled is not None else ()
    if fit is None or not fit.left_out or not rivals:
        return ""
    return sentence("assess.agreement.rivals", readings=listed(fit.left_out))


def listed(ids: Iterable[str]) -> str:
    """Ids as a list in which a run of numbers is told by its ends.

    >>> listed(("reading-001", "reading-002", "reading-003", "reading-007"))
    'reading-001 to reading-003, reading-007'
    """
    runs: list[list[str]] = []
    for one in ids:
        if runs and _follows(runs[-1][-1], one):
            runs[-1].append(one)
        else:
            runs.append([one])
    told = []
    for run in runs:
        long = len(run) >= RUN
        told += [sentence("assess.agreement.run", first=run[0], last=run[-1])] if long else run
    return ", ".join(told)


def _follows(before: str, after: str) -> bool:
    name, _, number = before.rpartition("-")
    other, _, following = after.rpartition("-")
    return name == other and number.isdecimal() and following.isdecimal() and int(following) == int(number) + 1
