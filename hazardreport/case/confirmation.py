"""A person who holds a document confirms a table of the program: the digits as that person read them."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class TableConfirmation:
    """The digits of one table as read from the document.

    id            "confirmation-001"
    table         "<standard>/<table>" of resources/standards
    sha256        of the table's file when it was compared
    edition, page of the document
    name, day     who read it, when (ISO)
    second_reader, second_day   who compared it again, when; "" if nobody
    rows          cells as read, in the order of the table's columns; "" for a cell that was not compared
    note          what else was seen: corrigenda, footnotes
    """

    id: str
    table: str
    sha256: str = ""
    edition: str = ""
    page: str = ""
    name: str = ""
    day: str = ""
    second_reader: str = ""
    second_day: str = ""
    rows: tuple[tuple[str, ...], ...] = ()
    note: str = ""
