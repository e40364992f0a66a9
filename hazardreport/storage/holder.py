"""Who has a case open, as it stands in case.lock: person, machine, process, since when.

Nobody is asked over a network. A process of this machine that is no longer there holds nothing, nor does another one
that has got its number since; of another machine nothing is known, so its processes count as alive.
"""

import contextlib
import getpass
import os
import socket
import sys
from datetime import UTC, datetime
from functools import cache

import msgspec

from hazardreport import wording
from hazardreport.evidence.names import shown

_LONGEST_NAME = 80


class Holder(msgspec.Struct, frozen=True, omit_defaults=True):
    """One process that has a case open.

    process  its number
    machine  name of the computer
    user     as the system calls the person, "" if it does not say
    since    ISO 8601 UTC, by the clock of that computer
    begun    when the system started the process, in the system's own count, "" if it does not say
    """

    process: int
    machine: str
    user: str = ""
    since: str = ""
    begun: str = ""

    def to_bytes(self) -> bytes:
        """As it stands in the file: one line that people can read."""
        return msgspec.json.encode(self) + b"\n"

    @property
    def told(self) -> str:
        """For people: Kim on workbench, process 1234, since 2026-05-04T09:30:00Z."""
        machine, user = (shown(text[:_LONGEST_NAME]) for text in (self.machine, self.user))
        parts = [wording.sentence("storage.holder", user=user, machine=machine) if user else machine]
        parts.append(wording.sentence("storage.holder_process", process=self.process))
        if self.since:
            parts.append(wording.sentence("storage.holder_since", since=shown(self.since[:_LONGEST_NAME])))
        return ", ".join(parts)

    @property
    def may_be_alive(self) -> bool:
        """Whether the process may still be there and be another than this one."""
        if self.process <= 0:
            return False
        if self.machine != socket.gethostname():
            return True
        if sys.platform == "win32" or self.process == os.getpid():
            return False
        try:
            os.kill(self.process, 0)
        except (ProcessLookupError, OverflowError):
            return False
        except PermissionError:
            pass
        return not self.begun or begun(self.process) in ("", self.begun)


def ourselves() -> Holder:
    """This process, now."""
    return Holder(
        process=os.getpid(),
        machine=socket.gethostname(),
        user=_user(),
        since=datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%SZ"),
        begun=begun(os.getpid()),
    )


@cache
def _user() -> str:
    with contextlib.suppress(OSError, KeyError, ImportError):
        return getpass.getuser()
    return ""


def begun(process: int) -> str:
    """When a process was started, in the system's own count; "" if the system does not say.

    Linux: the boot, and the tick after it (field 22 of /proc/<process>/stat).
    """
    try:
        with open("/proc/sys/kernel/random/boot_id", encoding="ascii") as stream:
            boot = stream.read().strip()
        with open(f"/proc/{process}/stat", "rb") as stream:
            behind_name = stream.read().rpartition(b")")[2].split()
        return f"{boot} {int(behind_name[19])}"
    except (OSError, ValueError, IndexError):
        return ""


def holder_from_bytes(data: bytes) -> Holder | None:
    """Who is named in the bytes of case.lock, None if nobody is.

    Programs up to 0.2.0 wrote number and machine only: 1234 workbench.
    """
    try:
        found = msgspec.json.decode(data, type=Holder)
    except (msgspec.MsgspecError, UnicodeError, RecursionError):
        number, _, machine = data.decode("utf-8", "replace").strip().partition(" ")
        usable = number.isascii() and number.isdigit() and len(number) < 12
        return Holder(process=int(number), machine=machine) if usable else None
    return found if found.process > 0 else None
