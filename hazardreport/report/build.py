"""Case, assessment and addressee to a report document: the parts in the addressee's order."""

from collections.abc import Callable, Iterable, Mapping

from hazardreport.addressees.profiles import Profile
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.errors import UnknownReportPartError
from hazardreport.report.calculations import calculations
from hazardreport.report.context import Context, RevisionLine, context
from hazardreport.report.declaration import declaration
from hazardreport.report.document import PAPER, Part, ReportDocument
from hazardreport.report.evidence import evidence
from hazardreport.report.findings import findings
from hazardreport.report.first_page import first_page, unit_name
from hazardreport.report.form_text import form_text
from hazardreport.report.identity import identity
from hazardreport.report.law import law
from hazardreport.report.letters import letters
from hazardreport.report.limits import limits
from hazardreport.report.measurements import measurements
from hazardreport.report.notice import notice
from hazardreport.report.personal_data import holds_personal_data
from hazardreport.report.risk import risk
from hazardreport.report.severity import severity
from hazardreport.standards.confirmed import confirmations_count
from hazardreport.wording import sentence, template

BUILDERS: dict[str, Callable[[Context, int], Part]] = {
    "first_page": first_page,
    "identity": identity,
    "findings": findings,
    "measurements": measurements,
    "severity": severity,
    "risk": risk,
    "law": law,
    "form_text": form_text,
    "letters": letters,
    "evidence": evidence,
    "declaration": declaration,
    "notice": notice,
}
BUILT_LAST = ("limits", "calculations")
"""Parts that are made of the others: what they cite, and what their numbers rest on."""
LABELS = ("equation", "inputs", "result", "sources", "missing", "as_read")


def report_document(
    case: Case,
    assessment: Assessment,
    profile: Profile,
    *,
    created: str,
    paper: str = "",
    withheld: Mapping[str, str] | None = None,
    log: tuple[RevisionLine, ...] = (),
) -> ReportDocument:
    """The whole report for one addressee.

    Parameters
    ----------
    case : Case
        The record.
    assessment : Assessment
        Computed from this case.
    profile : Profile
        Addressee; gives order, elements, consents and requests.
    created : str
        When the report is made, ISO 8601; the only date that the file carries as its own.
    paper : str
        "a4" or "letter"; the addressee's paper if empty.
    withheld : mapping, optional
        Sentence for each picture, by id, that is not shown because its file is not the one taken in.
    log : tuple of RevisionLine
        Recent revisions of the case, in order.

    Returns
    -------
    ReportDocument
        Parts in the addressee's order, numbered from 1.

    Raises
    ------
    UnknownReportPartError
        If the profile names a part that nothing builds.
    """
    chosen = paper or profile.paper
    if chosen not in PAPER:
        raise ValueError(chosen)
    with confirmations_count(case.confirmations):
        return _document(case, context(case, assessment, profile, created, chosen, withheld or {}, log), created)


def _document(whole: Case, given: Context, created: str) -> ReportDocument:
    case, profile = given.case, given.profile
    known = (*BUILDERS, *BUILT_LAST)
    unknown = [key for key in profile.parts if key not in known]
    if unknown:
        raise UnknownReportPartError(profile=profile.key, parts=", ".join(unknown), known=", ".join(known))
    numbers = {key: place for place, key in enumerate(profile.parts, start=1)}
    parts = {key: BUILDERS[key](given, numbers[key]) for key in profile.parts if key not in BUILT_LAST}
    if "limits" in numbers:
        parts["limits"] = limits(given, numbers["limits"], tuple(parts.values()))
    if "calculations" in numbers:
        parts["calculations"] = calculations(given, numbers["calculations"], tuple(parts.values()))
    return ReportDocument(
        title=sentence("report.document.title", title=profile.title, unit=unit_name(given)),
        subject=profile.title,
        language=profile.language,
        paper=given.paper,
        case_id=case.id,
        revision=sentence("report.document.revision", revision=case.revision),
        created=created,
        privacy=_privacy(whole, parts.values()),
        page_of=template("report.document.page_of"),
        contents=sentence("report.document.contents"),
        parts=tuple(parts[key] for key in profile.parts),
        labels=tuple((name, sentence(f"report.labels.{name}")) for name in LABELS),
    )


def _privacy(whole: Case, parts: Iterable[Part]) -> str:
    """What stands on every page: that it is for publication, or holds personal data; nothing if it holds none."""
    if whole.published_from:
        return sentence("report.document.for_publication")
    return sentence("report.document.personal") if holds_personal_data(whole, parts) else ""
