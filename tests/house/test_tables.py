"""Every table says where it comes from and how well that is known; every citation resolves."""

import re
from pathlib import Path

import pytest

import hazardreport
from hazardreport.errors import TableDamagedError, UnknownReferenceError
from hazardreport.standards import tables
from hazardreport.standards.editions import subjects
from hazardreport.standards.references import reference, references
from hazardreport.standards.tables import Table, all_tables, table, table_from

PROJECT = Path(hazardreport.__file__).resolve().parents[1]


def faults(candidate: Table) -> list[str]:
    """What a table leaves unsaid."""
    citation = candidate.citation
    missing = [name for name in ("key", "table", "edition", "status", "source") if not getattr(citation, name)]
    missing += [f"known {known.column} {known.rows}" for known in candidate.known if not known.source]
    columns = {name for name, _ in candidate.values}
    first = {row[0] for row in candidate.rows}
    missing += [
        f"known {known.column} {known.rows}"
        for known in candidate.known
        if (known.column and known.column not in columns) or not set(known.rows) <= first
    ]
    try:
        reference(citation.key)
    except UnknownReferenceError:
        missing.append(f"reference {citation.key}")
    return missing


@pytest.mark.parametrize(("standard", "name"), all_tables())
def test_every_table_has_citation_status_and_source(standard: str, name: str) -> None:
    found = table(standard, name)
    assert faults(found) == []
    assert found.citation.key == standard
    assert re.fullmatch("[0-9a-f]{64}", found.sha256)


PLANTED = """
[citation]
key = "no-such-document"
table = "1"
edition = "1"
status = "confirmed"
source = ""
[table]
name = "planted"
arguments = { x = "1" }
values = { y = "1" }
between = "not allowed"
outside = "not allowed"
rows = [["1", "2"]]
[[table.known]]
rows = ["7"]
status = "from memory"
source = "s"
"""


def test_the_guard_catches_a_planted_table() -> None:
    assert faults(table_from(PLANTED)) == ["source", "known  ('7',)", "reference no-such-document"]


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ('rows = [["1", "2"]]', 'rows = [["1"]]'),
        ('rows = [["1", "2"]]', 'rows = [["1", "two"]]'),
        ('rows = [["1", "2"]]', "rows = [[1, 2.50]]"),
        ('between = "not allowed"', 'between = "spline"'),
        ('status = "confirmed"', 'status = "certain"'),
        ('between = "not allowed"', 'between = "linear"'),
        ('edition = "1"', 'edtion = "1"'),
    ],
)
def test_a_table_that_does_not_say_enough_is_refused(
    wrong: str, right: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "s").mkdir()
    (tmp_path / "s" / "t.toml").write_text(PLANTED.replace(wrong, right, 1), encoding="utf-8")
    monkeypatch.setattr(tables, "FOLDER", tmp_path)
    monkeypatch.setattr(tables, "all_tables", lambda: (("s", "t"),))

    with pytest.raises(TableDamagedError):
        table.__wrapped__("s", "t")


def test_every_reference_can_be_found_by_a_reader() -> None:
    for entry in references():
        assert entry.title, entry.key
        assert entry.body, entry.key
        assert entry.where, entry.key


def test_every_edition_of_a_subject_is_held() -> None:
    held = {standard for standard, _ in all_tables()}
    for subject in subjects():
        assert {subject.default, *subject.others} <= held
        assert subject.reason


def cited(text: str) -> set[str]:
    """Keys in `published` marks and in the References section of docstrings."""
    marks = re.findall(r'mark\.published\(\s*"([^"]+)"', text)
    sections = re.findall(r"References\n *-+\n((?: +[^\n]+\n)+)", text)
    entries = [key for section in sections for key in re.findall(r"^ *([a-z][a-z0-9-]+-[a-z0-9-]+), ", section, re.M)]
    return set(marks) | set(entries)


def test_every_citation_key_in_code_and_tests_exists() -> None:
    known = {entry.key for entry in references()}
    missing = [
        f"{path.relative_to(PROJECT)}: {key}"
        for folder in ("hazardreport", "tests")
        for path in sorted((PROJECT / folder).rglob("*.py"))
        if path != Path(__file__).resolve()
        for key in sorted(cited(path.read_text(encoding="utf-8")) - known)
    ]
    assert missing == []


def test_the_guard_finds_a_planted_citation() -> None:
    text = (
        'x\n    References\n    ----------\n    jcgm-999-2030, H.2.\n    """\n@pytest.mark.published("none-such", "1")'
    )
    assert cited(text) == {"jcgm-999-2030", "none-such"}
