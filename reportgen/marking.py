"""Blurs parts of a photo beyond recovery, and draws arrows, rings and words onto its published copies.

Positions are percent of the picture as it is seen upright, counted from its upper left corner.
"""

from __future__ import annotations

import importlib.util
import math
import unicodedata
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from reportgen import prose
from reportgen.block import Mark, Region, Spot

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFont import FreeTypeFont

    Point = tuple[float, float]
    Box = tuple[int, int, int, int]
    Colour = tuple[int, int, int]

CORE, CASING, PLATE, LETTERS = (255, 214, 10), (16, 20, 24), (16, 20, 24), (255, 255, 255)
FINER = 3  # marks are drawn so many times larger and made smaller, for smooth edges [-]
BLOCKS = 8  # blocks along the longer side of a blurred part [-]

# How far a pixel is carried out of its place: by a JPEG's blocks of 16 pixels and the smoothing of its
# colours [px of the original], and by making the picture smaller [px of the copy].
_JPEG_CARRIES, _SHRINKING_CARRIES = 18, 4
_RIM = 6  # how much round a blurred part is looked at for its colours [px of the copy]
_TONE = 14  # by how much neighbouring blocks differ, so that they are seen on a plain wall too [of 255]


def blur(image: Image, regions: Iterable[Region], scale: float) -> None:
    """Replace each region by a few blocks in the colours of what lies round it.

    Not one pixel of a region, nor of what it has coloured nearby, goes into what replaces it: nothing can be
    computed back, as it can from a softened picture or from blocks made of what they hide.

    scale: size of the copy over that of the original [-].
    """
    grown = math.ceil(_JPEG_CARRIES * scale) + _SHRINKING_CARRIES
    boxes = [_grown(_box(region, image.size), grown, image.size) for region in regions]
    for box in boxes:  # first all of them, so that none is seen in the surroundings of another
        image.paste((128, 128, 128), box)
    for box in boxes:
        _fill(image, box)


def draw(image: Image, marks: Sequence[Mark], weight: float) -> None:
    """Draw marks: first arrows and rings, then the words, so that these stay readable.

    weight: how thick and large against the picture's longer side; 1 is right for a copy of 1600 px.
    """
    unit = max(image.size) / 100 * weight
    for mark in marks:
        if mark.arrow:
            _arrow(image, *_ends(mark, image.size), unit)
        elif mark.ring:
            _ring(image, _box(mark.ring, image.size), unit)
    for mark in marks:
        if mark.label:
            _write(image, mark, unit)


def cannot_write(text: str) -> str:
    """Give the first sign of a text that can't be drawn onto a photo; empty if all can."""
    font = _font(24)
    missing = bytes(font.getmask("\U0010fffd"))
    for sign in _words(text):
        # without a shaping engine, words that run from right to left would stand the wrong way round
        backward = unicodedata.bidirectional(sign) in ("R", "AL", "AN") or unicodedata.combining(sign)
        if backward or bytes(font.getmask(sign)) == missing:
            return sign
    return ""


# ---- blurring


def _box(region: Region, size: tuple[int, int]) -> Box:
    """Give the pixels that a region touches, whole."""
    width, height = size
    left, right = float(region.left), float(region.left + region.width)
    top, bottom = float(region.top), float(region.top + region.height)
    return (
        math.floor(left * width / 100),
        math.floor(top * height / 100),
        math.ceil(right * width / 100),
        math.ceil(bottom * height / 100),
    )


def _grown(box: Box, by: int, size: tuple[int, int]) -> Box:
    left, top, right, bottom = box
    return max(0, left - by), max(0, top - by), min(size[0], right + by), min(size[1], bottom + by)


