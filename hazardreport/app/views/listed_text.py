"""Free text beside which stands a list to choose it from."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from hazardreport.app.views.fields import TextField

Groups = Sequence[tuple[str, Sequence[tuple[str, str]]]]


class ListedTextField(TextField):
    """A line of text, with a menu of groups of (name, text to enter); what is chosen may be changed by hand."""

    def __init__(self, label: str, choose: str, hint: str = "", parent: QWidget | None = None) -> None:
        super().__init__(label, hint=hint, parent=parent)
        self.choose = QToolButton()
        self.choose.setText(choose)
        self.choose.setAccessibleName(f"{label}: {choose.lower()}")
        self.choose.setToolTip(f"{choose} (Alt+Down)")
        self.choose.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.menu = QMenu(self.choose)
        self.choose.setMenu(self.menu)
        self._row.addWidget(self.choose)
        key = QShortcut(QKeySequence("Alt+Down"), self.edit)
        key.setContext(Qt.ShortcutContext.WidgetShortcut)
        key.activated.connect(self.choose.showMenu)

    def show_choices(self, groups: Groups) -> None:
        """What can be chosen; a group becomes a menu of its own."""
        self.menu.clear()
        for name, entries in groups:
            part = self.menu.addMenu(name)
            for text, value in entries:
                action = part.addAction(text.replace("&", "&&"))
                action.triggered.connect(lambda _=False, value=value: self.on_chosen(value))
        self.choose.setVisible(bool(groups))

    def on_chosen(self, value: str) -> None:
        """An entry of the list takes the place of what stood there."""
        self.show_value(value)
        self.entered.emit(value)
        self.edit.setFocus(Qt.FocusReason.OtherFocusReason)
