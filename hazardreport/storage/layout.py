"""Names of the files in a case's folder.

======================  ===========================================================================
case.json               the record
manifest-sha256.txt     hashes of case.json and of all files in pictures/
pictures/               the pictures exactly as they came
case.previous.json      the record before the last save
case.damaged-1.json     a record that could not be read, kept when a good one was saved in its place
journal.json            edits since the last save, until they are saved
case.lock               who has the case open
======================  ===========================================================================

Only the first three are part of the case; the manifest lists no other file.
"""

CASE = "case.json"
MANIFEST = "manifest-sha256.txt"
PICTURES = "pictures"
PREVIOUS = "case.previous.json"
DAMAGED = "case.damaged-{number}.json"
JOURNAL = "journal.json"
LOCK = "case.lock"
PENDING_CASE = ".case.json.new"
PENDING_MANIFEST = ".manifest-sha256.txt.new"


_OF_THE_SYSTEM = (".DS_Store", "Thumbs.db", "desktop.ini")


def is_beside_the_case(name: str) -> bool:
    """Whether a file of the folder belongs to the program's work, or to the system's, and not to the case."""
    return (
        name in _OF_THE_SYSTEM
        or name in (PREVIOUS, JOURNAL, LOCK, PENDING_CASE, PENDING_MANIFEST)
        or (name.startswith("case.damaged-") and name.endswith(".json"))
        or (name.startswith(".") and name.endswith(".part"))
    )
