"""Checks photos and makes the copies that are published: upright, smaller, with nothing hidden in them.

The original is only ever read. A published copy is a new picture painted from the original's pixels, so
that position, device, serial, thumbnail, comment and colour profile can't come along.
"""

from __future__ import annotations

import datetime
import hashlib
import importlib
import io
import os
import re
import stat
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from reportgen import marking
from reportgen.block import PhotoNote
from reportgen.errors import PhotoError

if TYPE_CHECKING:
    from types import ModuleType

    from PIL.Image import Image, Transpose
    from PIL.ImageFile import ImageFile

LARGE = 1600  # longest side of the copy that opens on a tap [px]
SMALL = 480  # longest side of the copy in the page [px]
QUALITY = 80  # JPEG quality [-]
MOST_PIXELS = 80_000_000  # a header that claims more is refused unread [px]
MOST_BYTES = 50_000_000  # largest file that is opened [bytes]
MOST_SCANS = 60  # times that a JPEG may go over the whole picture; a camera does it once to ten times [-]

# On a phone the small copy is as wide as the screen, so what is drawn on it is larger against the picture.
_WEIGHTS = {LARGE: 1.0, SMALL: 1.3}
_FORMATS = ("JPEG", "PNG", "WEBP")
_HEIF_BRANDS = {b"heic", b"heix", b"hevc", b"hevx", b"heim", b"heis", b"mif1", b"msf1"}
_MARKER = re.compile(rb"\xff([\x02-\xcf\xd8-\xfe])")
_AVIF_BRANDS = {b"avif", b"avis"}
# what the files that are taken for photos begin with, whatever their name says
_OTHERS = {
    b"GIF8": "a GIF picture",
    b"II*\0": "a TIFF picture or a camera's raw file",
    b"MM\0*": "a TIFF picture or a camera's raw file",
    b"BM": "a BMP picture",
    b"%PDF": "a PDF",
    b"PK\3\4": "a zip or office file",
    b"\xff\xd8\xff": "a damaged JPEG",
    b"\x89PNG": "a damaged PNG",
    b"RIFF": "a damaged WebP or a film",
}
_AS_JPEG = "save it as JPEG, PNG or WebP"
_AGAIN = "copy it from the camera again or leave it out"


@dataclass(frozen=True)
class PublishedPhoto:
    """The two copies of one photo, as they are published.

    large, small: JPEG files, at most 1600 and 480 pixels on the longest side.
    width, height: size of the large copy, upright [px].
    small_width, small_height: size of the small copy, upright [px].
    original: SHA-256 of the file that they were made from, in hexadecimal digits; empty if not to be told.
    taken: when, to the minute, by the camera's clock; None if the file doesn't say or it is not to be told.
    """

    large: bytes
    small: bytes
    width: int
    height: int
    small_width: int
    small_height: int
    original: str = ""
    taken: datetime.datetime | None = None


def check(path: Path) -> None:
    """See from the file's header alone that it is a photo that can be published.

    Raises PhotoError when it is empty, over 50 MB, over 80 megapixels, or no JPEG, PNG or WebP
    (nor HEIC, where the extra `heif` is installed).
    """
    with _opened(path):
        pass


def publish(path: Path, note: PhotoNote | None = None) -> PublishedPhoto:
    """Make the two published copies of a photo; the same file and note give the same bytes.

    note: what is to be blurred and marked on them; none: nothing.
    Raises PhotoError as `check` does, and when the file is cut short or damaged.
    """
    with _opened(path) as (image, file):
        file.seek(0)
        data = file.read()
        # else the decoder comes back for more every 64 KB, and waits for its turn each time
        image.decodermaxblock = len(data) + 1
        if image.format in ("JPEG", "MPO") and _scans(data) > MOST_SCANS:
            raise PhotoError(
                f"{path.name} would take minutes to unpack", _AS_JPEG.replace("it", "it anew", 1)
            )
        taken = _taken(image)
        widest = max(image.size)
        try:
            large = _upright(image)
        except Exception:  # noqa: BLE001 - a damaged file makes a decoder raise almost anything
            raise PhotoError(f"{path.name} is cut short or damaged", _AGAIN) from None
    original = hashlib.sha256(data).hexdigest()
    if note and note.blur:
        marking.blur(large, note.blur, max(large.size) / widest)
    small = large.resize(_fitted(large.size, SMALL), reducing_gap=1.5)
    if note and note.mark:
        marking.draw(large, note.mark, _WEIGHTS[LARGE])
        marking.draw(small, note.mark, _WEIGHTS[SMALL])
    return PublishedPhoto(_jpeg(large), _jpeg(small), *large.size, *small.size, original, taken)


