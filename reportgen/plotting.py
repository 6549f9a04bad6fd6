"""Lays out lines of values in panels below one another, with their marks, names and limits.

charts/curve.py and charts/trend.py read their data into `Panel` and `Across` and let `draw` do the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from reportgen import scales
from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, shorten, text_width, wrap
from reportgen.signs import Area, Entry, cross, cut_scale, key_below, mark, ring, room_for, word

_HEIGHT, _HEAD, _LINE, _EDGE, _OVER, _STRIP = 104.0, 16.0, 13.0, 9.0, 21.0, 12.0
_MOST_NAME, _MOST_TICK = 76.0, 60.0
_MOST_LABELS = 8
_DASHES: tuple[tuple[float, ...], ...] = ((), (5, 3), (2, 2), (8, 3, 2, 3))
_LIMIT_DASHES: tuple[tuple[float, ...], ...] = ((5, 3), (2, 3), (9, 3, 2, 3))

Ticks = Callable[[float, float], Sequence[tuple[float, str]]]


@dataclass(frozen=True)
class Point:
    """A value: where it stands along the common axis, what was found there (None: not taken), as printed.

    below: y is only the figure under which the value lies.
    """

    x: float
    y: float | None
    printed: str
    below: bool = False
    outside: bool = False


@dataclass(frozen=True)
class Series:
    """Values that belong together, in the order of the common axis."""

    name: str
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Panel:
    """Series on one scale; low and high are its ends, which hold all values and limits [unit]."""

    name: str
    unit: str
    series: tuple[Series, ...]
    limits: tuple[Mapping[str, Any], ...]
    low: float
    high: float

    @property
    def taken(self) -> tuple[Point, ...]:
        """Give the points with a value."""
        return tuple(p for s in self.series for p in s.points if p.y is not None)


@dataclass(frozen=True)
class Across:
    """The common axis: its name, its ends, its ticks, and a range on it that is hatched if there is one.

    name: empty where the ticks tell it, as dates do. ends: None where nothing stands on it.
    """

    name: str
    ends: tuple[float, float] | None
    ticks: Ticks
    band: Mapping[str, Any] | None = None


def panels(
    data: Mapping[str, Any], point: Callable[[Sequence[Any], bool], Point], size: int
) -> tuple[Panel, ...]:
    """Read a chart's panels.

    point: makes one of a point's values and whether it is outside. size: how many values a point has.
    Raises ValueError when a point has another number of values, when what is outside is no point, or when
    the scales are not one a panel.
    """
    given = data.get("scales") or (None,) * len(data["panels"])
    if len(given) != len(data["panels"]):
        raise ValueError(f"{len(data['panels'])} panels need as many scales, or none")
    found = tuple(_panel(p, s, point, size) for p, s in zip(data["panels"], given, strict=True))
    from_zero = {panel.unit for panel in found if panel.low == 0}
    return tuple(replace(p, low=0.0) if p.low > 0 and _asks_zero(p, from_zero) else p for p in found)


def _asks_zero(panel: Panel, units: Collection[str]) -> bool:
    """Tell whether a scale begins at zero: where one of its unit does, or something was below detection."""
    return panel.unit in units or any(point.below for point in panel.taken)


def _panel(
    told: Mapping[str, Any],
    scale: Sequence[float] | None,
    point: Callable[[Sequence[Any], bool], Point],
    size: int,
) -> Panel:
    rows = [(s["name"], p) for s in told["series"] for p in s["points"]]
    if wrong := [p for _, p in rows if len(p) != size]:
        raise ValueError(f"a point has {size} values, {wrong[0]!r} has not")
    outside = {(name, x) for name, x in told["outside"]}
    if strange := outside - {(name, p[0]) for name, p in rows}:
        raise ValueError(f"there is no point {sorted(map(str, strange))[0]} that could be outside")
    series = []
    for each in told["series"]:
        points = [point(p, (each["name"], p[0]) in outside) for p in each["points"]]
        series.append(Series(each["name"], tuple(sorted(points, key=lambda p: p.x))))
    every = [p.y for s in series for p in s.points if p.y is not None]
    every += [limit["value"] for limit in told["limits"]] + list(scale or ())
    return Panel(told["name"], told["unit"], tuple(series), tuple(told["limits"]), *scales.ends(every))


def reach(
    every: Iterable[Panel], band: Mapping[str, Any] | None, scale: Sequence[float] | None
) -> tuple[float, float] | None:
    """Give the ends of the common axis, which hold all points, the range and the scale; None without any."""
    xs = [p.x for panel in every for s in panel.series for p in s.points]
    xs += [e for e in ((band or {}).get("low"), (band or {}).get("high")) if e is not None]
    xs += list(scale or ())
    return (min(xs), max(xs)) if xs else None


@dataclass(frozen=True)
class _Frame:
    """Where a panel stands on the sheet [units], and how its values and the common axis are laid on it."""

    panel: Panel
    across: Across
    area: Area

    def x(self, value: float) -> float:
        low, high = self.across.ends or (0.0, 0.0)
        left, right = self.area.left + _EDGE, self.area.right - _EDGE
        return left + (value - low) / (high - low) * (right - left) if high > low else (left + right) / 2

    def y(self, value: float) -> float:
        low, high = self.panel.low, self.panel.high
        # room for a figure over the highest mark
        top = self.area.top + (_OVER if high else 0.0)
        bottom = self.area.bottom - (_EDGE if low else 0.0)
        return bottom - (value - low) / (high - low) * (bottom - top)

    def at(self, point: Point) -> tuple[float, float]:
        """Give where a point with a value stands."""
        return self.x(point.x), self.y(point.y or 0.0)


def draw(chart: Chart, key: str, found: Sequence[Panel], across: Across) -> str:
    """Give the panels as an `<svg>` element; every id in it begins with `key`."""
    sheet = Sheet()
    left, right = _gutter(found), RIGHT - _names_room(found)
    y = bottom = 0.0
    for panel in found:
        y = _head(sheet, chart.data, panel, y)
        height = max(_HEIGHT, sum(_LINE * len(_name(s)) for s in panel.series))
        frame = _Frame(panel, across, Area(left, y, right, y + height))
        _ground(sheet, frame)
        _values(sheet, frame)
        if _named(panel):
            _names(sheet, frame)
        bottom = y + height + _STRIP * any(p.y is None for s in panel.series for p in s.points)
        y = bottom + _LINE
    y = _foot(sheet, across, Area(left, 0.0, right, bottom))
    y = key_below(sheet, _signs(sheet, chart.data, found, across), y + 4)
    return sheet.svg(max(y, 20.0), chart.title, chart.alt, key)


def _y_ticks(panel: Panel) -> Sequence[tuple[float, str]]:
    return scales.ticks(panel.low, panel.high, 4) if panel.taken or panel.limits else ()


def _gutter(found: Sequence[Panel]) -> float:
    """Give where the panels begin: right of the widest number of a scale."""
    widest = max((text_width(t, SMALL) for panel in found for _, t in _y_ticks(panel)), default=14.0)
    return LEFT + min(widest, _MOST_TICK) + 5


def _name(series: Series) -> tuple[str, ...]:
    return wrap(clean(series.name), _MOST_NAME, SMALL)


def _named(panel: Panel) -> bool:
    """Tell whether a panel's series need their names: a lone one called like the panel does not."""
    return len(panel.series) > 1 or any(s.name.casefold() != panel.name.casefold() for s in panel.series)


