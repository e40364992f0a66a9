"""Names of files as they came, made safe to show."""

import unicodedata

LONGEST = 200


def shown_name(name: str) -> str:
    """The name with control and bidirectional characters, lone surrogates and unassigned ones shown as [U+202E].

    >>> shown_name("pot\\u202egpj.exe")
    'pot[U+202E]gpj.exe'
    """
    shown = "".join(
        f"[U+{ord(character):04X}]"
        if unicodedata.category(character)[0] == "C" or _breaks_line(character)
        else character
        for character in name
    )
    return shown if len(shown) <= LONGEST else shown[:LONGEST] + "…"


def _breaks_line(character: str) -> bool:
    return unicodedata.category(character) in ("Zl", "Zp")
