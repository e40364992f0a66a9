"""Cases for the tests of addressees."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def cases() -> ModuleType:
    spec = importlib.util.spec_from_file_location("addressee_cases", Path(__file__).with_name("cases.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
