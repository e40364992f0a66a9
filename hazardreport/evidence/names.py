"""Names of files as they came, made safe to show."""

import unicodedata

LONGEST = 200

_SHOWN_AS_NUMBER = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def shown(text: str) -> str:
    """The text with control and bidirectional characters, lone surrogates and unassigned ones shown as [U+202E]."""
    return "".join(
        f"[U+{ord(character):04X}]" if unicodedata.category(character) in _SHOWN_AS_NUMBER else character
        for character in text
    )


def shown_name(name: str) -> str:
    """The name made safe to show, cut where it is very long.

    >>> shown_name("pot\\u202egpj.exe")
    'pot[U+202E]gpj.exe'
    """
    safe = shown(name)
    return safe if len(safe) <= LONGEST else safe[:LONGEST] + "…"
