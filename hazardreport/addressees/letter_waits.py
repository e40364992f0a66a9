"""Which letter ends which wait, and which request can hold a publication back."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from hazardreport.addressees.asked import FollowUp, Kind, Profile
from hazardreport.addressees.letter_days import day_of, has_come, in_order
from hazardreport.addressees.profiles import profile as profile_of
from hazardreport.addressees.profiles import profile_keys
from hazardreport.case.case import Case
from hazardreport.case.letter import Letter, LetterKind

Answered = Mapping[str, frozenset[str]]


def _not_earlier(letter: Letter, start: Letter) -> bool:
    began, came = day_of(start), day_of(letter)
    return began is None or came is None or came >= began


def _belongs(letter: Letter, start: Letter, answered: Answered) -> bool:
    """Whether a letter answers the start, or what the start, having come in, answers too."""
    if letter.id == start.id:
        return False
    if start.id in answered[letter.id]:
        return True
    together = not start.kind.sent and answered[letter.id] & answered[start.id]
    return bool(together) and _not_earlier(letter, start)


def _of_kind(starts: Sequence[Letter], letters: Sequence[Letter], answered: Answered) -> dict[str, Letter]:
    """For each start the letter of one kind that belongs to it; one that names no letter belongs to one start only."""
    found: dict[str, Letter] = {}
    for letter in letters:
        for one in starts:
            if one.id not in found and _belongs(letter, one, answered):
                found[one.id] = letter
    for letter in letters:
        if letter.answers:
            continue
        open_ = (one for one in starts if one.id not in found and one.id != letter.id and _not_earlier(letter, one))
        start = next(open_, None)
        if start is not None:
            found[start.id] = letter
    return found


def ends(follow: FollowUp, starts: Sequence[Letter], came: Sequence[Letter], answered: Answered) -> dict[str, Letter]:
    """By start: the letter that ended its wait: the one that is waited for, or one that shows that it has happened.

    Parameters
    ----------
    starts : sequence of Letter
        Those that start the wait, in their order.
    came : sequence of Letter
        All of the addressee that are not dated after today, in their order.
    """
    found: dict[str, Letter] = {}
    for kind in (follow.waits_for, *follow.ended_by):
        of_kind = [letter for letter in came if letter.kind is kind]
        found = {**_of_kind(starts, of_kind, answered), **found}
    return found


def end_without_start(follow: FollowUp, came: Iterable[Letter]) -> Letter | None:
    """The letter that ended a wait whose start would have come in and is not recorded; None if none did."""
    if follow.starts is None or follow.starts.sent or follow.waits_for is None:
        return None
    return next((letter for letter in came if letter.kind in (follow.waits_for, *follow.ended_by)), None)


def disputes(case: Case, profile: Profile, kind: LetterKind | None, today: date) -> tuple[Letter, ...]:
    """Letters of a kind that can hold back what the addressee does; it need not have been recorded under it.

    Left out is what belongs to another authority, and what is dated after today.
    """
    return tuple(
        letter
        for letter in in_order(case)
        if letter.kind is kind and has_come(letter, today) and _concerns(letter, profile)
    )


def _concerns(letter: Letter, profile: Profile) -> bool:
    if letter.addressee == profile.key or letter.addressee not in profile_keys():
        return True
    return profile_of(letter.addressee).kind is not Kind.AUTHORITY


def held_back_by(
    found: Iterable[Letter], start: Letter | None, since: date, latest: date, answered: Answered
) -> Letter | None:
    """The first of these that belongs to the start, has no day, or falls between two days, both counted in.

    Parameters
    ----------
    start : Letter or None
        Letter from which the wait is counted; None where it is only expected.
    since, latest : date
        The day of the report before, and the last day on which the addressee is expected to act.
    """
    for letter in found:
        day = day_of(letter)
        if day is None or since <= day <= latest or (start is not None and _belongs(letter, start, answered)):
            return letter
    return None
