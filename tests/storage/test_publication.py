"""A publication is a case of its own; the whole case is only read, and one that is not as saved gives none."""

import io
import itertools
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from hazardreport import errors, wording
from hazardreport.app.cli import run
from hazardreport.case.case import Case
from hazardreport.case.custody import Anchor, AnchorKind
from hazardreport.case.picture import Cover, Mark, MarkKind, Picture, Placement, Recognisable
from hazardreport.evidence.derived_covers import FILL
from hazardreport.evidence.intake import take_in
from hazardreport.review.integrity import check_folder
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage import bag, files
from hazardreport.storage.folder import create_case, open_case, save_case
from hazardreport.storage.journal import write_journal
from hazardreport.storage.log import Line, Log
from hazardreport.storage.pack import anchored as told
from hazardreport.storage.publication import derived_record, pack_publication, publish_case
from hazardreport.storage.unpack import unpack
from hazardreport.storage.values import Salt
from tests.evidence.planted import planted_jpeg
from tests.storage.searched import nearest

NOON = "2026-06-01T12:00:00Z"
HIDDEN = Cover(id="cover-001", left=10, top=20, right=60, bottom=90, reason="face")


def salts() -> Salt:
    numbers = itertools.count()
    return lambda: next(numbers).to_bytes(16, "big")


