"""The log of a case: its revisions, and what the chosen one changed, field by field."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt
from PySide6.QtWidgets import QLabel, QSplitter, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.views.text_table_view import TextTableView

if TYPE_CHECKING:
    from hazardreport.review.chain import Chain, Revision
    from hazardreport.review.record_changes import Change

HEADS = ("Revision", "Time", "Author", "What changed", "Hash")
FIELD_HEADS = ("Place", "Before", "After")
BEGINNING = 12
"""So many digits of a hash are shown in the table."""


class LogView(QWidget):
    """Nothing here changes the case."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._chain: Chain | None = None
        self._changes: Sequence[Sequence[Change]] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 8, 0, 0)
        column.setSpacing(6)
        self.none = QLabel(wording.sentence("window.review.no_log"))
        self.none.setWordWrap(True)
        column.addWidget(self.none)
        self.revisions = TextTableView("Revisions of the case", HEADS, (9, 17, 16, 46, 14))
        self.revisions.selectionModel().currentRowChanged.connect(self.on_row_changed)
        below = QWidget()
        lower = QVBoxLayout(below)
        lower.setContentsMargins(0, 6, 0, 0)
        lower.setSpacing(4)
        self.chosen = QLabel()
        self.chosen.setWordWrap(True)
        self.chosen.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.chosen.setAccessibleName("Chosen revision")
        self.fields = TextTableView("Changes of the chosen revision", FIELD_HEADS, (30, 35, 35))
        lower.addWidget(self.chosen)
        lower.addWidget(self.fields, 1)
        self.split = QSplitter(Qt.Orientation.Vertical)
        self.split.setChildrenCollapsible(False)
        self.split.addWidget(self.revisions)
        self.split.addWidget(below)
        self.split.setSizes([240, 260])
        column.addWidget(self.split, 1)
        self.setTabOrder(self.revisions, self.fields)

    def show_chain(self, chain: "Chain", changes: "Sequence[Sequence[Change]]") -> None:
        """Show a log, the newest revision first."""
        from hazardreport.review.changes import told

        self._chain, self._changes = chain, changes
        self.none.setVisible(not chain.revisions)
        self.split.setVisible(bool(chain.revisions))
        pairs = list(zip(chain.revisions, changes, strict=True))
        self.revisions.show_rows(
            [
                (
                    str(revision.number),
                    revision.time.replace("T", " "),
                    author_of(revision),
                    told(revision, of_this),
                    revision.sha256[:BEGINNING],
                )
                for revision, of_this in reversed(pairs)
            ]
        )
        if pairs and self.revisions.row < 0:
            self.revisions.choose(0)

    def on_row_changed(self, now: QModelIndex, before: QModelIndex) -> None:
        """Another revision was chosen."""
        from hazardreport.review.changes import field_by_field

        if self._chain is None or not now.isValid():
            return
        place = len(self._chain.revisions) - 1 - now.row()
        revision = self._chain.revisions[place]
        self.chosen.setText(
            wording.sentence(
                "window.review.revision", number=revision.number, program=revision.program, sha256=revision.sha256
            )
        )
        self.fields.show_rows([field_row(change) for change in field_by_field(self._changes[place])])
        self.fields.scrollToTop()


def author_of(revision: "Revision") -> str:
    """Who saved a revision, in words."""
    if revision.author:
        return revision.author
    if revision.author_hash:
        return wording.sentence("window.review.author_erased", hash=revision.author_hash[:8])
    return wording.sentence("window.review.nobody")


def field_row(change: "Change") -> tuple[str, str, str]:
    """Place in words, text before, text after."""
    place = f"{change.subject}: {change.field}" if change.field else change.subject
    deed = change.deed.value
    if deed == "changed":
        return place, "?" if change.before is None else change.before, change.after
    return place, "", wording.sentence(f"window.review.deed_{deed}")
