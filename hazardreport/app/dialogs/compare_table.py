"""Compares a table of the program with its document: the digits are typed as printed there, without seeing ours."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtWidgets import QComboBox, QDialogButtonBox, QGridLayout, QLabel, QPushButton, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.plain import PlainDialog, lines_box
from hazardreport.app.problem_lines import problem_texts
from hazardreport.app.views.blind_table import BlindTable
from hazardreport.app.views.fields import TextField
from hazardreport.assess.confirmations import confirmation_problems
from hazardreport.case.case import Case
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.edits import next_id
from hazardreport.standards.confirmed import OWN_CHOICES, compared
from hazardreport.standards.references import reference
from hazardreport.standards.tables import TEXT, Table, all_tables, table_as_filed

SIZE = (860, 700)
TEXTS = (
    ("edition", "Edition", "as printed on the document"),
    ("page", "Page", "where the table stands"),
    ("name", "Read by", "name of whoever holds the document"),
    ("day", "On", "2026-05-14"),
    ("second_reader", "Second reader", "somebody else who compared it again"),
    ("second_day", "On", "2026-05-14"),
    ("note", "Note", "corrigenda, footnotes"),
)


@dataclass(frozen=True, kw_only=True, slots=True)
class CompareWish:
    """A comparison to keep; or, with `remove`, to take out of the case."""

    confirmation: TableConfirmation
    remove: bool = False


def table_key(standard: str, name: str) -> str:
    """A table as a confirmation names it."""
    return f"{standard}/{name}"


class CompareTableDialog(PlainDialog):
    """Choose the table, say from which edition and page, type its cells; then see which agree."""

    def __init__(self, case: Case, key: str, today: str, reader: str, parent: QWidget | None = None) -> None:
        lead = wording.sentence("findings.compare.lead")
        super().__init__("Compare a table with its document", lead, parent, SIZE)
        self._case, self._today, self._reader = case, today, reader
        self._remove = False
        self._keys = [table_key(*entry) for entry in all_tables() if entry[0] != OWN_CHOICES]
        self.fields: dict[str, TextField] = {}
        self.table = QComboBox()
        self.table.setAccessibleName("Table")
        self.table.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.table.addItems([table_words(table_of(one)) for one in self._keys])
        self.reading = QComboBox()
        self.reading.setAccessibleName("Comparison")
        self.column.addLayout(self._form())
        self.about = QLabel()
        self.about.setWordWrap(True)
        self.about.setProperty("role", "small")
        self.column.addWidget(self.about)
        self.cells = BlindTable()
        self.column.addWidget(self.cells, 1)
        self.outcome = lines_box("Result of the comparison")
        self.outcome.setFixedHeight(92)
        self.column.addWidget(self.outcome)
        self._buttons()
        self.table.activated.connect(lambda _: self.on_table_chosen())
        self.reading.activated.connect(lambda _: self.on_reading_chosen())
        self.cells.itemChanged.connect(lambda _: self.on_changed())
        if key in self._keys:
            self.table.setCurrentIndex(self._keys.index(key))
        self.on_table_chosen()

    def _form(self) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(12)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(3, 1)
        for row, (label, box) in enumerate((("Table", self.table), ("Comparison", self.reading))):
            head = QLabel(label)
            head.setBuddy(box)
            grid.addWidget(head, row, 0)
            grid.addWidget(box, row, 1, 1, 3)
        for number, (name, label, hint) in enumerate(TEXTS):
            field = TextField(label, hint=hint)
            field.edit.setAccessibleName("Second reader, on" if name == "second_day" else label)
            head = QLabel(label)
            head.setBuddy(field)
            row, column = 2 + number // 2, 2 * (number % 2)
            grid.addWidget(head, row, column)
            grid.addWidget(field, row, column + 1)
            self.fields[name] = field
        return grid

    def _buttons(self) -> None:
        self.keep = self.add_buttons("Keep")
        self.compare = self.buttons.addButton("Compare", QDialogButtonBox.ButtonRole.ActionRole)
        self.compare.clicked.connect(self.on_compare_clicked)
        self.remove = self.buttons.addButton("Remove this comparison", QDialogButtonBox.ButtonRole.ActionRole)
        self.remove.clicked.connect(self.on_remove_clicked)
        for button in self.buttons.buttons():
            if isinstance(button, QPushButton):
                button.setAutoDefault(False)
                button.setDefault(False)

    @property
    def key(self) -> str:
        """The table that is compared."""
        return self._keys[self.table.currentIndex()]

    def _known(self) -> Sequence[TableConfirmation]:
        return [one for one in self._case.confirmations if one.table == self.key]

    def on_table_chosen(self) -> None:
        """Another table: its earlier comparisons, and empty cells."""
        self.reading.clear()
        self.reading.addItem("A new one")
        for one in self._known():
            self.reading.addItem(f"{one.id}: {one.name or 'nobody named'}, {one.day or 'no day'}")
        self.reading.setCurrentIndex(len(self._known()))
        self.on_reading_chosen()

    def on_reading_chosen(self) -> None:
        """A new comparison, or an earlier one to go on with."""
        held = table_of(self.key)
        known = self._chosen()
        first = len(held.arguments)
        empty = ("",) * len(held.values)
        typed = {row[:first]: row[first:] for row in known.rows} if known is not None else {}
        rows = [(*row[:first], *typed.get(row[:first], empty)) for row in held.rows]
        heads = [head(name, unit) for name, unit in held.arguments + held.values]
        blocked = self.cells.blockSignals(True)
        self.cells.show_table(heads, first, rows)
        self.cells.blockSignals(blocked)
        for name, field in self.fields.items():
            field.show_value(getattr(known, name) if known is not None else self._given(name))
        self.about.setText(
            wording.sentence(
                "findings.compare.about", name=held.name[:1].upper() + held.name[1:], edition=held.citation.edition
            )
        )
        self.remove.setVisible(known is not None)
        self.on_changed()

    def _given(self, name: str) -> str:
        return {"day": self._today, "name": self._reader}.get(name, "")

    def _chosen(self) -> TableConfirmation | None:
        number = self.reading.currentIndex()
        return self._known()[number - 1] if number > 0 else None

    def confirmation(self) -> TableConfirmation:
        """What was entered so far."""
        known = self._chosen()
        held = table_of(self.key)
        first = len(held.arguments)
        one = known or TableConfirmation(
            id=next_id("confirmation", (one.id for one in self._case.confirmations)), table=self.key
        )
        rows = tuple(row for row in self.cells.cells() if any(cell.strip() for cell in row[first:]))
        texts = {name: field.text().strip() for name, field in self.fields.items()}
        return replace(one, sha256=held.sha256, rows=rows, **texts)

    def on_changed(self) -> None:
        """Another digit: the result is that of before no more."""
        self.outcome.setPlainText(wording.sentence("findings.compare.not_yet"))
        self.keep.setEnabled(bool(self.confirmation().rows))

    def on_compare_clicked(self) -> None:
        """Show which cells agree, and what differs."""
        self.outcome.setPlainText("\n".join(result_lines(self.confirmation())))

    def on_remove_clicked(self) -> None:
        """The comparison goes out of the case; undo brings it back."""
        self._remove = True
        self.accept()

    def ask(self) -> CompareWish | None:
        """Run the dialog; None if it was left."""
        if not self.accepted_now():
            return None
        known = self._chosen()
        if self._remove and known is not None:
            return CompareWish(confirmation=known, remove=True)
        return CompareWish(confirmation=self.confirmation())


def table_of(key: str) -> Table:
    """A table by the name that a confirmation has for it, with the statuses of its file."""
    standard, _, name = key.partition("/")
    return table_as_filed(standard, name)


def table_words(held: Table) -> str:
    """A table in the list: document, table, how well it is known."""
    return f"{reference(held.citation.key).title}: {held.citation.table} ({held.citation.status.value})"


def head(name: str, unit: str) -> str:
    """Head of a column."""
    words = name.replace("_", " ")
    return words if unit in (TEXT, "1") else f"{words} [{unit}]"


def result_lines(confirmation: TableConfirmation) -> tuple[str, ...]:
    """Which cells agree, what differs, and why a comparison does not count."""
    found = compared(confirmation)
    told = wording.sentence(
        "findings.compare.result", agreeing=len(found.agreeing), compared=found.compared, cells=found.cells
    )
    problems = confirmation_problems(Case(id="", confirmations=(confirmation,)))
    return (told, *(" ".join(problem_texts(problem)) for problem in problems))
