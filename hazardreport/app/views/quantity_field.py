"""A number that is typed with its unit and prefix, "2.2 nF" or "1 MΩ", and shown in the same way."""

from PySide6.QtWidgets import QWidget

from hazardreport import wording
from hazardreport.app.views.fields import NumberField
from hazardreport.errors import HazardReportError
from hazardreport.quantity.formatting import NO_BREAK_SPACE, format_exact
from hazardreport.quantity.typed import SHOWN_UNITS, UNITS, Bound, read_value

LARGEST_CAPACITANCE = 1e-3
"""A capacitance from here on was typed without its prefix: no part of an appliance at the mains is that large. [F]"""


class QuantityField(NumberField):
    """A quantity of `quantity.typed.UNITS` above zero, or nothing; carries the number in the coherent unit."""

    def __init__(self, label: str, quantity: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(label, "", hint=hint, parent=parent)
        self._quantity = quantity
        self._coherent = UNITS[quantity]
        self.edit.setAccessibleDescription(f"with its unit, {SHOWN_UNITS.get(self._coherent, self._coherent)}")

    def _number(self, text: str) -> float | None:
        if not text:
            return None
        try:
            typed = read_value(text, self._quantity)
        except HazardReportError as error:
            raise ValueError(f"{wording.what(error)} {wording.remedy(error)}") from error
        if typed.bound is not Bound.NONE or typed.uncertainty is not None:
            raise ValueError(wording.sentence("window.unit.one_value"))
        if typed.value <= 0.0:
            raise ValueError(wording.sentence("window.unit.above_zero"))
        if self._quantity == "capacitance" and typed.value >= LARGEST_CAPACITANCE:
            raise ValueError(wording.sentence("window.unit.capacitance_prefix"))
        return typed.value

    def _shown_as(self, number: float) -> str:
        return format_exact(number, self._coherent).replace(NO_BREAK_SPACE, " ")

    def show_value(self, value: object) -> None:
        """Show a number, or nothing; what is being typed and means the same stays as it was typed."""
        if isinstance(value, float) and self.edit.hasFocus() and self._means(value):
            self._shown = self.text()
            return
        super().show_value(value)

    def _means(self, value: float) -> bool:
        try:
            return self._number(self.text().strip()) == value
        except ValueError:
            return False
