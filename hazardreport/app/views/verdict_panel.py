"""Verdict so far: signal word, one sentence, three numbers with their spread, the chart in small, the next test."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QToolButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.app.views.drawing_view import DrawingView
from hazardreport.app.views.signal_panel import SignalPanel
from hazardreport.assess.records import Assessment
from hazardreport.figures.drawing import Drawing
from hazardreport.quantity.formatting import format_number, format_value
from hazardreport.quantity.trace import Number, Status
from hazardreport.severity.terms import SignalWord

WIDTH = 312


def value_and_spread(number: Number) -> tuple[str, str]:
    """A number as a large value and a smaller line with its spread."""
    text = format_number(number)
    if " ± " in text:
        value, spread = text.split(" ± ", 1)
        return value, f"± {spread}"
    if number.low is not None and number.high is not None:
        value = format_value(number.measured.value, number.measured.unit)
        return value, f"{text.removeprefix(value).strip(' ()')}"
    return text, ""


def status_words(number: Number) -> str:
    """How well the sources of a number are known, where that is less than confirmed."""
    return "" if number.status is Status.CONFIRMED else number.status.value


class FigureLine(QWidget):
    """One of the three numbers; clicking it asks for its calculation."""

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        self._name = QLabel()
        self._name.setProperty("role", "small")
        self._name.setWordWrap(True)
        row = QHBoxLayout()
        row.setSpacing(8)
        self._value = QPushButton()
        self._value.setProperty("role", "figure-link")
        self._value.setCursor(Qt.CursorShape.PointingHandCursor)
        self._spread = QLabel()
        self._spread.setProperty("role", "faint")
        row.addWidget(self._value)
        row.addWidget(self._spread, 1, Qt.AlignmentFlag.AlignVCenter)
        layout.addWidget(self._name)
        layout.addLayout(row)
        self._id = ""
        self._value.clicked.connect(lambda: self.asked.emit(self._id))

    def show_number(self, number: Number) -> None:
        """Show name, value and spread."""
        value, spread = value_and_spread(number)
        self._id = number.id
        self._name.setText(number.name[:1].upper() + number.name[1:])
        self._value.setText(value)
        self._spread.setText(spread)
        self._value.setAccessibleName(f"{number.name}: {format_number(number)}")
        self._value.setToolTip("Show how this was calculated")


class VerdictPanel(QScrollArea):
    """The panel on the right."""

    number_asked = Signal(str)
    test_asked = Signal(str)
    fold_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("verdict")
        self._test = ""
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFixedWidth(WIDTH)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Verdict so far")
        content = QWidget()
        layout = QVBoxLayout(content)
        layout.setContentsMargins(18, 20, 18, 18)
        layout.setSpacing(10)
        layout.addLayout(self._head())
        self.signal_panel = SignalPanel()
        self.sentence = QLabel(wording.sentence("window.verdict.nothing"))
        self.sentence.setWordWrap(True)
        self.reason = QLabel()
        self.reason.setWordWrap(True)
        self.reason.setProperty("role", "small")
        layout.addWidget(self.signal_panel)
        layout.addWidget(self.sentence)
        layout.addWidget(self.reason)
        self.figures = tuple(FigureLine() for _ in range(3))
        for figure in self.figures:
            figure.asked.connect(self.number_asked)
            figure.hide()
            layout.addWidget(figure)
        self.chart = DrawingView("Time and current of the likely contacts")
        self.chart.setFixedHeight(196)
        self.chart.hide()
        layout.addWidget(self.chart)
        layout.addWidget(self._next_test())
        layout.addStretch(1)
        self.setWidget(content)
        self._word = SignalWord.NOT_ASSESSED

    def _head(self) -> QHBoxLayout:
        head = QHBoxLayout()
        title = QLabel("Verdict so far")
        title.setProperty("role", "section")
        self.busy = QLabel()
        self.busy.setProperty("role", "small")
        fold = QToolButton()
        fold.setText("»")
        fold.setProperty("role", "plain")
        fold.setAccessibleName("Fold the verdict away")
        fold.setToolTip("Fold the verdict away (F9)")
        fold.clicked.connect(self.fold_asked)
        head.addWidget(title)
        head.addStretch(1)
        head.addWidget(self.busy)
        head.addWidget(fold)
        return head

    def _next_test(self) -> QFrame:
        self.next_card = QFrame()
        self.next_card.setObjectName("card")
        inner = QVBoxLayout(self.next_card)
        inner.setContentsMargins(14, 10, 14, 12)
        inner.setSpacing(4)
        heading = QLabel("Next test")
        heading.setProperty("role", "small")
        self.next_text = QLabel()
        self.next_text.setWordWrap(True)
        self.next_button = QPushButton("Show it in the plan")
        self.next_button.clicked.connect(lambda: self.test_asked.emit(self._test))
        inner.addWidget(heading)
        inner.addWidget(self.next_text)
        inner.addWidget(self.next_button)
        self.next_card.hide()
        return self.next_card

    def show_busy(self, busy: bool) -> None:
        """Say that a newer verdict is being worked out."""
        self.busy.setText("working…" if busy else "")

    def show_nothing(self) -> None:
        """No case, or nothing to assess yet."""
        self._word = SignalWord.NOT_ASSESSED
        self.signal_panel.show_word(SignalWord.NOT_ASSESSED)
        self.sentence.setText(wording.sentence("window.verdict.nothing"))
        self.reason.setText("")
        for figure in self.figures:
            figure.hide()
        self.chart.hide()
        self.next_card.hide()

    def show_assessment(self, assessment: Assessment, next_test: str) -> None:
        """Show the verdict; `next_test` is the sentence for the next test, or ""."""
        verdict = assessment.verdict
        self.signal_panel.show_word(verdict.word)
        self.sentence.setText(verdict.sentence)
        self.reason.setText(verdict.reason[:1].upper() + verdict.reason[1:])
        self.reason.setVisible(bool(verdict.reason))
        for index, figure in enumerate(self.figures):
            shown = index < len(verdict.figures)
            figure.setVisible(shown)
            if shown:
                figure.show_number(assessment.number(verdict.figures[index]))
        self._show_chart(assessment)
        self.next_card.setVisible(bool(next_test))
        self.next_text.setText(next_test)
        self._test = assessment.next_test.key if assessment.next_test is not None else ""
        self.next_button.setVisible(bool(self._test))
        if verdict.word is not self._word:
            self._word = verdict.word
            event = QAccessibleAnnouncementEvent(self, f"{verdict.word.value}. {verdict.sentence}")
            QAccessible.updateAccessibility(event)

    def _show_chart(self, assessment: Assessment) -> None:
        self.chart.setVisible(bool(assessment.exposures))
        if not assessment.exposures:
            self.chart.show_drawing(None)
            return

        def make(width: float, height: float) -> Drawing:
            from hazardreport.figures.time_current import time_current_chart

            return time_current_chart(assessment, width, height, assessment.verdict.headline)

        self.chart.show_drawing(make)
