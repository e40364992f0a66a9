"""Columns and wrapped lines for a terminal."""

import textwrap
from collections.abc import Iterable, Sequence

WIDTH = 100


def wrapped(text: str, indent: str = "  ") -> str:
    """The text in lines of the terminal's width, its first line indented and the others as far."""
    further = " " * len(indent)
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=further, break_long_words=False)


def table(rows: Iterable[Sequence[str]], indent: str = "  ") -> str:
    """Columns as wide as their widest cell, two spaces between them."""
    listed = [tuple(row) for row in rows]
    widths = [max(len(cell) for cell in column) for column in zip(*listed, strict=True)]
    lines = ("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in listed)
    return "\n".join((indent + line).rstrip() for line in lines)
