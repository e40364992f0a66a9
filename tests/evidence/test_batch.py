"""Many files at once: in the order in which they came, each once, all or none."""

import io
import os
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from PIL import Image

from hazardreport import errors, wording
from hazardreport.case.case import Case
from hazardreport.evidence import disk, staging
from hazardreport.evidence.batch import Destination, Taken, Wanted, destination, take_in_many, with_taken
from hazardreport.evidence.settling import clear_abandoned
from tests.evidence.heic_files import heic

NOW = "2026-05-04T10:00:00Z"


def jpeg(seed: int) -> bytes:
    buffer = io.BytesIO()
    Image.new("RGB", (24, 16), "green").save(buffer, "JPEG", comment=f"number {seed}")
    return buffer.getvalue()


def place(tmp_path: Path, wanted: Wanted = Wanted.EITHER) -> Destination:
    return destination(Case(id="C-1"), tmp_path / "pictures", tmp_path / "attachments", wanted, NOW)


def written(tmp_path: Path, files: dict[str, bytes]) -> list[Path]:
    (tmp_path / "from").mkdir(exist_ok=True)
    for name, data in files.items():
        (tmp_path / "from" / name).write_bytes(data)
    return [tmp_path / "from" / name for name in files]


def lying(tmp_path: Path) -> list[str]:
    return sorted(
        f"{folder}/{path.name}"
        for folder in ("pictures", "attachments")
        if (tmp_path / folder).exists()
        for path in (tmp_path / folder).iterdir()
    )


def test_records_come_in_the_order_of_the_files(tmp_path: Path) -> None:
    files = {f"{number:02d}.jpg": jpeg(number) for number in range(40)}
    taken = take_in_many(written(tmp_path, files), place(tmp_path))
    assert [picture.original_name for picture in taken.pictures] == list(files)
    assert [picture.id for picture in taken.pictures] == [f"picture-{number:03d}" for number in range(1, 41)]
    for picture, data in zip(taken.pictures, files.values(), strict=True):
        assert (tmp_path / "pictures" / picture.file).read_bytes() == data
        assert picture.imported == NOW
    taken.settled.done()
    assert lying(tmp_path) == [f"pictures/picture-{number:03d}.jpg" for number in range(1, 41)]


def test_pictures_and_other_files_are_told_apart(tmp_path: Path) -> None:
    files = {
        "a.pdf": b"%PDF-1.7 ...",
        "b.jpg": jpeg(1),
        "c.mp4": b"\0\0\0\x20ftypisom",
        "d": heic("plain"),
        "e": b"hello",
    }
    taken = take_in_many(written(tmp_path, files), place(tmp_path))
    taken.settled.done()
    assert [(one.id, one.original_name) for one in taken.pictures] == [("picture-001", "b.jpg"), ("picture-002", "d")]
    assert [(one.id, one.media_type) for one in taken.attachments] == [
        ("attachment-001", "application/pdf"),
        ("attachment-002", "video/mp4"),
        ("attachment-003", "text/plain"),
    ]
    assert len(lying(tmp_path)) == 5


@pytest.mark.parametrize(
    ("wanted", "refused", "attached"),
    [(Wanted.PICTURES, 4, 0), (Wanted.EITHER, 3, 1), (Wanted.ATTACHMENTS, 0, 5)],
)
def test_what_is_refused_holds_up_no_other_and_can_be_attached(
    tmp_path: Path, wanted: Wanted, refused: int, attached: int
) -> None:
    files = {
        "a.jpg": jpeg(1)[:-50],
        "b.jpg": b"text",
        "c.gif": b"GIF89a" + bytes(9),
        "d.jpg": jpeg(2),
        "e": b"RIFF0000WEBP",
    }
    taken = take_in_many(written(tmp_path, files), place(tmp_path, wanted))
    taken.settled.done()
    assert (len(taken.refused), len(taken.attachments)) == (refused, attached)
    assert len(taken.pictures) == (0 if wanted is Wanted.ATTACHMENTS else 1)
    assert all("attached as it is" in wording.remedy(error) for error in taken.refused)
    assert len(lying(tmp_path)) == len(taken.pictures) + len(taken.attachments)


def test_the_same_bytes_are_taken_once_under_the_first_name(tmp_path: Path) -> None:
    files = {name: jpeg(1) for name in "abcdefgh"} | {"z": jpeg(2)}
    for _ in range(5):
        taken = take_in_many(written(tmp_path, files), place(tmp_path))
        assert [picture.original_name for picture in taken.pictures] == ["a", "z"]
        assert taken.known == tuple((name, "picture-001") for name in "bcdefgh")
        taken.settled.withdraw()
        assert lying(tmp_path) == []


def test_the_same_broken_bytes_are_told_of_each_file(tmp_path: Path) -> None:
    files = {name: jpeg(1)[:-50] for name in "abc"}
    taken = take_in_many(written(tmp_path, files), place(tmp_path))
    assert [error.fields()["name"] for error in taken.refused] == ["a", "b", "c"]


def test_what_the_case_has_is_known_by_its_id(tmp_path: Path) -> None:
    sources = written(tmp_path, {"a.jpg": jpeg(1), "b.pdf": b"%PDF-1.7"})
    first = take_in_many(sources, place(tmp_path))
    first.settled.done()
    case = with_taken(Case(id="C-1"), first)
    further = destination(case, tmp_path / "pictures", tmp_path / "attachments", Wanted.EITHER, NOW)
    again = take_in_many([*sources, *written(tmp_path, {"c.jpg": jpeg(3)})], further)
    again.settled.done()
    assert again.known == (("a.jpg", "picture-001"), ("b.pdf", "attachment-001"))
    assert [picture.id for picture in again.pictures] == ["picture-002"]
    as_files = take_in_many(sources, replace(further, wanted=Wanted.ATTACHMENTS))
    assert [one.original_name for one in as_files.attachments] == ["a.jpg"], "a picture may also be attached"


