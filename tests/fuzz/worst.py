"""Files made to be as dear to read as can be; `python -m tests.fuzz.worst NAME` reads one in little memory."""

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from hazardreport.errors import HazardReportError
from hazardreport.quantity.typed import read_value
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage.bench_row import COLUMNS
from hazardreport.storage.bench_sheet import read_bench_sheet
from hazardreport.storage.case_json import case_from_bytes, case_from_document
from hazardreport.storage.log import log_from_bytes, record_of
from hazardreport.storage.unit_sheet import read_unit_sheet
from hazardreport.storage.unpack import unpack
from hazardreport.storage.values import values_from_bytes
from tests.fuzz import zip_text
from tests.fuzz.answers import told
from tests.fuzz.full_case import SMALL
from tests.fuzz.zip_text import Part

MEGABYTES = 600
"""Address space of the child: the interpreter with our modules takes 60 MB of it."""

SECONDS = 60
"""Of the processor, on any machine; what is not bounded would take hours."""

HEAD = b"first,second,quantity,value,switch\n"
ROW = b"A,B,voltage,117 V,on\n"
BYTES = 30_000_000


def _record(inner: bytes) -> bytes:
    return b'{"format": 1, "case": {"id": "C-1", ' + inner + b"}}"


def _many(one: bytes, size: int, between: bytes = b",") -> bytes:
    count = size // (len(one) + len(between))
    return (one + between) * (count - 1) + one


