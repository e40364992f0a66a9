"""Days of letters, which of them count, their order, and which letter answers which: the one place that reads them."""

from collections.abc import Mapping
from datetime import date

from hazardreport.addressees.days import FIRST, LAST
from hazardreport.case.case import Case
from hazardreport.case.days import Precision, read_day
from hazardreport.case.letter import Letter
from hazardreport.errors import AmbiguousDayError, DayNotUnderstoodError, NoSuchDayError, WeekdayDiffersError


def day_in(text: str) -> date | None:
    """The one day that a text means, with or without a time; None for a month, a week, "about", two days or none.

    >>> day_in("2026-11-03T10:00"), day_in("2026-02-31"), day_in("2026-11")
    (datetime.date(2026, 11, 3), None, None)
    """
    try:
        typed = read_day(text)
    except (AmbiguousDayError, DayNotUnderstoodError, NoSuchDayError, WeekdayDiffersError):
        return None
    return typed.first if typed.precision is Precision.DAY and not typed.about else None


def day_of(letter: Letter) -> date | None:
    """The day of a letter, or None where what stands there is no day."""
    return day_in(letter.day)


def in_calendar(day: date) -> bool:
    """Whether a day lies in the years that the calendars hold; nothing is counted from or to another."""
    return FIRST <= day <= LAST


def counted_day(letter: Letter, today: date) -> date | None:
    """The day on which a letter has gone out or come in, or None where it is none, after today or out of all reason.

    Only such a day starts a clock, or shows that somebody has the report.
    """
    day = day_of(letter)
    return day if day is not None and day <= today and in_calendar(day) else None


def has_come(letter: Letter, today: date) -> bool:
    """Whether a letter is not dated after today: one without a day was recorded, so it ends a wait."""
    return (day_of(letter) or today) <= today


def in_order(case: Case) -> tuple[Letter, ...]:
    """The letters by day, those of one day as they were recorded; those without a day last."""
    return tuple(sorted(case.letters, key=lambda letter: (day_of(letter) is None, day_of(letter) or date.max)))


def answered_letters(case: Case) -> Mapping[str, frozenset[str]]:
    """By letter: ids of all that it answers, directly or by answering what answers them."""
    named = {letter.id: letter.answers for letter in case.letters}
    found = {}
    for one in named:
        through: dict[str, None] = {}
        at = named[one]
        while at and at not in through:
            through[at] = None
            at = named.get(at, "")
        found[one] = frozenset(through)
    return found
