"""Texts of the record by what a publication does with them, beside those of `case.personal`.

Links follow the records that they name, ids stay unless they hold a word that is withheld, keys and hashes stay. Every
other text is searched.
"""

from collections.abc import Mapping

LINKS: Mapping[str, str] = {
    "pictures[].placements[].letter": "points",
    "readings[].first": "points",
    "readings[].second": "points",
    "readings[].instrument": "instruments",
    "readings[].picture": "pictures",
    "findings[].pictures[]": "pictures",
    "findings[].readings[]": "readings",
    "items[].pictures[]": "pictures",
    "transfers[].items[]": "items",
    "transfers[].picture": "pictures",
    "steps[].items[]": "items",
    "steps[].pictures[]": "pictures",
    "steps[].readings[]": "readings",
    "anchors[].attachment": "attachments",
    **{f"upkeep.{name}.pictures[]": "pictures" for name in ("repairs", "changes", "misuse")},
    "conformity_marks[].picture": "pictures",
    "conformity_marks[].point": "points",
    "requirements[].pictures[]": "pictures",
    "requirements[].readings[]": "readings",
    "scenarios[].findings[]": "findings",
    "scenarios[].steps[].pictures[]": "pictures",
    "scenarios[].steps[].readings[]": "readings",
    "letters[].answers": "letters",
    "letters[].attachments[]": "attachments",
}
"""Texts that name another record by its id, and which."""

IDS: Mapping[str, str] = {
    "points[].letter": "points",
    **{
        f"{kind}[].id": kind
        for kind in (
            "pictures",
            "instruments",
            "readings",
            "findings",
            "exposures",
            "attachments",
            "items",
            "transfers",
            "steps",
            "anchors",
            "conformity_marks",
            "scenarios",
            "confirmations",
            "letters",
            "pictures[].marks",
            "pictures[].covers",
        )
    },
}

KEPT = frozenset(
    (
        "addressee",
        "absences[].field",
        "cautions[].caution",
        "cautions[].test",
        "pictures[].file",
        "pictures[].media_type",
        "pictures[].sha256",
        "pictures[].derived_from",
        "attachments[].file",
        "attachments[].media_type",
        "attachments[].sha256",
        "anchors[].head",
        "published_from",
        "requirements[].id",
        "scenarios[].hazard",
        "scenarios[].injury",
        "confirmations[].table",
        "confirmations[].sha256",
        "letters[].addressee",
        "letters[].file_sha256",
    )
)
"""Texts that nobody writes: keys of ours, hashes, kinds and names of files."""

REMARKS: Mapping[str, str] = {
    "readings[]": "note",
    "findings[]": "text",
    "items[]": "description",
    "transfers[]": "purpose",
    "steps[]": "what",
    "anchors[]": "reference",
    "upkeep.repairs": "text",
    "upkeep.changes": "text",
    "upkeep.misuse": "text",
    "conformity_marks[]": "note",
    "requirements[]": "note",
    "scenarios[]": "severity_reason",
    "scenarios[].steps[]": "reason",
    "letters[]": "text",
}
"""Where a record says that it lost a reference."""

FILE_NAMES = frozenset(("pictures[].original_name", "attachments[].original_name"))
"""Personal texts of which nothing is left, not even that they were there."""

CLAIMED = frozenset(("pictures[].camera",))
"""Beside the personal fields: what a file says about the device, which may bear its owner's name."""
