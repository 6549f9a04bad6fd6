"""Photos become only as small as a file needs to be sent, and what still doesn't fit is refused by name."""

from __future__ import annotations

import io
from collections.abc import Mapping

import numpy as np
import pytest
from PIL import Image

from reportgen import fitting
from reportgen.errors import PacketError

WORDS = b"w" * 20_000


def _photo(width: int, height: int, seed: int) -> bytes:
    noise = np.random.default_rng(seed).integers(0, 256, (height // 4, width // 4, 3), dtype=np.uint8)
    out = io.BytesIO()
    Image.fromarray(noise).resize((width, height)).save(out, "JPEG", quality=80)
    return out.getvalue()


@pytest.fixture(scope="module")
def files() -> Mapping[str, bytes]:
    """Give a packet with two photos and their small copies."""
    return {
        "index.html": WORDS,
        "photos/a.jpg": _photo(1600, 1200, 1),
        "photos/b.jpg": _photo(1000, 1600, 2),
        "photos/a-small.jpg": _photo(480, 360, 3),
    }


def _all(files: Mapping[str, bytes]) -> bytes:
    return b"".join(data for name, data in files.items() if not name.endswith("-small.jpg"))


def _widest(files: Mapping[str, bytes]) -> int:
    pictures = [Image.open(io.BytesIO(data)) for name, data in files.items() if name.startswith("photos/")]
    return max(max(picture.size) for picture in pictures)


def test_what_fits_stays_as_it_is(files: Mapping[str, bytes]) -> None:
    """Without need no photo is touched."""
    assert fitting.fitted(files, _all, "x") == (_all(files), 1600)


def test_photos_shrink_as_far_as_needed(files: Mapping[str, bytes]) -> None:
    """The first side that fits is taken, the result is under the limit, small copies and words stay."""
    most = len(_all(files)) // 2
    seen: list[Mapping[str, bytes]] = []

    def make(given: Mapping[str, bytes]) -> bytes:
        seen.append(given)
        return _all(given)

    made, side = fitting.fitted(files, make, "x", most)
    assert len(made) < most
    assert side in fitting.SIDES[1:]
    assert _widest(seen[-1]) == side
    assert seen[-1]["index.html"] == WORDS
    assert seen[-1]["photos/a-small.jpg"] == files["photos/a-small.jpg"]
    larger = fitting.SIDES[fitting.SIDES.index(side) - 1]
    assert (
        sum(len(fitting._smaller(files[n], larger)) for n in files if n.endswith(("a.jpg", "b.jpg")))
        > most / 2
    )
    # each making takes seconds, so sides that can't fit are not tried
    assert len(seen) == 2


def test_limit_itself_is_too_much(files: Mapping[str, bytes]) -> None:
    """A file of exactly the limit is not under it."""
    size = len(_all(files))
    assert fitting.fitted(files, _all, "x", size + 1)[1] == 1600
    assert fitting.fitted(files, _all, "x", size)[1] < 1600


def test_what_never_fits_is_refused(files: Mapping[str, bytes]) -> None:
    """The refusal names the file, its size, the photos and what to do."""
    told = r"x\.pdf would have 0\.\d MB even with 2 photos of 480 pixels.*less than 0 MB: leave photos out"
    with pytest.raises(PacketError, match=told):
        fitting.fitted(files, _all, "x.pdf", len(WORDS))


def test_without_photos_it_is_tried_once_and_refused() -> None:
    """Words alone can't be made smaller."""
    assert fitting.fitted({"index.html": WORDS}, _all, "x")[0] == WORDS
    with pytest.raises(PacketError, match="0 photos"):
        fitting.fitted({"index.html": WORDS}, _all, "x", 100)
