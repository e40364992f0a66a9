"""The part on risk: exact fractions, whose judgement they are, cells from memory marked, what a level does not mean."""

import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from hazardreport.addressees.profiles import profile
from hazardreport.assess.assessment import assess
from hazardreport.assess.records import Assessment
from hazardreport.assess.risk import share_text
from hazardreport.case.case import Case
from hazardreport.case.scenario import HarmFactors, Scenario, ScenarioStep
from hazardreport.case.stated import Absence
from hazardreport.report.build import report_document
from hazardreport.report.context import MEMORY_MARK, Context, contact_text, context
from hazardreport.report.document import (
    Items,
    KeyValues,
    Missing,
    Paragraph,
    Part,
    Reference,
    Runs,
    Section,
    Table,
    blocks_of,
)
from hazardreport.report.risk import risk
from hazardreport.severity.terms import BodyPath

CREATED = "2026-11-25T12:00:00+00:00"
Made = Callable[[Case], Part]


def plain(runs: Runs) -> str:
    return "".join(run.text if isinstance(run, Reference) else run for run in runs)


def lines(part: Part | Section) -> list[str]:
    whole = part if isinstance(part, Part) else Part(key="risk", number=1, title="", sections=(part,))
    found = []
    for block in blocks_of(whole):
        match block:
            case KeyValues():
                found += [f"{row.label} {plain(row.runs)} {plain(row.note)}" for row in block.rows]
            case Table():
                found += [" | ".join(plain(cell) for cell in line.cells) for line in block.rows]
                found.append(f"{block.caption} {block.note}")
            case Paragraph():
                found.append(plain(block.runs))
            case Items():
                found += [plain(item) for item in block.items]
            case Missing():
                found.append(f"{block.what}: {block.why}")
    return found


@pytest.fixture(scope="module")
def unread(full: Case) -> Case:
    """The full case without a reader who confirmed a table."""
    return replace(full, confirmations=())


def given(case: Case, assessment: Assessment) -> Context:
    return context(case, assessment, profile("eu-authority-record"), CREATED, "a4")


@pytest.fixture(scope="module")
def part(unread: Case) -> Part:
    return risk(given(unread, assess(unread)), 6)


def section(part: Part, start: str) -> list[str]:
    return lines(next(one for one in part.sections if one.title.startswith(start)))


def test_each_step_stands_with_exact_fraction_basis_and_reason(part: Part) -> None:
    told = section(part, "Way to an injury: A child holds")
    assert any(line.startswith("1 | ") and "| 1/2 | statistics | the plug goes in both ways" in line for line in told)
    assert any("| 1/10 (typed “10 %”) | assessor's judgement | the sink is within reach" in line for line in told)
    assert any("| 1/50 | calculated | no reason was given" in line for line in told)
    assert any("shown by reading-005" in line for line in told)
    assert any(line.startswith("Overall probability 1/1\u00a0000") for line in told)


def test_a_probability_that_cannot_be_used_is_shown_as_typed_and_gives_no_level(part: Part) -> None:
    told = section(part, "Way to an injury: Startled")
    assert any("typed “about a third”, cannot be used" in line for line in told)
    assert any(line.startswith("Result no level") for line in told)
    assert not any(line.startswith("One level of severity or one band") for line in told)


def test_a_scenario_without_steps_says_so(part: Part) -> None:
    told = section(part, "Way to an injury: Not yet")
    assert any(line.startswith("Steps: none is recorded") for line in told)
    assert any(line.startswith("Still open The scenario has no steps") for line in told)


def test_cells_from_memory_are_marked_where_they_print(part: Part) -> None:
    told = section(part, "Way to an injury: A child holds")
    assert any(line.startswith("Severity 4: electrocution (table cell from memory)") for line in told)
    assert any(line.startswith("Injury Electric shock (table cell from memory)") for line in told)
    assert any("from memory" in line for line in told if line.startswith("Result"))
    for line in told:
        if line.startswith(("severity one", "probability one")):
            assert "(table cell from memory)" in line


