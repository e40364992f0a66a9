"""The table of risk levels: published cells, edges of bands, monotone in both directions, status of every cell."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.errors import SeverityRefusedError
from hazardreport.quantity.trace import Status
from hazardreport.risk.level import SEVERITIES, bands, risk_level
from hazardreport.risk.records import RiskLevel
from hazardreport.standards.tables import table

S, H, M, L = RiskLevel.SERIOUS, RiskLevel.HIGH, RiskLevel.MEDIUM, RiskLevel.LOW
EDGES = (Fraction(1, 2), *(Fraction(1, 10**power) for power in range(1, 7)))
PROBABILITIES = st.fractions(min_value=0, max_value=1, max_denominator=10**9).filter(bool) | st.sampled_from(EDGES)


@pytest.mark.published("eu-2010-15", "part IV, example of the folding chair: 1/500 with severity 1 is low")
def test_the_published_cell() -> None:
    cell = risk_level(Fraction(1, 500), 1)

    assert cell.level is RiskLevel.LOW
    assert cell.band == "> 1/1 000"
    assert cell.source.status is Status.CONFIRMED


def test_all_other_cells_say_that_they_are_from_memory() -> None:
    statuses = [source.status for band in bands() for source in band.sources]

    assert statuses.count(Status.CONFIRMED) == 1
    assert statuses.count(Status.FROM_MEMORY) == 31


def test_the_table_holds_eight_bands_by_four_severities() -> None:
    """That shape is told by a restatement; the counts of the levels are those of the table as remembered."""
    levels = [level for band in bands() for level in band.levels]

    assert [len(band.levels) for band in bands()] == [4] * 8
    assert [levels.count(level) for level in (S, H, M, L)] == [12, 4, 5, 11]
    assert tuple(band.above for band in bands()) == (*EDGES, 0)


@pytest.mark.parametrize(
    ("probability", "severity", "level"),
    [
        pytest.param("1/6000", 3, H, id="hammer, from memory"),
        pytest.param("27/160000", 4, S, id="socket protector, numbers uncertain, from memory"),
        pytest.param("3/80000", 4, H, id="socket protector, second path, numbers uncertain, from memory"),
        pytest.param("1/6000", 4, S, id="derived"),
        pytest.param("1/2", 1, M, id="derived, on an edge"),
        pytest.param("1/10", 1, M, id="derived, on an edge "),
        pytest.param("1/1000", 2, M, id="derived, on an edge  "),
        pytest.param("1/1000000", 4, L, id="derived, on the lowest edge"),
        pytest.param("101/10000000", 4, H, id="derived, just above an edge"),
        pytest.param("1/500", 4, S, id="derived"),
    ],
)
def test_vectors_that_are_from_memory_or_derived(probability: str, severity: int, level: RiskLevel) -> None:
    """No published check: they guard the copy of the table against a slip of ours."""
    assert risk_level(Fraction(probability), severity).level is level


@pytest.mark.parametrize("edge", EDGES)
@pytest.mark.parametrize("severity", SEVERITIES)
def test_a_band_begins_strictly_above_its_edge(edge: Fraction, severity: int) -> None:
    number = EDGES.index(edge)
    just = Fraction(1, 10**30)
    on, above, below = (risk_level(edge + shift, severity) for shift in (0, just, -just))

    assert (above.number, on.number, below.number) == (number, number + 1, number + 1)
    assert on.on_boundary
    assert not above.on_boundary
    assert not below.on_boundary
    assert on.level is below.level


def test_one_in_a_million_is_in_no_band_by_the_letter_and_counted_in_the_lowest() -> None:
    cell = risk_level(Fraction(1, 1_000_000), 4)

    assert cell.band == "< 1/1 000 000"
    assert cell.on_boundary
    assert cell.source.status is not Status.CONFIRMED


def test_levels_rise_with_every_step_of_the_table() -> None:
    for higher, lower in pairwise(bands()):
        for above, below in zip(higher.levels, lower.levels, strict=True):
            assert above.order >= below.order
    for band in bands():
        for light, grave in pairwise(band.levels):
            assert grave.order >= light.order


@settings(derandomize=True, deadline=None)
@given(PROBABILITIES, PROBABILITIES, st.sampled_from(SEVERITIES), st.sampled_from(SEVERITIES))
def test_a_more_probable_or_graver_injury_is_never_a_lower_risk(
    one: Fraction, other: Fraction, light: int, grave: int
) -> None:
    low = risk_level(min(one, other), min(light, grave)).level
    high = risk_level(max(one, other), max(light, grave)).level

    assert high.order >= low.order


@pytest.mark.parametrize("severity", [0, 5, -1])
def test_a_severity_that_the_table_lacks_is_refused(severity: int) -> None:
    with pytest.raises(SeverityRefusedError):
        risk_level(Fraction(1, 2), severity)


def test_levels_are_ordered() -> None:
    assert [level.order for level in RiskLevel] == [4, 3, 2, 1]


def test_the_tables_say_that_they_are_from_memory() -> None:
    held = {name: table("eu-2019-417", name) for name in ("risk-level", "injuries", "hazards", "consumers", "severity")}
    statuses = {name: one.citation.status for name, one in held.items()}

    assert statuses.pop("severity") is Status.CONFIRMED
    assert set(statuses.values()) == {Status.FROM_MEMORY}
