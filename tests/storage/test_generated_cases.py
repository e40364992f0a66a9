"""The generated cases reach every field of every record, so that a round trip leaves none of them out."""

import dataclasses
import typing
from collections.abc import Iterator
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings

from hazardreport.case.case import Case
from tests.storage.generated_cases import records


def fields_of(record: Any, seen: set[type] | None = None) -> Iterator[tuple[str, str]]:
    """Record and name of every field that a case can have, at any depth."""
    seen = set() if seen is None else seen
    if not dataclasses.is_dataclass(record) or record in seen:
        return
    seen.add(typing.cast(type, record))
    for name, hint in typing.get_type_hints(record).items():
        yield record.__name__, name
        for one in inner(hint):
            yield from fields_of(one, seen)


def inner(hint: Any) -> Iterator[Any]:
    """The types within a type."""
    yield hint
    for one in typing.get_args(hint):
        yield from inner(one)


def filled(record: Any) -> Iterator[tuple[str, str]]:
    """Record and name of every field that says something: neither empty nor what it is without being said."""
    if isinstance(record, tuple):
        for one in record:
            yield from filled(one)
    elif dataclasses.is_dataclass(record):
        for field in dataclasses.fields(record):
            value = getattr(record, field.name)
            if value not in (None, "", (), field.default):
                yield type(record).__name__, field.name
            yield from filled(value)


def test_every_field_of_every_record_is_generated() -> None:
    """In as many batches as it takes, up to ten: a field that no strategy reaches stays missing in all of them."""
    missing = set(fields_of(Case))
    for number in range(10):

        @seed(number)
        @given(case=records(Case))
        @settings(
            database=None,
            deadline=None,
            max_examples=150,
            phases=(Phase.generate,),
            suppress_health_check=HealthCheck,
        )
        def collect(case: Case) -> None:
            missing.difference_update(filled(case))

        collect()
        if not missing:
            break
    assert missing == set()


def test_a_field_that_is_never_generated_would_be_named() -> None:
    assert ("Case", "published_from") in set(fields_of(Case))
    assert ("Stated", "private") in set(fields_of(Case))
    assert set(filled(Case(id="C-1"))) == {("Case", "id")}
