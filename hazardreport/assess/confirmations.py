"""What readers of the documents confirmed for a case, and what they read otherwise than the program has it."""

from collections.abc import Iterator

from hazardreport.assess.records import ConfirmedTable, Problem
from hazardreport.case.case import Case
from hazardreport.standards.confirmed import CellDifference, Comparison, comparisons, second_reader
from hazardreport.standards.tables import Table, table_as_filed
from hazardreport.wording import sentence

LISTED = 6
"""So many differing cells are listed one by one."""


def confirmed_tables(case: Case) -> tuple[ConfirmedTable, ...]:
    """The confirmations of the case that count, each with its reader and how many cells agree, in their order."""
    return tuple(_confirmed(one) for one in comparisons(case.confirmations) if not one.not_counted)


def confirmation_problems(case: Case) -> tuple[Problem, ...]:
    """Digits that differ, confirmations that do not count, rows that fit no row of the table."""
    return tuple(problem for one in comparisons(case.confirmations) for problem in _problems(one))


def cell_text(held: Table, cell: CellDifference) -> str:
    """One differing cell in words: its row, its column, what the program has and what was read."""
    units = [f" {unit}" if unit not in ("text", "1") else "" for _, unit in held.arguments]
    row = ", ".join(f"{text}{unit}" for text, unit in zip(cell.arguments, units, strict=True))
    key = "assess.confirmation.cell" if row else "assess.confirmation.cell_of_one_row"
    column = cell.column.replace("_", " ")
    word = dict(held.spellings).get(cell.held)
    ours = f"{cell.held} ({word})" if word else cell.held or "\u2013"
    return sentence(key, row=row, column=column, held=ours, read=cell.read.strip())


def _confirmed(one: Comparison) -> ConfirmedTable:
    held, given = table_as_filed(one.standard, one.name), one.confirmation
    return ConfirmedTable(
        confirmation=given.id,
        key=held.citation.key,
        table=held.citation.table,
        edition=given.edition,
        page=given.page,
        reader=given.name,
        day=given.day,
        second_reader=second_reader(given),
        second_day=given.second_day if second_reader(given) else "",
        agreeing=len(one.agreeing),
        cells=one.cells,
    )


def _problems(one: Comparison) -> Iterator[Problem]:
    given = one.confirmation
    named = (("table", given.table), ("name", given.name), ("edition", given.edition), ("page", given.page))

    def problem(key: str, *fields: tuple[str, str]) -> Problem:
        return Problem(key=f"confirmation_{key}", kind="confirmation", id=given.id, fields=(*named, *fields))

    if one.not_counted:
        yield problem(one.not_counted)
    if one.unfit:
        rows = "; ".join(f"{row.number} ({sentence(f'assess.confirmation.row_{row.why}')})" for row in one.unfit)
        yield problem("rows", ("rows", rows))
    if one.differing:
        held = table_as_filed(one.standard, one.name)
        cells = "; ".join(cell_text(held, cell) for cell in one.differing[:LISTED])
        more = len(one.differing) - LISTED
        if more > 0:
            cells = sentence("assess.confirmation.more", cells=cells, count=more)
        yield problem("differs", ("cells", cells), ("count", str(len(one.differing))))
