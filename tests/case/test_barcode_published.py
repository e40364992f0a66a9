"""Published check digits of trade item numbers, and faults that must be told apart."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.barcode import barcode_fault, check_digit


@pytest.mark.published("gs1-check-digit", "worked examples")
@pytest.mark.parametrize(("body", "expected"), [("629104150021", 3), ("730001100001", 7), ("501234567890", 0)])
def test_check_digit_reproduces_the_published_examples(body: str, expected: int) -> None:
    assert check_digit(body) == expected
    assert barcode_fault(f"{body}{expected}") == ""


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("6291041500213", ""),
        ("6 291041 500213", ""),
        ("06291041500213", ""),
        ("6291041500214", "barcode_check_digit"),
        ("629104150021", "barcode_check_digit"),
        ("62910415002", "barcode_length"),
        ("", "barcode_not_digits"),
        ("629104150021X", "barcode_not_digits"),
        ("٦٢٩١٠٤١٥٠٠٢١٣", "barcode_not_digits"),
    ],
)
def test_faults_of_a_barcode_are_told_apart(text: str, fault: str) -> None:
    assert barcode_fault(text) == fault


@settings(derandomize=True, deadline=None)
@given(
    body=st.sampled_from((7, 11, 12, 13)).flatmap(lambda n: st.text("0123456789", min_size=n, max_size=n)),
    data=st.data(),
)
def test_any_single_wrong_digit_is_noticed(body: str, data: st.DataObject) -> None:
    whole = f"{body}{check_digit(body)}"
    place = data.draw(st.integers(0, len(whole) - 1))
    wrong = data.draw(st.sampled_from([digit for digit in "0123456789" if digit != whole[place]]))

    assert barcode_fault(whole) == ""
    assert barcode_fault(whole[:place] + wrong + whole[place + 1 :]) == "barcode_check_digit"