def foreseen(path: Path, original: str = "") -> PublishedPhoto:
    """Tell from a photo's header what `publish` will give, the copies themselves left empty.

    original: SHA-256 of the file, in hexadecimal digits, if it is known. Raises PhotoError as `check` does.
    It may be wrong where a decoder turns the picture by itself.
    """
    with _opened(path) as (image, file):
        taken, turned = _taken(image), _turn(image) in _sideways()
        size = _fitted(image.size[::-1] if turned else image.size, LARGE)
        file.seek(0)
        original = original or hashlib.file_digest(file, "sha256").hexdigest()
    return PublishedPhoto(b"", b"", *size, *_fitted(size, SMALL), original, taken)


def keep_room(pictures: int) -> None:
    """Let Pillow keep the memory of so many pictures for the next ones, 16 MB each; 0: give all of it back.

    To ask the system for it anew each time would take a tenth of all the work.
    """
    core = _pillow().core
    core.set_blocks_max(pictures)
    if not pictures:
        core.clear_cache()


def version() -> str:
    """Give what the published copies depend on beside the photo: this program's ways and Pillow's version."""
    return f"3 {LARGE} {SMALL} {QUALITY} {_pillow().__version__}"


def again(path: Path, large: bytes, small: bytes) -> PublishedPhoto:
    """Give copies that were published before, with what is told of their original.

    Raises PhotoError when the original can't be opened; a copy that is no picture is a mistake of ours.
    """
    with _opened(path) as (image, file):
        taken = _taken(image)
        file.seek(0)
        original = hashlib.file_digest(file, "sha256").hexdigest()
    (width, height), (small_width, small_height) = map(_size_of, (large, small))
    return PublishedPhoto(large, small, width, height, small_width, small_height, original, taken)


def _size_of(copy: bytes) -> tuple[int, int]:
    size: tuple[int, int] = _pillow().open(io.BytesIO(copy)).size
    return size


@contextmanager
def _opened(path: Path) -> Iterator[tuple[ImageFile, io.BufferedReader]]:
    """Open a photo with only its header read; give it and its file."""
    name = path.name
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise PhotoError(f"{name} is no ordinary file", "name a photo")
        file = path.open("rb")
    except OSError as error:
        raise PhotoError(f"{name} can't be opened ({error.strerror})", "see that it can be read") from None
    with file:
        size = os.fstat(file.fileno()).st_size
        if size == 0:
            raise PhotoError(f"{name} is empty", _AGAIN)
        if size > MOST_BYTES:
            raise PhotoError(
                f"{name} has {size / 1e6:.0f} MB", f"save it with at most {MOST_BYTES // 10**6} MB"
            )
        head = file.read(12)
        file.seek(0)
        with _read_header(name, head, file) as image:
            yield image, file


def _read_header(name: str, head: bytes, file: io.BufferedReader) -> ImageFile:
    pillow = _pillow()
    formats = (*_FORMATS, "HEIF") if _heif() else _FORMATS
    try:
        image: ImageFile = pillow.open(file, formats=formats)
    except (pillow.DecompressionBombWarning, pillow.DecompressionBombError):
        most = MOST_PIXELS // 10**6
        raise PhotoError(f"{name} claims more than {most} megapixels", "save it smaller") from None
    except Exception:  # noqa: BLE001 - as above: a mangled header raises almost anything
        raise _not_a_photo(name, head) from None
    if min(image.size) < 1:
        raise PhotoError(f"{name} has no pixels", _AGAIN)
    return image


def _scans(data: bytes) -> int:
    """Count the scans of a JPEG's first picture: a few bytes each can cost as much as the whole picture.

    Source: ITU-T T.81, B.1.1: a marker is FF and a byte that is not 00; all but a few have a length.
    """
    at, scans = 2, 0
    while match := _MARKER.search(data, at):
        marker, at = match[1], match.end()
        if marker == b"\xd9" or scans > MOST_SCANS:
            break
        scans += marker == b"\xda"
        at += int.from_bytes(data[at : at + 2], "big") if marker != b"\xd8" else 0
    return scans


def _not_a_photo(name: str, head: bytes) -> PhotoError:
    if head[4:8] == b"ftyp" and head[8:12] in _HEIF_BRANDS:
        if _heif():
            return PhotoError(f"{name} is cut short or damaged", _AGAIN)
        return PhotoError(
            f"{name} is a HEIC photo", f"install reportgen's extra heif (reportgen[heif]), or {_AS_JPEG}"
        )
    known = next((what for begin, what in _OTHERS.items() if head.startswith(begin)), "")
    if head[4:8] == b"ftyp":
        known = "an AVIF picture" if head[8:12] in _AVIF_BRANDS else "a film"
    but = f" but {known}" if known else ""
    return PhotoError(f"{name} is no JPEG, PNG or WebP photo{but}", _AS_JPEG)


