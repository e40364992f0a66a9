"""Severities, injuries, hazards and consumers: complete, keyed once, and each with its status."""

import pytest

from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.scenario import Consumer
from hazardreport.quantity.trace import Source, Status
from hazardreport.risk.consumers import consumer_kinds
from hazardreport.risk.hazards import hazard, hazards
from hazardreport.risk.injuries import injuries, injury, severities
from hazardreport.risk.level import bands
from hazardreport.risk.marking import marked
from hazardreport.standards.confirmed import confirmations_count
from hazardreport.standards.tables import table, table_as_filed


def test_four_severities_each_with_its_meaning() -> None:
    assert [level.severity for level in severities()] == [1, 2, 3, 4]
    assert {level.source.status for level in severities()} == {Status.CONFIRMED}


@pytest.mark.published("eu-2019-417", "levels of severity: level 4 is or could be fatal, level 1 needs no doctor")
def test_the_ends_of_severity_mean_what_is_published() -> None:
    lightest, *_, gravest = severities()

    assert "first aid" in lightest.meaning
    assert "fatal" in gravest.meaning


def test_injuries_have_keys_of_their_own_and_a_severity_each() -> None:
    keys = [one.key for one in injuries()]

    assert len(set(keys)) == len(keys) == 11
    assert all(one.severities and set(one.severities) == set(one.sources) for one in injuries())
    assert {one.source.status for one in injuries()} == {Status.FROM_MEMORY}


def test_an_electric_shock_has_entries_at_two_levels_only() -> None:
    found = injury("electric-shock")

    assert found is not None
    assert set(found.severities) == {2, 4}
    assert found.severities[4] == "electrocution"
    assert injury("boredom") is None


def test_hazards_have_keys_of_their_own_and_names_for_a_list() -> None:
    keys = [one.key for one in hazards()]

    assert len(set(keys)) == len(keys)
    assert len({one.name for one in hazards()}) == len(keys)
    assert {one.source.status for one in hazards()} == {Status.FROM_MEMORY}
    found = hazard("high-or-low-voltage")
    assert found is not None
    assert found.name == "high or low voltage (electrical energy)"
    assert hazard("") is None


def test_every_kind_of_consumer_of_the_record_is_in_the_table() -> None:
    assert {kind.consumer for kind in consumer_kinds()} == set(Consumer) - {Consumer.OPEN}
    assert {kind.source.status for kind in consumer_kinds()} == {Status.FROM_MEMORY}


@pytest.mark.parametrize(
    ("source", "told"),
    [
        (Status.CONFIRMED, "high"),
        (None, "high"),
        (Source(key="eu-2019-417"), "high"),
        (Source(key="eu-2019-417", status=Status.FROM_MEMORY), "high (table cell from memory)"),
        (Status.COMMON_PRACTICE, "high (common practice)"),
        (Status.CHOICE, "high (our choice)"),
    ],
)
def test_a_cell_that_is_not_confirmed_says_so(source: Source | Status | None, told: str) -> None:
    assert marked("high", source) == told


def test_nothing_is_marked_where_nothing_is_printed() -> None:
    assert marked("", Status.FROM_MEMORY) == ""


def test_a_reader_of_the_document_takes_the_mark_from_the_cells_that_agree() -> None:
    filed = table_as_filed("eu-2019-417", "risk-level")
    rows = (("> 1/100", "", "", "S", "L"),)
    confirmation = TableConfirmation(
        id="confirmation-001",
        table="eu-2019-417/risk-level",
        sha256=filed.sha256,
        edition="2019/417",
        page="1",
        name="N. N.",
        day="2026-11-20",
        rows=rows,
    )
    with confirmations_count((confirmation,)):
        band = bands()[2]
        assert [source.status for source in band.sources] == [
            Status.FROM_MEMORY,
            Status.FROM_MEMORY,
            Status.CONFIRMED,
            Status.FROM_MEMORY,
        ]
        assert [level.value for level in band.levels] == ["medium", "serious", "serious", "serious"]
        assert table("eu-2019-417", "risk-level").confirmed
    assert {source.status for source in bands()[2].sources} == {Status.FROM_MEMORY}
