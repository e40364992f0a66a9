"""Window and report paint the same picture of the same list of shapes."""

import os
from io import BytesIO

import pypdfium2
import pytest
from PIL import Image, ImageChops

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QBuffer, QIODevice
from PySide6.QtGui import QColor, QImage, QPainter
from reportlab.pdfgen.canvas import Canvas

from hazardreport.app.views.painting import DARK_INKS
from hazardreport.app.views.painting import paint as paint_in_window
from hazardreport.figures.drawing import Disc, Drawing, Fill, PictureArea, Stroke, Words
from hazardreport.figures.inks import ACCENT, PAPER, TEXT, ZONE_INKS, contrast, ink
from hazardreport.report.pdf.painting import POINTS_PER_MM
from hazardreport.report.pdf.painting import paint as paint_in_report
from hazardreport.severity.terms import Zone

PIXELS_PER_MM = 24.0
REDUCED = 3


def chequered() -> Image.Image:
    tile = Image.new("RGB", (200, 100), (40, 120, 90))
    tile.paste((230, 220, 180), (100, 0, 200, 50))
    return tile


def picture_bytes(_: str) -> bytes:
    stream = BytesIO()
    chequered().save(stream, "PNG")
    return stream.getvalue()


def picture_image(id: str) -> QImage:
    return QImage.fromData(picture_bytes(id))


SAMPLE = Drawing(
    width=80,
    height=60,
    description="A sample of every shape.",
    shapes=(
        PictureArea(picture="picture-001", x=50, y=30, width=24, height=12),
        Fill(points=((5, 5), (30, 5), (30, 20), (5, 20)), ink=ZONE_INKS[Zone.AC_3]),
        Stroke(points=((5, 25), (40, 25), (45, 40)), ink=ACCENT, width=0.6),
        Stroke(points=((5, 30), (40, 30)), ink=TEXT, width=0.4, dashes=(2.0, 1.0)),
        Stroke(points=((5, 35), (20, 35), (20, 45)), ink=ink("c8102e", opacity=0.5), width=1.0, closed=True),
        Disc(x=60, y=15, radius=6, ink=PAPER, outline=TEXT, width=0.5),
        Words(x=60, y=16.2, text="B", ink=TEXT, size=4, bold=True, anchor="middle"),
        Words(x=5, y=52, text="AVATo 117.4 V ± 1.2 V → 24 Ω ✓ ⚠", ink=TEXT, size=3.2),
        Words(x=5, y=57, text="italic and the end", ink=TEXT, size=3.2, italic=True),
        Words(x=76, y=57, text="end", ink=TEXT, size=3.2, anchor="end"),
        Words(x=48, y=25, text="upward", ink=TEXT, size=3, angle=90),
    ),
)


pytestmark = pytest.mark.usefixtures("qapp")


def from_report(drawing: Drawing) -> Image.Image:
    stream = BytesIO()
    width, height = drawing.width * POINTS_PER_MM, drawing.height * POINTS_PER_MM
    canvas = Canvas(stream, pagesize=(width, height), invariant=True)
    paint_in_report(drawing, canvas, 0, height, picture_bytes)
    canvas.save()
    document = pypdfium2.PdfDocument(stream.getvalue())
    try:
        page = document[0]
        scale = round(drawing.width * PIXELS_PER_MM) / page.get_width() * (1 - 1e-6)
        return page.render(scale=scale).to_pil().convert("RGB")
    finally:
        document.close()


def from_window(drawing: Drawing, role_inks: dict[str, QColor] | None = None) -> Image.Image:
    size = round(drawing.width * PIXELS_PER_MM), round(drawing.height * PIXELS_PER_MM)
    image = QImage(*size, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    paint_in_window(drawing, painter, PIXELS_PER_MM, picture_image, role_inks)
    painter.end()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    image.save(buffer, "PNG")
    return Image.open(BytesIO(bytes(buffer.data().data()))).convert("RGB")


def share_of_different_pixels(first: Image.Image, second: Image.Image, threshold: int = 60) -> float:
    assert first.size == second.size
    levels = (
        ImageChops.difference(first.reduce(REDUCED), second.reduce(REDUCED))
        .convert("L")
        .point(lambda level: 255 if level > threshold else 0)
    )
    return levels.histogram()[255] / (first.width * first.height / REDUCED**2)


def test_both_painters_paint_the_same_picture() -> None:
    assert share_of_different_pixels(from_report(SAMPLE), from_window(SAMPLE)) < 0.002


def test_a_shape_that_is_left_out_would_be_noticed() -> None:
    poorer = Drawing(width=80, height=60, description="Poorer.", shapes=SAMPLE.shapes[:-4])
    assert share_of_different_pixels(from_report(SAMPLE), from_window(poorer)) > 0.002


def test_a_dark_window_exchanges_inks_by_role_only() -> None:
    dark = from_window(SAMPLE, dict(DARK_INKS))
    assert dark.getpixel((int(10 * PIXELS_PER_MM), int(8 * PIXELS_PER_MM))) == (0x4A, 0x43, 0x1F)


def test_the_report_is_the_same_bytes_each_time() -> None:
    def made() -> bytes:
        stream = BytesIO()
        canvas = Canvas(stream, pagesize=(300, 300), invariant=True)
        paint_in_report(SAMPLE, canvas, 0, 300, picture_bytes)
        canvas.save()
        return stream.getvalue()

    assert made() == made()


@pytest.mark.parametrize("role", ["text", "faint", "accent", "danger"])
@pytest.mark.parametrize("ground", ["paper", "panel"])
def test_words_stand_out_in_a_dark_window(role: str, ground: str) -> None:
    first, second = (ink(DARK_INKS[name].name().removeprefix("#")) for name in (role, ground))
    assert contrast(first, second) >= 4.5


@pytest.mark.parametrize("number", range(1, 7))
def test_words_can_be_read_on_the_zones_of_a_dark_window(number: int) -> None:
    text, zone = (ink(DARK_INKS[name].name().removeprefix("#")) for name in ("text", f"zone-{number}"))
    assert contrast(text, zone) >= 4.5
