"""Asks for one mark of conformity."""

from dataclasses import replace

from PySide6.QtWidgets import QComboBox, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.custody import RecordDialog, picture_entries
from hazardreport.app.pages.unit_fields import MARK_FIELDS
from hazardreport.app.views.fields import ChoiceField, TextField
from hazardreport.case.case import Case
from hazardreport.case.unit import ConformityMark


class MarkDialog(RecordDialog):
    """One mark as it stands on the unit, its box or its papers."""

    def __init__(self, mark: ConformityMark, case: Case, parent: QWidget | None = None) -> None:
        super().__init__("Mark of conformity", wording.sentence("window.marks.lead"), "Keep mark", parent)
        self._mark = mark
        points = [(point.letter, f"{point.letter}  {point.description}".rstrip()) for point in case.points]
        entries = {"picture": picture_entries(case), "point": points}
        for asked in MARK_FIELDS:
            name = asked.path.rpartition(".")[2]
            given: str = getattr(mark, name)
            if name in entries:
                chosen = _choice(asked.label, entries[name], given)
                chosen.explain(asked.explanation, shown=True)
                self.add_choice(name, chosen, given)
            else:
                field = TextField(asked.label, long=name == "note", hint=asked.hint)
                field.explain(asked.explanation, shown=True)
                self.add_text(name, field, given)

    def ask(self) -> ConformityMark | None:
        """Run the dialog; None if it was left."""
        return replace(self._mark, **self.given()) if self.kept() else None


def _choice(label: str, entries: list[tuple[str, str]], given: str) -> ChoiceField:
    """One of the records, or none; one that is gone can still be read."""
    offered = [("", "None"), *entries]
    if given not in dict(offered):
        offered.append((given, f"{given} (not in this case)"))
    field = ChoiceField(label, offered)
    field.box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    field.box.setMinimumContentsLength(20)
    return field