def _names_room(found: Sequence[Panel]) -> float:
    """Give the room for the series' names at the ends of their lines."""
    lines = [line for p in found if _named(p) for s in p.series for line in _name(s)]
    return max(text_width(line, SMALL) for line in lines) + 15 if lines else _EDGE


def _head(sheet: Sheet, data: Mapping[str, Any], panel: Panel, y: float) -> float:
    """Write a panel's name and unit, where its scale is cut, its limits; give the height reached [units]."""
    said = ", ".join(t for t in (clean(panel.name), clean(panel.unit)) if t)
    lines = wrap(said, RIGHT - LEFT, bold=True)
    for line in lines:
        y += _HEAD
        sheet.words(line, LEFT, y - 4, bold=True)
    if _y_ticks(panel) and not panel.low <= 0 <= panel.high:
        cut = shorten(cut_scale(data), RIGHT - LEFT, SMALL)
        x = LEFT + text_width(lines[-1], bold=True) + 10 if lines else RIGHT
        if x + text_width(cut, SMALL) > RIGHT:
            x, y = LEFT, y + _LINE
        sheet.words(cut, x, y - 4, size=SMALL)
    entries = []
    for n, limit in enumerate(panel.limits):

        def sample(x: float, middle: float, dash: tuple[float, ...] = _limit_dash(n)) -> None:
            sheet.line([(x, middle), (x + 18, middle)], stroke="c-limit", width=1.5, dash=dash)

        label, side = clean(limit["label"]), word(data, limit["side"])
        entries.append(
            Entry(sample, label if side.casefold() in label.casefold() else f"{side} {label}", 22.0)
        )
    return key_below(sheet, entries, y) + 4


