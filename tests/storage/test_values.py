"""Texts behind hashes: the hash is that of salt and text, and nothing withheld stands in the log."""

import hashlib
import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hazardreport.case.case import Case
from hazardreport.case.personal import FREE_TEXT, PERSONAL, is_withheld_in_log
from hazardreport.storage.case_json import case_from_document, plain_document
from hazardreport.storage.faults import sentence
from hazardreport.storage.log import log_from_bytes, record_of, texts_of
from hazardreport.storage.values import (
    Value,
    hash_in,
    hashes_in,
    opened,
    random_salt,
    value_of,
    values_bytes,
    values_from_bytes,
    withheld,
)
from tests.fuzz.full_case import full_case
from tests.storage.generated_cases import TEXTS, records
from tests.storage.revisions import Saves

SALT = bytes(range(16))


@given(text=TEXTS, salt=st.binary(min_size=16, max_size=16))
@settings(derandomize=True, deadline=None)
def test_the_hash_is_sha_256_of_salt_and_text(text: str, salt: bytes) -> None:
    (line,) = values_bytes([value_of(text, salt)]).splitlines()
    written = json.loads(line)
    assert written["sha256"] == hashlib.sha256(bytes.fromhex(written["salt"]) + written["text"].encode()).hexdigest()
    assert (bytes.fromhex(written["salt"]), written["text"]) == (salt, text)


def test_salts_are_sixteen_bytes_and_never_the_same() -> None:
    salts = {random_salt() for _ in range(1000)}
    assert len(salts) == 1000
    assert {len(salt) for salt in salts} == {16}


def test_the_same_text_twice_has_two_hashes() -> None:
    case = plain_document(Case(id="C-1", private_words=("Kim", "Kim")))
    document, values = withheld(case, "", random_salt)
    assert len({value.sha256 for value in values}) == len(values) == 2
    assert len(set(map(hash_in, document["private_words"]))) == 2


@given(case=records(Case))
@settings(derandomize=True, deadline=None, max_examples=25)
def test_a_record_comes_back_from_its_hashes_and_values(case: Case) -> None:
    record = plain_document(case)
    document, values = withheld(record, "", random_salt)
    missing: set[str] = set()
    assert opened(document, texts_of(values), missing) == record
    assert missing == set()
    assert sorted(hashes_in(document)) == sorted(value.sha256 for value in values)
    opened(document, {}, missing)
    assert missing == {value.sha256 for value in values}


def planted(part: Any, place: str, count: list[str]) -> Any:
    """The record with a text of its own at every place that is withheld; places go into `count`."""
    if isinstance(part, dict):
        return {key: planted(item, f"{place}.{key}" if place else key, count) for key, item in part.items()}
    if isinstance(part, list):
        return [planted(item, f"{place}[]", count) for item in part]
    if isinstance(part, str) and is_withheld_in_log(place):
        count.append(place)
        return f"Zinnober-{len(count)}-Straße"
    return part


def test_no_text_about_a_person_and_none_that_is_written_freely_stands_in_the_log() -> None:
    places: list[str] = []
    case = case_from_document(planted(plain_document(full_case()), "", places), "")
    fields = {place.removesuffix(".text").removesuffix(".reason") for place in places}
    assert fields | set(places) >= set(PERSONAL) | FREE_TEXT
    saves = Saves(author="Zinnober-author-Straße")
    saves.save(Case(id="C-1"))
    saves.save(case)
    saves.save(Case(id="C-1", private_words=("Zinnober-last-Straße",)))
    assert b"Zinnober" not in saves.log
    assert "Straße".encode() not in saves.log
    assert b"Stra\\u00dfe" not in saves.log
    texts = texts_of(values_from_bytes(saves.values)[0])
    assert {f"Zinnober-{number}-Straße" for number in range(1, len(places) + 1)} <= set(texts.values())
    assert "Zinnober-author-Straße" in texts.values()
    assert record_of(log_from_bytes(saves.log), texts, 2)[0] == plain_document(saves.saved[1])


def test_an_author_who_writes_again_keeps_the_hash() -> None:
    saves = Saves(author="Kim")
    for title in "abc":
        saves.save(Case(id="C-1", title=title))
    saves.author = "Lou"
    saves.save(Case(id="C-1"))
    authors = [hash_in(line.author) for line in log_from_bytes(saves.log).lines]
    assert authors[0] == authors[1] == authors[2] != authors[3]
    assert saves.values.count(b"Kim") == 1


VALUES = values_bytes([value_of("Kim", SALT), value_of("Lou", SALT)])


def test_whole_lines_are_read() -> None:
    values, faults = values_from_bytes(VALUES)
    assert [value.text for value in values] == ["Kim", "Lou"]
    assert faults == []


@pytest.mark.parametrize(
    ("data", "place", "key"),
    [
        (VALUES.replace(b"Kim", b"Jim"), "line 1", "storage.value_false"),
        (VALUES.replace(b"Lou", b"Lo\\u0075"), "line 2", "storage.written_otherwise"),
        (VALUES.replace(b'"salt"', b'"more":"","salt"', 1), "line 1", "storage.no_json"),
        (VALUES.replace(b'"salt":"', b'"salt": "', 1), "line 1", "storage.written_otherwise"),
        (VALUES[:-1], "line 2", "storage.no_json"),
        (VALUES + b"\n", "line 3", "storage.no_json"),
        (VALUES + b"\xff\n", "line 3", "storage.no_json"),
        (VALUES + b"[" * 100_000 + b"\n", "line 3", "storage.no_json"),
        (values_bytes([Value(sha256="0" * 64, salt="zz", text="")]), "line 1", "storage.value_false"),
    ],
)
def test_what_is_wrong_with_a_line_is_said(data: bytes, place: str, key: str) -> None:
    values, faults = values_from_bytes(data)
    assert [(fault.place, fault.key) for fault in faults] == [(place, key)]
    assert sentence(faults[0]).startswith(f"{place}: ")
    assert len(values) == data.count(b"\n") - (0 if data == VALUES[:-1] else 1)


def test_any_changed_byte_of_the_values_is_a_fault() -> None:
    for index in range(len(VALUES)):
        changed = bytearray(VALUES)
        changed[index] ^= 1
        assert values_from_bytes(bytes(changed))[1], index
