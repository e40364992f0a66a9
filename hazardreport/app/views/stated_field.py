"""A field that holds a value or says why there is none, and where on the unit it stands."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAction, QKeySequence, QShortcut
from PySide6.QtWidgets import QLabel, QMenu, QToolButton, QWidget

from hazardreport import wording
from hazardreport.app.views.fields import Field, TextField
from hazardreport.case.stated import Standing, Stated

PRIVATE = "Private: left out of a publication"
PREFIXES = {Standing.UNKNOWN: "Unknown because", Standing.NOT_APPLICABLE: "Not applicable because"}
Entries = Sequence[tuple[str, str]]


class StatedField(Field):
    """A value, or why it is not known or does not apply, with the picture on which it was read and the point there.

    `link_asked` names the picture or point that the person wants to see; `typed` tells each keystroke of a value.
    `may_be_private`: the person can say that it identifies somebody and is left out of a publication.
    """

    link_asked = Signal(str)
    typed = Signal(str)

    def __init__(
        self,
        label: str,
        long: bool = False,
        hint: str = "",
        parent: QWidget | None = None,
        may_be_private: bool = False,
    ) -> None:
        super().__init__(label, parent)
        self._may_be_private = may_be_private
        self._stated = Stated()
        self._pictures: Entries = ()
        self._points: Entries = ()
        self._prefix = QLabel()
        self._prefix.setProperty("role", "faint")
        self._prefix.setContentsMargins(0, 0, 6, 0)
        self._prefix.hide()
        self.text = TextField(label, long=long, hint=hint)
        self.text.entered.connect(self.on_text_entered)
        self.text.edit.textChanged.connect(self.on_typed)
        self._hint = hint
        self.standing = QToolButton()
        self.standing.setText("⋯")
        self.standing.setProperty("role", "plain")
        self.standing.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.standing.setAccessibleName(f"{label}: how this field stands")
        self.standing.setToolTip(wording.sentence("window.stated.menu"))
        self.standing.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self._menu = QMenu(self.standing)
        self._menu.aboutToShow.connect(self.on_menu_about_to_show)
        self.standing.setMenu(self._menu)
        self.setFocusProxy(self.text)
        open_menu = QShortcut(QKeySequence("Alt+Down"), self.text.edit)
        open_menu.setContext(Qt.ShortcutContext.WidgetShortcut)
        open_menu.activated.connect(self.standing.showMenu)
        self._row.addWidget(self._prefix)
        self._row.addWidget(self.text, 1)
        self.seen = QToolButton()
        self.seen.setText("▣")
        self.seen.setProperty("role", "plain")
        self.seen.setProperty("icon-name", "page-pictures")
        self.seen.clicked.connect(lambda: self.link_asked.emit(self._stated.picture))
        self.seen.hide()
        self.at = QToolButton()
        self.at.setProperty("role", "plain")
        self.at.clicked.connect(lambda: self.link_asked.emit(f"point-{self._stated.point}"))
        self.at.hide()
        self.private = QToolButton()
        self.private.setText("Private")
        self.private.setProperty("role", "plain")
        self.private.setProperty("icon-name", "locked")
        self.private.setAccessibleName(f"{label}: private, left out of a publication")
        self.private.setToolTip(wording.sentence("window.stated.take_back"))
        self.private.clicked.connect(lambda: self.choose_private(False))
        self.private.hide()
        self._row.setSpacing(2)
        self._row.addWidget(self.private, 0, Qt.AlignmentFlag.AlignTop)
        self._row.addWidget(self.seen, 0, Qt.AlignmentFlag.AlignTop)
        self._row.addWidget(self.at, 0, Qt.AlignmentFlag.AlignTop)
        self._row.addWidget(self.standing, 0, Qt.AlignmentFlag.AlignTop)

    def show_places(self, pictures: Entries, points: Entries) -> None:
        """Where a value may stand on the unit: pictures as (id, name), points as (letter, description)."""
        self._pictures, self._points = pictures, points

    def on_menu_about_to_show(self) -> None:
        """Fill the menu: the standings, then pictures and points."""
        self._menu.clear()
        for standing, text in (
            (Standing.VALUE, "Value"),
            (Standing.UNKNOWN, "Unknown, because …"),
            (Standing.NOT_APPLICABLE, "Not applicable, because …"),
        ):
            shown = Standing.VALUE if self._stated.standing is Standing.OPEN else self._stated.standing
            self._act(self._menu, text, standing is shown, partial(self.choose_standing, standing))
        self._menu.addSeparator()
        self._offer("Seen on picture", self._pictures, self._stated.picture, self.choose_picture)
        named = [(letter, f"{letter}  {text}".rstrip()) for letter, text in self._points]
        self._offer("Stands at point", named, self._stated.point, self.choose_point)
        if self._may_be_private:
            private = self._stated.private
            self._menu.addSeparator()
            self._act(self._menu, PRIVATE, private, lambda: self.choose_private(not private))

    def _offer(self, title: str, entries: Entries, chosen: str, choose: Callable[[str], None]) -> None:
        menu = self._menu.addMenu(title)
        gone = [(chosen, f"{chosen} (not in this case)")] if chosen and chosen not in dict(entries) else []
        menu.setEnabled(bool(entries or gone))
        self._act(menu, "None", not chosen, lambda: choose(""))
        for key, name in (*entries, *gone):
            self._act(menu, name, key == chosen, partial(choose, key))

    def _act(self, menu: QMenu, text: str, checked: bool, act: Callable[[], None]) -> None:
        action = QAction(text, menu)
        action.setCheckable(True)
        action.setChecked(checked)
        action.triggered.connect(lambda: act())
        menu.addAction(action)

    def choose_standing(self, standing: Standing) -> None:
        """The person says how the field stands; the reason or value is typed next."""
        self._stated = replace(self._stated, standing=standing, text="", reason="")
        self._show_parts()
        self.text.edit.setFocus(Qt.FocusReason.OtherFocusReason)
        if standing is Standing.VALUE:
            self.entered.emit(replace(self._stated, standing=Standing.OPEN))

    def choose_picture(self, id: str) -> None:
        """The person says on which picture the value was read."""
        self._stated = replace(self._stated, picture=id)
        self._tell(self.text.text())

    def choose_point(self, letter: str) -> None:
        """The person says at which lettered point of the unit the value stands."""
        self._stated = replace(self._stated, point=letter)
        self._tell(self.text.text())

    def choose_private(self, private: bool) -> None:
        """The person says whether the field is left out of a publication."""
        self.text.on_done()
        self._stated = replace(self._stated, private=private)
        self._show_parts()
        self.entered.emit(self._stated)
        self.text.edit.setFocus(Qt.FocusReason.OtherFocusReason)

    def on_text_entered(self, text: object) -> None:
        """A value or a reason was typed."""
        self._tell(str(text))

    def on_typed(self) -> None:
        """The text is another one."""
        if self._stated.standing not in PREFIXES:
            self.typed.emit(self.text.text())

    def _tell(self, text: str) -> None:
        if self._stated.standing in PREFIXES:
            stated = replace(self._stated, text="", reason=text)
        else:
            standing = Standing.VALUE if text.strip() else Standing.OPEN
            stated = replace(self._stated, standing=standing, text=text, reason="")
        self._stated = stated
        self._show_parts()
        self.entered.emit(stated)

    def show_value(self, value: object) -> None:
        """Show a stated field; a standing chosen without a reason yet stays as it is."""
        if not isinstance(value, Stated) or value == self._stated:
            return
        if (
            value.standing is Standing.OPEN
            and self._stated.standing in PREFIXES
            and not self._stated.reason
            and self.hasFocusInside()
        ):
            return
        self._stated = value
        self._show_parts()

    def hasFocusInside(self) -> bool:
        """The cursor is in this field."""
        return self.text.edit.hasFocus() or self.standing.hasFocus()

    def _show_parts(self) -> None:
        prefix = PREFIXES.get(self._stated.standing, "")
        self._prefix.setText(prefix)
        self._prefix.setVisible(bool(prefix))
        self.text.edit.setPlaceholderText("why" if prefix else self._hint)
        self.text.edit.setAccessibleName(f"{self.label}, {prefix.lower()}" if prefix else self.label)
        self.text.show_value(self._stated.reason if prefix else self._stated.text)
        self.private.setVisible(self._stated.private)
        self.seen.setVisible(bool(self._stated.picture))
        where = dict(self._pictures).get(self._stated.picture, self._stated.picture)
        self.seen.setToolTip(f"Seen on: {where}")
        self.seen.setAccessibleName(f"{self.label}: show the picture, {where}")
        self.at.setVisible(bool(self._stated.point))
        point = f"{self._stated.point}  {dict(self._points).get(self._stated.point, '')}".rstrip()
        self.at.setText(self._stated.point)
        self.at.setToolTip(f"Stands at point {point}")
        self.at.setAccessibleName(f"{self.label}: show point {point}")
