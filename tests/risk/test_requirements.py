"""Construction requirements as data: each has its basis, status and words; a file that says too little is refused."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest

from hazardreport import wording
from hazardreport.case.situation import Territory
from hazardreport.errors import RequirementsDamagedError
from hazardreport.quantity.trace import Status
from hazardreport.risk import requirements as room
from hazardreport.risk.requirements import (
    BasisStatus,
    Decided,
    Group,
    Kind,
    Meaning,
    Requirement,
    read_file,
    requirement,
    requirements,
)
from hazardreport.standards.tables import table

ALL = requirements()
BY_KEY = pytest.mark.parametrize("asked", ALL, ids=lambda item: item.key)
C, C_2, M, D = BasisStatus.READ, BasisStatus.RESTATED, BasisStatus.FROM_MEMORY, BasisStatus.DERIVED

STATUSES = {
    "class-0-marked": [C_2],
    "touchable-metal": [C_2],
    "double-square": [C_2, M],
    "class-three-mark": [C_2, M],
    "earth-contact": [C_2],
    "earth-wire-in-cord": [C_2],
    "earth-wire-longest": [C_2],
    "no-class-evident": [D, C_2],
    "false-voltage-excluded": [M],
    "live-parts-in-reach": [M, M],
    "extra-low-voltage": [C],
    "touch-current-small": [C, C, M],
    "pins-lose-voltage": [C],
    "metal-joined-to-earth": [M, M, C_2],
    "earth-bond-in-service": [C_2],
    "insulation-holds": [C_2],
    "two-pin-plug": [M, M],
    "energised-metal": [C, C_2],
}
"""Typed a second time from the list of sources; every requirement that is not named here is from memory alone."""


@BY_KEY
def test_the_status_of_each_basis_is_as_it_was_checked(asked: Requirement) -> None:
    expected = STATUSES.get(asked.key, [M] * len(asked.clauses))

    assert [clause.status for clause in asked.clauses] == expected


def test_no_status_is_expected_of_a_requirement_that_is_gone() -> None:
    assert set(STATUSES) <= {asked.key for asked in ALL}


@BY_KEY
def test_each_requirement_has_basis_edition_and_words(asked: Requirement) -> None:
    assert asked.clauses
    assert asked.edition
    assert all((asked.name, asked.look_for, asked.explain, *asked.answers))
    assert len(set(asked.answers)) == 3
    assert (asked.compare is not None) == (asked.kind is Kind.READING)


def test_what_is_derived_or_remembered_never_counts_as_confirmed() -> None:
    counted = {clause.status: clause.source.status for asked in ALL for clause in asked.clauses}

    assert counted == {
        C: Status.CONFIRMED,
        C_2: Status.CONFIRMED,
        M: Status.FROM_MEMORY,
        D: Status.CHOICE,
    }


def test_the_least_certain_clause_gives_a_requirement_its_status() -> None:
    found = {key: asked.status for key in ("double-square", "touch-current-small", "class-0-marked", "no-class-evident")
             if (asked := requirement(key))}  # fmt: skip

    assert found == {"double-square": M, "touch-current-small": M, "class-0-marked": C_2, "no-class-evident": D}


def test_requirements_come_by_group_and_every_group_has_some() -> None:
    groups = [asked.group for asked in ALL]

    assert list(dict.fromkeys(groups)) == list(Group)
    assert groups == sorted(groups, key=list(Group).index)


def test_an_unknown_key_has_no_requirement() -> None:
    assert requirement("no-such-thing") is None


def test_every_wording_of_a_requirement_belongs_to_one() -> None:
    worded = {key.split(".")[1] for key in wording.keys("requirements")}

    assert worded == {asked.key.replace("-", "_") for asked in ALL}


# --- limits -----------------------------------------------------------------------------------------------------------


def printed_cell(quantity: Decided, standard: str, **arguments: str) -> tuple[float, str, Status]:
    """Limit of the requirement that this quantity decides by this document: value, unit, status."""
    asked = next(
        item for item in ALL if item.compare and (item.compare.quantity, item.compare.standard) == (quantity, standard)
    )
    assert asked.compare is not None
    entry = table(standard, asked.compare.table).entry(asked.compare.column, **arguments)
    return entry.value, entry.unit, entry.source.status


@pytest.mark.published("iet-cop-5", "earth continuity; insulation resistance")
@pytest.mark.parametrize(
    ("quantity", "arguments", "expected", "unit"),
    [
        (Decided.EARTH_CONTINUITY, {"appliance": "usual"}, "0.1", "ohm"),
        (Decided.INSULATION, {"protection_class": "I"}, "1e6", "ohm"),
        (Decided.INSULATION, {"protection_class": "II"}, "2e6", "ohm"),
    ],
)
def test_thresholds_in_service_as_restated(
    printed: Callable[[str], object], quantity: Decided, arguments: dict[str, str], expected: str, unit: str
) -> None:
    assert printed_cell(quantity, "iet-cop-5", **arguments) == (printed(expected), unit, Status.CONFIRMED)


@pytest.mark.published("iec-60335-1-2001", "8.1.4; 13.2; 22.5")
@pytest.mark.parametrize(
    ("quantity", "arguments", "expected", "unit"),
    [
        (Decided.ACCESSIBLE_VOLTAGE, {}, "42.4", "V peak"),
        (Decided.TOUCH_CURRENT, {"protection_class": "I", "kind": "portable"}, "0.75", "mA"),
        (Decided.TOUCH_CURRENT, {"protection_class": "II", "kind": "any"}, "0.25", "mA"),
        (Decided.PIN_VOLTAGE, {}, "34", "V"),
    ],
)
def test_limits_of_the_product_standard_as_quoted(
    printed: Callable[[str], object], quantity: Decided, arguments: dict[str, str], expected: str, unit: str
) -> None:
    assert printed_cell(quantity, "iec-60335-1-2001", **arguments) == (printed(expected), unit, Status.CONFIRMED)


def test_the_type_test_of_the_earth_path_says_that_its_table_is_from_memory() -> None:
    value, unit, status = printed_cell(Decided.EARTH_CONTINUITY, "iec-60335-1-2001")

    assert (value, unit, status) == (0.1, "ohm", Status.FROM_MEMORY)


@pytest.mark.parametrize(
    ("key", "figures"),
    [
        ("metal-joined-to-earth", ["0.1 Ω"]),
        ("earth-bond-in-service", ["0.1 Ω"]),
        ("insulation-holds", ["1 MΩ", "2 MΩ"]),
        ("touch-current-small", ["0.25 mA", "0.75 mA"]),
        ("extra-low-voltage", ["42.4 V"]),
        ("pins-lose-voltage", ["34 V"]),
    ],
)
def test_the_words_name_the_figures_of_the_tables(key: str, figures: list[str]) -> None:
    asked = requirement(key)

    assert asked is not None
    assert all(figure in asked.explain for figure in figures)


@pytest.mark.published("16-cfr-1115", "1115.4(a)")
def test_energised_metal_is_the_defect_and_a_two_pin_plug_proves_nothing() -> None:
    metal, plug = requirement("energised-metal"), requirement("two-pin-plug")

    assert metal is not None
    assert plug is not None
    assert metal.meaning is Meaning.AGAINST
    assert plug.meaning is Meaning.NEUTRAL
    assert (metal.territories, plug.territories) == ((), (Territory.UNITED_STATES,))
    assert "proves no breach" in plug.answers[0]
    assert "1115.4(a)" in metal.explain


# --- files that say too little ----------------------------------------------------------------------------------------

SOUND = """
edition = "2026"
[[requirements]]
key = "rust"
group = "insulation and heat"
kind = "looked at by eye"
seen = "against"
clauses = [["iec-60335-1-2001", "31", "M"]]
"""
COMPARE = 'compare = { quantity = "touch current", standard = "iec-60335-1-2001", table = "clause-13-2", column = '


def planted(folder: Path, text: str) -> Path:
    path = folder / "planted.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_sound_file_is_read(tmp_path: Path) -> None:
    (found,) = read_file(planted(tmp_path, SOUND))

    assert (found.key, found.basis, found.edition, found.status) == ("rust", "planted", "2026", M)


@pytest.mark.parametrize(
    ("right", "wrong", "part"),
    [
        ('edition = "2026"', "", "edition"),
        ('edition = "2026"', 'edition = " "', "edition"),
        ('clauses = [["iec-60335-1-2001", "31", "M"]]', "", "clauses"),
        ('[["iec-60335-1-2001", "31", "M"]]', "[]", "clauses"),
        ('"31"', '""', "clauses"),
        (', "M"]', "]", "clauses"),
        ('"M"', '"X"', "X"),
        ('"iec-60335-1-2001"', '"no-such-document"', "no-such-document"),
        ('key = "rust"', 'key = "rust-of-nobody"', "rust-of-nobody"),
        ('key = "rust"\n', "", "without key"),
        ('"insulation and heat"', '"heat"', "heat"),
        ('"looked at by eye"', '"guessed"', "guessed"),
        ('"looked at by eye"', '"decided by a reading"', "compare"),
        ('seen = "against"', f'seen = "against"\n{COMPARE}"limit" }}', "compare"),
        ('seen = "against"', f'seen = "against"\n{COMPARE}"nothing" }}', "nothing"),
        ('seen = "against"', 'seen = "bad"', "bad"),
        ('seen = "against"', 'seen = "against"\nclasses = ["IV"]', "classes"),
        ('seen = "against"', 'seen = "against"\nterritories = ["Atlantis"]', "Atlantis"),
        ('seen = "against"', 'seen = "against"\nopened = "no"', "opened"),
        ('seen = "against"', 'seen = "against"\ncolour = "red"', "colour"),
        ("[[requirements]]", "[requirements]", "rust"),
        ("[[requirements]]", "[[others]]", "requirements"),
        ("[[requirements]]", "[[requirements", "]"),
    ],
)
def test_a_file_that_says_too_little_is_refused(tmp_path: Path, right: str, wrong: str, part: str) -> None:
    assert right in SOUND

    with pytest.raises(RequirementsDamagedError) as refused:
        read_file(planted(tmp_path, SOUND.replace(right, wrong, 1)))

    assert refused.value.file == "planted.toml"
    assert part.split()[0] in refused.value.part or part == "rust"
    assert "planted.toml" in wording.what(refused.value)


@pytest.mark.parametrize("part", ["name", "look_for", "explain", "seen", "not_seen", "could_not_check"])
def test_a_requirement_without_a_sentence_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, part: str
) -> None:
    told = wording.template
    monkeypatch.setattr(wording, "template", lambda key: " " if key == f"requirements.rust.{part}" else told(key))

    with pytest.raises(RequirementsDamagedError) as refused:
        read_file(planted(tmp_path, SOUND))

    assert refused.value.part == f"rust: {part}"


def test_a_file_that_is_no_text_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "planted.toml"
    path.write_bytes(b"edition = \xff\xfe")

    with pytest.raises(RequirementsDamagedError):
        read_file(path)


def test_two_requirements_of_one_key_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    planted(tmp_path, SOUND)
    (tmp_path / "again.toml").write_text(SOUND, encoding="utf-8")
    monkeypatch.setattr(room, "FOLDER", tmp_path)

    with pytest.raises(RequirementsDamagedError, match="second"):
        requirements.__wrapped__()


def test_each_file_is_named_after_one_basis_and_holds_something() -> None:
    files = {path.stem for path in room.FOLDER.glob("*.toml")}

    assert files == {asked.basis for asked in ALL}
    assert all(re.fullmatch(r"[a-z0-9-]+", name) for name in files)
