"""The chain of revisions: whatever is done to log, record or values without the program is found and named."""

import hashlib
import json
from dataclasses import replace

import pytest

from hazardreport import wording
from hazardreport.case.case import Case
from hazardreport.case.custody import Anchor, AnchorKind
from hazardreport.errors import (
    AnchorDisagreesError,
    HazardReportError,
    LogDamagedError,
    LogDisagreesError,
    LogMissingError,
    ValuesDamagedError,
    ValuesMissingError,
)
from hazardreport.review.chain import Chain, check_chain
from hazardreport.review.changes import places_with
from hazardreport.storage.case_json import case_bytes
from hazardreport.storage.log import log_from_bytes
from hazardreport.storage.values import values_from_bytes
from tests.storage.revisions import NOON, Saves

TITLES = ("Wax pot", "Wax pot 2", "Wax-melting pot", "Pot")


@pytest.fixture(scope="module")
def saves() -> Saves:
    """Four revisions, by two people."""
    saves = Saves.of((Case(id="C-1", title=title) for title in TITLES[:3]), "Kim")
    saves.author = "Lou"
    saves.save(Case(id="C-1", title=TITLES[3], private_words=("Zinnober",)))
    return saves


def kinds(chain: Chain) -> set[type[HazardReportError]]:
    for problem in chain.problems:
        assert wording.what(problem)
        assert wording.remedy(problem)
    return {type(problem) for problem in chain.problems}


def test_a_whole_log_has_no_problem_and_tells_who_wrote_what(saves: Saves) -> None:
    chain = check_chain(*saves.files)
    assert chain.problems == ()
    assert chain.strays == 0
    assert [one.number for one in chain.revisions] == [1, 2, 3, 4]
    assert [one.author for one in chain.revisions] == ["Kim", "Kim", "Kim", "Lou"]
    assert {one.time for one in chain.revisions} == {NOON}
    assert chain.revisions[1].changes == (
        {"op": "replace", "path": "/title", "value": "Wax pot 2"},
        {"op": "replace", "path": "/revision", "value": 2},
    )


def test_each_revision_names_the_sha_256_of_the_line_before(saves: Saves) -> None:
    chain = check_chain(*saves.files)
    hashes = [hashlib.sha256(line).hexdigest() for line in saves.log.splitlines()]
    assert [one.sha256 for one in chain.revisions] == hashes
    assert [one.before for one in chain.revisions] == ["", *hashes[:-1]]
    assert chain.head == hashes[-1] == json.loads(saves.case)["log_head"]


def assert_every_change_is_found(saves: Saves, step: int, bit: int) -> None:
    """Every `step`-th byte of the log, one bit turned."""
    for index in range(0, len(saves.log), step):
        changed = bytearray(saves.log)
        changed[index] ^= bit
        problems = check_chain(saves.case, bytes(changed), saves.values).problems
        assert {type(one) for one in problems} & {LogDamagedError, LogDisagreesError}, index


def test_a_changed_byte_of_the_log_is_found(saves: Saves) -> None:
    assert_every_change_is_found(saves, step=17, bit=1)


@pytest.mark.slow
@pytest.mark.parametrize("bit", [1, 0x20, 0x80])
def test_any_changed_byte_of_the_log_is_found(saves: Saves, bit: int) -> None:
    assert_every_change_is_found(saves, step=1, bit=bit)


@pytest.mark.parametrize("index", range(4))
def test_a_deleted_line_is_found(saves: Saves, index: int) -> None:
    lines = saves.log.splitlines(keepends=True)
    del lines[index]
    chain = check_chain(saves.case, b"".join(lines), saves.values)
    if index == 3:
        assert kinds(chain) == {LogDisagreesError}
        listing = chain.problems[0].fields()["listing"]
        assert all(place in listing for place in ("log_head", "case.title", "case.revision"))
    else:
        assert LogDamagedError in kinds(chain)
        damaged = next(one for one in chain.problems if isinstance(one, LogDamagedError))
        assert f"line {index + 1}: revision {index + 2} does not name" in damaged.listing


