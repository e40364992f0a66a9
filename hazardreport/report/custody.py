"""Keeping of the evidence: items, handing over, steps with "as found until …", and what an opponent could ask."""

from collections.abc import Iterable

from hazardreport.case.custody import Item, Step, StepEffect, Transfer
from hazardreport.evidence.custody_order import ITEMS, KEPT_AT, first_opening
from hazardreport.report.context import (
    Context,
    answer_text,
    joined,
    moment_text,
    picture_anchor,
    reading_anchor,
    sources_paragraph,
)
from hazardreport.report.document import (
    Block,
    Column,
    KeyValues,
    Missing,
    Paragraph,
    Reference,
    Row,
    Runs,
    Section,
    Table,
)
from hazardreport.report.document import Items as Listing
from hazardreport.report.links import stated_row
from hazardreport.wording import sentence

KEEPING = "keeping"
"""Anchor of where the unit is kept."""


def custody_sections(context: Context) -> tuple[Section, ...]:
    """The sections on keeping, in order."""
    return (
        Section(title=sentence("report.custody.unit"), blocks=_unit(context)),
        Section(title=sentence("report.custody.items"), blocks=_items(context)),
        Section(title=sentence("report.custody.transfers"), blocks=_transfers(context)),
        Section(title=sentence("report.custody.steps"), blocks=_steps(context)),
        Section(title=sentence("report.custody.gaps"), blocks=_gaps(context)),
    )


def custody_anchor(key: str) -> str:
    """Anchor of an item, a transfer or a step."""
    return f"custody-{key}"


def _unit(context: Context) -> tuple[Block, ...]:
    custody = context.case.custody
    names = ("kept_at", "kept_until", "units_examined", "units_faulty")
    rows = tuple(stated_row(context, sentence(f"report.custody.{name}"), getattr(custody, name)) for name in names)
    return (
        KeyValues(rows=rows, anchor=KEEPING),
        Paragraph(runs=(sentence("report.custody.untouched"),), role="small"),
    )


def _said(text: str) -> Runs:
    return (text if text.strip() else sentence("report.words.not_stated"),)


def _time(text: str) -> str:
    return moment_text(text) if text.strip() else sentence("report.words.not_stated")


def _links(context: Context, keys: Iterable[str]) -> Runs:
    """Records as references to their rows; one that is not in the case as plain text; that there is none."""
    case = context.case
    ids = (
        {item.id for item in case.items}
        | {transfer.id for transfer in case.transfers}
        | {step.id for step in case.steps}
    )
    pieces: list[Runs] = []
    for key in keys:
        if case.picture(key) is not None:
            pieces.append((Reference(target=picture_anchor(key), text=key),))
        elif case.reading(key) is not None:
            pieces.append((Reference(target=reading_anchor(key), text=key),))
        elif key in ids:
            pieces.append((Reference(target=custody_anchor(key), text=key),))
        else:
            pieces.append((sentence("report.custody.not_in_case", record=key),))
    return joined(pieces) or (sentence("report.custody.none_named"),)


def _columns(**shares: float) -> tuple[Column, ...]:
    return tuple(Column(title=sentence(f"report.custody.{name}"), share=share) for name, share in shares.items())


def _items(context: Context) -> tuple[Block, ...]:
    if not context.case.items:
        return (Missing(what=sentence("report.custody.items"), why=sentence("report.custody.no_items")),)
    columns = _columns(item=2.6, label=1.4, place=1.7, condition=2.4, since=1.5, pictures=1.4)
    rows = tuple(_item(context, item) for item in context.case.items)
    return (Table(caption=sentence("report.custody.items_caption"), columns=columns, rows=rows),)


def _item(context: Context, item: Item) -> Row:
    described = sentence(
        "report.custody.item_value",
        item=item.id,
        kind=sentence(f"report.item_kind.{item.kind.name.lower()}"),
        description=item.description.strip() or sentence("report.custody.not_described"),
    )
    cells = (
        (described,),
        _said(item.label),
        _said(item.place),
        _said(item.condition),
        (_time(item.since),),
        _links(context, item.pictures),
    )
    return Row(anchor=custody_anchor(item.id), cells=cells)


