"""A publication is held back until an authority and the maker have the report, or somebody says why not."""

from dataclasses import replace

import pytest

from hazardreport.addressees.publication_hold import Recipient, publication_hold
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Consents
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.stated import Stated, not_applicable, unknown, value

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
    hold = publication_hold(replace(CASE, letters=letters))
    assert set(hold.missing) == missing
    assert hold.held_back is bool(missing)


def test_a_reason_lets_it_go_and_is_told() -> None:
    case = replace(CASE, consents=Consents(early_publication=value("people are being hurt")))
    hold = publication_hold(case)
    assert not hold.held_back
    assert hold.missing == (Recipient.AUTHORITY, Recipient.MAKER)
    (told,) = hold.sentences
    assert "people are being hurt" in told
    assert "an authority, the maker" in told


@pytest.mark.parametrize("stated", [Stated(), value("  "), unknown("not asked"), not_applicable("private")])
def test_what_is_no_reason_holds_it_back(stated: Stated) -> None:
    assert publication_hold(replace(CASE, consents=Consents(early_publication=stated))).held_back


def test_the_sentences_name_who_lacks_it_and_which_letters_show_it() -> None:
    (told,) = publication_hold(replace(CASE, letters=(TO_AUTHORITY, TO_MAKER))).sentences
    assert "letter-001, letter-002" in told
    told, whom = publication_hold(replace(CASE, letters=(TO_AUTHORITY, replace(TO_MAKER, addressee="")))).sentences
    assert "has reached the maker." in told
    assert "letter-002" in whom
