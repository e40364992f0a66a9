"""A cover replaces pixels before anything is scaled: what lies below it has no part in any derived picture."""

import hashlib
import io
import random
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms, ImageOps

from hazardreport import errors
from hazardreport.case.picture import Cover, Picture
from hazardreport.evidence.derived import jpeg_of, published_jpeg, upright_image
from hazardreport.evidence.derived_covers import FILL, stored_boxes

WIDTH, HEIGHT = 36, 28
ORIENTATION = 0x0112


def record(data: bytes, size: tuple[int, int], orientation: int, *covers: Cover, media_type: str) -> Picture:
    width, height = size if orientation < 5 else size[::-1]
    return Picture(
        id="picture-001",
        file="picture-001",
        original_name="a",
        media_type=media_type,
        sha256=hashlib.sha256(data).hexdigest(),
        size=len(data),
        width=width,
        height=height,
        orientation=orientation,
        covers=covers,
    )


def noise(size: tuple[int, int], seed: int, mode: str = "RGB") -> Image.Image:
    bands = len(Image.new(mode, (1, 1)).getbands())
    return Image.frombytes(mode, size, random.Random(seed).randbytes(size[0] * size[1] * bands))


def encoded(image: Image.Image, kind: str, **options: object) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, kind, **options)
    return buffer.getvalue()


def cover(left: float, top: float, right: float, bottom: float) -> Cover:
    return Cover(id="cover-001", left=left, top=top, right=right, bottom=bottom)