def test_the_matrix_prints_32_cells_and_marks_the_31_from_memory(part: Part) -> None:
    told = section(part, "The table that gives the level")
    cells = [cell for line in told[:8] for cell in line.split(" | ")[1:]]
    assert len(cells) == 32
    assert sum(cell.endswith(MEMORY_MARK) for cell in cells) == 31
    assert next(line for line in told[:8] if line.startswith("> 1/1 000 |")).split(" | ")[1] == "low"
    assert any("written down from memory" in line for line in told)


def test_a_reader_who_confirmed_the_table_takes_the_marks_away(full: Case, full_assessment: Assessment) -> None:
    document = report_document(full, full_assessment, profile("eu-authority-record"), created=CREATED)
    told = section(next(one for one in document.parts if one.key == "risk"), "The table that gives the level")
    cells = [cell for line in told[:8] for cell in line.split(" | ")[1:]]
    assert sum(cell.endswith(MEMORY_MARK) for cell in cells) == 1


def test_sensitivity_goes_one_step_each_way(part: Part, unread: Case) -> None:
    told = section(part, "Way to an injury: A child holds")
    moved = [line for line in told if re.match(r"(severity|probability) one", line)]
    assert len(moved) == 3
    assert any("changes" in line for line in moved)
    result = assess(unread).risk.scenario("scenario-001")
    assert result is not None
    assert result.sensitivity in told


def test_what_the_table_of_shifts_says_is_not_said_again_below_it(part: Part, unread: Case) -> None:
    result = assess(unread).risk.scenario("scenario-001")
    assert result is not None
    assert "one level of severity" not in result.sensitivity.removeprefix("Serious lies within one level of severity")
    assert "depends on the inputs" not in " ".join(lines(part))
    assert len(result.sensitivity.split()) < 60


def test_a_way_to_an_injury_is_called_by_its_title_with_the_number_small_below(part: Part) -> None:
    found = next(one for one in part.sections if "A child holds" in one.title)
    assert found.title == "Way to an injury: A child holds the rim and the tap"
    small = found.blocks[0]
    assert isinstance(small, Paragraph)
    assert (small.role, plain(small.runs)) == ("small", "Number in the record: scenario-001")
    assert not any(one.title.startswith("scenario-") for one in part.sections)


def test_one_without_a_title_is_called_as_the_window_calls_it(unread: Case) -> None:
    case = replace(unread, scenarios=(replace(unread.scenarios[0], title=" "),))
    told = risk(given(case, assess(case)), 6)
    assert any(one.title == "Way to an injury: New way to an injury" for one in told.sections)
    assert any("Set by New way to an injury (scenario-001)" in line for line in lines(told))


def test_no_product_of_fractions_stands_beside_the_product_that_is_sold(part: Part) -> None:
    opening = " ".join(lines(part.sections[0]))
    assert "that product" not in opening
    assert "the overall probability that results" in opening


def support_tables(part: Part) -> list[Table]:
    found = next(one for one in part.sections if one.title.startswith("Way to an injury: A child holds"))
    return [one for one in found.blocks if isinstance(one, Table) and one.caption.startswith("Support for step")]


def test_computed_shares_are_offered_in_one_table_beside_the_step_that_they_concern(part: Part, unread: Case) -> None:
    found = assess(unread)
    supports = found.risk.support("scenario-001")
    (table,) = support_tables(part)
    assert "step 4" in table.caption
    assert "1/50" in table.caption
    assert len(table.rows) == len(supports) > 1
    for row, support in zip(table.rows, supports, strict=True):
        contact, *shares, tolerance, agrees = (plain(cell) for cell in row.cells)
        assert contact == contact_text(support.path, support.skin)
        told = [share_text(found.number(share.number).measured.value) for share in support.shares]
        assert [share.removesuffix(MEMORY_MARK) for share in shares] == told
        assert all(share in support.sentence for share in told)
        assert float(tolerance) == pytest.approx(100.0 * support.tolerance, rel=0.05)
        assert agrees == "none"
        assert support.outside


