"""Fuzz targets with a planted defect each: a harness that lets one of them pass is worth nothing."""

import random
import re

DEFECT = "none"
"""Set by `run` from the target's name: "planted-key" and so on."""

RUNS = 2_000
_HELD: list[bytearray] = []


def seeds() -> list[bytes]:
    """Words that lead close to the defect, not into it."""
    return [b"unit", b"wiring", b"\x00\x01"]


def changed(data: bytes, random_: random.Random) -> bytes:
    """Some bytes at the front."""
    return bytes([random_.choice(b"abcx[{")]) + data


def one_input(data: bytes) -> None:
    """One try; every input that begins with an x meets the defect."""
    if not data.startswith(b"x"):
        return
    if DEFECT == "key":
        {"unit": 1}[data.decode("latin-1")]
    elif DEFECT == "loop":
        while data:
            pass
    elif DEFECT == "backtracking":
        re.match(r"(a+)+$", "a" * 60 + "b")
    elif DEFECT == "memory":
        _HELD.append(bytearray(b"\x01") * 700_000_000)
    elif DEFECT == "recursion":
        one_input(data)
