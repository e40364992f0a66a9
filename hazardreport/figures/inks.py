"""The palette of the figures. Every ink keeps its rank of lightness in grey; a role lets the window exchange it."""

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from hazardreport.figures.drawing import Ink
from hazardreport.severity.terms import SignalWord, Zone


def ink(code: str, role: str = "", opacity: float = 1.0) -> Ink:
    """An ink from six hexadecimal digits.

    Examples
    --------
    >>> ink("ff0000").red
    1.0
    """
    red, green, blue = (int(code[place : place + 2], 16) / 255 for place in (0, 2, 4))
    return Ink(red=red, green=green, blue=blue, opacity=opacity, role=role)


def seen_through(colour: Ink, opacity: float) -> Ink:
    """The same ink with another opacity."""
    return replace(colour, opacity=opacity)


def luminance(colour: Ink) -> float:
    """Relative luminance of an opaque ink, 0 for black, 1 for white, as in the contrast formula of WCAG 2. [1]"""

    def linear(channel: float) -> float:
        return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4

    return 0.2126 * linear(colour.red) + 0.7152 * linear(colour.green) + 0.0722 * linear(colour.blue)


def contrast(first: Ink, second: Ink) -> float:
    """Contrast of two opaque inks, 1 to 21. [1]"""
    lighter, darker = sorted((luminance(first), luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


TEXT = ink("1c2126", "text")
FAINT = ink("555d66", "faint")
RULE = ink("c9ced4", "rule")
PAPER = ink("ffffff", "paper")
PANEL = ink("f3f5f7", "panel")
ACCENT = ink("0b4f8a", "accent")
LIVE = ink("b3261e", "danger")
PERSON = ink("aeb6be", "person")

PICTURE_INK = ink("14181c")
"""Over pictures, whatever the window's palette."""
PICTURE_HALO = ink("ffffff")
PICTURE_MARK = ink("b0123f")

SAFETY_RED = ink("c8102e")
SAFETY_ORANGE = ink("ff8200")
SAFETY_YELLOW = ink("ffd100")
SAFETY_BLUE = ink("0057b8")
WHITE = ink("ffffff")
BLACK = ink("000000")

SIGNAL_INKS: Mapping[SignalWord, tuple[Ink, Ink]] = MappingProxyType(
    {
        SignalWord.DANGER: (SAFETY_RED, WHITE),
        SignalWord.WARNING: (SAFETY_ORANGE, BLACK),
        SignalWord.CAUTION: (SAFETY_YELLOW, BLACK),
        SignalWord.NOT_EXCLUDED: (SAFETY_BLUE, WHITE),
        SignalWord.NONE_SHOWN: (PANEL, TEXT),
        SignalWord.NOT_ASSESSED: (PANEL, TEXT),
    }
)
"""Ground and letters of each signal word; common approximations of the safety colours, not normative."""

ZONE_INKS: Mapping[Zone, Ink] = MappingProxyType(
    {
        Zone.AC_1: ink("f7f9fa", "zone-1"),
        Zone.AC_2: ink("e9eff2", "zone-2"),
        Zone.AC_3: ink("f8e9b8", "zone-3"),
        Zone.AC_4_1: ink("f3cf9f", "zone-4"),
        Zone.AC_4_2: ink("e9b090", "zone-5"),
        Zone.AC_4_3: ink("dc9384", "zone-6"),
    }
)
"""Light grounds of the zones, each darker than the one before."""
