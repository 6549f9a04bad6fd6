"""Draws the small signs of charts: marks, rings and crosses, their key, and finds room for figures."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, text_width, wrap

Places = Sequence[tuple[float, float]]

_ROW, _BETWEEN, _GAP, _RADIUS = 13.0, 3.0, 14.0, 4.0
# square, triangle, diamond, eight corners: told apart by their outline
_SHAPES: tuple[Places, ...] = (
    ((-0.85, -0.85), (0.85, -0.85), (0.85, 0.85), (-0.85, 0.85)),
    ((0.0, -1.15), (1.1, 0.85), (-1.1, 0.85)),
    ((0.0, -1.25), (1.25, 0.0), (0.0, 1.25), (-1.25, 0.0)),
    tuple((math.cos(a * math.pi / 4 + 0.3927), math.sin(a * math.pi / 4 + 0.3927)) for a in range(8)),
)
_ROUND: Places = tuple((math.cos(a * math.pi / 6), math.sin(a * math.pi / 6)) for a in range(13))


@dataclass(frozen=True)
class Area:
    """A part of a sheet [units]."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Area) -> bool:
        """Tell whether the two lie over each other."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom

    def holds(self, x: float, y: float) -> bool:
        """Tell whether a place lies in it."""
        return self.left <= x <= self.right and self.top <= y <= self.bottom


def word(data: Mapping[str, Any], said: str) -> str:
    """Give one of a chart's own words in the reader's language, as its `words` bring it."""
    return clean(data.get("words", {}).get(said, said))


def cut_scale(data: Mapping[str, Any]) -> str:
    """Say of a scale that zero is not on it, so that what looks like double need not be."""
    return clean(data.get("words", {}).get("not from zero", "the scale does not begin at zero"))


def mark(sheet: Sheet, places: Places, number: int, hollow: bool = False) -> None:
    """Draw the mark of a series at each of the places (n, 2) [units]; its outline goes by its number."""
    shape = _SHAPES[number % len(_SHAPES)]
    fill = "c-paper" if hollow else ("c-bar", "c-bar2")[number % 2]
    runs = [[(x + dx * _RADIUS, y + dy * _RADIUS) for dx, dy in shape] for x, y in places]
    sheet.line(*runs, fill=fill, width=1.2)


def ring(sheet: Sheet, places: Places, radius: float = 7.0) -> None:
    """Draw a ring round each of the places (n, 2) [units]."""
    runs = [[(x + dx * radius, y + dy * radius) for dx, dy in _ROUND] for x, y in places]
    sheet.line(*runs, stroke="c-outside", width=1.5)


def cross(sheet: Sheet, places: Places, arm: float = 3.5) -> None:
    """Draw a lying cross at each of the places (n, 2) [units]: not taken."""
    strokes = [[(x - arm, y - arm * way), (x + arm, y + arm * way)] for x, y in places for way in (1.0, -1.0)]
    sheet.line(*strokes, width=1.2)


def numbers(sheet: Sheet, ticks: Sequence[tuple[float, str]], y: float, unit: str = "") -> None:
    """Write a scale's numbers under their ticks, each (x, text), and the unit behind the last one.

    y: of the words' line [units]. Where a number or the unit would leave the sheet it moves inwards. A unit
    that would run into the number before is left to the chart's title.
    """
    free = LEFT
    for at, (x, text) in enumerate(ticks):
        wide, told = text_width(text, SMALL), f"{text} {unit}"
        room = RIGHT - text_width(told, SMALL)
        if unit and at == len(ticks) - 1 and room >= free:
            sheet.words(told, min(max(x - wide / 2, LEFT), room), y, size=SMALL)
        else:
            x = min(max(x, LEFT + wide / 2), RIGHT - wide / 2)
            sheet.words(text, x, y, "middle", SMALL)
        free = x + wide / 2 + _BETWEEN
    if not ticks:
        sheet.words(unit, RIGHT, y, "end", SMALL)


@dataclass(frozen=True)
class Entry:
    """What a sign means: the sign, drawn from a left edge and a middle line [units], its text, its room."""

    sign: Callable[[float, float], None]
    text: str
    room: float


def key_below(sheet: Sheet, entries: Iterable[Entry], top: float) -> float:
    """Write a key from `top` on, as many entries on a line as fit; give the height reached [units]."""
    x, bottom = LEFT, top
    for entry in entries:
        lines = wrap(clean(entry.text), RIGHT - LEFT - entry.room, SMALL, 3)
        wide = entry.room + max((text_width(line, SMALL) for line in lines), default=0.0)
        if x > LEFT and x + wide > RIGHT:
            x, top = LEFT, bottom
        entry.sign(x, top + 7)
        for n, line in enumerate(lines):
            sheet.words(line, x + entry.room, top + _ROW * n + 11, size=SMALL)
        bottom = max(bottom, top + _ROW * max(len(lines), 1) + _BETWEEN)
        x += wide + _GAP
    return bottom


def room_for(
    wide: float,
    size: float,
    about: tuple[float, float, float],
    within: Area,
    taken: Iterable[Area],
    lines: Iterable[Places],
) -> Area | None:
    """Give a free place for a figure above, below, right or left of its mark; None where there is none.

    about: the mark's x, y and half its height [units]. taken: what must stay free. lines: runs of points
    that no figure may lie on.
    """
    x, y, off = about
    # at the edge of the area it moves inwards, still above or below its mark
    middle = max(min(x - wide / 2, within.right - wide), within.left + 2)
    right, left_of = x + off, x - off - wide
    over, under, beside = y - off, y + off + size, y + size / 2
    spots = (
        (middle, over), (middle, under), (right, beside), (left_of, beside),
        (left_of, over), (right, under), (left_of, under), (right, over),
    )  # fmt: skip
    busy = list(taken)
    inked = [spot for run in lines for spot in _along(run)]
    for left, bottom in spots:
        place = Area(left, bottom - size, left + wide, bottom)
        inside = within.holds(place.left, place.top) and within.holds(place.right, place.bottom)
        free = not any(place.meets(other) for other in busy)
        if inside and free and not any(place.holds(*spot) for spot in inked):
            return place
    return None


def _along(run: Places) -> Iterable[tuple[float, float]]:
    """Give places along a run, about three units apart."""
    for (x, y), (to_x, to_y) in pairwise(run):
        steps = max(int(math.hypot(to_x - x, to_y - y) // 3), 1)
        yield from ((x + (to_x - x) * n / steps, y + (to_y - y) * n / steps) for n in range(steps + 1))