def contents(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A case of revision 2 with one picture to publish, taken with the camera turned, and one that nobody looked at."""
    place = tmp_path / "case"
    made = create_case(place, Case(id="HR-7", title="Pot of Quandt", private_words=("Quandt",)), time=NOON)
    source = tmp_path / "Quandt.jpg"
    source.write_bytes(planted_jpeg(6))
    first = take_in(source, place / "pictures", "picture-001", NOON)
    first = replace(
        first,
        recognisable=Recognisable.NO,
        covers=(HIDDEN,),
        placements=(Placement(letter="A", x=12.5, y=200.0),),
    )
    source.write_bytes(planted_jpeg())
    second = take_in(source, place / "pictures", "picture-002", NOON)
    save_case(replace(made, pictures=(first, second)), place, time=NOON, author="Quandt")
    return place


def test_a_folder_of_its_own_with_derived_pictures(folder: Path, tmp_path: Path) -> None:
    before = contents(folder)
    found = publish_case(folder, tmp_path / "public", created=NOON)
    opened = open_case(tmp_path / "public", for_writing=False)
    assert (opened.case, opened.problems) == (found.case, ())
    assert check_folder(tmp_path / "public").whole
    (picture,) = opened.case.pictures
    original = open_case(folder, for_writing=False).case.pictures[0]
    assert (picture.media_type, picture.orientation, picture.covers) == ("image/jpeg", 1, (HIDDEN,))
    assert (picture.width, picture.height) == (original.width, original.height) == (200, 320)
    assert picture.placements == original.placements
    assert picture.derived_from == original.sha256
    data = (tmp_path / "public" / "pictures" / picture.file).read_bytes()
    assert (files.digest(data), len(data)) == (picture.sha256, picture.size)
    with Image.open(io.BytesIO(data)) as image:
        assert image.size == (200, 320)
        assert nearest(image.crop((30, 50, 31, 51)), FILL) <= 2
    assert sorted(contents(tmp_path / "public")) == [
        "case.json",
        "log.jsonl",
        "manifest-sha256.txt",
        "pictures/picture-001.jpg",
        "values.jsonl",
    ]
    assert {name: data for name, data in contents(folder).items() if name != "case.lock"} == {
        name: data for name, data in before.items() if name != "case.lock"
    }


def test_its_log_begins_with_the_revision_that_it_was_derived_from(folder: Path, tmp_path: Path) -> None:
    pack_publication(folder, tmp_path / "public.zip", created=NOON)
    found = check_pack(tmp_path / "public.zip")
    whole = check_folder(folder).chain
    assert found.whole
    assert [(one.number, one.time, one.author_hash) for one in found.chain.revisions] == [(2, NOON, "")]
    opened = unpack(tmp_path / "public.zip", tmp_path / "unpacked")
    assert opened
    case = open_case(tmp_path / "unpacked", for_writing=False).case
    assert (case.revision, case.published_from) == (2, whole.head)


def test_the_pack_that_says_otherwise_what_it_was_derived_from_is_not_whole(folder: Path, tmp_path: Path) -> None:
    made = pack_publication(folder, tmp_path / "public.zip", created=NOON)
    data = (tmp_path / "public.zip").read_bytes()
    (tmp_path / "changed.zip").write_bytes(data.replace(b"from revision 2,", b"from revision 3,"))
    assert b"from revision 3," in (tmp_path / "changed.zip").read_bytes()
    assert not check_pack(tmp_path / "changed.zip").whole
    said = bag.info_from_bytes(bag.info_bytes(made.packed.info))
    assert said["Derived"] == f"derived for publication from revision 2, log head {made.published.case.published_from}"


def test_the_same_case_gives_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    for name in ("one", "two"):
        pack_publication(folder, tmp_path / f"{name}.zip", created=NOON, salt=salts())
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()


def test_nothing_is_left_in_the_folder_for_temporary_files(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = tmp_path / "temporary"
    place.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(place))
    pack_publication(folder, tmp_path / "public.zip", created=NOON)
    (folder / "pictures" / "picture-001.jpg").write_bytes(planted_jpeg())
    with pytest.raises(errors.PictureChangedError):
        pack_publication(folder, tmp_path / "second.zip", created=NOON)
    assert not (tmp_path / "second.zip").exists()
    assert list(place.iterdir()) == []


def test_a_picture_that_is_not_the_one_taken_in_gives_no_publication(folder: Path, tmp_path: Path) -> None:
    """Covers were drawn for another."""
    (folder / "pictures" / "picture-001.jpg").write_bytes(planted_jpeg())
    with pytest.raises(errors.PictureChangedError):
        publish_case(folder, tmp_path / "public", created=NOON)
    assert not (tmp_path / "public").exists()
    assert not list(tmp_path.glob(".*"))


Change = Callable[[Path], object]


def without_log(folder: Path) -> None:
    (folder / "log.jsonl").unlink()


def edited(folder: Path) -> None:
    record = folder / "case.json"
    record.write_bytes(record.read_bytes().replace(b"Pot of", b"Pan of"))


def unsaved(folder: Path) -> None:
    write_journal(replace(open_case(folder, for_writing=False).case, title="Another"), folder)


@pytest.mark.parametrize(
    ("change", "error"),
    [
        (without_log, errors.LogMissingError),
        (edited, errors.CaseFileChangedError),
        (unsaved, errors.UnsavedWorkError),
        (lambda folder: (folder / "case.json").unlink(), errors.NoCaseError),
        (lambda folder: (folder / "manifest-sha256.txt").unlink(), errors.ManifestMissingError),
    ],
)
def test_a_case_that_is_not_as_saved_gives_none(
    folder: Path, tmp_path: Path, change: Change, error: type[errors.HazardReportError]
) -> None:
    change(folder)
    with pytest.raises(error) as caught:
        pack_publication(folder, tmp_path / "public.zip", created=NOON)
    assert wording.what(caught.value)
    assert not (tmp_path / "public.zip").exists()


def test_nothing_is_written_over_or_into_the_case(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "there" / "a").write_bytes(b"")
    with pytest.raises(errors.FolderNotEmptyError):
        publish_case(folder, tmp_path / "there", created=NOON)
    with pytest.raises(errors.CouldNotWriteError):
        publish_case(folder, folder / "public", created=NOON)
    with pytest.raises(errors.CouldNotWriteError):
        pack_publication(folder, folder / "public.zip", created=NOON)


def test_a_publication_of_a_publication_holds_the_same(folder: Path, tmp_path: Path) -> None:
    once = publish_case(folder, tmp_path / "once", created=NOON).case
    twice = publish_case(tmp_path / "once", tmp_path / "twice", created=NOON)
    assert twice.replaced == ()
    assert twice.withheld == ()
    plain = {"published_from": "", "pictures": ()}
    assert replace(twice.case, **plain) == replace(once, **plain)
    assert twice.case.pictures[0].derived_from == once.pictures[0].sha256


@pytest.mark.parametrize(("anchored", "words"), [(2, "revision 2: hash sent, 2026-06-01"), (1, "no: nobody else")])
def test_only_an_anchor_of_the_revision_it_was_derived_from_counts(
    folder: Path, tmp_path: Path, anchored: int, words: str
) -> None:
    """An anchor is recorded after the revision that it fixes, so the record here is written by hand."""
    heads = {1: "1" * 64, 2: "2" * 64}
    anchor = Anchor(id="anchor-001", kind=AnchorKind.SENT, revision=anchored, head=heads[anchored], when="2026-06-01")
    case = Case(id="HR-7", revision=2, anchors=(anchor,), published_from=heads[2])
    line = Line(revision=2, time=NOON, author={}, program="", before="", changes=[])
    assert told(case, Log(lines=(line,), hashes=("3" * 64,))).startswith(words)


def test_places_on_a_picture_that_was_made_smaller_follow_it() -> None:
    original = Picture(
        id="picture-001",
        file="picture-001.png",
        original_name="",
        media_type="image/png",
        sha256="a" * 64,
        size=1,
        width=9000,
        height=6000,
        placements=(Placement(letter="A", x=4500.0, y=3000.0),),
        marks=(Mark(id="mark-001", kind=MarkKind.ARROW, vertices=((0.0, 0.0), (9000.0, 6000.0))),),
        covers=(replace(HIDDEN, left=30, top=60, right=90, bottom=600),),
    )
    found = derived_record(original, original, b"x", 6000, 4000)
    assert found.placements == (Placement(letter="A", x=3000.0, y=2000.0),)
    assert found.marks[0].vertices == ((0.0, 0.0), (6000.0, 4000.0))
    assert found.covers == (replace(HIDDEN, left=20.0, top=40.0, right=60.0, bottom=400.0),)
    assert (found.width, found.height, found.size) == (6000, 4000, 1)


# the command


def answered(*words: object) -> tuple[int, str, str]:
    out, err = io.StringIO(), io.StringIO()
    code = run([str(word) for word in words], out, err)
    return code, out.getvalue(), err.getvalue()


def test_the_command_tells_what_was_left_out_and_what_to_look_at(folder: Path, tmp_path: Path) -> None:
    code, out, err = answered("pack", folder, "--out", tmp_path / "public.zip", "--for-publication")
    assert code == 0
    assert "1 of 2 pictures" in out
    assert "pictures[picture-002]  SHA-256" in out
    assert "title: 1" in out
    assert "picture-002" in err
    assert "Hold this publication back: no letter shows that the report has reached an authority, the maker." in err
    assert "has not stated that the report may be published" in err
    assert "Quandt" not in out + err
    assert check_pack(tmp_path / "public.zip").whole


def test_the_command_says_by_its_exit_code_that_no_picture_is_left(folder: Path, tmp_path: Path) -> None:
    case = open_case(folder, for_writing=False).case
    save_case(replace(case, pictures=case.pictures[1:]), folder, time=NOON)
    code, _, err = answered("pack", folder, "--out", tmp_path / "public.zip", "--for-publication")
    assert code == 1
    assert "none of them could be published" in err
    assert check_pack(tmp_path / "public.zip").whole


def test_verify_says_that_it_is_a_publication(folder: Path, tmp_path: Path) -> None:
    made = pack_publication(folder, tmp_path / "public.zip", created=NOON)
    code, out, _ = answered("verify", tmp_path / "public.zip")
    assert code == 0
    assert "derived from revision 2" in out
    assert made.published.case.published_from in out


def test_the_command_writes_over_nothing(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "public.zip").write_bytes(b"mine")
    code, _, _ = answered("pack", folder, "--out", tmp_path / "public.zip", "--for-publication")
    assert code != 0
    assert (tmp_path / "public.zip").read_bytes() == b"mine"