def other_below(image: Image.Image, orientation: int, hidden: Cover, seed: int) -> Image.Image:
    """The same stored picture with other pixels below a cover, found by turning it upright and back by Pillow alone."""
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    tagged = Image.open(io.BytesIO(encoded(image, "PNG", exif=exif)))
    upright = ImageOps.exif_transpose(tagged)
    box = int(hidden.left), int(hidden.top), -int(-hidden.right // 1), -int(-hidden.bottom // 1)
    upright.paste(noise((box[2] - box[0], box[3] - box[1]), seed, image.mode), box[:2])
    back = {1: 1, 2: 2, 3: 3, 4: 4, 5: 5, 6: 8, 7: 7, 8: 6}[orientation]
    exif[ORIENTATION] = back
    return ImageOps.exif_transpose(Image.open(io.BytesIO(encoded(upright, "PNG", exif=exif))))


edges = st.floats(0, 1, allow_nan=False, width=32)


@st.composite
def hidden_parts(draw: st.DrawFn, width: int, height: int) -> Cover:
    left, right = sorted((draw(edges) * width, draw(edges) * width))
    top, bottom = sorted((draw(edges) * height, draw(edges) * height))
    return cover(left, top, max(right, left + 0.1), max(bottom, top + 0.1))


@settings(derandomize=True, deadline=None, max_examples=40)
@given(st.data(), st.sampled_from(("TIFF", "TIFF packed", "WEBP", "TIFF in blocks of JPEG")), st.integers(1, 40))
def test_what_stands_below_a_cover_changes_no_byte_in_other_kinds(data: st.DataObject, kind: str, longest: int) -> None:
    """Lossless files, and one in whose blocks of JPEG only whole ones differ."""
    options: dict[str, object] = {
        "TIFF": {},
        "TIFF packed": {"compression": "tiff_lzw"},
        "WEBP": {"lossless": True, "exact": True},
        "TIFF in blocks of JPEG": {"compression": "jpeg", "quality": 70},
    }[kind]
    if "JPEG" in kind:
        size, hidden = (128, 96), cover(32, 32, 80, 64)
    else:
        size, hidden = (WIDTH, HEIGHT), data.draw(hidden_parts(WIDTH, HEIGHT))
        hidden = cover(hidden.left, hidden.top, min(hidden.right, WIDTH), min(hidden.bottom, HEIGHT))
    seeds = data.draw(st.tuples(st.integers(0, 99), st.integers(100, 199)))
    first = noise(size, seeds[0])
    derived = []
    for image in (first, other_below(first, 1, hidden, seeds[1])):
        file = encoded(image, kind.split()[0], **options)
        picture = record(file, size, 1, hidden, media_type=f"image/{kind.split()[0].lower()}")
        derived.append(jpeg_of(file, picture, longest))
    assert derived[0] == derived[1]


@settings(derandomize=True, deadline=None, max_examples=150)
@given(st.data(), st.integers(1, 8), st.sampled_from(("RGB", "L", "RGBA", "LA", "1", "P")), st.integers(1, 40))
def test_what_stands_below_a_cover_changes_no_byte(data: st.DataObject, turn: int, mode: str, longest: int) -> None:
    size = (WIDTH, HEIGHT) if turn < 5 else (HEIGHT, WIDTH)
    hidden = data.draw(hidden_parts(*size))
    hidden = cover(hidden.left, hidden.top, min(hidden.right, size[0]), min(hidden.bottom, size[1]))
    seeds = data.draw(st.tuples(st.integers(0, 99), st.integers(100, 199)))
    working = "L" if mode in ("1", "P") else mode
    first = noise((WIDTH, HEIGHT), seeds[0], working)
    second = other_below(first, turn, hidden, seeds[1])
    assert second.size == first.size
    derived = []
    for image in (first, second):
        png = encoded(_in_mode(image, mode), "PNG")
        picture = record(png, (WIDTH, HEIGHT), turn, hidden, media_type="image/png")
        derived.append(jpeg_of(png, picture, longest))
    assert derived[0] == derived[1]


def _in_mode(image: Image.Image, mode: str) -> Image.Image:
    """One bit by threshold and a palette that is the same for every picture: neither looks at a neighbour."""
    if mode == "1":
        return image.point(lambda level: 255 * (level > 127)).convert("1", dither=Image.Dither.NONE)
    if mode == "P":
        palette = Image.frombytes("P", image.size, image.tobytes())
        palette.putpalette(random.Random(7).randbytes(768))
        return palette
    return image


@pytest.mark.parametrize("turn", range(1, 9))
@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_a_cover_lies_where_it_was_drawn_on_the_upright_picture(kind: str, turn: int, tmp_path: Path) -> None:
    data = encoded(Image.new("RGB", (60, 40), "white"), kind, **({"subsampling": 0} if kind == "JPEG" else {}))
    hidden = cover(3.4, 5.0, 20.2, 11.9)
    (tmp_path / "picture-001").write_bytes(data)
    picture = record(data, (60, 40), turn, hidden, media_type=f"image/{kind.lower()}")
    upright = upright_image(tmp_path / "picture-001", picture, 1000)
    covered = {(x, y) for x in range(upright.width) for y in range(upright.height) if upright.getpixel((x, y)) == FILL}
    drawn = {(x, y) for x in range(3, 21) for y in range(5, 12)}
    if kind == "PNG":
        assert covered == drawn
    else:
        near = {(x + a, y + b) for x, y in drawn for a in range(-7, 8) for b in range(-7, 8)}
        assert drawn <= covered <= near, "blocks of 8 that the cover touches, and no other"


@pytest.mark.parametrize("turn", range(1, 9))
@pytest.mark.parametrize("subsampling", [0, 1, 2], ids=["4:4:4", "4:2:2", "4:2:0"])
@pytest.mark.parametrize("progressive", [False, True])
@pytest.mark.parametrize("longest", [160, 80, 40, 20, 33])
def test_whole_blocks_of_a_jpeg_below_a_cover_change_no_byte(
    turn: int, subsampling: int, progressive: bool, longest: int
) -> None:
    """Blocks are coded one by one: two files that differ in whole blocks below a cover derive to the same bytes."""
    stored = (32, 48, 96, 80)
    first = noise((160, 128), 1)
    second = first.copy()
    second.paste(noise((stored[2] - stored[0], stored[3] - stored[1]), 2), stored[:2])
    corners = _upright_place(stored[0], stored[1], turn), _upright_place(stored[2], stored[3], turn)
    (left, right), (top, bottom) = (sorted(corner[axis] for corner in corners) for axis in (0, 1))
    derived = []
    for image in (first, second):
        data = encoded(image, "JPEG", quality=80, subsampling=subsampling, progressive=progressive)
        picture = record(data, (160, 128), turn, cover(left, top, right, bottom), media_type="image/jpeg")
        derived.append(jpeg_of(data, picture, longest))
    assert derived[0] == derived[1]


def _upright_place(x: int, y: int, turn: int) -> tuple[int, int]:
    """By Pillow alone: the corner of a pixel, followed through the transposition of a picture 160 × 128."""
    marked = Image.new("L", (161, 129), 0)
    marked.putpixel((x, y), 255)
    exif = Image.Exif()
    exif[ORIENTATION] = turn
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(encoded(marked, "PNG", exif=exif))))
    left, top, _, _ = upright.getbbox()
    return left, top


