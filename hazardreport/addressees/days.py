"""Business days: counted from the day after, without weekends and the public holidays of a named calendar.

Holidays come from a library of calendars, which is loaded when a day is first asked for. That 16 CFR part 1102 and
15 U.S.C. 2055a mean federal holidays is from memory; 16 CFR 1115.14(a), for firms, says so. The rules for periods of
Regulation (EEC, Euratom) 1182/71 are from memory as well. Where it is not known whose holidays count, a day that may
be one is left out: the answer may be late, and nothing is called overdue too early for it.

References
----------
16-cfr-1115, 1115.14(a): weekends and holidays are excluded.
eec-1182-71, art. 3: the day of the event does not count; a period ends on a working day (from memory).
"""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from functools import cache

from hazardreport import wording
from hazardreport.addressees.asked import Counting
from hazardreport.errors import DayOutsideCalendarError

FIRST, LAST = date(1990, 1, 1), date(2099, 12, 31)
"""Days for which calendars are held."""

EU = "EU"
SATURDAY = 5

_OF_ONE_PLACE: Mapping[str, tuple[str, str | None]] = {"US": ("US", None), "GB-ENG": ("GB", "ENG")}
"""Country and part of it whose holidays, as observed, are those of the calendar."""

_ANYWHERE = ("CA", "AU")
"""Countries in which a holiday of the federation or of any part of it counts, on its own day and as observed."""

_SHARED = ((1, 1), (5, 1), (12, 25), (12, 26))
"""Month and day of the fixed holidays left out in the calendar "EU", besides those of Easter; our choice."""

CALENDARS = (*_OF_ONE_PLACE, EU, *_ANYWHERE)
"""Names of the calendars."""


@cache
def _holidays(calendar: str, year: int) -> frozenset[date]:
    if calendar in _OF_ONE_PLACE:
        country, part = _OF_ONE_PLACE[calendar]
        return frozenset(_listed(country, part, year, observed=True))
    if calendar == EU:
        return frozenset(date(year, month, day) for month, day in _SHARED) | _easter(year)
    if calendar in _ANYWHERE:
        return _anywhere(calendar, year) | _easter(year)
    raise KeyError(calendar)


def _listed(country: str, part: str | None, year: int, *, observed: bool) -> Iterator[date]:
    from holidays import country_holidays

    kinds = ("government", "public") if country == "CA" else ("public",)
    return iter(country_holidays(country, subdiv=part, years=year, expand=False, observed=observed, categories=kinds))


def _anywhere(country: str, year: int) -> frozenset[date]:
    from holidays import list_supported_countries

    parts = (None, *list_supported_countries()[country])
    return frozenset(
        day for part in parts for observed in (True, False) for day in _listed(country, part, year, observed=observed)
    )


def _easter(year: int) -> frozenset[date]:
    """Good Friday and Easter Monday: what England has of holidays between 20 March and 26 April, since no other is."""
    first, last = date(year, 3, 20), date(year, 4, 26)
    return frozenset(day for day in _listed("GB", "ENG", year, observed=True) if first <= day <= last)


def _within(day: date, calendar: str) -> None:
    if not FIRST <= day <= LAST:
        raise DayOutsideCalendarError(
            day=day.isoformat(), calendar=calendar, first=FIRST.isoformat(), last=LAST.isoformat()
        )


def is_business_day(day: date, calendar: str) -> bool:
    """Whether a day is neither Saturday, Sunday nor a holiday of the calendar.

    Raises
    ------
    DayOutsideCalendarError
        For a day before 1990 or after 2099: holidays are not known there.
    KeyError
        For a calendar that is not one of `CALENDARS`: a defect of a profile.

    Examples
    --------
    >>> is_business_day(date(2026, 11, 26), "US"), is_business_day(date(2026, 11, 26), "EU")
    (False, True)
    >>> is_business_day(date(2026, 12, 25), "EU")
    False
    """
    _within(day, calendar)
    return day not in _holidays(calendar, day.year) and day.weekday() < SATURDAY


def business_day_after(day: date, count: int, calendar: str) -> date:
    """The `count`-th business day after a day; the day itself does not count, and is the answer for 0.

    Raises
    ------
    DayOutsideCalendarError
        If the count leaves the years that the calendar holds.
    ValueError
        For a negative count.

    Examples
    --------
    >>> business_day_after(date(2026, 11, 12), 10, "US").isoformat()
    '2026-11-27'

    References
    ----------
    16-cfr-1115, 1115.14(a).
    """
    if count < 0:
        raise ValueError(count)
    _within(day, calendar)
    while count:
        day += timedelta(days=1)
        count -= is_business_day(day, calendar)
    return day


def business_days_between(day: date, last: date, calendar: str) -> int:
    """How many business days come after a day, up to and including the last; 0 if the last is not after it.

    >>> business_days_between(date(2026, 11, 12), date(2026, 11, 27), "US")
    10
    """
    count = 0
    while day < last:
        day += timedelta(days=1)
        count += is_business_day(day, calendar)
    return count


def last_day(day: date, count: int, counting: Counting, calendar: str) -> date:
    """The last day of a period of `count` days after a day.

    In the calendar "EU" a period of calendar days ends on a working day and holds at least two of them if it is two
    days or longer; elsewhere the day that the count gives is the answer, whatever day of the week it is.

    Raises
    ------
    DayOutsideCalendarError
        If the period leaves the years that the calendar holds.
    ValueError
        Where no days are counted.

    Examples
    --------
    >>> last_day(date(2026, 11, 12), 2, Counting.CALENDAR, "EU").isoformat()
    '2026-11-16'

    References
    ----------
    eec-1182-71, art. 3(4), 3(5); from memory.
    """
    if counting is Counting.NONE:
        raise ValueError(counting)
    if counting is Counting.BUSINESS:
        return business_day_after(day, count, calendar)
    _within(day, calendar)
    if count > (LAST - day).days:
        raise DayOutsideCalendarError(
            day=f"{day.isoformat()} + {count}", calendar=calendar, first=FIRST.isoformat(), last=LAST.isoformat()
        )
    end = day + timedelta(days=count)
    if calendar != EU:
        return end
    if count > 1:
        end = max(end, business_day_after(day, 2, EU))
    return end if is_business_day(end, EU) else business_day_after(end, 1, EU)


def how_counted(counting: Counting, calendar: str) -> str:
    """Which days were counted and which calendar was used, as a sentence; "" where no days are counted."""
    if counting is Counting.NONE:
        return ""
    if counting is Counting.CALENDAR and calendar != EU:
        return wording.sentence("letters.counted.calendar")
    named = wording.sentence(f"letters.calendars.{calendar}")
    return wording.sentence(
        "letters.counted.eu_calendar" if counting is Counting.CALENDAR else "letters.counted.business", calendar=named
    )
