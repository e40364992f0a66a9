"""A report as a tree of frozen blocks: what stands where and what it is called; nothing here knows about fonts."""

from collections.abc import Iterator
from dataclasses import dataclass

from hazardreport.figures.drawing import Drawing
from hazardreport.severity.terms import SignalWord

PAPER = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
MARGIN_SIDE = 20.0
LABEL_WIDTH = 40.0


def text_width(paper: str) -> float:
    """Width between the side margins. [mm]"""
    return PAPER[paper][0] - 2 * MARGIN_SIDE


@dataclass(frozen=True, kw_only=True, slots=True)
class Reference:
    """A cross-reference: words that lead to an anchor of the document; quiet: set in the ink of the text around it."""

    target: str
    text: str
    quiet: bool = False


Runs = tuple[str | Reference, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Paragraph:
    """Running text. role: "body", "lead", "small", "strong"."""

    runs: Runs
    role: str = "body"


@dataclass(frozen=True, kw_only=True, slots=True)
class Items:
    """A list; numbered or with dashes."""

    items: tuple[Runs, ...]
    numbered: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class KeyValue:
    """A labelled value; known is False where the value says why there is none.

    note    small words below the value
    anchor  what references lead to, or ""
    """

    label: str
    runs: Runs
    note: Runs = ()
    known: bool = True
    anchor: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class KeyValues:
    """Labelled values, one below the other; boxed on the first page."""

    rows: tuple[KeyValue, ...]
    boxed: bool = False
    title: str = ""
    anchor: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Column:
    """A column of a table. unit stands in its head; numeric: aligned at the decimal sign; share: of the width."""

    title: str
    unit: str = ""
    numeric: bool = False
    share: float = 1.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """A row: one run list for each column; anchor: what references lead to, or ""; strong: the row that matters."""

    cells: tuple[Runs, ...]
    anchor: str = ""
    strong: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Table:
    """A table with a caption above; its head is repeated on every page."""

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Figure:
    """A drawing with a caption; its description is the alternative text."""

    drawing: Drawing
    caption: str
    anchor: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Plate:
    """A picture with lettered points and marks."""

    drawing: Drawing
    caption: str
    picture: str
    anchor: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class SignalPanel:
    """The signal word, what it is about, and what the word means."""

    word: SignalWord
    subject: str
    meaning: str


@dataclass(frozen=True, kw_only=True, slots=True)
class KeyNumber:
    """A number of the first page: value as text, what it is, how it is known."""

    value: str
    label: str
    note: str
    target: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class KeyNumbers:
    """The numbers of the first page."""

    numbers: tuple[KeyNumber, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class CalculationInput:
    """An input of a worked calculation, with guard digits."""

    symbol: str
    name: str
    value: str
    target: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Calculation:
    """One worked number: equation, inputs with guard digits, result, sources with status.

    result  as the report prints it; guarded: the same with guard digits
    """

    anchor: str
    symbol: str
    name: str
    equation: str
    inputs: tuple[CalculationInput, ...]
    result: str
    guarded: str
    sources: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Missing:
    """Something that is not there, and why."""

    what: str
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Beside:
    """Two stacks of blocks side by side; share: of the left one."""

    left: tuple["Block", ...]
    right: tuple["Block", ...]
    share: float = 0.5


@dataclass(frozen=True, kw_only=True, slots=True)
class SignatureLine:
    """Lines to write on: place and day; signature."""

    place: str
    name: str


Block = (
    Paragraph
    | Items
    | KeyValues
    | Table
    | Figure
    | Plate
    | SignalPanel
    | KeyNumbers
    | Calculation
    | Missing
    | Beside
    | SignatureLine
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """A titled piece of a part; title "" for the unnamed opening of a part."""

    title: str
    blocks: tuple[Block, ...]
    anchor: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Part:
    """A numbered part of the report. own_page: begins a page; detachable: its pages carry the personal data."""

    key: str
    number: int
    title: str
    sections: tuple[Section, ...]
    own_page: bool = False
    detachable: bool = False

    @property
    def anchor(self) -> str:
        """Name that references to this part lead to."""
        return part_anchor(self.key)


@dataclass(frozen=True, kw_only=True, slots=True)
class ReportDocument:
    """A whole report.

    created   when the report was made, ISO 8601; every date in the file is this one
    privacy   printed on every page: "contains personal data"; "" where there are none
    page_of   template of the page number, with {page} and {pages}
    contents  title of the table of contents, which follows the first part
    labels    words that the drawing needs: "calculation_equation", …
    """

    title: str
    subject: str
    language: str
    paper: str
    case_id: str
    revision: str
    created: str
    privacy: str
    page_of: str
    contents: str
    parts: tuple[Part, ...]
    labels: tuple[tuple[str, str], ...] = ()

    def label(self, name: str) -> str:
        """The word of that name."""
        return dict(self.labels)[name]


def part_anchor(key: str) -> str:
    """Anchor of a part."""
    return f"part-{key}"


def blocks_of(part: Part) -> Iterator[Block]:
    """Every block of a part in reading order, those inside others included."""

    def walk(block: Block) -> Iterator[Block]:
        yield block
        if isinstance(block, Beside):
            for inner in (*block.left, *block.right):
                yield from walk(inner)

    for section in part.sections:
        for block in section.blocks:
            yield from walk(block)


def blocks(document: ReportDocument) -> Iterator[Block]:
    """Every block of a document in reading order."""
    for part in document.parts:
        yield from blocks_of(part)


def runs_of(block: Block) -> Iterator[Runs]:
    """Every run list of one block."""
    match block:
        case Paragraph():
            yield block.runs
        case Items():
            yield from block.items
        case KeyValues():
            for row in block.rows:
                yield row.runs
                if row.note:
                    yield row.note
        case Table():
            for line in block.rows:
                yield from line.cells
        case _:
            return


def key_targets(block: Block) -> frozenset[str]:
    """Targets of the first page's numbers."""
    if isinstance(block, KeyNumbers):
        return frozenset(number.target for number in block.numbers if number.target)
    return frozenset()


def anchors(document: ReportDocument) -> frozenset[str]:
    """Every name that a reference of this document can lead to."""
    names = {part.anchor for part in document.parts}
    names |= {section.anchor for part in document.parts for section in part.sections if section.anchor}
    for block in blocks(document):
        if isinstance(block, Table):
            names |= {row.anchor for row in block.rows if row.anchor}
        elif isinstance(block, KeyValues):
            names |= {anchor for anchor in (block.anchor, *(row.anchor for row in block.rows)) if anchor}
        elif isinstance(block, Figure | Plate | Calculation) and block.anchor:
            names.add(block.anchor)
    return frozenset(names)
