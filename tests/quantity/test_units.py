"""Units are converted behind one door, and typed text never comes through it."""

import ast
import subprocess
import sys
from pathlib import Path

import pint
import pytest

import hazardreport
from hazardreport.errors import UnitMismatchError, UnknownUnitError
from hazardreport.quantity import units
from hazardreport.quantity.typed import read_value

ROOT = Path(hazardreport.__file__).resolve().parent


@pytest.mark.parametrize(
    ("value", "unit_from", "unit_to", "expected"),
    [
        (1.0, "inch", "mm", 25.4),
        (1.5, "kW", "W", 1500.0),
        (20.0, "degC", "kelvin", 293.15),
        (2.5, "Mohm", "ohm", 2.5e6),
        (4.7, "nF", "F", 4.7e-9),
    ],
)
def test_units_are_converted(value: float, unit_from: str, unit_to: str, expected: float) -> None:
    assert units.convert(value, unit_from, unit_to) == pytest.approx(expected, rel=1e-12)


def test_units_of_another_kind_are_refused() -> None:
    with pytest.raises(UnitMismatchError):
        units.convert(1.0, "V", "A")


@pytest.mark.parametrize("name", ["bananas", "24,3 ohm", "24 ohm", "", "ohm; import os"])
def test_what_is_no_unit_name_is_refused(name: str) -> None:
    with pytest.raises(UnknownUnitError):
        units.convert(1.0, name, "ohm")


def test_the_library_behind_the_door_misreads_a_decimal_comma() -> None:
    assert pint.UnitRegistry().Quantity("24,3 ohm").magnitude == 243
    assert read_value("24,3 ohm", "resistance").value == 24.3


def test_typed_text_is_read_without_the_library(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("typed text reached the unit library")

    monkeypatch.setattr(units, "_registry", refuse)
    monkeypatch.setattr(pint.UnitRegistry, "parse_expression", refuse)
    assert read_value("24,3 Ω", "resistance").value == 24.3


def parses_text(source: str) -> bool:
    """Whether a source asks the unit library to read text that may hold a number."""
    return any(
        (isinstance(node, ast.Attribute) and node.attr in {"parse_expression", "parse_units", "parse_pattern"})
        or (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr == "Quantity"
            and len(node.args) < 2
        )
        for node in ast.walk(ast.parse(source))
    )


def test_the_door_takes_numbers_and_units_apart() -> None:
    assert not parses_text((ROOT / "quantity" / "units.py").read_text(encoding="utf-8"))
    assert parses_text("registry.Quantity('24,3 ohm')")
    assert parses_text("registry.parse_expression(text)")


LIGHT = (
    "hazardreport.case.edits",
    "hazardreport.case.barcode",
    "hazardreport.quantity.typed",
    "hazardreport.quantity.formatting",
    "hazardreport.assess.records",
)


@pytest.mark.parametrize("module", LIGHT)
def test_the_light_half_loads_nothing_heavy(module: str) -> None:
    program = f"import sys, {module}; print(*sorted({{'numpy', 'scipy', 'pint', 'msgspec', 'PIL'}} & set(sys.modules)))"
    result = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT.parent
    )
    assert result.stdout.strip() == ""


def test_the_check_of_the_light_half_sees_a_heavy_one() -> None:
    program = "import sys, hazardreport.quantity.propagation; print('numpy' in sys.modules)"
    result = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT.parent
    )
    assert result.stdout.strip() == "True"
