"""Every byte of a publication is searched for what was planted everywhere; the same search finds it in the whole case.

Planted are names, addresses, mail, telephone numbers and a private serial number in every text of every record, in the
names of files and in the log; and positions, owners, serial numbers and earlier pictures inside the files.
"""

import io
import shutil
import struct
import zipfile
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from PIL import Image

from hazardreport.app.cli import run
from hazardreport.case.case import Case
from hazardreport.case.circumstances import Submitter
from hazardreport.case.confirmation import TableConfirmation
from hazardreport.case.exposure import OwnExposure
from hazardreport.case.picture import Cover, Picture, Recognisable
from hazardreport.case.publication_places import IDS, KEPT, LINKS
from hazardreport.case.stated import Absence, value
from hazardreport.case.unit import ConformityMark
from hazardreport.evidence.intake import take_in, take_in_attachment
from hazardreport.resources_dir import DEMO_CASE
from hazardreport.review.pack_integrity import check_pack
from hazardreport.storage.folder import create_case, open_case
from hazardreport.storage.pack import pack_case
from hazardreport.storage.publication import pack_publication
from hazardreport.storage.unpack import unpack
from tests.case.planted_words import planted, texts
from tests.case.test_personal import text_places
from tests.evidence import planted as files
from tests.evidence.heic_files import heic
from tests.storage.searched import Stream, hits, nearest, pictures, streams

NOON = "2026-06-01T12:00:00Z"
KNOWN = (
    "Ottilie",
    "Quandt",
    "Birkenweg 9",
    "50667 Kerzenau",
    "o.quandt@post.example",
    "0221 5550147",
    "SN-40417733",
    "Łukasz Müller",
)
"""Words that the record itself says are about a person."""

SPELLED = " / ".join(
    (*KNOWN, "OTTILIE QUANDT", "o-t-t-i-l-i-e", "birkenweg\u00a09", "SN 4041 7733", "0049 221 5550147")
)
IN_FILES = ("secret-comment", "secret-tail", "secret-iptc", "MAKERSECRET", "Klapphandy-77", "secret-attachment")
"""Words that stand in files only, or in what the record says of them, and that nobody named."""

POSITION = struct.pack(">IIIIII", 52, 1, 31, 1, 4499, 100)
PATCH = (250, 0, 180)


@dataclass(frozen=True)
class Made:
    """The whole case, its pack, and the pack of its publication."""

    case: Case
    folder: Path
    whole: Path
    publication: Path


def covered_picture() -> bytes:
    """A JPEG with a patch of the hidden colour, and Exif."""
    image = files.picture()
    image.paste(PATCH, (100, 60, 160, 110))
    buffer = io.BytesIO()
    image.save(buffer, "JPEG", quality=95, exif=b"Exif\0\0" + files.exif(1))
    return buffer.getvalue()


def heic_with_words() -> bytes:
    """A HEIC with a free box behind its end that holds words and a position."""
    words = b"Ottilie Quandt, Birkenweg 9, MAKERSECRET" + POSITION
    return heic("claims") + struct.pack(">I4s", 8 + len(words), b"free") + words


PICTURES: Mapping[str, bytes] = {
    "Ottilie Quandt.jpg": files.planted_jpeg(6),
    "Birkenweg 9, kitchen.png": files.planted_png(),
    "Klapphandy-77.tif": files.planted_tiff(),
    "Quandt.webp": files.planted_webp(),
    "SN-40417733.heic": heic_with_words(),
    "covered.jpg": covered_picture(),
    "Lukasz.jpg": files.planted_jpeg(),
}


def attachments() -> dict[str, bytes]:
    box = io.BytesIO()
    with zipfile.ZipFile(box, "w", zipfile.ZIP_DEFLATED) as target:
        target.writestr("letter.txt", "secret-attachment of Ottilie Quandt, " * 20)
    return {"Quandt letters.zip": box.getvalue(), "note to Ottilie.txt": b"secret-attachment, Birkenweg 9"}


