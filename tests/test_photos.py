"""Photos: what is refused and in which words; a published copy holds the picture and nothing else."""

from __future__ import annotations

import hashlib
import io
import os
import random
import resource
import secrets
import struct
import warnings
import zlib
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image, ImageCms, PngImagePlugin

from reportgen import photopaths, photos
from reportgen.block import Blur, Mark, PhotoNote, Spot
from reportgen.errors import PhotoError

RED, GREEN, BLUE, GREY = (200, 30, 30), (30, 160, 30), (30, 30, 200), (128, 128, 128)


def corners(width: int = 64, height: int = 48) -> Image.Image:
    """Give a picture whose upright corners are red, green, blue and grey, clockwise from the upper left."""
    image = Image.new("RGB", (width, height))
    half = (width // 2, height // 2)
    for colour, at in ((RED, (0, 0)), (GREEN, (half[0], 0)), (BLUE, half), (GREY, (0, half[1]))):
        image.paste(colour, (*at, at[0] + half[0], at[1] + half[1]))
    return image


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def seen_corners(data: bytes) -> list[tuple[int, ...]]:
    image = opened(data).convert("RGB")
    w, h = image.size
    places = ((w // 4, h // 4), (w * 3 // 4, h // 4), (w * 3 // 4, h * 3 // 4), (w // 4, h * 3 // 4))
    return [image.getpixel(place) for place in places]  # type: ignore[misc]


def near(one: tuple[int, ...], other: tuple[int, ...], by: int = 8) -> bool:
    return len(one) == len(other) and all(abs(a - b) <= by for a, b in zip(one, other, strict=True))


def told(path: Path) -> PhotoError:
    """Give the error that both `check` and `publish` raise."""
    with pytest.raises(PhotoError) as first:
        photos.check(path)
    with pytest.raises(PhotoError) as second:
        photos.publish(path)
    assert str(first.value) == str(second.value)
    assert str(path.parent) not in str(first.value)
    return first.value


def png(width: int, height: int, *chunks: tuple[bytes, bytes]) -> bytes:
    """Give a PNG file with a header of our choice."""
    header = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    parts = [(b"IHDR", header), *chunks, (b"IDAT", zlib.compress(b"\0" * 100)), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(d)) + n + d + struct.pack(">I", zlib.crc32(n + d)) for n, d in parts
    )


# ---- where a photo may lie


@pytest.fixture
def survey(tmp_path: Path) -> Path:
    folder = tmp_path / "survey"
    (folder / "engine").mkdir(parents=True)
    for name in ("riser-port.jpg", "engine/plug-3.jpg"):
        corners().save(folder / name)
    corners().save(tmp_path / "elsewhere.jpg")
    return folder


@pytest.mark.parametrize("name", ["riser-port.jpg", "./riser-port.jpg", "engine/plug-3.jpg"])
def test_a_photo_in_the_folder_is_found(survey: Path, name: str) -> None:
    assert photopaths.inside(survey, name) == (survey / name).resolve()


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("../elsewhere.jpg", "leads out with .."),
        ("engine/../riser-port.jpg", "leads out with .."),
        ("/etc/hostname", "absolute path"),
        ("C:/boat/riser.jpg", "Windows path"),
        ("engine\\plug-3.jpg", "Windows path"),
        ("..\\elsewhere.jpg", "Windows path"),
        ("", "no file name"),
        ("a\nb.jpg", "no file name"),
        ("a\0b.jpg", "no file name"),
        ("engine", "is a folder"),
        (".", "is a folder"),
        ("riser-prot.jpg", "there is no photo riser-prot.jpg in the survey's folder; write riser-port.jpg"),
        ("engine/plug3.jpg", "write engine/plug-3.jpg"),
        ("plug-3.jpeg", "put it there"),
        ("riser-port.jpg/x.jpg", "can't be followed"),
        ("zzz/zzz.jpg", "there is no photo"),
        ("x" * 300, "can't be followed"),
    ],
)
def test_a_path_that_is_no_photo_of_this_survey_is_refused(survey: Path, name: str, says: str) -> None:
    with pytest.raises(PhotoError) as error:
        photopaths.inside(survey, name)
    assert says in str(error.value)
    assert str(survey) not in str(error.value)


