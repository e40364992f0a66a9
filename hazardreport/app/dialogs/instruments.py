"""Asks for the instruments of a case: kind, input impedance, calibration, accuracy of each range."""

from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QListWidget,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from hazardreport import wording
from hazardreport.app.views.fields import ChoiceField, Field, TextField
from hazardreport.app.views.form import FormCard
from hazardreport.case.edits import next_id
from hazardreport.case.reading import Accuracy, Instrument, Quantity
from hazardreport.errors import HazardReportError
from hazardreport.quantity.formatting import format_exact
from hazardreport.quantity.typed import read_value

KINDS = ("multimeter", "insulation tester", "clamp", "low-impedance voltmeter")
UNITS = {Quantity.RESISTANCE: "ohm", Quantity.VOLTAGE: "V", Quantity.CURRENT: "A"}


class QuantityField(TextField):
    """A value with its unit, or nothing; what is not understood is said under the field."""

    def __init__(self, label: str, quantity: str, unit: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(label, hint=hint, parent=parent)
        self._quantity, self._unit = quantity, unit

    def on_done(self) -> None:
        """Typing ended."""
        self._timer.stop()
        if self.text() == self._shown:
            return
        value = None
        if self.text().strip():
            try:
                value = read_value(self.text(), self._quantity).value
            except HazardReportError as error:
                self.show_remark(wording.what(error), problem=True)
                return
        self.show_remark("")
        self._shown = self.text()
        self.entered.emit(value)

    def show_value(self, value: object) -> None:
        """Show a value in the unit that suits it."""
        super().show_value(format_exact(value, self._unit) if isinstance(value, float) else "")
        self.show_remark("")


class InstrumentsDialog(QDialog):
    """List on the left, one instrument on the right; returns all of them."""

    def __init__(self, instruments: tuple[Instrument, ...], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWindowTitle("Instruments")
        self.resize(820, 620)
        self._instruments = list(instruments)
        self._row = -1
        layout = QVBoxLayout(self)
        layout.setContentsMargins(20, 18, 20, 16)
        lead = QLabel(wording.sentence("window.instruments.lead"))
        lead.setWordWrap(True)
        lead.setProperty("role", "faint")
        layout.addWidget(lead)
        middle = QHBoxLayout()
        middle.setSpacing(16)
        middle.addLayout(self._left())
        self.card = self._right()
        middle.addWidget(self.card, 1)
        layout.addLayout(middle, 1)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        keep = buttons.addButton("Keep instruments", QDialogButtonBox.ButtonRole.AcceptRole)
        keep.setProperty("role", "main")
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        layout.addWidget(buttons)
        self._show_list(0 if self._instruments else -1)

    def _left(self) -> QVBoxLayout:
        column = QVBoxLayout()
        self.list = QListWidget()
        self.list.setAccessibleName("Instruments")
        self.list.setMaximumWidth(210)
        self.list.currentRowChanged.connect(self.on_row_changed)
        column.addWidget(self.list, 1)
        add = QPushButton("Add instrument")
        add.clicked.connect(self.on_add_clicked)
        remove = QPushButton("Remove instrument")
        remove.clicked.connect(self.on_remove_clicked)
        column.addWidget(add)
        column.addWidget(remove)
        return column

    def _right(self) -> QWidget:
        card = FormCard("")
        self.fields: dict[str, Field] = {
            "name": TextField("Name", hint="multimeter 1"),
            "kind": ChoiceField("Kind", [(kind, kind.capitalize()) for kind in KINDS], width=240),
            "serial": TextField("Serial number"),
            "input_resistance": QuantityField("Input resistance", "resistance", "ohm", "10 MΩ"),
            "input_capacitance": QuantityField("Input capacitance", "capacitance", "F", "100 pF"),
            "lead_resistance": QuantityField("Lead resistance", "resistance", "ohm", "0.2 Ω"),
            "calibrated": TextField("Calibrated on", hint="2026-01-31"),
            "calibrated_by": TextField("Calibrated by"),
        }
        for name, field in self.fields.items():
            field.entered.connect(lambda value, name=name: self._change(name, value))
            card.add_field(field)
        self.true_rms = QCheckBox("Shows true r.m.s. values")
        self.true_rms.clicked.connect(lambda on: self._change("true_rms", on))
        card.body.addWidget(self.true_rms)
        head = QHBoxLayout()
        label = QLabel("Accuracy of each range")
        label.setProperty("role", "strong")
        add = QPushButton("Add range")
        add.clicked.connect(self.on_range_add_clicked)
        remove = QPushButton("Remove range")
        remove.clicked.connect(self.on_range_remove_clicked)
        head.addWidget(label)
        head.addStretch(1)
        head.addWidget(add)
        head.addWidget(remove)
        card.body.addLayout(head)
        self.ranges = QTableWidget(0, 5)
        self.ranges.setAccessibleName("Accuracy of each range")
        self.ranges.setHorizontalHeaderLabels(["Quantity", "Range to", "± % of reading", "+ digits", "One digit is"])
        self.ranges.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.ranges.verticalHeader().hide()
        self.ranges.setMinimumHeight(130)
        self.ranges.itemChanged.connect(lambda _: self._ranges_changed())
        card.body.addWidget(self.ranges)
        self.fault = QLabel()
        self.fault.setProperty("role", "problem")
        self.fault.setWordWrap(True)
        card.body.addWidget(self.fault)
        return card

    def _change(self, name: str, value: Any) -> None:
        if 0 <= self._row < len(self._instruments):
            changed = replace(self._instruments[self._row], **{name: value})
            self._instruments[self._row] = changed
            self.list.item(self._row).setText(changed.name or changed.id)

    def _show_list(self, row: int) -> None:
        blocked = self.list.blockSignals(True)
        self.list.clear()
        self.list.addItems([one.name or one.id for one in self._instruments])
        self.list.setCurrentRow(row)
        self.list.blockSignals(blocked)
        self.on_row_changed(row)

    def on_row_changed(self, row: int) -> None:
        """Another instrument was chosen."""
        self._row = row
        self.card.setEnabled(row >= 0)
        one = self._instruments[row] if 0 <= row < len(self._instruments) else Instrument(id="")
        for name, field in self.fields.items():
            field.show_value(getattr(one, name))
        self.true_rms.setChecked(one.true_rms)
        self._show_ranges(one)

    def on_add_clicked(self) -> None:
        """One more instrument."""
        free = next_id("instrument", (one.id for one in self._instruments))
        self._instruments.append(Instrument(id=free, name=f"Meter {len(self._instruments) + 1}"))
        self._show_list(len(self._instruments) - 1)

    def on_remove_clicked(self) -> None:
        """One instrument less; its readings stay."""
        if 0 <= self._row < len(self._instruments):
            del self._instruments[self._row]
            self._show_list(min(self._row, len(self._instruments) - 1))

    def _show_ranges(self, one: Instrument) -> None:
        blocked = self.ranges.blockSignals(True)
        self.ranges.setRowCount(len(one.accuracies))
        for row, accuracy in enumerate(one.accuracies):
            box = QComboBox()
            box.setAccessibleName(f"Quantity of range {row + 1}")
            for quantity in UNITS:
                box.addItem(quantity.value)
            box.setCurrentIndex(list(UNITS).index(accuracy.quantity) if accuracy.quantity in UNITS else -1)
            box.activated.connect(lambda _: self._ranges_changed())
            self.ranges.setCellWidget(row, 0, box)
            unit = UNITS.get(accuracy.quantity, "")
            texts = (
                format_exact(accuracy.range_to, unit),
                f"{accuracy.percent:g}",
                f"{accuracy.digits:g}",
                format_exact(accuracy.resolution, unit),
            )
            for column, text in enumerate(texts, 1):
                self.ranges.setItem(row, column, QTableWidgetItem(text))
        self.ranges.blockSignals(blocked)
        self.fault.setText("")

    def on_range_add_clicked(self) -> None:
        """One more range."""
        if 0 <= self._row < len(self._instruments):
            one = self._instruments[self._row]
            new = Accuracy(quantity=Quantity.VOLTAGE, range_to=600.0, percent=1.0, digits=3.0, resolution=0.1)
            self._change("accuracies", (*one.accuracies, new))
            self._show_ranges(self._instruments[self._row])

    def on_range_remove_clicked(self) -> None:
        """One range less."""
        row = self.ranges.currentRow()
        if 0 <= self._row < len(self._instruments) and row >= 0:
            kept = self._instruments[self._row].accuracies
            self._change("accuracies", (*kept[:row], *kept[row + 1 :]))
            self._show_ranges(self._instruments[self._row])

    def _ranges_changed(self) -> None:
        found = []
        try:
            for row in range(self.ranges.rowCount()):
                box = self.ranges.cellWidget(row, 0)
                place = box.currentIndex() if isinstance(box, QComboBox) else -1
                quantity = list(UNITS)[place] if place >= 0 else Quantity.VOLTAGE
                texts = [item.text() if (item := self.ranges.item(row, c)) is not None else "" for c in range(1, 5)]
                found.append(
                    Accuracy(
                        quantity=quantity,
                        range_to=read_value(texts[0], quantity.value).value,
                        percent=float(texts[1].replace(",", ".")),
                        digits=float(texts[2].replace(",", ".")),
                        resolution=read_value(texts[3], quantity.value).value,
                    )
                )
        except HazardReportError as error:
            self.fault.setText(f"{wording.what(error)} {wording.remedy(error)}")
            return
        except ValueError:
            self.fault.setText(wording.sentence("window.instruments.plain_number"))
            return
        self.fault.setText("")
        self._change("accuracies", tuple(found))

    def ask(self) -> tuple[Instrument, ...] | None:
        """Run the dialog; None if it was left."""
        accepted = self.exec() == QDialog.DialogCode.Accepted
        return tuple(self._instruments) if accepted else None