def test_nothing_at_all_is_no_import(tmp_path: Path) -> None:
    assert take_in_many([], place(tmp_path)) == Taken()
    assert lying(tmp_path) == []


def test_a_file_with_more_pages_is_remarked_upon(tmp_path: Path) -> None:
    taken = take_in_many(written(tmp_path, {"two.heic": heic("two"), "one.heic": heic("plain")}), place(tmp_path))
    assert [error.fields()["name"] for error in taken.remarks] == ["two.heic"]
    assert "first is shown" in wording.what(taken.remarks[0])


class Enough(Exception):  # noqa: N818 - as an application's own word for "cancelled"
    """The person cancelled."""


@pytest.mark.parametrize("at", [0, 1, 5, 9, 10])
def test_a_cancelled_import_leaves_nothing(tmp_path: Path, at: int) -> None:
    sources = written(tmp_path, {f"{number}.jpg": jpeg(number) for number in range(10)})
    before = threading.active_count()

    def progress(done: int, total: int) -> None:
        assert total == 10
        if done >= at:
            raise Enough

    with pytest.raises(Enough):
        take_in_many(sources, place(tmp_path), progress)
    assert lying(tmp_path) == []
    assert threading.active_count() == before


def test_a_long_file_is_given_up_between_two_pieces(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    written_so_far: list[int] = []
    cancelled = threading.Event()

    def slow(descriptor: int, data: bytes) -> int:
        written_so_far.append(len(data))
        assert cancelled.wait(60)
        return os.write(descriptor, data)

    def progress(done: int, total: int) -> None:
        if written_so_far:
            cancelled.set()
            raise Enough

    monkeypatch.setattr(disk, "write", slow)
    with pytest.raises(Enough):
        take_in_many(written(tmp_path, {"long.bin": bytes(20 << 20)}), place(tmp_path), progress)
    assert len(written_so_far) <= 3
    assert lying(tmp_path) == []


def test_progress_counts_to_the_end_and_never_back(tmp_path: Path) -> None:
    told: list[int] = []
    sources = written(tmp_path, {f"{number}.jpg": jpeg(number) for number in range(9)})
    take_in_many(sources, place(tmp_path), lambda done, _: told.append(done))
    assert told == sorted(told)
    assert (told[0], told[-1]) == (0, 9)


def test_no_more_files_wait_for_the_disk_than_agreed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each has an open descriptor, and a system gives out few."""
    monkeypatch.setattr(staging, "_UNSYNCED", 2)
    opened, most = set(os.listdir("/dev/fd")), 0

    def sync(descriptor: int) -> None:
        nonlocal most
        most = max(most, len(set(os.listdir("/dev/fd")) - opened))
        os.fsync(descriptor)

    monkeypatch.setattr(disk, "sync", sync)
    take_in_many(written(tmp_path, {f"{n}.jpg": jpeg(n) for n in range(60)}), place(tmp_path))
    assert most < 12


def test_a_defect_in_a_thread_is_not_swallowed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(staging, "proved", broken)
    with pytest.raises(ZeroDivisionError):
        take_in_many(written(tmp_path, {"a.jpg": jpeg(1), "b.jpg": jpeg(2)}), place(tmp_path))
    assert lying(tmp_path) == []


def test_a_file_that_lies_there_is_never_overwritten(tmp_path: Path) -> None:
    (tmp_path / "pictures").mkdir()
    (tmp_path / "pictures" / "picture-001.jpg").write_bytes(b"taken out, kept for undo")
    taken = take_in_many(written(tmp_path, {"a.jpg": jpeg(1)}), place(tmp_path))
    assert taken.pictures[0].file == "picture-001-2.jpg"
    taken.settled.withdraw()
    assert lying(tmp_path) == ["pictures/picture-001.jpg"]


@pytest.mark.parametrize(
    "lines",
    [
        b"../case.json\n",
        b"/etc/passwd\n",
        b"case.json\n",
        b".settling-00.part\n",
        b"picture-001.jpg/../../case.json\n",
        b"picture-001.jp",
        b"picture-001.jpg\0\n",
        b"\xff\xfe\n" * 1000,
    ],
)
def test_a_marker_that_no_import_wrote_removes_nothing_else(tmp_path: Path, lines: bytes) -> None:
    folder = tmp_path / "pictures"
    folder.mkdir()
    (tmp_path / "case.json").write_bytes(b"{}")
    (folder / "case.json").write_bytes(b"{}")
    (folder / "picture-001.jpg").write_bytes(b"x")
    (folder / ".settling-00.part").write_bytes(lines)
    clear_abandoned(folder, frozenset())
    assert sorted(path.name for path in folder.iterdir()) == ["case.json", "picture-001.jpg"]
    assert (tmp_path / "case.json").exists()


def test_a_folder_that_is_not_there_has_nothing_abandoned(tmp_path: Path) -> None:
    clear_abandoned(tmp_path / "attachments", frozenset())
    assert not (tmp_path / "attachments").exists()


def test_a_source_that_is_gone_or_no_file_is_told(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    sources = [
        tmp_path / "gone.jpg",
        tmp_path / "pipe",
        tmp_path,
        Path("/dev/zero"),
        *written(tmp_path, {"a": jpeg(1)}),
    ]
    taken = take_in_many(sources, place(tmp_path))
    assert [type(error) for error in taken.refused] == [errors.PictureFileMissingError, *[errors.NotAFileError] * 3]
    assert len(taken.pictures) == 1
