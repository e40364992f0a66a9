"""Which fields of the Findings page and of a comparison of a table are asked, each with its plain line."""

from hazardreport.app.pages.unit_places import FieldPlace, place

FINDING_FIELDS: tuple[FieldPlace, ...] = (
    place("findings.text", "What was seen", "long", hint="one fact, in plain words"),
    place("findings.answer", "Answer", "choice"),
    place("findings.claim", "It shows", "choice"),
    place("findings.requirement", "Requirement", "listed", hint="standard, clause, edition"),
    place("findings.cause", "Cause", "choice"),
    place("findings.pictures", "Pictures that show it", "ticks"),
    place("findings.readings", "Readings that show it", "ticks"),
)

SCENARIO_FIELDS: tuple[FieldPlace, ...] = (
    place("scenarios.title", "Title", "text", hint="a short name for this way"),
    place("scenarios.consumer", "Kind of person", "choice"),
    place("scenarios.who", "Who that is here", "text", hint="children of 8 to 14 in the club"),
    place("scenarios.hazard", "What hurts", "choice"),
    place("scenarios.findings", "Findings that it starts from", "ticks"),
    place("scenarios.injury", "Injury", "choice"),
    place("scenarios.severity", "Severity", "choice"),
    place("scenarios.severity_reason", "Why so grave", "long", hint="what speaks for this severity"),
)

STEP_FIELDS: tuple[FieldPlace, ...] = (
    place("steps.text", "What happens", "long", hint="one step, in plain words"),
    place("steps.probability", "Probability", "text", hint="1/50, 2 %, 0.02"),
    place("steps.basis", "Rests on", "choice"),
    place("steps.reason", "Why so probable", "text", hint="what speaks for this number"),
    place("steps.pictures", "Pictures that show it", "ticks"),
    place("steps.readings", "Readings that show it", "ticks"),
)

REQUIREMENT_FIELDS: tuple[FieldPlace, ...] = (
    place("requirements.note", "Note", "text", hint="what exactly was seen, or why it could not be checked"),
    place("requirements.pictures", "Pictures that show it", "ticks"),
    place("requirements.readings", "Readings that show it", "ticks"),
)

FACTOR_FIELDS: tuple[FieldPlace, ...] = (
    place("harm_factors.pattern", "Pattern of the defect", "long"),
    place("harm_factors.units", "Units known to have it"),
    place("harm_factors.exposed", "Who is exposed", "long"),
    place("harm_factors.injuries", "Injuries so far"),
    place("harm_factors.obviousness", "Can a user see it?"),
    place("harm_factors.warnings", "Warnings", "long"),
    place("harm_factors.misuse", "Role of misuse"),
    place("harm_factors.utility", "What it is good for"),
    place("harm_factors.need", "How much it is needed"),
    place("harm_factors.other", "Anything else", "long"),
)
PRIORITY_FIELDS: tuple[FieldPlace, ...] = (
    place("harm_factors.harm", "Worst harm", "choice"),
    place("harm_factors.likelihood", "How likely", "choice"),
    place("harm_factors.likelihood_reason", "Why so likely", "long"),
)
JUDGED_FIELDS: tuple[FieldPlace, ...] = (
    place("harm_factors.plausibility", "Is it plausible?", "long"),
    place("harm_factors.assessor", "Who judged"),
    place("harm_factors.assessed_on", "On", "text", hint="2026-05-14"),
)

CONFIRMATION_FIELDS: tuple[FieldPlace, ...] = (
    place("confirmations.edition", "Edition", "text", hint="as printed on the document"),
    place("confirmations.page", "Page", "text", hint="where the table stands"),
    place("confirmations.name", "Read by", "text", hint="name of whoever holds the document"),
    place("confirmations.day", "On", "text", hint="2026-05-14"),
    place("confirmations.second_reader", "Second reader", "text", hint="somebody else who compared it again"),
    place("confirmations.second_day", "Second reader, on", "text", hint="2026-05-14"),
    place("confirmations.note", "Note", "text", hint="corrigenda, footnotes"),
)
COMPARISON_CHOICES: tuple[FieldPlace, ...] = (
    place("confirmations.table", "Table", "choice"),
    place("confirmations.comparison", "Comparison", "choice"),
    place("confirmations.rows", "Cells of the table", "cells"),
)


def by_name(*places: FieldPlace) -> dict[str, FieldPlace]:
    """The fields by the names that their record has for them."""
    return {one.path.rpartition(".")[2]: one for one in places}
