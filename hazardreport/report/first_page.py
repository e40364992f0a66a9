"""First page: what a tired officer needs, so that the rest is annex."""

from hazardreport.addressees.asked import ClauseStatus
from hazardreport.case.circumstances import Answer, Occasion
from hazardreport.case.picture import Picture, PointRole
from hazardreport.case.stated import Stated
from hazardreport.figures.plate import plate
from hazardreport.report.context import (
    Context,
    answer_text,
    clause_runs,
    moment_text,
    reference_anchor,
    stated_runs,
)
from hazardreport.report.document import (
    Beside,
    Block,
    Items,
    KeyValue,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Plate,
    Reference,
    Runs,
    Section,
    SignalPanel,
    part_anchor,
)
from hazardreport.report.key_numbers import headline_cell, key_numbers
from hazardreport.report.measurements import headline_value
from hazardreport.risk.marking import marked
from hazardreport.severity.terms import SignalWord
from hazardreport.wording import sentence

UNMARKED = (ClauseStatus.READ, ClauseStatus.RESTATED)
PICTURE_SHARE = 0.46
PICTURE_HEIGHT = 62.0
LONGEST_NAME = 120
WORDS = "ansi-z535-4"
SIGNAL_WORDS = (SignalWord.DANGER, SignalWord.WARNING, SignalWord.CAUTION)
OPTIONAL = ("on_sale", "bought")
"""Pairs of the box whose second field only adds to the first."""
BOX = {
    "injured": ("situation.injured", "occurrence.injury"),
    "happened": ("occurrence.date", "occurrence.occasion"),
    "on_sale": ("unit.still_on_sale", "unit.listing_seen"),
    "units": ("custody.units_examined", "custody.units_faulty"),
    "bought": ("unit.purchased", "unit.purchase_place"),
    "kept": ("custody.kept_at", "custody.kept_until"),
}
"""Entries of the box with the fields they tell of; those of which no field is answered stand in one line."""


def first_page(context: Context, number: int) -> Part:
    """The first page."""
    verdict = context.assessment.verdict
    panel = SignalPanel(
        word=verdict.word,
        subject=unit_name(context),
        meaning=sentence(f"report.signal.{verdict.word.name.lower()}"),
    )
    opening: tuple[Block, ...] = (panel, Paragraph(runs=(verdict.sentence,), role="lead"), *_account(context))
    shown = Beside(left=_picture(context), right=key_numbers(context), share=0.47)
    return Part(
        key="first_page",
        number=number,
        title=sentence("report.parts.first_page"),
        sections=(
            Section(title="", blocks=(*opening, shown)),
            Section(title="", blocks=_box(context)),
            Section(title=sentence("report.first_page.asked_title", who=context.profile.who), blocks=_asked(context)),
        ),
    )


def unit_name(context: Context) -> str:
    """Brand, model and kind of product, as far as they are known; cut where they would fill the page."""
    unit = context.case.unit
    known = [stated.text for stated in (unit.brand, unit.model, unit.product_name) if stated.answered and stated.text]
    name = " ".join(" ".join(known).split()) or sentence("report.first_page.unit_not_named")
    return name if len(name) <= LONGEST_NAME else f"{name[:LONGEST_NAME]}\u2026"


def _account(context: Context) -> tuple[Block, ...]:
    narrative = context.case.occurrence.narrative
    told = stated_runs(narrative) if narrative.answered else (sentence("report.first_page.no_narrative"),)
    reason = sentence("report.first_page.reason", reason=context.assessment.verdict.reason)
    return Paragraph(runs=told), Paragraph(runs=(reason, *_risk(context), *_word(context)), role="small")


def _word(context: Context) -> Runs:
    """Where the meaning of the signal word is from; nothing where there is no such word."""
    if context.assessment.verdict.word not in SIGNAL_WORDS:
        return ()
    link = Reference(target=reference_anchor(WORDS), text=sentence("report.first_page.word_source"))
    return (sentence("report.first_page.word"), link, sentence("report.first_page.word_rule"))


def _risk(context: Context) -> Runs:
    """The level of risk by the assessor's scenarios, with the status of its cell; nothing without a scenario."""
    product = context.assessment.risk.product
    if not context.case.scenarios:
        return ()
    where: Runs = (Reference(target=part_anchor("risk"), text=sentence("report.parts.risk")),)
    if "risk" not in context.profile.parts:
        return ()
    if product.level is None:
        return (" ", sentence("report.first_page.no_risk_level"), " (", *where, ")")
    level = marked(sentence(f"risk.level.{product.level.name.lower()}"), product.source)
    return (" ", sentence("report.first_page.risk_level", level=level), " (", *where, ")")


def _shown_picture(context: Context) -> Picture | None:
    """The picture that shows it: the touchable part on it, most readings between its points, as found before others."""
    case = context.case
    touchable = {point.letter for point in case.points if point.role is PointRole.TOUCHABLE_PART}

    def shows(picture: Picture) -> tuple[bool, int, bool]:
        letters = {placement.letter for placement in picture.placements}
        lines = sum({reading.first, reading.second} <= letters for reading in case.readings)
        return bool(touchable & letters), lines, picture.as_found

    return max(case.pictures, key=shows, default=None)