@pytest.mark.parametrize("first", range(3))
def test_swapped_lines_are_found(saves: Saves, first: int) -> None:
    lines = saves.log.splitlines(keepends=True)
    lines[first], lines[first + 1] = lines[first + 1], lines[first]
    assert LogDamagedError in kinds(check_chain(saves.case, b"".join(lines), saves.values))


@pytest.mark.parametrize("index", range(4))
def test_a_repeated_line_is_found(saves: Saves, index: int) -> None:
    lines = saves.log.splitlines(keepends=True)
    lines.insert(index, lines[index])
    assert LogDamagedError in kinds(check_chain(saves.case, b"".join(lines), saves.values))


def test_a_line_added_at_the_end_is_found_even_if_it_chains(saves: Saves) -> None:
    further = Saves(case=saves.case, log=saves.log, values=saves.values)
    further.save(Case(id="C-1", title="forged"))
    chain = check_chain(saves.case, further.log, further.values)
    assert kinds(chain) == {LogDisagreesError}
    assert "log_head" in chain.problems[0].fields()["listing"]


def test_a_log_written_anew_with_another_past_is_found_by_an_anchor_only(saves: Saves) -> None:
    """What the chain does not prove, an anchor does: its author can write it anew."""
    anchor = Anchor(
        id="anchor-001", kind=AnchorKind.SENT, revision=2, head=check_chain(*saves.files).revisions[1].sha256
    )
    kept = Saves(case=saves.case, log=saves.log, values=saves.values)
    kept.save(replace(saves.saved[-1], anchors=(anchor,)))
    assert [one.confirmed for one in check_chain(*kept.files).anchors] == [True]

    forged = Saves.of((Case(id="C-1", title=title) for title in ("Another pot", *TITLES[1:])), "Kim")
    forged.save(replace(forged.saved[-1], anchors=(anchor,)))
    chain = check_chain(*forged.files)
    assert [type(problem) for problem in chain.problems] == [AnchorDisagreesError]
    assert [one.confirmed for one in chain.anchors] == [False]


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        (b'"title": "Pot"', b'"title": "Toy"', "case.title"),
        (b'"frequency": null', b'"frequency": 50.0', "case.wiring.frequency"),
        (b'"Zinnober"', b'"Zinober"', "case.private_words.0"),
        (b'"revision": 4', b'"revision": 5', "case.revision"),
    ],
)
def test_a_record_changed_without_a_revision_is_found_and_its_place_named(
    saves: Saves, old: bytes, new: bytes, place: str
) -> None:
    assert saves.case.count(old) == 1
    chain = check_chain(saves.case.replace(old, new), saves.log, saves.values)
    assert kinds(chain) == {LogDisagreesError}
    assert chain.problems[0].fields()["listing"].startswith(f"- {place}: ")


def test_a_record_of_another_log_is_found_although_it_says_the_same(saves: Saves) -> None:
    record = case_bytes(saves.saved[-1], log_head="0" * 64)
    chain = check_chain(record, saves.log, saves.values)
    assert chain.problems[0].fields()["listing"].startswith("- log_head: ")


def test_a_missing_log_is_found(saves: Saves) -> None:
    assert kinds(check_chain(saves.case, None, saves.values)) == {LogMissingError}


def test_an_empty_log_is_found(saves: Saves) -> None:
    assert LogDisagreesError in kinds(check_chain(saves.case, b"", saves.values))


@pytest.mark.parametrize("index", range(7))
def test_a_line_that_is_gone_from_the_values_is_said(saves: Saves, index: int) -> None:
    lines = saves.values.splitlines(keepends=True)
    assert len(lines) == 7
    chain = check_chain(saves.case, saves.log, b"".join(lines[:index] + lines[index + 1 :]))
    assert ValuesMissingError in kinds(chain)
    missing = next(one for one in chain.problems if isinstance(one, ValuesMissingError))
    assert missing.count == 1


