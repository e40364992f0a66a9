"""Every exception of the program: a key and typed fields; the sentences are in resources/wording/en/errors.toml."""

from collections.abc import Mapping
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


@dataclass(frozen=True, kw_only=True, slots=True)
class Fault:
    """One of several faults of a file, told together.

    place   where: "line 12, column value", "case.pictures[0].file"; "" if it concerns the whole file
    key     of the sentence in the wording; fields fill it
    """

    place: str
    key: str
    fields: Mapping[str, object]


# --- risk -------------------------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class ProbabilityRefusedError(HazardReportError):
    """Typed text is no probability of a step; `why` is a sentence."""

    key = "probability_refused"
    text: str
    why: str


@dataclass(kw_only=True, eq=False)
class SeverityRefusedError(HazardReportError):
    """A severity that the table of risk levels does not have."""

    key = "severity_refused"
    severity: int


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
class DayNotUnderstoodError(HazardReportError):
    """Typed text is no day that we can read."""

    key = "day_not_understood"
    text: str


@dataclass(kw_only=True, eq=False)
class NoSuchDayError(HazardReportError):
    """A day that no calendar has, such as 31 February."""

    key = "no_such_day"
    text: str


@dataclass(kw_only=True, eq=False)
class AmbiguousDayError(HazardReportError):
    """Typed text that can mean two days, `one` and `other`, ISO."""

    key = "ambiguous_day"
    text: str
    one: str
    other: str


@dataclass(kw_only=True, eq=False)
class WeekdayDiffersError(HazardReportError):
    """The named day of the week is not that of the day, which is `weekday`."""

    key = "weekday_differs"
    text: str
    day: str
    weekday: str


@dataclass(kw_only=True, eq=False)
class UnitMismatchError(HazardReportError):
    """A unit that does not fit the quantity (volts typed for a resistance)."""

    key = "unit_mismatch"
    text: str
    unit: str
    quantity: str
    expected: str


@dataclass(kw_only=True, eq=False)
class UnknownUnitError(HazardReportError):
    """A name that is no unit."""

    key = "unknown_unit"
    unit: str


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
class NoTableKeyError(HazardReportError):
    """A text that cannot be the key of a table, "<standard>/<table>"."""

    key = "no_table_key"
    text: str


@dataclass(kw_only=True, eq=False)
class TableOfOurWordsError(HazardReportError):
    """A table whose cells are short words of ours cannot be compared by typing what the document prints."""

    key = "table_of_our_words"
    table: str


@dataclass(kw_only=True, eq=False)
class TableDamagedError(HazardReportError):
    """A table's file does not say what a table must say; `part` is what is missing or wrong."""

    key = "table_damaged"
    table: str
    part: str


@dataclass(kw_only=True, eq=False)
class RequirementsDamagedError(HazardReportError):
    """A file of construction requirements does not say what it must say; `part` is what is missing or wrong."""

    key = "requirements_damaged"
    file: str
    part: str


@dataclass(kw_only=True, eq=False)
class UnknownReferenceError(HazardReportError):
    """A citation key that the list of references does not hold."""

    key = "unknown_reference"
    reference: str


# --- readings, circuit, severity, assess ------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class SourceNotPhysicalError(HazardReportError):
    """A source with a negative voltage or resistance, or one that is not a number: no body current follows."""

    key = "source_not_physical"
    voltage: str
    impedance: str
    series_resistance: str


@dataclass(kw_only=True, eq=False)
class StoredChargeNotPhysicalError(HazardReportError):
    """A circuit between the pins, or a question about it, that cannot be: negative, or not a number."""

    key = "stored_charge_not_physical"
    values: str


# circuit


@dataclass(kw_only=True, eq=False)
class FloatingNetworkError(HazardReportError):
    """Nodes without any conducting path to the rest: their potential is not fixed by the network."""

    key = "floating_network"
    nodes: str
    ground: str


@dataclass(kw_only=True, eq=False)
class NetworkNotSolvableError(HazardReportError):
    """Equations of a network that contradict each other or leave a current open."""

    key = "network_not_solvable"
    branches: str


@dataclass(kw_only=True, eq=False)
class UnknownNodeError(HazardReportError):
    """A node that the network does not have."""

    key = "unknown_node"
    node: str


@dataclass(kw_only=True, eq=False)
class UnknownBranchError(HazardReportError):
    """A branch that the network does not have."""

    key = "unknown_branch"
    branch: str


