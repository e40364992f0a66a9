"""Answers of a record that contradict each other or lack their other half: kept as entered, and said."""

import re
from collections.abc import Iterator

from hazardreport.case.barcode import barcode_fault
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Occasion
from hazardreport.case.remark import Remark
from hazardreport.case.stated import Standing
from hazardreport.case.upkeep import Alteration, Excluded

_NOBODY = re.compile(
    r"(?:there (?:was|were) )?(?:none|no|nobody|no one|not hurt|without|nothing|n/?a)\b|-+$", re.IGNORECASE
)


def record_remarks(case: Case) -> tuple[Remark, ...]:
    """What the record says in two ways, or says only half."""
    return (*_barcode(case), *_minor(case), *_injury(case), *_date(case), *_upkeep(case))


def _barcode(case: Case) -> Iterator[Remark]:
    barcode = case.unit.barcode
    if barcode.standing is Standing.VALUE and barcode.text.strip():
        fault = barcode_fault(barcode.text)
        if fault:
            yield Remark(key=fault, kind="unit", id="barcode")


def _minor(case: Case) -> Iterator[Remark]:
    """16 CFR 1102.10(g): a report that concerns a minor needs a parent or guardian."""
    submitter = case.submitter
    if submitter.minor is not Answer.YES:
        return
    if submitter.guardian.standing is not Standing.VALUE or not submitter.guardian.answered:
        yield Remark(key="minor_without_guardian", kind="submitter", id="guardian")
    elif case.consents.guardian_agrees is not Answer.YES:
        yield Remark(key="guardian_does_not_agree", kind="consents", id="guardian_agrees")


def _injury(case: Case) -> Iterator[Remark]:
    injury = case.occurrence.injury
    tells = injury.standing is Standing.VALUE and injury.answered
    denied = injury.standing is Standing.NOT_APPLICABLE or (tells and says_nobody_hurt(injury.text))
    if case.situation.injured is Answer.YES:
        if denied:
            yield Remark(key="injury_denied", kind="occurrence", id="injury")
        elif injury.standing is Standing.OPEN or (injury.standing is Standing.VALUE and not injury.answered):
            yield Remark(key="injury_not_described", kind="occurrence", id="injury")
    elif case.situation.injured is Answer.NO and tells and not denied:
        yield Remark(key="injury_against_answer", kind="situation", id="injured", fields=(("injury", injury.text),))


def says_nobody_hurt(text: str) -> bool:
    """Whether an account of an injury says that there was none.

    Examples
    --------
    >>> says_nobody_hurt("none"), says_nobody_hurt("Nobody was hurt"), says_nobody_hurt("burn on the hand, none deep")
    (True, True, False)
    """
    return _NOBODY.match(text.strip()) is not None


def _date(case: Case) -> Iterator[Remark]:
    date = case.occurrence.date
    if case.occurrence.occasion is not Occasion.INCIDENT or (date.standing is Standing.VALUE and date.answered):
        return
    gentle = date.standing in (Standing.UNKNOWN, Standing.NOT_APPLICABLE) and date.answered
    yield Remark(key="incident_without_date", kind="occurrence", id="date", gentle=gentle)


def _upkeep(case: Case) -> Iterator[Remark]:
    """Repair, change or misuse that is said to be found or excluded, and nothing in the case says or shows by what."""
    upkeep = case.upkeep
    answers: tuple[tuple[str, Alteration], ...] = (
        ("repairs", upkeep.repairs),
        ("changes", upkeep.changes),
        ("misuse", upkeep.misuse),
    )
    keys = {Excluded.FOUND: "upkeep_found_unsupported", Excluded.EXCLUDED: "upkeep_excluded_unsupported"}
    for name, answer in answers:
        key = keys.get(answer.result, "")
        shown = any(case.picture(picture) for picture in answer.pictures)
        if key and not answer.text.strip() and not shown:
            yield Remark(key=key, kind="upkeep", id=name, fields=(("place", f"upkeep.{name}"),), gentle=True)
