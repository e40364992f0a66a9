"""The panel of the signal word: the only place, besides charts, with signal colours; a sign says the same."""

from PySide6.QtCore import QSize
from PySide6.QtWidgets import QSizePolicy, QWidget

from hazardreport.app.views.drawing_view import DrawingView
from hazardreport.figures.signal import signal_panel
from hazardreport.severity.terms import SignalWord


class SignalPanel(DrawingView):
    """Shows one signal word, as the report does."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent, exchange=False)
        self._word = SignalWord.NOT_ASSESSED
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.show_word(self._word)

    @property
    def word(self) -> SignalWord:
        """The word shown."""
        return self._word

    def show_word(self, word: SignalWord) -> None:
        """Show a signal word."""
        self._word = word
        self.setAccessibleName(f"Signal word: {word.value}")
        self.show_drawing(lambda width, height: signal_panel(word, width, height))

    def sizeHint(self) -> QSize:
        """High enough for a large word."""
        return QSize(240, int(self.fontMetrics().height() * 3.4))