def test_what_shares_are_not_and_their_sources_stand_once_below_the_table(part: Part) -> None:
    told = section(part, "Way to an injury: A child holds")
    assert sum("no probabilities of death" in line for line in told) == 1
    (sources,) = [line for line in told if "dalziel-1961" in line]
    assert "from memory" in sources
    assert told.index(sources) < next(place for place, line in enumerate(told) if line.startswith("Injury "))


def test_a_share_that_agrees_with_the_assessor_is_named(unread: Case) -> None:
    shares = assess(unread).risk.support("scenario-001")
    support = next(one for one in shares if one.path is BodyPath.HAND_TO_FEET)
    share = next(one for one in support.shares if one.threshold == "c1")
    measured = assess(unread).number(share.number).measured.value
    scenario = unread.scenarios[0]
    judged = replace(scenario.steps[3], probability=f"{round(1000 * measured)}/1000")
    case = replace(unread, scenarios=(replace(scenario, steps=(*scenario.steps[:3], judged)), *unread.scenarios[1:]))
    (table,) = support_tables(risk(given(case, assess(case)), 6))
    agreeing = {plain(row.cells[0]): plain(row.cells[-1]) for row in table.rows}
    assert agreeing[contact_text(support.path, support.skin)] == "above c1"
    assert "none" in agreeing.values()
    assert [row.strong for row in table.rows] == [told != "none" for told in agreeing.values()]


def test_the_product_has_one_risk_with_assessor_and_day(part: Part) -> None:
    told = section(part, "The risk of the product")
    assert any(line.startswith("Level Risk of the product: serious") for line in told)
    assert any(line.startswith("Set by A child holds the rim and the tap (scenario-001)") for line in told)
    assert any(line.startswith("Assessed by Almut Marten") for line in told)
    assert any(line.startswith("Assessed on 2026-11-23") for line in told)


def test_the_us_view_stands_beside_it(part: Part) -> None:
    told = section(part, "Seen as the United States")
    assert any(line.startswith("Hazard priority") and ": A." in line for line in told)
    assert any("1115.12(g)(1)" in line and "children from 9 years" in line for line in told)
    assert any(line.startswith("the agency's own experience | for the authority to say") for line in told)


def test_no_measure_follows_from_a_level(part: Part) -> None:
    assert any("No measure follows from a level by itself" in line for line in section(part, "What the level"))


def test_without_a_scenario_the_part_says_why(unread: Case) -> None:
    bare = replace(unread, scenarios=(), harm_factors=HarmFactors())
    told = lines(risk(given(bare, assess(bare)), 6))
    assert any(line.startswith("Ways to an injury: none is recorded") for line in told)
    assert any(line.startswith("Hazard priority open") for line in told)
    assert not any(line.startswith("> 1/10") for line in told)
    reasoned = replace(bare, absences=(Absence(field="scenarios", reason="left to the authority"),))
    assert "Ways to an injury: left to the authority" in lines(risk(given(reasoned, assess(reasoned)), 6))


def test_keys_that_no_table_has_are_shown_as_typed(unread: Case) -> None:
    odd = Scenario(
        id="scenario-001",
        hazard="comet",
        injury="boredom",
        severity=3,
        steps=(ScenarioStep(text="a", probability="1/2", reason="b"),),
    )
    case = replace(unread, scenarios=(odd,))
    told = lines(risk(given(case, assess(case)), 6))
    assert any("“comet”, which the table of hazards does not have" in line for line in told)
    assert any("“boredom”, which the table of injuries does not have" in line for line in told)


def test_a_severity_without_an_entry_for_that_injury_says_so(unread: Case) -> None:
    odd = replace(unread.scenarios[0], severity=3)
    case = replace(unread, scenarios=(odd,))
    told = lines(risk(given(case, assess(case)), 6))
    assert any("no entry for this injury at that level" in line for line in told)