JSON: dict[str, Callable[[], bytes]] = {
    "empty lists": lambda: _record(b'"points": [' + _many(b"[]", BYTES) + b"]"),
    "empty objects": lambda: _record(b'"points": [' + _many(b"{}", BYTES) + b"]"),
    "zeros": lambda: _record(b'"points": [' + _many(b"0", BYTES) + b"]"),
    "not finite": lambda: _record(b'"points": [' + _many(b"NaN", BYTES) + b"]"),
    "one text": lambda: _record(b'"title": "' + b"x" * BYTES + b'"'),
    "one choice": lambda: _record(b'"wiring": {"plug": "' + b"x" * BYTES + b'"}'),
    "one digit string": lambda: _record(b'"revision": ' + b"1" * BYTES),
    "one fraction": lambda: _record(b'"wiring": {"frequency": 0.' + b"1" * BYTES + b"}"),
    "keys": lambda: _record(b",".join(b'"k%d": 0' % number for number in range(600_000))),
    "same keys": lambda: _record(_many(b'"k": 0', BYTES)),
    "items under a long key": lambda: _record(b'"' + b"k" * 100_000 + b'": [' + _many(b"[]", 2_000_000) + b"]"),
    "open text of escaped quotes": lambda: _record(b'"title": "' + b'\\"' * (BYTES // 2)),
    "open brackets": lambda: b"[" * BYTES,
    "brackets and quotes": lambda: _many(b'[""]', BYTES),
    "spaces": lambda: b" " * BYTES,
    "points": lambda: _record(b'"points": [' + _many(b'{"letter":"A"}', BYTES) + b"]"),
    "readings with faults": lambda: _record(b'"readings": [' + _many(b'{"x":1}', BYTES) + b"]"),
    "empty objects, as many as allowed": lambda: _record(b'"points": [' + _many(b"{}", 2_990_000) + b"]"),
    "empty lists, as many as allowed": lambda: _record(b'"points": [' + _many(b"[]", 2_990_000) + b"]"),
    "not finite, as many as allowed": lambda: _record(b'"points": [' + _many(b"NaN", 7_990_000) + b"]"),
    "texts, as many as allowed": lambda: _record(b'"private_words": [' + _many(b'"abcdefgh"', 20_000_000) + b"]"),
    "points, as many as allowed": lambda: _record(b'"points": [' + _many(b'{"letter":"A"}', 9_900_000) + b"]"),
    "unknown keys, as many as allowed": lambda: _record(b'"points": [' + _many(b'{"x":1}', 5_300_000) + b"]"),
    "wide characters": lambda: _record(b'"title": "' + "\U0001f525".encode() * (BYTES // 4) + b'"'),
}
CSV: dict[str, Callable[[], bytes]] = {
    "blank lines": lambda: HEAD + b"\n" * 4_900_000,
    "empty cells": lambda: HEAD + b"," * 4_900_000,
    "rows of delimiters": lambda: HEAD + b",,\n" * 1_600_000,
    "a million cells": lambda: HEAD + (b"A," * 999 + b"A\n") * 1_000,
    "rows": lambda: HEAD + ROW * 200_000,
    "rows with faults": lambda: HEAD + b"x,\n" * 1_600_000,
    "names of columns": lambda: HEAD.strip() + b",y" * 2_400_000 + b"\n" + ROW,
    "empty names of columns": lambda: HEAD.strip() + b"," * 4_800_000 + b"y\n" + ROW,
    "repeats": lambda: (
        b"first,second,quantity,value,switch,repeats\n" + (ROW.strip() + b"," + b"x;" * 60_000 + b"\n") * 40
    ),
    "quotes": lambda: HEAD + b'"' * 4_900_000,
    "one cell": lambda: HEAD + b"A,B,voltage,117 V," + b"x" * 4_900_000,
    "one first line": lambda: b" ,;\t" * 1_200_000,
    "numbered rows": lambda: (
        b"id,first,second,quantity,value,switch\n"
        + b"".join(b"reading-%d,%b" % (number, ROW) for number in range(120_000))
    ),
    "every column": lambda: ",".join(COLUMNS).encode() + b"\n" + (b"x," * 26 + b"x\n") * 90_000,
}
TOML: dict[str, Callable[[], bytes]] = {
    "dotted key": lambda: b"a." * 20_000 + b"a = 1",
    "dotted table": lambda: b"[" + b"a." * 20_000 + b"a]",
    "many dotted keys": lambda: b"".join(b"a%d.b.c.d.e.f.g = 1\n" % number for number in range(40_000)),
    "nested lists": lambda: b"title = " + b"[" * 490_000 + b"]" * 490_000,
    "nested tables": lambda: b"title = " + b"{a=" * 200_000 + b"1" + b"}" * 200_000,
    "flat list": lambda: b"title = [" + b"[]," * 320_000 + b"]",
    "header without end": lambda: b"title = [\n[" + b" " * 900_000 + b"\n1],\n]",
    "spaces before a key": lambda: b" " * 900_000 + b"= 1",
    "open text": lambda: b'title = """' + b'\\"""' * 240_000,
    "quotes": lambda: b'title = """' + b'""\\"' * 240_000,
    "instruments": lambda: b"[[instruments]]\n" * 60_000,
    "findings": lambda: b"".join(b'[[findings]]\ntext="%d"\n' % number for number in range(36_000)),
    "exposures": lambda: b"[[exposures]]\nduration=1\n" * 36_000,
    "unknown names": lambda: b"[unit]\n" + b"".join(b"k%d=1\n" % number for number in range(90_000)),
    "key of dots": lambda: b'[unit]\n"' + b"a." * 450_000 + b'" = 1',
    "pictures of a finding": lambda: b'[[findings]]\ntext="x"\npictures=[' + b'"a",' * 240_000 + b"]",
    "digits": lambda: b"[wiring]\nnominal_voltage = " + b"1" * 900_000,
    "hexadecimal digits": lambda: b"[wiring]\nnominal_voltage = 0x" + b"f" * 900_000,
    "fraction": lambda: b"[wiring]\nnominal_voltage = 0." + b"1" * 900_000,
    "comments": lambda: b"#\n" * 490_000,
    "escapes": lambda: b'title = "' + b"\\u0041" * 160_000 + b'"',
}
TYPED: dict[str, Callable[[], bytes]] = {
    "digits": lambda: b"1" * 64,
    "spaces": lambda: b"1" + b" " * 62 + b"x",
    "points": lambda: b"1." * 32,
    "million digits": lambda: b"1" * 1_000_000,
    "plus minus": lambda: b"+/-" * 21,
    "brackets": lambda: b"(" * 32 + b")" * 32,
}
LINE = b'{"revision":%d,"time":"","author":{},"program":"","before":"","changes":[%b]}\n'
LOG: dict[str, Callable[[], bytes]] = {
    "empty lines": lambda: b"\n" * BYTES,
    "lines of nothing": lambda: b"{}\n" * (BYTES // 3),
    "one value": lambda: LINE % (1, b'{"op":"add","path":"","value":[' + _many(b"[]", BYTES) + b"]}"),
    "nested places": lambda: b"".join(
        LINE % (number, b'{"op":"add","path":"%b","value":{}}' % (b"/a" * number)) for number in range(3_000)
    ),
    "nested values": lambda: LINE % (1, b'{"op":"add","path":"","value":' + b"[" * 900 + b"]" * 900 + b"}"),
    "insertions": lambda: (
        LINE % (1, b'{"op":"add","path":"","value":[]}')
        + LINE % (2, _many(b'{"op":"add","path":"/0","value":0}', BYTES))
    ),
    "long number": lambda: LINE.replace(b"%d", b"1" * 50_000_000) % b"",
    "one text": lambda: LINE % (1, b'{"op":"add","path":"","value":"' + b"x" * BYTES + b'"}'),
    "one place": lambda: LINE % (1, b'{"op":"add","path":"' + b"/a" * (BYTES // 2) + b'","value":0}'),
}
VALUES: dict[str, Callable[[], bytes]] = {
    "empty lines": lambda: b"\n" * BYTES,
    "one text": lambda: b'{"sha256":"","salt":"%b","text":"' % (b"0" * 32) + b"x" * BYTES + b'"}\n',
    "short lines": lambda: b'{"sha256":"","salt":"","text":""}\n' * (BYTES // 34),
}
ROOT = [Part(name=b"bagit.txt", data=b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n")]


def _pack(*parts: Part) -> bytes:
    return zip_text.written([*ROOT, *parts])


RECORD = Part(name=b"data/case.json", data=b"{}")
PACK: dict[str, Callable[[], bytes]] = {
    "deep names": lambda: _pack(
        *(Part(name=b"data/pictures/" + b"a/" * 480 + b"%d" % number, data=b"") for number in range(30_000))
    ),
    "many names": lambda: _pack(*(Part(name=b"data/pictures/%d" % number, data=b"") for number in range(60_000))),
    "long extra fields": lambda: _pack(
        *(Part(name=b"data/%d" % number, data=b"", extra=b"up\0\0" * 16_000) for number in range(450))
    ),
    "one name": lambda: _pack(*ROOT * 60_000),
    "bomb": lambda: zip_text.written(
        zip_text.listed(
            [
                *ROOT,
                *(Part(name=b"%b.txt" % name, data=b"") for name in (b"manifest-sha256", b"tagmanifest-sha256")),
                Part(name=b"data/case.json", data=b" " * 200_000_000, method=8),
            ]
        )
    ),
    "bomb in a tag file": lambda: _pack(Part(name=b"manifest-sha256.txt", data=b"\n" * 200_000_000, method=8), RECORD),
    "lines of a manifest": lambda: _pack(Part(name=b"manifest-sha256.txt", data=b"a\n" * 15_000_000), RECORD),
    "names in a manifest": lambda: _pack(
        Part(name=b"manifest-sha256.txt", data=b"".join(b"0 data/%d\n" % number for number in range(1_800_000))), RECORD
    ),
    "folded lines of bag-info": lambda: _pack(
        Part(name=b"bag-info.txt", data=b"A: b\n" + b" c\n" * 10_000_000), RECORD
    ),
    "ends": lambda: b"PK\5\6" * 20_000,
}
KINDS = {"json": JSON, "csv": CSV, "toml": TOML, "typed": TYPED, "log": LOG, "values": VALUES, "pack": PACK}
NAMES = tuple(f"{kind}: {name}" for kind, every in KINDS.items() for name in every)


def _without_bounds(data: bytes) -> object:
    """What a reader does that has no limits."""
    if data == b"memory":
        return [[number] for number in range(1 << 40)]
    while data:
        pass
    return data


def read(kind: str, data: bytes, folder: Path) -> object:
    """What the reader of that kind makes of the bytes."""
    path = folder / "file"
    path.write_bytes(data)
    if kind == "json":
        return case_from_bytes(path.read_bytes(), "case.json")
    if kind == "planted":
        return _without_bounds(data)
    if kind == "log":
        log = log_from_bytes(path.read_bytes())
        return case_from_document(record_of(log, {})[0], "log.jsonl") if log.lines else log
    if kind == "values":
        return values_from_bytes(path.read_bytes())
    if kind == "pack":
        check_pack(path)
        return unpack(path, folder / "case")
    if kind == "typed":
        return read_value(data.decode(), "voltage")
    return (read_bench_sheet if kind == "csv" else read_unit_sheet)(SMALL, path)


def main(name: str) -> None:
    """Read one file in little memory; print what came of it, seconds of the processor and peak memory."""
    kind, _, which = name.partition(": ")
    with tempfile.TemporaryDirectory() as folder:
        data = KINDS[kind][which]() if kind in KINDS else which.encode()
        (Path(folder) / "made").write_bytes(data)
        del data
        before = time.process_time()
        resource.setrlimit(resource.RLIMIT_AS, (MEGABYTES << 20, MEGABYTES << 20))
        resource.setrlimit(resource.RLIMIT_CPU, (int(before) + SECONDS,) * 2)
        try:
            answer = type(read(kind, (Path(folder) / "made").read_bytes(), Path(folder))).__name__
        except HazardReportError as error:
            answer = f"{error.key}, {len(told(error))} characters"
        used = time.process_time() - before
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    sys.stdout.write(f"{used:.2f} s, {peak} MB: {answer}\n")


if __name__ == "__main__":
    main(sys.argv[1])
