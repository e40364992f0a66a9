"""Days as typed: read with their precision, refused where they mean none or two."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.days import MONTHS, WEEKDAYS, Precision, day_of, read_day
from hazardreport.errors import (
    AmbiguousDayError,
    DayNotUnderstoodError,
    NoSuchDayError,
    WeekdayDiffersError,
)

REFUSALS = (AmbiguousDayError, DayNotUnderstoodError, NoSuchDayError, WeekdayDiffersError)
FORMS = (
    "{d:%Y-%m-%d}",
    "{d:%Y/%m/%d}",
    "{d:%Y.%m.%d}",
    "{d.year:04d}-{d.month}-{d.day}",
    "{d:%Y-%m-%d}T10:30:00Z",
    "{d:%Y-%m-%d} 10:30",
    "{d.day}.{d.month}.{d.year:04d}",
    "{d:%d}. {d:%m}. {d.year:04d}",
    "{d.day} {month} {d.year:04d}",
    "{d.day}. {month} {d.year:04d}",
    "{d.day}th {short}. {d.year:04d}",
    "{d.day}-{short}-{d.year:04d}",
    "{month} {d.day}, {d.year:04d}",
    "{weekday}, {d.day} {month} {d.year:04d}",
    "on {short_weekday} {d:%Y-%m-%d}",
    "  the  {d.day}  of {month}  {d.year:04d} ",
)


def typed(form: str, day: date) -> str:
    month, weekday = MONTHS[day.month - 1].capitalize(), WEEKDAYS[day.weekday()].capitalize()
    return form.format(d=day, month=month, short=month[:3], weekday=weekday, short_weekday=weekday[:3])


@settings(derandomize=True, deadline=None, max_examples=300)
@given(day=st.dates(date(1000, 1, 1)), form=st.sampled_from(FORMS))
def test_a_day_comes_back_in_every_form(day: date, form: str) -> None:
    found = read_day(typed(form, day))
    assert (found.first, found.last, found.precision, found.about) == (day, day, Precision.DAY, False)


@settings(derandomize=True, deadline=None, max_examples=200)
@given(day=st.dates(date(1000, 1, 1)), mark=st.sampled_from("/-"), swapped=st.booleans())
def test_day_and_month_that_can_be_swapped_are_said_to_be_ambiguous(day: date, mark: str, swapped: bool) -> None:
    numbers = (day.month, day.day) if swapped else (day.day, day.month)
    text = f"{numbers[0]:02d}{mark}{numbers[1]:02d}{mark}{day.year:04d}"
    if day.day <= 12 and day.day != day.month:
        with pytest.raises(AmbiguousDayError) as caught:
            read_day(text)
        assert day.isoformat() in (caught.value.one, caught.value.other)
        assert caught.value.one != caught.value.other
    else:
        assert read_day(text).first == day


@pytest.mark.parametrize(
    ("text", "first", "last", "precision", "about"),
    [
        ("2026-05", "2026-05-01", "2026-05-31", "month", False),
        ("2024-02", "2024-02-01", "2024-02-29", "month", False),
        ("05/2026", "2026-05-01", "2026-05-31", "month", False),
        ("05.2026", "2026-05-01", "2026-05-31", "month", False),
        ("May 2026", "2026-05-01", "2026-05-31", "month", False),
        ("Sept. 2026", "2026-09-01", "2026-09-30", "month", False),
        ("2026", "2026-01-01", "2026-12-31", "year", False),
        ("about May 2026", "2026-05-01", "2026-05-31", "month", True),
        ("ca. 2026", "2026-01-01", "2026-12-31", "year", True),
        ("~ 12 May 2026", "2026-05-12", "2026-05-12", "day", True),
        ("in early May 2026", "2026-05-01", "2026-05-31", "month", True),
        ("at the beginning of May 2026", "2026-05-01", "2026-05-31", "month", True),
        ("mid-May 2026", "2026-05-01", "2026-05-31", "month", True),
        ("in May 2026", "2026-05-01", "2026-05-31", "month", False),
        ("about 2026-05-12", "2026-05-12", "2026-05-12", "day", True),
        ("05/05/2026", "2026-05-05", "2026-05-05", "day", False),
        ("14.05.2026", "2026-05-14", "2026-05-14", "day", False),
        ("03.04.2026", "2026-04-03", "2026-04-03", "day", False),
    ],
)
def test_months_years_and_about(text: str, first: str, last: str, precision: str, about: bool) -> None:
    found = read_day(text)
    assert (found.first.isoformat(), found.last.isoformat()) == (first, last)
    assert (found.precision.value, found.about) == (precision, about)


@pytest.mark.parametrize(
    "text",
    ["2026-02-31", "2025-02-29", "31 February 2026", "2026-13-01", "2026-00", "0000", "45.05.2026", "31/31/2026"],
)
def test_a_day_that_no_calendar_has_is_refused(text: str) -> None:
    with pytest.raises(NoSuchDayError):
        read_day(text)


@pytest.mark.parametrize("text", ["03/04/2026", "3-4-2026", "12.05.26", "03/04/26", "31.12.99"])
def test_two_readings_are_ambiguous(text: str) -> None:
    with pytest.raises(AmbiguousDayError):
        read_day(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "last week",
        "May",
        "12 May",
        "2026-05/12",
        "2025-2026",
        "2026-05-12 or 13",
        "x" * 5000,
        "20260512",
        "١٢ May 2026",
        "12 Maius 2026",
        "2026-05-12T25",
        "Easter 2026",
        "Monday",
        "about",
    ],
)
def test_anything_else_is_not_understood(text: str) -> None:
    with pytest.raises(DayNotUnderstoodError):
        read_day(text)


def test_a_wrong_day_of_the_week_is_told() -> None:
    assert read_day("Tuesday, 12 May 2026").first == date(2026, 5, 12)
    with pytest.raises(WeekdayDiffersError) as caught:
        read_day("Monday, 12 May 2026")
    assert caught.value.weekday == "Tuesday"


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2026-05-04, receipt kept", "2026-05-04"),
        ("May 12, 2026, in the evening", "2026-05-12"),
        ("12 May 2026 (as told)", "2026-05-12"),
        ("12 May 2026 – about noon", "2026-05-12"),
    ],
)
def test_a_field_may_say_more_after_its_day(text: str, day: str) -> None:
    assert day_of(text).first.isoformat() == day


def test_the_refusal_of_a_field_is_the_telling_one() -> None:
    with pytest.raises(NoSuchDayError):
        day_of("2026-02-31, receipt kept")
    with pytest.raises(AmbiguousDayError):
        day_of("03/04/2026 (receipt)")


def test_about_leaves_room_to_both_sides() -> None:
    found = read_day("about May 2026")
    assert (found.earliest, found.latest) == (date(2026, 4, 1), date(2026, 6, 30))
    exact = read_day("May 2026")
    assert (exact.earliest, exact.latest) == (exact.first, exact.last)
    assert read_day("about 9999").latest == date.max
    assert read_day("about 0001").earliest == date.min


@settings(derandomize=True, deadline=None, max_examples=400)
@given(
    st.one_of(
        st.text(max_size=40),
        st.text(alphabet="0123456789-/., mayMay", max_size=16),
        st.from_regex(r"\d{1,4}[-/. ]\d{1,2}[-/. ]\d{1,4}", fullmatch=True),
    )
)
def test_any_text_is_a_day_or_one_of_the_refusals(text: str) -> None:
    for reader in (read_day, day_of):
        try:
            found = reader(text)
        except REFUSALS:
            continue
        assert found.earliest <= found.first <= found.last <= found.latest
        length = {Precision.DAY: 0, Precision.MONTH: 30, Precision.YEAR: 365}[found.precision]
        assert found.last - found.first <= timedelta(days=length)
