"""Cases that hold what no careful person would enter: the demo case with some of its records replaced by odd ones.

Ids and keys are mostly those that exist, so that odd values get past the first look; texts are odd days, odd
probabilities, text of other scripts and sizes; numbers are those at the edges of what the record can hold.
"""

import dataclasses
import random
import types
import typing
from collections.abc import Callable
from enum import StrEnum
from functools import cache
from typing import Any

from hypothesis import strategies as st

from hazardreport.addressees.profiles import profile_keys
from hazardreport.case.case import Case
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.risk.hazards import hazards
from hazardreport.risk.injuries import injuries
from hazardreport.risk.requirements import requirements
from hazardreport.standards.tables import table
from hazardreport.storage.folder import open_case
from tests.fuzz import odd, table_text
from tests.fuzz.targets import typed_day, typed_probability
from tests.fuzz.targets.table_digits import TABLES

NUMBERS = (0.0, -0.0, -1.0, 0.05, 0.5, 1.0, 1.5, 50.0, 60.0, 230.0, 1e4, 1e-30, 5e-324, 1e22, 1e300, -1e308)
WHOLE = (0, 1, 2, 3, 4, 5, 6, 100, 10**9)
DAYS = (*typed_day.DAYS, "0001-01-01", "9999-12-31", "1900", "1826-01-01", "2026-05-30", "tomorrow")
PROBABILITIES = typed_probability.TEXTS
WORDS = (*odd.TEXTS, *table_text.VALUES, "Nobody was hurt.", "harmless", "4 006381 333931", "4006381333932", "unknown")
IDS = ("picture", "reading", "instrument", "attachment", "scenario", "finding", "letter", "item", "confirmation")


@cache
def demo() -> Case:
    """The demo case."""
    return open_case(DEMO_CASE, for_writing=False).case


@cache
def _pool(record: str, name: str) -> tuple[str, ...]:
    """Texts that a field of that record may hold, those that mean something there first."""
    keys = {
        ("RequirementAnswer", "id"): tuple(one.key for one in requirements()),
        ("Scenario", "injury"): tuple(one.key for one in injuries()),
        ("Scenario", "hazard"): tuple(one.key for one in hazards()),
        ("ScenarioStep", "probability"): PROBABILITIES,
        ("Letter", "addressee"): profile_keys(),
        ("Case", "addressee"): profile_keys(),
        ("TableConfirmation", "table"): tuple(f"{standard}/{name}" for standard, name in TABLES),
        ("TableConfirmation", "sha256"): tuple(table(*one).sha256 for one in TABLES),
        ("Reading", "typed"): table_text.VALUES,
    }
    if name in {"first", "second", "letter"}:
        return ("A", "B", "C", "E", "F", "G")
    if found := keys.get((record, name)):
        return found
    if "day" in name or "date" in name or name in {"answer_by", "assessed_on", "created", "text"}:
        return DAYS
    plural = name.removesuffix("s")
    kinds = [kind for kind in IDS if name == kind or plural == kind or (name == "id" and record.lower() == kind)]
    kinds += ["letter"] if name in {"answers"} or (record, name) == ("Letter", "id") else []
    return tuple(f"{kind}-{number:03d}" for kind in kinds for number in (1, 2, 3, 999)) or WORDS


def value(hint: Any, record: str, name: str, random_: random.Random) -> Any:
    """An odd value of a field's type."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin in (types.UnionType, typing.Union):
        return value(random_.choice(inner), record, name, random_)
    if origin is tuple:
        if inner[-1] is not Ellipsis:
            return tuple(value(one, record, name, random_) for one in inner)
        return tuple(value(inner[0], record, name, random_) for _ in range(random_.choice((0, 1, 1, 2, 3))))
    if dataclasses.is_dataclass(hint):
        return odd_record(hint, random_)
    simple: dict[Any, Callable[[], Any]] = {
        str: lambda: random_.choice(_pool(record, name)) if random_.random() < 0.8 else random_.choice(WORDS),
        float: lambda: random_.choice(NUMBERS),
        int: lambda: random_.choice(WHOLE),
        bool: lambda: random_.random() < 0.5,
        types.NoneType: lambda: None,
    }
    return random_.choice(list(hint)) if issubclass(hint, StrEnum) else simple[hint]()


def odd_record(kind: Any, random_: random.Random) -> Any:
    """A record of that kind whose fields are odd, about two of three set."""
    hints = typing.get_type_hints(kind)
    given = {
        one.name: value(hints[one.name], kind.__name__, one.name, random_)
        for one in dataclasses.fields(kind)
        if one.default is dataclasses.MISSING or random_.random() < 0.65
    }
    return kind(**given)


def hostile(seed: int) -> Case:
    """The demo case with one to six of its fields odd; every fourth time nothing of the demo is left."""
    random_ = random.Random(seed)
    hints = typing.get_type_hints(Case)
    names = [name for name in hints if name not in {"id", "revision", "published_from", "pictures", "attachments"}]
    if random_.random() < 0.25:
        return typing.cast(Case, dataclasses.replace(odd_record(Case, random_), pictures=(), attachments=()))
    chosen = random_.sample(names, random_.choice((1, 1, 2, 3, 6)))
    odd_ones = {name: value(hints[name], "Case", name, random_) for name in chosen}
    return dataclasses.replace(demo(), **odd_ones)


HOSTILE = st.integers(min_value=0, max_value=2**32).map(hostile)
