"""What a cover hides is in no report: every picture stream of the PDF, every page as it is painted."""

import io
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from PIL import Image, ImageChops

from hazardreport.app.report_file import export
from hazardreport.app.report_pictures import LONGEST_SIDE, picture_bytes
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.case.case import Case
from hazardreport.case.picture import Cover, Recognisable
from hazardreport.evidence.intake import take_in
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.storage.folder import copy_case, open_case
from tests.evidence.planted import SECRETS, segments

PLANTED = (250, 0, 180)
AREA = (700, 350, 1500, 1300)


def planted_file(folder: Path, orientation: int) -> Path:
    """A picture of the size of a phone's with a patch of the planted colour, and every kind of metadata."""
    stored = Image.new("RGB", (2400, 1800), (60, 110, 60))
    stored.paste(PLANTED, AREA)
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010F] = SECRETS[0].decode()
    path = folder / f"planted-{orientation}.jpg"
    stored.save(path, "JPEG", quality=92, exif=exif, comment=SECRETS[3])
    return path


def cover_of(orientation: int) -> Cover:
    """The planted patch on the upright picture, some pixels wider: the file's own blocks spread its edge."""
    left, top, right, bottom = AREA[0] - 16, AREA[1] - 16, AREA[2] + 16, AREA[3] + 16
    if orientation == 6:
        left, top, right, bottom = 1800 - bottom, left, 1800 - top, right
    return Cover(id="cover-001", left=left, top=top, right=right, bottom=bottom, reason="face")


@pytest.fixture(scope="module")
def covered(tmp_path_factory: pytest.TempPathFactory) -> tuple[Case, Path]:
    """The demo case in which every picture is one with a planted, covered patch."""
    place = tmp_path_factory.mktemp("covered")
    folder = copy_case(DEMO_CASE, place / "case")
    case = open_case(folder, for_writing=False).case
    pictures = []
    for number, old in enumerate(case.pictures):
        (folder / "pictures" / old.file).unlink()
        turn = 6 if number % 2 else 1
        new = take_in(planted_file(place, turn), folder / "pictures", old.id, "2026-11-25T12:00:00Z")
        pictures.append(
            replace(
                new,
                caption=old.caption,
                placements=old.placements,
                marks=old.marks,
                covers=(cover_of(turn),),
                recognisable=Recognisable.NO,
            )
        )
    return replace(case, pictures=tuple(pictures)), folder


def image_streams(pdf: pikepdf.Pdf) -> Iterator[pikepdf.PdfImage]:
    """Every picture object of the file, used or not."""
    for thing in pdf.objects:
        if isinstance(thing, pikepdf.Stream) and thing.get("/Subtype") == "/Image":
            yield pikepdf.PdfImage(thing)


def planted_pixels(image: Image.Image) -> int:
    """Pixels with much red and blue and little green, as nothing else in a report has."""
    bands = image.convert("RGB").split()
    wanted = (lambda level: level > 150, lambda level: level < 90, lambda level: level > 150)
    hits = [band.point(lambda level, ask=ask: 255 * ask(level)) for band, ask in zip(bands, wanted, strict=True)]
    return ImageChops.darker(ImageChops.darker(hits[0], hits[1]), hits[2]).histogram()[255]


@cache
def assessment() -> Assessment:
    """Of the demo case: pictures change no number."""
    return assess(open_case(DEMO_CASE, for_writing=False).case)


def exported(covered: tuple[Case, Path], addressee: str, out: Path) -> bytes:
    case, folder = covered
    export(case, assessment(), addressee, "", folder / "pictures", "2026-11-25T12:00:00Z", out)
    return out.read_bytes()


@pytest.mark.parametrize("addressee", ["eu-maker-notice", "us-agency-harm"])
def test_no_picture_stream_of_a_report_holds_what_is_covered(
    covered: tuple[Case, Path], addressee: str, tmp_path: Path
) -> None:
    data = exported(covered, addressee, tmp_path / "report.pdf")
    with pikepdf.open(io.BytesIO(data)) as pdf:
        images = list(image_streams(pdf))
        assert images
        for image in images:
            assert planted_pixels(image.as_pil_image()) == 0
            raw = image.obj.read_raw_bytes()
            if image.obj.get("/Filter") == "/DCTDecode":
                assert {marker for marker, _ in segments(raw)} == {0xD8, 0xE0, 0xDB, 0xC0, 0xC4, 0xDA, 0xD9}


def test_no_page_shows_what_is_covered(covered: tuple[Case, Path], tmp_path: Path) -> None:
    document = pypdfium2.PdfDocument(exported(covered, "eu-maker-notice", tmp_path / "report.pdf"))
    try:
        pages = [page.render(scale=1).to_pil() for page in document]
    finally:
        document.close()
    assert sum(planted_pixels(page) for page in pages) == 0


def test_without_covers_it_would_be_there(covered: tuple[Case, Path], tmp_path: Path) -> None:
    """The tests above look for something that can be found."""
    case, folder = covered
    bare = replace(case, pictures=tuple(replace(picture, covers=()) for picture in case.pictures))
    data = exported((bare, folder), "eu-maker-notice", tmp_path / "report.pdf")
    with pikepdf.open(io.BytesIO(data)) as pdf:
        assert max(planted_pixels(image.as_pil_image()) for image in image_streams(pdf)) > 10_000


def test_the_command_line_covers_as_the_window_does(covered: tuple[Case, Path], tmp_path: Path) -> None:
    case, folder = covered
    derive = picture_bytes(case, folder / "pictures", {})
    for picture in case.pictures:
        with Image.open(io.BytesIO(derive(picture.id))) as image:
            assert max(image.size) == LONGEST_SIDE
            assert planted_pixels(image) == 0
