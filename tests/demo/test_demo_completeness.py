"""What the demo case lacks is told alike on the command line, by the export and in the report's own text."""

import os
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from hazardreport.addressees.completeness import element_states
from hazardreport.addressees.profiles import Level, profile
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Answer, SubmitterCategory
from hazardreport.case.stated import Stated
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage.folder import open_case, save_case

PROJECT = Path(__file__).resolve().parents[2]
COMPLETE, LACKING = "eu-maker-notice", "us-agency-harm"
MISSING = ("submitter_category", "consent_to_publication")
NAMES = tuple(profile(LACKING).element(key).name for key in MISSING)


def command(*words: str | Path) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(PROJECT)}
    return subprocess.run(
        [sys.executable, "-m", "hazardreport", *map(str, words)],
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )


def flat(text: str) -> str:
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def text_of(path: Path) -> str:
    with pypdfium2.PdfDocument(path) as document:
        return flat(" ".join(page.get_textpage().get_text_range() for page in document))


@pytest.fixture(scope="module")
def case() -> Case:
    return open_case(DEMO_CASE, for_writing=False).case


@pytest.fixture(scope="module")
def assessment(case: Case) -> Assessment:
    return assess(case)


@pytest.fixture(scope="module", params=[COMPLETE, LACKING])
def export(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[str, str, str]:
    """Addressee, what the command says, and the text of the file."""
    out = tmp_path_factory.mktemp("export") / "report.pdf"
    done = command("export", DEMO_CASE, "--for", request.param, "--out", out)
    assert done.returncode == 0, done.stderr
    return request.param, flat(done.stdout), text_of(out)


def test_nothing_that_the_maker_is_owed_is_missing(case: Case, assessment: Assessment) -> None:
    states = element_states(case, profile(COMPLETE), assessment)

    assert sum(state.element.level is Level.REQUIRED for state in states) > 5
    assert [state.element.key for state in states if not state.complete] == []


def test_the_command_line_says_that_nothing_is_missing_for_the_maker() -> None:
    done = command("check", DEMO_CASE, "--for", COMPLETE)

    assert done.returncode == 0
    assert "Missing:" not in done.stdout
    assert "missing" not in [line.split()[0] for line in done.stdout.splitlines() if line.strip()]


def test_the_command_line_names_the_two_things_that_the_agency_lacks() -> None:
    done = command("check", DEMO_CASE, "--for", LACKING)
    told = flat(done.stdout).split("Missing: ")[1:]

    assert done.returncode == 1
    assert [next((name for name in NAMES if line.startswith(name)), line) for line in told] == [*NAMES]


def test_the_export_says_what_is_missing_and_its_pdf_names_it(export: tuple[str, str, str]) -> None:
    addressee, said, text = export
    incomplete = "This report is incomplete for its addressee. Open elements (2): " + "; ".join(NAMES)

    if addressee == COMPLETE:
        assert "missing" not in said
        assert "This report is incomplete" not in text
    else:
        assert said.endswith("2 required things are missing: " + ", ".join(NAMES) + ".")
        assert incomplete in text
        assert text.count("missing: nobody has answered this") == 2
        assert all(flat(profile(LACKING).element(key).without) in text for key in MISSING)


def test_the_two_answers_make_it_complete(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DEMO_CASE, tmp_path / "demo"))
    opened = open_case(folder)
    answered = replace(
        opened.case,
        submitter=replace(opened.case.submitter, category=SubmitterCategory.CONSUMER),
        consents=replace(opened.case.consents, publish=Answer.NO),
    )
    save_case(answered, folder)
    opened.close()

    done = command("check", folder, "--for", LACKING)

    assert done.returncode == 0, done.stdout
    assert "Missing:" not in done.stdout


@pytest.mark.parametrize(
    ("field", "key"), [("product_name", "product_description"), ("maker", "manufacturer"), ("barcode", "")]
)
def test_a_third_thing_that_goes_is_named_too(case: Case, assessment: Assessment, field: str, key: str) -> None:
    """Against a check that always names these two; a barcode is not required."""
    poorer = replace(case, unit=replace(case.unit, importer=Stated(), **{field: Stated()}))
    missing = [s.element.key for s in element_states(poorer, profile(LACKING), assessment) if not s.complete]

    assert sorted(missing) == sorted({*MISSING, key} - {""})
