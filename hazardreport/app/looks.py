"""How the window looks: palette, style sheet, font and tinted icons; light or dark as the system asks."""

from dataclasses import dataclass
from string import Template

from PySide6.QtCore import QObject, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QAbstractButton, QApplication, QToolButton, QWidget

from hazardreport.resources_dir import RESOURCES


@dataclass(frozen=True, kw_only=True, slots=True)
class Scheme:
    """Colours of one scheme; text on ground is at least 4.5 : 1, outlines of controls at least 3 : 1."""

    dark: bool
    ground: str
    side: str
    base: str
    raised: str
    text: str
    faint: str
    line: str
    outline: str
    accent: str
    on_accent: str
    wash: str
    problem: str


LIGHT = Scheme(
    dark=False,
    ground="#f5f6f8",
    side="#eaedf1",
    base="#ffffff",
    raised="#ffffff",
    text="#1c2127",
    faint="#555e69",
    line="#d5dae1",
    outline="#858e99",
    accent="#1d5c9e",
    on_accent="#ffffff",
    wash="#e1ebf6",
    problem="#8a3b12",
)
DARK = Scheme(
    dark=True,
    ground="#1b1e23",
    side="#14171b",
    base="#22262d",
    raised="#272c34",
    text="#e7eaee",
    faint="#a9b2bd",
    line="#363d47",
    outline="#808b98",
    accent="#86b9f0",
    on_accent="#10161d",
    wash="#25374b",
    problem="#f0b48c",
)

