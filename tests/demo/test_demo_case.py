"""The demo case: its script makes the same folder again, its readings are the solver's, nothing real is named."""

import json
import math
import os
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest
from PIL import Image, ImageChops, ImageStat

from hazardreport.addressees.completeness import gaps
from hazardreport.addressees.profiles import profile
from hazardreport.assess.assessment import assess
from hazardreport.case.case import Case
from hazardreport.case.reading import LoadKind, Quantity
from hazardreport.case.stated import Standing, Stated
from hazardreport.quantity.typed import Bound
from hazardreport.readings.number import read_number
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.review.integrity import check_folder
from hazardreport.severity.terms import SignalWord
from hazardreport.storage import layout
from hazardreport.storage.folder import open_case

MAKING = Path(__file__).resolve().parents[1] / "making"


@pytest.fixture(scope="module")
def case() -> Case:
    return open_case(DEMO_CASE, for_writing=False).case


@pytest.fixture(scope="module")
def making() -> ModuleType:
    """The script's own module of readings."""
    sys.path.insert(0, str(MAKING))
    try:
        import demo_readings
    finally:
        sys.path.remove(str(MAKING))
    return demo_readings


def test_the_demo_case_is_whole() -> None:
    assert check_folder(DEMO_CASE).whole


def files_of(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and not layout.is_beside_the_case(path.name)
    }


def test_the_script_makes_the_same_folder_again(tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(MAKING.parents[1]), *sys.path])}

    subprocess.run(
        [sys.executable, str(MAKING / "demo_case.py"), str(tmp_path / "again")],
        check=True,
        timeout=120,
        env=environment,
    )

    again, kept = files_of(tmp_path / "again"), files_of(DEMO_CASE)
    assert sorted(again) == sorted(kept)
    assert [name for name in kept if again[name] != kept[name]] == []


def test_every_reading_is_the_solvers_within_the_meters_accuracy(case: Case, making: ModuleType) -> None:
    compared = 0
    for reading in case.readings:
        result = read_number(reading, case)
        ends = {reading.first, reading.second}
        if result.value is None or result.bound is not Bound.NONE or ends & {"F", "G"}:
            continue
        if reading.quantity is Quantity.RESISTANCE:
            expected = making.ohms(reading.first, reading.second, reading.state.switch)
        elif ends == {"A", "E"}:
            expected = making.volts(reading.state.plug, reading.state.switch, reading.load)
        else:
            expected = 0.0
        limits = result.value.standard_uncertainty * math.sqrt(3.0)
        drift = 4 * making.DRIFT * expected if reading.quantity is Quantity.VOLTAGE else 0.0
        assert abs(result.value.value - expected) <= limits + drift, reading.id
        compared += 1
    assert compared >= 15


def test_no_reading_is_refused(case: Case) -> None:
    for reading in case.readings:
        result = read_number(reading, case)
        assert result.value is not None or result.bound is not Bound.NONE, reading.id
        assert {key for key, _ in result.problems} <= {"no_picture", "earth_by_ohmmeter"}, reading.id


def test_the_readings_hold_a_lamp_and_a_resistor(case: Case) -> None:
    kinds = {reading.load.kind for reading in case.readings}
    assert {LoadKind.NONE, LoadKind.RESISTOR, LoadKind.LAMP} <= kinds


def test_the_picture_of_the_display_shows_the_reading_it_is_tied_to(case: Case, making: ModuleType) -> None:
    tied = [reading for reading in case.readings if reading.picture]
    assert [reading.typed for reading in tied] == ["230.4 V"]
    picture = case.picture(tied[0].picture)
    assert picture is not None
    assert "shows 230.4 V" in picture.description
    assert 'DISPLAY = "230.4"' in (MAKING / "demo_pictures.py").read_text(encoding="utf-8")


def test_the_pictures_are_marked_as_drawings_and_claim_a_time(case: Case) -> None:
    assert len(case.pictures) == 6
    for picture in case.pictures:
        assert picture.illustration
        assert picture.claimed_time.startswith("2026-05-1")
        assert not picture.has_position
        assert picture.caption
        assert picture.description.startswith("Drawing.")
        with Image.open(DEMO_CASE / "pictures" / picture.file) as image:
            assert image.size == (1600, 1200) == (picture.width, picture.height)


@pytest.mark.slow
def test_the_pictures_can_be_drawn_again(case: Case, tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join([str(MAKING.parents[1]), *sys.path])}
    subprocess.run([sys.executable, str(MAKING / "demo_pictures.py"), str(tmp_path)], check=True, env=environment)

    for picture in case.pictures:
        with (
            Image.open(tmp_path / picture.original_name) as drawn,
            Image.open(DEMO_CASE / "pictures" / picture.file) as kept,
        ):
            assert drawn.getexif()[0x010E] == "Illustration, drawn for the demo case"
            difference = ImageStat.Stat(ImageChops.difference(drawn.convert("L"), kept.convert("L")))
            assert difference.mean[0] < 3.0, picture.original_name


def test_points_and_marks_lie_on_their_pictures(case: Case) -> None:
    letters = {point.letter for point in case.points}
    for picture in case.pictures:
        spots = [(p.x, p.y) for p in picture.placements] + [v for mark in picture.marks for v in mark.vertices]
        assert spots
        assert {p.letter for p in picture.placements} <= letters
        assert all(0 <= x < picture.width and 0 <= y < picture.height for x, y in spots)


def test_findings_name_pictures_and_readings_that_exist(case: Case) -> None:
    for finding in case.findings:
        assert all(case.picture(picture) for picture in finding.pictures)
        assert all(case.reading(reading) for reading in finding.readings)


def test_every_field_of_the_unit_is_answered(case: Case) -> None:
    for record in (case.unit, case.occurrence, case.custody, case.submitter):
        for name in record.__dataclass_fields__:
            held = getattr(record, name)
            if isinstance(held, Stated):
                assert held.answered, name
                assert held.standing is not Standing.OPEN


def test_it_is_complete_for_the_maker_and_lacks_two_things_for_the_agency(case: Case) -> None:
    assessment = assess(case)

    assert gaps(case, profile("eu-maker-notice"), assessment) == ()
    missing = gaps(case, profile("us-agency-harm"), assessment)
    assert {state.element.key for state in missing} == {"submitter_category", "consent_to_publication"}


def test_the_readings_tell_one_story_of_danger(case: Case) -> None:
    assessment = assess(case)

    assert assessment.verdict.word is SignalWord.DANGER
    assert assessment.fit is not None
    assert assessment.fit.consistent is True
    assert assessment.next_test is None


def test_addresses_and_numbers_are_those_reserved_for_fiction() -> None:
    text = json.dumps(json.loads((DEMO_CASE / "case.json").read_text(encoding="utf-8")), ensure_ascii=False)

    assert "invented" in text
    for part in text.split():
        if "@" in part or "http" in part:
            assert ".example" in part, part
    assert "+49 30 23125 " in text