def _pillow() -> ModuleType:
    from PIL import Image

    # Pillow only warns up to twice its limit, so the warning is made an error. Its other warnings are about
    # oddities of the file that the reader can't act on. Set each time: a caller may have reset the filters.
    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    warnings.filterwarnings("ignore", module=r"PIL\.")
    warnings.filterwarnings("error", category=Image.DecompressionBombWarning)
    return Image


def _heif() -> bool:
    """Let Pillow read HEIC where the extra is installed; tell whether it is."""
    try:
        reader = importlib.import_module("pillow_heif")
    except ImportError:
        return False
    reader.register_heif_opener(thumbnails=False)
    return True


def _fitted(size: tuple[int, ...], side: int) -> tuple[int, int]:
    """Give the size that fits a square of `side` [px], never larger than it was."""
    width, height = size
    scale = min(1.0, side / max(width, height))
    return max(1, round(width * scale)), max(1, round(height * scale))


def _upright(image: Image) -> Image:
    """Decode a photo into a new sRGB picture of at most 1600 px that holds pixels and nothing else."""
    from PIL.Image import Resampling, new

    size = _fitted(image.size, LARGE)
    turn = _turn(image)
    profile = image.info.get("icc_profile")
    # The JPEG decoder can leave out what isn't needed, but takes the smaller of both ratios:
    # a square would make it decode a 4:3 photo in full.
    image.draft(None, size)
    # as sharp as BICUBIC where a picture only gets smaller, for half the work
    page = _eight_bits(image).resize(size, Resampling.HAMMING, reducing_gap=3.0)
    if page.mode == "RGBA":
        mask, seen = page.getchannel("A"), _srgb(page.convert("RGB"), profile)
        page = new("RGB", size, "white")
        page.paste(seen, mask=mask)
    else:
        page = _srgb(page, profile)
    page = page if turn is None else page.transpose(turn)
    page.info = {}
    return page


def _turn(image: Image) -> Transpose | None:
    """Give the turn that sets a photo upright; None if it is, or if its tag can't be read."""
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    if image.format == "HEIF":  # its reader has turned it already
        return None
    try:
        return turns.get(image.getexif().get(0x0112, 1))
    except Exception:  # noqa: BLE001 - mangled EXIF is no reason to lose the photo
        return None


def _sideways() -> set[Transpose]:
    """Give the turns that let width and height change places."""
    from PIL.Image import Transpose

    return {Transpose.TRANSPOSE, Transpose.ROTATE_270, Transpose.TRANSVERSE, Transpose.ROTATE_90}


def _taken(image: Image) -> datetime.datetime | None:
    """Give when a photo was taken by its camera's clock, to the minute and without time zone."""
    try:
        # EXIF 2.32, 4.6.5 F: DateTimeOriginal, "YYYY:MM:DD HH:MM:SS"
        written = image.getexif().get_ifd(0x8769).get(0x9003)
        found = datetime.datetime.strptime(str(written).rstrip("\0"), "%Y:%m:%d %H:%M:%S")  # noqa: DTZ007
    except Exception:  # noqa: BLE001 - a camera without a clock writes blanks, a mangled file anything
        return None
    return found.replace(second=0)


def _eight_bits(image: Image) -> Image:
    """Bring palette, two-tone and 16-bit pictures into a form that can be made smaller."""
    if image.mode.startswith(("I", "F")):
        # convert("L") would clip at 255 instead of scaling
        return image.convert("I").point(lambda value: value * (1 / 257)).convert("L")
    if image.has_transparency_data:
        return image.convert("RGBA")
    return image if image.mode in ("L", "RGB", "CMYK") else image.convert("RGB")


def _srgb(image: Image, profile: bytes | None) -> Image:
    """Convert to sRGB by the photo's own colour profile; without a usable one, by the plain rule."""
    found = _by_profile(image, profile) if profile else None
    return found or (image if image.mode == "RGB" else image.convert("RGB"))


def _by_profile(image: Image, profile: bytes) -> Image | None:
    from PIL import ImageCms

    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        mode = {"RGB": "RGB", "GRAY": "L", "CMYK": "CMYK"}[source.profile.xcolor_space.strip()]
        if "CMYK" not in (mode, image.mode):  # a grey picture may carry a colour profile, and the reverse
            image = image.convert(mode)
        return ImageCms.profileToProfile(image, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, KeyError, ValueError):
        return None


def _jpeg(image: Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
