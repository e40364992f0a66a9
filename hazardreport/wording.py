"""A key and fields to a sentence, from resources/wording/<language>/<file>.toml.

A key reads ``file.table.entry``: ``errors.picture_changed.what`` is the entry ``what`` of the table
``picture_changed`` in ``errors.toml``. Fields are put in with ``str.format``;
text that a person typed only ever enters as a field.
"""

import tomllib
from collections.abc import Mapping
from functools import cache
from typing import Any

from hazardreport.errors import HazardReportError
from hazardreport.resources_dir import RESOURCES

LANGUAGE = "en"


@cache
def _file(language: str, stem: str) -> Mapping[str, Any]:
    with (RESOURCES / "wording" / language / f"{stem}.toml").open("rb") as stream:
        return tomllib.load(stream)


def template(key: str, language: str = LANGUAGE) -> str:
    """The sentence of a key before its fields are put in; an unknown key is a KeyError (a defect of ours)."""
    stem, *path = key.split(".")
    entry: Any = _file(language, stem)
    for name in path:
        if not isinstance(entry, Mapping) or name not in entry:
            raise KeyError(key)
        entry = entry[name]
    if not isinstance(entry, str):
        raise KeyError(key)
    return entry


def sentence(key: str, **fields: object) -> str:
    """The sentence of a key with its fields put in."""
    return template(key).format(**fields)


def lines(key: str) -> tuple[str, ...]:
    """The entries of a key that holds a list of sentences, in order."""
    stem, *path = key.split(".")
    entry: Any = _file(LANGUAGE, stem)
    for name in path:
        entry = entry[name]
    return tuple(str(line) for line in entry)


def keys(stem: str) -> tuple[str, ...]:
    """Every key of one wording file, dotted, in the order of the file."""

    def walk(prefix: str, entry: Any) -> list[str]:
        if isinstance(entry, Mapping):
            return [key for name, value in entry.items() for key in walk(f"{prefix}.{name}", value)]
        return [prefix]

    return tuple(walk(stem, _file(LANGUAGE, stem)))


def what(error: HazardReportError) -> str:
    """What happened and why, of one error."""
    return sentence(f"errors.{error.key}.what", **error.fields())


def remedy(error: HazardReportError) -> str:
    """What to do about one error."""
    return sentence(f"errors.{error.key}.remedy", **error.fields())
