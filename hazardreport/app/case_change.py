"""One step of the undo stack."""

from collections.abc import Callable

from PySide6.QtGui import QUndoCommand

from hazardreport.case.case import Case


class CaseChange(QUndoCommand):
    """One edit: the case before and the case after, whatever the edit was."""

    def __init__(self, show: Callable[[Case], None], text: str, before: Case, after: Case, merge: str) -> None:
        super().__init__(text)
        self._show = show
        self.before, self.after, self.merge = before, after, merge

    def id(self) -> int:
        """Commands that may be joined share a number."""
        return 1 if self.merge else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Join typing in one field, or nudges of one mark, to one step."""
        if not isinstance(other, CaseChange) or other.merge != self.merge:
            return False
        self.after = other.after
        return True

    def redo(self) -> None:
        """Show the case after."""
        self._show(self.after)

    def undo(self) -> None:
        """Show the very same case as before."""
        self._show(self.before)