@dataclass(kw_only=True, eq=False)
class SupplyNotSolvedError(HazardReportError):
    """A supply system that the engine does not solve; reason and advice are sentences of the wording."""

    key = "supply_not_solved"
    supply: str
    reason: str
    advice: str


@dataclass(kw_only=True, eq=False)
class WiringIncompleteError(HazardReportError):
    """A field of the wiring without which nothing can be computed."""

    key = "wiring_incomplete"
    missing: str


@dataclass(kw_only=True, eq=False)
class StateNotPossibleError(HazardReportError):
    """A state that this wiring does not have or that is not known well enough; reason and advice are of the wording."""

    key = "state_not_possible"
    state: str
    reason: str
    advice: str


@dataclass(kw_only=True, eq=False)
class ObservationNotPredictableError(HazardReportError):
    """A reading between points, or in a state, for which the network has no prediction."""

    key = "observation_not_predictable"
    reading: str
    reason: str


@dataclass(kw_only=True, eq=False)
class NothingToFitError(HazardReportError):
    """No reading with a value that the network predicts."""

    key = "nothing_to_fit"
    readings: str


@dataclass(kw_only=True, eq=False)
class ReadingAboveSupplyError(HazardReportError):
    """A voltage above the supply that is said to cause it, doubt counted."""

    key = "reading_above_supply"
    voltage: str
    supply: str


# --- evidence ---------------------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class PictureFileMissingError(HazardReportError):
    """A file that was to be taken in as a picture is not there."""

    key = "picture_file_missing"
    path: str


@dataclass(kw_only=True, eq=False)
class NotAFileError(HazardReportError):
    """A folder, pipe or device where a file was expected."""

    key = "not_a_file"
    path: str


@dataclass(kw_only=True, eq=False)
class EmptyFileError(HazardReportError):
    """A file of zero bytes."""

    key = "empty_file"
    name: str


@dataclass(kw_only=True, eq=False)
class PictureFileTooBigError(HazardReportError):
    """More bytes than a picture is allowed to have."""

    key = "picture_file_too_big"
    name: str
    size: int
    limit: int


@dataclass(kw_only=True, eq=False)
class NotAPictureError(HazardReportError):
    """The content is no picture, whatever the file is called."""

    key = "not_a_picture"
    name: str


@dataclass(kw_only=True, eq=False)
class PictureTypeRefusedError(HazardReportError):
    """A picture of a kind that is not taken in."""

    key = "picture_type_refused"
    name: str
    type: str


@dataclass(kw_only=True, eq=False)
class PictureTooLargeError(HazardReportError):
    """More pixels than can be decoded safely."""

    key = "picture_too_large"
    name: str
    width: int
    height: int
    limit: int


@dataclass(kw_only=True, eq=False)
class PictureDamagedError(HazardReportError):
    """A picture that cannot be decoded to its last pixel."""

    key = "picture_damaged"
    name: str
    reason: str


@dataclass(kw_only=True, eq=False)
class AttachmentTooBigError(HazardReportError):
    """More bytes than an attachment is allowed to have."""

    key = "attachment_too_big"
    name: str
    size: int
    limit: int


@dataclass(kw_only=True, eq=False)
class FileChangedWhileReadError(HazardReportError):
    """A file was written to while it was copied."""

    key = "file_changed_while_read"
    name: str


@dataclass(kw_only=True, eq=False)
class OnlyFirstPictureShownError(HazardReportError):
    """A file with several pages, frames or pictures was taken in; said, not raised."""

    key = "only_first_picture_shown"
    name: str


@dataclass(kw_only=True, eq=False)
class CouldNotReadError(HazardReportError):
    """A file is there but could not be read."""

    key = "could_not_read"
    path: str
    reason: str


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


@dataclass(kw_only=True, eq=False)
class NoCaseError(HazardReportError):
    """A folder that holds no case."""

    key = "no_case"
    path: str


@dataclass(kw_only=True, eq=False)
class FolderNotEmptyError(HazardReportError):
    """A new case was to be made where something is already."""

    key = "folder_not_empty"
    path: str


@dataclass(kw_only=True, eq=False)
class NewerCaseFormatError(HazardReportError):
    """Written by a newer program; nothing is guessed."""

    key = "newer_case_format"
    path: str
    format: int
    supported: int


@dataclass(kw_only=True, eq=False)
class CaseInvalidError(HazardReportError):
    """Everything that keeps a case file from being read, with its place."""

    key = "case_invalid"
    path: str
    count: int
    listing: str
    details: tuple[Fault, ...]


