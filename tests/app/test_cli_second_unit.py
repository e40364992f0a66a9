"""A second unit (120 V, two cores, fault in the middle of the element) goes through the command line alone."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

Answered = Callable[..., Any]
MATERIAL = Path(__file__).resolve().parents[1] / "material" / "glue-pot"


@pytest.fixture
def glue_pot(answered: Answered, tmp_path: Path) -> Path:
    """The case, made by commands only."""
    folder = tmp_path / "glue-pot"
    assert answered("new", folder).code == 0
    assert answered("import-unit", folder, MATERIAL / "unit.toml").code == 0
    answer = answered("import-readings", folder, MATERIAL / "readings.csv")
    assert answer.code == 0
    assert answer.out.startswith("14 readings were added")
    return folder


def numbers(assessment: dict[str, Any]) -> dict[str, float | None]:
    return {number["id"]: number["measured"]["value"] for number in assessment["trace"]}


def test_the_fitted_network_is_the_one_behind_the_readings(answered: Answered, glue_pot: Path) -> None:
    assessment = json.loads(answered("assess", glue_pot, "--json").out)["assessment"]

    value = numbers(assessment)
    fitted = {parameter["symbol"]: value[parameter["number"]] for parameter in assessment["fit"]["parameters"]}
    assert fitted["U"] == pytest.approx(121.0, rel=0.01)
    assert fitted["Re"] == pytest.approx(48.0, rel=0.03)
    assert fitted["x"] == pytest.approx(0.5, abs=0.02)
    assert fitted["Rf"] == pytest.approx(800.0, rel=0.01)
    assert assessment["fit"]["consistent"] is True


def test_half_the_voltage_with_the_switch_on_and_all_of_it_with_the_switch_off(
    answered: Answered, glue_pot: Path
) -> None:
    assessment = json.loads(answered("assess", glue_pot, "--json").out)["assessment"]

    value = numbers(assessment)
    volts = {cell["state"]: value.get(cell["open_circuit_voltage"]) for cell in assessment["states"]}
    assert volts["reversed-off"] == pytest.approx(121.0, rel=0.02)
    assert volts["straight-on"] == pytest.approx(60.5, rel=0.03)
    assert volts["reversed-on"] == pytest.approx(60.5, rel=0.03)
    assert volts["straight-off"] == pytest.approx(0.0, abs=0.5)
    assert assessment["verdict"]["word"] == "WARNING"


def test_it_is_complete_for_the_agency_and_exported_on_letter(
    answered: Answered, glue_pot: Path, tmp_path: Path
) -> None:
    assert answered("check", glue_pot, "--for", "us-agency-harm").code == 0

    answer = answered("export", glue_pot, "--for", "us-agency-harm", "--out", tmp_path / "report.pdf")

    assert answer.code == 0, answer.err
    assert (tmp_path / "report.pdf").read_bytes().startswith(b"%PDF-")
    assert answered("verify", glue_pot).code == 0


def test_the_same_sheets_again_change_nothing_of_the_unit(answered: Answered, glue_pot: Path) -> None:
    before = json.loads((glue_pot / "case.json").read_text(encoding="utf-8"))["case"]

    answered("import-unit", glue_pot, MATERIAL / "unit.toml")

    after = json.loads((glue_pot / "case.json").read_text(encoding="utf-8"))["case"]
    assert {key: after[key] for key in after if key != "revision"} == {
        key: before[key] for key in before if key != "revision"
    }
