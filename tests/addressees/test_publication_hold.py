"""A publication is held back until an authority and the maker have the report, or somebody says why not."""

from dataclasses import replace
from datetime import date

import pytest

from hazardreport.addressees.publication_hold import Recipient, publication_hold
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Consents
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.stated import Stated, not_applicable, unknown, value

TODAY = date(2026, 11, 25)
CASE = Case(id="C-1", revision=2)
TO_AUTHORITY = Letter(id="letter-001", addressee="us-agency-harm", whom="office", day="2026-11-12")
TO_MAKER = Letter(id="letter-002", addressee="eu-maker-notice", whom="maker", day="2026-11-12")
COMMENT = Letter(id="letter-003", kind=LetterKind.MAKER_COMMENT, addressee="us-agency-harm", day="2026-11-20")


@pytest.mark.parametrize(
    ("letters", "missing"),
    [
        ((), {Recipient.AUTHORITY, Recipient.MAKER}),
        ((TO_AUTHORITY,), {Recipient.MAKER}),
        ((TO_MAKER,), {Recipient.AUTHORITY}),
        ((TO_AUTHORITY, TO_MAKER), set()),
        ((TO_AUTHORITY, COMMENT), set()),
        ((TO_AUTHORITY, replace(TO_MAKER, kind=LetterKind.MESSAGE)), {Recipient.MAKER}),
        ((TO_AUTHORITY, replace(TO_MAKER, kind=LetterKind.RECEIPT)), set()),
        ((TO_AUTHORITY, replace(TO_MAKER, addressee="")), {Recipient.MAKER}),
        ((TO_AUTHORITY, replace(TO_MAKER, addressee="nobody-knows")), {Recipient.MAKER}),
        ((TO_AUTHORITY, replace(TO_MAKER, day="")), {Recipient.MAKER}),
    ],
)
def test_the_letters_tell_who_has_the_report(letters: tuple[Letter, ...], missing: set[Recipient]) -> None:
    hold = publication_hold(replace(CASE, letters=letters), TODAY)
    assert set(hold.missing) == missing
    assert hold.held_back is bool(missing)


def test_a_reason_lets_it_go_and_is_told() -> None:
    case = replace(CASE, consents=Consents(early_publication=value("people are being hurt")))
    hold = publication_hold(case, TODAY)
    assert not hold.held_back
    assert hold.missing == (Recipient.AUTHORITY, Recipient.MAKER)
    (told,) = hold.sentences
    assert "people are being hurt" in told
    assert "an authority, the maker" in told


@pytest.mark.parametrize("stated", [Stated(), value("  "), unknown("not asked"), not_applicable("private")])
def test_what_is_no_reason_holds_it_back(stated: Stated) -> None:
    assert publication_hold(replace(CASE, consents=Consents(early_publication=stated)), TODAY).held_back


def test_the_sentences_name_who_lacks_it_and_which_letters_show_it() -> None:
    (told,) = publication_hold(replace(CASE, letters=(TO_AUTHORITY, TO_MAKER)), TODAY).sentences
    assert "An authority has the report, as letter-001 shows; the maker has it, as letter-002 shows." in told
    unknown_whom = replace(CASE, letters=(TO_AUTHORITY, replace(TO_MAKER, addressee="")))
    told, whom = publication_hold(unknown_whom, TODAY).sentences
    assert "has reached the maker." in told
    assert "letter-002" in whom


NO_DAY = [
    "",
    " ",
    "someday",
    "2026-02-31",
    "2026-11",
    "2026-W45",
    "03/04/2026",
    "2026-11-26",
    "2099-01-01",
    "9999-12-31",
]


@pytest.mark.parametrize("day", [*NO_DAY, "1900-01-01", "0001-01-01"])
def test_a_letter_that_cannot_have_gone_out_shows_nothing_and_is_named(day: str) -> None:
    letters = tuple(replace(letter, day=day) for letter in (TO_AUTHORITY, TO_MAKER, COMMENT))
    hold = publication_hold(replace(CASE, letters=letters), TODAY)
    assert hold.held_back
    assert (hold.authority, hold.maker) == ((), ())
    told, why = hold.sentences
    assert "has reached an authority, the maker." in told
    assert "letter-001, letter-002, letter-003 cannot show it" in why


def test_letters_of_today_count_and_one_without_a_day_beside_them_is_not_named() -> None:
    letters = (replace(TO_AUTHORITY, day="2026-11-25"), replace(TO_MAKER, day="2026-11-25T09:30"), COMMENT)
    hold = publication_hold(replace(CASE, letters=(*letters, replace(TO_MAKER, id="letter-004", day=""))), TODAY)
    assert (hold.authority, hold.maker) == (("letter-001",), ("letter-002", "letter-003"))
    assert not hold.held_back
    assert hold.without_day == ()
    (told,) = hold.sentences
    assert "letter-004" not in told
