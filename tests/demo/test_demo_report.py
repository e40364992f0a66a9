"""The exported report of the demo prints the numbers that `assess --json` gives."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pypdfium2
import pytest

from hazardreport.quantity.formatting import format_measured
from hazardreport.quantity.measured import Measured
from hazardreport.resources_dir import DEMO_CASE

PROJECT = Path(__file__).resolve().parents[2]


def answer(*words: str | Path) -> str:
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    result = subprocess.run(
        [sys.executable, "-m", "hazardreport", *map(str, words)],
        env=environment,
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    return result.stdout


@pytest.fixture(scope="module")
def assessment() -> dict[str, object]:
    found = json.loads(answer("assess", DEMO_CASE, "--json"))["assessment"]
    assert isinstance(found, dict)
    return found


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> str:
    out = tmp_path_factory.mktemp("report") / "report.pdf"
    answer("export", DEMO_CASE, "--for", "eu-maker-notice", "--out", out)
    document = pypdfium2.PdfDocument(out)
    try:
        pages = [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()
    return " ".join(" ".join(pages).replace("\N{NO-BREAK SPACE}", " ").split())


def printed(number: dict[str, object]) -> str:
    measured = number["measured"]
    assert isinstance(measured, dict)
    value = Measured(
        value=measured["value"], standard_uncertainty=measured["standard_uncertainty"], unit=measured["unit"]
    )
    return format_measured(value).replace("\N{NO-BREAK SPACE}", " ")


def test_the_numbers_of_the_verdict_and_of_every_state_are_printed(assessment: dict[str, object], report: str) -> None:
    trace = {number["id"]: number for number in assessment["trace"]}  # type: ignore[attr-defined]
    states = [cell for cell in assessment["states"] if cell["open_circuit_voltage"]]  # type: ignore[attr-defined]
    wanted = [*assessment["verdict"]["figures"]]  # type: ignore[index]
    wanted += [cell[name] for cell in states for name in ("open_circuit_voltage", "available_fault_current")]
    wanted += [cell["body_current"] for cell in states if cell["body_current"]]

    assert len(wanted) > 15
    assert [printed(trace[item]) for item in wanted if printed(trace[item]) not in report] == []
    assert str(assessment["verdict"]["word"]) in report  # type: ignore[index]
