"""Icons: our own, of one stroke colour that the window puts in."""

from pathlib import Path
from xml.etree import ElementTree

import pytest

from hazardreport.resources_dir import RESOURCES

ICONS = sorted((RESOURCES / "icons").glob("*.svg"))
PAGES = ("unit", "pictures", "readings", "severity", "findings", "report", "review")


@pytest.mark.parametrize("path", ICONS, ids=lambda path: path.stem)
def test_an_icon_has_one_colour_that_can_be_exchanged(path: Path) -> None:
    root = ElementTree.fromstring(path.read_text(encoding="utf-8"))
    assert root.attrib["viewBox"] == "0 0 24 24"
    colours = {value for element in root.iter() for name, value in element.attrib.items() if name in {"fill", "stroke"}}
    assert colours <= {"none", "currentColor"}


def test_every_page_and_state_has_its_icon() -> None:
    stems = {path.stem for path in ICONS}
    assert {f"page-{page}" for page in PAGES} <= stems
    assert {f"state-{state}" for state in ("empty", "begun", "complete", "attention")} <= stems
