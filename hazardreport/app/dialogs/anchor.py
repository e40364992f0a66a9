"""Asks in whose hands the hash of a revision is."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QPushButton, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.custody import RecordDialog
from hazardreport.app.views.custody_fields import MomentField
from hazardreport.app.views.fields import ChoiceField, TextField, choices
from hazardreport.case.case import Case
from hazardreport.case.custody import Anchor, AnchorKind
from hazardreport.case.edits import next_id

if TYPE_CHECKING:
    from hazardreport.review.chain import Revision


@dataclass(frozen=True, kw_only=True, slots=True)
class AnchorWish:
    """An anchor to record, and a file that is to be attached to it, if there is one."""

    anchor: Anchor
    file: Path | None = None


class AnchorDialog(RecordDialog):
    """Revision, way, whom, when, reference, attachment."""

    def __init__(self, case: Case, revisions: "Sequence[Revision]", parent: QWidget | None = None) -> None:
        super().__init__("Anchor", wording.sentence("window.sealing.anchor_lead"), "Record anchor", parent)
        self._case = case
        self._heads = {str(revision.number): revision.sha256 for revision in revisions}
        self.file: Path | None = None
        entries = [
            (str(revision.number), f"{revision.number}   {revision.time}   {revision.sha256[:12]}…")
            for revision in reversed(revisions)
        ]
        self.add_choice("revision", ChoiceField("Revision", entries, width=380), entries[0][0])
        self.add_choice("kind", ChoiceField("How", choices(AnchorKind), width=260), AnchorKind.SENT)
        self.add_text("whom", TextField("With whom", hint="person or office that has the hash now"), "")
        self.add_text("when", MomentField("When"), "")
        self.add_text("reference", TextField("Reference", hint="of the letter, message or time stamp"), "")
        attached = [("", "None"), *((one.id, f"{one.id}  {one.caption}".strip()) for one in case.attachments)]
        self.add_choice("attachment", ChoiceField("Attachment", attached, width=380), "")
        self.add_file()
        self.texts["whom"].edit.textChanged.connect(self.on_changed)
        self.on_changed()

    def add_file(self) -> None:
        """The countersigned page or the time stamp as a file that comes into the case with the anchor."""
        row = QWidget()
        layout = QHBoxLayout(row)
        layout.setContentsMargins(0, 0, 0, 0)
        self.pick = QPushButton("Attach a file…")
        self.pick.clicked.connect(self.on_pick_clicked)
        self.picked = QLabel()
        self.picked.setWordWrap(True)
        layout.addWidget(self.pick)
        layout.addWidget(self.picked, 1)
        self._add("", row)

    def on_changed(self) -> None:
        """An anchor without somebody who has the hash is none."""
        self.keep.setEnabled(bool(self.texts["whom"].text().strip()))

    def on_pick_clicked(self) -> None:
        """Choose the countersigned page or the time stamp."""
        name, _ = QFileDialog.getOpenFileName(self, "Attach a file")
        if name:
            self.file = Path(name)
            self.picked.setText(self.file.name)

    def wish(self) -> AnchorWish:
        """What was entered."""
        given = self.given()
        number = given.pop("revision")
        anchor = Anchor(
            id=next_id("anchor", (one.id for one in self._case.anchors)),
            revision=int(number),
            head=self._heads[number],
            **given,
        )
        return AnchorWish(anchor=anchor, file=self.file)

    def ask(self) -> AnchorWish | None:
        """Run the dialog; None if it was left."""
        return self.wish() if self.kept() else None