def taken_in(place: Path, folder: Path) -> Case:
    """A case with all of the files, and every text of the records set, before anything is planted."""
    demo = open_case(DEMO_CASE, for_writing=False).case
    found: list[Picture] = []
    for number, (name, data) in enumerate(PICTURES.items(), 1):
        (place / name).write_bytes(data)
        one = take_in(place / name, folder / "pictures", f"picture-{number:03d}", NOON)
        like = demo.pictures[0]
        found.append(
            replace(
                one,
                caption="pot",
                description="the pot",
                camera="Klapphandy-77",
                placements=like.placements,
                marks=tuple(mark for other in demo.pictures for mark in other.marks)[:1],
                covers=(Cover(id="cover-001", left=95, top=55, right=165, bottom=115, reason="face"),)
                if name == "covered.jpg"
                else (),
                recognisable=Recognisable.YES if name == "Lukasz.jpg" else Recognisable.NO,
            )
        )
    for name, data in attachments().items():
        (place / name).write_bytes(data)
    kept = [
        take_in_attachment(place / name, folder / "attachments", f"attachment-{number:03d}", NOON)
        for number, name in enumerate(attachments(), 1)
    ]
    return replace(
        demo,
        revision=0,
        pictures=tuple(found),
        attachments=tuple(kept),
        exposures=(OwnExposure(id="exposure-001", reason="asked"),),
        absences=(Absence(field="findings", reason="none yet"),),
        readings=tuple(replace(one, repeats=("1 V",)) for one in demo.readings),
        private_words=("Łukasz Müller",),
        conformity_marks=(ConformityMark(id="conformity-mark-001"),),
        confirmations=(TableConfirmation(id="confirmation-001", table="eu-2019-417/risk-level", rows=(("1",),)),),
    )


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    place = tmp_path_factory.mktemp("publication")
    folder = place / "case"
    staged = place / "staged"
    plain = taken_in(place, staged)
    case = planted(plain, "", SPELLED)
    case = replace(
        case,
        id="HR-7",
        submitter=Submitter(
            first_name=value("Ottilie"),
            last_name=value("Quandt"),
            address=value("Birkenweg 9\n50667 Kerzenau"),
            email=value("o.quandt@post.example"),
            phone=value("0221 5550147"),
            country=case.submitter.country,
            guardian=value("Ottilie Quandt the elder"),
        ),
        unit=replace(case.unit, serial=replace(value("SN-40417733"), private=True)),
        private_words=("Łukasz Müller",),
    )
    saved = create_case(folder, case, author="Ottilie Quandt", time=NOON)
    for name in ("pictures", "attachments"):
        shutil.copytree(staged / name, folder / name, dirs_exist_ok=True)
    pack_case(folder, place / "whole.zip", created=NOON)
    pack_publication(folder, place / "publication.zip", created=NOON)
    return Made(case=saved, folder=folder, whole=place / "whole.zip", publication=place / "publication.zip")


@pytest.fixture(scope="module")
def published(made: Made) -> list[Stream]:
    return list(streams("publication.zip", made.publication.read_bytes()))


@pytest.fixture(scope="module")
def whole(made: Made) -> list[Stream]:
    return list(streams("whole.zip", made.whole.read_bytes()))


def test_a_word_was_planted_in_every_text_that_a_person_can_type(made: Made) -> None:
    """But in keys, hashes and ids; the case's own id is kept plain, since it names the pack."""
    plain = {*KEPT, *IDS, *LINKS, "id"}
    hit = {place for place, text in texts(made.case) if "ttilie" in text or any(word in text for word in KNOWN)}
    hit |= {place.removesuffix(".text").removesuffix(".reason") for place in hit}
    assert set(text_places(Case)) - plain - hit == set()


def test_nothing_that_was_planted_is_in_any_byte_of_the_publication(published: list[Stream]) -> None:
    assert hits(published, (*KNOWN, *IN_FILES), [POSITION]) == {}
    assert hits(published, ("Müller", "Łukasz", "40417733", "5550147")) == {}


def test_the_same_search_finds_all_of_it_in_the_pack_of_the_whole_case(whole: list[Stream]) -> None:
    found = hits(whole, (*KNOWN, *IN_FILES), [POSITION])
    assert set(found) == {*KNOWN, *IN_FILES, POSITION.hex()}
    places = " ".join(sorted(found["Quandt"]))
    for part in ("case.json", "values.jsonl", ".jpg: segment E1", ".png: chunk b'eXIf'", ".tif", ".webp", ".heic"):
        assert part in places
    assert "zip/letter.txt" in " ".join(found["secret-attachment"])


def test_the_publication_is_a_whole_pack_that_says_what_it_was_derived_from(made: Made) -> None:
    found = check_pack(made.publication)
    assert (found.whole, found.problems, found.container) == (True, (), ())
    with zipfile.ZipFile(made.publication) as box:
        names = [name.removeprefix("HR-7/") for name in box.namelist()]
        info = box.read("HR-7/bag-info.txt").decode()
    assert names == [
        "bag-info.txt",
        "bagit.txt",
        "data/case.json",
        "data/log.jsonl",
        *(f"data/pictures/picture-{number:03d}.jpg" for number in range(1, 7)),
        "data/values.jsonl",
        "manifest-sha256.txt",
        "tagmanifest-sha256.txt",
    ]
    head = check_pack(made.whole).chain.head
    assert f"Derived: derived for publication from revision 1, log head {head}\n" in info


