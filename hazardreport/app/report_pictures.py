"""Pictures as a report shows them; one that is not what was taken in is left out with its reason. No Qt here."""

from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.picture import Picture
from hazardreport.errors import PictureMissingError

if TYPE_CHECKING:
    from hazardreport.evidence.derived_cache import DerivedPictures

LONGEST_SIDE = 1600


@cache
def derived_pictures() -> "DerivedPictures":
    """The derived pictures of this program, kept in memory."""
    from hazardreport.evidence.derived_cache import DerivedPictures

    return DerivedPictures()


def _fault(path: Path, picture: Picture) -> str:
    if path.is_symlink() or (path.exists() and not path.is_file()):
        return "changed"
    try:
        return "" if derived_pictures().hashes.sha256(path) == picture.sha256 else "changed"
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
    """Bytes of a derived picture by its id, covered and without metadata; a grey field in place of one withheld."""

    def derived(picture_id: str) -> bytes:
        picture = case.picture(picture_id)
        if picture is None:
            raise PictureMissingError(picture=picture_id, file="")
        if picture_id in withheld:
            return derived_pictures().stand_in(picture, LONGEST_SIDE, withheld[picture_id])
        return derived_pictures().jpeg(pictures / picture.file, picture, LONGEST_SIDE)

    return derived
