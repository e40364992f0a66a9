"""What was found, as three claims that are proved apart."""

from dataclasses import replace

from hazardreport.case.circumstances import Answer, Finding, FindingClaim, Grip, ResidualCurrentDevice
from hazardreport.report.context import Context, answer_text, joined
from hazardreport.report.document import Block, KeyValue, KeyValues, Missing, Paragraph, Part, Section
from hazardreport.report.links import pictures_of, readings_of, stated_row
from hazardreport.wording import sentence

ANSWERS = ("earthed_metal_in_reach", "conductive_floor", "wet_hands", "both_hands", "children", "socket_earth")
NAMED = {*ANSWERS, "grip", "residual_current_device"}


def findings(context: Context, number: int) -> Part:
    """The part on findings."""
    opening = Section(title="", blocks=(Paragraph(runs=(sentence("report.findings.opening"),)),))
    return Part(
        key="findings",
        number=number,
        title=sentence("report.parts.findings"),
        sections=(opening, *(_claim(context, claim) for claim in FindingClaim), _household(context)),
    )


def _claim(context: Context, claim: FindingClaim) -> Section:
    found = [finding for finding in context.case.findings if finding.claim is claim]
    name = claim.name.lower()
    blocks: tuple[Block, ...]
    if found:
        blocks = (KeyValues(rows=tuple(row for finding in found for row in _rows(context, finding))),)
    else:
        link = "findings.dangerous" if claim is FindingClaim.DANGEROUS else f"findings.{name}"
        reason = context.case.absence(link) or sentence("report.findings.none_recorded")
        blocks = (Missing(what=sentence("report.findings.none"), why=reason),)
    return Section(title=sentence(f"report.findings.{name}"), blocks=blocks)


def _rows(context: Context, finding: Finding) -> tuple[KeyValue, ...]:
    links = (pictures_of(context, finding.pictures), readings_of(context, finding.readings))
    rests_on = joined(runs for runs in links if runs) or (sentence("report.findings.rests_on_nothing"),)
    requirement = finding.requirement or sentence("report.findings.no_requirement")
    cause = finding.cause or sentence("report.findings.no_cause")
    return (
        KeyValue(
            label=finding.id,
            runs=(finding.text,),
            note=(
                sentence(
                    "report.findings.answer", answer=sentence(f"report.finding_answer.{finding.answer.name.lower()}")
                ),
                *rests_on,
                sentence("report.findings.concerns", requirement=requirement, cause=cause),
            ),
        ),
    )


def _household(context: Context) -> Section:
    return Section(
        title=sentence("report.findings.household"),
        blocks=(
            Paragraph(runs=(sentence("report.findings.household_opening"),)),
            KeyValues(rows=_circumstances(context)),
        ),
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


def _circumstances(context: Context) -> tuple[KeyValue, ...]:
    household = context.case.household
    reasons, others = _reasons(household.reasons.text)

    def row(name: str, text: str, known: bool) -> KeyValue:
        note = (sentence("report.findings.because", reason=reasons[name]),) if name in reasons else ()
        return KeyValue(label=sentence(f"report.household.{name}"), runs=(text,), note=note, known=known)

    answers = [(name, getattr(household, name)) for name in ANSWERS]
    device = household.residual_current_device
    rows = [
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
    rows.append(stated_row(context, sentence("report.household.maintained"), context.case.occurrence.maintained))
    return tuple(rows)
