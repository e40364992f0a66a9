"""A field that says what it is, or why it is not known; nothing in a case is silently blank."""

from dataclasses import dataclass
from enum import StrEnum


class Standing(StrEnum):
    """How a field stands."""

    OPEN = "open"
    VALUE = "value"
    UNKNOWN = "unknown"
    NOT_APPLICABLE = "not applicable"


@dataclass(frozen=True, kw_only=True, slots=True)
class Stated:
    """One field of a record.

    standing  open (nobody answered yet), value, unknown, not applicable
    text      the value as read or told
    reason    why it is unknown or not applicable
    picture   id of the picture that shows it, or ""
    point     letter of the point where it stands on the unit, or ""
    private   identifies a person: left out of a publication
    """

    standing: Standing = Standing.OPEN
    text: str = ""
    reason: str = ""
    picture: str = ""
    point: str = ""
    private: bool = False

    @property
    def answered(self) -> bool:
        """A value, or an absence with its reason."""
        if self.standing is Standing.VALUE:
            return bool(self.text.strip())
        return self.standing is not Standing.OPEN and bool(self.reason.strip())


def value(text: str, *, picture: str = "", point: str = "") -> Stated:
    """A field with a value; empty text is an open field."""
    if not text.strip():
        return Stated()
    return Stated(standing=Standing.VALUE, text=text, picture=picture, point=point)


def unknown(reason: str) -> Stated:
    """A field that is not known, and why."""
    return Stated(standing=Standing.UNKNOWN, reason=reason)


def not_applicable(reason: str) -> Stated:
    """A field that does not apply, and why."""
    return Stated(standing=Standing.NOT_APPLICABLE, reason=reason)


@dataclass(frozen=True, kw_only=True, slots=True)
class Absence:
    """Why something that is no `Stated` field is absent: link as profiles write it ("pictures"), and the reason."""

    field: str
    reason: str
