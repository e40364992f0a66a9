"""Stated rates hold: 95 % intervals hold the truth in 95 % of cases, honest readings are called contradictory in 5 %.

A small study at every run; 500 cases by ``tests/bench/bench_coverage.py``.
"""

import re
from collections.abc import Iterator
from types import ModuleType
from typing import Any

import pytest
from scipy.special import bdtr, bdtrc

from hazardreport.standards.tables import table

CASES = 60
RISK = 0.001


def least(cases: int, rate: float) -> int:
    """The fewest hits that are within the binomial 99.9 % limits of a rate."""
    return next(hits for hits in range(cases + 1) if bdtr(hits, cases, rate) > RISK / 2.0)


def most(cases: int, rate: float) -> int:
    """The most hits that are within the binomial 99.9 % limits of a rate."""
    return next(hits for hits in range(cases, -1, -1) if bdtrc(hits - 1, cases, rate) > RISK / 2.0)


@pytest.fixture(scope="module", params=[False, True], ids=["normal", "within limits"])
def rates(request: pytest.FixtureRequest, coverage_study: ModuleType, simulation: ModuleType) -> Iterator[Any]:
    return coverage_study.study(simulation.simulated, range(CASES), within_limits=request.param)


@pytest.mark.parametrize(
    "name",
    [
        "supply voltage",
        "element resistance",
        "fault position",
        "fault resistance",
        "hot factor",
        "open-circuit voltage, reversed, off",
        "available fault current, reversed, off",
        "open-circuit voltage, straight, on",
        "available fault current, straight, on",
    ],
)
def test_the_95_percent_interval_holds_the_truth_at_that_rate(rates: Any, name: str) -> None:
    cases, hits = rates.cases[name], rates.hits[name]
    assert cases >= CASES // 2
    assert least(cases, 0.95) <= hits <= most(cases, 0.95)


def test_honest_readings_are_called_contradictory_no_more_often_than_stated(
    rates: Any, coverage_study: ModuleType
) -> None:
    name = coverage_study.CONTRADICTORY
    assert rates.cases[name] == CASES
    assert rates.hits[name] <= most(CASES, 0.05)
    assert rates.hits[coverage_study.NAMED] <= rates.hits[name]


def test_the_limits_leave_out_what_is_too_rare() -> None:
    assert (least(60, 0.95), most(60, 0.95)) == (50, 60)
    assert least(500, 0.95) == 458
    assert most(60, 0.05) == 10


@pytest.mark.slow
def test_the_table_of_the_coverage_study_is_what_its_cases_give(
    coverage_study: ModuleType, simulation: ModuleType
) -> None:
    """A case on the edge may fall otherwise with other libraries: two of 500 are let pass."""
    found = table("own-choices", "coverage-study")
    first, last = (int(seed) for seed in re.findall(r"\d{4,}", found.citation.source))
    rates = coverage_study.study(simulation.simulated, range(first, last + 1))
    assert [row[0] for row in found.rows] == list(rates.cases)
    for name, cases, covered in found.rows:
        assert rates.cases[name] == pytest.approx(int(cases), abs=2)
        assert rates.hits[name] == pytest.approx(int(covered), abs=2)
    for name, cases, covered in found.rows[:-2]:
        assert least(int(cases), 0.95) <= int(covered), name