def test_a_link_is_followed_only_within_the_folder(survey: Path) -> None:
    (survey / "within.jpg").symlink_to("engine/plug-3.jpg")
    assert photopaths.inside(survey, "within.jpg") == (survey / "engine/plug-3.jpg").resolve()
    (survey / "out.jpg").symlink_to("../elsewhere.jpg")
    (survey / "outer").symlink_to("..")
    for name in ("out.jpg", "outer/elsewhere.jpg"):
        with pytest.raises(PhotoError, match="a link that leads out"):
            photopaths.inside(survey, name)
    # and no name from out there is offered as the nearest
    with pytest.raises(PhotoError) as error:
        photopaths.inside(survey, "outer/elsewhere.jpeg")
    assert "write outer" not in str(error.value)
    (survey / "loop.jpg").symlink_to("loop.jpg")
    with pytest.raises(PhotoError, match="can't be followed"):
        photopaths.inside(survey, "loop.jpg")


def test_the_folder_itself_may_be_reached_by_a_link(survey: Path, tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(survey)
    assert photopaths.inside(tmp_path / "link", "riser-port.jpg") == (survey / "riser-port.jpg").resolve()


def test_accents_may_be_spelled_the_other_way(survey: Path) -> None:
    """Some disks keep é as e and an accent; the note has one letter."""
    corners().save(survey / "ge\u0301ne\u0301rateur.jpg")
    assert photopaths.inside(survey, "g\u00e9n\u00e9rateur.jpg").is_file()


def test_a_pipe_is_refused_and_not_waited_for(survey: Path) -> None:
    os.mkfifo(survey / "pipe.jpg")
    with pytest.raises(PhotoError, match="no ordinary file"):
        photopaths.inside(survey, "pipe.jpg")
    with pytest.raises(PhotoError, match="no ordinary file"):
        photos.check(survey / "pipe.jpg")


# ---- what is refused


def test_other_forms_are_refused_whatever_their_name(tmp_path: Path) -> None:
    path = tmp_path / "riser.jpg"
    path.write_text("not a picture at all")
    assert "no JPEG, PNG or WebP photo; save it as JPEG" in str(told(path))
    for form, is_ in (
        ("GIF", "a GIF picture"),
        ("TIFF", "a TIFF picture or a"),
        ("BMP", "a BMP picture"),
        ("PDF", "a PDF"),
    ):
        corners().save(path, form)
        assert f"riser.jpg is no JPEG, PNG or WebP photo but {is_}" in str(told(path))
    for head, is_ in ((b"\0\0\0\x18ftypqt  ", "a film"), (b"\0\0\0\x18ftypavif", "an AVIF picture")):
        path.write_bytes(head + bytes(300))
        assert f"riser.jpg is no JPEG, PNG or WebP photo but {is_}" in str(told(path))
    path.write_bytes(b'<svg xmlns="http://www.w3.org/2000/svg"/>')
    assert "no JPEG, PNG or WebP photo" in str(told(path))


def test_a_heic_photo_is_told_which_extra_reads_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photos, "_heif", lambda: False)
    path = tmp_path / "riser.heic"
    path.write_bytes(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(200))
    assert str(told(path)) == (
        "riser.heic is a HEIC photo; install reportgen's extra heif (reportgen[heif]), "
        "or save it as JPEG, PNG or WebP"
    )


