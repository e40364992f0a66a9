"""Records of the case as references to where the report shows them; one that the case does not have, as plain text."""

from collections.abc import Iterable

from hazardreport.case.scenario import Scenario
from hazardreport.case.stated import Standing, Stated
from hazardreport.report.context import Context, joined, picture_anchor, reading_anchor, stated_runs
from hazardreport.report.document import KeyValue, Reference, Runs
from hazardreport.wording import sentence

LONGEST_TITLE = 90


def finding_anchor(id: str) -> str:
    """Anchor of a finding."""
    return f"finding-{id}"


def scenario_anchor(id: str) -> str:
    """Anchor of an injury scenario."""
    return f"scenario-{id}"


def letter_anchor(id: str) -> str:
    """Anchor of a letter."""
    return f"letter-{id}"


def point_anchor(letter: str) -> str:
    """Anchor of a lettered point."""
    return f"point-{letter}"


def readings_of(context: Context, ids: Iterable[str]) -> Runs:
    """Readings as references to their rows."""
    return joined(_link(key, reading_anchor(key), context.case.reading(key) is not None) for key in ids)


def pictures_of(context: Context, ids: Iterable[str]) -> Runs:
    """Pictures as references to their rows in the evidence."""
    return joined(_link(key, picture_anchor(key), context.case.picture(key) is not None) for key in ids)


def findings_of(context: Context, ids: Iterable[str]) -> Runs:
    """Findings as references to where they stand; one without text stands nowhere, and says so."""
    return joined(_finding(context, key) for key in ids)


def _finding(context: Context, key: str) -> Runs:
    found = [finding for finding in context.case.findings if finding.id == key]
    if any(not finding.text.strip() for finding in found):
        return (sentence("report.findings.named_without_text", finding=key),)
    return _link(key, finding_anchor(key), bool(found))


def scenario_name(scenario: Scenario) -> str:
    """The title of a way to an injury as the window has it, cut where it would not stay a title."""
    name = " ".join(scenario.title.split()) or sentence("findings.scenarios.untitled")
    return name if len(name) <= LONGEST_TITLE else f"{name[:LONGEST_TITLE]}\u2026"


def scenarios_of(context: Context, ids: Iterable[str]) -> Runs:
    """Ways to an injury by their titles, as references to where they stand."""
    return joined(_scenario(key, context.case.scenario(key)) for key in ids)


def _scenario(key: str, scenario: Scenario | None) -> Runs:
    if scenario is None:
        return _link(key, scenario_anchor(key), known=False)
    named = sentence("report_risk.scenario.named", name=scenario_name(scenario), id=key)
    return (Reference(target=scenario_anchor(key), text=named),)


def letters_of(context: Context, ids: Iterable[str]) -> Runs:
    """Letters as references to where they stand."""
    return joined(_link(key, letter_anchor(key), context.case.letter(key) is not None) for key in ids)


def shown_by(context: Context, pictures: Iterable[str], readings: Iterable[str]) -> Runs:
    """Pictures and readings that show something; nothing where there is none."""
    return joined(runs for runs in (pictures_of(context, pictures), readings_of(context, readings)) if runs)


def where_read(context: Context, picture: str, point: str) -> Runs:
    """On which picture and at which point something is read; nothing where neither is named."""
    pieces: list[Runs] = []
    if picture:
        pieces.append((sentence("report.words.read_on_picture"), *pictures_of(context, (picture,))))
    if point:
        link = _link(point, point_anchor(point), context.case.point(point) is not None)
        pieces.append((sentence("report.words.at_point"), *link))
    return joined(pieces)


def stated_row(context: Context, label: str, stated: Stated) -> KeyValue:
    """A field as a labelled value, with where on the unit it was read."""
    return KeyValue(
        label=label,
        runs=stated_runs(stated),
        note=where_read(context, stated.picture, stated.point),
        known=stated.answered and stated.standing is Standing.VALUE,
    )


def _link(key: str, anchor: str, known: bool) -> Runs:
    if known:
        return (Reference(target=anchor, text=key),)
    return (sentence("report.custody.not_in_case", record=key),)
