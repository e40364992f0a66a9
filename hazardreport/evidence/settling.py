"""The last step of taking files in: all get their names, and until their record is safe on the disk a marker says so.

Order: the files lie complete under hidden names; the marker is written; they are renamed; the record is saved; the
marker is removed. Wherever the program dies, the next opening of the case calls `clear_abandoned` and nothing half in
is left: a file without a record is removed if a marker names it, and stays if none does.
"""

import re
import secrets
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from hazardreport.errors import HazardReportError
from hazardreport.evidence import disk
from hazardreport.evidence.source import opened_source

HIDDEN = ".*.part"
"""Pattern of everything that is under way: staged files and markers."""

_MARKER = re.compile(r"\.settling-[0-9a-f]+\.part")
_NAME = re.compile(r"(picture|attachment)-[0-9]+(-[0-9]+)?\.[a-z0-9]{1,5}")


@dataclass(frozen=True, kw_only=True, slots=True)
class Staged:
    """A complete file under its hidden name, and the name that it is to get: id and suffix."""

    part: Path
    id: str
    suffix: str


@dataclass(kw_only=True, slots=True)
class Settled:
    """Files that have their names, in one or two folders; markers still say that their record may be missing."""

    files: list[Path] = field(default_factory=list)
    markers: list[Path] = field(default_factory=list)

    def done(self) -> None:
        """The record that names the files is safe on the disk.

        A marker that cannot be removed does no harm: it names files that the record holds.
        """
        for marker in self.markers:
            disk.gone(marker)
        self.markers.clear()

    def withdraw(self) -> None:
        """The record will not be made: the files go, then the markers; what stays is cleared at the next opening."""
        self.files = [path for path in self.files if not disk.gone(path)]
        if not self.files:
            self.done()


def settled(folder: Path, staged: Sequence[Staged], token: str = "") -> Settled:
    """The files under their own names: that of the id, or with a number where a file that was taken out still lies.

    Parameters
    ----------
    folder : Path
        Where all of them are.
    staged : sequence of Staged
        Complete and on the disk.
    token : str
        Tells this marker from others, hexadecimal; made up if none is given.

    Raises
    ------
    CouldNotWriteError
        If the disk refuses; then neither files nor marker are left.
    """
    result = Settled()
    if not staged:
        return result
    targets = [_free(folder, one) for one in staged]
    result.markers.append(folder / f".settling-{token or secrets.token_hex(6)}.part")
    try:
        disk.write_file(result.markers[0], "".join(f"{target.name}\n" for target in targets).encode())
        disk.sync_folder(folder)
        for one, target in zip(staged, targets, strict=True):
            disk.rename(one.part, target)
            result.files.append(target)
        disk.sync_folder(folder)
    except BaseException as error:
        result.withdraw()
        for one in staged:
            disk.gone(one.part)
        if isinstance(error, OSError):
            raise disk.not_written(folder, error) from error
        raise
    return result


def _free(folder: Path, one: Staged) -> Path:
    count = 1
    while (target := folder / (f"{one.id}{one.suffix}" if count == 1 else f"{one.id}-{count}{one.suffix}")).exists():
        count += 1
    return target


def clear_abandoned(folder: Path, referenced: frozenset[str]) -> None:
    """Remove what an import that never came to its end left in a folder; for the only process that has the case.

    Parameters
    ----------
    folder : Path
        Folder of pictures or of attachments; it may be missing.
    referenced : frozenset of str
        Names of files there that any record holds: the saved case, its log, its journal.
    """
    for part in sorted(folder.glob(HIDDEN)):
        abandoned = [name for name in _named(part) if name not in referenced] if _MARKER.fullmatch(part.name) else []
        if not [name for name in abandoned if not disk.gone(folder / name)]:
            disk.gone(part)


def settling_names(folder: Path) -> frozenset[str]:
    """Names that the markers of a folder hold: of files whose record may not be on the disk yet."""
    markers = [part for part in folder.glob(HIDDEN) if _MARKER.fullmatch(part.name)]
    return frozenset(name for marker in markers for name in _named(marker))


def _named(marker: Path) -> list[str]:
    """Names that a marker holds; what no import could have written there, a path or half a line, is none."""
    try:
        with opened_source(marker) as stream:
            data = stream.read(1 << 24)
    except (OSError, HazardReportError):
        return []
    whole, _, _ = data.rpartition(b"\n")
    return [name for line in whole.split(b"\n") if _NAME.fullmatch(name := line.decode("ascii", "replace"))]