def test_a_heic_photo_is_taken_with_the_extra(tmp_path: Path) -> None:
    """Its reader turns the picture by itself: it must not be turned twice."""
    heif = pytest.importorskip("pillow_heif", reason="the extra heif is not installed")
    token = secrets.token_hex(8)
    exif = Image.Exif()
    exif[0x0112], exif[0x010E] = 6, token
    heif.register_heif_opener()
    path = tmp_path / "riser.heic"
    corners(640, 480).transpose(Image.Transpose.ROTATE_90).save(path, "HEIF", exif=exif.tobytes(), quality=95)
    assert token.encode() in path.read_bytes()
    photos.check(path)
    copy = photos.publish(path)
    assert (copy.width, copy.height) == (640, 480)
    assert all(
        near(a, b, 12) for a, b in zip(seen_corners(copy.large), (RED, GREEN, BLUE, GREY), strict=True)
    )
    assert token.encode() not in copy.large + copy.small
    path.write_bytes(path.read_bytes()[:40])
    assert "cut short or damaged" in str(told(path))


def test_a_bomb_is_refused_by_its_header_alone(tmp_path: Path) -> None:
    path = tmp_path / "bomb.png"
    for width, height in ((50_000, 50_000), (8_000, 10_001), (11_000, 11_000)):
        path.write_bytes(png(width, height))
        assert str(told(path)) == "bomb.png claims more than 80 megapixels; save it smaller"


def claiming(form: str, side: int) -> bytes:
    """Give a small picture of a form whose header claims to be `side` pixels wide and high."""
    out = io.BytesIO()
    corners(640, 480).save(
        out, "HEIF" if form == "HEIC" else form.split()[0], lossless=form.endswith("lossless")
    )
    data = bytearray(out.getvalue())
    if form == "JPEG":  # ITU-T T.81, B.2.2: marker, length, precision, lines, samples a line
        at, size = data.index(b"\xff\xc0") + 5, struct.pack(">HH", side, side)
    elif form == "HEIC":  # ISO/IEC 14496-12: box ispe with version, width, height
        at, size = data.index(b"ispe") + 8, struct.pack(">II", side, side)
    elif form == "WEBP":  # RFC 6386, 9.1: 14 bits each after the start code
        at, size = data.index(b"\x9d\x01\x2a") + 3, struct.pack("<HH", side, side)
    else:  # the lossless stream: after its signature 14 bits each, less one
        at = data.index(b"VP8L") + 9
        rest = int.from_bytes(data[at : at + 4], "little") & ~((1 << 28) - 1)
        size = (rest | (side - 1) | (side - 1) << 14).to_bytes(4, "little")
    data[at : at + len(size)] = size
    return bytes(data)


@pytest.mark.parametrize("form", ["JPEG", "WEBP", "WEBP lossless", "HEIC"])
def test_a_bomb_of_any_form_is_refused_without_unpacking_it(tmp_path: Path, form: str) -> None:
    """A header of 16,000 by 16,000 pixels is refused by the file's name, with hardly any memory taken."""
    if form == "HEIC":
        pytest.importorskip("pillow_heif", reason="the extra heif is not installed").register_heif_opener()
    path = tmp_path / "bomb.jpg"
    path.write_bytes(claiming(form, 16_000))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    assert str(told(path)) == "bomb.jpg claims more than 80 megapixels; save it smaller"
    # unpacked it would take 768 MB
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 200_000


def test_a_jpeg_that_goes_over_its_picture_hundreds_of_times_is_refused(tmp_path: Path) -> None:
    """360 KB of 80 megapixels in 400 scans took half a minute to unpack: refused before it is."""
    path, out = tmp_path / "slow.jpg", io.BytesIO()
    corners(640, 480).save(out, "JPEG", progressive=True, comment=b"\xff\xda\0\x02" * 100)
    data = out.getvalue()
    last = data[data.rindex(b"\xff\xda") : -2]
    behind = (
        b"\xff\xda\0\x02" * 100
    )  # another picture or rubbish behind the first, as some phones put it there
    for scans in (0, 60 - 10):
        path.write_bytes(data[:-2] + last * scans + b"\xff\xd9" + behind)
        assert photos._scans(path.read_bytes()) == 10 + scans
        photos.publish(path)
    path.write_bytes(data[:-2] + last * 51 + b"\xff\xd9")
    with pytest.raises(PhotoError) as error:
        photos.publish(path)
    assert str(error.value) == "slow.jpg would take minutes to unpack; save it anew as JPEG, PNG or WebP"


