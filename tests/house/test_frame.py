"""Version, wording and light imports."""

import re
import string
import subprocess
import sys
from dataclasses import fields
from pathlib import Path

import pytest

import hazardreport
from hazardreport import errors, wording
from hazardreport.resources_dir import RESOURCES

ERRORS = [
    error
    for error in vars(errors).values()
    if isinstance(error, type) and issubclass(error, errors.HazardReportError) and error is not errors.HazardReportError
]


def test_the_version_heads_the_list_of_changes() -> None:
    text = (RESOURCES / "changes.md").read_text(encoding="utf-8")
    first = re.search(r"^## (\S+)", text, re.MULTILINE)
    assert first is not None
    assert first.group(1) == hazardreport.__version__


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: error.key)
def test_every_error_says_what_and_what_to_do_with_its_own_fields(error: type[errors.HazardReportError]) -> None:
    names = {field.name for field in fields(error)}
    for part in ("what", "remedy"):
        template = wording.template(f"errors.{error.key}.{part}")
        used = {re.split(r"[.\[]", name)[0] for _, name, _, _ in string.Formatter().parse(template) if name}
        assert used <= names
        assert template.strip()


def test_no_error_wording_is_left_without_its_error() -> None:
    keys = {key.split(".")[1] for key in wording.keys("errors")}
    assert keys <= {error.key for error in ERRORS} | {"unknown"}


def wording_keys_used(source: str) -> set[str]:
    return set(re.findall(r"""wording\.(?:sentence|template|lines)\(\s*"([a-z_.0-9-]+)["]""", source)) | set(
        re.findall(r"""(?<![\w.])(?:sentence|template|lines)\(\s*"([a-z_.0-9-]+)["]""", source)
    )


def test_every_wording_key_written_in_the_code_exists() -> None:
    root = Path(hazardreport.__file__).parent
    missing = []
    for path in sorted(root.rglob("*.py")):
        for key in wording_keys_used(path.read_text(encoding="utf-8")):
            if "." not in key:
                continue
            try:
                wording.template(key)
            except (KeyError, FileNotFoundError):
                try:
                    wording.lines(key)
                except (KeyError, FileNotFoundError):
                    missing.append(f"{path.relative_to(root)}: {key}")
    assert missing == []


def test_a_wrong_wording_key_is_found() -> None:
    assert wording_keys_used('x = wording.sentence("errors.nothing.what", a=1)') == {"errors.nothing.what"}
    with pytest.raises(KeyError):
        wording.template("errors.nothing.what")


@pytest.mark.parametrize(
    "module",
    [
        "hazardreport.case.edits",
        "hazardreport.assess.records",
        "hazardreport.quantity.formatting",
        "hazardreport.storage.folder",
        "hazardreport.review.integrity",
        "hazardreport.app.cli",
    ],
)
def test_opening_and_verifying_never_pay_for_an_engine(module: str) -> None:
    heavy = ("numpy", "scipy", "pint", "reportlab", "pikepdf", "PySide6", "holidays", "icalendar", "dateutil")
    program = f"import sys, {module}; print([name for name in {heavy!r} if name in sys.modules])"
    result = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert result.stdout.strip() == "[]"
