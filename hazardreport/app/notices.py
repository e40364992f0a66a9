"""What the window tells the person: notices, from errors or from the program itself."""

import traceback
from dataclasses import dataclass
from enum import StrEnum

from PySide6.QtCore import QObject, Signal

import hazardreport
from hazardreport import wording
from hazardreport.errors import HazardReportError


class Level(StrEnum):
    """How much a notice matters."""

    NOTE = "note"
    PROBLEM = "problem"


@dataclass(frozen=True, kw_only=True, slots=True)
class Notice:
    """One message: what happened, what to do, and details for those who want them."""

    level: Level
    what: str
    remedy: str = ""
    details: str = ""


def notice_of(error: BaseException) -> Notice:
    """The notice of an error; one that is not ours says which version met it and shows where."""
    if isinstance(error, HazardReportError):
        return Notice(level=Level.PROBLEM, what=wording.what(error), remedy=wording.remedy(error))
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

    def note(self, key: str, **fields: object) -> None:
        """Show a sentence of the wording as a note."""
        self.tell(Notice(level=Level.NOTE, what=wording.sentence(key, **fields)))

    def error(self, error: BaseException) -> None:
        """Show an error."""
        self.tell(notice_of(error))
