"""What the record alone shows to be wrong, contradictory or half said: days, answers, words."""

from collections.abc import Callable, Mapping

from hazardreport.assess.records import Problem
from hazardreport.case.answer_remarks import answer_remarks
from hazardreport.case.case import Case
from hazardreport.case.day_remarks import day_remarks
from hazardreport.case.loaded_words import wording_remarks
from hazardreport.case.record_remarks import record_remarks
from hazardreport.case.remark import Remark
from hazardreport.wording import sentence

NAMED: Mapping[str, Callable[[str, str], str]] = {
    "field": lambda link, record: sentence(f"assess.day.{link}"),
    "place": lambda link, record: sentence(f"assess.place.{link}", record=record),
}
"""Fields of a remark that are links: said in words."""


def record_problems(case: Case) -> tuple[Problem, ...]:
    """Remarks on the record as problems: nothing is refused, everything is kept as entered."""
    remarks = (*day_remarks(case), *record_remarks(case), *answer_remarks(case), *wording_remarks(case))
    return tuple(_problem(remark) for remark in remarks)


def _problem(remark: Remark) -> Problem:
    fields = tuple((name, NAMED[name](text, remark.id) if name in NAMED else text) for name, text in remark.fields)
    return Problem(key=remark.key, kind=remark.kind, id=remark.id, fields=fields, gentle=remark.gentle)
