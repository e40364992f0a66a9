"""The words of the requirements: safe to follow, understood without knowledge of electricity, no more than was seen."""

import re
from pathlib import Path

import pytest

from hazardreport import wording
from hazardreport.risk import protection_class
from hazardreport.risk.requirements import Kind, Requirement, requirements

ALL = requirements()
BY_KEY = pytest.mark.parametrize("asked", ALL, ids=lambda item: item.key)

NOT_ON_THE_UNIT = {"false-voltage-excluded"}
NEVER_ASKED_OF_A_READER = re.compile(
    r"\b(plug it in|plug in|switch (it )?on|turn (it )?on|measure|connect|unscrew|remove|take off|lift off|pour some|"
    r"fill it)\b",
    re.IGNORECASE,
)
UNEXPLAINED = re.compile(
    r"\b(impedance|potential|conductor|galvanic|polarity|dielectric|phase|neutral|ohmmeter|multimeter|accessible|"
    r"conductive|IEC|EN \d|SELV|PELV|MOV|RCD|GFCI|PE|basic insulation|reinforced)\b"
)
CLAIMED = re.compile(
    r"\b(violat\w*|illegal\w*|unlawful\w*|non-?complian\w*|non-?conform\w*|fails?|failed|unsafe|prohibited|must|"
    r"dangerous product|certainly|obviously|clearly|deadly)\b",
    re.IGNORECASE,
)
TERMS = {
    "earth": "earth",
    "insulation": "insulation",
    "insulating": "insulating",
    "class 0": "class 0",
    "class of protection": "class",
    "extra-low voltage": "extra-low voltage",
    "mm²": "mm²",
    "A": "A (ampere)",
    "V": "V (volt)",
    "W": "W (watt)",
    "live": "live part",
    "double square": "double square",
    "opening for steam": "vent",
    "load": "load",
    "in service": "use",
    "terminal": "terminal",
}
"""Trade term in a name or in what to look for, and what the explanation beside it must say."""


def told(asked: Requirement) -> str:
    return f"{asked.name} {asked.look_for}"


def unexplained_terms(name_and_look_for: str, explain: str) -> list[str]:
    """Trade terms that the explanation beside them does not take up."""
    return [
        term
        for term, needed in TERMS.items()
        if _pattern(term).search(name_and_look_for) and needed.casefold() not in explain.casefold()
    ]


def _pattern(term: str) -> re.Pattern[str]:
    """A word in any case; a unit of one letter behind a number or a bracket, so that "A reading" is none."""
    if len(term) == 1:
        return re.compile(rf"[\d(] ?{term}\b")
    return re.compile(rf"(?<![\w/]){re.escape(term)}(?![\w/])", re.IGNORECASE)


@BY_KEY
def test_what_to_look_for_is_safe(asked: Requirement) -> None:
    for text in (asked.name, asked.look_for, *asked.answers):
        assert not NEVER_ASKED_OF_A_READER.search(text)
    if asked.kind is Kind.READING:
        assert asked.look_for.startswith("Nothing to look for by eye")
        assert "qualified person" in asked.look_for
    elif asked.key not in NOT_ON_THE_UNIT:
        assert "with the plug out" in asked.look_for.casefold()
    if asked.opened:
        assert "open nothing" in asked.look_for
        assert "pictures that a qualified person took" in asked.look_for
    assert ("opened" in asked.look_for) == asked.opened


@BY_KEY
def test_an_explanation_that_speaks_of_readings_leaves_them_to_a_qualified_person(asked: Requirement) -> None:
    if re.search(r"\breadings?\b", asked.explain, re.IGNORECASE):
        assert "qualified person" in asked.explain


def test_a_planted_live_instruction_is_caught() -> None:
    assert NEVER_ASKED_OF_A_READER.search("Switch it on and measure between rim and tap.")


@BY_KEY
def test_no_trade_term_stands_without_an_explanation(asked: Requirement) -> None:
    assert UNEXPLAINED.findall(f"{told(asked)} {' '.join(asked.answers)}") == []
    assert unexplained_terms(told(asked), asked.explain) == []


def test_a_planted_trade_term_is_caught() -> None:
    assert unexplained_terms("Is the earth screw tight?", "A screw holds things.") == ["earth"]
    assert UNEXPLAINED.search("The impedance appears high.")


@BY_KEY
def test_sentences_are_short_enough_to_be_followed(asked: Requirement) -> None:
    for text in (asked.look_for, asked.explain, *asked.answers):
        for part in re.split(r"(?<=[.?!:;])\s+", text):
            assert len(part.split()) <= 36, part


@BY_KEY
def test_an_answer_says_no_more_than_was_seen(asked: Requirement) -> None:
    seen, not_seen, could_not = asked.answers

    assert re.search(r"\bappears?\b", seen)
    assert re.search(r"\bappears?\b|\b(was|were) found\b|were not found", not_seen)
    assert "could not be checked" in could_not
    assert not CLAIMED.search(" ".join(asked.answers))
    if asked.kind is Kind.READING:
        assert all("no comparison with" in answer for answer in (seen, not_seen))


def test_a_planted_claim_is_caught() -> None:
    assert CLAIMED.search("The cord violates the standard.")


def test_the_words_of_the_class_claim_nothing_either() -> None:
    texts = [wording.template(key) for key in wording.keys("protection_class")]

    assert not [text for text in texts if CLAIMED.search(text)]


def test_every_word_of_the_class_is_used() -> None:
    source = Path(protection_class.__file__).read_text(encoding="utf-8")
    ends = {key.rpartition(".")[2] for key in wording.keys("protection_class")}

    assert [end for end in sorted(ends) if not re.search(rf'["._]{end}["{{]', source)] == []
