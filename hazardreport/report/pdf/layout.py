"""Blocks of the document as flowables, on two axes: labels and full-width things at the margin, text on the axis."""

from collections.abc import Callable, Iterable

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, HRFlowable, KeepTogether, Spacer, Table, TableStyle

from hazardreport.figures.signal import signal_panel
from hazardreport.figures.text_width import Face
from hazardreport.report.document import (
    Beside,
    Block,
    Calculation,
    CalculationInput,
    Column,
    Figure,
    Items,
    KeyNumbers,
    KeyValue,
    KeyValues,
    Missing,
    Part,
    Plate,
    Reference,
    Runs,
    Section,
    SignalPanel,
    SignatureLine,
)
from hazardreport.report.document import Paragraph as Text
from hazardreport.report.document import Table as TableBlock
from hazardreport.report.pdf import styles
from hazardreport.report.pdf.flowables import (
    AlignedNumber,
    Bookmark,
    PaintedFigure,
    WritingLines,
    at_decimal,
    set_width,
)
from hazardreport.report.pdf.flowables import OnceWrapped as Paragraph
from hazardreport.report.pdf.text import markup, pieces_of, plain, symbols

PANEL_HEIGHT = 17.0
ONE_LINE = 76
LINES_OF_A_ROW = 50
WIDEST_LETTER = 8.5
BOX_SHARES = (0.3, 0.24, 0.46)
GAP = "\u2003"
ARROW = "\u2192"
Stack = list[Flowable]
FACE_OF_CELLS = ("FONT", (0, 0), (-1, -1), Face.REGULAR.value)
PLAIN_TABLE = [
    FACE_OF_CELLS,
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
]

WORKED_SHARE = 0.3
WORKED_TABLE = TableStyle(
    [
        *PLAIN_TABLE,
        ("RIGHTPADDING", (0, 0), (0, 0), 8),
        ("TOPPADDING", (0, 0), (-1, -1), 1.2),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ("LINEABOVE", (0, 0), (-1, 0), 0.3, styles.LINE),
    ]
)


