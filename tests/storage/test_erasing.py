"""A person is erased: no byte of the folder tells the name any more, and the log stays valid."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from hazardreport import errors
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Competence, Occurrence, Submitter
from hazardreport.case.personal import Person
from hazardreport.case.picture import Picture, Recognisable
from hazardreport.case.reading import Quantity, Reading
from hazardreport.case.stated import Standing, value
from hazardreport.review.integrity import check_folder
from hazardreport.storage import files
from hazardreport.storage.erasing import Wish, erase, recognisable_pictures
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.journal import write_journal
from hazardreport.storage.revision import Signature

NAME, STREET, METER = "Zdenka Quillfeather", "14 Umbrellamaker Row", "Ottokar Brambleworth"
PIXELS = b"the face of somebody"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "case"
    first, last = NAME.split()
    case = Case(
        id="C-1",
        title="Wax pot",
        submitter=Submitter(first_name=value(first), last_name=value(last), address=value(STREET)),
        competence=Competence(name=METER, qualification="electrician", permitted="workshop", stated="2026-05-04"),
        readings=(
            Reading(id="reading-001", first="A", second="B", quantity=Quantity.VOLTAGE, typed="231 V", by=METER),
        ),
        occurrence=Occurrence(narrative=value(f"{first} felt a tingle")),
    )
    case = create_case(folder, case, author=NAME)
    path = folder / "pictures" / "picture-001.jpg"
    path.write_bytes(PIXELS)
    picture = Picture(
        id="picture-001",
        file=path.name,
        original_name=f"{last}.jpg",
        media_type="image/jpeg",
        sha256=files.sha256(path),
        size=len(PIXELS),
        width=4,
        height=3,
        caption=f"{NAME} at the bench",
        recognisable=Recognisable.YES,
    )
    case = save_case(replace(case, pictures=(picture,)), folder, author=METER)
    save_case(replace(case, occurrence=Occurrence(narrative=value("Somebody felt a tingle"))), folder, author=METER)
    return folder


def everything(folder: Path) -> bytes:
    return b"\0".join(
        path.name.encode() + b"\0" + path.read_bytes() for path in sorted(folder.rglob("*")) if path.is_file()
    )


def planted(folder: Path) -> set[str]:
    """Which of the planted words any byte of the folder tells."""
    data = everything(folder).lower()
    words = {*NAME.split(), *METER.split(), STREET, PIXELS.decode()}
    return {word for word in words if word.lower().encode() in data}


def wish(**what: Any) -> Wish:
    return Wish(reason="erased on 2026-06-01 at the person's request", **what)


SIGNED = Signature(author="Keeper of records", time="2026-06-01T08:00:00Z")


def test_the_search_finds_what_was_planted(folder: Path) -> None:
    assert planted(folder) == {*NAME.split(), *METER.split(), STREET, PIXELS.decode()}
    log = (folder / "log.jsonl").read_bytes()
    assert not any(word.encode() in log for word in (*NAME.split(), *METER.split(), STREET))


def test_the_submitter_is_gone_from_every_byte_and_the_log_holds(folder: Path) -> None:
    before = check_folder(folder).chain
    case = open_case(folder, for_writing=False).case
    write_journal(replace(case, title=NAME), folder)

    saved = erase(
        case,
        folder,
        wish(
            persons=frozenset({Person.SUBMITTER, Person.OTHERS}),
            pictures=recognisable_pictures(case),
            authors=frozenset({NAME}),
            words=(*NAME.split(),),
        ),
        SIGNED,
    )

    assert planted(folder) == set(METER.split())
    assert saved.submitter.last_name.standing is Standing.UNKNOWN
    assert saved.submitter.last_name.reason == "erased on 2026-06-01 at the person's request"
    after = check_folder(folder)
    assert after.whole, after.problems
    assert [one.sha256 for one in after.chain.revisions[:-1]] == [one.sha256 for one in before.revisions]
    assert [one.author for one in after.chain.revisions] == ["", METER, METER, "Keeper of records"]
    assert after.chain.revisions[-1].erased > 4
    assert open_case(folder, for_writing=False).problems == ()


def test_the_person_who_measured_is_gone_too(folder: Path) -> None:
    case = open_case(folder, for_writing=False).case
    saved = erase(case, folder, wish(persons=frozenset({Person.MEASURER}), authors=frozenset({METER})), SIGNED)
    assert not planted(folder) & set(METER.split())
    assert saved.competence is None
    assert saved.readings[0].by == ""
    assert saved.readings[0].typed == "231 V"
    assert check_folder(folder).whole


def test_a_text_that_the_record_still_holds_is_not_erased_behind_its_back(folder: Path) -> None:
    case = open_case(folder, for_writing=False).case
    erase(case, folder, wish(words=("tingle",)), SIGNED)
    assert check_folder(folder).whole
    assert open_case(folder, for_writing=False).case.occurrence.narrative.text == "Somebody felt a tingle"


def test_values_that_vanish_without_being_erased_are_found(folder: Path) -> None:
    lines = (folder / "values.jsonl").read_bytes().splitlines(keepends=True)
    (folder / "values.jsonl").write_bytes(b"".join(lines[1:]))
    assert errors.ValuesMissingError in {type(problem) for problem in check_folder(folder).problems}


def test_a_picture_that_is_not_there_cannot_be_erased(folder: Path) -> None:
    case = open_case(folder, for_writing=False).case
    before = everything(folder)
    with pytest.raises(errors.NoSuchRecordError):
        erase(case, folder, wish(pictures=frozenset({"picture-009"})), SIGNED)
    assert everything(folder) == before


def test_erasing_twice_on_one_day_leaves_a_log_that_gives_the_record(folder: Path) -> None:
    asked = wish(persons=frozenset({Person.SUBMITTER}), words=(*NAME.split(),), authors=frozenset({NAME}))
    case = erase(open_case(folder, for_writing=False).case, folder, asked, SIGNED)
    erase(case, folder, asked, SIGNED)
    assert check_folder(folder).whole, check_folder(folder).problems


def test_texts_of_a_log_that_cannot_be_read_go_too(folder: Path) -> None:
    case = open_case(folder, for_writing=False).case
    data = bytearray((folder / "log.jsonl").read_bytes())
    data[5] ^= 1
    (folder / "log.jsonl").write_bytes(bytes(data))
    saved = save_case(replace(case, pictures=()), folder)
    erase(saved, folder, wish(persons=frozenset({Person.SUBMITTER}), words=(*NAME.split(),)), SIGNED)
    assert not planted(folder) & {*NAME.split(), STREET}


def test_texts_that_no_line_of_a_restarted_log_names_are_counted_until_an_erase(folder: Path) -> None:
    data = (folder / "log.jsonl").read_bytes()
    (folder / "log.jsonl").write_bytes(data[:-9])
    saved = save_case(open_case(folder, for_writing=False).case, folder)
    found = check_folder(folder)
    assert found.whole
    named = {one for line in (folder / "values.jsonl").read_bytes().splitlines() for one in (line[11:75],)}
    log = (folder / "log.jsonl").read_bytes()
    assert found.chain.strays == sum(one not in log for one in named) > 4
    erase(saved, folder, wish(words=("Nobody Known",)), SIGNED)
    assert check_folder(folder).chain.strays == 0
    assert check_folder(folder).whole


def test_earlier_captions_and_pictures_no_longer_in_the_record_go_too(folder: Path) -> None:
    case = open_case(folder, for_writing=False).case
    changed = save_case(replace(case, pictures=(replace(case.pictures[0], caption="At the bench"),)), folder)
    erase(save_case(replace(changed, pictures=()), folder), folder, wish(pictures=frozenset({"picture-001"})), SIGNED)
    assert not (folder / "pictures" / "picture-001.jpg").exists()
    assert b"at the bench" not in everything(folder).lower()
    assert check_folder(folder).whole


def test_words_are_found_across_a_line_end_and_the_eraser_is_not_written_back(folder: Path) -> None:
    case = open_case(folder, for_writing=False).case
    broken = save_case(replace(case, title="Pot of Philippa\nExample"), folder, author="Philippa Example")
    asked = wish(words=("philippa example",))
    erase(replace(broken, title="Pot"), folder, asked, Signature(author="Philippa Example"))
    assert b"Philippa" not in everything(folder)


def test_an_erase_cut_off_after_its_save_is_finished_at_the_next_opening(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    case = open_case(folder, for_writing=False).case
    write_journal(replace(case, title=NAME), folder)

    def dies(_: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("hazardreport.storage.erasing.clear_journal", dies)
    asked = wish(pictures=frozenset({"picture-001"}), persons=frozenset({Person.SUBMITTER}))
    with pytest.raises(KeyboardInterrupt):
        erase(case, folder, asked, SIGNED)
    save_case(open_case(folder, for_writing=False).case, folder)
    assert b"pictures/" not in (folder / "manifest-sha256.txt").read_bytes()
    open_case(folder).close()
    assert not (folder / "pictures" / "picture-001.jpg").exists()
    assert not (folder / "journal.json").exists()
    assert check_folder(folder).whole


def test_an_erase_cut_off_before_its_save_removes_nothing(folder: Path) -> None:
    (folder / ".erasing.part").write_bytes(b'["pictures/picture-001.jpg"]')
    open_case(folder).close()
    assert (folder / "pictures" / "picture-001.jpg").exists()
    assert not (folder / ".erasing.part").exists()
