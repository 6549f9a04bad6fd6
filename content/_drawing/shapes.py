"""Lines and outlines of the drawings: curves, boxes, circles, and things seen in perspective."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]
Points = Sequence[Point]
Place = tuple[float, float, float]  # in space [m]: forward, to port, up


def box(x: float, y: float, width: float, height: float, round_by: float = 0) -> list[Point]:
    """The outline of an upright rectangle from its upper left corner, its corners rounded if asked."""
    if not round_by:
        return [(x, y), (x + width, y), (x + width, y + height), (x, y + height)]
    r = min(round_by, width / 2, height / 2)
    corners = ((x + r, y + r, 180), (x + width - r, y + r, 270), (x + width - r, y + height - r, 0))
    made: list[Point] = []
    for cx, cy, start in (*corners, (x + r, y + height - r, 90)):
        made += arc(cx, cy, r, r, start, start + 90, 6)
    return made


def arc(x: float, y: float, rx: float, ry: float, start: float, end: float, steps: int = 32) -> list[Point]:
    """Part of an ellipse; angles [degree] run clockwise from three o'clock, as the picture's y runs down."""
    turns = [math.radians(start + (end - start) * i / steps) for i in range(steps + 1)]
    return [(x + rx * math.cos(t), y + ry * math.sin(t)) for t in turns]


def oval(x: float, y: float, rx: float, ry: float | None = None, turn: float = 0) -> list[Point]:
    """A whole ellipse about its centre, a circle without `ry`, turned clockwise [degree]."""
    made = arc(x, y, rx, rx if ry is None else ry, 0, 360, max(24, int(rx / 3)))[:-1]
    return turned(made, (x, y), turn) if turn else made


def turned(points: Points, about: Point, by: float) -> list[Point]:
    """The points turned clockwise about one of them [degree]."""
    c, s = math.cos(math.radians(by)), math.sin(math.radians(by))
    moved = [(x - about[0], y - about[1]) for x, y in points]
    return [(about[0] + x * c - y * s, about[1] + x * s + y * c) for x, y in moved]


def curve(points: Points, closed: bool = False, steps: int = 10) -> list[Point]:
    """A smooth line through all points."""
    p = [points[-1], *points, *points[:2]] if closed else [points[0], *points, points[-1]]
    made: list[Point] = []
    for i in range(1, len(p) - 2):
        for k in range(steps):
            t = k / steps
            made.append(_between(p[i - 1], p[i], p[i + 1], p[i + 2], t))
    return made if closed else [*made, points[-1]]


def _between(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    weights = (-t + 2 * t**2 - t**3, 2 - 5 * t**2 + 3 * t**3, t + 4 * t**2 - 3 * t**3, t**3 - t**2)
    x, y = (sum(w * p[i] for w, p in zip(weights, (a, b, c, d), strict=True)) / 2 for i in (0, 1))
    return (x, y)


def walk(points: Points, step: float) -> list[Point]:
    """Points at even distances along a line of straight pieces, its end included."""
    made, rest = [points[0]], 0.0
    for (ax, ay), (bx, by) in itertools.pairwise(points):
        length = math.hypot(bx - ax, by - ay)
        at = step - rest
        while at <= length:
            made.append((ax + (bx - ax) * at / length, ay + (by - ay) * at / length))
            at += step
        rest = length - (at - step)
    return [*made, points[-1]]


def beside(points: Points, by: float | Sequence[float]) -> list[Point]:
    """The line moved to the right of its direction by a distance, or by one for each point."""
    offsets = [by] * len(points) if isinstance(by, int | float) else by
    made = []
    for i, (x, y) in enumerate(points):
        (ax, ay), (bx, bz) = points[max(0, i - 1)], points[min(len(points) - 1, i + 1)]
        length = math.hypot(bx - ax, bz - ay) or 1
        made.append((x - (bz - ay) / length * offsets[i], y + (bx - ax) / length * offsets[i]))
    return made


def band(points: Points, first: float, second: float) -> list[Point]:
    """The outline of a strip along a line, between two distances beside it."""
    return [*beside(points, first), *reversed(beside(points, second))]


def polar(centre: Point, radius: float, angle: float) -> Point:
    """The point at a distance and an angle [degree], clockwise from three o'clock."""
    turn = math.radians(angle)
    return (centre[0] + radius * math.cos(turn), centre[1] + radius * math.sin(turn))


def star(centre: Point, radius: float, corners: int, turn: float = 0) -> list[Point]:
    """A regular shape of so many corners: six make a bolt's head."""
    return [polar(centre, radius, turn + 360 * i / corners) for i in range(corners)]


def around(points: Points) -> list[Point]:
    """The outline that a rubber band round the points would take."""
    rest = sorted(set(points))
    sides: list[list[Point]] = []
    for row in (rest, rest[::-1]):
        side: list[Point] = []
        for p in row:
            while len(side) > 1 and _turns_in(side[-2], side[-1], p):
                side.pop()
            side.append(p)
        sides.append(side[:-1])
    return [*sides[0], *sides[1]]


def _turns_in(a: Point, b: Point, c: Point) -> bool:
    return (b[0] - a[0]) * (c[1] - a[1]) <= (b[1] - a[1]) * (c[0] - a[0])


@dataclass(frozen=True)
class View:
    """Where a thing in space is looked at from.

    eye, target: places [m]. scale: picture units per metre at 1 m. centre: where the target comes to lie.
    """

    eye: Place
    target: Place
    scale: float
    centre: Point = (800, 585)

    def at(self, place: Place) -> Point:
        """Where a place in space comes to lie in the picture; near things are larger."""
        ahead = _unit(_minus(self.target, self.eye))
        right = _unit(_cross(ahead, (0, 0, 1)))
        up = _cross(right, ahead)
        to = _minus(place, self.eye)
        depth = _dot(to, ahead)
        return (
            self.centre[0] + self.scale * _dot(to, right) / depth,
            self.centre[1] - self.scale * _dot(to, up) / depth,
        )

    def line(self, places: Sequence[Place]) -> list[Point]:
        """Many places at once."""
        return [self.at(p) for p in places]

    def wheel(self, hub: Place, radius: float) -> list[Point]:
        """A circle that stands along the boat, as a wheel does."""
        turns = [math.radians(15 * i) for i in range(24)]
        return [
            self.at((hub[0] + radius * math.cos(t), hub[1], hub[2] + radius * math.sin(t))) for t in turns
        ]


def _minus(a: Place, b: Place) -> Place:
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _dot(a: Place, b: Place) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Place, b: Place) -> Place:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _unit(a: Place) -> Place:
    length = math.sqrt(_dot(a, a))
    return (a[0] / length, a[1] / length, a[2] / length)
