"""Words in a text that give a danger less or more weight than the facts do; the list is in resources/wording/weight."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from hazardreport.case.case import Case
from hazardreport.case.remark import Remark
from hazardreport.case.stated import Standing, Stated
from hazardreport.resources_dir import RESOURCES
from hazardreport.wording import LANGUAGE

FOLDER = RESOURCES / "wording" / "weight"


class Weight(StrEnum):
    """What such a word does to the danger it speaks of."""

    PLAYS_DOWN = "plays_down"
    EXAGGERATES = "exaggerates"


@dataclass(frozen=True, kw_only=True, slots=True)
class WeightRule:
    """Expressions with one reason.

    words   as listed, in small letters
    why     what is wrong with them
    source  (key in references.toml, place), or () where nobody is cited
    status  "confirmed" if the source names the expression, else "common practice"
    """

    weight: Weight
    words: tuple[str, ...]
    why: str
    source: tuple[str, ...]
    status: str


@dataclass(frozen=True, kw_only=True, slots=True)
class LoadedWord:
    """One find: text as it stands, from `start` to `end`, and the rule that lists it."""

    text: str
    start: int
    end: int
    rule: WeightRule


@cache
def weight_rules(language: str = LANGUAGE) -> tuple[WeightRule, ...]:
    """All rules of a language, in the order of the file."""
    entries = _file(language)
    return tuple(
        WeightRule(
            weight=weight,
            words=tuple(entry["words"]),
            why=entry["why"],
            source=tuple(entry.get("source", ())),
            status=entry["status"],
        )
        for weight in Weight
        for entry in entries[weight.value]
    )


@cache
def weight_exceptions(language: str = LANGUAGE) -> Mapping[str, Mapping[str, str]]:
    """Sentences of the program that may use such a word: key of the wording -> word -> reason."""
    return {key: dict(words) for key, words in _file(language)["exceptions"].items()}


def loaded_words(text: str) -> tuple[LoadedWord, ...]:
    """Every expression of the list in a text, in its order; the longest where one holds another.

    Examples
    --------
    >>> [(found.text, found.rule.weight.value) for found in loaded_words("A killer, in rare situations only.")]
    [('killer', 'exaggerates'), ('in rare situations', 'plays_down')]
    """
    pattern, by_words = _pattern(LANGUAGE)
    return tuple(
        LoadedWord(text=found[0], start=found.start(), end=found.end(), rule=by_words[_plain(found[0])])
        for found in pattern.finditer(text)
    )


def wording_remarks(case: Case) -> tuple[Remark, ...]:
    """Free texts of a case that hold such words: gently, one remark for each text and kind of weight."""
    return tuple(remark for link, record, text in _free_texts(case) for remark in _of_text(link, record, text))


def _of_text(link: str, record: str, text: str) -> Iterator[Remark]:
    found = loaded_words(text)
    for weight in Weight:
        those = [one for one in found if one.rule.weight is weight]
        if those:
            words = ", ".join(dict.fromkeys(f"\u201c{_plain(one.text)}\u201d" for one in those))
            why = " ".join(dict.fromkeys(one.rule.why for one in those))
            fields = (("place", link), ("words", words), ("why", why))
            yield Remark(key=f"wording_{weight.value}", kind="wording", id=record, fields=fields, gentle=True)


def _free_texts(case: Case) -> Iterator[tuple[str, str, str]]:
    """(place in the wording, record or field, text) of what the user writes freely; not what others wrote to them."""
    stated: tuple[tuple[str, Stated], ...] = (
        ("occurrence.narrative", case.occurrence.narrative),
        ("occurrence.injury", case.occurrence.injury),
        ("occurrence.damage", case.occurrence.damage),
        *(
            (f"harm_factors.{name}", getattr(case.harm_factors, name))
            for name in ("pattern", "injuries", "obviousness", "warnings", "misuse", "other", "plausibility")
        ),
    )
    for link, field in stated:
        yield link, link, field.text if field.standing is Standing.VALUE else field.reason
    for finding in case.findings:
        yield "finding", finding.id, finding.text
    for answer in case.requirements:
        yield "requirement", answer.id, answer.note
    for scenario in case.scenarios:
        texts = [scenario.title, scenario.severity_reason]
        texts += [text for step in scenario.steps for text in (step.text, step.reason)]
        yield "scenario", scenario.id, "\n".join(texts)
    yield from (("letter", letter.id, letter.text) for letter in case.letters if letter.kind.sent)


@cache
def _file(language: str) -> Mapping[str, Any]:
    with (FOLDER / f"{language}.toml").open("rb") as stream:
        return tomllib.load(stream)


def _plain(text: str) -> str:
    return " ".join(re.split(r"[\s-]+", text)).casefold()


@cache
def _pattern(language: str) -> tuple[re.Pattern[str], Mapping[str, WeightRule]]:
    by_words = {_plain(word): rule for rule in weight_rules(language) for word in rule.words}
    longest_first = sorted(by_words, key=lambda words: (-len(words), words))
    forms = "|".join(re.escape(words).replace("\\ ", r"[\s\u00a0\u202f-]{1,4}") for words in longest_first)
    return re.compile(rf"(?<![\w-])(?a:{forms})(?![\w-])", re.IGNORECASE), by_words
