"""Answers that contradict each other across fields, counts and ways of contact that cannot be: kept, and said."""

import re
from collections.abc import Iterator

from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, Occasion
from hazardreport.case.record_remarks import says_nobody_hurt
from hazardreport.case.remark import Remark
from hazardreport.case.stated import Standing, Stated

_COUNT = re.compile(r"\s*(\d{1,9})\b(?![.,]\d)")


def answer_remarks(case: Case) -> tuple[Remark, ...]:
    """What two answers of the record say in two ways, and what cannot be a count or a way of contact."""
    return (*_discovery(case), *_units(case), *_contact(case))


def _held(stated: Stated) -> str:
    return stated.text.strip() if stated.standing is Standing.VALUE else ""


def _discovery(case: Case) -> Iterator[Remark]:
    """A discovery is a danger found before anybody was hurt."""
    if case.occurrence.occasion is not Occasion.DISCOVERY:
        return
    injury = _held(case.occurrence.injury)
    described = bool(injury) and not says_nobody_hurt(injury)
    if case.situation.injured is Answer.YES or (described and case.situation.injured is not Answer.NO):
        yield Remark(key="discovery_with_injury", kind="occurrence", id="occasion")


def _units(case: Case) -> Iterator[Remark]:
    examined, faulty = _held(case.custody.units_examined), _held(case.custody.units_faulty)
    of, found = _COUNT.match(examined), _COUNT.match(faulty)
    if of and found and int(found[1]) > int(of[1]):
        fields = (("examined", examined), ("faulty", faulty))
        yield Remark(key="more_faulty_than_examined", kind="custody", id="units_faulty", fields=fields)


def _contact(case: Case) -> Iterator[Remark]:
    """Gentle: whoever writes their address otherwise may have a reason."""
    email, phone = _held(case.submitter.email), _held(case.submitter.phone)
    if email and not re.search(r"\S@\S", email):
        yield Remark(key="email_without_at", kind="submitter", id="email", gentle=True)
    if phone and not any(sign.isdigit() for sign in phone):
        yield Remark(key="phone_without_digits", kind="submitter", id="phone", gentle=True)
