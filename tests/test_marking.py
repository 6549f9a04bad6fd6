"""Blurred parts can't be computed back; marks point where the note says and stay within the picture."""

from __future__ import annotations

import io
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from reportgen import marking, photos
from reportgen.block import Blur, Mark, PhotoNote, Region, Spot

WALL = (90, 120, 150)
Array = np.ndarray[tuple[int, ...], np.dtype[np.uint8]]


def spot(left: float, top: float) -> Spot:
    return Spot(Decimal(str(left)), Decimal(str(top)))


def part(*sides: float) -> Region:
    return Region(*(Decimal(str(side)) for side in sides))


def blurred(*sides: float) -> Blur:
    return Blur(*(Decimal(str(side)) for side in sides))


def noise(width: int, height: int, seed: int) -> Array:
    """Give a picture of which no pixel can be guessed from its neighbours."""
    found: Array = np.random.default_rng(seed).integers(0, 256, (height, width, 3), dtype=np.uint8)
    return found


def pixels(image: Image.Image) -> Array:
    return np.asarray(image).copy()


def wall(width: int = 400, height: int = 300) -> Image.Image:
    return Image.new("RGB", (width, height), WALL)


def stored(picture: Array, form: str, orientation: int = 1) -> bytes:
    """Give a file whose upright picture is `picture`."""
    back = {1: (), 3: (Image.Transpose.ROTATE_180,), 6: (Image.Transpose.ROTATE_90,)}[orientation]
    image = Image.fromarray(picture)
    for turn in back:
        image = image.transpose(turn)
    exif, out = Image.Exif(), io.BytesIO()
    exif[0x0112] = orientation
    image.save(out, form, exif=exif, quality=85)
    return out.getvalue()


# ---- blurring


@st.composite
def regions(draw: st.DrawFn) -> Blur:
    left, top = (draw(st.decimals(0, 90, places=1)) for _ in range(2))
    width, height = (draw(st.decimals("0.5", 100 - start, places=1)) for start in (left, top))
    return Blur(left, top, width, height)


def differing(picture: Array, parts: list[Blur], seed: int) -> Array:
    """Give the picture with other pixels in the parts, to the last one that lies wholly in one of them."""
    other, new = picture.copy(), noise(picture.shape[1], picture.shape[0], seed)
    height, width = picture.shape[:2]
    for each in parts:
        left, top = int(each.left * width / 100) + 1, int(each.top * height / 100) + 1
        right, bottom = (
            int((each.left + each.width) * width / 100),
            int((each.top + each.height) * height / 100),
        )
        other[top:bottom, left:right] = new[top:bottom, left:right]
    return other


@settings(max_examples=25, deadline=None)
@given(
    parts=st.lists(regions(), min_size=1, max_size=3),
    size=st.sampled_from([(300, 200), (200, 300), (1900, 120)]),
    orientation=st.sampled_from([1, 3, 6]),
    seed=st.integers(0, 2**32 - 2),
)
def test_what_is_blurred_leaves_no_trace(
    tmp_path_factory: pytest.TempPathFactory,
    parts: list[Blur],
    size: tuple[int, int],
    orientation: int,
    seed: int,
) -> None:
    """Two photos that differ only in what is blurred give the same bytes: nothing of it is left to use."""
    folder = tmp_path_factory.mktemp("blur")
    first = noise(*size, seed)
    copies = []
    for picture in (first, differing(first, parts, seed + 1)):
        path = folder / "a.png"
        path.write_bytes(stored(picture, "PNG", orientation))
        copy = photos.publish(path, PhotoNote("a.png", blur=tuple(parts)))
        copies.append((copy.large, copy.small))
    assert copies[0] == copies[1]


@pytest.mark.parametrize("size", [(640, 480), (2400, 1800)])
@pytest.mark.parametrize("subsampling", [0, 2])
def test_nor_does_a_jpeg_carry_it_over_the_edge(
    tmp_path: Path, size: tuple[int, int], subsampling: int
) -> None:
    """A JPEG's blocks (ITU-T T.81; 16 px with halved colours) carry a pixel 15 px far: blurred too."""
    parts = [blurred(20.3, 30.7, 31.1, 22.9), blurred(51.5, 30.7, 10, 10)]
    first = np.asarray(Image.fromarray(noise(*size, 1)).reduce(8).resize(size)).copy()
    copies, bare = [], []
    for picture in (first, differing(first, parts, 2)):
        path = tmp_path / "a.jpg"
        Image.fromarray(picture).save(path, quality=60, subsampling=subsampling)
        copy = photos.publish(path, PhotoNote("a.jpg", blur=tuple(parts)))
        copies.append((copy.large, copy.small))
        bare.append(photos.publish(path).small)
    assert copies[0] == copies[1]
    assert bare[0] != bare[1]  # the control: without blurring the difference is there to be seen


