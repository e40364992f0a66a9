"""The Case menu: packing, publishing, unpacking, anchoring, erasing, and the person's name."""

from collections.abc import Callable, Sequence
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QMenu, QWidget

from hazardreport.app import sealing
from hazardreport.app.desk import Desk
from hazardreport.app.dialogs.author import AuthorDialog
from hazardreport.app.dialogs.recovery import RecoveryDialog
from hazardreport.app.notices import Offer
from hazardreport.app.opening import unpacked_case
from hazardreport.app.preferences import Preferences
from hazardreport.app.saving import file_name_of
from hazardreport.case.case import Case
from hazardreport.errors import UnsavedWorkRecoveredError

if TYPE_CHECKING:
    from hazardreport.app.dialogs.anchor import AnchorWish
    from hazardreport.app.sealing import LogRead
    from hazardreport.case.custody import Anchor
    from hazardreport.case.publication import Published
    from hazardreport.evidence.batch import Taken
    from hazardreport.review.chain import Revision
    from hazardreport.storage.pack import Packed
    from hazardreport.storage.publication import PackedPublication

PACKS = "Packs (*.zip);;All files (*)"


class CaseActions(QObject):
    """Asks by dialogs, works in jobs, tells by notices; changes a case only through the session."""

    def __init__(
        self, desk: Desk, preferences: Preferences, window: QWidget, finish_typing: Callable[[], None]
    ) -> None:
        super().__init__(window)
        self._desk, self._preferences, self._window = desk, preferences, window
        self._finish_typing = finish_typing
        self.recovery: RecoveryDialog | None = None
        self._asked_for_name = False
        self.pack = self._action("&Pack…", self.on_pack_asked)
        self.publish = self._action("Pack for p&ublication…", self.on_publication_asked)
        self.unpack = self._action("U&npack…", self.on_unpack_asked)
        self.anchor = self._action("Record an &anchor…", self.on_anchor_asked)
        self.erase = self._action("&Erase a person…", self.on_erase_asked)
        self.compare = self._action("Compare a &table with its document…", self.on_compare_asked)
        self.name = self._action("&Your name…", self.on_name_asked)
        desk.session.author = preferences.author
        desk.session.opened.connect(self.on_opened)
        desk.session.closed.connect(self.show_possible)
        desk.session.saved.connect(self.on_saved)
        self.show_possible()

    def _action(self, text: str, slot: Callable[[], object]) -> QAction:
        action = QAction(text, self)
        action.triggered.connect(lambda: slot())
        return action

    def add_to(self, menu: QMenu) -> None:
        """Put everything into the Case menu."""
        menu.addActions([self.pack, self.publish, self.unpack])
        menu.addSeparator()
        menu.addActions([self.anchor, self.erase])
        menu.addAction(self.compare)
        menu.addSeparator()
        menu.addAction(self.name)

    def show_possible(self) -> None:
        """What can be done now."""
        session = self._desk.session
        self.pack.setEnabled(session.has_case and session.pack is None)
        self.publish.setEnabled(session.has_case and session.pack is None)
        for action in (self.anchor, self.erase, self.compare):
            action.setEnabled(session.has_case and not session.read_only)

    def on_opened(self, case: Case) -> None:
        """A case is open; work that was recovered is shown."""
        self.show_possible()
        self._asked_for_name = False
        session = self._desk.session
        recovered = any(isinstance(problem, UnsavedWorkRecoveredError) for problem in session.problems)
        if recovered and not session.read_only and session.folder is not None:
            self._desk.jobs.start(
                "recovery", sealing.recovered_changes, session.folder, case, on_result=self._show_recovered
            )

    def _show_recovered(self, found: tuple[Case, tuple[str, ...]]) -> None:
        saved, lines = found
        if not lines or not self._desk.session.has_case:
            return
        self.recovery = RecoveryDialog(lines, self._window)
        self.recovery.finished.connect(lambda: self._on_recovery_over(saved))
        self.recovery.open()

    def _on_recovery_over(self, saved: Case) -> None:
        dialog, self.recovery = self.recovery, None
        if dialog is None:
            return
        if dialog.dropped:
            self._desk.session.edit("Drop Recovered Work", drop_recovered, saved)
        dialog.deleteLater()

    def on_saved(self, case: Case) -> None:
        """Somebody saved: where the log names nobody, the name is asked for, once for each case that is opened."""
        if not self._desk.session.author and not self._asked_for_name:
            self._asked_for_name = True
            self._desk.notices.note("window.author.nobody", offer=Offer.NAME)

    def do(self, offer: Offer) -> None:
        """What a notice offers."""
        {Offer.NAME: self.name, Offer.UNPACK: self.unpack}[offer].trigger()

    def on_name_asked(self) -> None:
        """Ask for the person's name."""
        name = AuthorDialog(self._preferences.author, self._window).ask()
        if name is not None:
            self.set_name(name)

    def set_name(self, name: str) -> None:
        """Whoever saves from now on is this person."""
        self._preferences.author = name
        self._desk.session.author = self._preferences.author
        self._desk.session.author_changed.emit()

    def _saved_folder(self) -> Path | None:
        """The folder of the case with everything saved; None if that was refused, which was told."""
        self._finish_typing()
        session = self._desk.session
        if not session.has_case or session.folder is None:
            return None
        return session.folder if session.read_only or session.save() else None

    def on_pack_asked(self) -> None:
        """Save, offer an anchor, ask for a file, pack."""
        folder = self._saved_folder()
        if folder is not None:
            self._desk.jobs.start("case", sealing.log_read, folder, on_result=self._seal)

    def _seal(self, read: "LogRead") -> None:
        from hazardreport.app.dialogs.sealing import Sealing, SealingDialog

        if read.anchored is not None or not read.chain.revisions or self._desk.session.read_only:
            self._choose_pack()
            return
        last = read.chain.revisions[-1]
        answer = SealingDialog(last.number, last.sha256, self._window).ask()
        if answer is Sealing.ANCHOR:
            self._ask_anchor(read.chain.revisions, self._choose_pack)
        elif answer is Sealing.WITHOUT:
            self._choose_pack()

    def _choose_pack(self) -> None:
        out, overwrite = self._file_to_write("Pack into", "")
        folder = self._desk.session.folder
        if out is not None and folder is not None:
            self._desk.jobs.start(
                "pack", sealing.packed, folder, out, overwrite, controlled=True, on_result=self._on_packed
            )

    def _file_to_write(self, title: str, word: str) -> tuple[Path | None, bool]:
        """The file that was chosen, and whether the person agreed to replace what is there."""
        session = self._desk.session
        name = f"{file_name_of(session.case.id)}{word}-revision-{session.revision}.zip"
        chosen, _ = QFileDialog.getSaveFileName(self._window, title, str(self._preferences.place / name), PACKS)
        if not chosen:
            return None, False
        path = Path(chosen)
        if path.suffix.lower() != ".zip":
            return path.with_name(path.name + ".zip"), False
        return path, True

    def _on_packed(self, made: "Packed") -> None:
        self._desk.notices.note("window.pack.done", path=str(made.path), anchored=made.info.anchored)

    def on_publication_asked(self) -> None:
        """Save, show what a publication leaves out, ask for a file, pack."""
        folder = self._saved_folder()
        if folder is not None:
            self._desk.jobs.start("case", sealing.publication, folder, on_result=self._show_publication)

    def _show_publication(self, found: "Published") -> None:
        from hazardreport.app.cli_publication import about
        from hazardreport.app.dialogs.publication import PublicationDialog

        lines, cautions = about(found, date.today())
        if not PublicationDialog(len(found.originals), lines, cautions, self._window).ask():
            return
        out, overwrite = self._file_to_write("Pack for publication into", "-publication")
        folder = self._desk.session.folder
        if out is not None and folder is not None:
            self._desk.jobs.start(
                "pack", sealing.packed_publication, folder, out, overwrite, on_result=self._on_published
            )

    def _on_published(self, made: "PackedPublication") -> None:
        self._desk.notices.note("window.publication.done", path=str(made.packed.path))

    def on_unpack_asked(self) -> None:
        """Ask for a pack, unless one is open, and for a place; unpack and open it."""
        self._finish_typing()
        pack = self._desk.session.pack
        if pack is None:
            name, _ = QFileDialog.getOpenFileName(self._window, "Unpack", str(self._preferences.place), PACKS)
            if not name:
                return
            pack = Path(name)
        place = QFileDialog.getExistingDirectory(self._window, "Unpack into a new folder in", str(pack.parent))
        if place:
            into = Path(place) / pack.stem
            self._desk.jobs.start("open", unpacked_case, pack, into, on_result=self._desk.session.adopt)

    def on_anchor_asked(self) -> None:
        """Save, then ask whose hands the hash of a revision is in."""
        folder = self._saved_folder()
        if folder is not None:
            then = partial(self._desk.notices.note, "window.sealing.recorded")
            self._desk.jobs.start(
                "case", sealing.log_read, folder, on_result=lambda read: self._ask_anchor(read.chain.revisions, then)
            )

    def _ask_anchor(self, revisions: "Sequence[Revision]", then: Callable[[], object]) -> None:
        from hazardreport.app.dialogs.anchor import AnchorDialog
        from hazardreport.app.pictures_on_disk import take_in_files

        session = self._desk.session
        if not revisions:
            self._desk.notices.note("window.review.no_log")
            return
        wish: AnchorWish | None = AnchorDialog(session.case, revisions, self._window).ask()
        if wish is None or session.folder is None:
            return
        if wish.file is None:
            self._record(wish.anchor, None, then)
        elif self._desk.jobs.busy("pictures"):
            self._desk.notices.note("window.pictures.busy")
        else:
            anchor, place = wish.anchor, sealing.place_for_attachment(session.case, session.folder)
            self._desk.jobs.start(
                "pictures",
                take_in_files,
                (wish.file,),
                place,
                controlled=True,
                on_result=lambda taken: self._record(anchor, taken, then),
            )

    def _record(self, anchor: "Anchor", taken: "Taken | None", then: Callable[[], object]) -> None:
        for error in taken.refused if taken is not None else ():
            self._desk.notices.error(error)
        if taken is not None and taken.refused:
            taken.settled.withdraw()
            return
        session = self._desk.session
        edited = session.edit("Record Anchor", sealing.with_anchor, anchor, taken)
        if edited and session.save():
            if taken is not None:
                taken.settled.done()
            then()
        elif taken is not None and not edited:
            taken.settled.withdraw()

    def on_compare_asked(self) -> None:
        """Ask for the digits of a table as its document prints them."""
        from hazardreport.app.table_comparison import compare_table

        self._finish_typing()
        compare_table(self._desk, "", self._window)

    def on_erase_asked(self) -> None:
        """Save, ask what is to be erased, erase it."""
        folder = self._saved_folder()
        if folder is not None:
            self._desk.jobs.start("case", sealing.log_read, folder, on_result=self._ask_erasing)

    def _ask_erasing(self, read: "LogRead") -> None:
        from hazardreport.app.dialogs.erasing import ErasingDialog
        from hazardreport.review.changes import places_with

        session = self._desk.session
        if not session.has_case:
            return
        authors = dict.fromkeys(revision.author for revision in read.chain.revisions if revision.author)
        wish = ErasingDialog(session.case, tuple(authors), sealing.now()[:10], self._window).ask()
        before = session.revision
        if wish is None or not session.erase(wish):
            return
        if session.revision == before:
            self._desk.notices.note("window.erasing.nothing_found")
        else:
            self._desk.notices.note("window.erasing.done", revision=session.revision)
        left = places_with(session.case, (*wish.words, *wish.authors))
        if left:
            self._desk.notices.note("window.erasing.still_there", places=", ".join(left))


def drop_recovered(case: Case, saved: Case) -> Case:
    """The case as it was saved, in place of what was recovered."""
    return saved
