"""A rich case with its assessment, and the reports made of it."""

import importlib.util
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from types import ModuleType

import pypdfium2
import pytest

from hazardreport.addressees.profiles import profile
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.report.build import report_document
from hazardreport.report.document import ReportDocument
from hazardreport.report.pdf.draw import draw_pdf


def _module(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"report_{name}", Path(__file__).with_name(f"{name}.py"))
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def material() -> ModuleType:
    return _module("material")


@pytest.fixture(scope="session")
def full() -> Case:
    """The case with everything that a person can enter."""
    read: Case = _module("full").full_case()
    return read


@pytest.fixture(scope="session")
def full_assessment(full: Case) -> Assessment:
    return assess(full)


@pytest.fixture(scope="session")
def case(material: ModuleType) -> Case:
    read: Case = material.rich_case()
    return read


@pytest.fixture(scope="session")
def assessment(material: ModuleType, case: Case) -> Assessment:
    computed: Assessment = material.rich_assessment(case)
    return computed


@pytest.fixture(scope="session")
def pictures(material: ModuleType) -> Callable[[str], bytes]:
    drawn: bytes = material.jpeg()
    return lambda _: drawn


@pytest.fixture(scope="session", params=["eu-maker-notice", "us-agency-harm"])
def document(
    request: pytest.FixtureRequest, material: ModuleType, case: Case, assessment: Assessment
) -> ReportDocument:
    return report_document(case, assessment, profile(request.param), created=material.CREATED)


@pytest.fixture(scope="session")
def drawn(document: ReportDocument, pictures: Callable[[str], bytes]) -> bytes:
    return draw_pdf(document, pictures)


def _pages(file: bytes) -> tuple[str, ...]:
    with pypdfium2.PdfDocument(BytesIO(file)) as pdf:
        texts = []
        for page in pdf:
            text_page = page.get_textpage()
            texts.append(text_page.get_text_range().replace("\r\n", "\n").replace("\u00a0", " "))
            text_page.close()
            page.close()
        return tuple(texts)


@pytest.fixture(scope="session")
def pages_of() -> Callable[[bytes], tuple[str, ...]]:
    return _pages