@dataclass(kw_only=True, eq=False)
class CaseNotSavableError(HazardReportError):
    """The case holds values that no file could give back as they are."""

    key = "case_not_savable"
    count: int
    listing: str
    details: tuple[Fault, ...]


@dataclass(kw_only=True, eq=False)
class LogFullError(HazardReportError):
    """A revision more would make the log, or the texts behind it, longer than they are read."""

    key = "log_full"
    path: str
    problem: str


@dataclass(kw_only=True, eq=False)
class CaseOpenElsewhereError(HazardReportError):
    """Another process that is alive has the case open."""

    key = "case_open_elsewhere"
    path: str
    holder: str


@dataclass(kw_only=True, eq=False)
class CaseReadOnlyError(HazardReportError):
    """The folder cannot be written, so the case opens read-only."""

    key = "case_read_only"
    path: str
    reason: str


@dataclass(kw_only=True, eq=False)
class UnsavedWorkRecoveredError(HazardReportError):
    """Edits that were not saved were found and are in the opened case."""

    key = "unsaved_work_recovered"
    path: str
    revision: int


@dataclass(kw_only=True, eq=False)
class JournalDamagedError(HazardReportError):
    """The journal of unsaved edits cannot be read."""

    key = "journal_damaged"
    path: str
    listing: str


@dataclass(kw_only=True, eq=False)
class CaseFileDamagedError(HazardReportError):
    """case.json cannot be read; an older copy was opened instead."""

    key = "case_file_damaged"
    path: str
    used: str
    revision: int
    listing: str


@dataclass(kw_only=True, eq=False)
class CaseFileChangedError(HazardReportError):
    """case.json differs from what the program saved."""

    key = "case_file_changed"
    path: str


@dataclass(kw_only=True, eq=False)
class ManifestMissingError(HazardReportError):
    """There is no list of hashes to check the case against."""

    key = "manifest_missing"
    path: str


@dataclass(kw_only=True, eq=False)
class ManifestDamagedError(HazardReportError):
    """Lines of the list of hashes that cannot be read."""

    key = "manifest_damaged"
    path: str
    lines: str


@dataclass(kw_only=True, eq=False)
class PictureMissingError(HazardReportError):
    """A picture of the case has no file."""

    key = "picture_missing"
    picture: str
    file: str


@dataclass(kw_only=True, eq=False)
class PictureChangedError(HazardReportError):
    """A picture's bytes are no longer those that were taken in."""

    key = "picture_changed"
    picture: str
    file: str


@dataclass(kw_only=True, eq=False)
class PictureHashesDisagreeError(HazardReportError):
    """The case and the list of hashes name different hashes for one picture."""

    key = "picture_hashes_disagree"
    picture: str
    file: str


@dataclass(kw_only=True, eq=False)
class AttachmentMissingError(HazardReportError):
    """An attachment of the case has no file."""

    key = "attachment_missing"
    attachment: str
    file: str


@dataclass(kw_only=True, eq=False)
class AttachmentChangedError(HazardReportError):
    """An attachment's bytes are no longer those that were taken in."""

    key = "attachment_changed"
    attachment: str
    file: str


@dataclass(kw_only=True, eq=False)
class AnchorRefusedError(HazardReportError):
    """What is said of a hash that was handed over cannot be so; `reason` says why."""

    key = "anchor_refused"
    reason: str


@dataclass(kw_only=True, eq=False)
class AnchorDisagreesError(HazardReportError):
    """An anchor has another hash than the log has for its revision."""

    key = "anchor_disagrees"
    revision: int
    whom: str


@dataclass(kw_only=True, eq=False)
class NothingThereError(HazardReportError):
    """A path names nothing."""

    key = "nothing_there"
    path: str


@dataclass(kw_only=True, eq=False)
class PatchRefusedError(HazardReportError):
    """A change in the log names a place that the record does not have."""

    key = "patch_refused"
    path: str


@dataclass(kw_only=True, eq=False)
class LogMissingError(HazardReportError):
    """The case has no log although its format has one."""

    key = "log_missing"
    path: str


@dataclass(kw_only=True, eq=False)
class LogDamagedError(HazardReportError):
    """Lines of the log cannot be read, or do not go on from the line before."""

    key = "log_damaged"
    path: str
    count: int
    listing: str


@dataclass(kw_only=True, eq=False)
class LogDisagreesError(HazardReportError):
    """The record is not what the log says that was saved last; `listing` names the places."""

    key = "log_disagrees"
    path: str
    listing: str