def _limit_dash(number: int) -> tuple[float, ...]:
    return _LIMIT_DASHES[number % len(_LIMIT_DASHES)]


def _ground(sheet: Sheet, frame: _Frame) -> None:
    """Draw what lies behind the values: the range, the scale, the axes and the limits."""
    area = frame.area
    if band := frame.across.band:
        left = area.left if band["low"] is None else frame.x(band["low"])
        right = area.right if band["high"] is None else frame.x(band["high"])
        _range(sheet, Area(left, area.top, right, area.bottom), band)
    levels = [(frame.y(value), text) for value, text in _y_ticks(frame.panel)]
    sheet.line(*([(area.left, y), (area.right, y)] for y, _ in levels), stroke="c-soft", width=0.8)
    for y, text in levels:
        sheet.words(shorten(text, _MOST_TICK, SMALL), area.left - 5, y + 4, "end", SMALL)
    corners = [(area.left, area.top), (area.left, area.bottom), (area.right, area.bottom)]
    feet = ([(frame.x(x), area.bottom), (frame.x(x), area.bottom + 3)] for x, _ in _shown(frame.across, area))
    sheet.line(corners, *feet)
    for n, limit in enumerate(frame.panel.limits):
        y = frame.y(limit["value"])
        sheet.line([(area.left, y), (area.right, y)], stroke="c-limit", width=1.5, dash=_limit_dash(n))


def _range(sheet: Sheet, area: Area, band: Mapping[str, Any]) -> None:
    """Hatch a range of the common axis; an open side has no edge."""
    sheet.box(area.left, area.top, area.right - area.left, area.bottom - area.top, "c-paper", "c-soft", "//")
    edges = [x for x, side in ((area.left, "low"), (area.right, "high")) if band[side] is not None]
    sheet.line(*([(x, area.top), (x, area.bottom)] for x in edges), stroke="c-limit")


def _shown(across: Across, area: Area) -> list[tuple[float, str]]:
    """Give the ticks of the common axis whose words keep off each other and on the sheet."""
    frame, kept, free = _Frame(Panel("", "", (), (), 0, 1), across, area), [], LEFT
    for value, text in across.ticks(*across.ends) if across.ends else ():
        middle, half = frame.x(value), text_width(text, SMALL) / 2
        if middle - half >= free and middle + half <= RIGHT:
            kept.append((value, text))
            free = middle + half + 6
    return kept


def _runs(frame: _Frame, series: Series) -> list[list[tuple[float, float]]]:
    """Give a series' line, parted where a value wasn't taken."""
    runs: list[list[tuple[float, float]]] = [[]]
    for point in series.points:
        if point.y is None:
            runs.append([])
        else:
            runs[-1].append(frame.at(point))
    return [run for run in runs if run]


def _values(sheet: Sheet, frame: _Frame) -> None:
    """Draw lines, marks, rings and crosses, and the figures that find room."""
    series = frame.panel.series
    for n, each in enumerate(series):
        runs = [run for run in _runs(frame, each) if len(run) > 1]
        sheet.line(*runs, width=1.5, dash=_DASHES[n % len(_DASHES)])
    for n, each in enumerate(series):
        for below in (False, True):
            points = [frame.at(p) for p in each.points if p.y is not None and p.below == below]
            mark(sheet, points, n, hollow=below)
    rings = [frame.at(p) for p in frame.panel.taken if p.outside]
    ring(sheet, rings)
    _gaps(sheet, frame)
    _figures(sheet, frame)


def _gaps(sheet: Sheet, frame: _Frame) -> None:
    """Draw a cross below the axis where a value wasn't taken: there nothing can be read off as a value."""
    taken: dict[float, int] = {}
    y, several = frame.area.bottom + 8, len(frame.panel.series) > 1
    middle = (frame.area.left + frame.area.right) / 2
    for n, each in enumerate(frame.panel.series):
        places = []
        for point in each.points:
            if point.y is None:
                beside = taken[point.x] = taken.get(point.x, -1) + 1
                x = frame.x(point.x)
                # several stand side by side, towards the middle
                places.append((x + (11 if x < middle else -11) * beside, y))
        # among several the crossed-out mark tells whose value it is
        if several:
            mark(sheet, places, n, hollow=True)
        cross(sheet, places, 5.0 if several else 3.5)


