"""Business days: counted from the day after, weekends and holidays left out; examples counted by hand."""

from datetime import date, timedelta

import pytest
from holidays import country_holidays, list_supported_countries
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.addressees.asked import Counting
from hazardreport.addressees.days import (
    CALENDARS,
    FIRST,
    LAST,
    business_day_after,
    business_days_between,
    how_counted,
    is_business_day,
    last_day,
)
from hazardreport.errors import DayOutsideCalendarError

DAYS = st.dates(min_value=date(1995, 1, 1), max_value=date(2090, 1, 1))
COUNTS = st.integers(min_value=1, max_value=40)
NAMES = st.sampled_from(CALENDARS)
LAW = settings(derandomize=True, deadline=None, max_examples=100)

# Each row: the day of the event, then every business day after it in its order, written out by hand.
BY_HAND = {
    # Thursday; Thursday the 26th is Thanksgiving Day
    "complete on 2026-11-12": "2026-11-13 2026-11-16 2026-11-17 2026-11-18 2026-11-19 2026-11-20 2026-11-23 2026-11-24 "
    "2026-11-25 2026-11-27 2026-11-30",
    # Friday before Labor Day, Monday 2026-09-07
    "Friday 2026-09-04": "2026-09-08 2026-09-09 2026-09-10 2026-09-11 2026-09-14",
    # Friday before Martin Luther King's birthday, Monday 2027-01-18
    "Friday 2027-01-15": "2027-01-19 2027-01-20 2027-01-21 2027-01-22 2027-01-25",
    # Wednesday; Christmas Day and New Year's Day are Fridays
    "Wednesday 2026-12-23": "2026-12-24 2026-12-28 2026-12-29 2026-12-30 2026-12-31 2027-01-04 2027-01-05",
    # Christmas Day and New Year's Day are Saturdays and observed on the Fridays before, one of them in the old year
    "Wednesday 2027-12-22": "2027-12-23 2027-12-27 2027-12-28 2027-12-29 2027-12-30 2028-01-03 2028-01-04",
    # Christmas Day 2022 and New Year's Day 2023 are Sundays and observed on the Mondays after
    "Thursday 2022-12-22": "2022-12-23 2022-12-27 2022-12-28 2022-12-29 2022-12-30 2023-01-03",
    # Independence Day 2026 is a Saturday, observed on Friday the 3rd
    "Wednesday 2026-07-01": "2026-07-02 2026-07-06",
    # an event at a weekend: Monday is the first day
    "Saturday 2026-11-14": "2026-11-16 2026-11-17",
    "Sunday 2026-11-15": "2026-11-16 2026-11-17",
    # 19 June is a holiday since 2021 only
    "Thursday 2020-06-18": "2020-06-19 2020-06-22",
    "Thursday 2026-06-18": "2026-06-22 2026-06-23",
}


@pytest.mark.published("16-cfr-1115", "1115.14(a), weekends and holidays excluded; days counted by hand")
@pytest.mark.parametrize("event", BY_HAND)
def test_business_days_of_the_united_states_are_those_counted_by_hand(event: str) -> None:
    start = date.fromisoformat(event.split()[-1])
    for count, day in enumerate(BY_HAND[event].split(), 1):
        assert business_day_after(start, count, "US").isoformat() == day
        assert business_days_between(start, date.fromisoformat(day), "US") == count


@pytest.mark.published("15-usc-2055a", "(c)(1), (c)(3): 5 and 10 business days; days counted by hand")
def test_a_report_complete_on_thursday_12_november_2026() -> None:
    complete = date(2026, 11, 12)
    sent_on = business_day_after(complete, 5, "US")
    assert sent_on == date(2026, 11, 19)
    # 20, 23, 24, 25, 27, 30 November; 1, 2, 3, 4 December; the 26th is Thanksgiving Day
    assert business_day_after(sent_on, 10, "US") == date(2026, 12, 4)
    # 7, 8, 9, 10, 11 December
    assert business_day_after(sent_on, 15, "US") == date(2026, 12, 11)