def test_no_covered_and_no_earlier_pixel_is_in_a_published_picture(
    published: list[Stream], whole: list[Stream]
) -> None:
    """Each picture decoded by Pillow; the patch is found in the original by the same look."""
    seen = dict(pictures(published))
    assert len(seen) == 6
    assert min(nearest(image, PATCH) for image in seen.values()) > 60
    assert nearest(dict(pictures(whole))["whole.zip/HR-7/data/pictures/picture-006.jpg"], PATCH) < 10


@pytest.mark.slow
def test_nothing_of_it_is_in_a_report_made_from_the_publication(made: Made, tmp_path: Path) -> None:
    """Streams, strings, attached files and the text of each page, by pikepdf and pypdfium2; pictures by Pillow."""
    reports = {}
    for name, source in (("published", made.publication), ("whole", made.whole)):
        unpack(source, tmp_path / name)
        out, err = io.StringIO(), io.StringIO()
        words = ["export", str(tmp_path / name), "--for", "eu-maker-notice", "--out", str(tmp_path / f"{name}.pdf")]
        assert run(words, out, err, clock=lambda: datetime(2026, 6, 1, 12, tzinfo=UTC)) in (0, 1), err.getvalue()
        reports[name] = list(streams(f"{name}.pdf", (tmp_path / f"{name}.pdf").read_bytes()))
    assert hits(reports["published"], (*KNOWN, *IN_FILES), [POSITION]) == {}
    seen = dict(pictures(reports["published"]))
    assert seen
    assert min(nearest(image, PATCH) for image in seen.values()) > 60
    assert {"Quandt", "Birkenweg 9", "SN-40417733"} <= set(hits(reports["whole"], KNOWN))


# the search itself, on what is packed in another way


def pdf(**streams_of: bytes) -> bytes:
    buffer = io.BytesIO()
    with pikepdf.new() as document:
        document.add_blank_page()
        for name, content in streams_of.items():
            document.Root[f"/{name}"] = document.make_stream(content)
        document.docinfo["/Author"] = "Ottilie Quandt"
        document.save(buffer, compress_streams=True, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    return buffer.getvalue()


def zipped(content: bytes, name: str = "a.txt") -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as box:
        box.writestr(name, content)
    return buffer.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        pytest.param("of QUANDT here".encode("utf-16-le"), id="UTF-16LE"),
        pytest.param("of Quandt here".encode("utf-16-be"), id="UTF-16BE"),
        pytest.param("ein QUANDT".encode("utf-16-le").hex().encode(), id="UTF-16LE in hex"),
        pytest.param(b"Quandt".hex().encode(), id="hex"),
        pytest.param(b"quandt".hex().upper().encode(), id="hex in capitals"),
        pytest.param(zipped(zipped(b"a Quandt, " * 30)), id="zip in zip"),
        pytest.param(zipped(b"", "Quandt.txt"), id="name in zip"),
        pytest.param(pdf(), id="author of a PDF"),
        pytest.param(pdf(Note=zlib.compress(b"no") + b"Quandt" * 9), id="stream of a PDF"),
        pytest.param(pdf(Picture=files.planted_jpeg()), id="picture in a PDF"),
        pytest.param(files.planted_png(), id="PNG"),
    ],
)
def test_the_search_looks_into(data: bytes) -> None:
    assert "Quandt" in hits(streams("made", data), ["Quandt"])


def test_the_search_decompresses_the_text_of_a_png() -> None:
    assert b"secret-comment" not in files.planted_png()
    assert "secret-comment" in hits(streams("made", files.planted_png()), ["secret-comment"])


@pytest.mark.parametrize("text", ["łukasz müller", "ŁUKASZ MÜLLER", "Łukasz Mu\u0308ller"])
def test_the_search_knows_letters_that_are_not_ascii(text: str) -> None:
    assert hits([("made", f"by {text}".encode())], ["Łukasz Müller"])


def test_the_search_finds_nothing_where_nothing_is() -> None:
    plain: dict[str, Any] = {"a.jpg": io.BytesIO()}
    Image.new("RGB", (8, 8)).save(plain["a.jpg"], "JPEG")
    assert hits(streams("a.jpg", plain["a.jpg"].getvalue()), KNOWN, [POSITION]) == {}
