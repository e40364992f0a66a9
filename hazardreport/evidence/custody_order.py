"""What an opponent could ask about the custody of the evidence: remarks on items, transfers, steps and "as found".

Every remark is a key with fields; its sentences are in the wording file `custody`. Times are compared only where both
name a moment; records are taken in the order in which they stand. Nothing here says that evidence is or is not admitted
anywhere: that is for courts.

References
----------
astm-e860, examination of items: state documented before; what others cannot repeat afterwards is announced first.
astm-e1188, collection and preservation: early, identified, traceable to the incident.
astm-e1459, labelling: origin, history and treatment of each item can be followed.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer
from hazardreport.case.custody import Item, ItemKind, Step, StepEffect, Transfer
from hazardreport.evidence.moments import is_later, moment
from hazardreport.quantity.trace import Source, Status
from hazardreport.wording import sentence

ITEMS = "items"
"""Link of a remark that concerns no single record: that nothing is recorded."""

KEPT_AT = "custody.kept_at"
"""Link of a remark on where the unit is kept."""


class Weight(StrEnum):
    """What a remark asks for."""

    MEND = "must mend"
    SAY = "worth saying"


LABELS = Source(key="astm-e1459", place="scope")
CONDITION = Source(key="astm-e860", place="scope")
FIRST = Source(key="astm-e860", place="special steps before an alteration")
NOTIFIED = Source(key="astm-e860", place="notice to interested parties", status=Status.FROM_MEMORY)
EARLY = Source(key="astm-e1188", place="4.1, 4.2")

KINDS: Mapping[str, tuple[Weight, tuple[Source, ...]]] = {
    "no_item": (Weight.SAY, (EARLY, LABELS)),
    "item_without_description": (Weight.SAY, (LABELS,)),
    "item_without_label": (Weight.MEND, (LABELS,)),
    "item_without_place": (Weight.MEND, (LABELS,)),
    "item_without_condition": (Weight.MEND, (CONDITION,)),
    "item_without_picture": (Weight.SAY, (CONDITION,)),
    "unknown_record": (Weight.MEND, ()),
    "transfer_of_nothing": (Weight.MEND, (LABELS,)),
    "transfer_of_unknown_item": (Weight.MEND, (LABELS,)),
    "transfer_without_giver": (Weight.MEND, (LABELS,)),
    "transfer_without_taker": (Weight.MEND, (LABELS,)),
    "transfer_by_another": (Weight.MEND, (LABELS,)),
    "transfer_without_time": (Weight.MEND, (LABELS,)),
    "transfer_before_last": (Weight.MEND, (LABELS,)),
    "transfer_without_purpose": (Weight.SAY, (LABELS,)),
    "transfer_without_picture": (Weight.SAY, ()),
    "seal_broken": (Weight.SAY, (LABELS,)),
    "seal_broken_without_condition": (Weight.MEND, (LABELS, CONDITION)),
    "step_without_effect": (Weight.MEND, (CONDITION,)),
    "step_before_last": (Weight.MEND, ()),
    "destructive_without_notice": (Weight.MEND, (FIRST, NOTIFIED)),
    "destructive_without_as_found": (Weight.MEND, (CONDITION,)),
    "opened_without_as_found": (Weight.SAY, (CONDITION,)),
    "picture_as_found_after_opening": (Weight.MEND, ()),
    "picture_as_found_in_later_step": (Weight.MEND, ()),
    "reading_as_found_after_opening": (Weight.MEND, ()),
    "reading_as_found_in_later_step": (Weight.MEND, ()),
    "kept_at_behind": (Weight.SAY, (LABELS,)),
}
"""Weight and sources of each remark."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Remark:
    """One thing about the custody that an opponent could ask about.

    key     of the wording: "item_without_label"
    link    id of the record that it concerns, or `ITEMS`, or `KEPT_AT`
    fields  of its sentences
    """

    key: str
    link: str
    fields: tuple[tuple[str, str], ...] = ()

    @property
    def weight(self) -> Weight:
        """Whether the record must be mended, or the thing is only worth saying."""
        return KINDS[self.key][0]

    @property
    def sources(self) -> tuple[Source, ...]:
        """Practice that it rests on; none where the record contradicts itself."""
        return KINDS[self.key][1]

    @property
    def what(self) -> str:
        """What is missing, or does not go together."""
        return sentence(f"custody.{self.key}.what", **dict(self.fields))

    @property
    def remedy(self) -> str:
        """What can be done."""
        return sentence(f"custody.{self.key}.remedy", **dict(self.fields))


