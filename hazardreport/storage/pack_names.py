"""Names that a pack may hold: the same on every system, none that leads elsewhere, no two that fall together.

Packing refuses what unpacking would refuse, so that a pack which was made can be opened anywhere.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator

from hazardreport.errors import Fault
from hazardreport.storage import layout
from hazardreport.storage.faults import fault

PART_LIMIT = 255
"""Longest name of a file or folder. [byte]"""
PATH_LIMIT = 1000
"""Longest path. [byte]"""

PARTS_LIMIT = 32
"""Deepest path."""

FOLDERS = (layout.PICTURES, layout.ATTACHMENTS)

_DEVICE = re.compile(
    r"(?:con|prn|aux|nul|conin\$|conout\$|(?:com|lpt)[0-9¹²³])[ ]*(?:\..*)?", re.IGNORECASE | re.DOTALL
)
_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")


def safe_name(text: str) -> str:
    """A name for a file or folder that says as much of the text as every system allows.

    >>> safe_name("HR 2026/07 (wax pot)")
    'HR-2026-07-wax-pot'
    >>> safe_name("../..")
    'case'
    """
    name = _UNSAFE.sub("-", text).strip("-. ")[:100].rstrip("-. ") or "case"
    return f"case-{name}" if _DEVICE.fullmatch(name) else name


def path_fault(path: str) -> str:
    """What is wrong with a path in a pack, as a key of the wording; "" if nothing is."""
    try:
        whole = path.encode()
    except UnicodeEncodeError:
        return "name_no_text"
    if not path or "\0" in path:
        return "name_no_text"
    if path.startswith("/") or "\\" in path or ":" in path:
        return "name_leads_out"
    if len(whole) > PATH_LIMIT or path.count("/") >= PARTS_LIMIT:
        return "name_too_long"
    return next((found for part in path.split("/") if (found := _part_fault(part))), "")


def _part_fault(part: str) -> str:
    if part in ("", ".", ".."):
        return "name_leads_out"
    if len(part.encode()) > PART_LIMIT:
        return "name_too_long"
    if any(unicodedata.category(sign) == "Cc" and sign not in "\r\n" for sign in part):
        return "name_no_text"
    if _DEVICE.fullmatch(part) or part[-1] in ". ":
        return "name_of_device"
    return ""


def case_path_fault(path: str) -> str:
    """The same for a path in the folder of a case: it must also be one that a case has."""
    found = path_fault(path)
    if found:
        return found
    folder, slash, _ = path.partition("/")
    if path in layout.RECORD or (slash and folder in FOLDERS):
        hidden = slash and layout.is_beside_the_case(path.rpartition("/")[2])
        return "not_of_a_case" if hidden else ""
    return "not_of_a_case"


def clashes(paths: Iterable[str]) -> Iterator[Fault]:
    """Paths that some system takes for one: by capitals, by composed letters, or a file where another needs a folder.

    >>> [one.fields["other"] for one in clashes(["pictures/a.jpg", "Pictures/b.jpg"])]
    ['pictures']
    """
    seen: dict[str, tuple[str, bool]] = {}
    for path in paths:
        parts = path.split("/", PARTS_LIMIT)
        for count in range(1, len(parts) + 1):
            name, is_file = "/".join(parts[:count]), count == len(parts)
            key = _folded(name)
            if key not in seen:
                seen[key] = (name, is_file)
                continue
            known, known_is_file = seen[key]
            if known != name or is_file or known_is_file:
                yield fault(path, "name_twice" if known == path else "name_clash", other=known)
                break


def _folded(name: str) -> str:
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
