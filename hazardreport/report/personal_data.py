"""Whether a report holds personal data: words that identify somebody, or a picture that may show somebody."""

from collections.abc import Iterable, Iterator

from hazardreport.case.case import Case
from hazardreport.case.identifying_words import identifying_words
from hazardreport.case.picture import Recognisable
from hazardreport.report.document import (
    Block,
    Calculation,
    Figure,
    KeyNumbers,
    KeyValues,
    Missing,
    Part,
    Plate,
    Reference,
    SignalPanel,
    Table,
    blocks_of,
    runs_of,
)


def holds_personal_data(case: Case, parts: Iterable[Part]) -> bool:
    """Whether these parts, made of this case for one addressee, hold anything by which a person can be told.

    A picture counts unless somebody has said that nobody can be recognised on it, or it is drawn.
    """
    given = tuple(parts)
    shown = {block.picture for part in given for block in blocks_of(part) if isinstance(block, Plate)}
    pictures = (picture for picture in case.pictures if picture.id in shown and not picture.illustration)
    if any(picture.recognisable is not Recognisable.NO for picture in pictures):
        return True
    words = identifying_words(case)
    return any(words.spans(text) for part in reversed(given) for text in texts(part))


def texts(part: Part) -> Iterator[str]:
    """Every text that a part prints."""
    yield part.title
    yield from (section.title for section in part.sections)
    for block in blocks_of(part):
        for runs in runs_of(block):
            yield "".join(run.text if isinstance(run, Reference) else run for run in runs)
        yield from _beside_runs(block)


def _beside_runs(block: Block) -> Iterator[str]:
    match block:
        case KeyValues():
            yield block.title
            yield from (row.label for row in block.rows)
        case Table():
            yield from (block.caption, block.note, *(column.title for column in block.columns))
        case Figure() | Plate():
            yield block.caption
        case Missing():
            yield from (block.what, block.why)
        case SignalPanel():
            yield from (block.subject, block.meaning)
        case KeyNumbers():
            for number in block.numbers:
                yield from (number.value, number.label, number.note)
        case Calculation():
            yield from (block.name, block.result, *(one.name for one in block.inputs))
        case _:
            return
