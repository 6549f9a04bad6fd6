"""Parts that several drawings need: bolts, hoses, clamps, dials, weld beads, rules, jars and the like."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from _drawing.shapes import (
    Place,
    Point,
    Points,
    View,
    arc,
    around,
    band,
    beside,
    box,
    curve,
    oval,
    polar,
    star,
    turned,
    walk,
)
from _drawing.sheet import BROWN, INK, PALE, RED, RUBBER, RUST, SLATE, STEEL, WHITE, Colour, Sheet, lighter

CRACK = (0.1, -0.9, 0.4, 1.3, 0.2, -0.5, -1.4, 0.3, 0.9, -0.4, 0.5, -1.1, 0.8)  # how it wanders


def bolt(sheet: Sheet, at: Point, size: float, colour: Colour = STEEL, turn: float = 12) -> None:
    """A hexagon head on its washer."""
    sheet.shade(oval(at[0] + size * 0.15, at[1] + size * 0.2, size * 1.35), 0.35)
    sheet.shape(oval(*at, size * 1.32), PALE if colour != RUST else RUST, 2.6)
    sheet.shape(star(at, size, 6, turn), colour, 3)
    sheet.ink(oval(*at, size * 0.68), 1.8)
    corner = [polar(at, size, turn + 60), polar(at, size, turn + 120), polar(at, size * 0.68, turn + 90)]
    sheet.hatch([*corner], 7, 40, 1.4)


def screw(sheet: Sheet, at: Point, size: float, turn: float = 30) -> None:
    """A slotted screw's head."""
    sheet.shape(oval(*at, size), PALE, 2.6)
    for by in (-size * 0.12, size * 0.12):
        ends = [polar(at, size * 0.8, turn), polar(at, size * 0.8, turn + 180)]
        sheet.ink(beside(ends, by), 1.8)


def pipe(sheet: Sheet, path: Points, width: float, colour: Colour, line: float = 3.2) -> None:
    """A round hose, rod or tube along a line, lit from above on its left-hand side."""
    sheet.wash(band(path, -width / 2, width / 2), colour)
    down = 1 if path[-1][0] >= path[0][0] else -1
    sheet.shade(band(path, down * width * 0.16, down * width / 2), 0.34)
    sheet.shade(band(path, down * width * 0.34, down * width / 2), 0.34)
    glint = beside(path, -down * width * 0.24)
    if len(glint) > 1:
        sheet.ink(glint, max(1.6, width * 0.07), lighter(colour, 0.6))
    for by in (-width / 2, width / 2):
        sheet.ink(beside(path, by), line)


def ends(sheet: Sheet, at: Point, width: float, turn: float, colour: Colour, flat: float = 0.3) -> None:
    """The open end of a tube, seen a little from the side; `turn` is the tube's own direction [degree]."""
    sheet.shape(oval(*at, width / 2 * flat, width / 2, turn), colour, 3)


def clamp(
    sheet: Sheet, middle: Point, width: float, across: float, turn: float, colour: Colour = STEEL
) -> None:
    """A hose clamp round a tube that runs at `turn`, with its screw housing on top.

    width: along the tube. across: over the tube's diameter.
    """
    x, y = middle
    half = across / 2
    left = arc(x - width / 2, y, width * 0.28, half, -90, 90, 16)
    right = arc(x + width / 2, y, width * 0.28, half, -90, 90, 16)
    sheet.shape(turned([*left, *reversed(right)], middle, turn), colour, 3)
    low = [p for p in left if p[1] > y + half * 0.35] + [p for p in reversed(right) if p[1] > y + half * 0.35]
    sheet.shade(turned(low, middle, turn), 0.4)
    for k in range(7):
        at = y - half * 0.55 + k * half * 0.2
        lean = math.sqrt(max(0.0, 1 - ((at - y) / half) ** 2)) * width * 0.28
        slot = [(x - width * 0.3 + lean, at), (x + width * 0.3 + lean, at + half * 0.03)]
        sheet.ink(turned(slot, middle, turn), 2)
    house = box(x - width * 0.62, y - half - width * 0.36, width * 1.24, width * 0.5, width * 0.1)
    sheet.shape(turned(house, middle, turn), colour, 3)
    head = box(x + width * 0.62, y - half - width * 0.3, width * 0.34, width * 0.38)
    sheet.shape(turned(head, middle, turn), colour, 3)


