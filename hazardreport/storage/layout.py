"""Names of the files in a case's folder.

======================  ===========================================================================
case.json               the record
log.jsonl               what was changed with each revision, each line with the hash of the one before
values.jsonl            the texts behind the hashes in the log
manifest-sha256.txt     hashes of all the others
pictures/               the pictures exactly as they came
attachments/            other files exactly as they came
case.damaged-1.json     a record that could not be read, kept when a good one was saved in its place
journal.json            edits since the last save, until they are saved
case.lock               who has the case open
.case.json.new          and so on: files of a save that is under way or was cut off
======================  ===========================================================================

Only those down to attachments/ are part of the case; the manifest lists no other file. Programs up to 0.2.0 wrote no
log and kept the record before the last save as case.previous.json.
"""

CASE = "case.json"
LOG = "log.jsonl"
VALUES = "values.jsonl"
RECORD = (CASE, LOG, VALUES)
"""Files that a save writes, besides the manifest."""

MANIFEST = "manifest-sha256.txt"
PICTURES = "pictures"
ATTACHMENTS = "attachments"
PREVIOUS = "case.previous.json"
DAMAGED = "{stem}.damaged-{number}.{suffix}"
JOURNAL = "journal.json"
LOCK = "case.lock"


def pending(name: str) -> str:
    """Name of a file as a save writes it before it takes its place."""
    return f".{name}.new"


_BESIDE = frozenset(
    (
        *(".DS_Store", "Thumbs.db", "desktop.ini"),
        *(PREVIOUS, JOURNAL, LOCK),
        *(pending(name) for name in (*RECORD, MANIFEST)),
    )
)


def is_beside_the_case(name: str) -> bool:
    """Whether a file of the folder belongs to the program's work, or to the system's, and not to the case."""
    return (
        name in _BESIDE
        or (".damaged-" in name and name.startswith(("case.", "log.", "values.")))
        or (name.startswith(".") and name.endswith(".part"))
    )
