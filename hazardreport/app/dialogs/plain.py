"""What the dialogs about a case have in common: a lead, what is asked, and buttons that say what they do."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFrame,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)


class PlainDialog(QDialog):
    """A dialog that asks for one thing; it never grows beyond the screen."""

    def __init__(self, title: str, lead: str, parent: QWidget | None = None, size: tuple[int, int] = (600, 0)) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(24, 20, 24, 18)
        self.column.setSpacing(12)
        self.column.addWidget(text_label(lead))
        self.buttons = QDialogButtonBox()
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        room = self.screen().availableSize()
        self.setMinimumWidth(min(size[0], room.width() - 40))
        if size[1]:
            self.resize(min(size[0], room.width() - 40), min(size[1], room.height() - 60))

    def add_buttons(self, main: str, cancel: str = "Cancel") -> QPushButton:
        """The row of buttons below everything; the one that does it is given back."""
        button = self.buttons.addButton(main, QDialogButtonBox.ButtonRole.AcceptRole)
        button.setProperty("role", "main")
        self.buttons.addButton(cancel, QDialogButtonBox.ButtonRole.RejectRole)
        self.column.addWidget(self.buttons)
        return button

    def accepted_now(self) -> bool:
        """Run the dialog; False if it was left."""
        return self.exec() == QDialog.DialogCode.Accepted


def text_label(text: str, role: str = "") -> QLabel:
    """Wrapped lines of plain text that can be marked and copied."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    label.setTextInteractionFlags(
        Qt.TextInteractionFlag.TextSelectableByMouse | Qt.TextInteractionFlag.TextSelectableByKeyboard
    )
    label.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
    if role:
        label.setProperty("role", role)
    return label


def lines_box(name: str) -> QPlainTextEdit:
    """Many lines to be read, which scroll."""
    box = QPlainTextEdit()
    box.setReadOnly(True)
    box.setTabChangesFocus(True)
    box.setAccessibleName(name)
    box.setMinimumHeight(90)
    return box


def scrolled() -> tuple[QScrollArea, QVBoxLayout]:
    """A column of controls that scrolls where the screen is too small for it."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    content = QWidget()
    column = QVBoxLayout(content)
    column.setContentsMargins(0, 0, 10, 0)
    column.setSpacing(8)
    area.setWidget(content)
    return area, column
