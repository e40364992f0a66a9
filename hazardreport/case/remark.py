"""Something about a case that its record alone shows: kept as typed, and said."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Remark:
    """One remark; assess makes a `Problem` of it.

    key     in the wording of problems
    kind    of record: "unit", "occurrence", "submitter" …; id: of the record, or field of it
    fields  of the wording, as (name, text) pairs; the texts of "field" and "place" are links such as
            "unit.purchased"
    gentle  good to know; nothing is wrong
    """

    key: str
    kind: str
    id: str = ""
    fields: tuple[tuple[str, str], ...] = ()
    gentle: bool = False
