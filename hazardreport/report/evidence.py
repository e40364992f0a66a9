"""Evidence: pictures with hash and claimed time, custody, revision, and how to verify this file and the case."""

from hazardreport.case.picture import Picture
from hazardreport.report.context import Context, moment_text, picture_anchor, stated_row
from hazardreport.report.document import Block, Items, KeyValue, KeyValues, Missing, Paragraph, Part, Reference, Section
from hazardreport.report.first_page import picture_caption
from hazardreport.report.measurements import plate_anchor
from hazardreport.wording import lines, sentence


def evidence(context: Context, number: int) -> Part:
    """The part on evidence."""
    return Part(
        key="evidence",
        number=number,
        title=sentence("report.parts.evidence"),
        sections=(
            Section(title=sentence("report.evidence.custody"), blocks=_custody(context)),
            Section(title=sentence("report.evidence.pictures"), blocks=_pictures(context)),
            Section(title=sentence("report.evidence.revision"), blocks=_revision(context)),
            Section(title=sentence("report.evidence.verify"), blocks=_verify()),
        ),
    )


def _custody(context: Context) -> tuple[Block, ...]:
    custody = context.case.custody
    names = ("kept_at", "kept_until", "units_examined", "units_faulty")
    rows = tuple(stated_row(sentence(f"report.evidence.{name}"), getattr(custody, name)) for name in names)
    return (KeyValues(rows=rows), Paragraph(runs=(sentence("report.evidence.untouched"),), role="small"))


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
        size=f"{picture.size:,}".replace(",", "\u202f"),
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
    if withheld:
        rows.append(KeyValue(label=sentence("report.evidence.not_shown"), runs=(withheld,), known=False))
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


def _revision(context: Context) -> tuple[Block, ...]:
    rows = (
        KeyValue(
            label=sentence("report.evidence.case"),
            runs=(
                sentence(
                    "report.evidence.case_value",
                    case=context.case.id,
                    revision=context.case.revision,
                    begun=moment_text(context.case.created) or sentence("report.words.not_stated"),
                    made=moment_text(context.created),
                ),
            ),
        ),
        KeyValue(
            label=sentence("report.evidence.anchored"), runs=(sentence("report.evidence.not_anchored"),), known=False
        ),
    )
    return (KeyValues(rows=rows),)


def _verify() -> tuple[Block, ...]:
    return (Items(items=tuple((line,) for line in lines("report.evidence.steps")), numbered=True),)
