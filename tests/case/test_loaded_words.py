"""Words that play a danger down or exaggerate it, in what the user writes: found whole, told gently, changed never."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.assess.record_problems import record_problems
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Finding, FindingAnswer, Occurrence
from hazardreport.case.letter import Letter, LetterKind
from hazardreport.case.loaded_words import Weight, loaded_words, weight_rules, wording_remarks
from hazardreport.case.requirement import RequirementAnswer
from hazardreport.case.scenario import HarmFactors, Scenario, ScenarioStep
from hazardreport.case.stated import not_applicable, value
from hazardreport.wording import sentence

WORDS = sorted(word for rule in weight_rules() for word in rule.words)


@pytest.mark.parametrize("word", WORDS)
def test_every_listed_expression_is_found_alone_and_in_capitals(word: str) -> None:
    for text in (word, word.upper(), f"({word}).", f"x {word.replace(' ', '  ')} x", word.replace(" ", "-")):
        (found,) = loaded_words(text)
        assert text[found.start : found.end] == found.text
        assert word in found.rule.words


@settings(derandomize=True, deadline=None, max_examples=200)
@given(word=st.sampled_from(WORDS), letter=st.sampled_from("abcxyzéß0_-"))
def test_a_longer_word_is_another_word(word: str, letter: str) -> None:
    assert not any(found.text == word for found in loaded_words(f"{letter}{word}"))


@settings(derandomize=True, deadline=None, max_examples=300)
@given(
    st.one_of(
        st.text(max_size=60),
        st.lists(st.one_of(st.sampled_from(WORDS), st.text(max_size=5)), max_size=6).map(" ".join),
        st.sampled_from(WORDS).map(
            lambda word: word.replace("s", "\u017f").replace("k", "\u212a").replace("i", "\u0130")
        ),
    )
)
def test_finds_never_overlap_and_lie_in_the_text(text: str) -> None:
    end = 0
    for found in loaded_words(text):
        assert end <= found.start < found.end <= len(text)
        assert text[found.start : found.end] == found.text
        end = found.end


def test_the_longest_expression_counts_once() -> None:
    assert [found.text for found in loaded_words("in rare cases, extremely rare; ticking bomb")] == [
        "in rare cases",
        "extremely rare",
        "ticking bomb",
    ]


CASE = Case(
    id="C-1",
    occurrence=Occurrence(
        narrative=value("Just a little shock from a time bomb."), injury=not_applicable("only a tingle, harmless")
    ),
    findings=(Finding(id="finding-001", text="A death trap!", answer=FindingAnswer.SEEN),),
    requirements=(RequirementAnswer(id="cord", answer=FindingAnswer.SEEN, note="a minor defect"),),
    scenarios=(
        Scenario(
            id="scenario-001",
            title="Shock",
            steps=(ScenarioStep(text="The killer strikes.", reason="very rare"),),
        ),
    ),
    harm_factors=HarmFactors(obviousness=value("a scandal")),
    letters=(
        Letter(id="letter-001", kind=LetterKind.REPORT, text="These crooks!"),
        Letter(id="letter-002", kind=LetterKind.ANSWER, text="A voluntary, precautionary measure."),
    ),
)


def test_each_free_text_of_the_user_is_looked_through_and_what_others_wrote_is_not() -> None:
    assert [(remark.id, remark.key) for remark in wording_remarks(CASE)] == [
        ("occurrence.narrative", "wording_plays_down"),
        ("occurrence.narrative", "wording_exaggerates"),
        ("occurrence.injury", "wording_plays_down"),
        ("harm_factors.obviousness", "wording_exaggerates"),
        ("finding-001", "wording_exaggerates"),
        ("cord", "wording_plays_down"),
        ("scenario-001", "wording_plays_down"),
        ("scenario-001", "wording_exaggerates"),
        ("letter-001", "wording_exaggerates"),
    ]


def test_they_are_gentle_problems_with_the_words_and_the_reason() -> None:
    problems = [problem for problem in record_problems(CASE) if problem.kind == "wording"]
    assert len(problems) == 9
    assert all(problem.gentle for problem in problems)
    texts = [
        sentence(f"problems.{one.key}.{part}", **dict(one.fields)) for one in problems for part in ("what", "remedy")
    ]
    assert (
        texts[0] == "The account of what happened holds words that make the danger look smaller: “just a little shock”."
    )
    assert any("finding-001" in text and "“death trap”" in text for text in texts)
    assert all("{" not in text for text in texts)


def test_sober_texts_give_nothing() -> None:
    sober = "Between the pot and earth 118.2 V were read. A helper felt a tingle and pulled the plug; nobody was hurt."
    assert (
        wording_remarks(replace(CASE, occurrence=Occurrence(narrative=value(sober)), findings=()))[0].id
        != "occurrence.narrative"
    )
    assert loaded_words(sober) == ()


def test_both_kinds_of_weight_have_rules() -> None:
    assert {rule.weight for rule in weight_rules()} == set(Weight)
