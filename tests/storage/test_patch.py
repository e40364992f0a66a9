"""Differences of JSON documents: by the published examples of RFC 6902, and by an implementation of it by others."""

import copy
from typing import Any

import jsonpatch
import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.errors import PatchRefusedError
from hazardreport.storage.case_json import plain_document
from hazardreport.storage.patch import Operation, difference, escaped, patched, tokens
from hazardreport.storage.record_text import parts_that_differ
from tests.storage.generated_cases import records

KEYS = st.text(st.sampled_from("ab/~01-é"), max_size=3)
NUMBERS = st.sampled_from([0, -0.0, 0.0, 1, 1.0, -1, 1e22, 5e-324, 1.7976931348623157e308, 2**53, 0.1])
LEAVES = st.none() | st.booleans() | NUMBERS | st.text(st.sampled_from('a"\\é\u2028💡'), max_size=3)
JSON = st.recursive(LEAVES, lambda inner: st.lists(inner, max_size=5) | st.dictionaries(KEYS, inner, max_size=4))
GENERATED = settings(derandomize=True, deadline=None, max_examples=200)


def text(document: Any) -> bytes:
    """As JSON; equal texts are equal documents, 1 and 1.0 and true apart."""
    return msgspec.json.encode(document, order="sorted")


def applied_by_others(document: Any, operations: list[Operation]) -> Any:
    return jsonpatch.apply_patch(copy.deepcopy(document), copy.deepcopy(operations))


def assert_leads_from_one_to_the_other(before: Any, after: Any) -> None:
    operations = difference(before, after)
    assert text(patched(copy.deepcopy(before), copy.deepcopy(operations))) == text(after)
    assert text(applied_by_others(before, operations)) == text(after)
    assert bool(operations) == (text(before) != text(after))
    assert {operation["op"] for operation in operations} <= {"add", "remove", "replace"}


@given(before=JSON, after=JSON)
@GENERATED
def test_a_difference_applied_by_an_implementation_of_others_gives_the_other_document(before: Any, after: Any) -> None:
    assert_leads_from_one_to_the_other(before, after)


@given(before=st.lists(st.integers(0, 3), max_size=7), after=st.lists(st.integers(0, 3), max_size=7))
@GENERATED
def test_so_does_that_of_two_lists_with_much_in_common(before: list[int], after: list[int]) -> None:
    assert_leads_from_one_to_the_other({"a": before}, {"a": after})


@given(before=records(Case), after=records(Case))
@settings(derandomize=True, deadline=None, max_examples=25)
def test_so_does_that_of_two_cases(before: Case, after: Case) -> None:
    assert_leads_from_one_to_the_other(plain_document(before), plain_document(after))


@given(
    document=JSON,
    operations=st.lists(
        st.fixed_dictionaries(
            {
                "op": st.just("add"),
                "path": st.lists(KEYS | st.sampled_from(["0", "1", "-"]), max_size=3).map(
                    lambda keys: "".join(f"/{escaped(key)}" for key in keys)
                ),
                "value": LEAVES,
            }
        ),
        max_size=3,
    ),
)
@GENERATED
def test_what_is_added_anywhere_is_added_or_refused_as_by_others(document: Any, operations: list[Operation]) -> None:
    try:
        expected = applied_by_others(document, operations)
    except (jsonpatch.JsonPatchException, jsonpatch.JsonPointerException, TypeError):
        with pytest.raises(PatchRefusedError):
            patched(copy.deepcopy(document), operations)
    else:
        assert text(patched(copy.deepcopy(document), operations)) == text(expected)


@given(keys=st.lists(KEYS, max_size=4))
@GENERATED
def test_a_key_comes_back_out_of_a_pointer(keys: list[str]) -> None:
    assert tokens("".join(f"/{escaped(key)}" for key in keys)) == keys


EXAMPLES = {
    "A.1": ({"foo": "bar"}, {"op": "add", "path": "/baz", "value": "qux"}, {"baz": "qux", "foo": "bar"}),
    "A.2": ({"foo": ["bar", "baz"]}, {"op": "add", "path": "/foo/1", "value": "qux"}, {"foo": ["bar", "qux", "baz"]}),
    "A.3": ({"baz": "qux", "foo": "bar"}, {"op": "remove", "path": "/baz"}, {"foo": "bar"}),
    "A.4": ({"foo": ["bar", "qux", "baz"]}, {"op": "remove", "path": "/foo/1"}, {"foo": ["bar", "baz"]}),
    "A.5": (
        {"baz": "qux", "foo": "bar"},
        {"op": "replace", "path": "/baz", "value": "boo"},
        {"baz": "boo", "foo": "bar"},
    ),
    "A.10": (
        {"foo": "bar"},
        {"op": "add", "path": "/child", "value": {"grandchild": {}}},
        {"foo": "bar", "child": {"grandchild": {}}},
    ),
    "A.11": ({"foo": "bar"}, {"op": "add", "path": "/baz", "value": "qux", "xyz": 123}, {"foo": "bar", "baz": "qux"}),
    "A.16": (
        {"foo": ["bar"]},
        {"op": "add", "path": "/foo/-", "value": ["abc", "def"]},
        {"foo": ["bar", ["abc", "def"]]},
    ),
}