def test_exactly_80_megapixels_are_allowed(tmp_path: Path) -> None:
    path = tmp_path / "large.png"
    path.write_bytes(png(8_000, 10_000))
    photos.check(path)


def test_a_text_bomb_in_a_png_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "text.png"
    path.write_bytes(png(4, 4, (b"zTXt", b"a\0\0" + zlib.compress(bytes(80_000_000)))))
    with pytest.raises(PhotoError):
        photos.check(path)


def test_empty_missing_and_over_large_files_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.touch()
    assert "a.jpg is empty" in str(told(path))
    assert "can't be opened (No such file or directory)" in str(told(tmp_path / "none.jpg"))
    corners().save(path)
    with path.open("ab") as file:
        file.truncate(50_000_001)
    assert str(told(path)) == "a.jpg has 50 MB; save it with at most 50 MB"
    os.truncate(path, 50_000_000)
    photos.check(path)


def test_a_header_without_pixels_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "none.png"
    path.write_bytes(png(0, 10))
    told(path)
    corners().save(path, "JPEG")
    data = path.read_bytes()
    at = data.index(b"\xff\xc0") + 5  # start of frame: height and width follow length and precision
    path.write_bytes(data[:at] + b"\0\0" + data[at + 2 :])
    told(path)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_file_cut_short_is_refused(tmp_path: Path, form: str) -> None:
    path = tmp_path / "cut.jpg"
    noise = np.random.default_rng(1).integers(0, 255, (300, 400, 3), dtype=np.uint8)
    Image.fromarray(noise).save(path, form)
    data = path.read_bytes()
    photos.publish(path)
    for part in (0.9, 0.5, 0.2):
        path.write_bytes(data[: int(len(data) * part)])
        with pytest.raises(PhotoError, match=r"cut short|no JPEG"):
            photos.publish(path)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_damaged_bytes_give_a_copy_or_our_own_error(tmp_path: Path, form: str) -> None:
    """400 random edits a form: nothing but PhotoError comes out, and no warning."""
    path = tmp_path / "damaged.jpg"
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8825)[1] = "N"
    corners().save(path, form, exif=exif, icc_profile=srgb_profile())
    data, dice, refused = path.read_bytes(), random.Random(form), 0  # noqa: S311
    for _ in range(400):
        edited = bytearray(data)
        for _ in range(dice.randint(1, 6)):
            edited[dice.randrange(len(edited))] = dice.randrange(256)
        path.write_bytes(edited)
        try:
            photos.publish(path)
        except PhotoError:
            refused += 1
    assert 0 < refused < 400


def test_the_warnings_of_the_library_stay_silent_but_the_bomb_is_an_error(tmp_path: Path) -> None:
    path = tmp_path / "bomb.png"
    path.write_bytes(png(11_000, 11_000))
    with warnings.catch_warnings(record=True) as seen:
        warnings.simplefilter("default")
        with pytest.raises(PhotoError, match="megapixels"):
            photos.publish(path)
    assert seen == []


