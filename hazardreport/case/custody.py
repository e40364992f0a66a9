"""Custody of the evidence: items, transfers, steps that were done to them; and anchors of the record in time."""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.circumstances import Answer


class ItemKind(StrEnum):
    """What an item of evidence is."""

    UNIT = "unit"
    CORD = "cord"
    PART = "part"
    PACKAGING = "packaging"
    OTHER = "other"


@dataclass(frozen=True, kw_only=True, slots=True)
class Item:
    """One physical item of evidence.

    id           "item-001"
    description  for people: "cord with plug, cut off by the owner"
    label        number of the seal or label on it, or ""
    place        where it is kept now
    condition    as it was when it was taken into keeping
    since        when it was taken into keeping, ISO 8601 or as told
    pictures     ids of pictures that show it
    """

    id: str
    kind: ItemKind = ItemKind.UNIT
    description: str = ""
    label: str = ""
    place: str = ""
    condition: str = ""
    since: str = ""
    pictures: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Transfer:
    """One handing over of items.

    id            "transfer-001"
    items         ids of what was handed over
    giver, taker  persons or offices
    when          ISO 8601 with offset, or as told
    purpose       why
    place         where
    condition     of the items when they were handed over
    seal_whole    were seals or labels found whole
    picture       id of the picture of the signed slip or of the items, or ""
    """

    id: str
    items: tuple[str, ...] = ()
    giver: str = ""
    taker: str = ""
    when: str = ""
    purpose: str = ""
    place: str = ""
    condition: str = ""
    seal_whole: Answer = Answer.OPEN
    picture: str = ""


class StepEffect(StrEnum):
    """Whether others can repeat an examination on the same item afterwards."""

    OPEN = "open"
    NON_DESTRUCTIVE = "non-destructive"
    DESTRUCTIVE = "destructive"


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One thing that was done to the evidence: a look, a test, an opening.

    id        "step-001"
    what      was done
    when      ISO 8601 with offset, or as told
    by        who did it
    effect    destructive if the item is not afterwards what it was before
    opens     the unit was opened, moved apart or changed by it: what comes later is not "as found"
    informed  who was told before a destructive step, and what they answered
    items, pictures, readings   ids of what it concerns and of what shows it
    """

    id: str
    what: str = ""
    when: str = ""
    by: str = ""
    effect: StepEffect = StepEffect.OPEN
    opens: bool = False
    informed: str = ""
    items: tuple[str, ...] = ()
    pictures: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()


class AnchorKind(StrEnum):
    """How a revision was fixed in time outside of its author's reach."""

    SENT = "hash sent"
    COUNTERSIGNED = "hash countersigned"
    TIME_STAMP = "time stamp"


@dataclass(frozen=True, kw_only=True, slots=True)
class Anchor:
    """The hash of a revision in somebody else's hands.

    id          "anchor-001"
    revision    that was anchored; head: hash of its line in the log, hexadecimal
    whom        person or office that has it
    when        ISO 8601 with offset, or as told
    reference   number of the letter, of the message, serial number of the time stamp
    attachment  id of the attachment that holds the countersigned page or the time stamp, or ""
    """

    id: str
    kind: AnchorKind
    revision: int
    head: str
    whom: str = ""
    when: str = ""
    reference: str = ""
    attachment: str = ""
