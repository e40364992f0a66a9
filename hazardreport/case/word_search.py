"""Words looked for in text as people write them: other case, another form of Unicode, other spaces and hyphens.

A word is found at the borders of words, in scripts that have such borders; accents are disregarded. A space within a
word is looked through only where three letters stand on each side of it, so that "in a" is not taken for the name Ina.
"""

import re
import unicodedata
from collections.abc import Iterable
from functools import cache

_SEPARATORS = r"[ .\-]"
_GAP = r"[ \-]*"
_HYPHEN = r"(?:-[ ]*)?"
_WITHOUT_ACCENTS = ("LATIN", "GREEK", "CYRILLIC", "ARABIC", "HEBREW")
_WITHOUT_BORDERS = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL", "THAI", "LAO", "KHMER", "MYANMAR", "TIBETAN")
_LINES = "\t\n\v\f\r\x85"
_INVISIBLE = "\u034f\u0640\u115f\u1160"
_GENITIVE_FROM = 5
"""Letters of a word from which on a further s belongs to it."""
_SPACED_FROM = 3
_PHONE_SUFFIX = 7
"""Last digits by which a telephone number is known, whatever country and area are put before."""


_ASCII = {code: "." for code in range(0x21, 0x7F) if not chr(code).isalnum() and chr(code) != "-"}


class WordSearch:
    """Finds any of some words.

    words    names, addresses, numbers: each as a whole
    numbers  telephone numbers: by their digits, however they are grouped and prefixed
    """

    def __init__(self, words: Iterable[str], numbers: Iterable[str] = ()) -> None:
        given = dict.fromkeys(words)
        patterns = {pattern for word in given if (pattern := _word_pattern(folded(word)[0]))}
        patterns |= {pattern for number in numbers if (pattern := _number_pattern(folded(number)[0]))}
        ordered = sorted(patterns, key=lambda pattern: (-len(pattern), pattern))
        self._any = re.compile("|".join(ordered)) if ordered else None
        self._each = tuple(re.compile(pattern) for pattern in ordered)
        self._signs = tuple(word for word in given if word and not _tokens(folded(word)[0]))

    def spans(self, text: str) -> tuple[tuple[int, int], ...]:
        """Where words stand in a text, in order; what overlaps is one."""
        found = [(place, place + len(sign)) for sign in self._signs for place in _places(text, sign)]
        flat, origin = folded(text) if self._any is not None else ("", ())
        if self._any is not None and self._any.search(flat):
            for pattern in self._each:
                found += [(origin[hit.start()][0], origin[hit.end() - 1][1]) for hit in pattern.finditer(flat)]
        merged: list[tuple[int, int]] = []
        for start, end in sorted(found):
            if merged and start < merged[-1][1]:
                merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
            else:
                merged.append((start, end))
        return tuple((start, end + _open_bracket(text, start, end)) for start, end in merged)

    def replaced(self, text: str, by: str) -> tuple[str, int]:
        """The text with `by` in place of each word, and how many there were."""
        spans = self.spans(text)
        for start, end in reversed(spans):
            text = text[:start] + by + text[end:]
        return text, len(spans)


def _open_bracket(text: str, start: int, end: int) -> int:
    """1 if a bracket opens in what was found and closes right behind it."""
    return int(text[end : end + 1] == ")" and text.count("(", start, end) > text.count(")", start, end))


def _places(text: str, sign: str) -> list[int]:
    return [found.start() for found in re.finditer(re.escape(sign), text)]


def folded(text: str) -> tuple[str, tuple[tuple[int, int], ...]]:
    """The text as it is compared, and for each of its signs where it stood: from, to.

    Letters without case and accents, decimal digits as 0…9, one space for each blank, "-" for each hyphen or dash, "."
    for every other sign; what cannot be seen is gone.

    >>> folded("Stra\\u00dfe \\u2013 \\uff21\\u0301nna\\u00ad")[0]
    'strasse - anna'
    """
    if text.isascii() and text.isprintable():
        return text.lower().translate(_ASCII), tuple(zip(range(len(text)), range(1, len(text) + 1), strict=True))
    flat: list[str] = []
    origin: list[tuple[int, int]] = []
    start = 0
    while start < len(text):
        end = start + 1
        while end < len(text) and unicodedata.category(text[end]) in ("Mn", "Me"):
            end += 1
        signs = _cluster(text[start:end])
        flat.append(signs)
        origin += [(start, end)] * len(signs)
        start = end
    return "".join(flat), tuple(origin)


