"""The built wheel, installed elsewhere, carries resources and the demo case and works the same."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

PROJECT = Path(__file__).resolve().parents[2]


def run(*words: str | Path, at: Path, code: int = 0) -> str:
    environment = {**os.environ, "PYTHONPATH": str(at / "site"), "PIP_NO_INPUT": "1"}
    result = subprocess.run(
        [sys.executable, "-P", *map(str, words)],
        cwd=at,
        env=environment,
        capture_output=True,
        text=True,
        timeout=400,
        check=False,
    )
    assert result.returncode == code, result.stdout + result.stderr
    return result.stdout


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("elsewhere")
    run("-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, PROJECT, at=folder)
    (wheel,) = folder.glob("hazardreport-*.whl")
    run("-m", "pip", "install", "-q", "--no-deps", "--target", folder / "site", wheel, at=folder)
    return folder


@pytest.mark.slow
def test_the_wheel_carries_everything_and_assesses_the_demo_as_the_checkout_does(elsewhere: Path) -> None:
    where = run("-c", "import hazardreport; print(hazardreport.__file__)", at=elsewhere)
    assert Path(where.strip()).is_relative_to(elsewhere)

    run("-m", "hazardreport", "copy-demo", "demo", at=elsewhere)
    run("-m", "hazardreport", "verify", "demo", at=elsewhere)
    installed = json.loads(run("-m", "hazardreport", "assess", "demo", "--json", at=elsewhere))
    run("-m", "hazardreport", "export", "demo", "--for", "eu-maker-notice", "--out", "report.pdf", at=elsewhere)

    checkout = subprocess.run(
        [sys.executable, "-m", "hazardreport", "assess", "demo-case", "--json"],
        cwd=PROJECT,
        env={**os.environ, "PYTHONPATH": str(PROJECT)},
        capture_output=True,
        text=True,
        check=True,
        timeout=400,
    )
    assert installed == json.loads(checkout.stdout)
    assert (elsewhere / "report.pdf").read_bytes().startswith(b"%PDF-")