@pytest.mark.parametrize(
    ("calendar", "event", "days"),
    [
        # Good Friday 3 April, Easter Monday 6 April
        ("GB-ENG", "2026-04-02", "2026-04-07 2026-04-08"),
        # Christmas Day is a Friday; Boxing Day, a Saturday, is made good on Monday the 28th
        ("GB-ENG", "2026-12-24", "2026-12-29 2026-12-30 2026-12-31 2027-01-04"),
        # Remembrance Day, Wednesday 11 November
        ("CA", "2026-11-10", "2026-11-12 2026-11-13 2026-11-16"),
        # Australia Day, Monday 26 January
        ("AU", "2026-01-23", "2026-01-27 2026-01-28"),
        # Christmas Day is a Friday, Boxing Day a Saturday; New Year's Day is a Friday
        ("EU", "2026-12-24", "2026-12-28 2026-12-29 2026-12-30 2026-12-31 2027-01-04"),
        # Good Friday 3 April, Easter Monday 6 April
        ("EU", "2026-04-02", "2026-04-07 2026-04-08"),
        # Friday 1 May
        ("EU", "2026-04-30", "2026-05-04"),
        # Easter Monday, a holiday of public offices, is left out
        ("CA", "2026-04-02", "2026-04-07"),
        # Canada Day 2028 is a Saturday: the Monday after it may be a holiday
        ("CA", "2028-06-30", "2028-07-04"),
        # Christmas Day and the day after it fall on Saturday and Sunday
        ("AU", "2027-12-24", "2027-12-29"),
        # Australia Day 2025 is a Sunday
        ("AU", "2025-01-24", "2025-01-28"),
    ],
)
def test_business_days_of_other_calendars(calendar: str, event: str, days: str) -> None:
    start = date.fromisoformat(event)
    for count, day in enumerate(days.split(), 1):
        assert business_day_after(start, count, calendar).isoformat() == day


EVERYWHERE_IN_AUSTRALIA = (
    "2025-01-27 2026-12-28 2027-12-27 2027-12-28 2028-01-03 2030-01-28 2031-01-27 2032-12-27 2032-12-28 2033-01-03 "
    "2033-12-27"
)


@pytest.mark.parametrize("day", EVERYWHERE_IN_AUSTRALIA.split())
def test_a_holiday_made_good_in_every_state_of_australia_is_left_out(day: str) -> None:
    assert not is_business_day(date.fromisoformat(day), "AU")