class Layout:
    """Turns blocks into flowables for one width of text.

    width     of the text [pt]
    name_of   from an anchor to the name of its destination; "" if the document does not have it
    pictures  from the id of a picture to the bytes of its derived picture
    word      from a key to a word that the drawing needs
    """

    def __init__(
        self,
        width: float,
        name_of: Callable[[str], str],
        pictures: Callable[[str], bytes],
        word: Callable[[str], str],
    ) -> None:
        self.width, self.name_of, self.pictures, self.word = width, name_of, pictures, word

    def part(self, part: Part) -> Stack:
        """A part with its heading."""
        stack: Stack = []
        front = part.number == 1
        if not front:
            rule = HRFlowable("100%", 1.1, color=styles.INK, spaceBefore=12, spaceAfter=0)
            stack += [CondPageBreak(70 * mm), rule]
        stack.append(Bookmark(self.name_of(part.anchor), f"{part.number}  {part.title}", 0, listed=not front))
        if not front:
            stack.append(_hung(str(part.number), plain(part.title, bold=True, base=Face.BOLD), self.width))
        for section in part.sections:
            stack += self.section(section, part, front=front)
        return stack

    def section(self, section: Section, part: Part, *, front: bool) -> Stack:
        """A section with its heading."""
        stack: Stack = []
        if section.title:
            style = styles.FIRST_SECTION if front else styles.SECTION
            stack += [] if front else [CondPageBreak(_room(section) * mm)]
            name = self.name_of(f"{part.anchor}/{section.title}")
            stack.append(Bookmark(name, section.title, 1))
            stack.append(Paragraph(plain(section.title, bold=True, base=Face.BOLD), style))
        for block in section.blocks:
            stack += self.block(block, front=front, width=self.width)
        return stack

    def block(self, block: Block, *, front: bool, width: float) -> Stack:
        """One block."""
        match block:
            case Text():
                return self._text(block, front)
            case Items():
                return self._items(block, front)
            case KeyValues():
                return self._key_values(block, width)
            case TableBlock():
                return self._table(block)
            case Figure() | Plate():
                return self._figure(block, front)
            case SignalPanel():
                return self._panel(block)
            case KeyNumbers():
                return self._key_numbers(block, width)
            case Calculation():
                return self._calculation(block)
            case Missing():
                row = KeyValue(label=self.word("missing"), runs=(f"{block.what}: {block.why}",), known=False)
                return self._key_values(KeyValues(rows=(row,)), width)
            case Beside():
                return self._beside(block, front)
            case SignatureLine():
                return [WritingLines(plain(block.place), plain(block.name))]

    def _markup(self, given: Runs, *, bold: bool = False, italic: bool = False) -> str:
        return markup(given, self.name_of, bold=bold, italic=italic)

    def _text(self, block: Text, front: bool) -> Stack:
        full = {"body": styles.FULL_BODY, "strong": styles.FULL_STRONG, "small": styles.FULL_SMALL, "lead": styles.LEAD}
        on_axis = {"body": styles.BODY, "strong": styles.STRONG, "small": styles.SMALL, "lead": styles.LEAD}
        style = (full if front else on_axis)[block.role]
        bold = block.role == "strong"
        return [Paragraph(self._markup(piece, bold=bold), style) for piece in pieces_of(block.runs)]

    def _items(self, block: Items, front: bool) -> Stack:
        style = styles.FULL_ITEM if front else styles.ITEM
        return [
            Paragraph(self._markup(piece), style, bulletText=_bullet(block, place) if first == 0 else None)
            for place, item in enumerate(block.items, start=1)
            for first, piece in enumerate(pieces_of(item))
        ]

    def _cell(self, given: Runs, known: bool) -> Stack:
        style = styles.VALUE if known else styles.UNKNOWN
        return [Paragraph(self._markup(piece, italic=not known), style) for piece in pieces_of(given)]

    def _key_values(self, block: KeyValues, width: float) -> Stack:
        if block.boxed:
            return self._box(block, width)
        rows = []
        for row in block.rows:
            value = self._with_note(row)
            label: Stack = [Paragraph(plain(row.label), styles.LABEL)]
            rows.append([[Bookmark(self.name_of(row.anchor)), *label] if row.anchor else label, value])
        axis = styles.AXIS if width == self.width else width * 0.3
        table = Table(
            rows,
            colWidths=[axis, width - axis],
            splitInRow=_tall(((*row.runs, *row.note), width - axis) for row in block.rows),
        )
        table.setStyle(
            [
                FACE_OF_CELLS,
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (0, -1), 6),
                ("RIGHTPADDING", (1, 0), (1, -1), 0),
                ("TOPPADDING", (0, 0), (-1, -1), 1.7),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2.3),
                ("LINEBELOW", (0, 0), (-1, -1), 0.35, styles.LINE),
            ]
        )
        stack: Stack = []
        if block.anchor:
            stack.append(Bookmark(self.name_of(block.anchor)))
        if block.title:
            stack.insert(0, CondPageBreak(35 * mm))
            stack.append(Paragraph(plain(block.title, bold=True, base=Face.BOLD), styles.CAPTION))
        return [*stack, table, Spacer(1, 6)]

    def _with_note(self, row: KeyValue) -> Stack:
        """A value with its note: behind it if both are short, else below it."""
        if row.note and len(_words(row.runs)) + len(_words(row.note)) < ONE_LINE:
            small = f'<font size="{styles.NOTE.fontSize}">{self._markup(row.note)}</font>'
            words = self._markup(row.runs, italic=not row.known)
            return [Paragraph(f"{words}{GAP}{small}", styles.VALUE if row.known else styles.UNKNOWN)]
        value = self._cell(row.runs, row.known)
        if not row.note:
            return value
        return [*value, *(Paragraph(self._markup(piece), styles.NOTE) for piece in pieces_of(row.note))]

    def _box(self, block: KeyValues, width: float) -> Stack:
        cells = [[Paragraph(plain(row.label), styles.LABEL), *self._cell(row.runs, row.known)] for row in block.rows]
        columns = len(BOX_SHARES)
        lines = [cells[start : start + columns] for start in range(0, len(cells), columns)]
        lines[-1] += [[] for _ in range(columns - len(lines[-1]))]
        table = Table(lines, colWidths=[width * share for share in BOX_SHARES], splitInRow=1)
        table.setStyle(
            [
                FACE_OF_CELLS,
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("BACKGROUND", (0, 0), (-1, -1), styles.GROUND),
                ("LEFTPADDING", (0, 0), (-1, -1), 7),
                ("RIGHTPADDING", (0, 0), (-1, -1), 7),
                ("TOPPADDING", (0, 0), (-1, -1), 2.5),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
                ("INNERGRID", (0, 0), (-1, -1), 2, styles.WHITE),
            ]
        )
        return [Spacer(1, 3), table, Spacer(1, 2)]

    def _table(self, block: TableBlock) -> Stack:
        shares = sum(column.share for column in block.columns)
        widths = [self.width * column.share / shares for column in block.columns]
        aligned = [self._decimal_place(block, place, width) for place, width in enumerate(widths)]
        tall = _tall((runs, widths[place] - 6) for row in block.rows for place, runs in enumerate(row.cells))
        head = [Paragraph(_head(column), styles.HEAD) for column in block.columns]
        body = [
            [
                self._table_cell(runs, aligned[place], row.strong, row.anchor if place == 0 else "")
                for place, runs in enumerate(row.cells)
            ]
            for row in block.rows
        ]
        table = Table(
            [head, *body],
            colWidths=widths,
            repeatRows=1,
            splitInRow=tall,
        )
        table.setStyle(
            [
                FACE_OF_CELLS,
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 6),
                ("TOPPADDING", (0, 0), (-1, -1), 2.4),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 2.6),
                ("LINEABOVE", (0, 0), (-1, 0), 0.8, styles.INK),
                ("LINEBELOW", (0, 0), (-1, 0), 0.5, styles.INK),
                ("LINEBELOW", (0, 1), (-1, -1), 0.3, styles.LINE),
                ("LINEBELOW", (0, -1), (-1, -1), 0.8, styles.INK),
            ]
        )
        caption = Paragraph(plain(block.caption, bold=True, base=Face.BOLD), styles.CAPTION)
        need = min(_height(head, widths) + (_height(body[0], widths) if body else 0.0) + 10 * mm, 90 * mm)
        stack: Stack = [CondPageBreak(max(need, 28 * mm)), caption, table]
        stack += [Spacer(1, 2), Paragraph(plain(block.note), styles.FULL_SMALL)] if block.note else [Spacer(1, 3)]
        return [*stack, Spacer(1, 5)]

    def _decimal_place(self, block: TableBlock, place: int, width: float) -> float | None:
        """Room before the decimal sign of a numeric column; None where a cell is too wide for one line."""
        if not block.columns[place].numeric:
            return None
        size = styles.CELL.fontSize
        halves = [at_decimal(_words(row.cells[place])) for row in block.rows if _numeric(row.cells[place])]
        before = max((set_width(head, size, bold=True) for head, _ in halves), default=0.0)
        after = max((set_width(tail, size, bold=True) for _, tail in halves), default=0.0)
        return before if before + after <= width - 6 else None

    def _table_cell(self, given: Runs, decimal: float | None, strong: bool, anchor: str) -> Stack:
        if decimal is not None and _numeric(given):
            run = given[0]
            name = self.name_of(run.target) if isinstance(run, Reference) else ""
            return [AlignedNumber(_words(given), decimal, name, bold=strong)]
        style = styles.CELL_STRONG if strong else styles.CELL
        stack: Stack = [Paragraph(self._markup(piece, bold=strong), style) for piece in pieces_of(given)]
        return [Bookmark(self.name_of(anchor)), *stack] if anchor else stack

    def _figure(self, block: Figure | Plate, front: bool) -> Stack:
        figure = PaintedFigure(block.drawing, self.pictures, self.name_of(block.anchor) if block.anchor else "")
        caption = Paragraph(plain(block.caption), styles.FIGURE_CAPTION)
        return [figure, caption] if front else [KeepTogether([Spacer(1, 4), figure, caption])]

    def _panel(self, block: SignalPanel) -> Stack:
        wide = 62 * mm
        panel = PaintedFigure(signal_panel(block.word, wide / mm, PANEL_HEIGHT), self.pictures)
        words = [
            Paragraph(plain(block.subject, bold=True, base=Face.BOLD), styles.KEY_VALUE),
            Paragraph(plain(block.meaning), styles.KEY_LABEL),
        ]
        table = Table([[panel, words]], colWidths=[wide + 5 * mm, self.width - wide - 5 * mm], splitInRow=1)
        table.setStyle([*PLAIN_TABLE, ("VALIGN", (0, 0), (-1, -1), "MIDDLE")])
        return [table, Spacer(1, 6)]

    def _key_numbers(self, block: KeyNumbers, width: float) -> Stack:
        rows = []
        for number in block.numbers:
            runs: Runs = (Reference(target=number.target, text=number.value),) if number.target else (number.value,)
            rows.append(
                [
                    [
                        Paragraph(markup(runs, lambda _: "", bold=True), styles.KEY_VALUE),
                        Paragraph(plain(number.label), styles.KEY_LABEL),
                        Paragraph(self._note(number.note, number.target), styles.KEY_NOTE),
                    ]
                ]
            )
        table = Table(rows, colWidths=[width], splitInRow=1)
        table.setStyle(
            [
                *PLAIN_TABLE,
                ("TOPPADDING", (0, 0), (-1, -1), 2),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 3.2),
                ("LINEABOVE", (0, 0), (-1, -1), 0.4, styles.LINE),
            ]
        )
        return [table]

    def _note(self, note: str, target: str) -> str:
        return markup((Reference(target=target, text=note, quiet=True),) if target else (note,), self.name_of)

    def _calculation(self, block: Calculation) -> Stack:
        """In small print: what it is at the left; equation with its inputs, then result and sources at the right."""
        equals = " = "
        small = f'<font size="{styles.WORKED_SOURCE_SIZE}" color="{styles.GREY.hexval()}">'
        result = plain(block.guarded)
        if block.result != block.guarded:
            result += f" {plain(ARROW)} {plain(block.result, bold=True)}"
        sources = f"{GAP}{small}{plain('; '.join(block.sources))}</font>"
        symbol = symbols(block.symbol)
        if block.inputs:
            inputs = ", ".join(symbols(one.symbol) + equals + self._input(one) for one in block.inputs)
            worked = f"{symbol}{equals}{symbols(block.equation)}{GAP}{plain(self.word('inputs'))} {inputs}<br/>"
            worked += f"{symbol}{equals}{result}{sources}"
        else:
            worked = f"{symbol}{equals}{result} ({plain(block.equation)}){sources}"
        cells = [[Paragraph(plain(block.name), styles.WORKED_NAME), Paragraph(worked, styles.WORKED)]]
        left = WORKED_SHARE * self.width
        table = Table(cells, colWidths=[left, self.width - left], splitInRow=1)
        table.setStyle(WORKED_TABLE)
        return [Bookmark(self.name_of(block.anchor)), table]

    def _input(self, one: CalculationInput) -> str:
        return markup((Reference(target=one.target, text=one.value, quiet=True),), self.name_of)

    def _beside(self, block: Beside, front: bool) -> Stack:
        gap = 6 * mm
        left = self.width * block.share
        right = self.width - left - gap
        cells = [
            [flowable for inner in block.left for flowable in self.block(inner, front=front, width=left)],
            [],
            [flowable for inner in block.right for flowable in self.block(inner, front=front, width=right)],
        ]
        table = Table([cells], colWidths=[left, gap, right], splitInRow=1)
        table.setStyle(PLAIN_TABLE)
        return [table]