# ---- what is published


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize(
    ("form", "size"),  # the large one is made smaller while it is decoded, which JPEG alone can
    [("JPEG", (64, 48)), ("PNG", (64, 48)), ("WEBP", (64, 48)), ("JPEG", (2400, 1800))],
)
def test_a_photo_is_set_upright(tmp_path: Path, orientation: int, form: str, size: tuple[int, int]) -> None:
    """EXIF orientation: the stored picture is the upright one, turned; the copy has to be upright again."""
    stored = {
        1: (),
        2: (Image.Transpose.FLIP_LEFT_RIGHT,),
        3: (Image.Transpose.ROTATE_180,),
        4: (Image.Transpose.FLIP_TOP_BOTTOM,),
        5: (Image.Transpose.TRANSPOSE,),
        6: (Image.Transpose.ROTATE_90,),
        7: (Image.Transpose.TRANSVERSE,),
        8: (Image.Transpose.ROTATE_270,),
    }
    image = corners(*size)
    for turn in stored[orientation]:
        image = image.transpose(turn)
    exif = Image.Exif()
    exif[0x0112] = orientation
    path = tmp_path / "turned"
    image.save(path, form, exif=exif, quality=95)
    copy = photos.publish(path)
    expected = size if size[0] < 1000 else (1600, 1200)
    assert (copy.width, copy.height) == opened(copy.large).size == expected
    assert (
        (copy.small_width, copy.small_height)
        == opened(copy.small).size
        == (min(size[0], 480), min(size[1], 360))
    )
    assert photos.foreseen(path) == replace(copy, large=b"", small=b"")
    for data in (copy.large, copy.small):
        assert all(near(a, b) for a, b in zip(seen_corners(data), (RED, GREEN, BLUE, GREY), strict=True))


# EXIF 2.32 (CIPA DC-008), 4.6.4 A, Orientation, from memory: on which side of the picture as it is seen the
# file's first row lies, and on which its first column.
ORIENTATION = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def stored_as(upright: np.ndarray[Any, Any], orientation: int) -> np.ndarray[Any, Any]:
    """Give the pixels in the order of the file, by the table alone."""
    row, column = ORIENTATION[orientation]
    found = upright if row in ("top", "bottom") else upright.transpose(1, 0, 2)
    found = found[::-1] if row in ("bottom", "right") else found
    return found[:, ::-1] if column in ("bottom", "right") else found


@pytest.mark.parametrize("orientation", ORIENTATION)
def test_every_pixel_stands_where_the_table_of_orientations_puts_it(tmp_path: Path, orientation: int) -> None:
    """A file turned by the table gives the very bytes of the upright one, its blurred part and arrow too."""
    upright = np.random.default_rng(5).integers(0, 256, (90, 140, 3), dtype=np.uint8)
    ten, thirty = Decimal(10), Decimal(30)
    note = PhotoNote("a", blur=(Blur(thirty, ten, ten, ten),), mark=(Mark(arrow=Spot(ten, thirty)),))
    copies = []
    for turned in (1, orientation):
        exif = Image.Exif()
        exif[0x0112] = turned
        Image.fromarray(stored_as(upright, turned)).save(tmp_path / "a", "PNG", exif=exif)
        made = photos.publish(tmp_path / "a", note)
        copies.append((made.large, made.small, made.width, made.height))
    assert copies[0] == copies[1]


@pytest.mark.parametrize(
    ("size", "large", "small"),
    [
        ((4032, 3024), (1600, 1200), (480, 360)),
        ((3024, 4032), (1200, 1600), (360, 480)),
        ((1600, 900), (1600, 900), (480, 270)),
        ((300, 200), (300, 200), (300, 200)),
        ((1, 1), (1, 1), (1, 1)),
        ((9000, 2), (1600, 1), (480, 1)),
    ],
)
def test_sizes_fit_and_nothing_is_enlarged(
    tmp_path: Path, size: tuple[int, int], large: tuple[int, int], small: tuple[int, int]
) -> None:
    path = tmp_path / "a.jpg"
    Image.new("RGB", size, GREEN).save(path)
    copy = photos.publish(path)
    assert (copy.width, copy.height) == opened(copy.large).size == large
    assert (copy.small_width, copy.small_height) == opened(copy.small).size == small
    assert {opened(data).format for data in (copy.large, copy.small)} == {"JPEG"}