@pytest.mark.published("rfc-6902", "appendix A.1 to A.5, A.10, A.11, A.16")
@pytest.mark.parametrize("place", EXAMPLES)
def test_the_published_examples_of_add_remove_and_replace(place: str) -> None:
    before, operation, after = EXAMPLES[place]
    assert patched(copy.deepcopy(before), [operation]) == after
    own = difference(before, after)
    assert patched(copy.deepcopy(before), copy.deepcopy(own)) == after
    assert len(own) == 1


@pytest.mark.published("rfc-6902", "appendix A.12")
def test_the_published_example_of_a_place_that_is_not_there_is_refused() -> None:
    with pytest.raises(PatchRefusedError):
        patched({"foo": "bar"}, [{"op": "add", "path": "/baz/bat", "value": "qux"}])


@pytest.mark.published("rfc-6902", "section 4, operations; sections 4.2 and 4.3; rfc-6901, section 4")
@pytest.mark.parametrize(
    "operation",
    [
        {"op": "remove", "path": "/none"},
        {"op": "replace", "path": "/none", "value": 1},
        {"op": "replace", "path": "/list/1", "value": 1},
        {"op": "replace", "path": "/list/-", "value": 1},
        {"op": "remove", "path": "/list/-"},
        {"op": "add", "path": "/list/2", "value": 1},
        {"op": "add", "path": "/list/00", "value": 1},
        {"op": "add", "path": "/list/+0", "value": 1},
        {"op": "add", "path": "/list/٠", "value": 1},
        {"op": "add", "path": "/list/x", "value": 1},
        {"op": "add", "path": "list", "value": 1},
        {"op": "add", "path": "/list"},
        {"op": "add", "path": "/text/0", "value": 1},
        {"op": "add", "path": None, "value": 1},
        {"op": "remove", "path": ""},
        {"op": "unknown", "path": "/list", "value": 1},
        {"path": "/list", "value": 1},
    ],
)
def test_an_operation_that_cannot_be_done_is_refused(operation: Operation) -> None:
    with pytest.raises(PatchRefusedError):
        patched({"list": [0], "text": "a"}, [operation])


@pytest.mark.parametrize(
    ("before", "after"), [(1, 1.0), (1, True), (0.0, -0.0), (0, False), (1e22, 10**22), ("1", 1), (None, False)]
)
def test_values_that_only_look_alike_are_told_apart(before: object, after: object) -> None:
    operations = difference({"a": [before]}, {"a": [after]})
    assert [(one["op"], one["path"]) for one in operations] == [("replace", "/a/0")]
    assert text(patched({"a": [before]}, operations)) == text({"a": [after]})


@pytest.mark.parametrize("index", range(5))
def test_one_item_added_or_taken_out_anywhere_is_one_operation(index: int) -> None:
    whole = [{"id": number} for number in range(5)]
    without = whole[:index] + whole[index + 1 :]
    assert difference(whole, without) == [{"op": "remove", "path": f"/{index}"}]
    assert difference(without, whole) == [{"op": "add", "path": f"/{index}", "value": {"id": index}}]


def test_one_field_of_one_item_among_a_thousand_is_one_operation() -> None:
    before = {"pictures": [{"id": number, "caption": ""} for number in range(1000)]}
    after = copy.deepcopy(before)
    after["pictures"][500]["caption"] = "plate"
    assert difference(before, after) == [{"op": "replace", "path": "/pictures/500/caption", "value": "plate"}]


@given(before=st.dictionaries(KEYS, JSON, max_size=4), after=st.dictionaries(KEYS, JSON, max_size=4))
@GENERATED
def test_the_difference_of_what_differs_is_that_of_the_whole(before: dict[str, Any], after: dict[str, Any]) -> None:
    shared = {key: value for key, value in before.items() if len(key) < 2}
    after = {**after, **shared}
    texts = [{key: msgspec.json.encode(value) for key, value in one.items()} for one in (before, after)]
    parts = parts_that_differ(*texts)
    assert text(difference(*parts)) == text(difference({key: before[key] for key in before if key in after}, after))
    assert not any(text(parts[0][key]) == text(parts[1][key]) for key in parts[0].keys() & parts[1].keys())
