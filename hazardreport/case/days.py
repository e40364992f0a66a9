"""A day as a person types it: exact, a month, a year, or about one; refused where it can mean two days or none.

Nothing is guessed: 03/04/2026 is two days, 2026-02-31 is none, and both are said to be so.
"""

import re
from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from hazardreport.errors import AmbiguousDayError, DayNotUnderstoodError, NoSuchDayError, WeekdayDiffersError

LONGEST = 200
"""Longer texts are no day. [sign]"""


class Precision(StrEnum):
    """How closely a day is stated."""

    DAY = "day"
    MONTH = "month"
    YEAR = "year"


@dataclass(frozen=True, kw_only=True, slots=True)
class TypedDay:
    """A day as stated.

    first, last  of the days that the text can mean
    about        the text itself says that it is not exact
    """

    first: date
    last: date
    precision: Precision
    about: bool = False

    @property
    def earliest(self) -> date:
        """The first day that is meant, with room where the text says "about"."""
        return self.first - min(self._room(), self.first - date.min)

    @property
    def latest(self) -> date:
        """The last day that is meant, with room where the text says "about"."""
        return self.last + min(self._room(), date.max - self.last)

    def _room(self) -> timedelta:
        """About a day: a week to each side; about a month or a year: as much again."""
        if not self.about:
            return timedelta()
        return timedelta(days=7) if self.precision is Precision.DAY else self.last - self.first


MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")

_ABOUT = re.compile(
    r"(?:about|around|approximately|approx\.?|circa|ca\.?|c\.|roughly|probably|~"
    r"|(?:in |at |the |since )*(?:early|mid|late|beginning of|start of|middle of|end of))[ -]*",
    re.IGNORECASE,
)
_BEFORE = re.compile(r"(?:on|in|since|the) +", re.IGNORECASE)
_WEEKDAY = re.compile(r"([a-z]{3,9})\.?,? +(?=.*\d)", re.IGNORECASE)
_TIME = re.compile(r"(\d{4}-\d\d-\d\d)[T ]\d\d:\d\d(?::\d\d(?:\.\d{1,9})?)? ?(?:Z|UTC|[+-]\d\d:?\d\d)?")
_YEAR_FIRST = re.compile(r"(\d{4})([-/.])(\d{1,2})(?:\2(\d{1,2}))?")
_YEAR = re.compile(r"\d{4}")
_DAY_FIRST = re.compile(r"(\d{1,2})\. ?(\d{1,2})\. ?(\d{4})")
_EITHER_FIRST = re.compile(r"(\d{1,2})([-/])(\d{1,2})\2(\d{4})")
_MONTH_OF_YEAR = re.compile(r"(\d{1,2})[-/.] ?(\d{4})")
_DAY_OF_MONTH = re.compile(r"(\d{1,2})(?:st|nd|rd|th|\.)?[ -]+(?:of +)?([a-z]+)\.?,?[ -]+(\d{4})", re.IGNORECASE)
_MONTH_DAY = re.compile(r"([a-z]+)\.? +(\d{1,2})(?:st|nd|rd|th)?,? +(\d{4})", re.IGNORECASE)
_MONTH_NAMED = re.compile(r"([a-z]+)\.?,?(?: +of)? +(\d{4})", re.IGNORECASE)
_SHORT_YEAR = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{2})")
_SAYS_MORE = re.compile(r"[,;(]| [-\u2013\u2014] ")


def read_day(text: str) -> TypedDay:
    """The day that a typed text means.

    Parameters
    ----------
    text : str
        "2026-05-12", "12 May 2026", "14.05.2026", "2026-05", "May 2026", "2026", "about May 2026".

    Returns
    -------
    TypedDay
        With its precision. Points stand between day and month only where the day comes first.

    Raises
    ------
    NoSuchDayError
        If no calendar has that day.
    AmbiguousDayError
        If it can mean two days, as 03/04/2026 does.
    WeekdayDiffersError
        If the named day of the week is another.
    DayNotUnderstoodError
        If it is none of these forms.

    Examples
    --------
    >>> read_day("May 2026").last.isoformat(), read_day("14.05.2026").first.isoformat()
    ('2026-05-31', '2026-05-14')
    """
    typed = " ".join(text.split())
    if not typed or len(typed) > LONGEST or not typed.isascii():
        raise DayNotUnderstoodError(text=text)
    rest = typed
    about = _ABOUT.match(rest)
    if about:
        rest = rest[about.end() :]
    before = _BEFORE.match(rest)
    if before:
        rest = rest[before.end() :]
    weekday = _weekday(rest)
    if weekday is not None:
        rest = rest[weekday[1] :]
    found = _read(rest, text)
    if weekday is not None and found.precision is Precision.DAY and found.first.weekday() != weekday[0]:
        right = WEEKDAYS[found.first.weekday()].capitalize()
        raise WeekdayDiffersError(text=text, day=found.first.isoformat(), weekday=right)
    return TypedDay(first=found.first, last=found.last, precision=found.precision, about=about is not None)


