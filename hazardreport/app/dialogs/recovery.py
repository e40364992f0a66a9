"""Work that was not saved when the program ended: what it is, and whether it is kept."""

from collections.abc import Sequence

from PySide6.QtWidgets import QDialogButtonBox, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.plain import PlainDialog, lines_box, text_label


class RecoveryDialog(PlainDialog):
    """Shows what the journal held; keeping it is what happens by itself."""

    def __init__(self, lines: Sequence[str], parent: QWidget | None = None) -> None:
        lead = wording.sentence("window.recovery.lead", count=len(lines))
        super().__init__("Recovered work", lead, parent, (640, 420))
        self.lines = lines_box("What was recovered")
        self.lines.setPlainText("\n".join(lines))
        self.column.addWidget(self.lines, 1)
        self.column.addWidget(text_label(wording.sentence("window.recovery.drop"), "faint"))
        self.keep = self.buttons.addButton("Keep it", QDialogButtonBox.ButtonRole.AcceptRole)
        self.keep.setProperty("role", "main")
        self.keep.setDefault(True)
        self.drop = self.buttons.addButton("Drop it", QDialogButtonBox.ButtonRole.DestructiveRole)
        self.column.addWidget(self.buttons)
        self.dropped = False
        self.drop.clicked.connect(self.on_drop_clicked)

    def on_drop_clicked(self) -> None:
        """The saved state is wanted instead; Escape alone never drops anything."""
        self.dropped = True
        self.reject()
