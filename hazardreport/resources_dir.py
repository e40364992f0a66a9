"""Where resources/ and demo-case/ are, in a checkout and in an installed wheel."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent
_SHIPPED = _PACKAGE / "shipped"
_BASE = _SHIPPED if _SHIPPED.is_dir() else _PACKAGE.parent

RESOURCES = _BASE / "resources"
DEMO_CASE = _BASE / "demo-case"
