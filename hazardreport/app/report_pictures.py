"""Pictures as a report shows them; one that is not what was taken in is left out with its reason. No Qt here."""

import hashlib
from collections.abc import Callable, Mapping
from functools import lru_cache
from pathlib import Path

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.errors import PictureMissingError

LONGEST_SIDE = 1600


@lru_cache(maxsize=4096)
def _sha256(path: Path, size: int, changed: int) -> str:
    """Hash of a file; size and time of its last change make it a new question after any write."""
    del size, changed
    return hashlib.sha256(path.read_bytes()).hexdigest()


@lru_cache(maxsize=64)
def _derived(path: Path, picture: Picture) -> bytes:
    from hazardreport.evidence.derived import upright_jpeg

    return upright_jpeg(path, picture, LONGEST_SIDE)


def _fault(path: Path, picture: Picture) -> str:
    if path.is_symlink() or (path.exists() and not path.is_file()):
        return "changed"
    try:
        status = path.stat()
        return "" if _sha256(path, status.st_size, status.st_mtime_ns) == picture.sha256 else "changed"
    except FileNotFoundError:
        return "missing"
    except OSError:
        return "unreadable"


def withheld_pictures(case: Case, pictures: Path) -> dict[str, str]:
    """Pictures that a report must not show, by id, each with the sentence that says why."""
    faults = {picture.id: _fault(pictures / picture.file, picture) for picture in case.pictures}
    return {
        picture: wording.sentence(f"cli.export.picture_{fault}", picture=picture)
        for picture, fault in faults.items()
        if fault
    }


def picture_bytes(case: Case, pictures: Path, withheld: Mapping[str, str]) -> Callable[[str], bytes]:
    """Bytes of a derived picture by its id, without metadata; a grey field in place of one that is withheld."""

    def derived(picture_id: str) -> bytes:
        from hazardreport.evidence.derived import stand_in_jpeg

        picture = case.picture(picture_id)
        if picture is None:
            raise PictureMissingError(picture=picture_id, file="")
        if picture_id in withheld:
            return stand_in_jpeg(picture, LONGEST_SIDE, withheld[picture_id])
        return _derived(pictures / picture.file, picture)

    return derived
