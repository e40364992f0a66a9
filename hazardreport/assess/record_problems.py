"""What the record alone shows to be wrong, contradictory or half said: days, answers, words."""

from hazardreport.assess.records import Problem
from hazardreport.case.case import Case
from hazardreport.case.day_remarks import day_remarks
from hazardreport.case.record_remarks import record_remarks
from hazardreport.case.remark import Remark
from hazardreport.wording import sentence


def record_problems(case: Case) -> tuple[Problem, ...]:
    """Remarks on the record as problems: nothing is refused, everything is kept as entered."""
    return tuple(_problem(remark) for remark in (*day_remarks(case), *record_remarks(case)))


def _problem(remark: Remark) -> Problem:
    fields = tuple((name, sentence(f"assess.day.{text}") if name == "field" else text) for name, text in remark.fields)
    return Problem(key=remark.key, kind=remark.kind, id=remark.id, fields=fields, gentle=remark.gentle)
