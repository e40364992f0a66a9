"""The record as JSON text, field by field: proved to read back as it is, and laid out for people.

A field is proved again unless it is the very same object that this process proved last time, and laid out again unless
its text is the same, so a save after one edit costs one field. Text alone proves nothing: JSON writes what is no finite
number as null.
"""

import typing
from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

import msgspec

from hazardreport.case.case import Case

Texts = Mapping[str, bytes]
"""Text of each field of a case, without line breaks."""

_HINTS = typing.get_type_hints(Case)
_OPENING, _CLOSING = b'{\n  "case": {\n', b"\n  }\n}"
_proved: dict[str, tuple[Any, bytes]] = {}
_laid_out: dict[str, tuple[bytes, bytes]] = {}


def proved(case: Case) -> tuple[Case, Texts] | None:
    """The case as it will be read back, equal to the one given, and its texts; None if one would not read back so.

    A whole number in a field for numbers becomes what it is read as: 5 is written 5.0.
    """
    texts: dict[str, bytes] = {}
    otherwise: dict[str, Any] = {}
    for name in (field.name for field in fields(Case)):
        value = getattr(case, name)
        known = _proved.get(name)
        if known is None or known[0] is not value:
            known = _proof(value, _HINTS[name])
            if known is None:
                return None
            _proved[name] = known
        if known[0] is not value:
            otherwise[name] = known[0]
        texts[name] = known[1]
    return replace(case, **otherwise), texts


def _proof(value: Any, type: Any) -> tuple[Any, bytes] | None:
    """A field as it will be read back and its text; the field itself if it is written so, None if it is not equal."""
    try:
        text = msgspec.json.encode(value)
        again = msgspec.json.decode(text, type=type)
        if again != value:
            return None
        text_again = msgspec.json.encode(again)
    except (UnicodeEncodeError, msgspec.MsgspecError):
        return None
    return (value, text) if text_again == text else (again, text_again)


def joined(texts: Texts) -> bytes:
    """The record as one JSON object without line breaks."""
    return b"{" + b",".join(b'"%s":%s' % (name.encode(), text) for name, text in texts.items()) + b"}"


def laid_out(outer: Mapping[str, object], texts: Texts) -> bytes:
    """Indented JSON of an object with further members and, last, the record as its member "case"."""
    head = msgspec.json.format(msgspec.json.encode(outer), indent=2).removesuffix(b"\n}")
    parts = [head, b',\n  "case": {\n']
    for name, text in texts.items():
        parts += (_field(name, text), b",\n")
    parts[-1] = _CLOSING + b"\n"
    return b"".join(parts)


def parts_that_differ(before: Texts, after: Texts) -> tuple[Any, Any]:
    """Two records without the fields that are written alike in both; their difference is that of the whole."""
    names = [name for name in after if before.get(name) != after[name]]
    old = {name: msgspec.json.decode(before[name]) for name in names if name in before}
    return old, {name: msgspec.json.decode(after[name]) for name in names}


def _field(name: str, text: bytes) -> bytes:
    """One field as it stands within the record."""
    known = _laid_out.get(name)
    if known is None or known[0] != text:
        whole = msgspec.json.format(b'{"case":{"%s":%s}}' % (name.encode(), text), indent=2)
        known = _laid_out[name] = (text, whole.removeprefix(_OPENING).removesuffix(_CLOSING))
    return known[1]
