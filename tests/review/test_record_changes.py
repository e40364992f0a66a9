"""Any two JSON values are compared: a log may hold what no program of ours wrote."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.review.record_changes import Comparison

GONE = "erased"
POINTS = {"points": [{"id": "a", "letter": "A"}]}

keys = st.sampled_from(
    ("", "id", "letter", "points", "pictures", "standing", "text", "reason", "field", "a.b", "sha256")
)
values = st.recursive(
    st.none() | st.booleans() | st.integers(0, 3) | st.floats(0, 1) | st.text(max_size=2),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3),
    max_leaves=12,
)


@pytest.mark.parametrize(
    "after",
    [
        {"points": [[{"x": 1}]]},
        {"points": [[[1]]]},
        {"points": "x"},
        {"points": {"id": 1}},
        {"title": [{"id": "q"}], "points": [{"id": ["a"]}, {"id": {"b": 1}}, {"letter": {}}, 5]},
        {"points": [{"": [{"": [{}]}]}]},
        [{"id": "a"}],
    ],
)
def test_what_is_no_record_is_told_as_a_plain_value(after: Any) -> None:
    assert list(Comparison(gone=GONE)(POINTS, after))
    assert list(Comparison(gone=GONE)(after, POINTS))


def test_text_in_place_of_records_is_one_change() -> None:
    (change,) = Comparison(gone=GONE)(POINTS, {"points": "none"})
    assert change.after == "none"
    assert "A" in str(change.before)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(values, values)
def test_any_two_values_are_compared(before: Any, after: Any) -> None:
    for pair in ((before, after), ({"points": before}, {"points": after}), ({"unit": before}, {"unit": after})):
        for change in Comparison(gone=GONE)(*pair):
            assert change.subject
