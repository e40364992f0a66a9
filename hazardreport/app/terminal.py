"""What a command may speak to: two streams, a clock, and the choice to be quiet."""

import os
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TextIO

from hazardreport.evidence.names import shown

Clock = Callable[[], datetime]


def clock_from(environment: Mapping[str, str]) -> Clock:
    """The clock of this computer, or the fixed one that SOURCE_DATE_EPOCH asks for."""
    fixed = environment.get("SOURCE_DATE_EPOCH", "")
    if fixed.isdigit():
        return lambda: datetime.fromtimestamp(int(fixed), UTC)
    return lambda: datetime.now(UTC)


@dataclass(frozen=True, kw_only=True, slots=True)
class Terminal:
    """Where a command speaks.

    out    what was asked for
    err    progress and errors
    clock  present time
    quiet  no word about progress
    author who changes a case, for its log; "" if nobody is named
    at_end what is cleared away after the command
    """

    out: TextIO
    err: TextIO
    clock: Clock
    quiet: bool = False
    author: str = ""
    at_end: ExitStack = field(default_factory=ExitStack)

    def say(self, text: str) -> None:
        """One line of the answer."""
        self.out.write(_plain(text) + "\n")

    def progress(self, text: str) -> None:
        """One line about work that takes a while."""
        if not self.quiet:
            self.err.write(text + "\n")
            self.err.flush()

    def warn(self, text: str) -> None:
        """One line that a person must read even when quiet."""
        self.err.write(_plain(text) + "\n")
        self.err.flush()

    def now(self) -> str:
        """Present time, ISO 8601 UTC, whole seconds."""
        return self.clock().astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def author_from(environment: Mapping[str, str] = os.environ) -> str:
    """HAZARDREPORT_AUTHOR names who changes a case where no --author does."""
    return environment.get("HAZARDREPORT_AUTHOR", "").strip()


def _plain(text: str) -> str:
    """The text with control characters shown, not obeyed, line by line."""
    return "\n".join(shown(line) for line in text.split("\n"))


def debug_wanted(environment: Mapping[str, str] = os.environ) -> bool:
    """HAZARDREPORT_DEBUG asks for the place of a defect."""
    return environment.get("HAZARDREPORT_DEBUG", "") not in ("", "0")
