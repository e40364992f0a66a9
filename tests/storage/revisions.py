"""A case saved again and again without a disk, salts from a seed."""

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from hazardreport.case.case import Case
from hazardreport.storage.revision import Before, Signature, Written, next_revision

NOON = "2026-06-01T12:00:00Z"


@dataclass
class Saves:
    """What the saves so far have left, as bytes, and every case as it was saved."""

    author: str = ""
    sound: bool = True
    case: bytes = b""
    log: bytes = b""
    values: bytes = b""
    saved: list[Case] = field(default_factory=list)
    damaged: tuple[str, ...] = ()
    last: Written | None = None
    _random: random.Random = field(default_factory=lambda: random.Random(7))

    def save(self, case: Case, erase: Sequence[str] = (), hashes: tuple[str, ...] = ()) -> Written:
        """One revision more."""
        signature = Signature(author=self.author, time=NOON, salt=lambda: self._random.randbytes(16))
        before = Before(case=self.case, log=self.log, values=self.values, hashes=hashes, sound=self.sound)
        written = next_revision(case, before, signature, erase)
        self.case, self.log, self.values, self.damaged = written.record, written.log, written.values, written.damaged
        self.saved.append(written.case)
        self.last = written
        return written

    @classmethod
    def of(cls, cases: Iterable[Case], author: str = "", sound: bool = True) -> "Saves":
        """Saved one after the other."""
        saves = cls(author=author, sound=sound)
        for case in cases:
            saves.save(case)
        return saves

    @property
    def files(self) -> tuple[bytes, bytes, bytes]:
        """case.json, log.jsonl, values.jsonl."""
        return self.case, self.log, self.values