def _figures(sheet: Sheet, frame: _Frame) -> None:
    """Print values beside their marks, those outside first, where nothing lies; a table has all."""
    taken: list[Area] = [Area(x - 5, y - 5, x + 5, y + 5) for x, y in map(frame.at, frame.panel.taken)]
    runs = [run for s in frame.panel.series for run in _runs(frame, s)]
    across = (frame.area.left, frame.area.right)
    runs += [[(x, frame.y(limit["value"])) for x in across] for limit in frame.panel.limits]
    edges = [(frame.across.band or {}).get(side) for side in ("low", "high")]
    down = (frame.area.top, frame.area.bottom)
    runs += [[(frame.x(edge), y) for y in down] for edge in edges if edge is not None]
    for point in sorted(_to_print(frame.panel), key=lambda p: (not p.outside, not p.below, p.x)):
        text = clean(point.printed)
        text = text if not point.below or text.startswith("<") else f"<{text}"
        wide = text_width(text, SMALL, point.outside)
        x, y = frame.at(point)
        about = (x, y, 9.0 if point.outside else 6.0)
        place = room_for(wide, SMALL, about, frame.area, taken, runs)
        if point.outside and not place:
            place = room_for(wide, SMALL, about, frame.area, taken, ())
        # "<0.1" between two open marks could be of either; they are alike, and the table has all
        if place and (point.outside or not point.below or place.left <= x <= place.right):
            sheet.words(text, place.left, place.bottom - 2, "start", SMALL, point.outside)
            taken.append(place)


def _to_print(panel: Panel) -> Sequence[Point]:
    """Give all points of a panel that has few, else those that tell most."""
    if len(panel.taken) <= _MOST_LABELS:
        return panel.taken
    kept = [p for p in panel.taken if p.outside or p.below]
    for series in panel.series:
        points = [p for p in series.points if p.y is not None]
        for most in (max, min):
            kept += [p for p in [most(points, key=lambda p: p.y or 0.0, default=None)] if p]
    return list(dict.fromkeys(kept))


def _names(sheet: Sheet, frame: _Frame) -> None:
    """Write each series' name with its mark at the end of its line, all kept apart."""
    area, placed = frame.area, []
    for n, series in enumerate(frame.panel.series):
        ends = [frame.at(p)[1] for p in series.points if p.y is not None]
        placed.append((ends[-1] if ends else area.bottom, n, _name(series)))
    placed.sort()
    left = sum(_LINE * len(lines) for _, _, lines in placed)
    free = area.top
    for y, n, lines in placed:
        tall = _LINE * len(lines)
        top = min(max(y - tall / 2, free), area.bottom - left)
        mark(sheet, [(area.right + 6, top + _LINE / 2)], n)
        for number, line in enumerate(lines):
            sheet.words(line, area.right + 14, top + _LINE * number + 10, size=SMALL)
        free, left = top + tall, left - tall


def _foot(sheet: Sheet, across: Across, area: Area) -> float:
    """Write the numbers and the name of the common axis; give the height reached [units]."""
    shown = _shown(across, area)
    frame = _Frame(Panel("", "", (), (), 0, 1), across, area)
    for value, text in shown:
        sheet.words(text, frame.x(value), area.bottom + 14, "middle", SMALL)
    y = area.bottom + (28 if shown and across.name else 14)
    sheet.words(shorten(clean(across.name), RIGHT - LEFT, SMALL), (LEFT + RIGHT) / 2, y, "middle", SMALL)
    return y + 4


def _signs(sheet: Sheet, data: Mapping[str, Any], found: Sequence[Panel], across: Across) -> list[Entry]:
    """Give the key of what is drawn: the range, outside, below detection, not taken."""
    points = [p for panel in found for s in panel.series for p in s.points]
    entries = []
    if band := across.band:
        entries.append(
            Entry(lambda x, y: _range(sheet, Area(x, y - 5, x + 18, y + 5), band), band["label"], 22.0)
        )
    if any(p.outside and p.y is not None for p in points):
        entries.append(Entry(lambda x, y: ring(sheet, [(x + 7, y)]), word(data, "outside"), 18.0))
    if any(p.below and p.y is not None for p in points):
        said = word(data, "below detection")
        entries.append(Entry(lambda x, y: mark(sheet, [(x + 5, y)], 0, hollow=True), f"< {said}", 14.0))
    if any(p.y is None for p in points):
        entries.append(Entry(lambda x, y: cross(sheet, [(x + 5, y)]), word(data, "not taken"), 14.0))
    return entries