SHEET = Template("""
* { font-size: ${size}pt; }
QMainWindow, QDialog, QWidget#page, QScrollArea, QScrollArea > QWidget > QWidget { background: $ground; }
QScrollArea { border: none; }
QLabel { background: transparent; }
QLabel[role="title"] { font-size: ${title}pt; font-weight: bold; }
QLabel[role="section"] { font-size: ${section}pt; font-weight: bold; }
QLabel[role="figure"] { font-size: ${figure}pt; font-weight: bold; }
QLabel[role="faint"] { color: $faint; }
QLabel[role="small"] { color: $faint; font-size: ${small}pt; }
QLabel[role="problem"] { color: $problem; font-size: ${small}pt; }
QLabel[role="strong"] { font-weight: bold; }
QFrame#card { background: $raised; border: 1px solid $line; border-radius: 8px; }
QWidget#rail, QWidget#verdict, QWidget#rail QWidget, QScrollArea#verdict > QWidget > QWidget { background: $side; }
QFrame#strip { background: $side; border-top: 1px solid $line; }
QFrame#rule { background: $line; border: none; }
QWidget#plain, QFrame#card QScrollArea > QWidget > QWidget { background: $raised; }
QLineEdit, QPlainTextEdit, QComboBox, QSpinBox {
  background: $base; color: $text; border: 1px solid $outline; border-radius: 4px; padding: 4px 7px; min-height: 20px;
  selection-background-color: $accent; selection-color: $on_accent; }
QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus, QSpinBox:focus { border: 2px solid $accent; padding: 3px 6px; }
QLineEdit:read-only { background: $ground; }
QLineEdit:disabled, QComboBox:disabled, QPlainTextEdit:disabled { color: $faint; border-color: $line; }
QComboBox::drop-down { border: none; width: 22px; }
QComboBox::down-arrow { image: url($chevron); width: 12px; height: 12px; }
QComboBox QAbstractItemView { background: $base; border: 1px solid $outline; selection-background-color: $accent;
  selection-color: $on_accent; outline: none; }
QPushButton, QToolButton { background: $raised; color: $text; border: 1px solid $outline; border-radius: 5px;
  padding: 4px 12px; min-height: 20px; }
QToolButton { padding: 4px 7px; min-width: 20px; }
QPushButton:hover, QToolButton:hover { background: $wash; }
QPushButton:focus, QToolButton:focus { border: 2px solid $accent; padding: 3px 11px; }
QToolButton:focus { padding: 3px 6px; }
QPushButton:pressed, QToolButton:pressed { background: $line; }
QPushButton:checked, QToolButton:checked { background: $accent; color: $on_accent; border-color: $accent; }
QPushButton:checked:focus, QToolButton:checked:focus { border: 2px solid $text; }
QPushButton:disabled, QToolButton:disabled { color: $faint; border-color: $line; background: $ground; }
QPushButton[role="main"] { background: $accent; color: $on_accent; border-color: $accent; font-weight: bold; }
QPushButton[role="main"]:hover { background: $accent; border-color: $text; }
QPushButton[role="main"]:focus { border: 2px solid $text; }
QPushButton[role="main"]:disabled { background: $ground; color: $faint; border-color: $line; }
QPushButton[role="plain"], QToolButton[role="plain"] { background: transparent; border: 1px solid transparent;
  padding: 4px 3px; }
QPushButton[role="plain"]:hover, QToolButton[role="plain"]:hover { background: $wash; }
QPushButton[role="plain"]:checked, QToolButton[role="plain"]:checked { background: $wash; color: $text; }
QPushButton[role="plain"]:focus, QToolButton[role="plain"]:focus { border: 2px solid $accent; padding: 3px 2px; }
QPushButton[role="link"] { background: transparent; border: 1px solid transparent; color: $accent; text-align: left;
  padding: 2px 4px; min-height: 20px; }
QPushButton[role="link"]:hover { background: $wash; }
QPushButton[role="link"]:focus { border: 2px solid $accent; padding: 1px 3px; }
QPushButton[role="link"]:checked { background: $wash; color: $text; }
QPushButton[role="number"] { background: transparent; border: 1px solid transparent; color: $text; padding: 2px 1px;
  text-align: right; border-bottom: 1px dotted $outline; border-radius: 0; }
QPushButton[role="number"]:hover { background: $wash; color: $text; }
QPushButton[role="number"]:focus { border: 2px solid $accent; padding: 1px 0; }
QPushButton[role="number"]:checked { background: $accent; color: $on_accent; border-radius: 4px; }
QPushButton[role="figure-link"] { background: transparent; border: 1px solid transparent; color: $text; padding: 0 3px;
  font-size: ${figure}pt; font-weight: bold; text-align: left; min-height: 28px; }
QPushButton[role="figure-link"]:hover { background: $wash; }
QPushButton[role="figure-link"]:focus { border: 2px solid $accent; padding: 0 2px; }
QToolButton::menu-indicator { image: none; width: 0; }
QCheckBox, QRadioButton { spacing: 8px; min-height: 24px; background: transparent; }
QCheckBox::indicator, QListView::indicator, QTableView::indicator {
  width: 16px; height: 16px; border: 1px solid $outline; border-radius: 3px; background: $base; }
QCheckBox::indicator:checked, QListView::indicator:checked, QTableView::indicator:checked {
  image: url($tick); background: $accent; border-color: $accent; }
QCheckBox:focus { border: 2px solid $accent; border-radius: 4px; }
QTextBrowser { background: $base; color: $text; border: 1px solid $line; border-radius: 6px; padding: 6px 8px; }
QTextBrowser:focus { border: 2px solid $accent; padding: 5px 7px; }
QTableView, QListView, QTreeView, QListWidget { background: $base; alternate-background-color: $ground; color: $text;
  gridline-color: $line; border: 1px solid $line; border-radius: 6px; selection-background-color: $wash;
  selection-color: $text; outline: none; }
QTableView:focus, QListView:focus, QTreeView:focus { border: 2px solid $accent; }
QTableView::item, QListView::item { padding: 4px 6px; }
QTableView::item:focus, QListView::item:focus { border: 2px solid $accent; }
QTableView QLineEdit, QTableView QComboBox { border-radius: 0; padding: 1px 5px; }
QHeaderView { background: $ground; border: none; }
QHeaderView::section { background: $ground; color: $faint; border: none; border-bottom: 1px solid $line;
  padding: 5px 6px; font-size: ${small}pt; }
QTableCornerButton::section { background: $ground; border: none; }
QGraphicsView { background: $side; border: 1px solid $line; border-radius: 6px; }
QGraphicsView:focus { border: 2px solid $accent; }
QTabWidget::pane { border: none; border-top: 1px solid $line; top: -1px; }
QTabBar { background: transparent; }
QTabBar::tab { background: transparent; color: $faint; border: none; border-bottom: 3px solid transparent;
  padding: 7px 4px 5px 4px; margin-right: 18px; }
QTabBar::tab:hover { color: $text; }
QTabBar::tab:selected { color: $text; border-bottom-color: $accent; }
QTabBar::tab:focus { border: 2px solid $accent; border-bottom-width: 3px; padding: 5px 2px 5px 2px; }
QMenuBar { background: $ground; } QMenuBar::item { padding: 5px 9px; background: transparent; }
QMenuBar::item:selected { background: $wash; border-radius: 4px; }
QDialogButtonBox { dialogbuttonbox-buttons-have-icons: 0; }
QMenu { background: $base; border: 1px solid $outline; padding: 4px; }
QMenu::item { padding: 5px 22px 5px 14px; border-radius: 4px; color: $text; }
QMenu::item:selected { background: $accent; color: $on_accent; }
QMenu::item:disabled { color: $faint; } QMenu::separator { height: 1px; background: $line; margin: 4px 8px; }
QSplitter::handle { background: transparent; } QSplitter::handle:hover { background: $line; }
QScrollBar:vertical { background: transparent; width: 12px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 12px; margin: 0; }
QScrollBar::handle { background: $outline; border-radius: 4px; min-height: 28px; min-width: 28px; margin: 2px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QProgressBar { background: $line; border: none; border-radius: 3px; max-height: 6px; }
QProgressBar::chunk { background: $accent; border-radius: 3px; }
QToolTip { background: $base; color: $text; border: 1px solid $outline; padding: 4px; }
""")