def _first_scans(data: bytes, count: int) -> bytes:
    """A progressive JPEG that ends after its first scans, whole by its own account."""
    starts = [at for at in range(len(data) - 1) if data[at : at + 2] == b"\xff\xda"]
    end = starts[count]
    while data.rfind(b"\xff\xc4", starts[count - 1], end) > 0:
        end = data.rfind(b"\xff\xc4", starts[count - 1], end)
    return data[:end] + b"\xff\xd9"


def test_a_progressive_jpeg_that_ends_early_is_covered_as_far_as_decoders_smooth_it() -> None:
    """With the first scan alone each block is a mean, and a decoder makes up its slopes from the blocks around it."""
    first = Image.new("RGB", (160, 160), (90, 90, 90))
    second = first.copy()
    second.paste((255, 40, 0), (64, 64, 96, 96))
    hidden = cover(64, 64, 96, 96)
    files = [_first_scans(encoded(image, "JPEG", progressive=True, subsampling=2), 1) for image in (first, second)]
    plain, derived = [], []
    for data in files:
        plain.append(Image.open(io.BytesIO(data)).convert("RGB").crop((48, 48, 64, 112)).tobytes())
        derived.append(jpeg_of(data, record(data, (160, 160), 1, hidden, media_type="image/jpeg"), 160))
    assert plain[0] != plain[1], "the decoder smooths over the edge, or this test shows nothing"
    assert derived[0] == derived[1]


def test_covers_hide_whatever_the_scale_of_decoding(tmp_path: Path) -> None:
    """A planted colour below a cover is nowhere in pictures of 1/1, 1/2, 1/4, 1/8 and odd sizes."""
    image = Image.new("RGB", (1600, 1200), (40, 90, 200))
    image.paste((250, 0, 180), (301, 307, 699, 913))
    data = encoded(image, "JPEG", quality=90)
    picture = record(data, image.size, 1, cover(290.5, 296.5, 709, 923), media_type="image/jpeg")
    (tmp_path / "a").write_bytes(data)
    for longest in (1600, 800, 400, 200, 317, 3):
        upright = upright_image(tmp_path / "a", picture, longest)
        redness = upright.getchannel("R").getextrema()[1]
        assert redness <= FILL[0] + 12, longest


def test_a_cover_outside_of_the_picture_or_across_its_edge_is_cut_off() -> None:
    assert stored_boxes([cover(-5, -5, 3.2, 2)], 1, 10, 8) == ((0, 0, 4, 2),)
    assert stored_boxes([cover(20, 1, 30, 2), cover(2, -9, 3, -1)], 1, 10, 8) == ()
    assert stored_boxes([cover(9.5, 7.5, 12, 12)], 3, 10, 8) == ((0, 0, 1, 1),)


