"""The list of hashes of a case (hash, two spaces, path), and which of two files counts after a save was cut off."""

import re
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from hazardreport.case.case import Case
from hazardreport.errors import CouldNotReadError
from hazardreport.storage import files, layout

_LINE = re.compile(r"([0-9a-fA-F]{64}) [ *]([^\r\n]+)\r?", re.DOTALL)


@dataclass(frozen=True, kw_only=True, slots=True)
class Manifest:
    """Hashes by path, in the order of the file, and numbers of the lines that could not be read."""

    hashes: dict[str, str]
    damaged: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Counting:
    """The files that count: those under their own names, or those of a save cut off between its two renames."""

    case: Path
    manifest: Path


def manifest_bytes(hashes: dict[str, str]) -> bytes:
    """The lines of a manifest, sorted by path."""
    return "".join(f"{hashes[path]}  {_written(path)}\n" for path in sorted(hashes)).encode(errors="surrogateescape")


def read_manifest(path: Path) -> Manifest | None:
    """The manifest of a file, or None if there is none."""
    try:
        text = path.read_bytes().decode("utf-8", "surrogateescape")
    except FileNotFoundError:
        return None
    except OSError as error:
        raise CouldNotReadError(path=str(path), reason=files.reason(error)) from error
    hashes: dict[str, str] = {}
    damaged = []
    for number, line in enumerate(text.split("\n"), 1):
        if not line.strip():
            continue
        found = _LINE.fullmatch(line)
        name = _read(found[2]) if found else ""
        if found is None or not _inside(name) or name in hashes:
            damaged.append(number)
        else:
            hashes[name] = found[1].lower()
    return Manifest(hashes=hashes, damaged=tuple(damaged))


def _written(path: str) -> str:
    return path.replace("%", "%25").replace("\n", "%0A").replace("\r", "%0D")


def _read(path: str) -> str:
    return re.sub("%0[aA]", "\n", re.sub("%0[dD]", "\r", path)).replace("%25", "%")


def _inside(path: str) -> bool:
    """Whether a path stays in the folder: relative, with "/" only, without "..", and written in one way only."""
    pure = PurePosixPath(path)
    return (
        bool(path)
        and not pure.is_absolute()
        and ".." not in pure.parts
        and "\\" not in path
        and not re.match(r"[A-Za-z]:", path)
        and "\0" not in path
        and str(pure) == path
        and path != "."
    )


def counting(folder: Path) -> Counting:
    """Which of the files count; nothing is written."""
    case, manifest = folder / layout.CASE, folder / layout.MANIFEST
    new_case, new_manifest = folder / layout.PENDING_CASE, folder / layout.PENDING_MANIFEST
    listed = _listed(manifest)
    found = _hash(case)
    if found is not None and found == listed:
        return Counting(case=case, manifest=manifest)
    if found is not None and found == _listed(new_manifest):
        return Counting(case=case, manifest=new_manifest)
    if listed is not None and listed == _hash(new_case):
        return Counting(case=new_case, manifest=manifest)
    return Counting(case=case, manifest=manifest)


def _hash(path: Path) -> str | None:
    try:
        return files.sha256(path)
    except CouldNotReadError:
        return None


def _listed(path: Path) -> str | None:
    try:
        manifest = read_manifest(path)
    except CouldNotReadError:
        return None
    return None if manifest is None else manifest.hashes.get(layout.CASE)


def picture_files(folder: Path) -> tuple[str, ...]:
    """Paths of all files in the folder of pictures, hidden parts left out."""
    pictures = folder / layout.PICTURES
    if not pictures.is_dir():
        return ()
    try:
        return tuple(
            sorted(
                path.relative_to(folder).as_posix()
                for path in pictures.rglob("*")
                if not path.is_dir() and not layout.is_beside_the_case(path.name)
            )
        )
    except OSError as error:
        raise CouldNotReadError(path=str(pictures), reason=files.reason(error)) from error


def picture_hashes(case: Case, folder: Path, before: Manifest | None) -> dict[str, str]:
    """Hashes for the next manifest.

    A hash is what was found when the picture was taken in, or what the manifest said before; only a file that nobody
    has listed is read. So a save never gives a changed picture a fresh hash.
    """
    known = {path: listed for path, listed in before.hashes.items() if path != layout.CASE} if before else {}
    named = {f"{layout.PICTURES}/{picture.file}": picture.sha256 for picture in case.pictures}
    found = dict.fromkeys(picture_files(folder), "")
    return {path: listed or files.sha256(folder / path) for path, listed in {**found, **known, **named}.items()}
