"""Whether a publication should still be held back: until an authority and the maker have the report.

The letters of the case tell who has it. Nobody is stopped: whoever publishes before says why, and the reason is kept.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from hazardreport import wording
from hazardreport.addressees.asked import Kind
from hazardreport.addressees.letter_days import counted_day
from hazardreport.addressees.profiles import profile, profile_keys
from hazardreport.case.case import Case
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.stated import Standing


class Recipient(StrEnum):
    """Who must have the report before it is published."""

    AUTHORITY = "authority"
    MAKER = "maker"


@dataclass(frozen=True, kw_only=True, slots=True)
class Hold:
    """Whether a publication is held back.

    authority, maker   ids of the letters that show that they have the report
    nobody_knows_whom  ids of reports that were sent to somebody of whom it is not said who that is
    without_day        ids of letters that would show it, had they a day on which they can have gone out or come in
    reason             why it is published before, "" if nobody said
    """

    authority: tuple[str, ...]
    maker: tuple[str, ...]
    nobody_knows_whom: tuple[str, ...]
    without_day: tuple[str, ...]
    reason: str

    @property
    def missing(self) -> tuple[Recipient, ...]:
        """Who does not have the report, as far as the letters tell."""
        found = ((Recipient.AUTHORITY, self.authority), (Recipient.MAKER, self.maker))
        return tuple(recipient for recipient, letters in found if not letters)

    @property
    def held_back(self) -> bool:
        """Whether somebody does not have the report yet, and no reason is given."""
        return bool(self.missing) and not self.reason

    @property
    def sentences(self) -> tuple[str, ...]:
        """What the person who publishes must know; who has it already, or why it goes out before."""
        missing = ", ".join(wording.sentence(f"letters.hold.{one.value}") for one in self.missing)
        if not missing:
            authority, maker = ", ".join(self.authority), ", ".join(self.maker)
            return (wording.sentence("letters.hold.free", authority_letters=authority, maker_letters=maker),)
        if self.reason:
            return (wording.sentence("letters.hold.reason", missing=missing, reason=self.reason),)
        why = (("whom", self.nobody_knows_whom), ("without_day", self.without_day))
        return (
            wording.sentence("letters.hold.held_back", missing=missing),
            *(wording.sentence(f"letters.hold.{key}", letters=", ".join(ids)) for key, ids in why if ids),
        )


def publication_hold(case: Case, today: date) -> Hold:
    """Who has the report, by the letters: a report that was sent, a receipt that came, a comment of the maker.

    A letter without a day, with one after today or before the years of the calendars shows nothing; nor does one
    without a known addressee, unless the maker comments. The reason is that of `consents.early_publication`.
    """
    known = profile_keys()
    kinds = {letter.id: profile(letter.addressee).kind for letter in case.letters if letter.addressee in known}
    by_kind = {kind: [one for one in case.letters if _shows(one, kinds, kind)] for kind in (Kind.AUTHORITY, Kind.MAKER)}
    shown = {kind: _ids(one for one in found if counted_day(one, today)) for kind, found in by_kind.items()}
    lacking = (kind for kind, ids in shown.items() if not ids)
    stated = case.consents.early_publication
    return Hold(
        authority=shown[Kind.AUTHORITY],
        maker=shown[Kind.MAKER],
        nobody_knows_whom=_ids(one for one in case.letters if one.kind is LetterKind.REPORT and one.id not in kinds),
        without_day=_ids(one for kind in lacking for one in by_kind[kind]),
        reason=stated.text.strip() if stated.standing is Standing.VALUE else "",
    )


def _ids(letters: Iterable[Letter]) -> tuple[str, ...]:
    return tuple(sorted(letter.id for letter in letters))


def _shows(letter: Letter, kinds: dict[str, Kind], kind: Kind) -> bool:
    """Whether a letter shows that an addressee of that kind has the report, if it has a day."""
    if kind is Kind.MAKER and letter.kind is LetterKind.MAKER_COMMENT:
        return True
    return letter.kind in (LetterKind.REPORT, LetterKind.RECEIPT) and kinds.get(letter.id) is kind