@dataclass(frozen=True)
class Scale:
    """A dial: from low to high, a figure each `major`, a stroke each `minor`, and the name of the unit."""

    low: float
    high: float
    major: float
    minor: float
    unit: str
    start: float = 135  # [degree], clockwise from three o'clock
    sweep: float = 270

    def angle(self, value: float) -> float:
        """Where the needle stands for a value [degree]."""
        return self.start + self.sweep * (value - self.low) / (self.high - self.low)


def dial(sheet: Sheet, at: Point, radius: float, scale: Scale, value: float) -> None:
    """A round gauge with its needle at a value."""
    sheet.shade(oval(at[0] + radius * 0.07, at[1] + radius * 0.1, radius * 1.12), 0.3)
    sheet.shape(oval(*at, radius * 1.14), SLATE, 4)
    sheet.hatch(
        [*arc(*at, radius * 1.13, radius * 1.13, 10, 130, 40), *arc(*at, radius, radius, 130, 10, 40)], 8, 30
    )
    sheet.shape(oval(*at, radius), WHITE, 3.4)
    count = round((scale.high - scale.low) / scale.minor)
    for k in range(count + 1):
        mark = scale.low + k * scale.minor
        main = abs(mark / scale.major - round(mark / scale.major)) < 1e-6
        angle, inner = scale.angle(mark), 0.80 if main else 0.87
        sheet.ink(
            [polar(at, radius * inner, angle), polar(at, radius * 0.94, angle)],
            4.2 if main else 2.2,
            tremble=0.2,
        )
        if main:
            sheet.text(polar(at, radius * 0.64, angle), f"{mark:g}", radius * 0.15)
    sheet.ink(
        arc(*at, radius * 0.94, radius * 0.94, scale.start, scale.start + scale.sweep, 90), 2.2, tremble=0.3
    )
    sheet.text((at[0], at[1] + radius * 0.42), scale.unit, radius * 0.15)
    needle(sheet, at, radius, scale.angle(value))


def needle(sheet: Sheet, at: Point, radius: float, angle: float) -> None:
    """A dial's needle on its hub, pointing to an angle [degree]."""
    tip, side = polar(at, radius * 0.9, angle), radius * 0.035
    tail = polar(at, radius * 0.2, angle + 180)
    body = [polar(at, side, angle + 90), tip, polar(at, side, angle - 90)]
    sheet.wash([body[0], tip, body[2], tail], (150, 26, 26))
    sheet.ink([tail, at, tip], 4.5, (130, 20, 20), tremble=0.2)
    sheet.shape(oval(*at, radius * 0.08), INK, 2)


def bead(sheet: Sheet, path: Points, width: float, colour: Colour = PALE) -> None:
    """A weld bead along a line: overlapping scales."""
    path = walk(path, width * 0.36)
    sheet.wash(band(path, -width / 2, width / 2), colour)
    sheet.shade(band(path, width * 0.1, width / 2), 0.3)
    for (ax, ay), (bx, by) in itertools.pairwise(path):
        turn = math.degrees(math.atan2(by - ay, bx - ax))
        sheet.ink(turned(arc(ax, ay, width * 0.42, width / 2, -80, 80, 14), (ax, ay), turn), 2.2)
    for by in (-width / 2, width / 2):
        sheet.ink(beside(path, by), 2.8, tremble=2)