def easter_sunday(year: int) -> date:
    """By the arithmetic of the Gregorian calendar, without the library (from memory)."""
    golden, century, rest = year % 19, year // 100, year % 100
    corrected = (century - (century + 8) // 25 + 1) // 3
    moon = (19 * golden + century - century // 4 - corrected + 15) % 30
    weekday = (32 + 2 * (century % 4) + 2 * (rest // 4) - moon - rest % 4) % 7
    month, day = divmod(moon + weekday - 7 * ((golden + 11 * moon + 22 * weekday) // 451) + 114, 31)
    return date(year, month, day + 1)


@pytest.mark.parametrize("year", range(FIRST.year, LAST.year + 1))
def test_the_calendar_of_the_union_leaves_out_the_days_that_it_names_and_no_other(year: int) -> None:
    easter = easter_sunday(year)
    fixed = {date(year, 1, 1), date(year, 5, 1), date(year, 12, 25), date(year, 12, 26)}
    named = fixed | {easter - timedelta(days=2), easter + timedelta(days=1)}
    whole = (date(year, 1, 1) + timedelta(days=number) for number in range(366))
    days = [day for day in whole if day.year == year and day.weekday() < 5]
    assert {day for day in days if not is_business_day(day, "EU")} == {day for day in named if day.weekday() < 5}


@pytest.mark.parametrize(("country", "calendar"), [("CA", "CA"), ("AU", "AU")])
@pytest.mark.parametrize("year", [2026, 2028, 2033])
def test_no_holiday_of_any_part_of_the_country_is_counted(country: str, calendar: str, year: int) -> None:
    for part in list_supported_countries()[country]:
        for day in country_holidays(country, subdiv=part, years=year):
            assert not is_business_day(day, calendar)


@pytest.mark.parametrize(
    ("event", "count", "end"),
    [
        ("2026-11-13", 14, "2026-11-27"),  # Friday to Friday
        ("2026-11-14", 14, "2026-11-30"),  # would end on Saturday the 28th
        ("2026-11-15", 14, "2026-11-30"),  # would end on Sunday the 29th
        ("2026-11-12", 2, "2026-11-16"),  # Friday and Monday are its two working days
        ("2026-11-13", 2, "2026-11-17"),  # Sunday would be its end; Monday and Tuesday are its working days
        ("2026-11-13", 1, "2026-11-16"),  # Saturday would be its end
        ("2026-11-13", 5, "2026-11-18"),
    ],
)
def test_a_period_of_the_union_ends_on_a_working_day_and_holds_two(event: str, count: int, end: str) -> None:
    """Regulation 1182/71, art. 3(4) and 3(5), from memory; the days are counted by hand."""
    assert last_day(date.fromisoformat(event), count, Counting.CALENDAR, "EU").isoformat() == end


def test_calendar_days_elsewhere_are_just_counted() -> None:
    assert last_day(date(2026, 11, 13), 15, Counting.CALENDAR, "") == date(2026, 11, 28)
    assert last_day(date(2026, 11, 13), 15, Counting.CALENDAR, "US") == date(2026, 11, 28)
    assert last_day(date(2026, 11, 13), 3, Counting.BUSINESS, "EU") == date(2026, 11, 18)


def federal_holidays(year: int) -> set[date]:
    """Federal holidays by their rules, as observed, worked out without the library (5 U.S.C. 6103, from memory)."""

    def nth(month: int, weekday: int, number: int) -> date:
        first = date(year, month, 1)
        return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (number - 1))

    last_of_may = max(day for day in (nth(5, 0, 4), nth(5, 0, 5)) if day.month == 5)
    moving = {nth(1, 0, 3), nth(2, 0, 3), last_of_may, nth(9, 0, 1), nth(10, 0, 2), nth(11, 3, 4)}
    fixed = [date(year, 1, 1), date(year, 6, 19), date(year, 7, 4), date(year, 11, 11), date(year, 12, 25)]
    fixed.append(date(year + 1, 1, 1))
    observed = {day + timedelta(days={5: -1, 6: 1}.get(day.weekday(), 0)) for day in fixed}
    return {day for day in moving | observed if day.year == year}


@pytest.mark.parametrize("year", range(2021, 2061))
def test_the_library_agrees_with_the_rules_of_the_federal_holidays(year: int) -> None:
    day, found = date(year, 1, 1), set()
    while day.year == year:
        if day.weekday() < 5 and not is_business_day(day, "US"):
            found.add(day)
        day += timedelta(days=1)
    assert found == federal_holidays(year)


@given(day=DAYS, later=DAYS, count=COUNTS, calendar=NAMES)
@LAW
def test_a_later_start_or_a_longer_count_never_ends_earlier(day: date, later: date, count: int, calendar: str) -> None:
    first, second = sorted((day, later))
    end = business_day_after(first, count, calendar)
    assert end <= business_day_after(second, count, calendar)
    assert end < business_day_after(first, count + 1, calendar)


@given(day=DAYS, count=COUNTS, calendar=NAMES)
@LAW
def test_no_count_ends_on_a_weekend_or_a_holiday(day: date, count: int, calendar: str) -> None:
    end = business_day_after(day, count, calendar)
    assert end.weekday() < 5
    assert is_business_day(end, calendar)
    assert business_days_between(day, end, calendar) == count
    assert end >= day + timedelta(days=count)


@given(day=DAYS, first=COUNTS, second=COUNTS, calendar=NAMES)
@LAW
def test_one_count_after_another_is_their_sum(day: date, first: int, second: int, calendar: str) -> None:
    step = business_day_after(business_day_after(day, first, calendar), second, calendar)
    assert step == business_day_after(day, first + second, calendar)


@given(day=DAYS, count=COUNTS)
@LAW
def test_a_period_of_the_union_is_never_shorter_than_its_count(day: date, count: int) -> None:
    end = last_day(day, count, Counting.CALENDAR, "EU")
    assert end >= day + timedelta(days=count)
    assert is_business_day(end, "EU")
    assert business_days_between(day, end, "EU") >= min(count, 2)


@pytest.mark.parametrize("day", [date.min, FIRST - timedelta(days=1), LAST + timedelta(days=1), date.max])
def test_a_day_outside_the_held_years_is_refused(day: date) -> None:
    for calendar in CALENDARS:
        with pytest.raises(DayOutsideCalendarError):
            is_business_day(day, calendar)
        for counting in (Counting.BUSINESS, Counting.CALENDAR):
            with pytest.raises(DayOutsideCalendarError):
                last_day(day, 5, counting, calendar)


def test_a_count_that_leaves_the_held_years_is_refused() -> None:
    with pytest.raises(DayOutsideCalendarError):
        business_day_after(LAST, 1, "US")
    with pytest.raises(DayOutsideCalendarError):
        last_day(date(2026, 1, 1), 10**12, Counting.CALENDAR, "")
    with pytest.raises(ValueError):
        business_day_after(date(2026, 1, 1), -1, "US")


def test_every_calendar_says_what_was_left_out_and_what_is_from_memory() -> None:
    for calendar in CALENDARS:
        assert "Saturdays" in how_counted(Counting.BUSINESS, calendar)
    assert "from memory" in how_counted(Counting.BUSINESS, "US")
    assert "from memory" in how_counted(Counting.CALENDAR, "EU")
    assert "can move the day" in how_counted(Counting.BUSINESS, "EU")
    for calendar in ("EU", "CA", "AU"):
        assert "too late" in how_counted(Counting.BUSINESS, calendar)
    assert how_counted(Counting.NONE, "") == ""