def test_the_decoder_is_asked_for_a_smaller_picture(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A 4:3 photo is decoded at half its size: a square box would decode it in full."""
    sizes = []
    real = photos._eight_bits

    def spy(image: Image.Image) -> Image.Image:
        sizes.append(image.size)
        return real(image)

    monkeypatch.setattr(photos, "_eight_bits", spy)
    Image.new("RGB", (4032, 3024), GREEN).save(tmp_path / "a.jpg")
    photos.publish(tmp_path / "a.jpg")
    assert sizes == [(2016, 1512)]


def srgb_profile() -> bytes:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def swapped_profile() -> bytes:
    """Give a profile under which what is stored as red is seen as green, and the reverse."""
    data = srgb_profile()
    count = struct.unpack(">I", data[128:132])[0]
    table = data[132 : 132 + 12 * count]
    table = table.replace(b"rXYZ", b"?XYZ").replace(b"gXYZ", b"rXYZ").replace(b"?XYZ", b"gXYZ")
    return data[:132] + table + data[132 + 12 * count :]


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_a_colour_profile_is_applied_and_dropped(tmp_path: Path, form: str) -> None:
    path = tmp_path / "a"
    Image.new("RGB", (40, 30), RED).save(path, form, quality=95, icc_profile=swapped_profile())
    copy = photos.publish(path)
    image = opened(copy.large)
    assert near(image.getpixel((20, 15)), (30, 200, 30), 12)  # type: ignore[arg-type]
    assert "icc_profile" not in image.info
    assert b"ICC_PROFILE" not in copy.large + copy.small


@pytest.mark.parametrize("profile", [b"rubbish", b"", b"\0" * 400])
def test_a_useless_profile_is_passed_over(tmp_path: Path, profile: bytes) -> None:
    path = tmp_path / "a.jpg"
    Image.new("RGB", (40, 30), RED).save(path, quality=95, icc_profile=profile)
    assert near(opened(photos.publish(path).large).getpixel((20, 15)), RED)  # type: ignore[arg-type]


def test_a_grey_photo_may_carry_a_colour_profile(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    Image.new("L", (40, 30), 128).save(path, quality=95, icc_profile=srgb_profile())
    assert near(opened(photos.publish(path).large).getpixel((20, 15)), GREY)  # type: ignore[arg-type]


def test_a_cmyk_photo_keeps_its_colours(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    corners().convert("CMYK").save(path, quality=95)
    assert opened(path.read_bytes()).mode == "CMYK"
    seen = seen_corners(photos.publish(path).large)
    assert all(near(a, b, 12) for a, b in zip(seen, (RED, GREEN, BLUE, GREY), strict=True))
    Image.new("CMYK", (40, 30), (0, 200, 200, 0)).save(path, icc_profile=srgb_profile())  # wrong profile
    assert near(opened(photos.publish(path).large).getpixel((20, 15)), (255, 55, 55), 12)  # type: ignore[arg-type]


def test_16_bits_are_scaled_not_clipped(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    steps = np.repeat(np.array([[0, 0x4000, 0x8000, 0xFFFF]], dtype=np.uint16), 16, axis=1)
    Image.fromarray(np.repeat(steps, 16, axis=0)).save(path)
    assert opened(path.read_bytes()).mode.startswith("I")
    copy = opened(photos.publish(path).large)
    seen = [copy.getpixel((x, 8))[0] for x in (8, 24, 40, 56)]  # type: ignore[index]
    assert all(abs(a - b) <= 4 for a, b in zip(seen, (0, 64, 128, 255), strict=True))


def test_palette_and_two_tone_pictures_are_published(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    corners().quantize(8).save(path)
    assert opened(path.read_bytes()).mode == "P"
    seen = seen_corners(photos.publish(path).large)
    assert all(near(a, b, 12) for a, b in zip(seen, (RED, GREEN, BLUE, GREY), strict=True))
    Image.new("1", (40, 30), 1).save(path)
    assert near(opened(photos.publish(path).large).getpixel((20, 15)), (255, 255, 255))  # type: ignore[arg-type]


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P"])
@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_what_is_transparent_becomes_white(tmp_path: Path, mode: str, form: str) -> None:
    path = tmp_path / "a"
    image = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    image.paste((0, 0, 0, 255), (20, 0, 40, 30))
    image.convert(mode).save(path, form)
    copy = opened(photos.publish(path).large)
    assert near(copy.getpixel((8, 15)), (255, 255, 255))  # type: ignore[arg-type]
    assert near(copy.getpixel((32, 15)), (0, 0, 0))  # type: ignore[arg-type]


def test_half_transparent_is_mixed_with_white(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    Image.new("RGBA", (40, 30), (0, 0, 0, 128)).save(path)
    assert near(opened(photos.publish(path).large).getpixel((20, 15)), (127, 127, 127))  # type: ignore[arg-type]


# ---- nothing hidden comes along


def planted(path: Path, form: str) -> list[str]:
    """Write a photo with a random token in every place we know that can hide one; give the tokens."""
    token = {
        name: secrets.token_hex(8)
        for name in (
            "maker",
            "owner",
            "note",
            "xmp",
            "comment",
            "profile",
            "tail",
            "thumbnail",
            "text",
            "long",
        )
    }
    exif = Image.Exif()
    exif[0x010F], exif[0xA430], exif[0x0112] = token["maker"], token["owner"], 6
    gps = exif.get_ifd(0x8825)
    gps[1], gps[2], gps[29] = "N", (54.0, 12.0, 33.5), token["note"]
    exif.get_ifd(0x8769)[0x9286] = token["thumbnail"]
    text = PngImagePlugin.PngInfo()
    text.add_text("Comment", token["text"])
    text.add_itxt("Long", token["long"])
    xmp = f"<x:xmpmeta xmlns:x='adobe:ns:meta/'><d>{token['xmp']}</d></x:xmpmeta>".encode()
    profile = srgb_profile() + token["profile"].encode()
    kept: dict[str, object] = {"exif": exif, "icc_profile": profile, "xmp": xmp}
    if form == "JPEG":
        kept |= {"comment": token["comment"], "dpi": (77, 77)}
    if form == "PNG":
        kept |= {"pnginfo": text}
        del kept["xmp"]
        text.add_itxt("XML:com.adobe.xmp", xmp.decode())
    corners(640, 480).save(path, form, **kept)  # type: ignore[arg-type]
    with path.open("ab") as file:
        file.write(token["tail"].encode())
    if form == "JPEG":
        add_iptc(path, token["text"], token["long"])
    left_out = {"PNG": {"comment"}, "WEBP": {"comment", "text", "long"}}.get(form, set())
    return [value for name, value in token.items() if name not in left_out]


def add_iptc(path: Path, caption: str, note: str) -> None:
    """Put an IPTC caption and a maker's own segment after the first marker of a JPEG."""
    record = b"\x1c\x02\x78" + struct.pack(">H", len(caption)) + caption.encode()
    block = b"Photoshop 3.0\x008BIM\x04\x04\0\0" + struct.pack(">I", len(record)) + record
    data, segments = path.read_bytes(), b""
    for marker, body in ((b"\xff\xed", block), (b"\xff\xe9", note.encode())):
        segments += marker + struct.pack(">H", len(body) + 2) + body
    path.write_bytes(data[:2] + segments + data[2:])


def everything_in(data: bytes) -> bytes:
    """Give the bytes and all that the library can unpack from them."""
    image = opened(data)
    return data + repr(image.info).encode() + repr(dict(image.getexif())).encode()


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_nothing_planted_in_a_photo_is_published(tmp_path: Path, form: str) -> None:
    path = tmp_path / "private"
    tokens = planted(path, form)
    before = path.read_bytes()
    source = everything_in(before) + repr(opened(before).getexif().get_ifd(0x8825)).encode()
    source += repr(opened(before).getexif().get_ifd(0x8769)).encode()
    assert all(token.encode() in source for token in tokens)  # the control: each is there to be found
    copy = photos.publish(path)
    for data in (copy.large, copy.small):
        assert not any(token.encode() in everything_in(data) for token in tokens)
        assert jpeg_segments(data) <= {0xE0, 0xDB, 0xC0, 0xC4, 0xDA}
        assert opened(data).info.get("dpi") != (77, 77)
    assert path.read_bytes() == before


def test_a_second_picture_behind_the_first_is_left_behind(tmp_path: Path) -> None:
    """Some phones keep another frame, with its own position, in the same file."""
    path, token = tmp_path / "two.jpg", secrets.token_hex(8)
    exif = Image.Exif()
    exif[0x010F] = token
    second = Image.new("RGB", (64, 48), BLUE)
    second.encoderinfo = {"exif": exif}
    corners().save(path, "MPO", save_all=True, append_images=[second])
    with path.open("ab") as file:
        file.write(token.encode())
    assert opened(path.read_bytes()).format == "MPO"
    assert path.read_bytes().count(token.encode()) == 2  # in the second frame and behind the last
    copy = photos.publish(path)
    assert token.encode() not in copy.large + copy.small
    assert all(near(a, b) for a, b in zip(seen_corners(copy.large), (RED, GREEN, BLUE, GREY), strict=True))


def jpeg_segments(data: bytes) -> set[int]:
    """Give the markers of a JPEG up to its picture data; fail on bytes after its end."""
    assert data[-2:] == b"\xff\xd9"
    found, at = set(), 2
    while data[at + 1] != 0xDA:
        found.add(data[at + 1])
        at += 2 + struct.unpack(">H", data[at + 2 : at + 4])[0]
    return found


@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("2026:02:27 14:05:59", "2026-02-27T14:05:00"),
        ("2026:02:27 14:05:59\0", "2026-02-27T14:05:00"),
        ("    :  :     :  :  ", None),  # EXIF 2.32, 4.6.5: blanks where it is not known
        ("2026:02:30 14:05:59", None),
        ("2026:02:27 14:05:59 owner", None),
        ("", None),
    ],
)
def test_the_cameras_clock_is_read_and_nothing_else(
    tmp_path: Path, form: str, written: str, told: str | None
) -> None:
    """DateTimeOriginal to the minute; a tag that holds anything but a time tells nothing."""
    exif = Image.Exif()
    exif[0x0112] = 1
    exif.get_ifd(0x8769)[0x9003] = written
    corners().save(tmp_path / "a", form, exif=exif)
    taken = photos.publish(tmp_path / "a").taken
    assert (taken.isoformat() if taken else None) == told
    corners().save(tmp_path / "a", form)
    assert photos.publish(tmp_path / "a").taken is None


def test_the_originals_checksum_is_that_of_its_file(tmp_path: Path) -> None:
    """As `sha256sum` gives it for the file, not for what was decoded."""
    corners().save(tmp_path / "a.jpg")
    with (tmp_path / "a.jpg").open("ab") as file:
        file.write(b"tail")
    assert (
        photos.publish(tmp_path / "a.jpg").original
        == hashlib.sha256((tmp_path / "a.jpg").read_bytes()).hexdigest()
    )


def test_the_same_file_gives_the_same_bytes(tmp_path: Path) -> None:
    for name in ("a.jpg", "b.jpg"):
        noise = np.random.default_rng(7).integers(0, 255, (600, 800, 3), dtype=np.uint8)
        Image.fromarray(noise).save(tmp_path / name)
    assert photos.publish(tmp_path / "a.jpg") == photos.publish(tmp_path / "b.jpg")