def test_values_that_are_gone_altogether_are_counted(saves: Saves) -> None:
    chain = check_chain(saves.case, saves.log, None)
    missing = next(one for one in chain.problems if isinstance(one, ValuesMissingError))
    assert missing.count == len(values_from_bytes(saves.values)[0])


def test_a_changed_value_is_said(saves: Saves) -> None:
    chain = check_chain(saves.case, saves.log, saves.values.replace(b"Wax pot 2", b"Wax pot 3"))
    assert ValuesDamagedError in kinds(chain)


def test_texts_that_were_erased_by_a_revision_are_not_missed(saves: Saves) -> None:
    erasing = Saves(case=saves.case, log=saves.log, values=saves.values)
    gone = [one.sha256 for one in values_from_bytes(saves.values)[0] if one.text in ("Zinnober", "Kim")]
    erasing.save(Case(id="C-1", title="Pot"), erase=gone)
    assert b"Zinnober" not in erasing.case + erasing.log + erasing.values
    assert b"Kim" not in erasing.case + erasing.log + erasing.values
    chain = check_chain(*erasing.files)
    assert chain.problems == ()
    assert chain.revisions[-1].erased == len(gone) == 2
    assert [one.author for one in chain.revisions] == ["", "", "", "Lou", ""], "the last was saved by nobody"
    assert chain.revisions[0].author_hash == chain.revisions[1].author_hash != ""
    assert set(gone) == {chain.revisions[0].author_hash, chain.revisions[3].changes[-1]["value"]["sha256"]}


def test_texts_erased_while_the_log_names_others_are_missed(saves: Saves) -> None:
    erasing = Saves(case=saves.case, log=saves.log, values=saves.values)
    erasing.save(Case(id="C-1", title="Pot"), erase=["0" * 64])
    without = erasing.values.split(b"\n", 1)[1]
    assert kinds(check_chain(erasing.case, erasing.log, without)) == {ValuesMissingError}


def test_damage_before_a_line_does_not_move_an_anchor_to_another(saves: Saves) -> None:
    anchors = tuple(
        Anchor(id=f"anchor-00{number}", kind=AnchorKind.SENT, revision=number, head=sha256)
        for number, sha256 in enumerate(log_from_bytes(saves.log).hashes, 1)
    )
    kept = Saves(case=saves.case, log=saves.log, values=saves.values)
    kept.save(replace(saves.saved[-1], anchors=anchors))
    lines = kept.log.splitlines(keepends=True)
    chain = check_chain(kept.case, b"".join([lines[0], b"{\n", *lines[2:]]), kept.values)
    assert [one.confirmed for one in chain.anchors] == [True, False, True, True]
    assert [one.number for one in chain.revisions] == [1, 3, 4, 5]


def test_a_record_that_cannot_be_read_leaves_the_log_readable(saves: Saves) -> None:
    chain = check_chain(b"{", saves.log, saves.values)
    assert [one.number for one in chain.revisions] == [1, 2, 3, 4]
    assert chain.problems == ()


def test_erased_texts_that_are_back_are_said(saves: Saves) -> None:
    erasing = Saves(case=saves.case, log=saves.log, values=saves.values)
    gone = [one for one in values_from_bytes(saves.values)[0] if one.text == "Kim"]
    erasing.save(Case(id="C-1", title="Pot"), erase=[one.sha256 for one in gone])
    back = erasing.values + saves.values[saves.values.index(gone[0].sha256.encode()) - 11 :].split(b"\n")[0] + b"\n"
    found = check_chain(erasing.case, erasing.log, back).problems
    assert [type(one) for one in found] == [ValuesDamagedError]
    assert gone[0].sha256[:8] in str(found[0])


def test_places_with_a_name_are_found_across_lines_and_forms_of_unicode() -> None:
    case = Case(id="C-1", title="Pot of Mu\u0308ller\nand Rosa\nExample")
    assert places_with(case, ("m\u00fcller",)) == places_with(case, ("Rosa Example",)) != ()
    assert places_with(case, ("Ros", " ")) == ()