@dataclass(kw_only=True, eq=False)
class ValuesDamagedError(HazardReportError):
    """Lines of the file with the texts behind the log's hashes are unreadable or false."""

    key = "values_damaged"
    path: str
    count: int
    listing: str


@dataclass(kw_only=True, eq=False)
class ValuesMissingError(HazardReportError):
    """Texts behind hashes of the log are gone although the log does not say that they were erased."""

    key = "values_missing"
    path: str
    count: int


@dataclass(kw_only=True, eq=False)
class NewerCaseReadOnlyError(HazardReportError):
    """A newer program saved the case and says that this one may show it; what it does not know is not shown."""

    key = "newer_case_read_only"
    path: str
    format: int
    supported: int
    listing: str


@dataclass(kw_only=True, eq=False)
class UnsavedWorkError(HazardReportError):
    """A case whose journal holds edits that a pack would not have."""

    key = "unsaved_work"
    path: str


@dataclass(kw_only=True, eq=False)
class CaseNotPackedError(HazardReportError):
    """Everything that keeps a case from being packed, file by file."""

    key = "case_not_packed"
    path: str
    count: int
    listing: str
    details: tuple[Fault, ...]


@dataclass(kw_only=True, eq=False)
class PackRefusedError(HazardReportError):
    """Everything that keeps a pack from being opened; nothing of it was taken."""

    key = "pack_refused"
    path: str
    count: int
    listing: str
    details: tuple[Fault, ...]


@dataclass(kw_only=True, eq=False)
class PackNotCanonicalError(HazardReportError):
    """A zip file whose contents are those of a pack, but whose other bytes are not as this program writes them."""

    key = "pack_not_canonical"
    path: str
    count: int
    listing: str


@dataclass(kw_only=True, eq=False)
class PackDisagreesError(HazardReportError):
    """What a pack says about its case is not what the case in it says."""

    key = "pack_disagrees"
    path: str
    listing: str


@dataclass(kw_only=True, eq=False)
class PackReadOnlyError(HazardReportError):
    """A case that was opened from a pack: it may be looked at, not saved."""

    key = "pack_read_only"
    path: str


@dataclass(kw_only=True, eq=False)
class UnitSheetRefusedError(HazardReportError):
    """Every fault of a unit sheet; nothing of it was taken."""

    key = "unit_sheet_refused"
    path: str
    count: int
    listing: str
    details: tuple[Fault, ...]


@dataclass(kw_only=True, eq=False)
class BenchSheetRefusedError(HazardReportError):
    """Every fault of a bench sheet; nothing of it was taken."""

    key = "bench_sheet_refused"
    path: str
    count: int
    listing: str
    details: tuple[Fault, ...]


@dataclass(kw_only=True, eq=False)
class TableSheetRefusedError(HazardReportError):
    """Every fault of a sheet with the digits of a table; nothing of it was taken."""

    key = "table_sheet_refused"
    path: str
    count: int
    listing: str
    details: tuple[Fault, ...]


# --- addressees, report -----------------------------------------------------------------------------------------------


@dataclass(kw_only=True, eq=False)
class UnknownProfileError(HazardReportError):
    """No addressee has that key."""

    key = "unknown_profile"
    exit_code = ExitCode.USAGE
    profile: str
    known: str


@dataclass(kw_only=True, eq=False)
class UnknownReportPartError(HazardReportError):
    """A profile names parts of the report that nothing builds."""

    key = "unknown_report_part"
    profile: str
    parts: str
    known: str


@dataclass(kw_only=True, eq=False)
class ProfileRefusedError(HazardReportError):
    """The file of an addressee leaves something out, or says what nobody can read; place: in that file."""

    key = "profile_refused"
    profile: str
    place: str
    reason: str


@dataclass(kw_only=True, eq=False)
class DayOutsideCalendarError(HazardReportError):
    """A day in years for which no calendar of holidays is held."""

    key = "day_outside_calendar"
    day: str
    calendar: str
    first: str
    last: str


@dataclass(kw_only=True, eq=False)
class NothingExpectedError(HazardReportError):
    """A calendar file was asked for, and no day is expected: a calendar without entries is none."""

    key = "nothing_expected"
    exit_code = ExitCode.INCOMPLETE_OR_CHANGED


@dataclass(kw_only=True, eq=False)
class LetterRefusedError(HazardReportError):
    """What is said of a letter cannot be so; `reason` says why."""

    key = "letter_refused"
    reason: str


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