def crack(
    sheet: Sheet,
    points: Points,
    width: float = 4.5,
    colour: Colour = INK,
    jag: float = 5,
    lip: Colour | None = None,
) -> None:
    """A jagged crack along a line, thin at both ends; `lip` is the torn edge's colour on something dark."""
    sway = [jag * CRACK[i % len(CRACK)] for i in range(len(points))]
    path = beside(points, sway)
    middle = path[len(path) // 5 : -len(path) // 5] or path
    if lip:
        sheet.ink(path, width + 5, lip, tremble=1)
        sheet.ink(middle, width * 1.5 + 7, lip, tremble=1)
    sheet.ink(path, width, colour, tremble=1)
    sheet.ink(middle, width * 1.5, colour, tremble=1)


def rule(sheet: Sheet, at: Point, unit: float, marks: Sequence[int], name: str, turn: float = 0) -> None:
    """A steel rule laid beside something: `unit` is the picture's length of one of its parts."""
    x, y = at
    long = unit * marks[-1]
    sheet.shade(turned(box(x - 6, y + 8, long + 74, 66), at, turn), 0.25)
    sheet.shape(turned(box(x - 16, y, long + 76, 64, 5), at, turn), (238, 226, 180), 2.8)
    for k in range(marks[-1] + 1):
        tall = 30 if k in marks else 17
        sheet.ink(turned([(x + k * unit, y), (x + k * unit, y + tall)], at, turn), 2, tremble=0.2)
    for k in marks:
        (place,) = turned([(x + k * unit, y + 46)], at, turn)
        sheet.text(place, str(k), 24, turn=turn)
    (place,) = turned([(x + long + 32, y + 45)], at, turn)
    sheet.text(place, name, 24, turn=turn)


def streak(sheet: Sheet, start: Point, length: float, width: float, colour: Colour = RUST) -> None:
    """Rust that has run down from a place, wide above and lost below, darker in its middle."""
    x, y = start
    for share, tone, strength in ((1.0, colour, 0.7), (0.66, BROWN, 0.55), (0.34, BROWN, 0.85)):
        w = width * share
        edge = [(x - w / 2, y), (x - w * 0.42, y + length * 0.4), (x - w * 0.2, y + length * share)]
        back = [(x + w * 0.16, y + length * (0.9 * share)), (x + w * 0.4, y + length * 0.45), (x + w / 2, y)]
        sheet.glow(curve([*edge, *back], True), tone, strength, 7)


def foam(sheet: Sheet, bubbles: Sequence[tuple[float, float, float]]) -> None:
    """Soap bubbles, each with its own place and size."""
    for x, y, r in bubbles:
        sheet.shape(oval(x, y, r), WHITE, 2.2)
        sheet.ink(arc(x, y, r * 0.62, r * 0.62, 190, 260, 8), 2)
        sheet.shade(arc(x, y, r * 0.95, r * 0.95, 20, 130, 12), 0.2)


def tyre(sheet: Sheet, see: View, hub: Place, radius: float, width: float = 0.2) -> None:
    """A road wheel that stands along the boat; `hub` is the middle of the face turned to the eye [m]."""
    back = see.wheel((hub[0], hub[1] + width, hub[2]), radius)
    face = see.wheel(hub, radius)
    sheet.shape(around([*back, *face]), RUBBER, 3.4)
    sheet.ink(face, 2.4, closed=True)
    sheet.shape(see.wheel(hub, radius * 0.58), PALE, 2.6)
    for k in range(6):
        turn = math.radians(60 * k)
        nut = (hub[0] + radius * 0.36 * math.cos(turn), hub[1], hub[2] + radius * 0.36 * math.sin(turn))
        sheet.wash(oval(*see.at(nut), 3.5), INK)
    sheet.shape(see.wheel(hub, radius * 0.18), STEEL, 2)


def knob(sheet: Sheet, at: Point, size: float, colour: Colour = RED) -> None:
    """A round push knob, lit from the upper left."""
    sheet.shade(oval(at[0] + size * 0.12, at[1] + size * 0.18, size * 1.06), 0.4)
    sheet.shape(oval(*at, size), colour, 3.2)
    sheet.shape(oval(at[0] - size * 0.04, at[1] - size * 0.06, size * 0.68), colour, 2.4)
    sheet.ink(arc(*at, size * 0.5, size * 0.5, 190, 260, 12), 4, WHITE)
