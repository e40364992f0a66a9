"""Typed probabilities: exact, bounded, and refused with a reason where they cannot be read in one way."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport import wording
from hazardreport.errors import ProbabilityRefusedError
from hazardreport.risk.probability import LONGEST_TEXT, NO_BREAK_SPACE, printed, probability, spoken, times

FIFTIETH = Fraction(1, 50)


@pytest.mark.parametrize(
    "text",
    [
        "1/50",
        "2 %",
        "2%",
        "0.02",
        "0,02",
        ".02",
        "1 in 50",
        "1 out of 50",
        " 1 / 50 ",
        "2e-2",
        "2.0 %",
        "2,0 %",
        "2/100",
    ],
)
def test_one_fiftieth_can_be_typed_in_many_ways(text: str) -> None:
    assert probability(text) == FIFTIETH


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1", Fraction(1)),
        ("1.0", Fraction(1)),
        ("100 %", Fraction(1)),
        ("1/1", Fraction(1)),
        ("1/1 000 000", Fraction(1, 1_000_000)),
        ("1/1\u202f000\u202f000", Fraction(1, 1_000_000)),
        ("27/160 000", Fraction(27, 160_000)),
        ("1\u204450", FIFTIETH),
        ("0.1", Fraction(1, 10)),
        ("1e-6", Fraction(1, 1_000_000)),
    ],
)
def test_a_probability_is_exact(text: str, value: Fraction) -> None:
    assert probability(text) == value


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("0", "zero"),
        ("0 %", "zero"),
        ("0/7", "zero"),
        ("0,000", "zero"),
        ("1/0", "over_zero"),
        ("0/0", "over_zero"),
        ("2", "over_one"),
        ("3/2", "over_one"),
        ("101 %", "over_one"),
        ("1.0000001", "over_one"),
        ("2e30", "over_one"),
        ("-1/50", "negative"),
        ("\u22120.02", "negative"),
        ("-1", "negative"),
        ("1,000", "ambiguous"),
        ("12,500 %", "ambiguous"),
        ("> 1/50", "bound"),
        ("about 2 %", "bound"),
        ("~1/50", "bound"),
        ("1:50", "not_understood"),
        ("1/1,000", "not_understood"),
        ("1/2.5", "not_understood"),
        ("1/2/3", "not_understood"),
        ("1/50 %", "not_understood"),
        ("--1", "not_understood"),
        ("often", "not_understood"),
        ("nan", "not_understood"),
        ("inf", "not_understood"),
        ("½", "not_understood"),
        ("1/5²", "not_understood"),
        ("١/٥٠", "not_understood"),
        ("1 00/5", "not_understood"),
        ("1e-31", "too_small"),
    ],
)
def test_what_is_no_probability_is_refused_with_the_reason(text: str, why: str) -> None:
    with pytest.raises(ProbabilityRefusedError) as caught:
        probability(text)

    assert caught.value.text == text
    assert caught.value.why == wording.template(f"risk.refused.{why}")
    assert text in wording.what(caught.value)
    assert wording.remedy(caught.value)


@pytest.mark.parametrize("text", ["1/" + "9" * 100_000, "0." + "0" * 50_000 + "1", "9" * 1_000_000, "1e-" + "9" * 200])
def test_huge_texts_are_refused_before_anything_is_computed(text: str) -> None:
    with pytest.raises(ProbabilityRefusedError) as caught:
        probability(text)

    assert len(caught.value.text) == LONGEST_TEXT + 1
    assert str(LONGEST_TEXT) in caught.value.why


@settings(derandomize=True, deadline=None)
@given(st.integers(1, 10**15), st.integers(1, 10**15))
def test_a_fraction_comes_back_as_it_was_printed(one: int, other: int) -> None:
    value = Fraction(min(one, other), max(one, other))

    assert probability(printed(value)) == value


@settings(derandomize=True, deadline=None)
@given(st.decimals(Decimal("0.000001"), 1, places=9), st.booleans())
def test_decimal_point_and_comma_and_percent_say_the_same(value: Decimal, comma: bool) -> None:
    text = f"{value:f}"
    typed = text.replace(".", ",") if comma else text

    assert probability(typed) == Fraction(value) == probability(f"{value * 100:f} %")


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.text(alphabet="0123456789/.,%eE- inoutf<~½²", max_size=60))
def test_any_text_is_a_probability_or_refused(text: str) -> None:
    assert _read_or_refused(text)


def _read_or_refused(text: str) -> bool:
    try:
        return 0 < probability(text) <= 1
    except ProbabilityRefusedError as error:
        return bool(error.why)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(1), "1"),
        (Fraction(1, 500), "1/500"),
        (Fraction(1, 1_000_000), "1/1 000 000"),
        (Fraction(9, 10), "9/10"),
        (Fraction(999, 1_000), "999/1 000"),
        (Fraction(10**17 - 1, 10**17), "more than 1 in 2"),
        (Fraction(27, 160_000), "27/160 000 (about 1 in 5 930)"),
        (Fraction(3, 80_000), "3/80 000 (about 1 in 26 700)"),
        (Fraction(2, 5) ** 10, "1 024/9 765 625 (about 1 in 9 540)"),
        (Fraction(3, 10**15), "about 1 in 333 000 000 000 000"),
        (Fraction(8, 10**13 + 1), "8/10 000 000 000 001 (about 1 in 1 250 000 000 000)"),
        (Fraction(1, 10**40), "less than 1 in 1 000 000 000 000 000"),
    ],
)
def test_a_probability_is_told_so_that_it_can_be_read(value: Fraction, text: str) -> None:
    assert spoken(value).replace(NO_BREAK_SPACE, " ") == text


def test_factors_are_told_to_three_digits() -> None:
    told = [times(Fraction(*pair)).replace(NO_BREAK_SPACE, " ") for pair in ((5, 1), (10, 3), (2000, 3), (98_765, 1))]
    assert told == ["5", "3.33", "667", "98 800"]
