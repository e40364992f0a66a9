"""Attachments, anchors and revisions: what else is kept, and what fixes the record in time."""

from hazardreport.case.attachment import Attachment
from hazardreport.case.custody import Anchor
from hazardreport.report.context import Context, moment_text, picture_anchor
from hazardreport.report.document import (
    Block,
    Column,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Reference,
    Row,
    Runs,
    Table,
)
from hazardreport.wording import sentence

HASH_SHOWN = 16
"""So many characters of a hash are printed where it is only to be recognised."""


def byte_count(size: int) -> str:
    """A size with its thousands apart.

    >>> byte_count(214233).replace("\\u202f", " ")
    '214 233'
    """
    return f"{size:,}".replace(",", "\u202f")


def attachment_anchor(key: str) -> str:
    """Anchor of an attachment."""
    return f"attachment-{key}"


def attachments(context: Context) -> tuple[Block, ...]:
    """Every attachment with hash, size and kind."""
    if not context.case.attachments:
        return (Missing(what=sentence("report.record.attachments"), why=sentence("report.record.no_attachments")),)
    opening = Paragraph(runs=(sentence("report.record.attachments_text"),))
    return (opening, *(_attachment(context, attachment) for attachment in context.case.attachments))


def _attachment(context: Context, attachment: Attachment) -> KeyValues:
    file = sentence(
        "report.record.file_value",
        file=attachment.file,
        original=attachment.original_name or sentence("report.words.not_stated"),
        size=byte_count(attachment.size),
        kind=attachment.media_type,
    )
    rows = [
        KeyValue(label=sentence("report.evidence.file"), runs=(file,)),
        KeyValue(label=sentence("report.evidence.sha256"), runs=(attachment.sha256,)),
        KeyValue(label=sentence("report.record.imported"), runs=(_time(attachment.imported),)),
    ]
    if attachment.still and context.case.picture(attachment.still) is not None:
        link = Reference(target=picture_anchor(attachment.still), text=attachment.still)
        rows.append(KeyValue(label=sentence("report.record.still"), runs=(link,)))
    elif attachment.media_type.startswith("video/"):
        none = sentence("report.record.no_still")
        rows.append(KeyValue(label=sentence("report.record.still"), runs=(none,), known=False))
    caption = attachment.caption.strip() or sentence("report.words.no_caption")
    return KeyValues(
        title=sentence("report.words.picture", id=attachment.id, caption=caption),
        rows=tuple(rows),
        anchor=attachment_anchor(attachment.id),
    )


def revision(context: Context) -> tuple[Block, ...]:
    """Case, anchors, and the last revisions of the log."""
    text = sentence(
        "report.evidence.case_value",
        case=context.case.id,
        revision=context.case.revision,
        begun=_time(context.case.created),
        made=moment_text(context.created),
    )
    label = sentence("report.evidence.anchored")
    anchored = tuple(
        KeyValue(label=label, runs=_anchor(context, anchor), note=_contradiction(context, anchor))
        for anchor in context.case.anchors
    )
    none = KeyValue(label=label, runs=(sentence("report.evidence.not_anchored"),), known=False)
    rows = (KeyValue(label=sentence("report.evidence.case"), runs=(text,)), *(anchored or (none,)))
    return (KeyValues(rows=rows), _log(context))


def _anchor(context: Context, anchor: Anchor) -> Runs:
    told = sentence(
        f"report.anchor_kind.{anchor.kind.name.lower()}",
        revision=anchor.revision,
        whom=anchor.whom.strip() or sentence("report.words.not_stated"),
        when=_time(anchor.when),
        hash=anchor.head[:HASH_SHOWN] or sentence("report.words.not_stated"),
    )
    reference = sentence("report.record.reference", reference=anchor.reference) if anchor.reference.strip() else ""
    if context.case.attachment(anchor.attachment) is None:
        return (told + reference,)
    link = Reference(target=attachment_anchor(anchor.attachment), text=anchor.attachment)
    return (told + reference + sentence("report.record.kept_as"), link)


def _contradiction(context: Context, anchor: Anchor) -> Runs:
    """That the log has another hash for the revision that was anchored; the log of a publication says nothing of it."""
    if context.case.published_from:
        return ()
    hashes = {line.hash for line in context.log if line.revision == anchor.revision}
    return (sentence("report.record.other_hash"),) if hashes and anchor.head not in hashes else ()


def _log(context: Context) -> Block:
    if not context.log:
        return Missing(what=sentence("report.record.revisions"), why=sentence("report.record.no_log"))
    columns = (
        Column(title=sentence("report.record.number"), share=0.9),
        Column(title=sentence("report.record.time"), share=1.8),
        Column(title=sentence("report.record.author"), share=1.5),
        Column(title=sentence("report.record.changed"), share=4.0),
        Column(title=sentence("report.evidence.sha256"), share=1.8),
    )
    rows = tuple(
        Row(
            cells=(
                (str(line.revision),),
                (_time(line.time),),
                (line.author.strip() or sentence("report.words.not_stated"),),
                (line.changed.strip() or sentence("report.words.not_stated"),),
                (line.hash[:HASH_SHOWN] or sentence("report.words.not_stated"),),
            )
        )
        for line in context.log
    )
    return Table(
        caption=sentence("report.record.revisions_caption"),
        columns=columns,
        rows=rows,
        note=sentence("report.record.revisions_note"),
    )


def _time(text: str) -> str:
    return moment_text(text) if text.strip() else sentence("report.words.not_stated")
