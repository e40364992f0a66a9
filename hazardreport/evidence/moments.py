"""Times as people write them: which of them can be compared."""

from datetime import datetime


def moment(text: str) -> datetime | None:
    """The moment that a text names, or None for all that names none: a day alone, a time without offset, words.

    >>> moment("2026-05-04T09:30:00+02:00") == moment("2026-05-04T07:30:00Z")
    True
    >>> moment("2026-05-04"), moment("2026-05-04T09:30"), moment("in May")
    (None, None, None)
    """
    try:
        found = datetime.fromisoformat(text.strip())
    except ValueError:
        return None
    return found if found.utcoffset() is not None else None


def is_later(one: str, other: str) -> bool:
    """Whether the first names a later moment than the second; False where they cannot be compared."""
    first, second = moment(one), moment(other)
    return first is not None and second is not None and first > second
