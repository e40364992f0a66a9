"""Every exception of the program: a key and typed fields; the sentences are in resources/wording/en/errors.toml."""

from dataclasses import dataclass, fields
from enum import IntEnum
from typing import Any, ClassVar


class ExitCode(IntEnum):
    """What the command line answers to its caller."""

    DONE = 0
    INCOMPLETE_OR_CHANGED = 1
    USAGE = 2
    INPUT_REFUSED = 3
    COULD_NOT_WRITE = 4
    DEFECT = 70


@dataclass(kw_only=True, eq=False)
class HazardReportError(Exception):
    """Base of every error that a person may see; `key` names its wording, the fields fill it."""

    key: ClassVar[str] = "unknown"
    exit_code: ClassVar[ExitCode] = ExitCode.INPUT_REFUSED

    def fields(self) -> dict[str, Any]:
        """The typed fields by name, for the wording."""
        return {field.name: getattr(self, field.name) for field in fields(self)}

    def __str__(self) -> str:
        return f"{self.key}({', '.join(f'{name}={value!r}' for name, value in self.fields().items())})"


# --- quantity ---------------------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class TextNotUnderstoodError(HazardReportError):
    """Typed text is no value that we can read; `part` is what was not understood."""

    key = "text_not_understood"
    text: str
    part: str


@dataclass(kw_only=True, eq=False)
class EmptyTextError(TextNotUnderstoodError):
    """Nothing was typed."""

    key = "text_empty"


@dataclass(kw_only=True, eq=False)
class GroupSeparatorError(TextNotUnderstoodError):
    """A mark in a number could be a decimal mark or could separate groups of digits."""

    key = "group_separator"


@dataclass(kw_only=True, eq=False)
class UnitMismatchError(HazardReportError):
    """A unit that does not fit the quantity (volts typed for a resistance)."""

    key = "unit_mismatch"
    text: str
    unit: str
    quantity: str
    expected: str


# --- standards --------------------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class OutsideTableError(HazardReportError):
    """A look-up outside the range that its table covers."""

    key = "outside_table"
    table: str
    argument: str
    value: str
    allowed: str


@dataclass(kw_only=True, eq=False)
class UnknownTableError(HazardReportError):
    """A table or edition that the program does not hold."""

    key = "unknown_table"
    standard: str
    table: str


@dataclass(kw_only=True, eq=False)
class TableDamagedError(HazardReportError):
    """A table's file does not say what a table must say; `part` is what is missing or wrong."""

    key = "table_damaged"
    table: str
    part: str


@dataclass(kw_only=True, eq=False)
class UnknownReferenceError(HazardReportError):
    """A citation key that the list of references does not hold."""

    key = "unknown_reference"
    reference: str


# --- readings, circuit, severity, assess ------------------------------------------------------------------------------

# --- evidence ---------------------------------------------------------------------------------------------------------

# --- case, storage ----------------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class NoSuchRecordError(HazardReportError):
    """An edit names a record that the case does not have."""

    key = "no_such_record"
    kind: str
    id: str


@dataclass(kw_only=True, eq=False)
class CouldNotWriteError(HazardReportError):
    """A file could not be written; what stood there before is still there."""

    key = "could_not_write"
    exit_code = ExitCode.COULD_NOT_WRITE
    path: str
    reason: str


# --- addressees, report -----------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class UnknownProfileError(HazardReportError):
    """No addressee has that key."""

    key = "unknown_profile"
    exit_code = ExitCode.USAGE
    profile: str
    known: str


# --- command line -----------------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class UsageError(HazardReportError):
    """Words on the command line that do not fit together; `message` says which."""

    key = "usage"
    exit_code = ExitCode.USAGE
    message: str
    command: str


@dataclass(kw_only=True, eq=False)
class NeitherCommandNorCaseError(HazardReportError):
    """The first word is no command, and no folder of that name exists."""

    key = "neither_command_nor_case"
    exit_code = ExitCode.USAGE
    word: str
    commands: str


@dataclass(kw_only=True, eq=False)
class NoScreenError(HazardReportError):
    """The window was asked for where there is no screen, or where its libraries are missing."""

    key = "no_screen"
    exit_code = ExitCode.USAGE
    reason: str


@dataclass(kw_only=True, eq=False)
class FileInTheWayError(HazardReportError):
    """A file that would be written exists, and might hold someone's work."""

    key = "file_in_the_way"
    exit_code = ExitCode.COULD_NOT_WRITE
    path: str