def custody_remarks(case: Case) -> tuple[Remark, ...]:
    """Every remark on the custody of a case, in the order items, transfers, steps, pictures, readings, place.

    None for a publication: names and places are left out of it, so that nothing can be judged from it.
    """
    if case.published_from:
        return ()
    if not (case.items or case.transfers or case.steps):
        return (_remark("no_item", ITEMS),)
    return (
        *(() if case.items else (_remark("no_item", ITEMS),)),
        *(remark for item in case.items for remark in _of_item(case, item)),
        *_of_transfers(case),
        *_of_steps(case),
        *_of_as_found(case),
        *_of_place(case),
    )


def first_opening(case: Case) -> Step | None:
    """The first step that opened, moved apart or changed the unit: the earliest if all their times can be compared."""
    opening = [step for step in case.steps if step.opens]
    times = [moment(step.when) for step in opening]
    known = [time for time in times if time is not None]
    if len(known) == len(opening) and known:
        return opening[times.index(min(known))]
    return opening[0] if opening else None


def _remark(key: str, link: str, **fields: str) -> Remark:
    return Remark(key=key, link=link, fields=tuple(fields.items()))


def _unknown(case: Case, link: str, pictures: Iterable[str], readings: Iterable[str] = ()) -> Iterator[Remark]:
    gone = [key for key in pictures if key and case.picture(key) is None]
    for key in dict.fromkeys((*gone, *(key for key in readings if case.reading(key) is None))):
        yield _remark("unknown_record", link, record=key)


def _of_item(case: Case, item: Item) -> Iterator[Remark]:
    for name in ("description", "label", "place", "condition"):
        if not getattr(item, name).strip():
            yield _remark(f"item_without_{name}", item.id)
    if not item.pictures:
        yield _remark("item_without_picture", item.id)
    yield from _unknown(case, item.id, item.pictures)


def _of_transfers(case: Case) -> Iterator[Remark]:
    holders: dict[str, Transfer] = {}
    for transfer in case.transfers:
        yield from _of_transfer(case, transfer)
        befores = {item: holders[item] for item in transfer.items if item in holders}
        for item, before in befores.items():
            if transfer.giver.strip() and before.taker.strip() and not same_name(transfer.giver, before.taker):
                yield _remark(
                    "transfer_by_another",
                    transfer.id,
                    item=item,
                    giver=transfer.giver,
                    taker=before.taker,
                    last=before.id,
                )
        for last in dict.fromkeys(before.id for before in befores.values() if is_later(before.when, transfer.when)):
            yield _remark("transfer_before_last", transfer.id, last=last)
        holders |= dict.fromkeys(transfer.items, transfer)


def _of_transfer(case: Case, transfer: Transfer) -> Iterator[Remark]:
    if not transfer.items:
        yield _remark("transfer_of_nothing", transfer.id)
    for item in dict.fromkeys(transfer.items):
        if case.item(item) is None:
            yield _remark("transfer_of_unknown_item", transfer.id, item=item)
    for name, text in (
        ("giver", transfer.giver),
        ("taker", transfer.taker),
        ("time", transfer.when),
        ("purpose", transfer.purpose),
        ("picture", transfer.picture),
    ):
        if not text.strip():
            yield _remark(f"transfer_without_{name}", transfer.id)
    if transfer.seal_whole is Answer.NO:
        key = "seal_broken" if transfer.condition.strip() else "seal_broken_without_condition"
        yield _remark(key, transfer.id)
    yield from _unknown(case, transfer.id, (transfer.picture,))


