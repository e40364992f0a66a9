"""Fixtures for every room: values as a source prints them, and the list of sources that the tests agree with."""

from collections.abc import Callable
from decimal import Decimal

import pytest


class Printed:
    """A number as printed: equal to every number that would be printed so, within half a step of its last digit."""

    def __init__(self, text: str, steps: float = 0.5) -> None:
        self.text = text
        decimal = Decimal(text.replace("−", "-"))
        exponent = decimal.as_tuple().exponent
        assert isinstance(exponent, int)
        self.value = float(decimal)
        self.tolerance = steps * 10.0**exponent * (1 + 1e-9)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, int | float) and abs(float(other) - self.value) <= self.tolerance

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return f"printed({self.text!r})"


@pytest.fixture(scope="session")
def printed() -> Callable[[str], Printed]:
    return Printed


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write the kept texts of the demo's reports anew")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if config.option.markexpr != "published":
        return
    sources = {
        str(mark)
        for report in terminalreporter.getreports("passed")
        for name, mark in report.user_properties
        if name == "published"
    }
    for source in sorted(sources):
        terminalreporter.write_line(source)


@pytest.fixture(autouse=True)
def _published_source(request: pytest.FixtureRequest, record_property: Callable[[str, object], None]) -> None:
    for mark in request.node.iter_markers("published"):
        record_property("published", ", ".join(str(argument) for argument in mark.args))
