"""Evidence: keeping, pictures with hash and derivation, attachments, anchors and revisions, and how to verify."""

from collections import Counter

from hazardreport.case.picture import Picture
from hazardreport.report.context import Context, moment_text, picture_anchor
from hazardreport.report.custody import custody_sections
from hazardreport.report.document import Block, Items, KeyValue, KeyValues, Missing, Paragraph, Part, Reference, Section
from hazardreport.report.first_page import picture_caption
from hazardreport.report.measurements import plate_anchor
from hazardreport.report.record import attachments, byte_count, revision
from hazardreport.wording import lines, sentence


def evidence(context: Context, number: int) -> Part:
    """The part on evidence."""
    return Part(
        key="evidence",
        number=number,
        title=sentence("report.parts.evidence"),
        sections=(
            *custody_sections(context),
            Section(title=sentence("report.evidence.pictures"), blocks=_pictures(context)),
            Section(title=sentence("report.record.attachments"), blocks=attachments(context)),
            Section(title=sentence("report.evidence.revision"), blocks=revision(context)),
            Section(title=sentence("report.evidence.verify"), blocks=_verify()),
        ),
    )


def _pictures(context: Context) -> tuple[Block, ...]:
    if not context.case.pictures:
        why = context.case.absence("pictures") or sentence("report.words.open")
        return (Missing(what=sentence("report.evidence.no_pictures"), why=why),)
    blocks: list[Block] = [Paragraph(runs=(sentence("report.evidence.pictures_text"),))]
    for picture in context.case.pictures:
        title = picture_caption(picture)
        blocks.append(
            KeyValues(
                title=title,
                rows=_picture(picture, context.withheld.get(picture.id, "")),
                anchor=picture_anchor(picture.id),
            )
        )
    return tuple(blocks)


def _picture(picture: Picture, withheld: str) -> tuple[KeyValue, ...]:
    unknown = sentence("report.evidence.no_time")
    shown = sentence(
        "report.evidence.file_value",
        file=picture.file,
        original=picture.original_name,
        size=byte_count(picture.size),
        width=picture.width,
        height=picture.height,
    )
    time = moment_text(picture.claimed_time) or unknown
    rows = [
        KeyValue(label=sentence("report.evidence.file"), runs=(shown,)),
        KeyValue(label=sentence("report.evidence.sha256"), runs=(picture.sha256,)),
        KeyValue(
            label=sentence("report.evidence.times"),
            runs=(
                sentence(
                    "report.evidence.times_value",
                    claimed=time,
                    camera=picture.camera or sentence("report.words.not_stated"),
                    imported=moment_text(picture.imported) or sentence("report.words.not_stated"),
                ),
            ),
        ),
    ]
    if picture.derived_from:
        rows.append(KeyValue(label=sentence("report.evidence.derived_from"), runs=(picture.derived_from,)))
    if withheld:
        rows.append(KeyValue(label=sentence("report.evidence.not_shown"), runs=(withheld,), known=False))
    else:
        rows.append(KeyValue(label=sentence("report.evidence.shown"), runs=(_derived(picture),)))
    remarks = [
        sentence(f"report.evidence.{key}")
        for key, holds in (
            ("as_found", picture.as_found),
            ("illustration", picture.illustration),
            ("position", picture.has_position),
        )
        if holds
    ]
    if remarks:
        rows.append(KeyValue(label=sentence("report.evidence.remarks"), runs=(" ".join(remarks),)))
    if picture.placements or picture.marks:
        link = Reference(target=plate_anchor(picture.id), text=sentence("report.evidence.plate_link"))
        rows.append(KeyValue(label=sentence("report.evidence.plate"), runs=(link,)))
    return tuple(rows)


def _derived(picture: Picture) -> str:
    """How the picture that is shown differs from the original."""
    count = len(picture.covers)
    if not count:
        return sentence("report.evidence.shown_uncovered")
    reasons = Counter(cover.reason.strip() or sentence("report.words.no_reason") for cover in picture.covers)
    told = ", ".join(reason if times == 1 else f"{times} \u00d7 {reason}" for reason, times in reasons.items())
    if picture.derived_from:
        key = "report.evidence.shown_published_one" if count == 1 else "report.evidence.shown_published"
    else:
        key = "report.evidence.shown_covered_one" if count == 1 else "report.evidence.shown_covered"
    return sentence(key, count=count, reasons=told)


def _verify() -> tuple[Block, ...]:
    return (Items(items=tuple((line,) for line in lines("report.evidence.steps")), numbered=True),)
