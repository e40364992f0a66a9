"""The tools over a picture, their keys, and what each of them draws."""

from enum import StrEnum

from PySide6.QtCore import QPointF, Qt

from hazardreport.case.picture import MarkKind


class Tool(StrEnum):
    """What a click does."""

    SELECT = "select"
    POINT = "point"
    ARROW = "arrow"
    OUTLINE = "outline"
    FREE_LINE = "free line"
    TEXT = "text"
    COVER = "cover"


TOOL_KEYS = {
    Qt.Key.Key_S: Tool.SELECT,
    Qt.Key.Key_P: Tool.POINT,
    Qt.Key.Key_A: Tool.ARROW,
    Qt.Key.Key_O: Tool.OUTLINE,
    Qt.Key.Key_L: Tool.FREE_LINE,
    Qt.Key.Key_T: Tool.TEXT,
    Qt.Key.Key_C: Tool.COVER,
}
KINDS = {
    Tool.ARROW: MarkKind.ARROW,
    Tool.OUTLINE: MarkKind.OUTLINE,
    Tool.FREE_LINE: MarkKind.FREE_LINE,
    Tool.TEXT: MarkKind.TEXT,
}
ARROWS = {
    Qt.Key.Key_Left: QPointF(-1, 0),
    Qt.Key.Key_Right: QPointF(1, 0),
    Qt.Key.Key_Up: QPointF(0, -1),
    Qt.Key.Key_Down: QPointF(0, 1),
}
