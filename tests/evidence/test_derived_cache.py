"""Derived pictures kept in memory: the very same bytes, never those of another file, never more than the limit."""

import io
import os
import threading
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from hazardreport import errors
from hazardreport.case.picture import Cover, Picture
from hazardreport.evidence.derived import upright_jpeg
from hazardreport.evidence.derived_cache import SETTLED, BytesCache, DerivedPictures, FileHashes
from hazardreport.evidence.intake import take_in

MakePicture = Callable[..., Path]
COVER = Cover(id="cover-001", left=2, top=3, right=12, bottom=9, reason="face")


def taken_in(source: Path, id: str = "picture-001") -> tuple[Path, Picture]:
    picture = take_in(source, source.parent / "pictures", id, "")
    return source.parent / "pictures" / picture.file, picture


def test_a_hit_gives_the_very_same_bytes(jpeg: MakePicture) -> None:
    path, picture = taken_in(jpeg())
    pictures = DerivedPictures()
    first = pictures.jpeg(path, picture, 30)
    assert pictures.jpeg(path, picture, 30) is first
    assert first == upright_jpeg(path, picture, 30)


@pytest.mark.parametrize(
    "change",
    [
        {"orientation": 3},
        {"covers": (COVER,)},
        {"covers": (replace(COVER, right=13),)},
        {"covers": (COVER, replace(COVER, id="cover-002", top=20, bottom=22))},
    ],
)
def test_every_ingredient_counts(jpeg: MakePicture, change: dict[str, object]) -> None:
    path, picture = taken_in(jpeg())
    pictures = DerivedPictures()
    plain = pictures.jpeg(path, picture, 30)
    other = pictures.jpeg(path, replace(picture, **change), 30)
    assert other == upright_jpeg(path, replace(picture, **change), 30)
    assert other != plain
    assert pictures.jpeg(path, picture, 30, quality=40) != plain != pictures.jpeg(path, picture, 20)
    assert pictures.jpeg(path, picture, 30) is plain


def test_words_about_a_cover_or_a_picture_change_nothing(jpeg: MakePicture) -> None:
    path, picture = taken_in(jpeg())
    pictures = DerivedPictures()
    covered = replace(picture, covers=(COVER,))
    first = pictures.jpeg(path, covered, 30)
    told = replace(covered, caption="pot", covers=(replace(COVER, id="cover-009", reason="number plate"),))
    assert pictures.jpeg(path, told, 30) is first


def test_a_changed_file_is_refused_although_its_picture_is_kept(jpeg: MakePicture) -> None:
    """Another whole picture of the same number of bytes and with the same time of change."""
    path, picture = taken_in(jpeg())
    before, data = path.stat(), path.read_bytes()
    pictures = DerivedPictures()
    pictures.jpeg(path, picture, 30)
    path.write_bytes(data.replace(b"a private remark", b"another remark!!"))
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert path.stat().st_size == before.st_size
    with pytest.raises(errors.PictureChangedError):
        pictures.jpeg(path, picture, 30)
    path.write_bytes(data)
    assert pictures.jpeg(path, picture, 30) == upright_jpeg(path, picture, 30)
    path.unlink()
    with pytest.raises(errors.CouldNotReadError):
        pictures.jpeg(path, picture, 30)


def test_a_file_that_changed_just_now_is_read_again(tmp_path: Path) -> None:
    """Two changes may bear the same time; a hash is kept only of a file that was left alone for a while."""
    path = tmp_path / "a"
    path.write_bytes(b"one")
    touched = path.stat().st_ctime_ns
    soon, later = FileHashes(now=lambda: touched + SETTLED - 1), FileHashes(now=lambda: touched + SETTLED)
    assert soon.sha256(path) == later.sha256(path)
    assert (len(soon._known), len(later._known)) == (0, 1)


def test_reading_is_spared_while_nothing_changes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"one")
    hashes = FileHashes(now=lambda: path.stat().st_ctime_ns + SETTLED)
    found = hashes.sha256(path)
    opened: list[Path] = []
    monkeypatch.setattr(Path, "open", lambda self, *_: opened.append(self))
    assert hashes.sha256(path) == found
    assert opened == []


@settings(derandomize=True, deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 9))), st.integers(0, 40))
def test_the_limit_holds_and_what_was_used_last_stays(steps: list[tuple[int, int]], limit: int) -> None:
    """Against a plain list as model; the bytes of a key have the length of its number."""
    cache, model = BytesCache(limit), []
    for number, _ in steps:
        made: list[int] = []
        found = cache.get(number, lambda number=number, made=made: (made.append(1), bytes(number))[1])
        assert found == bytes(number)
        assert bool(made) == (number not in model)
        model = [*(one for one in model if one != number), number]
        while sum(model) > limit:
            model.pop(0)
        assert cache.size == sum(model) <= limit


def test_many_threads_get_the_same_bytes(jpeg: MakePicture) -> None:
    noise = Image.effect_noise((120, 90), 60)
    path, picture = taken_in(jpeg(image=noise))
    pictures, found = DerivedPictures(limit=40_000), []
    start = threading.Barrier(8)

    def look(number: int) -> None:
        start.wait()
        for size in (100, 60, 100, 80, 60):
            found.append((size, pictures.jpeg(path, picture, size), number))

    threads = [threading.Thread(target=look, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 40
    for size, data, _ in found:
        assert data == upright_jpeg(path, picture, size)
    assert pictures.kept.size <= 40_000


def test_a_field_in_place_of_a_picture_is_kept_by_its_words(jpeg: MakePicture) -> None:
    _, picture = taken_in(jpeg())
    pictures = DerivedPictures()
    first = pictures.stand_in(picture, 300, "picture-001 is missing.")
    assert pictures.stand_in(picture, 300, "picture-001 is missing.") is first
    assert pictures.stand_in(picture, 300, "picture-001 was changed.") != first
    with Image.open(io.BytesIO(first)) as image:
        assert image.size == (40, 24)
