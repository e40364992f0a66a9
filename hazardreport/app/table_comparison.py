"""Asks for a comparison of a table with its document, and keeps it in the case."""

from datetime import datetime

from PySide6.QtWidgets import QWidget

from hazardreport.app.desk import Desk
from hazardreport.app.dialogs.compare_table import CompareTableDialog
from hazardreport.case import edits


def compare_table(desk: Desk, key: str, parent: QWidget) -> None:
    """Ask about the table "<standard>/<table>", or the first one; each comparison that is kept is one step of undo."""
    session = desk.session
    if not session.has_case:
        return
    if session.read_only:
        desk.notices.note("window.read_only")
        return
    today = datetime.now().astimezone().date().isoformat()
    dialog = CompareTableDialog(session.case, key, today, session.author, parent)
    wishes = dialog.ask()
    dialog.deleteLater()
    for wish in wishes:
        given = wish.confirmation
        known = any(one.id == given.id for one in session.case.confirmations)
        if wish.remove:
            session.edit("Remove Comparison of a Table", edits.remove_confirmation, given.id)
        elif known:
            session.edit("Change Comparison of a Table", edits.change_confirmation, given)
        else:
            session.edit("Compare a Table", edits.add_confirmation, given)
