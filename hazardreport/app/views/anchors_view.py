"""In whose hands the hashes of a case are, and whether the log confirms them."""

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.views.text_table_view import TextTableView

if TYPE_CHECKING:
    from hazardreport.review.chain import Anchored, Chain

HEADS = ("Revision", "Confirmed", "How", "With whom", "When", "Reference", "Attachment", "Hash")


class AnchorsView(QWidget):
    """Nothing here changes the case."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(8)
        self.answer = QLabel()
        self.answer.setWordWrap(True)
        self.answer.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.answer.setAccessibleName("Whether the case is anchored")
        column.addWidget(self.answer)
        self.table = TextTableView("Anchors of the case", HEADS, (9, 14, 12, 17, 14, 12, 12, 14))
        column.addWidget(self.table, 1)
        note = QLabel(wording.sentence("window.review.anchors_note"))
        note.setWordWrap(True)
        note.setProperty("role", "small")
        column.addWidget(note)
        column.addStretch(0)

    def show_chain(self, chain: "Chain") -> None:
        """Show the anchors, and what they come to."""
        self.table.setVisible(bool(chain.anchors))
        self.table.show_rows([anchor_row(one) for one in reversed(chain.anchors)])
        true = [one.anchor for one in chain.anchors if one.confirmed]
        if true:
            last = max(true, key=lambda anchor: anchor.revision)
            key = "window.review.anchored"
            text = wording.sentence(key, revision=last.revision, kind=last.kind.value, whom=last.whom, when=last.when)
        else:
            text = wording.sentence("window.review.not_anchored")
        self.answer.setText(text)


def anchor_row(one: "Anchored") -> tuple[str, ...]:
    """One anchor in words."""
    anchor = one.anchor
    confirmed = wording.sentence("window.review.confirmed" if one.confirmed else "window.review.not_confirmed")
    return (
        str(anchor.revision),
        confirmed,
        anchor.kind.value,
        anchor.whom,
        anchor.when.replace("T", " "),
        anchor.reference,
        anchor.attachment,
        anchor.head,
    )
