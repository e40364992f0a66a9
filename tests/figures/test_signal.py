"""The signal panel."""

from collections.abc import Callable

import pytest

from hazardreport.figures.drawing import Drawing, Fill, Words
from hazardreport.figures.inks import SAFETY_ORANGE, SAFETY_RED, SAFETY_YELLOW, SIGNAL_INKS
from hazardreport.figures.signal import signal_panel
from hazardreport.severity.terms import SignalWord


@pytest.mark.parametrize("word", SignalWord)
@pytest.mark.parametrize("size", [(90.0, 14.0), (30.0, 8.0), (180.0, 12.0), (60.0, 30.0)], ids=str)
def test_the_word_stands_whole_on_its_colour(
    word: SignalWord, size: tuple[float, float], beyond_the_edge: Callable[[Drawing], list[str]]
) -> None:
    panel = signal_panel(word, *size)
    ground, letters = SIGNAL_INKS[word]
    assert isinstance(panel.shapes[0], Fill)
    assert panel.shapes[0].ink == ground
    lines = [shape for shape in panel.shapes if isinstance(shape, Words) and shape.text not in {"!", "?"}]
    assert " ".join(line.text for line in lines) == word.value
    assert {line.ink for line in lines} == {letters}
    assert beyond_the_edge(panel) == []
    assert word.value in panel.description


@pytest.mark.parametrize(
    ("word", "ground"),
    [
        (SignalWord.DANGER, SAFETY_RED),
        (SignalWord.WARNING, SAFETY_ORANGE),
        (SignalWord.CAUTION, SAFETY_YELLOW),
    ],
)
def test_words_for_injuries_carry_the_alert_triangle(word: SignalWord, ground: object) -> None:
    panel = signal_panel(word, 90, 14)
    assert "!" in [shape.text for shape in panel.shapes if isinstance(shape, Words)]
    assert SIGNAL_INKS[word][0] == ground


@pytest.mark.parametrize("word", [SignalWord.NONE_SHOWN, SignalWord.NOT_ASSESSED])
def test_words_that_show_no_hazard_carry_none(word: SignalWord) -> None:
    signs = [shape.text for shape in signal_panel(word, 90, 14).shapes if isinstance(shape, Words)]
    assert "!" not in signs
