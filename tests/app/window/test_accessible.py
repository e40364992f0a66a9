"""Names for assistive technology, sizes of targets, contrast, focus, both schemes."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QColor
from PySide6.QtWidgets import QAbstractButton, QApplication, QComboBox, QLineEdit, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from hazardreport.app.looks import DARK, LIGHT, Scheme
from hazardreport.app.views.rail import PageState
from hazardreport.app.window import Window

PAGES = ("unit", "pictures", "readings", "severity", "findings", "report", "review")


def luminance(colour: str) -> float:
    parts = [value / 255 for value in QColor(colour).getRgb()[:3]]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, two: str) -> float:
    light, dark = sorted((luminance(one), luminance(two)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def controls(window: Window) -> list[QWidget]:
    kinds = (QAbstractButton, QComboBox, QLineEdit, QPlainTextEdit)
    found = [widget for kind in kinds for widget in window.findChildren(kind)]
    return [
        widget
        for widget in found
        if widget.isVisible()
        and not widget.objectName().startswith("qt_")
        and not isinstance(widget.parent(), QComboBox)
    ]


@pytest.mark.parametrize("page", PAGES)
def test_every_control_has_a_name_and_a_target_of_24_pixels(demo: Window, qtbot: QtBot, page: str) -> None:
    demo.show_page(page)
    QApplication.processEvents()
    nameless, small = [], []
    for widget in controls(demo):
        if type(widget).__name__ == "QTableCornerButton":
            continue
        interface = QAccessible.queryAccessibleInterface(widget)
        if not interface.text(QAccessible.Text.Name).strip():
            nameless.append(f"{type(widget).__name__} {widget.objectName()}")
        if min(widget.width(), widget.height()) < 24:
            small.append(f"{interface.text(QAccessible.Text.Name)} {widget.width()}x{widget.height()}")

    assert nameless == []
    assert small == []


@pytest.mark.parametrize("scheme", [pytest.param(LIGHT, id="light"), pytest.param(DARK, id="dark")])
def test_text_and_outlines_stand_out(scheme: Scheme) -> None:
    for ground in (scheme.ground, scheme.side, scheme.base, scheme.raised, scheme.wash):
        assert contrast(scheme.text, ground) >= 4.5
        assert contrast(scheme.faint, ground) >= 4.5
    for ground in (scheme.ground, scheme.side, scheme.base, scheme.raised):
        assert contrast(scheme.problem, ground) >= 4.5
        assert contrast(scheme.accent, ground) >= 4.5
    for ground in (scheme.base, scheme.ground, scheme.raised):
        assert contrast(scheme.outline, ground) >= 3.0
    assert contrast(scheme.on_accent, scheme.accent) >= 4.5


def test_the_state_of_a_page_is_in_its_name(demo: Window) -> None:
    demo.rail.show_state("unit", PageState.ATTENTION, "1 thing to mend")

    assert demo.rail.buttons["unit"].accessibleName() == "Unit, needs attention"


def test_tab_reaches_every_field_of_the_unit_page(demo: Window, qtbot: QtBot) -> None:
    demo.show_page("unit")
    page = demo.pages["unit"]
    wanted = {id(edit) for edit in page.findChildren(QLineEdit) if edit.isVisible() and edit.isEnabled()}
    page.setFocus()
    demo.rail.buttons["review"].setFocus()
    reached: set[int] = set()
    for _ in range(600):
        demo.focusNextChild()
        focused = QApplication.focusWidget()
        if focused is None or id(focused) in reached:
            continue
        reached.add(id(focused))

    assert wanted <= reached


def test_large_text_loses_no_control(demo: Window, qtbot: QtBot) -> None:
    demo.desk.looks.apply(LIGHT, 20.0)
    demo.show_page("readings")
    QApplication.processEvents()
    page = demo.pages["readings"]

    for button in page.findChildren(QAbstractButton):
        if button.isVisible() and button.text() and button.focusPolicy() != Qt.FocusPolicy.NoFocus:
            assert button.width() >= button.minimumSizeHint().width()
    demo.desk.looks.apply(LIGHT)
