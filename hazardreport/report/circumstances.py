"""What happened, how the unit was used and kept, and whether repair, change or misuse was found or excluded."""

from dataclasses import replace

from hazardreport.addressees.asked import Clause, ClauseStatus
from hazardreport.case.circumstances import Answer, Grip, Occasion, ResidualCurrentDevice
from hazardreport.case.upkeep import Alteration, Kept
from hazardreport.report.context import Context, answer_text, clauses_paragraph
from hazardreport.report.document import Column, KeyValue, KeyValues, Paragraph, Row, Runs, Section, Table
from hazardreport.report.links import pictures_of, stated_row
from hazardreport.wording import sentence

ANSWERS = ("earthed_metal_in_reach", "conductive_floor", "wet_hands", "both_hands", "children", "socket_earth")
MORE_ANSWERS = ("near_water", "care_needs")
NAMED = {*ANSWERS, *MORE_ANSWERS, "grip", "residual_current_device"}
KEPT = ("socket_earth", "cord", "cleaning", "instructions")
ALTERED = ("repairs", "changes", "misuse")
KEPT_CLAUSES = (Clause(reference="eu-2019-1020", place="art. 16(1)", status=ClauseStatus.FROM_MEMORY),)
ALTERED_CLAUSES = (
    Clause(reference="16-cfr-1115", place="1115.4", status=ClauseStatus.READ),
    Clause(reference="eu-2023-988", place="art. 13(3)", status=ClauseStatus.READ),
)


def circumstances_sections(context: Context) -> tuple[Section, ...]:
    """The sections on circumstances, in order."""
    return (
        Section(title=sentence("report_circumstances.happened.title"), blocks=(KeyValues(rows=_happened(context)),)),
        Section(
            title=sentence("report.findings.household"),
            blocks=(
                Paragraph(runs=(sentence("report.findings.household_opening"),)),
                KeyValues(rows=_used(context)),
            ),
        ),
        _kept(context),
        _altered(context),
    )


def _happened(context: Context) -> tuple[KeyValue, ...]:
    occurrence, injured = context.case.occurrence, context.case.situation.injured
    occasion = occurrence.occasion

    def told(name: str) -> KeyValue:
        return stated_row(context, sentence(f"report_circumstances.happened.{name}"), getattr(occurrence, name))

    return (
        KeyValue(
            label=sentence("report_circumstances.happened.occasion"),
            runs=(sentence(f"report_circumstances.occasion.{occasion.name.lower()}"),),
            known=occasion is not Occasion.OPEN,
        ),
        told("narrative"),
        told("date"),
        KeyValue(
            label=sentence("report_circumstances.happened.injured"),
            runs=(answer_text(injured),),
            known=injured in (Answer.YES, Answer.NO),
        ),
        *(told(name) for name in ("injured_person", "injury", "treatment", "damage")),
    )


def _reasons(text: str) -> tuple[dict[str, str], str]:
    """Reasons by field ("field: reason", one a line), and the lines of another form."""
    reasons: dict[str, str] = {}
    others = []
    for line in text.splitlines():
        name, colon, reason = line.partition(":")
        if colon and name.strip() in NAMED:
            reasons[name.strip()] = reason.strip()
        elif line.strip():
            others.append(line.strip())
    return reasons, "\n".join(others)


def _used(context: Context) -> tuple[KeyValue, ...]:
    household = context.case.household
    reasons, others = _reasons(household.reasons.text)

    def row(name: str, text: str, known: bool) -> KeyValue:
        label = f"report_circumstances.use.{name}" if name in MORE_ANSWERS else f"report.household.{name}"
        note = (sentence("report.findings.because", reason=reasons[name]),) if name in reasons else ()
        return KeyValue(label=sentence(label), runs=(text,), note=note, known=known)

    answers = [(name, getattr(household, name)) for name in (*ANSWERS, *MORE_ANSWERS)]
    device = household.residual_current_device
    rows = [
        stated_row(context, sentence("report.household.use"), household.use),
        stated_row(context, sentence("report.household.place"), household.place),
        stated_row(context, sentence("report.household.users"), household.users),
        *(row(name, answer_text(answer), answer is not Answer.OPEN) for name, answer in answers),
        row("grip", sentence(f"report.grip.{household.grip.name.lower()}"), household.grip is not Grip.OPEN),
        row(
            "residual_current_device",
            sentence(f"report.residual_current_device.{device.name.lower()}"),
            device is not ResidualCurrentDevice.OPEN,
        ),
    ]
    if others or not reasons:
        left = replace(household.reasons, text=others) if reasons else household.reasons
        rows.append(stated_row(context, sentence("report.household.reasons"), left))
    return tuple(rows)


def _kept(context: Context) -> Section:
    upkeep = context.case.upkeep
    columns = (
        Column(title=sentence("report_circumstances.kept.point"), share=2.6),
        Column(title=sentence("report_circumstances.kept.known"), share=1.4),
        Column(title=sentence("report_circumstances.kept.proper"), share=1.4),
        Column(title=sentence("report_circumstances.kept.text"), share=4.0),
    )
    rows = tuple(
        Row(cells=((sentence(f"report_circumstances.kept.{name}"),), *_point(getattr(upkeep, name)))) for name in KEPT
    )
    whole = stated_row(context, sentence("report.household.maintained"), context.case.occurrence.maintained)
    return Section(
        title=sentence("report_circumstances.kept.title"),
        blocks=(
            KeyValues(rows=(whole,)),
            Table(caption=sentence("report_circumstances.kept.caption"), columns=columns, rows=rows),
            Paragraph(runs=(sentence("report_circumstances.kept.why"),), role="small"),
            clauses_paragraph(KEPT_CLAUSES),
        ),
    )


def _point(kept: Kept) -> tuple[Runs, ...]:
    return (
        (sentence(f"report_circumstances.knowing.{kept.known.name.lower()}"),),
        (answer_text(kept.proper),),
        (kept.text if kept.text.strip() else sentence("report.words.not_stated"),),
    )


def _altered(context: Context) -> Section:
    upkeep = context.case.upkeep
    columns = (
        Column(title=sentence("report_circumstances.altered.what"), share=1.6),
        Column(title=sentence("report_circumstances.altered.result"), share=2.2),
        Column(title=sentence("report_circumstances.altered.text"), share=5.6),
    )
    rows = tuple(
        Row(
            cells=(
                (sentence(f"report_circumstances.altered.{name}"),),
                *_alteration(context, getattr(upkeep, name)),
            )
        )
        for name in ALTERED
    )
    account = stated_row(
        context, sentence("report.unit_fields.repairs_and_changes"), context.case.unit.repairs_and_changes
    )
    return Section(
        title=sentence("report_circumstances.altered.title"),
        blocks=(
            KeyValues(rows=(account,)),
            Table(caption=sentence("report_circumstances.altered.caption"), columns=columns, rows=rows),
            Paragraph(runs=(sentence("report_circumstances.altered.why"),), role="small"),
            clauses_paragraph(ALTERED_CLAUSES),
        ),
    )


def _alteration(context: Context, alteration: Alteration) -> tuple[Runs, ...]:
    pictures = pictures_of(context, alteration.pictures)
    text = alteration.text if alteration.text.strip() else sentence("report.words.not_stated")
    shown: Runs = (text, " (", *pictures, ")") if pictures else (text,)
    return ((sentence(f"report_circumstances.excluded.{alteration.result.name.lower()}"),), shown)