def test_a_file_of_another_size_than_the_covers_were_drawn_for_is_refused(png: Callable[..., Path]) -> None:
    path = png("a.png", noise((20, 10), 1))
    data = path.read_bytes()
    right = record(data, (20, 10), 1, cover(1, 1, 5, 5), media_type="image/png")
    assert upright_image(path, right, 20).size == (20, 10)
    wrong = record(data, (21, 10), 1, cover(1, 1, 5, 5), media_type="image/png")
    with pytest.raises(errors.PictureChangedError):
        upright_image(path, wrong, 20)


def test_a_published_picture_is_whole_and_covered(tmp_path: Path) -> None:
    data = encoded(noise((300, 200), 3), "JPEG", quality=95, subsampling=0)
    (tmp_path / "a").write_bytes(data)
    picture = record(data, (300, 200), 6, cover(10, 20, 60, 90), media_type="image/jpeg")
    derived, width, height = published_jpeg(tmp_path / "a", picture)
    with Image.open(io.BytesIO(derived)) as image:
        assert (width, height) == image.size == (200, 300)
        inner = image.convert("RGB").crop((20, 36, 44, 76))
    assert all(
        abs(low - wanted) <= 2 and abs(high - wanted) <= 2
        for (low, high), wanted in zip(inner.getextrema(), FILL, strict=True)
    )


def test_a_published_picture_has_its_limit(tmp_path: Path) -> None:
    data = encoded(Image.new("L", (9000, 30), 90), "PNG")
    (tmp_path / "a").write_bytes(data)
    _, width, height = published_jpeg(tmp_path / "a", record(data, (9000, 30), 1, media_type="image/png"))
    assert (width, height) == (6000, 20)


def test_another_file_is_never_published(tmp_path: Path) -> None:
    data = encoded(noise((30, 20), 3), "PNG")
    (tmp_path / "a").write_bytes(encoded(noise((30, 20), 4), "PNG"))
    with pytest.raises(errors.PictureChangedError):
        published_jpeg(tmp_path / "a", record(data, (30, 20), 1, media_type="image/png"))


def test_a_colour_profile_is_applied_and_not_passed_on(tmp_path: Path) -> None:
    """A profile with red and blue exchanged, made of Pillow's own sRGB profile: red comes out blue."""
    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    tags = {bytes(profile[at : at + 4]): at for at in range(132, 132 + 12 * profile[131], 12)}
    profile[tags[b"rXYZ"] : tags[b"rXYZ"] + 4], profile[tags[b"bXYZ"] : tags[b"bXYZ"] + 4] = b"bXYZ", b"rXYZ"
    swapped = bytes(profile).replace("sRGB".encode("utf-16-be"), "abcd".encode("utf-16-be"))
    data = encoded(Image.new("RGB", (8, 8), (255, 0, 0)), "PNG", icc_profile=swapped)
    (tmp_path / "a").write_bytes(data)
    upright = upright_image(tmp_path / "a", record(data, (8, 8), 1, cover(0, 0, 2, 2), media_type="image/png"), 8)
    assert upright.getpixel((5, 5)) == pytest.approx((0, 0, 255), abs=3)
    assert upright.getpixel((0, 0)) == FILL
    assert "icc_profile" not in upright.info


@pytest.mark.parametrize("profile", [b"", b"no profile", b"\0" * 200])
def test_a_broken_profile_is_left_aside(profile: bytes, tmp_path: Path) -> None:
    data = encoded(Image.new("RGB", (8, 8), (255, 0, 0)), "JPEG", icc_profile=profile, quality=95)
    (tmp_path / "a").write_bytes(data)
    upright = upright_image(tmp_path / "a", record(data, (8, 8), 1, media_type="image/jpeg"), 8)
    assert upright.getpixel((5, 5)) == pytest.approx((254, 0, 0), abs=3)