def day_of(text: str) -> TypedDay:
    """The day at the beginning of a text that may say more after a comma, a dash or a bracket; raises as `read_day`.

    Examples
    --------
    >>> day_of("2026-05-04, receipt kept").first.isoformat()
    '2026-05-04'
    """
    refusal: NoSuchDayError | AmbiguousDayError | WeekdayDiffersError | None = None
    for head in _heads(text):
        try:
            return read_day(head)
        except (NoSuchDayError, AmbiguousDayError, WeekdayDiffersError) as error:
            refusal = refusal or error
        except DayNotUnderstoodError:
            continue
    raise refusal or DayNotUnderstoodError(text=text)


def _heads(text: str) -> Iterator[str]:
    """The text, then what stands before its marks, the longest first."""
    yield text
    for mark in reversed(tuple(_SAYS_MORE.finditer(text[:LONGEST]))):
        yield text[: mark.start()]


def _weekday(text: str) -> tuple[int, int] | None:
    """Number of the day of the week that a text begins with, and where the rest begins."""
    named = _WEEKDAY.match(text)
    if named is None:
        return None
    word = named[1].lower()
    numbers = [number for number, name in enumerate(WEEKDAYS) if name == word or (name[:3] == word)]
    return (numbers[0], named.end()) if numbers else None


def _read(rest: str, text: str) -> TypedDay:
    if _YEAR.fullmatch(rest):
        return _span(text, int(rest))
    if found := _TIME.fullmatch(rest):
        rest = found[1]
    if found := _YEAR_FIRST.fullmatch(rest):
        return _span(text, int(found[1]), int(found[3]), int(found[4]) if found[4] else None)
    if found := _DAY_FIRST.fullmatch(rest):
        return _span(text, int(found[3]), int(found[2]), int(found[1]))
    if found := _EITHER_FIRST.fullmatch(rest):
        return _either(text, int(found[4]), int(found[1]), int(found[3]))
    if found := _MONTH_OF_YEAR.fullmatch(rest):
        return _span(text, int(found[2]), int(found[1]))
    if found := _DAY_OF_MONTH.fullmatch(rest):
        return _span(text, int(found[3]), _month(found[2], text), int(found[1]))
    if found := _MONTH_DAY.fullmatch(rest):
        return _span(text, int(found[3]), _month(found[1], text), int(found[2]))
    if found := _MONTH_NAMED.fullmatch(rest):
        return _span(text, int(found[2]), _month(found[1], text))
    if found := _SHORT_YEAR.fullmatch(rest):
        _refuse_short_year(text, int(found[1]), int(found[2]), int(found[3]))
    raise DayNotUnderstoodError(text=text)


def _month(word: str, text: str) -> int:
    lower = word.lower()
    for number, name in enumerate(MONTHS, start=1):
        if lower in (name, name[:3]) or (number == 9 and lower == "sept"):
            return number
    raise DayNotUnderstoodError(text=text)


def _span(text: str, year: int, month: int | None = None, day: int | None = None) -> TypedDay:
    try:
        if month is None:
            return TypedDay(first=date(year, 1, 1), last=date(year, 12, 31), precision=Precision.YEAR)
        if day is None:
            first = date(year, month, 1)
            last = date(year, month, monthrange(year, month)[1])
            return TypedDay(first=first, last=last, precision=Precision.MONTH)
        return TypedDay(first=date(year, month, day), last=date(year, month, day), precision=Precision.DAY)
    except ValueError as error:
        raise NoSuchDayError(text=text) from error


def _possible(year: int, month: int, day: int) -> tuple[date, ...]:
    try:
        return (date(year, month, day),)
    except ValueError:
        return ()


def _either(text: str, year: int, one: int, other: int) -> TypedDay:
    """Day first or month first, where only one of them can be meant."""
    days = tuple(dict.fromkeys((*_possible(year, other, one), *_possible(year, one, other))))
    if len(days) > 1:
        raise AmbiguousDayError(text=text, one=days[0].isoformat(), other=days[1].isoformat())
    if not days:
        raise NoSuchDayError(text=text)
    return TypedDay(first=days[0], last=days[0], precision=Precision.DAY)


def _refuse_short_year(text: str, first: int, second: int, third: int) -> None:
    """A year of two digits always leaves at least two readings: of the order, or of the century."""
    days = dict.fromkeys(
        day
        for century in (2000, 1900)
        for year, month, number in ((third, second, first), (third, first, second), (first, second, third))
        for day in _possible(century + year, month, number)
    )
    if len(days) > 1:
        one, other, *_ = days
        raise AmbiguousDayError(text=text, one=one.isoformat(), other=other.isoformat())
