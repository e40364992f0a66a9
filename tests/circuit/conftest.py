"""The two units of the check tables, and states by short name."""

import importlib
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from hazardreport.case.reading import PlugPosition, SwitchPosition
from hazardreport.case.unit_state import UnitState
from hazardreport.case.wiring import Element, Supply, SwitchPoles, Wiring

HERE = Path(__file__).resolve().parent


@pytest.fixture(scope="session")
def state() -> Callable[..., UnitState]:
    plugs = {"S": PlugPosition.STRAIGHT, "R": PlugPosition.REVERSED, "U": PlugPosition.UNPLUGGED}
    switches = {"closed": SwitchPosition.ON, "open": SwitchPosition.OFF}

    def of(text: str, earthed: bool = False) -> UnitState:
        plug, switch = text.split()
        return UnitState(plug=plugs[plug], switch=switches[switch], earthed=earthed)

    return of


@pytest.fixture(scope="session")
def wiring() -> Callable[..., Wiring]:
    def of(voltage: float = 120.0, poles: SwitchPoles = SwitchPoles.POLE_1, **changes: Any) -> Wiring:
        rated = {120.0: 1500.0, 230.0: 2000.0}[voltage]
        fields = {
            "supply": Supply.EARTHED_NEUTRAL,
            "nominal_voltage": voltage,
            "frequency": 60.0 if voltage == 120.0 else 50.0,
            "switch": poles,
            "element": Element(rated_voltage=voltage, rated_power=rated),
        }
        return Wiring(**{**fields, **changes})

    return of


def _beside(name: str) -> ModuleType:
    sys.path.insert(0, str(HERE))
    try:
        return importlib.import_module(name)
    finally:
        sys.path.remove(str(HERE))


@pytest.fixture(scope="session")
def simulation() -> ModuleType:
    """Simulated units with known truth."""
    return _beside("simulated")


@pytest.fixture(scope="session")
def coverage_study() -> ModuleType:
    """Rates over many simulated units."""
    return _beside("coverage_study")
