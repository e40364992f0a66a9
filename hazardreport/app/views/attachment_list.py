"""Files of the case that are no pictures: what each is called, what it is, and the picture that stands for a video."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.views.fields import TextField
from hazardreport.case.attachment import Attachment
from hazardreport.case.picture import Picture

NO_STILL = ""


class AttachmentRow(QWidget):
    """One attachment."""

    changed = Signal(object, str)
    remove_asked = Signal(str)

    def __init__(self, attachment: Attachment, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._attachment = attachment
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 8)
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(4)
        self.name = QLabel()
        self.name.setTextFormat(Qt.TextFormat.PlainText)
        self.name.setWordWrap(True)
        self.kind = QLabel()
        self.kind.setTextFormat(Qt.TextFormat.PlainText)
        self.kind.setProperty("role", "small")
        self.kind.setWordWrap(True)
        self.caption = TextField(f"Caption of {attachment.id}", hint="what it is")
        self.caption.entered.connect(lambda text: self._change("caption", str(text)))
        self.still = QComboBox()
        self.still.setAccessibleName(f"Picture that stands for {attachment.id}")
        self.still.setToolTip(wording.sentence("window.attachments.still"))
        self.still.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.still.setMinimumContentsLength(8)
        self.still.activated.connect(lambda row: self._change("still", self.still.itemData(row)))
        self.still.setVisible(is_video(attachment))
        remove = QToolButton()
        remove.setText("×")
        remove.setProperty("role", "plain")
        remove.setToolTip("Take this attachment out of the case")
        remove.setAccessibleName(f"Take {attachment.id} out of the case")
        remove.clicked.connect(lambda: self.remove_asked.emit(self._attachment.id))
        self.remove = remove
        grid.addWidget(self.name, 0, 0)
        grid.addWidget(remove, 0, 1)
        for row, widget in enumerate((self.kind, self.caption, self.still), start=1):
            grid.addWidget(widget, row, 0, 1, 2)
        grid.setColumnStretch(0, 1)

    def _change(self, field: str, value: Any) -> None:
        if getattr(self._attachment, field) != value:
            self.changed.emit(replace(self._attachment, **{field: value}), field)

    def show_attachment(self, attachment: Attachment, pictures: Sequence[Picture]) -> None:
        """Show an attachment and the pictures that may stand for it."""
        self._attachment = attachment
        self.name.setText(attachment.original_name)
        self.kind.setText(f"{attachment.id}: {attachment.media_type}, {shown_size(attachment.size)}")
        self.kind.setToolTip(f"SHA-256: {attachment.sha256}")
        self.caption.show_value(attachment.caption)
        if is_video(attachment):
            self._show_stills(attachment.still, pictures)

    def _show_stills(self, chosen: str, pictures: Sequence[Picture]) -> None:
        entries = [(NO_STILL, wording.sentence("window.attachments.no_still"))]
        entries += [(one.id, f"{one.id} {one.caption}".strip()) for one in pictures]
        if chosen not in [key for key, _ in entries]:
            entries.append((chosen, wording.sentence("window.attachments.still_gone", picture=chosen)))
        shown = [(self.still.itemData(row), self.still.itemText(row)) for row in range(self.still.count())]
        if shown != entries:
            self.still.clear()
            for key, text in entries:
                self.still.addItem(text, key)
        self.still.setCurrentIndex(self.still.findData(chosen))


class AttachmentList(QWidget):
    """All attachments of the case; nothing is shown while there are none."""

    attachment_changed = Signal(object, str)
    remove_asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: dict[str, AttachmentRow] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        heading = QLabel("Attachments of the case")
        heading.setProperty("role", "strong")
        heading.setContentsMargins(0, 8, 0, 0)
        remark = QLabel(wording.sentence("window.attachments.hint"))
        remark.setProperty("role", "small")
        remark.setWordWrap(True)
        self._column.addWidget(heading)
        self._column.addWidget(remark)
        self._rows_column = QVBoxLayout()
        self._rows_column.setSpacing(2)
        self._column.addLayout(self._rows_column)
        self.hide()

    def show_attachments(self, attachments: Sequence[Attachment], pictures: Sequence[Picture]) -> None:
        """Show the attachments; captions that are being typed stay."""
        ids = [one.id for one in attachments]
        for missing in [one for one in self._rows if one not in ids]:
            gone = self._rows.pop(missing)
            self._rows_column.removeWidget(gone)
            gone.hide()
            gone.deleteLater()
        for place, attachment in enumerate(attachments):
            row = self._rows.get(attachment.id) or self._new_row(attachment)
            if self._rows_column.indexOf(row) != place:
                self._rows_column.insertWidget(place, row)
            row.show_attachment(attachment, pictures)
        self.setVisible(bool(attachments))

    def _new_row(self, attachment: Attachment) -> AttachmentRow:
        row = AttachmentRow(attachment)
        row.changed.connect(self.attachment_changed)
        row.remove_asked.connect(self.remove_asked)
        self._rows[attachment.id] = row
        return row

    def row(self, id: str) -> AttachmentRow | None:
        """The row of an attachment."""
        return self._rows.get(id)


def is_video(attachment: Attachment) -> bool:
    """A picture may stand for it in the report."""
    return attachment.media_type.startswith("video/")


def shown_size(size: int) -> str:
    """A number of bytes for people."""
    if size < 1000:
        return f"{size} bytes"
    return f"{size / 1e6:.1f} MB" if size >= 1e5 else f"{size / 1e3:.1f} kB"
