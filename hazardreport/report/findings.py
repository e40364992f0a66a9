"""What was found, as three claims that are proved apart."""

from hazardreport.case.circumstances import Answer, Finding, FindingClaim, Grip, ResidualCurrentDevice
from hazardreport.report.context import Context, answer_text, joined, pictures_of, readings_of, stated_row
from hazardreport.report.document import Block, KeyValue, KeyValues, Missing, Paragraph, Part, Section
from hazardreport.wording import sentence


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


def _circumstances(context: Context) -> tuple[KeyValue, ...]:
    household = context.case.household
    answers = {
        "earthed_metal_in_reach": household.earthed_metal_in_reach,
        "conductive_floor": household.conductive_floor,
        "wet_hands": household.wet_hands,
        "both_hands": household.both_hands,
        "children": household.children,
        "socket_earth": household.socket_earth,
    }
    device = household.residual_current_device
    return (
        stated_row(sentence("report.household.place"), household.place),
        stated_row(sentence("report.household.users"), household.users),
        *(
            KeyValue(
                label=sentence(f"report.household.{name}"), runs=(answer_text(answer),), known=answer is not Answer.OPEN
            )
            for name, answer in answers.items()
        ),
        KeyValue(
            label=sentence("report.household.grip"),
            runs=(sentence(f"report.grip.{household.grip.name.lower()}"),),
            known=household.grip is not Grip.OPEN,
        ),
        KeyValue(
            label=sentence("report.household.residual_current_device"),
            runs=(sentence(f"report.residual_current_device.{device.name.lower()}"),),
            known=device is not ResidualCurrentDevice.OPEN,
        ),
        stated_row(sentence("report.household.reasons"), household.reasons),
        stated_row(sentence("report.household.maintained"), context.case.occurrence.maintained),
    )
