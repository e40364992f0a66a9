"""The strip at the bottom: the newest notice, and where the newest edit is saved."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QProgressBar, QPushButton, QVBoxLayout, QWidget

from hazardreport.app.looks import Looks
from hazardreport.app.notices import Level, Notice


class NoticeStrip(QFrame):
    """Shows one notice at a time, the newest; earlier ones come back when it is put away."""

    cancel_asked = Signal()
    offer_taken = Signal(object)

    def __init__(self, looks: Looks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self._looks = looks
        self._notices: list[Notice] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 5, 16, 5)
        column.setSpacing(4)
        self._row = QWidget()
        row = QHBoxLayout(self._row)
        row.setContentsMargins(0, 3, 0, 3)
        row.setSpacing(10)
        self._sign = QLabel()
        self.what = QLabel()
        self.what.setWordWrap(True)
        self.what.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.what.setAccessibleName("Notice")
        self._details = QPushButton("Copy details")
        self._details.clicked.connect(self.on_details_clicked)
        self.offer = QPushButton()
        self.offer.clicked.connect(self.on_offer_clicked)
        self.dismiss = QPushButton("Put away")
        self.dismiss.setAccessibleName("Put this notice away")
        self.dismiss.clicked.connect(self.on_dismiss_clicked)
        row.addWidget(self._sign, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.what, 1)
        row.addWidget(self._details)
        row.addWidget(self.offer)
        row.addWidget(self.dismiss)
        column.addWidget(self._row)
        self._row.hide()
        foot = QHBoxLayout()
        foot.setSpacing(10)
        self.saved = QLabel()
        self.saved.setProperty("role", "small")
        self.saved.setAccessibleName("Saved state")
        self.revision = QLabel()
        self.revision.setProperty("role", "small")
        self.revision.setAccessibleName("Revision, and who saves")
        self._work = QLabel()
        self._work.setProperty("role", "small")
        self._progress = QProgressBar()
        self._progress.setTextVisible(False)
        self._progress.setFixedWidth(160)
        self._cancel = QPushButton("Cancel")
        self._cancel.clicked.connect(self.cancel_asked)
        foot.addWidget(self.saved)
        foot.addStretch(1)
        for widget in (self._work, self._progress, self._cancel):
            widget.hide()
            foot.addWidget(widget)
        foot.addWidget(self.revision)
        column.addLayout(foot)

    @property
    def notice(self) -> Notice | None:
        """The notice shown."""
        return self._notices[-1] if self._notices else None

    def show_notice(self, notice: Notice) -> None:
        """Show a notice above the earlier ones."""
        if self._notices and self._notices[-1] == notice:
            return
        self._notices = [*self._notices[-9:], notice]
        self._show()

    def _show(self) -> None:
        notice = self.notice
        self._row.setVisible(notice is not None)
        if notice is None:
            return
        problem = notice.level is Level.PROBLEM
        scheme = self._looks.scheme
        icon = self._looks.icon(
            "warning" if problem else "state-complete", scheme.problem if problem else scheme.accent
        )
        if icon.isNull():
            self._sign.setText("▲" if problem else "●")
        else:
            self._sign.setPixmap(icon.pixmap(18, 18))
        self._sign.setAccessibleName("Problem" if problem else "Note")
        self.what.setText(f"{notice.what} {notice.remedy}".strip())
        self.what.setAccessibleDescription(self.what.text())
        self._details.setVisible(bool(notice.details))
        self.offer.setVisible(notice.offer is not None)
        self.offer.setText(notice.offer.value if notice.offer is not None else "")
        more = len(self._notices) - 1
        self.dismiss.setText(f"Put away ({more} more)" if more else "Put away")

    def on_dismiss_clicked(self) -> None:
        """The notice was read."""
        self._notices = self._notices[:-1]
        self._show()

    def on_offer_clicked(self) -> None:
        """Put the notice away, and do what it offers."""
        notice = self.notice
        self.on_dismiss_clicked()
        if notice is not None:
            self.offer_taken.emit(notice.offer)

    def on_details_clicked(self) -> None:
        """Put the details on the clipboard."""
        if self.notice is not None:
            QGuiApplication.clipboard().setText(self.notice.details)

    def show_saved(self, text: str) -> None:
        """Show where the newest edit is."""
        self.saved.setText(text)

    def show_revision(self, text: str) -> None:
        """Show which revision this is, and who saves the next one."""
        self.revision.setText(text)

    def show_progress(self, text: str, done: int, total: int) -> None:
        """Show how far long work is, 0 of 0 if that is not known; hidden when it is done."""
        active = done < total or total == 0
        for widget in (self._work, self._progress, self._cancel):
            widget.setVisible(active)
        self._work.setText(text)
        self._progress.setRange(0, total)
        self._progress.setValue(done)
