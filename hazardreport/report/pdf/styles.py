"""Sizes, leadings and inks of the page; two axes: the left margin, and the text axis one label column to its right."""

from reportlab.lib.colors import Color
from reportlab.lib.enums import TA_LEFT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm

from hazardreport.figures.drawing import Ink
from hazardreport.figures.inks import ACCENT, FAINT, PANEL, PAPER, RULE, TEXT
from hazardreport.figures.text_width import Face
from hazardreport.report.document import LABEL_WIDTH

AXIS = LABEL_WIDTH * mm


def colour(ink: Ink) -> Color:
    """An ink as reportlab's colour."""
    return Color(ink.red, ink.green, ink.blue)


INK, GREY, LINE, GROUND, BLUE, WHITE = (colour(ink) for ink in (TEXT, FAINT, RULE, PANEL, ACCENT, PAPER))


def _style(
    name: str,
    size: float,
    leading: float,
    *,
    face: Face = Face.REGULAR,
    ink: Color = INK,
    indent: float = 0.0,
    before: float = 0.0,
    after: float = 0.0,
    hanging: float = 0.0,
) -> ParagraphStyle:
    return ParagraphStyle(
        name,
        fontName=face.value,
        fontSize=size,
        leading=leading,
        textColor=ink,
        alignment=TA_LEFT,
        leftIndent=indent + hanging,
        bulletIndent=indent,
        bulletFontName=Face.REGULAR.value,
        bulletFontSize=size,
        spaceBefore=before,
        spaceAfter=after,
        splitLongWords=1,
        allowWidows=0,
        allowOrphans=0,
    )


PART = _style("part", 15, 18, face=Face.BOLD, before=8, after=7)
SECTION = _style("section", 10.5, 13, face=Face.BOLD, indent=AXIS, before=12, after=3.5)
FIRST_SECTION = _style("first-section", 10, 12.5, face=Face.BOLD, before=6, after=2)
OVERLINE = _style("overline", 8, 10, ink=GREY, after=3)
BODY = _style("body", 9, 12.6, indent=AXIS, after=4.5)
STRONG = _style("strong", 9, 12.6, face=Face.BOLD, indent=AXIS, after=4.5)
SMALL = _style("small", 7.8, 10.4, ink=GREY, indent=AXIS, after=4)
LEAD = _style("lead", 10.8, 14, after=3)
ITEM = _style("item", 9, 12.6, indent=AXIS, after=2.5, hanging=12)
FULL_BODY = _style("full-body", 8.8, 11.4, after=3)
FULL_STRONG = _style("full-strong", 8.8, 11.8, face=Face.BOLD, after=4)
FULL_SMALL = _style("full-small", 7.8, 10.2, ink=GREY, after=3)
FULL_ITEM = _style("full-item", 8.6, 11.2, after=1.6, hanging=12)
LABEL = _style("label", 8.3, 11.2, ink=GREY)
VALUE = _style("value", 9, 11.8)
UNKNOWN = _style("unknown", 9, 11.8, face=Face.ITALIC, ink=GREY)
NOTE = _style("note", 7.6, 9.8, ink=GREY)
TITLE = _style("title", 9, 11.8, face=Face.BOLD)
CAPTION = _style("caption", 8.5, 11, face=Face.BOLD, before=7, after=3)
FIGURE_CAPTION = _style("figure-caption", 8, 10.4, ink=GREY, before=2, after=9)
HEAD = _style("head", 7.8, 9.8, ink=GREY)
CELL = _style("cell", 8.3, 10.6)
CELL_STRONG = _style("cell-strong", 8.3, 10.6, face=Face.BOLD)
CELL_FAINT = _style("cell-faint", 8.3, 10.6, face=Face.ITALIC, ink=GREY)
KEY_VALUE = _style("key-value", 12.5, 14.8, face=Face.BOLD)
KEY_LABEL = _style("key-label", 8.4, 10.6)
KEY_NOTE = _style("key-note", 7.5, 9.4, ink=GREY)
WORKED_NAME = _style("worked-name", 7.4, 9.2, ink=GREY)
WORKED = _style("worked", 7.8, 9.8)
WORKED_SOURCE_SIZE = 6.8
CONTENTS_PART = _style("contents-part", 9, 13)
