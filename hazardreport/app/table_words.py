"""What is typed into a sheet or the window when a table of words is compared."""

from hazardreport import wording
from hazardreport.standards.tables import Table


def words_to_type(held: Table) -> str:
    """Which words stand for the cells of a table, as a sentence; "" if its cells are typed as printed."""
    if not held.spellings:
        return ""
    words = ", ".join(wording.sentence("cli.confirm_table.word", cell=cell, word=word) for cell, word in held.spellings)
    return wording.sentence("cli.confirm_table.words", words=words)