def test_a_blurred_part_is_a_few_blocks_of_one_colour() -> None:
    """At most 8 blocks along a side, and an edge: letters that stood there can't be told from them."""
    image = Image.fromarray(noise(400, 300, 3))
    before = pixels(image)
    marking.blur(image, [blurred(25, 40, 50, 20)], 1.0)
    after = pixels(image)
    inside = after[120:180, 100:300].reshape(-1, 3)
    assert len(np.unique(inside, axis=0)) <= 8 * 4 + 1
    assert not (after[120:180, 100:300] == before[120:180, 100:300]).all(axis=2).any(axis=1).all()
    # beyond what a JPEG may have carried out of the part, nothing changes
    reach = 18 + 4
    changed = (after != before).any(axis=2)
    rows, columns = np.where(changed)
    assert rows.min() >= 120 - reach
    assert rows.max() < 180 + reach
    assert columns.min() >= 100 - reach
    assert columns.max() < 300 + reach


def test_a_blurred_part_of_a_plain_wall_is_seen() -> None:
    """Its blocks differ and its edge is drawn, so that a hidden number can't pass for a wall without one."""
    image = wall()
    marking.blur(image, [blurred(40, 40, 20, 20)], 1.0)
    found = np.unique(pixels(image)[121:179, 161:239].reshape(-1, 3), axis=0).astype(int)
    assert len(found) == 2
    assert abs(found[0] - found[1]).min() >= 20
    assert marking.CASING in {tuple(p) for p in pixels(image)[98]}


def test_the_edges_and_the_whole_picture_can_be_blurred() -> None:
    """Where there is nothing round a part to take colours from, it is grey."""
    for sides in ((0, 0, 100, 100), (0, 0, 100, 0.5), (99.5, 99.5, 0.5, 0.5), (0, 30, 0.5, 70)):
        image = Image.fromarray(noise(64, 48, 4))
        before = pixels(image)
        marking.blur(image, [blurred(*sides)], 1.0)
        left, top, width, height = (int(s * n / 100) for s, n in zip(sides, (64, 48, 64, 48), strict=True))
        now = pixels(image)[top : top + max(1, height), left : left + max(1, width)]
        assert not (now == before[top : top + max(1, height), left : left + max(1, width)]).all()
    marking.blur(image, [blurred(0, 0, 100, 100)], 1.0)
    assert {tuple(c) for c in pixels(image).reshape(-1, 3)} == {(114,) * 3, (142,) * 3, marking.CASING}


# ---- marks


def painted(image: Image.Image, marks: list[Mark], weight: float = 1.0) -> Array:
    """Draw marks and give where the picture has changed."""
    before = pixels(image)
    marking.draw(image, marks, weight)
    return np.asarray((pixels(image) != before).any(axis=2))


def test_an_arrow_ends_at_what_it_points_at() -> None:
    """Its tip lies on the spot, its beginning where `from` says, and nothing else is painted."""
    image = wall(800, 600)
    changed = painted(image, [Mark(arrow=spot(50, 50), from_=spot(25, 50))])
    rows, columns = np.where(changed)
    assert abs(columns.max() - 400) <= 6
    assert abs(columns.min() - 200) <= 4
    assert abs(rows.min() + rows.max() - 600) <= 2
    assert rows.max() - rows.min() < 40
    assert image.getpixel((300, 300)) == marking.CORE


@pytest.mark.parametrize("at", [(5, 5), (95, 5), (5, 95), (95, 95), (50, 50), (0, 100)])
def test_an_arrow_without_from_comes_from_where_there_is_room(at: tuple[int, int]) -> None:
    """It lies within the picture, however near to the edge its tip is."""
    mark = Mark(arrow=spot(*at))
    tip, begin = marking._ends(mark, (800, 600))
    assert tip == (at[0] * 8, at[1] * 6)
    assert 0 < begin[0] < 800
    assert 0 < begin[1] < 600
    assert painted(wall(800, 600), [mark]).sum() > 200


