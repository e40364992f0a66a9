"""A case that was opened from a pack."""

from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

from hazardreport.storage.folder import OpenedCase


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenedPack(OpenedCase):
    """A case in a temporary folder that was unpacked for a look; `close` removes the folder.

    pack    the pack itself
    at_end  removes the folder
    """

    pack: Path
    at_end: ExitStack

    def close(self) -> None:
        """The look is over."""
        OpenedCase.close(self)
        self.at_end.close()
