"""Asks what is to be erased from a case for good, and says plainly what that means."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.plain import PlainDialog, lines_box, scrolled, text_label
from hazardreport.app.views.tick_list import TickList
from hazardreport.case.case import Case
from hazardreport.case.personal import Person
from hazardreport.case.picture import Recognisable

if TYPE_CHECKING:
    from hazardreport.storage.erasing import Wish


class ErasingDialog(PlainDialog):
    """Persons, pictures, attachments and names; what would go is listed while it is chosen."""

    def __init__(self, case: Case, authors: Sequence[str], day: str, parent: QWidget | None = None) -> None:
        super().__init__("Erase a person", wording.sentence("window.erasing.lead"), parent, (680, 760))
        self._case = case
        area, self._choices = scrolled()
        self.column.addWidget(area, 3)
        self._reason = wording.sentence("window.erasing.reason", day=day)
        self.persons: dict[Person, QCheckBox] = {}
        for person in Person:
            box = QCheckBox(wording.sentence(f"window.erasing.{person.value}"))
            box.toggled.connect(self.on_changed)
            self.persons[person] = box
            self._choices.addWidget(box)
        self.pictures = self._ticks(
            "Pictures whose file goes too",
            [(one.id, f"{one.id}  {one.caption or one.original_name}") for one in case.pictures],
            [one.id for one in case.pictures if one.recognisable is Recognisable.YES],
        )
        self.attachments = self._ticks(
            "Attachments whose file goes too",
            [(one.id, f"{one.id}  {one.caption or one.original_name}") for one in case.attachments],
            [],
        )
        self.authors = self._ticks("Authors of revisions whose name goes", [(name, name) for name in authors], [])
        head = QLabel("Further names and addresses, with commas between")
        self.words = QLineEdit()
        self.words.setAccessibleName("Further names and addresses")
        self.words.textChanged.connect(self.on_changed)
        head.setBuddy(self.words)
        self._choices.addWidget(head)
        self._choices.addWidget(self.words)
        self._choices.addStretch(1)
        self.going = lines_box("What is erased")
        self.column.addWidget(self.going, 2)
        self.column.addWidget(text_label(wording.sentence("window.erasing.for_good"), "strong"))
        self.column.addWidget(text_label(wording.sentence("window.erasing.reach")))
        self.sure = QCheckBox(wording.sentence("window.erasing.sure"))
        self.sure.toggled.connect(self.on_changed)
        self.column.addWidget(self.sure)
        self.erase = self.add_buttons("Erase for good")
        self.on_changed()

    def _ticks(self, name: str, entries: Sequence[tuple[str, str]], ticked: Sequence[str]) -> TickList:
        ticks = TickList(name)
        ticks.show_entries(entries, ticked)
        ticks.setFixedHeight(max(44, min(150, ticks.sizeHintForRow(0) * len(entries) + 12)))
        ticks.itemChanged.connect(self.on_changed)
        head = QLabel(name)
        head.setBuddy(ticks)
        for widget in (head, ticks):
            widget.setVisible(bool(entries))
            self._choices.addWidget(widget)
        return ticks

    def on_changed(self) -> None:
        """Show what would go; nothing can be erased before the person says to know that it is for good."""
        from hazardreport.review.changes import changes_between, line

        wish = self.wish()
        lines = [line(change) for change in changes_between(self._case, wish.granted(self._case))]
        lines += [wording.sentence("window.erasing.author", name=name) for name in sorted(wish.authors)]
        lines += [wording.sentence("window.erasing.word", word=word) for word in wish.words]
        self.going.setPlainText("\n".join(lines) or wording.sentence("window.erasing.nothing"))
        self.erase.setEnabled(bool(lines) and self.sure.isChecked())

    def wish(self) -> "Wish":
        """What was chosen."""
        from hazardreport.storage.erasing import Wish

        words = tuple(word.strip() for word in self.words.text().split(",") if word.strip())
        return Wish(
            persons=frozenset(person for person, box in self.persons.items() if box.isChecked()),
            pictures=frozenset(self.pictures.ticked()),
            attachments=frozenset(self.attachments.ticked()),
            authors=frozenset((*self.authors.ticked(), *words)),
            words=words,
            reason=self._reason,
        )

    def ask(self) -> "Wish | None":
        """Run the dialog; None if it was left."""
        return self.wish() if self.accepted_now() else None
