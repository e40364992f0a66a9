"""What was found, as three claims that are proved apart."""

from hazardreport.case.circumstances import Finding, FindingClaim
from hazardreport.report.circumstances import circumstances_sections
from hazardreport.report.context import Context, joined
from hazardreport.report.document import Block, KeyValue, KeyValues, Missing, Paragraph, Part, Section
from hazardreport.report.links import finding_anchor, pictures_of, readings_of
from hazardreport.report.requirements import requirement_sections
from hazardreport.wording import sentence


def findings(context: Context, number: int) -> Part:
    """The part on findings."""
    opening = Section(title="", blocks=(Paragraph(runs=(sentence("report.findings.opening"),)),))
    return Part(
        key="findings",
        number=number,
        title=sentence("report.parts.findings"),
        sections=(
            opening,
            *(_claim(context, claim) for claim in FindingClaim),
            *requirement_sections(context),
            *circumstances_sections(context),
        ),
    )


def _claim(context: Context, claim: FindingClaim) -> Section:
    begun = [finding for finding in context.case.findings if finding.claim is claim]
    found = [finding for finding in begun if finding.text.strip()]
    name = claim.name.lower()
    blocks: tuple[Block, ...]
    if found:
        blocks = (KeyValues(rows=tuple(row for finding in found for row in _rows(context, finding))),)
    else:
        link = "findings.dangerous" if claim is FindingClaim.DANGEROUS else f"findings.{name}"
        reason = context.case.absence(link) or sentence("report.findings.none_recorded")
        blocks = (Missing(what=sentence("report.findings.none"), why=reason),)
    return Section(title=sentence(f"report.findings.{name}"), blocks=(*blocks, *_without_text(len(begun) - len(found))))


def _without_text(count: int) -> tuple[Paragraph, ...]:
    """That findings were begun and say nothing; they prove no claim."""
    if not count:
        return ()
    key = "without_text_one" if count == 1 else "without_text_many"
    return (Paragraph(runs=(sentence(f"report.findings.{key}", count=count),), role="small"),)


def _rows(context: Context, finding: Finding) -> tuple[KeyValue, ...]:
    links = (pictures_of(context, finding.pictures), readings_of(context, finding.readings))
    rests_on = joined(runs for runs in links if runs) or (sentence("report.findings.rests_on_nothing"),)
    requirement = finding.requirement or sentence("report.findings.no_requirement")
    cause = finding.cause or sentence("report.findings.no_cause")
    return (
        KeyValue(
            label=finding.id,
            anchor=finding_anchor(finding.id),
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
