"""The worked calculation of one number: equation, inputs, result, sources with status, all that it rests on."""

from collections.abc import Callable
from html import escape

from PySide6.QtCore import QEvent, QUrl, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QTextBrowser, QToolButton, QVBoxLayout, QWidget

from hazardreport import wording
from hazardreport.quantity.formatting import format_number, guard_digits
from hazardreport.quantity.trace import Number, Source, Status, Trace


class CalculationView(QWidget):
    """Shows one number and lets the person follow its inputs."""

    closed = Signal()
    number_asked = Signal(str)

    def __init__(self, title_of: Callable[[str], str], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._title_of = title_of
        self._trace = Trace()
        self.number = ""
        self.text = QTextBrowser()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 6, 0, 0)
        layout.setSpacing(4)
        head = QHBoxLayout()
        self._title = QLabel("How this was calculated")
        self._title.setProperty("role", "strong")
        close = QToolButton()
        close.setText("×")
        close.setProperty("role", "plain")
        close.setAccessibleName("Close the calculation")
        close.clicked.connect(self.closed)
        head.addWidget(self._title)
        head.addStretch(1)
        head.addWidget(close)
        layout.addLayout(head)
        self.text.setOpenLinks(False)
        self.text.setAccessibleName("Worked calculation")
        self.text.anchorClicked.connect(self.on_anchor_clicked)
        layout.addWidget(self.text, 1)

    def changeEvent(self, event: QEvent) -> None:
        """Light turned dark: links take the new colour."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and self.number:
            self.show_number(self._trace, self.number)

    def on_anchor_clicked(self, url: QUrl) -> None:
        """An input was followed."""
        if url.scheme() == "number":
            self.number_asked.emit(url.toString().removeprefix("number:"))

    def show_number(self, trace: Trace, id: str) -> bool:
        """Show a number of a trace; False if the trace does not hold it."""
        self._trace, self.number = trace, id
        if id not in trace:
            self.text.setHtml(escape(wording.sentence("window.severity.gone")))
            return False
        number = trace[id]
        behind = [other for other in trace.behind(id) if other.id != id]
        parts = [
            f"<p><b>{escape(number.name)}</b><br/><span style='font-size:large'>{escape(number.symbol)} = "
            f"{escape(format_number(number))}</span></p>",
            self._equation(number),
            self._sources(number.sources),
        ]
        if behind:
            parts.append(f"<p><b>{escape(wording.sentence('window.severity.behind'))}</b></p>")
            parts.append("<table cellspacing='0' cellpadding='3'>")
            parts += [self._row(other) for other in behind]
            parts.append("</table>")
        self.text.setHtml("".join(parts))
        return True

    def _equation(self, number: Number) -> str:
        inputs = [self._trace[one] for one in number.inputs if one in self._trace]
        text = f"<p>{escape(number.symbol)} = {escape(number.equation)}</p>"
        if not inputs:
            return text
        given = ", ".join(
            f"<a href='number:{escape(one.id)}'>{escape(one.symbol)}</a>&nbsp;=&nbsp;{escape(_guarded(one))}"
            for one in inputs
        )
        unit = number.measured.unit
        return (
            f"{text}<p>{given}<br/>→ {escape(number.symbol)} = {escape(guard_digits(number.measured.value, unit))}</p>"
        )

    def _sources(self, sources: tuple[Source, ...]) -> str:
        lines = [self._source(source) for source in sources]
        return f"<p>{'<br/>'.join(lines)}</p>" if lines else ""

    def _source(self, source: Source) -> str:
        place = f", {source.place}" if source.place else ""
        mark = "" if source.status is Status.CONFIRMED else f" ({source.status.value})"
        return escape(f"{self._title_of(source.key)}{place}{mark}")

    def _row(self, number: Number) -> str:
        sources = "; ".join(self._source(source) for source in number.sources)
        return (
            f"<tr><td><a href='number:{escape(number.id)}'>{escape(number.symbol)}</a></td>"
            f"<td>{escape(number.name)}</td><td>{escape(format_number(number))}</td>"
            f"<td>{escape(number.equation)}</td><td>{sources}</td></tr>"
        )


def _guarded(number: Number) -> str:
    return guard_digits(number.measured.value, number.measured.unit)