def _room(section: Section) -> float:
    """Room that a section's heading needs below it, so that it does not stand alone. [mm]"""
    first = section.blocks[0] if section.blocks else None
    second = section.blocks[1] if len(section.blocks) > 1 else None
    for block, extra in ((first, 24.0), (second, 44.0)):
        if isinstance(block, Figure | Plate):
            return block.drawing.height + extra
    return 64.0 if isinstance(second, TableBlock) else 42.0


def _height(cells: Iterable[Flowable | Stack], widths: list[float]) -> float:
    """Height of a row of a table. [pt]"""
    heights = (
        sum(flowable.wrap(width - 6, 10_000.0)[1] for flowable in (cell if isinstance(cell, list) else [cell]))
        for cell, width in zip(cells, widths, strict=True)
    )
    return max(heights, default=0.0) + 5.0


def _hung(number: str, title: str, width: float) -> Table:
    cells = [[Paragraph(number, styles.PART), Paragraph(title, styles.PART)]]
    table = Table(cells, colWidths=[styles.AXIS, width - styles.AXIS])
    table.setStyle([*PLAIN_TABLE, ("TOPPADDING", (0, 0), (-1, -1), 4), ("BOTTOMPADDING", (0, 0), (-1, -1), 5)])
    return table


def _bullet(block: Items, place: int) -> str:
    return f"{place}." if block.numbered else "\u2013"


def _head(column: Column) -> str:
    title = symbols(column.title) if column.title in {"U0", "Isc", "|Zs|"} else plain(column.title)
    return f"{title}, {plain(column.unit)}" if column.unit else title


def _words(given: Runs) -> str:
    return "".join(run.text if isinstance(run, Reference) else run for run in given)


def _tall(cells: Iterable[tuple[Runs, float]]) -> int:
    """Whether some cell of that width may fill a page, so that its row must be allowed to break."""
    return int(any(_most_lines(_words(cell), width) > LINES_OF_A_ROW for cell, width in cells))


def _most_lines(text: str, width: float) -> float:
    return text.count("\n") + len(text) * WIDEST_LETTER / width


def _numeric(given: Runs) -> bool:
    return len(given) == 1 and any(character.isdigit() for character in _words(given))
