"""Text to enter on an addressee's own form: one block for each element, with its count and a button that copies it."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QApplication, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.addressees.form_text import FormEntry, FormText
from hazardreport.app.views.blocks import BlockScroll
from hazardreport.app.views.form import Card
from hazardreport.app.views.record_list import text_label


class EntryCard(Card):
    """One element of the form."""

    copied = Signal(str)

    def __init__(self, entry: FormEntry, parent: QWidget | None = None) -> None:
        super().__init__("", parent=parent)
        self.entry = entry
        self.body.setSpacing(6)
        row = QHBoxLayout()
        names = QVBoxLayout()
        names.setSpacing(0)
        names.addWidget(text_label(entry.name, "strong"))
        self.count = QLabel(count_text(entry))
        self.count.setProperty("role", "problem" if entry.too_long else "small")
        names.addWidget(self.count)
        row.addLayout(names, 1)
        self.copy = QPushButton("Copy")
        self.copy.setAccessibleName(f"{entry.name}: copy the text")
        self.copy.setEnabled(bool(entry.text))
        self.copy.clicked.connect(self.on_copy_clicked)
        row.addWidget(self.copy)
        self.body.addLayout(row)
        if entry.text:
            self.body.addWidget(text_label(entry.text))
        if entry.note:
            sign = "\u25b2 " if entry.too_long else ""
            self.body.addWidget(text_label(sign + entry.note, "problem" if entry.too_long else "small"))
        if entry.personal and entry.text:
            self.body.addWidget(text_label(wording.sentence("window.report.personal"), "small"))

    def on_copy_clicked(self) -> None:
        """Put the text on the clipboard, as it stands."""
        QApplication.clipboard().setText(self.entry.text)
        self.copied.emit(self.entry.element)

    def show_copied(self, copied: bool) -> None:
        """Whether this is the text that was copied last."""
        self.copy.setText("Copied" if copied else "Copy")


def count_text(entry: FormEntry) -> str:
    """How many characters it has, and how many the form takes if a rule says so."""
    if not entry.text:
        return wording.sentence("window.report.nothing_to_enter")
    if entry.limit is None:
        return wording.sentence("window.report.characters", count=entry.characters)
    return wording.sentence("window.report.characters_of", count=entry.characters, limit=entry.limit)


class FormTextView(BlockScroll):
    """All elements of one form, then what to attach."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("Text to enter", parent)
        self.entries: dict[str, EntryCard] = {}
        self._shown: FormText | None = None

    def show_text(self, text: FormText | None) -> None:
        """Show the text for one addressee, or nothing."""
        if text == self._shown:
            return
        self._shown, self.entries = text, {}
        if text is None:
            self.show_widgets(())
            return
        for entry in text.entries:
            card = EntryCard(entry)
            card.copied.connect(self.on_copied)
            self.entries[entry.element] = card
        lead = [text_label(line, "faint") for line in (text.accepts, text.size) if line]
        self.show_widgets([*lead, *self.entries.values(), self._attachments(text)])

    def _attachments(self, text: FormText) -> QWidget:
        card = Card("To attach")
        for attachment in text.attachments:
            card.body.addWidget(text_label(attachment.name, "strong"))
            card.body.addWidget(text_label(attachment.note, "small"))
        for withheld in text.withheld:
            card.body.addWidget(text_label(withheld, "small"))
        return card

    def on_copied(self, element: str) -> None:
        """One text is on the clipboard; the one before no longer."""
        for key, card in self.entries.items():
            card.show_copied(key == element)