def _transfers(context: Context) -> tuple[Block, ...]:
    if not context.case.transfers:
        return (Missing(what=sentence("report.custody.transfers"), why=sentence("report.custody.no_transfers")),)
    columns = _columns(when_where=1.9, giver=1.5, taker=1.5, handed=1.2, purpose=1.5, condition=1.9, seal=1.5)
    rows = tuple(_transfer(context, transfer) for transfer in context.case.transfers)
    return (Table(caption=sentence("report.custody.transfers_caption"), columns=columns, rows=rows),)


def _transfer(context: Context, transfer: Transfer) -> Row:
    where = sentence(
        "report.custody.when_where_value",
        transfer=transfer.id,
        when=_time(transfer.when),
        where=transfer.place.strip() or sentence("report.words.not_stated"),
    )
    slip = _links(context, [transfer.picture] if transfer.picture else [])
    cells = (
        (where,),
        _said(transfer.giver),
        _said(transfer.taker),
        _links(context, transfer.items),
        _said(transfer.purpose),
        _said(transfer.condition),
        (answer_text(transfer.seal_whole), sentence("report.custody.slip"), *slip),
    )
    return Row(anchor=custody_anchor(transfer.id), cells=cells)


def _steps(context: Context) -> tuple[Block, ...]:
    steps = context.case.steps
    if not steps:
        return (Missing(what=sentence("report.custody.steps"), why=sentence("report.custody.no_steps")),)
    opening = first_opening(context.case)
    if opening is None:
        until: Runs = (sentence("report.custody.never_opened"),)
    else:
        link = Reference(target=custody_anchor(opening.id), text=opening.id)
        until = (sentence("report.custody.as_found_until", when=_time(opening.when)), link, ".")
    columns = _columns(when=1.6, what=2.8, by=1.3, effect=1.9, informed=1.9, shown=1.6)
    rows = tuple(_step(context, step) for step in steps)
    return (
        Paragraph(runs=until),
        Table(caption=sentence("report.custody.steps_caption"), columns=columns, rows=rows),
    )


def _step(context: Context, step: Step) -> Row:
    effect = sentence(f"report.step_effect.{step.effect.name.lower()}")
    concerns = _links(context, step.items)
    cells = (
        (sentence("report.custody.step_when", step=step.id, when=_time(step.when)),),
        (step.what.strip() or sentence("report.words.not_stated"), sentence("report.custody.done_to"), *concerns),
        _said(step.by),
        (f"{effect}; {sentence('report.custody.opens')}" if step.opens else effect,),
        _informed(step),
        _links(context, (*step.pictures, *step.readings)),
    )
    return Row(anchor=custody_anchor(step.id), cells=cells)


def _informed(step: Step) -> Runs:
    if step.effect is StepEffect.NON_DESTRUCTIVE and not step.informed.strip():
        return (sentence("report.custody.not_needed"),)
    return _said(step.informed)


def _gaps(context: Context) -> tuple[Block, ...]:
    """Remarks on the custody, one line for each thing with the records that have it."""
    if context.case.published_from:
        return (Paragraph(runs=(sentence("report.custody.gaps_published"),)),)
    found: dict[str, list[str]] = {}
    for remark in context.custody:
        found.setdefault(remark.what, []).append(remark.link)
    if not found:
        return (Paragraph(runs=(sentence("report.custody.no_gaps"),)),)
    lines = tuple((*_where(context, links), text) for text, links in found.items())
    sources = (source for remark in context.custody for source in remark.sources)
    return (
        Paragraph(runs=(sentence("report.custody.gaps_text"),)),
        Listing(items=lines),
        *sources_paragraph(sources),
    )


def _where(context: Context, links: Iterable[str]) -> Runs:
    records = [link for link in links if link != ITEMS]
    if not records:
        return ()
    if KEPT_AT in records:
        return (Reference(target=KEEPING, text=sentence("report.custody.kept_at")), ": ")
    return (*_links(context, records), ": ")
