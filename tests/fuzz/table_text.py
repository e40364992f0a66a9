"""Odd changes to a table in CSV: cells, rows, names of columns, delimiters, encodings."""

import csv
import io
import random

from tests.fuzz import odd

VALUES = ("117.4 V", "24,3 Ω", "OL", "> 20 MΩ", "1k2", "117.4 ± 0.5 V", "tripped", "glow", "1,500", "0.5 A", "n.d.")


def changed(data: bytes, words: tuple[str, ...], random_: random.Random) -> bytes:
    """The table after one to four odd changes; `words` are names of columns and choices that its cells may hold."""
    text = data.decode("utf-8-sig", "replace").replace("\0", "")
    delimiter = random_.choice((",", ",", ",", ";", "\t"))
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter="," if "," in text else delimiter))
    except csv.Error:
        return data
    for _ in range(random_.choice((1, 1, 1, 2, 2, 4))):
        _change(rows, words, random_)
    return _encoded(_written(rows, delimiter, random_), random_)


def _change(rows: list[list[str]], words: tuple[str, ...], random_: random.Random) -> None:
    if not rows:
        rows.append([random_.choice(words)])
    row = random_.choice(rows)
    kind = random_.randrange(8)
    if kind == 0:
        rows.insert(random_.randrange(len(rows) + 1), list(row))
    elif kind == 1:
        rows.remove(row)
    elif kind == 2:
        row.extend([odd.text(random_)] * random_.choice((1, 2, 40)))
    elif kind == 3 and row:
        del row[random_.randrange(len(row))]
    elif kind == 4:
        rows[0].append(random_.choice(words))
    elif row:
        row[random_.randrange(len(row))] = _cell(words, random_)


def _cell(words: tuple[str, ...], random_: random.Random) -> str:
    kind = random_.randrange(5)
    if kind == 0:
        return odd.text(random_)
    if kind == 1:
        return random_.choice(odd.NUMBERS)
    return random_.choice(words) if kind < 4 else random_.choice(VALUES)


def _written(rows: list[list[str]], delimiter: str, random_: random.Random) -> str:
    if random_.random() < 0.1:
        return "\n".join(delimiter.join(row) for row in rows)
    out = io.StringIO()
    writer = csv.writer(
        out,
        delimiter=delimiter,
        quoting=random_.choice((csv.QUOTE_MINIMAL, csv.QUOTE_ALL)),
        lineterminator=random_.choice(("\n", "\r\n")),
    )
    writer.writerows(rows)
    return random_.choice(("", "", f"sep={delimiter}\n", "sep=x\n")) + out.getvalue()


def _encoded(text: str, random_: random.Random) -> bytes:
    encoding = random_.choice(("utf-8", "utf-8", "utf-8", "utf-8-sig", "utf-16"))
    return text.encode(encoding, "replace")
