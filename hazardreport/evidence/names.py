"""Names of files as they came: kept exactly in a form that is safe to show, and shortened for messages."""

import re
import unicodedata

LONGEST = 200

_SHOWN_AS_NUMBER = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")
_FIRST_BYTE, _LAST_BYTE = 0xDC80, 0xDCFF
"""Where Python puts bytes of a name that are no text."""

_ESCAPES = re.compile(r"\\(?:\\|x([0-9a-f]{2})|u\{([0-9a-f]{1,6})\})")


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


def kept_name(name: str) -> str:
    """The whole name in characters that can be shown and saved; `original_name` gives the name back.

    A byte that is no text becomes \\xff, a character that is invisible, directs text or is not assigned \\u{202e}, and
    a backslash two of them.

    >>> print(kept_name("pot\\u202egpj.exe"), kept_name("half \\udcff.jpg"), kept_name("a\\\\b"))
    pot\\u{202e}gpj.exe half \\xff.jpg a\\\\b
    """
    return "".join(_kept(character) for character in name)


def _kept(character: str) -> str:
    if character == "\\":
        return "\\\\"
    if unicodedata.category(character) not in _SHOWN_AS_NUMBER:
        return character
    number = ord(character)
    if _FIRST_BYTE <= number <= _LAST_BYTE:
        return f"\\x{number - 0xDC00:02x}"
    return f"\\u{{{number:x}}}"


def original_name(kept: str) -> str:
    """The name as it came; what is no escape of `kept_name` stays as it is.

    >>> original_name("pot\\\\u{202e}gpj.exe") == "pot\\u202egpj.exe"
    True
    """
    return _ESCAPES.sub(_had_back, kept)


def _had_back(escape: re.Match[str]) -> str:
    byte, number = escape.groups()
    if byte is not None:
        return chr(0xDC00 + int(byte, 16)) if int(byte, 16) >= 0x80 else escape.group()
    if number is not None:
        return chr(int(number, 16)) if int(number, 16) <= 0x10FFFF else escape.group()
    return "\\"
