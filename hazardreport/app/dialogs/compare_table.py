"""Compares a table of the program with its document: the digits are typed as printed there, without seeing ours."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PySide6.QtWidgets import QComboBox, QDialogButtonBox, QGridLayout, QLabel, QPushButton, QWidget

from hazardreport import wording
from hazardreport.app.dialogs.plain import PlainDialog, lines_box
from hazardreport.app.models.typed_cells import Typed, placed, unplaced
from hazardreport.app.pages.findings_fields import COMPARISON_CHOICES, CONFIRMATION_FIELDS, by_name
from hazardreport.app.pages.unit_places import FieldPlace
from hazardreport.app.problem_lines import problem_texts
from hazardreport.app.table_words import words_to_type
from hazardreport.app.views.blind_table import BlindTable
from hazardreport.app.views.fields import TextField
from hazardreport.app.views.help_line import HelpLine
from hazardreport.assess.confirmations import confirmation_problems
from hazardreport.case.case import Case
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.edits import next_id
from hazardreport.standards.confirmed import OWN_CHOICES, compared
from hazardreport.standards.references import reference
from hazardreport.standards.tables import TEXT, Table, all_tables, table_as_filed

SIZE = (860, 700)
TEXTS = by_name(*CONFIRMATION_FIELDS)
CHOICES = by_name(*COMPARISON_CHOICES)


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
        held = {table_key(*entry): table_as_filed(*entry) for entry in all_tables() if entry[0] != OWN_CHOICES}
        ours = "; ".join(one.citation.table for one in held.values() if one.own_words)
        lead = (
            f"{wording.sentence('findings.compare.lead')} {wording.sentence('findings.compare.left_out', tables=ours)}"
        )
        super().__init__("Compare a table with its document", lead, parent, SIZE)
        self._case, self._today, self._reader = case, today, reader
        self._remove = False
        self._typed: dict[str, Typed] = {}
        self._last: dict[str, int] = {}
        self._shown: TableConfirmation | None = None
        self._begun: Typed | None = None
        self._keys = [one for one, table in held.items() if not table.own_words]
        self.fields: dict[str, TextField] = {}
        self.table = QComboBox()
        _explain(self.table, CHOICES["table"])
        self.table.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.table.addItems([table_words(table_of(one)) for one in self._keys])
        self.reading = QComboBox()
        _explain(self.reading, CHOICES["comparison"])
        self.column.addLayout(self._form())
        self.help = HelpLine(wording.sentence("window.unit.help"))
        self.column.addWidget(self.help)
        self.about = QLabel()
        self.about.setWordWrap(True)
        self.about.setProperty("role", "small")
        self.column.addWidget(self.about)
        self.cells = BlindTable()
        _explain(self.cells, CHOICES["rows"])
        self.help.follow([self.table, self.reading, self.cells, *self.fields.values()])
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
        for row, box in enumerate((self.table, self.reading)):
            head = QLabel(box.accessibleName())
            head.setToolTip(box.toolTip())
            head.setBuddy(box)
            grid.addWidget(head, row, 0)
            grid.addWidget(box, row, 1, 1, 3)
        for number, (name, asked) in enumerate(TEXTS.items()):
            field = TextField(asked.label, hint=asked.hint)
            field.explain(asked.explanation, shown=False)
            head = QLabel("On" if name == "second_day" else asked.label)
            head.setToolTip(asked.explanation)
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
        """Another table: its earlier comparisons, and empty cells; what was typed so far waits until one comes back."""
        self._remember()
        self._shown = None
        self.reading.clear()
        self.reading.addItem("A new one")
        for one in self._known():
            self.reading.addItem(f"{one.id}: {one.name or 'nobody named'}, {one.day or 'no day'}")
        self.reading.setCurrentIndex(self._last.get(self.key, len(self._known())))
        self.on_reading_chosen()

    def on_reading_chosen(self) -> None:
        """A new comparison, or an earlier one to go on with."""
        self._remember()
        held = table_of(self.key)
        known = self._chosen()
        self._shown = known or TableConfirmation(id="", table=self.key)
        self._last[self.key] = self.reading.currentIndex()
        typed = self._typed.get(_name(self._shown)) or self._as_kept(known)
        heads = [head(name, unit) for name, unit in held.arguments + held.values]
        blocked = self.cells.blockSignals(True)
        self.cells.show_table(heads, len(held.arguments), typed.rows)
        self.cells.blockSignals(blocked)
        for name, field in self.fields.items():
            field.show_value(typed.texts[name])
        self._begun = self._present()
        name = held.name[:1].upper() + held.name[1:]
        about = wording.sentence("findings.compare.about", name=name, edition=held.citation.edition)
        self.about.setText(f"{about} {words_to_type(held)}".rstrip())
        self.remove.setVisible(known is not None)
        self.on_changed()

    def _as_kept(self, known: TableConfirmation | None) -> Typed:
        held = table_of(self.key)
        read = placed(held, known.rows if known is not None else ())
        first = len(held.arguments)
        given = {"day": self._today, "name": self._reader}
        return Typed(
            texts={name: getattr(known, name) if known is not None else given.get(name, "") for name in self.fields},
            rows=tuple(
                (*row[:first], *read.get(number, ("",) * len(held.values))) for number, row in enumerate(held.rows)
            ),
        )

    def _present(self) -> Typed:
        return Typed(texts={name: field.text() for name, field in self.fields.items()}, rows=self.cells.cells())

    def _remember(self) -> None:
        """Keep what was typed for the comparison that is left."""
        if self._shown is not None and (present := self._present()) != self._begun:
            self._typed[_name(self._shown)] = present

    def _chosen(self) -> TableConfirmation | None:
        number = self.reading.currentIndex()
        return self._known()[number - 1] if number > 0 else None

    def confirmation(self) -> TableConfirmation:
        """What was entered so far; rows of an earlier one that fit no row of the table stay in it."""
        return self._confirmation(self._chosen(), self.key, self._present(), ())

    def _confirmation(
        self, known: TableConfirmation | None, key: str, typed: Typed, taken: tuple[str, ...]
    ) -> TableConfirmation:
        held = table_of(key)
        first = len(held.arguments)
        ids = (*(one.id for one in self._case.confirmations), *taken)
        one = known or TableConfirmation(id=next_id("confirmation", ids), table=key)
        rows = tuple(row for row in typed.rows if any(cell.strip() for cell in row[first:]))
        texts = {name: text.strip() for name, text in typed.texts.items()}
        return replace(one, sha256=held.sha256, rows=(*rows, *unplaced(held, one.rows)), **texts)

    def _others(self, taken: tuple[str, ...] = ()) -> tuple[TableConfirmation, ...]:
        """What was typed for other comparisons than the one that is shown."""
        shown = _name(self._shown) if self._shown is not None else ""
        found: list[TableConfirmation] = []
        for name, typed in self._typed.items():
            key, _, known_id = name.partition(" ")
            known = next((one for one in self._case.confirmations if one.id == known_id), None)
            made = self._confirmation(known, key, typed, (*taken, *(one.id for one in found)))
            if name != shown and made.rows:
                found.append(made)
        return tuple(found)

    def on_changed(self) -> None:
        """Another digit: the result is that of before no more."""
        told = [wording.sentence("findings.compare.not_yet")]
        if others := self._others():
            tables = "; ".join(table_words(table_of(one.table)) for one in others)
            told.append(wording.sentence("findings.compare.others", tables=tables))
        self.outcome.setPlainText("\n".join(told))
        self.keep.setEnabled(bool(self.confirmation().rows))

    def on_compare_clicked(self) -> None:
        """Show which cells agree, and what differs."""
        self.outcome.setPlainText("\n".join(result_lines(self.confirmation())))

    def on_remove_clicked(self) -> None:
        """The comparison goes out of the case; undo brings it back."""
        self._remove = True
        self.accept()

    def ask(self) -> tuple[CompareWish, ...]:
        """Run the dialog: what is to be kept, the comparison that is shown first; nothing if it was left."""
        if not self.accepted_now():
            return ()
        known = self._chosen()
        if self._remove and known is not None:
            shown = CompareWish(confirmation=known, remove=True)
        else:
            shown = CompareWish(confirmation=self.confirmation())
        others = self._others((shown.confirmation.id,))
        return (shown, *(CompareWish(confirmation=one) for one in others))


def _name(confirmation: TableConfirmation) -> str:
    """A comparison of the dialog, a new one too."""
    return f"{confirmation.table} {confirmation.id}"


def _explain(widget: QWidget, asked: FieldPlace) -> None:
    """Name and plain line of what is no field."""
    widget.setAccessibleName(asked.label)
    widget.setAccessibleDescription(asked.explanation)
    widget.setToolTip(asked.explanation)


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
