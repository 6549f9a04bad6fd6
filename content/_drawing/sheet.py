"""A sheet of paper to draw on with ink, wash and a blue pencil, the same strokes each time."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable, Sequence

from PIL import Image, ImageChops, ImageDraw, ImageFilter, ImageFont

from _drawing import shapes
from _drawing.shapes import Point, Points

Colour = tuple[int, int, int]

PAPER: Colour = (247, 242, 230)
WHITE: Colour = (253, 251, 245)
INK: Colour = (40, 43, 50)
PENCIL: Colour = (34, 66, 132)
STEEL: Colour = (174, 186, 196)
PALE: Colour = (212, 219, 222)
SLATE: Colour = (118, 132, 145)
RUST: Colour = (164, 94, 46)
BROWN: Colour = (112, 64, 36)
OCHRE: Colour = (206, 164, 100)
WATER: Colour = (70, 116, 122)
DEEP: Colour = (44, 78, 90)
BILGE: Colour = (164, 161, 151)
DIRT: Colour = (120, 117, 108)
RUBBER: Colour = (82, 85, 90)
BRONZE: Colour = (196, 160, 96)
WOOD: Colour = (202, 170, 128)
RED: Colour = (186, 38, 34)
YELLOW: Colour = (232, 190, 48)

FINE = 2  # drawn this many times as large, then made smaller
NOTE = "drawn illustration, invented boat"
QUALITY = 78  # of the JPEG; keeps all pictures together under 4 MB
MARGIN, FOOT = 40, 74  # paper around the frame


def lighter(colour: Colour, by: float) -> Colour:
    """The colour with so much of it turned white, from 0 to 1 [-]."""
    red, green, blue = (round(c + (255 - c) * by) for c in colour)
    return red, green, blue


class Sheet:
    """One picture in the making; `name` also settles how the hand trembles."""

    def __init__(self, name: str, width: int = 1600, height: int = 1200) -> None:
        self.width, self.height = width, height
        self._dice = random.Random(name)  # noqa: S311 - a trembling hand, nothing secret
        self._grain = self._noise_image(width * FINE // 32, height * FINE // 32)
        self._image = Image.new("RGB", (width * FINE, height * FINE), PAPER)
        self._pen = ImageDraw.Draw(self._image)
        self._paper()

    def _noise_image(self, columns: int, rows: int) -> Image.Image:
        raw = Image.frombytes("L", (columns, rows), self._dice.randbytes(columns * rows))
        large = (self.width * FINE, self.height * FINE)
        return raw.filter(ImageFilter.GaussianBlur(1.2)).resize(large, Image.Resampling.BICUBIC)

    def _paper(self) -> None:
        shade = Image.new("RGB", self._image.size, (238, 231, 214))
        self._image.paste(shade, mask=self._grain.point(lambda v: max(0, v - 112)))

    def _mask(self, points: Points) -> tuple[Image.Image, tuple[int, int, int, int]] | None:
        xs, ys = [p[0] * FINE for p in points], [p[1] * FINE for p in points]
        left, top = max(0, math.floor(min(xs)) - 2), max(0, math.floor(min(ys)) - 2)
        right = min(self.width * FINE, math.ceil(max(xs)) + 3)
        bottom = min(self.height * FINE, math.ceil(max(ys)) + 3)
        if right <= left or bottom <= top:
            return None
        mask = Image.new("L", (right - left, bottom - top))
        moved = [(x - left, y - top) for x, y in zip(xs, ys, strict=True)]
        ImageDraw.Draw(mask).polygon(moved, fill=255)
        return mask, (left, top, right, bottom)

    def wash(self, points: Points, colour: Colour) -> None:
        """Fill an outline with a flat, slightly uneven colour that gathers a little at its edge."""
        found = self._mask(points)
        if found is None:
            return
        mask, where = found
        size = mask.size
        grain = self._grain.crop(where).point(lambda v: max(0, min(255, (v - 128) * 1.4 + 128)))
        light = tuple(min(255, c + (255 - c) // 9) for c in colour)
        dark = tuple(c * 94 // 100 for c in colour)
        colours = Image.composite(Image.new("RGB", size, dark), Image.new("RGB", size, light), grain)
        inner = mask.filter(ImageFilter.GaussianBlur(7))
        rim = ImageChops.subtract(mask, inner)
        colours.paste(Image.new("RGB", size, tuple(c * 80 // 100 for c in colour)), mask=rim)
        self._image.paste(colours, where, mask)

    def shade(self, points: Points, strength: float = 0.25, colour: Colour = (70, 78, 96)) -> None:
        """Lay a thin, clear wash over what is there; strength from 0 to 1 [-]."""
        found = self._mask(points)
        if found is None:
            return
        mask, where = found
        under = self._image.crop(where)
        thin = tuple(round(255 - (255 - c) * strength) for c in colour)
        over = ImageChops.multiply(under, Image.new("RGB", mask.size, thin))
        self._image.paste(over, where, mask.filter(ImageFilter.GaussianBlur(1.5)))

    def glow(self, points: Points, colour: Colour, strength: float = 0.8, soft: float = 14) -> None:
        """Stain an outline with soft edges; strength from 0 to 1 [-], soft in picture units."""
        reach = soft * 2
        found = self._mask([*points, *self._far(points, reach)])
        if found is None:
            return
        where = found[1]
        mask = Image.new("L", found[0].size)
        moved = [(x * FINE - where[0], y * FINE - where[1]) for x, y in points]
        ImageDraw.Draw(mask).polygon(moved, fill=round(255 * strength))
        mask = mask.filter(ImageFilter.GaussianBlur(soft * FINE / 2))
        self._image.paste(Image.new("RGB", mask.size, colour), where, mask)

    @staticmethod
    def _far(points: Points, reach: float) -> list[Point]:
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return [(min(xs) - reach, min(ys) - reach), (max(xs) + reach, max(ys) + reach)]

    def ink(
        self,
        points: Points,
        width: float = 3.2,
        colour: Colour = INK,
        closed: bool = False,
        tremble: float = 1.0,
    ) -> None:
        """Draw a line by hand: its width swells and thins, and it wanders by about `tremble` units."""
        path = [*points, points[0]] if closed else points
        steps = shapes.walk(path, max(0.6, width * 0.22))
        length = len(steps) * max(0.6, width * 0.22)
        sway, lift, press = (self._noise(length, every) for every in (80, 80, 45))
        for i, (x, y) in enumerate(steps):
            t = i / max(1, len(steps) - 1)
            end = 1.0 if closed else min(1.0, 0.55 + min(t, 1 - t) * length / 14)
            r = width * FINE / 2 * end * (1 + 0.28 * press(t))
            cx, cy = (x + tremble * sway(t)) * FINE, (y + tremble * lift(t)) * FINE
            self._pen.ellipse((cx - r, cy - r, cx + r, cy + r), fill=colour)

    def _noise(self, length: float, every: float) -> Callable[[float], float]:
        knots = [self._dice.uniform(-1, 1) for _ in range(int(length / every) + 3)]

        def value(t: float) -> float:
            at = t * (len(knots) - 2)
            i = int(at)
            part = (1 - math.cos((at - i) * math.pi)) / 2
            return knots[i] * (1 - part) + knots[i + 1] * part

        return value

    def shape(self, points: Points, colour: Colour, width: float = 3.2, tremble: float = 1.0) -> None:
        """An outline in ink, filled with wash."""
        self.wash(points, colour)
        self.ink(points, width, closed=True, tremble=tremble)

    def hatch(
        self, points: Points, gap: float = 13, angle: float = -50, width: float = 1.6, colour: Colour = INK
    ) -> None:
        """Fill an outline with even, slanted strokes: shadow."""
        about = points[0]
        flat = shapes.turned(points, about, -angle)
        y = min(p[1] for p in flat) + gap / 2
        while y < max(p[1] for p in flat):
            crossings = sorted(_crossings(flat, y))
            for start, end in zip(crossings[::2], crossings[1::2], strict=False):
                if end - start > 5:
                    pull = self._dice.uniform(0.5, 3)
                    stroke = [(start + pull, y), (end - self._dice.uniform(0.5, 4), y)]
                    self.ink(shapes.turned(stroke, about, angle), width, colour, tremble=0.6)
            y += gap * self._dice.uniform(0.9, 1.1)

    def dots(self, points: Points, many: int, size: float, colour: Colour = INK) -> None:
        """Scatter specks within an outline: pits, grit, rust."""
        found = self._mask(points)
        if found is None:
            return
        mask, (left, top, right, bottom) = found
        for _ in range(many):
            x, y = self._dice.randrange(left, right), self._dice.randrange(top, bottom)
            r = size * FINE / 2 * self._dice.uniform(0.5, 1.3)
            if mask.getpixel((x - left, y - top)):
                self._pen.ellipse((x - r, y - r, x + r, y + r), fill=colour)

    def text(
        self,
        at: Point,
        words: str,
        size: float = 30,
        colour: Colour = INK,
        turn: float = 0,
        anchor: str = "mm",
    ) -> None:
        """Letter a few words, by their middle unless told, turned clockwise [degree]."""
        font = ImageFont.load_default(size * FINE)
        box = font.getbbox(words, anchor=anchor)
        reach = math.ceil(max(abs(v) for v in box)) + 8
        mask = Image.new("L", (2 * reach, 2 * reach))
        ImageDraw.Draw(mask).text((reach, reach), words, fill=255, font=font, anchor=anchor)
        if turn:
            mask = mask.rotate(-turn, Image.Resampling.BICUBIC)
        corner = (round(at[0] * FINE) - reach, round(at[1] * FINE) - reach)
        self._image.paste(Image.new("RGB", mask.size, colour), corner, mask)

    def ring(self, x: float, y: float, rx: float, ry: float, turn: float = 0) -> None:
        """Ring a defect in blue pencil, a little more than once round, as a hand does."""
        loop = shapes.arc(x, y, rx, ry, -70, 318, 60)
        grown = [
            (px + (px - x) * 0.06 * i / 60, py + (py - y) * 0.06 * i / 60) for i, (px, py) in enumerate(loop)
        ]
        self._pencil(shapes.turned(grown, (x, y), turn))

    def arrow(self, start: Point, end: Point, bow: float = 30, both: bool = False) -> None:
        """Point at something in blue pencil with a slightly bent arrow, at both its ends if asked."""
        middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
        length = math.hypot(end[0] - start[0], end[1] - start[1])
        side = (-(end[1] - start[1]) / length, (end[0] - start[0]) / length)
        path = shapes.curve([start, (middle[0] + side[0] * bow, middle[1] + side[1] * bow), end], steps=16)
        heads = [self._head(path)] + ([self._head(path[::-1])] if both else [])
        self._pencil(path, *heads)

    @staticmethod
    def _head(path: Points) -> list[Point]:
        end, near = path[-1], path[-5]
        back = math.degrees(math.atan2(near[1] - end[1], near[0] - end[0]))
        return [shapes.polar(end, 38, back - 27), end, shapes.polar(end, 38, back + 27)]

    def _pencil(self, *lines: Points) -> None:
        # a pale edge, so that the blue also shows on black rubber and in a photocopy
        for line in lines:
            self.ink(line, 15, WHITE, tremble=0.4)
        for line in lines:
            self.ink(line, 7, PENCIL, tremble=0.8)

    def frame(self, words: str = "") -> None:
        """Clear the margin, draw the frame and letter the foot: how it is seen, and that it is drawn."""
        inner = [MARGIN, MARGIN, self.width - MARGIN, self.height - FOOT]
        left, top, right, bottom = (v * FINE for v in inner)
        kept = self._image.crop((left, top, right, bottom))
        self._image.paste(PAPER, (0, 0, *self._image.size))
        self._paper()
        self._image.paste(kept, (inner[0] * FINE, inner[1] * FINE))
        self.ink(shapes.box(MARGIN, MARGIN, inner[2] - MARGIN, inner[3] - MARGIN), 2.6, closed=True)
        self.text((self.width - MARGIN, self.height - 38), NOTE, 25, (92, 92, 92), anchor="rm")
        if words:
            self.text((MARGIN, self.height - 38), words, 25, (92, 92, 92), anchor="lm")

    def jpeg(self) -> bytes:
        """The finished picture, made smaller, without any data but its pixels."""
        small = self._image.resize((self.width, self.height), Image.Resampling.BOX)
        out = io.BytesIO()
        small.save(out, "JPEG", quality=QUALITY, optimize=True, subsampling="4:2:0", progressive=True)
        return out.getvalue()


def _crossings(points: Sequence[Point], y: float) -> list[float]:
    pairs = zip(points, [*points[1:], points[0]], strict=True)
    return [ax + (y - ay) * (bx - ax) / (by - ay) for (ax, ay), (bx, by) in pairs if (ay > y) != (by > y)]
