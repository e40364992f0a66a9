"""Files whose removal an erase began, in a small hidden file until they are gone: a crash does not bring them back."""

import contextlib
import json
from collections.abc import Collection, Iterable
from pathlib import Path

from hazardreport.errors import CouldNotReadError
from hazardreport.storage import files, layout

MARKER = ".erasing.part"


def begin(folder: Path, paths: Iterable[str]) -> None:
    """The folder says which files go with the next save."""
    files.write_atomically(folder / MARKER, json.dumps(sorted(paths)).encode())


def begun(folder: Path) -> frozenset[str]:
    """Paths of pictures and attachments whose removal was begun; none if nothing readable says so."""
    with contextlib.suppress(CouldNotReadError, ValueError, RecursionError):
        if (folder / MARKER).exists():
            found = json.loads(files.read(folder / MARKER))
            return frozenset(one for one in found if isinstance(one, str) and is_evidence(one))
    return frozenset()


def finish(folder: Path, listed: Collection[str]) -> bool:
    """Whether an erase that was cut off after its save was finished; before it, nothing but its marker goes.

    `listed` are the paths that the manifest or the record names.
    """
    if not (folder / MARKER).exists():
        return False
    paths = begun(folder)
    saved = not any(path in listed for path in paths)
    for path in paths if saved else ():
        files.remove(folder / path)
    files.remove(folder / MARKER)
    return saved


def is_evidence(path: str) -> bool:
    """Whether a path names a file right in the folder of pictures or of attachments, and nothing elsewhere."""
    place, _, name = path.partition("/")
    is_plain = name not in ("", ".", "..") and not set(name) & set("/\\\0")
    return is_plain and place in (layout.PICTURES, layout.ATTACHMENTS)
