"""No sentence of the program gives a danger less or more weight than it has; the list says why, and from where."""

import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from hazardreport.case.loaded_words import loaded_words, weight_exceptions, weight_rules
from hazardreport.resources_dir import RESOURCES
from hazardreport.standards.references import reference

WORDING = RESOURCES / "wording" / "en"


def sentences(key: str, entry: Any) -> Iterator[tuple[str, str]]:
    """(key, sentence) of everything in a wording file."""
    if isinstance(entry, str):
        yield key, entry
    elif isinstance(entry, Mapping):
        for name, value in entry.items():
            yield from sentences(f"{key}.{name}", value)
    elif isinstance(entry, list):
        for number, value in enumerate(entry):
            yield from sentences(f"{key}.{number}", value)


def every_sentence() -> list[tuple[str, str]]:
    return [
        found
        for path in sorted(WORDING.glob("*.toml"))
        for found in sentences(path.stem, tomllib.loads(path.read_text(encoding="utf-8")))
    ]


def offences(key: str, sentence: str) -> list[str]:
    """Words of the list in a sentence that no exception of that sentence names."""
    allowed = weight_exceptions().get(key, {})
    return [f"{key}: {found.text}" for found in loaded_words(sentence) if found.text.lower() not in allowed]


def test_no_sentence_plays_a_danger_down_or_exaggerates() -> None:
    assert [offence for key, sentence in every_sentence() for offence in offences(key, sentence)] == []


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("As a precautionary measure, stop using it.", ["precautionary"]),
        ("In rare situations the part can be live.", ["In rare situations"]),
        ("This unit is a death-trap.", ["death-trap"]),
        ("A ticking\nbomb!", ["ticking\nbomb"]),
        ("No accidents have been reported; a killer.", ["No accidents have been reported", "killer"]),
        ("Involuntary muscle contraction.", []),
        ("It rarefies.", []),
        ("non-voluntary", []),
        ("Deadly current.", []),
    ],
)
def test_planted_offences_are_caught_as_whole_words(sentence: str, words: list[str]) -> None:
    assert offences("planted.key", sentence) == [f"planted.key: {word}" for word in words]


def test_an_exception_holds_for_its_word_only() -> None:
    key = "problems.other_lamp.what"
    assert offences(key, "harmless") == []
    assert offences(key, "a harmless killer") == [f"{key}: killer"]
    assert offences("problems.other", "harmless") == ["problems.other: harmless"]


def test_every_exception_has_its_reason_and_is_needed() -> None:
    known = dict(every_sentence())
    for key, words in weight_exceptions().items():
        found = {one.text.lower() for one in loaded_words(known[key])}
        assert set(words) == found, key
        assert all(len(reason) > 20 for reason in words.values()), key


def test_every_rule_says_why_and_a_confirmed_one_has_its_source() -> None:
    for rule in weight_rules():
        assert rule.words
        assert rule.why.endswith(".")
        assert rule.status in ("confirmed", "common practice")
        if rule.status == "confirmed":
            assert len(rule.source) == 2
        if rule.source:
            reference(rule.source[0])


def test_no_expression_is_listed_twice() -> None:
    listed = [word for rule in weight_rules() for word in rule.words]
    assert sorted(listed) == sorted(set(listed))
    assert all(word == word.lower().strip() for word in listed)


@pytest.mark.published("eu-2023-988", "art. 36(2)(c)")
@pytest.mark.parametrize(
    "words", ["voluntary", "precautionary", "discretionary", "in rare situations", "in specific situations"]
)
def test_every_expression_that_the_rule_for_recall_notices_names_is_listed(words: str) -> None:
    (rule,) = [rule for rule in weight_rules() if words in rule.words]
    assert (rule.source, rule.status) == (("eu-2023-988", "art. 36(2)(c)"), "confirmed")
