"""Days in a case that cannot be, or that contradict each other: kept as typed, and said."""

import re
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

from hazardreport.case.case import Case
from hazardreport.case.days import TypedDay, day_of
from hazardreport.case.remark import Remark
from hazardreport.case.stated import Standing, Stated
from hazardreport.errors import (
    AmbiguousDayError,
    DayNotUnderstoodError,
    HazardReportError,
    NoSuchDayError,
    WeekdayDiffersError,
)

FURTHEST_EAST = timedelta(hours=14)
"""It can be tomorrow somewhere: the offset of the easternmost zone."""

EARLIEST_YEAR = 1900
"""A clock or a form that nobody set says 1900; mains appliances for a household came later."""

_YEAR_NAMED = re.compile(r"(?<![\d.,])(?:19|20)\d\d(?![\d%]|[.,]\d)")
_EARLY_YEAR = re.compile(
    r"(?:^\s*|\b(?:year|of|in|from|since|about|made|manufactured)\s+)(1[0-8]\d\d)(?=\s*(?:$|[,;).]|-\d\d?\b))",
    re.IGNORECASE,
)
"""A year before 1900 only where words or the whole text make it one: other numbers of four digits are no years."""

_CODE_YEAR = re.compile(r"\s*(1\d{3}|2\d{3})(?:[-/.](?:0?[1-9]|1[0-2])(?:[-/.](?:0?[1-9]|[12]\d|3[01]))?)?\s*")


def day_remarks(case: Case) -> tuple[Remark, ...]:
    """What cannot be right about the days of a case; a listing seen before the purchase is nothing strange."""
    stated = dict(_stated(case))
    read: dict[str, TypedDay] = {}
    found: list[Remark] = []
    for link, text in (*stated.items(), *_plain(case)):
        try:
            read[link] = day_of(text)
        except DayNotUnderstoodError:
            found.append(_remark("day_not_understood", link, ("text", text), gentle=True))
        except (NoSuchDayError, AmbiguousDayError, WeekdayDiffersError) as error:
            found.append(_unread(error, link))
    found += _order(case, stated, read)
    found += _date_code(case)
    return tuple(found)


def _stated(case: Case) -> Iterator[tuple[str, str]]:
    """Days in fields that hold a value, by link."""
    unit = case.unit
    fields: tuple[tuple[str, Stated], ...] = (
        ("unit.manufactured", unit.manufactured),
        ("unit.purchased", unit.purchased),
        ("unit.listing_seen", unit.listing_seen),
        ("occurrence.date", case.occurrence.date),
    )
    yield from ((link, stated.text) for link, stated in fields if stated.standing is Standing.VALUE and stated.answered)


def _plain(case: Case) -> Iterator[tuple[str, str]]:
    texts = [
        ("consents.verified_on", case.consents.verified_on),
        ("harm_factors.assessed_on", case.harm_factors.assessed_on),
        *((f"confirmation.{one.id}", one.day) for one in case.confirmations),
        *((f"confirmation.{one.id}.second", one.second_day) for one in case.confirmations),
    ]
    yield from ((link, text) for link, text in texts if text.strip())


def _remark(key: str, link: str, *fields: tuple[str, str], gentle: bool = False) -> Remark:
    kind, _, record = link.partition(".")
    return Remark(
        key=key,
        kind=kind,
        id=record.removesuffix(".second"),
        fields=(("field", link if kind != "confirmation" else "confirmation.day"), *fields),
        gentle=gentle,
    )


def _unread(error: HazardReportError, link: str) -> Remark:
    texts = tuple((name, str(value)) for name, value in error.fields().items())
    return _remark(error.key, link, *texts)


def _order(case: Case, stated: dict[str, str], read: dict[str, TypedDay]) -> Iterator[Remark]:
    made, bought, happened = (read.get(link) for link in ("unit.manufactured", "unit.purchased", "occurrence.date"))
    texts = (
        ("made", stated.get("unit.manufactured", "")),
        ("bought", stated.get("unit.purchased", "")),
        ("happened", stated.get("occurrence.date", "")),
        ("created", case.created[:10]),
    )
    today = _latest_day_of(case.created)

    def remark(key: str, link: str) -> Remark:
        return _remark(key, link, *texts)

    if bought and happened and bought.earliest > happened.latest:
        yield remark("purchased_after_occurrence", "unit.purchased")
    if made and bought and made.earliest > bought.latest:
        yield remark("manufactured_after_purchase", "unit.manufactured")
    if made and happened and made.earliest > happened.latest:
        yield remark("manufactured_after_occurrence", "unit.manufactured")
    if made and made.latest.year <= EARLIEST_YEAR:
        yield remark("manufactured_too_early", "unit.manufactured")
    if today is None:
        return
    if happened and happened.earliest > today:
        yield remark("occurred_after_case", "occurrence.date")
    if bought and bought.earliest > today:
        yield remark("purchased_after_case", "unit.purchased")
    if made and made.earliest > today:
        yield remark("manufactured_after_case", "unit.manufactured")


def _latest_day_of(created: str) -> date | None:
    """The day on which a case was made, in the zone where that day is the latest."""
    try:
        moment = datetime.fromisoformat(created)
    except ValueError:
        return None
    moment = moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)
    return (moment + FURTHEST_EAST).date() if moment.year < date.max.year else date.max


def _date_code(case: Case) -> Iterator[Remark]:
    """Years that a date code or the key to it leads to, and that cannot be."""
    yield from _code_itself(case)
    meaning = case.unit.date_code_meaning
    if meaning.standing is not Standing.VALUE:
        return
    today = _latest_day_of(case.created)
    early = (year for year in _EARLY_YEAR.findall(meaning.text) if year not in case.unit.date_code.text)
    for year in dict.fromkeys((*_YEAR_NAMED.findall(meaning.text), *early)):
        if int(year) <= EARLIEST_YEAR or (today is not None and int(year) > today.year):
            yield _remark("date_code_year", "unit.date_code_meaning", ("year", year), ("created", case.created[:10]))


def _code_itself(case: Case) -> Iterator[Remark]:
    """A code that reads as a year or a day up to 1900, unless its meaning is told; four digits can be week and year."""
    code, meaning = case.unit.date_code, case.unit.date_code_meaning
    read = _CODE_YEAR.fullmatch(code.text) if code.standing is Standing.VALUE else None
    if read is None or int(read[1]) > EARLIEST_YEAR or (meaning.standing is Standing.VALUE and meaning.answered):
        return
    sure = int(read[1]) == EARLIEST_YEAR or len(code.text.strip()) > len(read[1])
    key = "date_code_1900" if sure else "date_code_early"
    yield _remark(key, "unit.date_code", ("code", code.text.strip()), ("year", read[1]), gentle=not sure)