def _of_steps(case: Case) -> Iterator[Remark]:
    last = ""
    before = ""
    for step in case.steps:
        if step.effect is StepEffect.OPEN:
            yield _remark("step_without_effect", step.id)
        if step.effect is StepEffect.DESTRUCTIVE:
            if not step.informed.strip():
                yield _remark("destructive_without_notice", step.id)
            if not _found_before(case, step):
                yield _remark("destructive_without_as_found", step.id)
        if is_later(before, step.when):
            yield _remark("step_before_last", step.id, last=last)
        elif moment(step.when) is not None:
            last, before = step.id, step.when
        for item in dict.fromkeys(step.items):
            if case.item(item) is None:
                yield _remark("unknown_record", step.id, record=item)
        yield from _unknown(case, step.id, step.pictures, step.readings)
    opening = first_opening(case)
    if opening is not None and opening.effect is not StepEffect.DESTRUCTIVE and not _found_before(case, opening):
        yield _remark("opened_without_as_found", opening.id)


def _found_before(case: Case, step: Step) -> bool:
    """Whether a picture shows the unit as found, and does not claim a time after the step."""
    return any(picture.as_found and not is_later(picture.claimed_time, step.when) for picture in case.pictures)


def _of_as_found(case: Case) -> Iterator[Remark]:
    opening = first_opening(case)
    if opening is None:
        return
    after = _after(case, opening)
    shown = {key: step.id for step in reversed(after) for key in step.pictures}
    taken = {key: step.id for step in reversed(after) for key in step.readings}
    for picture in case.pictures:
        if picture.as_found:
            yield from _late("picture", picture.id, picture.claimed_time, opening, shown)
    for reading in case.readings:
        if reading.as_found:
            yield from _late("reading", reading.id, reading.taken, opening, taken)


def _late(kind: str, key: str, time: str, opening: Step, later: Mapping[str, str]) -> Iterator[Remark]:
    """That something said to be as found came after the opening: by its time, or by the step that it belongs to."""
    if is_later(time, opening.when):
        yield _remark(f"{kind}_as_found_after_opening", key, opening=opening.id)
    elif key in later:
        yield _remark(f"{kind}_as_found_in_later_step", key, opening=opening.id, step=later[key])


def _after(case: Case, opening: Step) -> tuple[Step, ...]:
    """Steps after the first opening: by their times where these can be compared, else by their order."""
    place = case.steps.index(opening)
    return tuple(
        step
        for number, step in enumerate(case.steps)
        if step is not opening
        and (
            is_later(step.when, opening.when)
            if moment(step.when) is not None and moment(opening.when) is not None
            else number > place
        )
    )


def _of_place(case: Case) -> Iterator[Remark]:
    """That the unit was handed over, and where it is kept names neither taker nor place of that."""
    units = {item.id for item in case.items if item.kind is ItemKind.UNIT}
    last = next((transfer for transfer in reversed(case.transfers) if units & set(transfer.items)), None)
    if last is None:
        return
    kept = _plain(case.custody.kept_at.text)
    named = [_plain(text) for text in (last.taker, last.place) if text.strip()]
    if not any(name in kept or (kept and kept in name) for name in named):
        yield _remark("kept_at_behind", KEPT_AT, transfer=last.id, taker=last.taker or last.place or last.id)


def same_name(one: str, other: str) -> bool:
    """Whether two names differ at most in what typing makes: case, blanks, dots and commas.

    >>> same_name("R. Oakes", "r oakes "), same_name("R. Oakes", "R. Oaks")
    (True, False)
    """
    return _plain(one) == _plain(other)


def _plain(text: str) -> str:
    return " ".join(text.casefold().replace(".", " ").replace(",", " ").split())
