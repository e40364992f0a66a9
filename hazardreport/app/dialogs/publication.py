"""Before a publication is packed: what is left out, what is replaced, and what nobody has looked at."""

from collections.abc import Sequence

from PySide6.QtWidgets import QWidget

from hazardreport import wording
from hazardreport.app.dialogs.plain import PlainDialog, lines_box, text_label


class PublicationDialog(PlainDialog):
    """The person reads what would be handed out, then decides."""

    def __init__(
        self, pictures: int, lines: Sequence[str], cautions: Sequence[str], parent: QWidget | None = None
    ) -> None:
        lead = wording.sentence("window.publication.lead", pictures=pictures)
        super().__init__("Pack for publication", lead, parent, (680, 560))
        for caution in cautions:
            label = text_label(f"▲ {caution}", "problem")
            label.setAccessibleName(f"To mend: {caution}")
            self.column.addWidget(label)
        self.column.addWidget(text_label(wording.sentence("window.publication.left_out"), "strong"))
        self.lines = lines_box("What is left out of the publication")
        self.lines.setPlainText("\n".join(lines))
        self.column.addWidget(self.lines, 1)
        self.pack = self.add_buttons("Choose the file…")

    def ask(self) -> bool:
        """Run the dialog; False if it was left."""
        return self.accepted_now()
