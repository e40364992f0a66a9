"""Widths and faces of text."""

import pytest
from reportlab.pdfbase import pdfmetrics

from hazardreport.figures.text_width import Face, fitted_size, runs, shortened, text_width, wrapped
from hazardreport.report.pdf.painting import register_fonts


@pytest.mark.parametrize("text", ["117.4 V ± 1.2 V", "AVATo", "R = 24 Ω → 12 µA"])
def test_the_width_is_the_one_that_the_report_sets(text: str) -> None:
    register_fonts()
    assert text_width(text, 10.0) == pytest.approx(pdfmetrics.stringWidth(text, Face.REGULAR.value, 10.0), abs=0.02)


def test_signs_that_arimo_lacks_come_from_the_second_face() -> None:
    assert [(run.face, run.text) for run in runs("⚠ on", bold=True)] == [
        (Face.FALLBACK_BOLD, "⚠"),
        (Face.BOLD, " on"),
    ]


@pytest.mark.parametrize(
    ("text", "shown"), [("\u202e", "[U+202E]"), ("漢", "[U+6F22]"), ("a\tb", "a b"), ("a\u200bb\ufeff", "ab")]
)
def test_what_no_face_has_is_spelled_as_its_code(text: str, shown: str) -> None:
    assert "".join(run.text for run in runs(text)) == shown


def test_a_long_line_is_cut_to_the_width() -> None:
    cut = shortened("a description that goes on and on", 3.0, 20.0)
    assert cut.endswith("…")
    assert text_width(cut, 3.0) <= 20.0


def test_a_line_that_fits_keeps_its_size() -> None:
    assert fitted_size("V", 3.0, 50.0) == 3.0
    assert text_width("a long label", fitted_size("a long label", 3.0, 5.0)) == pytest.approx(5.0)


def test_lines_break_between_words() -> None:
    lines = wrapped("one two three four five six", 3.0, 15.0)
    assert " ".join(lines) == "one two three four five six"
    assert all(text_width(line, 3.0) <= 15.0 for line in lines)


@pytest.mark.parametrize("face", Face)
def test_every_face_is_shipped(face: Face) -> None:
    assert face.path.is_file()
