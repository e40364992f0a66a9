"""Whether a publication should still be held back: until an authority and the maker have the report.

The letters of the case tell who has it. Nobody is stopped: whoever publishes before says why, and the reason is kept.
"""

from dataclasses import dataclass
from enum import StrEnum

from hazardreport import wording
from hazardreport.addressees.asked import Kind
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
    reason             why it is published before, "" if nobody said
    """

    authority: tuple[str, ...]
    maker: tuple[str, ...]
    nobody_knows_whom: tuple[str, ...]
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
            letters = ", ".join(dict.fromkeys((*self.authority, *self.maker)))
            return (wording.sentence("letters.hold.free", letters=letters),)
        if self.reason:
            return (wording.sentence("letters.hold.reason", missing=missing, reason=self.reason),)
        told = wording.sentence("letters.hold.held_back", missing=missing)
        if not self.nobody_knows_whom:
            return (told,)
        return (told, wording.sentence("letters.hold.whom", letters=", ".join(self.nobody_knows_whom)))


def publication_hold(case: Case) -> Hold:
    """Who has the report, by the letters: a report that was sent, a receipt that came, a comment of the maker.

    The reason is that of `consents.early_publication`. A letter without a known addressee shows nothing.
    """
    known = profile_keys()
    kinds = {letter.id: profile(letter.addressee).kind for letter in case.letters if letter.addressee in known}
    stated = case.consents.early_publication
    return Hold(
        authority=tuple(letter.id for letter in case.letters if _has_it(letter, kinds, Kind.AUTHORITY)),
        maker=tuple(
            letter.id
            for letter in case.letters
            if letter.kind is LetterKind.MAKER_COMMENT or _has_it(letter, kinds, Kind.MAKER)
        ),
        nobody_knows_whom=tuple(
            letter.id for letter in case.letters if letter.kind is LetterKind.REPORT and letter.id not in kinds
        ),
        reason=stated.text.strip() if stated.standing is Standing.VALUE else "",
    )


def _has_it(letter: Letter, kinds: dict[str, Kind], kind: Kind) -> bool:
    shown = letter.kind in (LetterKind.REPORT, LetterKind.RECEIPT) and letter.day.strip()
    return bool(shown) and kinds.get(letter.id) is kind
