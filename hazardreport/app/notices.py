"""What the window tells the person: notices, from errors or from the program itself."""

import traceback
from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtCore import QObject, Signal

import hazardreport
from hazardreport import wording
from hazardreport.errors import HazardReportError, PackReadOnlyError


class Level(StrEnum):
    """How much a notice matters."""

    NOTE = "note"
    PROBLEM = "problem"


class Offer(StrEnum):
    """What a notice offers to do at once: the text of its button."""

    NAME = "Your name…"
    UNPACK = "Unpack…"


@dataclass(frozen=True, kw_only=True, slots=True)
class Notice:
    """One message: what happened, what to do, details for those who want them, and what a button of it does."""

    level: Level
    what: str
    remedy: str = ""
    details: str = ""
    offer: Offer | None = None


def notice_of(error: BaseException) -> Notice:
    """The notice of an error; one that is not ours says which version met it and shows where."""
    if isinstance(error, HazardReportError):
        offer = Offer.UNPACK if isinstance(error, PackReadOnlyError) else None
        return Notice(level=Level.PROBLEM, what=wording.what(error), remedy=wording.remedy(error), offer=offer)
    return Notice(
        level=Level.PROBLEM,
        what=wording.sentence("window.unknown_error.what", version=hazardreport.__version__, kind=type(error).__name__),
        remedy=wording.sentence("window.unknown_error.remedy"),
        details="".join(traceback.format_exception(error)),
    )


class Notices(QObject):
    """Where every part of the window says what people should know."""

    raised = Signal(object)

    def tell(self, notice: Notice) -> None:
        """Show a notice."""
        self.raised.emit(notice)

    def note(self, key: str, *, offer: Offer | None = None, **fields: object) -> None:
        """Show a sentence of the wording as a note, with a button that does what it offers."""
        self.tell(Notice(level=Level.NOTE, what=wording.sentence(key, **fields), offer=offer))

    def error(self, error: BaseException) -> None:
        """Show an error."""
        self.tell(notice_of(error))