def _fill(image: Image, box: Box) -> None:
    from PIL.Image import Resampling, new
    from PIL.ImageDraw import Draw

    wide, high = box[2] - box[0], box[3] - box[1]
    longer = max(wide, high)
    across, down = (max(1, min(side, round(BLOCKS * side / longer))) for side in (wide, high))
    patch = new("RGB", (across, down))
    patch.putdata(_blocks(image, box, across, down))
    image.paste(patch.resize((wide, high), Resampling.NEAREST), box)
    # the edge is seen, so that nobody takes the part for the boat
    Draw(image).rectangle(
        (box[0], box[1], box[2] - 1, box[3] - 1), outline=CASING, width=max(1, longer // 120)
    )


def _blocks(image: Image, box: Box, across: int, down: int) -> list[Colour]:
    """Give the colour of each block, row by row: of the four sides round the region, the nearer the more."""
    from PIL.Image import Resampling

    left, top, right, bottom = box
    width, height = image.size
    strips = {
        "left": ((max(0, left - _RIM), top, left, bottom), (1, down)),
        "right": ((right, top, min(width, right + _RIM), bottom), (1, down)),
        "top": ((left, max(0, top - _RIM), right, top), (across, 1)),
        "bottom": ((left, bottom, right, min(height, bottom + _RIM)), (across, 1)),
    }
    sides = {
        name: image.crop(strip).resize(blocks, Resampling.BOX)
        for name, (strip, blocks) in strips.items()
        if strip[0] < strip[2] and strip[1] < strip[3]
    }
    found: list[Colour] = []
    for y in range(down):
        for x in range(across):
            far = {"left": x, "right": across - 1 - x, "top": y, "bottom": down - 1 - y}
            at = {"left": (0, y), "right": (0, y), "top": (x, 0), "bottom": (x, 0)}
            near = [(sides[name].getpixel(at[name]), 1 / (1 + far[name])) for name in sides]
            found.append(_mixed(near, _TONE if (x + y) % 2 else -_TONE))
    return found


def _mixed(colours: Sequence[tuple[object, float]], tone: int) -> Colour:
    """Give the weighted mean of colours, lighter or darker by `tone`; of none, grey."""
    if not colours:
        return (128 + tone,) * 3
    whole = sum(weight for _, weight in colours)
    sums = [sum(c[n] * weight for c, weight in colours) for n in range(3)]  # type: ignore[index]
    mixed = [min(255 - _TONE, max(_TONE, round(s / whole))) + tone for s in sums]
    return mixed[0], mixed[1], mixed[2]


# ---- drawing


def _spot(spot: Spot, size: tuple[int, int]) -> Point:
    return float(spot.left) * size[0] / 100, float(spot.top) * size[1] / 100


def _ends(mark: Mark, size: tuple[int, int]) -> tuple[Point, Point]:
    """Give an arrow's tip and beginning; without `from` it comes from the side with more room."""
    if mark.arrow is None:
        raise ValueError("a mark without an arrow has no tip")
    tip = _spot(mark.arrow, size)
    if mark.from_:
        return tip, _spot(mark.from_, size)
    reach = 0.14 * min(size)
    return tip, (
        tip[0] + (reach if tip[0] < size[0] / 2 else -reach),
        tip[1] + (reach if tip[1] < size[1] / 2 else -reach),
    )


def _arrow(image: Image, tip: Point, begin: Point, unit: float) -> None:
    long = math.dist(tip, begin)
    along = ((tip[0] - begin[0]) / long, (tip[1] - begin[1]) / long)
    head = min(2.6 * unit, 0.6 * long)

    def at(back: float, aside: float) -> Point:
        return tip[0] - along[0] * back - along[1] * aside, tip[1] - along[1] * back + along[0] * aside

    def shape(more: float) -> list[Point]:
        half, wide = 0.32 * unit + more, 0.5 * head + 1.4 * more
        return [
            at(-2.2 * more, 0), at(head + more, wide), at(head + more, half), at(long + more, half),
            at(long + more, -half), at(head + more, -half), at(head + more, -wide),
        ]  # fmt: skip

    casing, core = shape(max(1.0, 0.22 * unit)), shape(0)
    _paint(image, [("polygon", casing, 0.0)], CASING)
    _paint(image, [("polygon", core, 0.0)], CORE)


def _ring(image: Image, box: Box, unit: float) -> None:
    """Draw a ring round a region: the region stays free, the stroke lies outside it."""
    core, more = 0.62 * unit, max(1.0, 0.22 * unit)

    def shape(grown: float, width: float) -> tuple[str, list[Point], float]:
        left, top, right, bottom = box
        return "ellipse", [(left - grown, top - grown), (right + grown, bottom + grown)], width

    _paint(image, [shape(core + 2 * more, core + 2 * more)], CASING)
    _paint(image, [shape(core + more, core)], CORE)


def _paint(image: Image, shapes: Sequence[tuple[str, list[Point], float]], colour: Colour) -> None:
    """Paint filled polygons and rings of a width, with smooth edges, where they lie within the picture."""
    from PIL.Image import new
    from PIL.ImageDraw import Draw

    points = [point for _, each, _ in shapes for point in each]
    left, top = (math.floor(min(p[n] for p in points)) - 1 for n in (0, 1))
    right, bottom = (math.ceil(max(p[n] for p in points)) + 1 for n in (0, 1))
    mask = new("L", ((right - left) * FINER, (bottom - top) * FINER))
    pen = Draw(mask)
    for form, each, width in shapes:
        finer = [((x - left) * FINER, (y - top) * FINER) for x, y in each]
        if form == "polygon":
            pen.polygon(finer, fill=255)
        else:
            pen.ellipse(finer, outline=255, width=max(1, round(width * FINER)))
    image.paste(colour, (left, top, right, bottom), mask.reduce(FINER))


def _write(image: Image, mark: Mark, unit: float) -> None:
    """Write a mark's words in white on a dark plate that lies within the picture."""
    from PIL.ImageDraw import Draw

    pen, words = Draw(image), _words(mark.label)
    size = 3.0 * unit
    while True:
        font, pad = _font(round(size)), 0.3 * size
        left, _, right, _ = pen.textbbox((0, 0), words, font=font, anchor="ls")
        # all letters of a line stand alike, whether or not one of them goes below it
        ascent, descent = font.getmetrics()
        wide, high = right - left + 2 * pad, 0.9 * ascent + descent + 1.1 * pad
        if wide <= image.width - unit or size < 7:
            break
        size *= 0.9
    x, y = _place_of_words(mark, image.size, (wide, high), unit)
    x = max(0.5 * unit, min(x, image.width - wide - 0.5 * unit))
    y = max(0.5 * unit, min(y, image.height - high - 0.5 * unit))
    pen.rounded_rectangle((x, y, x + wide, y + high), radius=0.25 * size, fill=PLATE)
    pen.text((round(x + pad - left), round(y + 0.6 * pad + 0.9 * ascent)), words, LETTERS, font, "ls")


def _place_of_words(mark: Mark, size: tuple[int, int], plate: Point, unit: float) -> Point:
    """Give the plate's upper left corner: at an arrow's beginning, under a ring, or where `at` says."""
    if mark.at:
        return _spot(mark.at, size)
    if mark.ring:
        left, top, right, bottom = _box(mark.ring, size)
        below = bottom + 1.6 * unit
        room = below + plate[1] < size[1]
        return (left + right - plate[0]) / 2, below if room else top - 1.6 * unit - plate[1]
    tip, begin = _ends(mark, size)
    long = math.dist(tip, begin)
    away = ((begin[0] - tip[0]) / long, (begin[1] - tip[1]) / long)
    middle = [begin[n] + away[n] * (plate[n] / 2 + 0.3 * unit) for n in (0, 1)]
    return middle[0] - plate[0] / 2, middle[1] - plate[1] / 2


def _words(label: str) -> str:
    """Give a label without markup, each accented letter as one sign."""
    return unicodedata.normalize("NFC", prose.plain(label))


def _font(size: int) -> FreeTypeFont:
    """Give the letters that matplotlib brings along, without loading it: the same on every machine."""
    from PIL.ImageFont import Layout, truetype

    found = importlib.util.find_spec("matplotlib")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("matplotlib, which reportgen needs, is not installed")
    file = Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / "DejaVuSans-Bold.ttf"
    return truetype(str(file), max(6, size), layout_engine=Layout.BASIC)
