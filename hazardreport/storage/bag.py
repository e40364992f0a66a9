"""The files that make a folder of files a bag: who and what, which files, which hashes. As canonical bytes.

A value of bag-info.txt stands in one line: the RFC allows long lines, and folding them could not be undone exactly.
What would break a line, and the percent sign, is written as %0A, as in the paths of a manifest.

References
----------
RFC 8493, 2.1 to 2.2.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from hazardreport.errors import Fault
from hazardreport.storage.faults import Gathered, at_line, fault
from hazardreport.storage.manifest import manifest_bytes, read_path
from hazardreport.storage.pack_names import path_fault

BAGIT, INFO = "bagit.txt", "bag-info.txt"
MANIFEST, TAG_MANIFEST = "manifest-sha256.txt", "tagmanifest-sha256.txt"
FETCH = "fetch.txt"
DATA = "data/"
LINE_LIMIT = 400_000
INFO_LIMIT = 100_000
"""Lines of a manifest, and bytes of a bag-info.txt, that are looked at."""
VALUE_LIMIT = 4_000
"""Longest value of a bag-info.txt; what is longer is cut when it is written. [character]"""
TAG_FILES = (INFO, BAGIT, MANIFEST, TAG_MANIFEST)

DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_DECLARED = re.compile(r"BagIt-Version: (?:0\.9[3-7]|1\.0)\s*\nTag-File-Character-Encoding: UTF-8\s*", re.IGNORECASE)
_BREAKING = ("Cc", "Zl", "Zp")


@dataclass(frozen=True, kw_only=True, slots=True)
class BagInfo:
    """What bag-info.txt says.

    octets, streams  bytes and number of the files in data/
    date             of packing, YYYY-MM-DD
    identifier       case number
    agent            program and version
    revision         of the case
    head             hash of the last line of log.jsonl, "" if the case has no log
    anchored         which revision's hash is in somebody else's hands, or "no" and why that matters
    derived          what a publication was derived from, "" for a case itself
    """

    octets: int
    streams: int
    date: str
    identifier: str
    agent: str
    revision: int
    head: str
    anchored: str
    derived: str = ""


def info_bytes(info: BagInfo) -> bytes:
    """bag-info.txt."""
    lines = {
        "Bag-Software-Agent": info.agent,
        "Bagging-Date": info.date,
        "External-Identifier": info.identifier,
        "Payload-Oxum": f"{info.octets}.{info.streams}",
        "Case-Revision": str(info.revision),
        "Log-Head": info.head,
        "Anchored": info.anchored,
        "Derived": info.derived,
    }
    return "".join(f"{label}: {_written(cut(value))}\n" for label, value in lines.items() if value).encode()


def cut(value: str) -> str:
    """As much of a value as bag-info.txt holds."""
    return value[:VALUE_LIMIT]


def info_from_bytes(data: bytes) -> dict[str, str]:
    """Labels and values of a bag-info.txt, folded lines joined; of a label that stands twice, the last value."""
    found: dict[str, str] = {}
    label = ""
    text = data[:INFO_LIMIT].decode("utf-8", "replace").removeprefix("\ufeff")
    for line in re.split("\r\n|\r|\n", text):
        if line[:1] in (" ", "\t") and label:
            found[label] += " " + line.strip()
        elif ":" in line:
            label, _, value = line.partition(":")
            label = label.strip()
            found[label] = value.strip()
    return {label: _read(value) for label, value in found.items()}


def _written(value: str) -> str:
    """The value in one line, so that reading gives it back.

    >>> _written(" a%\\n\\u2028b ")
    '%20a%25%0A%E2%80%A8b%20'
    """
    text = "".join(_escaped(sign) if _breaks(sign) else sign for sign in value)
    lead, trail = len(text) - len(text.lstrip(" ")), len(text) - len(text.rstrip(" "))
    body = text.strip(" ")
    return "%20" * lead + body + "%20" * (trail if body else 0)


def _breaks(sign: str) -> bool:
    category = unicodedata.category(sign)
    return sign == "%" or category in _BREAKING or (category == "Zs" and sign != " ")


def _escaped(sign: str) -> str:
    return "".join(f"%{byte:02X}" for byte in sign.encode())


def _read(value: str) -> str:
    data = re.sub(rb"%([0-9A-F]{2})", lambda found: bytes.fromhex(found[1].decode()), value.encode())
    return data.decode("utf-8", "replace")


def is_declaration(data: bytes) -> bool:
    """Whether a bagit.txt declares a version and an encoding that we can read."""
    try:
        return _DECLARED.fullmatch(data.decode()) is not None
    except UnicodeDecodeError:
        return False


def payload_manifest(hashes: Mapping[str, str]) -> bytes:
    """manifest-sha256.txt of the bag; `hashes` by the path in the folder of the case."""
    return manifest_bytes({DATA + path: sha256 for path, sha256 in hashes.items()})


def tag_manifest(hashes: Mapping[str, str]) -> bytes:
    """tagmanifest-sha256.txt; `hashes` of the other tag files by name."""
    return manifest_bytes(dict(hashes))


_LINE = re.compile(r"([0-9A-Fa-f]+)[ \t]+\*?(\S.*)", re.DOTALL)
PAYLOAD_MANIFEST = re.compile(r"manifest-([a-z0-9]+)\.txt")
TAG_MANIFESTS = re.compile(r"tagmanifest-([a-z0-9]+)\.txt")


def listed(data: bytes, name: str) -> tuple[dict[str, str], list[Fault]]:
    """Hashes by path of a manifest, and the lines that cannot be read or stand twice; `name` is the manifest's."""
    if sum(data.count(sign) for sign in (b"\n", b"\r")) > LINE_LIMIT:
        return {}, [fault(name, "too_many_lines", limit=LINE_LIMIT)]
    hashes: dict[str, str] = {}
    faults = Gathered()
    text = data.decode("utf-8", "surrogateescape")
    for number, line in enumerate(re.split("\r\n|\r|\n", text), 1):
        if not line:
            continue
        place = f"{name}, {at_line(number, '')}"
        found = _LINE.fullmatch(line)
        path = read_path(found[2]) if found else ""
        if found is None or path_fault(path):
            faults.append(fault(place, "manifest_line"))
        elif path in hashes:
            faults.append(fault(place, "manifest_twice", path=path))
        else:
            hashes[path] = found[1].lower()
    return hashes, faults.kept
