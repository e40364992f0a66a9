"""The US view: classes of the handbook, factors of 16 CFR 1115 answered or open."""

from dataclasses import fields, replace
from itertools import pairwise

import pytest

from hazardreport.case.scenario import HarmFactors, HarmGrade, Likelihood
from hazardreport.case.stated import Stated, not_applicable, unknown, value
from hazardreport.quantity.trace import Status
from hazardreport.risk.records import FactorStanding, HazardPriority
from hazardreport.risk.us_priority import hazard_priority, weighed

GRADES = (HarmGrade.GRIEVOUS, HarmGrade.SERIOUS, HarmGrade.MODERATE)
LIKELIHOODS = (Likelihood.VERY_LIKELY, Likelihood.LIKELY, Likelihood.POSSIBLE)


def letter(harm: HarmGrade, likelihood: Likelihood) -> str:
    return hazard_priority(HarmFactors(harm=harm, likelihood=likelihood)).letter


@pytest.mark.published("us-recall-handbook", "class A, as a copy gives it")
@pytest.mark.parametrize(
    ("harm", "likelihood"),
    [
        (HarmGrade.GRIEVOUS, Likelihood.VERY_LIKELY),
        (HarmGrade.GRIEVOUS, Likelihood.LIKELY),
        (HarmGrade.SERIOUS, Likelihood.VERY_LIKELY),
    ],
)
def test_class_a(harm: HarmGrade, likelihood: Likelihood) -> None:
    found = hazard_priority(HarmFactors(harm=harm, likelihood=likelihood))

    assert found.letter == "A"
    assert found.source is not None
    assert found.source.status is Status.CONFIRMED
    assert "memory" not in found.sentence


@pytest.mark.parametrize(
    ("harm", "likelihood", "expected"),
    [
        (HarmGrade.GRIEVOUS, Likelihood.POSSIBLE, "B"),
        (HarmGrade.SERIOUS, Likelihood.LIKELY, "B"),
        (HarmGrade.MODERATE, Likelihood.VERY_LIKELY, "B"),
        (HarmGrade.SERIOUS, Likelihood.POSSIBLE, "C"),
        (HarmGrade.MODERATE, Likelihood.POSSIBLE, "C"),
        (HarmGrade.MODERATE, Likelihood.LIKELY, "C"),
    ],
)
def test_classes_b_and_c_are_from_memory_and_say_so(harm: HarmGrade, likelihood: Likelihood, expected: str) -> None:
    found = hazard_priority(HarmFactors(harm=harm, likelihood=likelihood))

    assert found.letter == expected
    assert "from memory" in found.sentence
    assert ("our choice" in found.sentence) == ((harm, likelihood) == (HarmGrade.MODERATE, Likelihood.LIKELY))


def test_a_graver_or_likelier_harm_never_has_a_lower_priority() -> None:
    for harm in GRADES:
        assert all(letter(harm, more) <= letter(harm, less) for more, less in pairwise(LIKELIHOODS))
    for likelihood in LIKELIHOODS:
        assert all(letter(graver, likelihood) <= letter(lighter, likelihood) for graver, lighter in pairwise(GRADES))


@pytest.mark.parametrize(
    "factors",
    [HarmFactors(), HarmFactors(harm=HarmGrade.SERIOUS), HarmFactors(likelihood=Likelihood.LIKELY)],
)
def test_while_one_of_them_is_open_there_is_no_letter(factors: HarmFactors) -> None:
    assert hazard_priority(factors) == HazardPriority()


def test_in_an_empty_case_every_factor_is_open_or_for_the_authority() -> None:
    found = weighed(HarmFactors())

    assert {factor.standing for factor in found} == {FactorStanding.OPEN, FactorStanding.FOR_THE_AUTHORITY}
    assert [factor.key for factor in found if factor.standing is FactorStanding.FOR_THE_AUTHORITY] == [
        "experience",
        "case-law",
    ]
    assert {factor.source.place for factor in found} == {"1115.12(g)(1)", "1115.4"}
    assert {factor.source.status for factor in found} == {Status.CONFIRMED}


def test_every_field_about_weight_answers_a_factor() -> None:
    beside = {"likelihood_reason", "plausibility", "assessor"}
    texts = {field.name for field in fields(HarmFactors) if field.type is Stated} - beside

    assert texts <= {factor.field for factor in weighed(HarmFactors())}


@pytest.mark.parametrize("name", [field.name for field in fields(HarmFactors) if field.type is Stated])
def test_a_factor_stands_as_its_field_does(name: str) -> None:
    def standings(stated: Stated) -> set[tuple[FactorStanding, str]]:
        found = weighed(replace(HarmFactors(), **{name: stated}))
        return {(factor.standing, factor.text) for factor in found if factor.field == name}

    if not standings(Stated()):
        return
    assert standings(value("told")) == {(FactorStanding.ANSWERED, "told")}
    assert standings(unknown("nobody counted")) == {(FactorStanding.ABSENT_WITH_REASON, "nobody counted")}
    assert standings(not_applicable("one unit")) == {(FactorStanding.ABSENT_WITH_REASON, "one unit")}
    assert standings(unknown("")) == {(FactorStanding.OPEN, "")}


def test_severity_is_answered_by_harm_and_likelihood_together() -> None:
    half = {factor.key: factor for factor in weighed(HarmFactors(harm=HarmGrade.SERIOUS))}
    whole = {f.key: f for f in weighed(HarmFactors(harm=HarmGrade.SERIOUS, likelihood=Likelihood.LIKELY))}

    assert (half["severity"].standing, half["nature"].standing) == (FactorStanding.OPEN, FactorStanding.ANSWERED)
    assert whole["severity"].text == "serious injury, likely"