@cache
def _script(sign: str) -> str:
    return unicodedata.name(sign, "").split(" ")[0]


def _cluster(cluster: str) -> str:
    if len(cluster) == 1 and "a" <= cluster <= "z":
        return cluster
    signs = unicodedata.normalize("NFKD", unicodedata.normalize("NFKD", cluster).casefold())
    bare = bool(signs) and _script(signs[0]) in _WITHOUT_ACCENTS
    return "".join(_sign(sign) for sign in signs if not (bare and unicodedata.category(sign) in ("Mn", "Me")))


@cache
def _sign(sign: str) -> str:
    if sign == "\u0131":
        return "i"
    if sign in _INVISIBLE or "\ufe00" <= sign <= "\ufe0f":
        return ""
    kind = unicodedata.category(sign)
    if kind == "Nd":
        return str(unicodedata.decimal(sign))
    if kind[0] == "Z" or sign in _LINES:
        return " "
    if kind == "Pd" or sign == "\u2212":
        return "-"
    if kind[0] in "PS":
        return "."
    return "" if kind in ("Cf", "Cc") else sign


def _tokens(flat: str) -> list[str]:
    return re.findall(r"[^ .\-]+", flat)


def _word_pattern(flat: str) -> str:
    """The expression that finds a folded word in folded text, "" if nothing but signs is in it."""
    tokens = _tokens(flat)
    if not tokens:
        return ""
    between = re.findall(_SEPARATORS + "+", flat.strip(" .-"))
    body = _inside(tokens[0])
    for separators, before, token in zip(between, tokens, tokens[1:], strict=False):
        apart = "." in separators and before[-1].isdigit() and token[0].isdigit()
        body += _SEPARATORS + ("+" if apart else "*") + _inside(token)
    letters = "".join(tokens)
    if len(letters) >= _SPACED_FROM and letters.isalpha():
        body += "|" + (_SEPARATORS + "+").join(re.escape(sign) for sign in letters)
    return f"{_before(letters)}(?:{body}){_behind(letters)}"


def _inside(token: str) -> str:
    """One word, with what a line's end or a typist may put into it."""
    loose = any(sign.isdigit() for sign in token) or any(_borderless(sign) for sign in token)
    body = re.escape(token[0])
    for place in range(1, len(token)):
        wide = loose or min(place, len(token) - place) >= 3
        body += (_GAP if wide else _HYPHEN) + re.escape(token[place])
    return body


def _borderless(sign: str) -> bool:
    return _script(sign) in _WITHOUT_BORDERS


def _is_short_number(letters: str) -> bool:
    return letters.isdigit() and len(letters) <= 4


def _before(letters: str) -> str:
    if letters[0].isdigit():
        return r"(?<!\d)(?<!\d\.)" if _is_short_number(letters) else r"(?<!\d)"
    return "" if _borderless(letters[0]) or not letters[0].isalpha() else r"(?<![^\W\d_])"


def _behind(letters: str) -> str:
    if letters[-1].isdigit():
        return r"(?!\.?\d)" if _is_short_number(letters) else r"(?!\d)"
    if _borderless(letters[-1]) or not letters[-1].isalpha():
        return ""
    return ("s?" if letters.isalpha() and len(letters) >= _GENITIVE_FROM else "") + r"(?![^\W\d_])"


def _number_pattern(flat: str) -> str:
    digits = "".join(sign for sign in flat if sign.isdigit())
    if len(digits) < 5:
        return ""
    known = digits if len(digits) <= _PHONE_SUFFIX + 1 else digits[-_PHONE_SUFFIX:]
    prefix = "" if known == digits else rf"(?:\d{_SEPARATORS}{{0,3}}){{0,12}}?"
    return rf"(?<!\d){prefix}" + rf"{_SEPARATORS}{{0,3}}".join(known) + r"(?!\d)"
