"""Puts the room's benches where its tests find them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
