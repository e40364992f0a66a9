"""Text as the figures set it: which bundled face draws each character, and how wide a line is.

Arimo draws everything it has a glyph for, DejaVu Sans the rest; what neither has is shown as ``[U+XXXX]``, so that no
character is lost without a trace. Advances are added up without kerning, as both painters do.
"""

import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from itertools import groupby
from pathlib import Path

from fontTools.ttLib import TTFont

from hazardreport.resources_dir import RESOURCES


class Face(StrEnum):
    """A bundled face; the value is the stem of its file and its name in the PDF."""

    REGULAR = "Arimo-Regular"
    BOLD = "Arimo-Bold"
    ITALIC = "Arimo-Italic"
    BOLD_ITALIC = "Arimo-BoldItalic"
    FALLBACK = "DejaVuSans"
    FALLBACK_BOLD = "DejaVuSans-Bold"

    @property
    def path(self) -> Path:
        """The font's file."""
        return RESOURCES / "fonts" / f"{self.value}.ttf"


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """Characters that one face draws, with their total advance as a fraction of the em."""

    face: Face
    text: str
    advance: float


CAP_HEIGHT = 0.716
"""Height of a capital of Arimo as a fraction of the em; labels are centred on it."""


def face(*, bold: bool = False, italic: bool = False) -> Face:
    """The first face tried for a style."""
    if bold:
        return Face.BOLD_ITALIC if italic else Face.BOLD
    return Face.ITALIC if italic else Face.REGULAR


@cache
def _advances(face: Face) -> dict[int, float]:
    """Advance of each character of a face, as a fraction of the em."""
    with TTFont(face.path, lazy=True) as font:
        em = font["head"].unitsPerEm
        metrics = font["hmtx"].metrics
        return {code: metrics[name][0] / em for code, name in font.getBestCmap().items()}


_SILENT = frozenset("\u00ad\u200b\u200c\u200d\u2060\ufeff") | {chr(code) for code in range(0xFE00, 0xFE10)}


def _shown(character: str) -> str:
    """The character, a space for white space, nothing for joiners, or its code where it would disturb the line."""
    if character in _SILENT:
        return ""
    if character.isspace():
        return "\u00a0" if character == "\u00a0" else " "
    if unicodedata.category(character) in {"Cc", "Cf", "Cs", "Co", "Cn"}:
        return f"[U+{ord(character):04X}]"
    return character


@lru_cache(maxsize=4096)
def runs(text: str, *, bold: bool = False, italic: bool = False) -> tuple[Run, ...]:
    """The line cut into runs of one face each; what no face has is spelled as its code.

    Examples
    --------
    >>> [(run.face.value, run.text) for run in runs("5 Ω ✓")]
    [('Arimo-Regular', '5 Ω '), ('DejaVuSans', '✓')]
    """
    first, second = face(bold=bold, italic=italic), Face.FALLBACK_BOLD if bold else Face.FALLBACK
    drawn: list[tuple[Face, str]] = []
    for character in "".join(map(_shown, unicodedata.normalize("NFC", text))):
        chosen = next((face for face in (first, second) if ord(character) in _advances(face)), None)
        spelled = character if chosen else f"[U+{ord(character):04X}]"
        drawn.extend((chosen or first, letter) for letter in spelled)
    result = []
    for used, group in groupby(drawn, key=lambda pair: pair[0]):
        letters = "".join(letter for _, letter in group)
        result.append(Run(face=used, text=letters, advance=sum(_advances(used)[ord(letter)] for letter in letters)))
    return tuple(result)


def text_width(text: str, size: float, *, bold: bool = False, italic: bool = False) -> float:
    """Width of a line, without kerning.

    Parameters
    ----------
    text : str
        One line.
    size : float
        Height of the em. [mm]

    Returns
    -------
    float
        Sum of the advances. [mm]
    """
    return size * sum(run.advance for run in runs(text, bold=bold, italic=italic))


def fitted_size(text: str, size: float, width: float, *, smallest: float = 0.0, bold: bool = False) -> float:
    """The em at which a line fits a width: `size`, or less, but never below `smallest`. [mm]"""
    natural = text_width(text, size, bold=bold)
    return size if natural <= width else max(smallest, size * width / natural)


def shortened(text: str, size: float, width: float, *, bold: bool = False, italic: bool = False) -> str:
    """The line, or its beginning and an ellipsis, so that it fits a width."""
    if text_width(text, size, bold=bold, italic=italic) <= width:
        return text
    for length in range(len(text) - 1, 0, -1):
        cut = text[:length].rstrip() + "…"
        if text_width(cut, size, bold=bold, italic=italic) <= width:
            return cut
    return "…"


def wrapped(text: str, size: float, width: float, *, bold: bool = False) -> tuple[str, ...]:
    """The text in lines that fit a width, broken between words; a longer word is cut with an ellipsis."""
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(joined, size, bold=bold) <= width:
            lines[-1] = joined
        else:
            lines.append(shortened(word, size, width, bold=bold))
    return tuple(lines)