def _picture(context: Context) -> tuple[Block, ...]:
    picture = _shown_picture(context)
    if picture is None:
        reason = context.case.absence("pictures") or sentence("report.words.open")
        return (Missing(what=sentence("report.first_page.no_picture"), why=reason),)
    cell = headline_cell(context)
    letters = {placement.letter for placement in picture.placements}
    values = headline_value(context, cell.state, letters) if cell is not None else {}
    drawing = plate(context.case, picture, context.width * PICTURE_SHARE, PICTURE_HEIGHT, values)
    return (Plate(drawing=drawing, caption=picture_caption(picture), picture=picture.id),)


def picture_caption(picture: Picture) -> str:
    """Caption of a picture; a drawn one says so."""
    key = "report.words.illustration" if picture.illustration else "report.words.picture"
    return sentence(key, id=picture.id, caption=picture.caption or sentence("report.words.no_caption"))


def _box(context: Context) -> tuple[Block, ...]:
    """The box of facts, and in one line below it those that nobody answered."""
    unit, custody = context.case.unit, context.case.custody
    rows: tuple[tuple[str, bool, Runs], ...] = (
        ("injured", *_injured(context)),
        ("happened", *_happened(context)),
        ("on_sale", *_together("on_sale", unit.still_on_sale, unit.listing_seen)),
        ("units", *_together("units", custody.units_examined, custody.units_faulty)),
        ("bought", *_together("bought", unit.purchased, unit.purchase_place)),
        ("kept", *_together("kept", custody.kept_at, custody.kept_until)),
    )
    unanswered = {key for key, names in BOX.items() if not any(_answered(context, name) for name in names)}
    told = tuple(
        KeyValue(label=sentence(f"report.first_page.{key}"), runs=runs, known=known)
        for key, known, runs in rows
        if key not in unanswered
    )
    box = (KeyValues(boxed=True, rows=told),) if told else ()
    if not unanswered:
        return box
    names = "; ".join(sentence(f"report.first_page.{key}") for key in BOX if key in unanswered)
    return (*box, Paragraph(runs=(sentence("report.first_page.not_answered", names=names),), role="small"))


def _answered(context: Context, name: str) -> bool:
    record, _, field = name.partition(".")
    given = getattr(getattr(context.case, record), field)
    return given.answered if isinstance(given, Stated) else given.value != "open"


def _plain(stated: Stated) -> str:
    return "".join(run for run in stated_runs(stated) if isinstance(run, str))


def _together(key: str, first: Stated, second: Stated) -> tuple[bool, Runs]:
    """Two fields as one entry; the second is left out of a pair that reads well without it, if nobody answered it."""
    if key in OPTIONAL and not (second.answered and second.text.strip()):
        return first.answered, (_plain(first),)
    told = sentence(f"report.first_page.{key}_value", first=_plain(first), second=_plain(second))
    return first.answered and second.answered, (told,)


def _injured(context: Context) -> tuple[bool, Runs]:
    """The plain answer, and the injury where one is told."""
    answer, injury = context.case.situation.injured, context.case.occurrence.injury
    if answer is Answer.OPEN:
        return injury.answered, (_plain(injury),)
    word = answer_text(answer)
    if not injury.answered:
        return True, (word,)
    return True, (sentence("report.first_page.injured_value", answer=word, injury=_plain(injury)),)


def _happened(context: Context) -> tuple[bool, Runs]:
    """The day, and whether it was an incident or only a discovery."""
    occurrence = context.case.occurrence
    day = _plain(occurrence.date)
    if occurrence.occasion is Occasion.OPEN:
        return occurrence.date.answered, (day,)
    kind = sentence(f"report.first_page.{occurrence.occasion.name.lower()}")
    told = sentence("report.first_page.happened_value", kind=kind, day=day)
    return occurrence.date.answered, (told,)


def _asked(context: Context) -> tuple[Block, ...]:
    profile = context.profile
    items = Items(
        numbered=True,
        items=tuple(
            (request.text, *((" ", *clause_runs(request.clauses, UNMARKED)) if request.clauses else ()))
            for request in profile.requests
        ),
    )
    form = (Paragraph(runs=(profile.accepts,), role="strong"),) if profile.form_only else ()
    sender = context.case.submitter
    name = " ".join(stated.text for stated in (sender.first_name, sender.last_name) if stated.text)
    if name and context.case.consents.contact_to_firm is not Answer.YES:
        name = sentence("report.first_page.named_on_last_sheet")
    made = sentence(
        "report.first_page.made_value" if name else "report.first_page.made_value_unnamed",
        name=name,
        created=moment_text(context.created),
        case=context.case.id,
        revision=context.case.revision,
    )
    link = Reference(target=part_anchor("evidence"), text=sentence("report.first_page.how_to_verify"))
    return (*form, items, KeyValues(rows=(KeyValue(label=sentence("report.first_page.by"), runs=(made, link)),)))
