"""Any text as markup that reportlab prints as it stands: nothing typed is read as markup, and no character is lost."""

import re
from collections.abc import Callable
from xml.sax.saxutils import escape

from hazardreport.figures.text_width import Face, face, runs
from hazardreport.report.document import Reference, Runs

LINK_INK = "#0b4f8a"
WORDS_IN_A_PIECE = 300

_SYMBOL = re.compile(r"[A-Za-z\u0394\u03c6]\w*")
_UPRIGHT = {"sqrt", "abs", "max", "min", "log", "exp", "sin", "cos", "as", "read", "and", "or", "of", "the", "to", "at"}
_LONGEST_SYMBOL = 8


def plain(text: str, *, bold: bool = False, italic: bool = False, base: Face = Face.REGULAR) -> str:
    """Text as markup: each run in the face that has its characters; line ends stay line ends."""
    return "<br/>".join(_line(line, bold, italic, base) for line in re.split(r"\r\n|\r|\n", text))


def _line(text: str, bold: bool, italic: bool, base: Face) -> str:
    pieces = []
    for run in runs(text, bold=bold, italic=italic):
        escaped = escape(run.text)
        pieces.append(escaped if run.face is base else f'<font name="{run.face.value}">{escaped}</font>')
    return "".join(pieces)


def markup(given: Runs, name_of: Callable[[str], str], *, bold: bool = False, italic: bool = False) -> str:
    """Runs as markup; a reference becomes a link where the document has its target, else plain words."""
    base = face(bold=bold, italic=italic)
    pieces = []
    for run in given:
        if isinstance(run, Reference):
            words = plain(run.text, bold=bold, italic=italic, base=base)
            name = name_of(run.target)
            ink = "" if run.quiet else f' color="{LINK_INK}"'
            pieces.append(f'<a href="#{name}"{ink}>{words}</a>' if name else words)
        else:
            pieces.append(plain(run, bold=bold, italic=italic, base=base))
    return "".join(pieces)


def pieces_of(given: Runs) -> tuple[Runs, ...]:
    """Long running text in pieces of some hundred words, so that setting it takes time in proportion to its length."""
    if sum(len(run.text if isinstance(run, Reference) else run) for run in given) < 6 * WORDS_IN_A_PIECE:
        return (given,)
    result: list[Runs] = []
    present: list[str | Reference] = []
    count = 0
    for run in given:
        if isinstance(run, Reference):
            present.append(run)
            continue
        words = run.split(" ")
        while words:
            taken, words = words[: WORDS_IN_A_PIECE - count], words[WORDS_IN_A_PIECE - count :]
            present.append(" ".join(taken))
            count += len(taken)
            if count >= WORDS_IN_A_PIECE:
                result.append(tuple(present))
                present, count = [], 0
    if present:
        result.append(tuple(present))
    return tuple(result)


def symbols(text: str) -> str:
    """An equation or symbol as markup: letters slanted, what follows the first letter below the line.

    Examples
    --------
    >>> symbols("U0")
    '<font name="Arimo-Italic">U</font><sub rise="1.5" size="6">0</sub>'
    """
    pieces = []
    end = 0
    text = text.replace("*", "\u00b7").replace("-", "\u2212")
    for match in _SYMBOL.finditer(text):
        pieces.append(plain(text[end : match.start()]))
        pieces.append(_symbol(match.group(), text[match.end() : match.end() + 1]))
        end = match.end()
    pieces.append(plain(text[end:]))
    return "".join(pieces)


def _symbol(word: str, following: str) -> str:
    prose = len(word) > 2 and word.isalpha() and word.islower()
    if word in _UPRIGHT or following == "(" or len(word) > _LONGEST_SYMBOL or prose:
        return plain(word)
    first = f'<font name="{Face.ITALIC.value}">{plain(word[0], italic=True, base=Face.ITALIC)}</font>'
    rest = word[1:].lstrip("_")
    return f'{first}<sub rise="1.5" size="6">{plain(rest)}</sub>' if rest else first
