"""HEIC files for the tests: those in tests/material/heic, and what can be made of them without an encoder."""

import struct
from pathlib import Path

FOLDER = Path(__file__).parents[1] / "material" / "heic"


def heic(name: str) -> bytes:
    """One of the kept files."""
    return (FOLDER / f"{name}.heic").read_bytes()


def turned(data: bytes, quarter_turns: int) -> bytes:
    """`plain.heic` with an `irot` box for its picture: to be shown turned anticlockwise by quarter turns.

    ISO/IEC 23008-12, 6.5.10: property number 5 is added, and associated (essential) with item 2, the primary one.
    """
    box = struct.pack(">I4sB", 9, b"irot", quarter_turns)
    ipma = data.index(b"ipma") - 4
    associations = data[ipma : ipma + 26]
    assert associations.endswith(b"\x00\x02\x02\x03\x84")
    longer = struct.pack(">I", 27) + associations[4:-3] + b"\x03\x03\x84\x85"
    changed = data[:ipma] + box + longer + data[ipma + 26 :]
    for name, by in ((b"ipco", 9), (b"iprp", 10), (b"meta", 10)):
        changed = _longer(changed, changed.index(name) - 4, by)
    return _longer(changed, changed.index(b"iloc") + 24, 10)


def _longer(data: bytes, place: int, by: int) -> bytes:
    (number,) = struct.unpack_from(">I", data, place)
    return data[:place] + struct.pack(">I", number + by) + data[place + 4 :]