def test_a_ring_leaves_free_what_it_goes_round() -> None:
    """The stroke lies outside an oval that touches the region's four sides; its middle is not painted."""
    image = wall(800, 600)
    changed = painted(image, [Mark(ring=part(40, 40, 20, 20))])
    rows, columns = np.where(changed)
    assert 306 <= columns.min() < 320
    assert 480 <= columns.max() < 494
    assert 226 <= rows.min() < 240
    assert 360 <= rows.max() < 374
    across, down = np.meshgrid((np.arange(800) + 0.5 - 400) / 80, (np.arange(600) + 0.5 - 300) / 60)
    assert not changed[across**2 + down**2 < 0.97].any()
    assert image.getpixel((800 // 2, 360 + 6)) == marking.CORE


def test_words_stand_on_their_own_plate_where_the_note_says() -> None:
    """White letters on a dark plate, whose upper left corner is at `at`."""
    image = wall(800, 600)
    rows, columns = np.where(painted(image, [Mark(label="port *riser*", at=spot(10, 20))]))
    assert (columns.min(), rows.min()) == (80, 120)
    colours = {
        tuple(c) for c in pixels(image)[rows.min() : rows.max(), columns.min() : columns.max()].reshape(-1, 3)
    }
    assert {marking.PLATE, marking.LETTERS} <= colours
    bare = wall(800, 600)
    painted(bare, [Mark(label="port riser", at=spot(10, 20))])
    assert (pixels(bare) == pixels(image)).all()  # without the writer's markup


def test_words_of_an_arrow_stand_at_its_beginning_those_of_a_ring_below_or_above() -> None:
    """They don't cover what is pointed at."""
    for mark, free in (
        (Mark(arrow=spot(70, 70), from_=spot(40, 40), label="crack"), (400, 300, 800, 600)),
        (Mark(ring=part(40, 40, 20, 20), label="bolt"), (330, 255, 470, 345)),
        (Mark(ring=part(40, 75, 20, 22), label="bolt"), (330, 465, 470, 570)),
    ):
        image = wall(800, 600)
        painted(image, [mark])
        letters = np.where((pixels(image) == marking.LETTERS).all(axis=2))
        assert letters[0].size > 50
        left, top, right, bottom = free
        inside = (letters[1] >= left) & (letters[1] < right) & (letters[0] >= top) & (letters[0] < bottom)
        assert not inside.any()


SPOTS = st.builds(Spot, st.decimals(0, 100, places=1), st.decimals(0, 100, places=1))
LABELS = st.text(st.sampled_from("abcgjyMW .,%°éü-123"), max_size=30).map(str.strip)


@settings(max_examples=60, deadline=None)
@given(
    at=SPOTS,
    begin=SPOTS,
    region=regions(),
    label=LABELS,
    size=st.sampled_from([(480, 360), (360, 480), (60, 40), (8, 200), (1, 1)]),
    weight=st.sampled_from([1.0, 1.6]),
)
def test_any_mark_can_be_drawn_anywhere(
    at: Spot, begin: Spot, region: Blur, label: str, size: tuple[int, int], weight: float
) -> None:
    """No place and no words make it fail, and where there is room words stand whole within the picture."""
    ring = Region(region.left, region.top, region.width, region.height)
    marks = [Mark(ring=ring, label=label), Mark(arrow=at, label=label), Mark(at=at, label=label or "a")]
    if begin != at:
        marks.append(Mark(arrow=at, from_=begin, label=label))
    image = wall(*size)
    marking.draw(image, marks, weight)
    assert image.size == size
    again = wall(*size)
    marking.draw(again, marks, weight)
    assert image.tobytes() == again.tobytes()


@pytest.mark.parametrize("weight", [1.0, 1.6])
@pytest.mark.parametrize("at", [(0, 0), (100, 100), (100, 0), (50, 50)])
@pytest.mark.parametrize("label", ["W" * 30, "crack", "j"])
def test_words_never_leave_the_picture(weight: float, at: tuple[int, int], label: str) -> None:
    """They move inward, and the longest words are made smaller: a rim of the picture stays as it was."""
    changed = painted(wall(480, 360), [Mark(label=label, at=spot(*at))], weight)
    assert changed.any()
    assert not changed[0].any()
    assert not changed[-1].any()
    assert not changed[:, 0].any()
    assert not changed[:, -1].any()


def test_signs_that_cannot_be_drawn_are_named() -> None:
    """Words from right to left, signs without a drawing; accents in either spelling can be drawn."""
    for words in ("crack, 40 mm", "Röhre é ñ ß Ø", "e\u0301te\u0301", "руль", "τιμόνι", "½ µm ±5 °C “x” – ≤"):
        assert marking.cannot_write(words) == "", words
    for words, sign in (
        ("riss 裂", "裂"),
        ("ok 🔧", "🔧"),
        ("שבר", "ש"),
        ("كسر", "ك"),
        ("a\u0336b", "\u0336"),
    ):
        assert marking.cannot_write(words) == sign
