"""The palette holds in grey print and for weak eyes."""

from itertools import pairwise

import pytest

from hazardreport.figures.drawing import Ink
from hazardreport.figures.inks import ACCENT, FAINT, LIVE, PAPER, SIGNAL_INKS, TEXT, ZONE_INKS, contrast, ink, luminance
from hazardreport.severity.terms import SignalWord, Zone


@pytest.mark.parametrize("colour", [TEXT, FAINT, ACCENT, LIVE])
def test_inks_for_words_stand_out_from_paper(colour: Ink) -> None:
    assert contrast(colour, PAPER) >= 4.5


@pytest.mark.parametrize("word", SignalWord)
def test_every_signal_word_has_letters_that_stand_out(word: SignalWord) -> None:
    ground, letters = SIGNAL_INKS[word]
    assert contrast(ground, letters) >= 4.5


def test_zones_grow_darker_in_their_order() -> None:
    levels = [luminance(ZONE_INKS[zone]) for zone in Zone]
    assert all(first > second + 0.02 for first, second in pairwise(levels))


@pytest.mark.parametrize("zone", Zone)
def test_words_can_be_read_on_every_zone(zone: Zone) -> None:
    assert contrast(ZONE_INKS[zone], TEXT) >= 4.5


def test_black_on_white_has_the_greatest_contrast() -> None:
    assert contrast(ink("000000"), ink("ffffff")) == pytest.approx(21.0)
