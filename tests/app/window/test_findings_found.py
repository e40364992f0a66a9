"""What was found: text still being typed is entered where it belongs, whatever is shown next."""

from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from hazardreport.app.pages.findings import FindingsPage
from hazardreport.app.pages.findings_found import FoundPlace
from hazardreport.app.views.fields import TextField
from hazardreport.app.window import Window


def shown(window: Window) -> FoundPlace:
    window.show_page("findings")
    page = window.pages["findings"]
    assert isinstance(page, FindingsPage)
    place = page.show_place("found")
    assert isinstance(place, FoundPlace)
    return place


def being_typed(place: FoundPlace, qtbot: QtBot, name: str) -> None:
    """Keys typed a moment ago, not entered yet."""
    field = place.fields[name]
    assert isinstance(field, TextField)
    field._timer.setInterval(60_000)
    field.edit.setFocus()
    qtbot.keyClicks(field.edit, "Typed just now. ")


WAYS: dict[str, Callable[[FoundPlace], object]] = {
    "revealed": lambda place: place.reveal("finding-002"),
    "chosen": lambda place: place.on_chosen("finding-002"),
    "added": lambda place: place.on_add_clicked(),
}


@pytest.mark.parametrize("name", ["text", "requirement"])
@pytest.mark.parametrize("way", WAYS)
def test_what_is_being_typed_is_entered_before_another_finding_is_shown(
    demo: Window, qtbot: QtBot, way: str, name: str
) -> None:
    place = shown(demo)
    place.on_chosen("finding-001")
    before = demo.desk.session.case.findings
    being_typed(place, qtbot, name)
    assert demo.desk.session.case.findings == before
    WAYS[way](place)

    first, *others = demo.desk.session.case.findings
    assert "Typed just now." in getattr(first, name)
    assert place.current == ("finding-002" if way != "added" else others[-1].id)
    assert not any("Typed just now." in getattr(one, name) for one in others)
    assert place.list.currentRow() == [one.id for one in demo.desk.session.case.findings].index(place.current)
    field = place.fields[name]
    assert isinstance(field, TextField)
    assert "Typed just now." not in field.text()


def test_a_finding_that_cannot_be_added_leaves_the_present_one(demo: Window) -> None:
    place = shown(demo)
    place.on_chosen("finding-002")
    demo.desk.session.read_only = True
    count = len(demo.desk.session.case.findings)
    place.on_add_clicked()

    assert len(demo.desk.session.case.findings) == count
    assert place.current == "finding-002"
