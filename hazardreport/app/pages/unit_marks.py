"""The marks of conformity on the Unit page, one record for each."""

from PySide6.QtWidgets import QWidget

from hazardreport import wording
from hazardreport.app.desk import Desk
from hazardreport.app.dialogs.conformity_mark import MarkDialog
from hazardreport.app.views.record_list import Block, RecordList
from hazardreport.case import edits
from hazardreport.case.case import Case
from hazardreport.case.unit import ConformityMark


class MarksCard(RecordList):
    """Every change is an edit of the session and can be undone."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        hint, none = wording.sentence("window.marks.hint"), wording.sentence("window.marks.none")
        super().__init__("Marks of conformity", hint, "Add mark", none, parent)
        self.desk = desk
        self.add_asked.connect(self.on_add_asked)
        self.change_asked.connect(self.on_change_asked)
        self.remove_asked.connect(self.on_remove_asked)

    def on_add_asked(self) -> None:
        """One more mark."""
        case = self.desk.session.case
        mark = ConformityMark(id=edits.next_id("conformity-mark", (mark.id for mark in case.conformity_marks)))
        asked = self._ask(mark, case)
        if asked is not None and self.desk.session.edit("Add Mark of Conformity", edits.add_conformity_mark, asked):
            self.focus(asked.id)

    def on_change_asked(self, id: str) -> None:
        """One mark is described anew."""
        case = self.desk.session.case
        mark = next((mark for mark in case.conformity_marks if mark.id == id), None)
        asked = None if mark is None else self._ask(mark, case)
        deed = "Change Mark of Conformity"
        if asked is not None and self.desk.session.edit(deed, edits.change_conformity_mark, asked):
            self.focus(id)

    def _ask(self, mark: ConformityMark, case: Case) -> ConformityMark | None:
        dialog = MarkDialog(mark, case, self.window())
        asked = dialog.ask()
        dialog.deleteLater()
        return asked

    def on_remove_asked(self, id: str) -> None:
        """One mark was no mark."""
        self.desk.session.edit("Remove Mark of Conformity", edits.remove_conformity_mark, id)

    def show_case(self, case: Case) -> None:
        """Show the marks."""
        self.show_blocks([mark_block(mark) for mark in case.conformity_marks], self.desk.session.read_only)


def mark_block(mark: ConformityMark) -> Block:
    """A mark as it is shown."""
    heading = mark.mark.strip() or f"{mark.id}: letters not told"
    facts = (("Given to", mark.holder), ("Number", mark.number), ("Stands on", mark.place))
    told = "; ".join(f"{label}: {text.strip()}" for label, text in facts if text.strip())
    where = " ".join(part for part in (mark.picture, f"point {mark.point}" if mark.point else "") if part)
    lines = (told, f"Looked up: {mark.note.strip()}" if mark.note.strip() else "", f"Shown: {where}" if where else "")
    return Block(id=mark.id, heading=heading, lines=tuple(line for line in lines if line))