class Looks(QObject):
    """Applies a scheme to the application and hands out colours and icons of it."""

    scheme_changed = Signal()

    def __init__(self, application: QApplication) -> None:
        super().__init__(application)
        self._application = application
        self._icons: dict[tuple[str, str, int], QIcon] = {}
        self.scheme = LIGHT
        self.family = _family()

    def follow_system(self) -> None:
        """Take the scheme of the system now and whenever it changes."""
        hints = QGuiApplication.styleHints()
        hints.colorSchemeChanged.connect(self.on_color_scheme_changed)
        self.on_color_scheme_changed()

    def on_color_scheme_changed(self) -> None:
        """The system went light or dark."""
        asked = QGuiApplication.styleHints().colorScheme()
        if asked is Qt.ColorScheme.Unknown:
            dark = QGuiApplication.palette().window().color().lightness() < 128
        else:
            dark = asked is Qt.ColorScheme.Dark
        self.apply(DARK if dark else LIGHT)

    def apply(self, scheme: Scheme, points: float = 0.0) -> None:
        """Palette, font and style sheet of a scheme; `points` is the size of plain text, or 0 for the system's."""
        self.scheme = scheme
        self._icons.clear()
        font = QFont(self.family) if self.family else QFont(self._application.font())
        system = QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont)
        size = points or max(9.5, min(24.0, system.pointSizeF()))
        font.setPointSizeF(size)
        self._application.setStyle("Fusion")
        self._application.setPalette(palette(scheme))
        self._application.setFont(font)
        self._application.setStyleSheet(self._sheet(size))
        self.scheme_changed.emit()

    def _sheet(self, size: float) -> str:
        scheme = self.scheme
        shade = "dark" if scheme.dark else "light"
        fields = {name: str(getattr(scheme, name)) for name in Scheme.__dataclass_fields__}
        return SHEET.substitute(
            fields,
            size=f"{size:.1f}",
            small=f"{size * 0.9:.1f}",
            section=f"{size * 1.2:.1f}",
            title=f"{size * 1.8:.1f}",
            figure=f"{size * 1.6:.1f}",
            chevron=(RESOURCES / "icons" / "window" / f"chevron-{shade}.svg").as_posix(),
            tick=(RESOURCES / "icons" / "window" / f"tick-{shade}.svg").as_posix(),
        )

    def dress(self, widget: QWidget) -> None:
        """Put icons on the buttons below a widget that name one; a button without its icon shows its text."""
        for button in widget.findChildren(QAbstractButton):
            name = button.property("icon-name")
            icon = self.icon(str(name)) if name else QIcon()
            if not icon.isNull():
                button.setIcon(icon)
                if isinstance(button, QToolButton):
                    button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)

    def icon(self, name: str, colour: str = "", side: int = 20) -> QIcon:
        """An icon of resources/icons in the text colour of the scheme; a null icon where there is none."""
        colour = colour or self.scheme.text
        key = (name, colour, side)
        if key not in self._icons:
            self._icons[key] = _tinted(name, colour, self.scheme, side)
        return self._icons[key]


def palette(scheme: Scheme) -> QPalette:
    """The scheme as a palette."""
    result = QPalette()
    role = QPalette.ColorRole
    for entry, colour in (
        (role.Window, scheme.ground),
        (role.WindowText, scheme.text),
        (role.Base, scheme.base),
        (role.AlternateBase, scheme.ground),
        (role.Text, scheme.text),
        (role.Button, scheme.raised),
        (role.ButtonText, scheme.text),
        (role.Highlight, scheme.accent),
        (role.HighlightedText, scheme.on_accent),
        (role.ToolTipBase, scheme.base),
        (role.ToolTipText, scheme.text),
        (role.PlaceholderText, scheme.faint),
        (role.Link, scheme.accent),
        (role.Mid, scheme.outline),
        (role.Accent, scheme.accent),
    ):
        result.setColor(entry, QColor(colour))
    for entry in (role.WindowText, role.Text, role.ButtonText):
        result.setColor(QPalette.ColorGroup.Disabled, entry, QColor(scheme.faint))
    return result


def _family() -> str:
    families = ""
    for path in sorted((RESOURCES / "fonts").glob("*.ttf")):
        number = QFontDatabase.addApplicationFont(str(path))
        names = QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
        if names and path.stem.startswith("Arimo"):
            families = names[0]
    return families


def _tinted(name: str, colour: str, scheme: Scheme, side: int) -> QIcon:
    path = RESOURCES / "icons" / f"{name}.svg"
    if not path.is_file():
        return QIcon()
    renderer = QSvgRenderer(str(path))
    icon = QIcon()
    for mode, state, tint in (
        (QIcon.Mode.Normal, QIcon.State.Off, colour),
        (QIcon.Mode.Normal, QIcon.State.On, colour),
        (QIcon.Mode.Disabled, QIcon.State.Off, scheme.outline),
    ):
        for scale in (1, 2):
            pixmap = QPixmap(QSize(side * scale, side * scale))
            pixmap.setDevicePixelRatio(scale)
            pixmap.fill(Qt.GlobalColor.transparent)
            painter = QPainter(pixmap)
            renderer.render(painter)
            painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceIn)
            painter.fillRect(pixmap.rect(), QColor(tint))
            painter.end()
            icon.addPixmap(pixmap, mode, state)
    return icon
