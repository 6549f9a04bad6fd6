"""Draws readings by place on a plan of the hull: a cell for each place, its value in it, shaded by value.

Columns run along the hull, the bow on the left; where they would get too narrow for their words the plan is
cut into strips below one another. Five steps of hatching and grey go from the least value to the greatest;
the key below gives the least and the greatest value printed in each step. A place that wasn't taken has a
cross and no shade.

Data:

    columns    tuple of str (m,), places along the hull, bow first, or frames
    rows       tuple of str (n,), places across, port first, or heights
    unit       the unit of all values: "mm"; may be empty
    values     tuple (n,) of tuples (m,) of float or None [unit]
    printed    tuples of str, shaped as the values: each value as the report prints it
    outside    tuple of (row, column) labels of the cells that are outside: a thick frame, a bold value
    marked     optional, tuple of (row, column) labels of the cells with a ring
    mark       what the ring means: "more than 10 above the dry reference"
    outline    optional, what is drawn behind: "hull" or "deck" (pointed bow), "transom" (round corners), ""
    reference  optional, {label: str, value: float [unit], printed: optional str}, a value to compare with
    scale      optional, (low, high) [unit] that the steps have to span, to compare with other charts
    words      optional, {"not taken": ..., "outside": ...} in the reader's language
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, shorten, text_width, wrap
from reportgen.signs import Area, Entry, cross, key_below, word

_MOST_COLUMNS, _LEAST_COLUMNS = 12, 3
_MOST_LABEL, _MOST_CELL, _LOW_CELL = 92.0, 84.0, 25.0
_LINE, _GAP, _BOW, _STERN, _ROUND = 13.0, 5.0, 24.0, 6.0, 5.0
# fill, stroke, hatching: from the least to the greatest
_STEPS = (
    ("c-paper", "", ""),
    ("c-paper", "c-ink", "//"),
    ("c-bar2", "", ""),
    ("c-bar2", "c-ink", "////"),
    ("c-bar", "", ""),
)


@dataclass(frozen=True)
class _Cell:
    """A place: its value and whether it has a frame or a ring."""

    value: float | None
    printed: str
    outside: bool
    marked: bool


@dataclass(frozen=True)
class _Plan:
    """How the cells are laid on the sheet: columns in a strip, room for rows' labels, edges [units]."""

    count: int
    room: float
    left: float
    width: float
    heights: tuple[float, ...]


def draw(chart: Chart, key: str) -> str:
    """Give the plan as an `<svg>` element; every id in it begins with `key`.

    Raises ValueError when values or printed values don't match rows and columns, or when what is outside or
    marked is no cell.
    """
    data = chart.data
    cells = _cells(data)
    plan, step = _plan(data, cells), _stepping(data)
    sheet = Sheet()
    sheet.words(shorten(clean(data["unit"]), RIGHT - LEFT, SMALL), LEFT, 11, size=SMALL)
    y = 15.0 if clean(data["unit"]) else 2.0
    for first in range(0, len(data["columns"]), plan.count):
        y = _strip(sheet, data, cells, plan, step, (first, y))
    y = key_below(sheet, _key(sheet, data, cells, step), y + 2)
    return sheet.svg(max(y + 2, 20.0), chart.title, chart.alt, key)


def _cells(data: Mapping[str, Any]) -> tuple[tuple[_Cell, ...], ...]:
    """Give the cells row by row."""
    rows, columns = data["rows"], data["columns"]
    shapes = [tuple(len(row) for row in data[name]) for name in ("values", "printed")]
    if shapes != [(len(columns),) * len(rows)] * 2:
        raise ValueError(f"{len(rows)} rows of {len(columns)} columns need as many values and printed values")
    outside, marked = set(data["outside"]), set(data.get("marked", ()))
    if strange := (outside | marked) - {(row, column) for row in rows for column in columns}:
        raise ValueError(f"there is no cell {sorted(strange)[0]}")
    return tuple(
        tuple(
            _Cell(value, clean(text), (row, column) in outside, (row, column) in marked)
            for column, value, text in zip(columns, values, printed, strict=True)
        )
        for row, values, printed in zip(rows, data["values"], data["printed"], strict=True)
    )


def _taken(cells: Sequence[Sequence[_Cell]]) -> Iterator[_Cell]:
    yield from (cell for row in cells for cell in row if cell.value is not None)


def _stepping(data: Mapping[str, Any]) -> Callable[[float], int]:
    """Give the function from a value to its step, all steps equally wide."""
    every = [v for row in data["values"] for v in row if v is not None] + list(data.get("scale") or ())
    every += [data["reference"]["value"]] if data.get("reference") else []
    low, high = min(every, default=0.0), max(every, default=0.0)

    def step(value: float) -> int:
        return min(int((value - low) / (high - low) * len(_STEPS)), len(_STEPS) - 1) if high > low else 0

    return step


def _plan(data: Mapping[str, Any], cells: Sequence[Sequence[_Cell]]) -> _Plan:
    """Give every strip as many columns as stay wide enough for their words."""
    labels = [clean(row) for row in data["rows"]]
    room = min(max((text_width(t, SMALL) for t in labels), default=0.0), _MOST_LABEL)
    heights = tuple(max(_LOW_CELL, _LINE * len(wrap(t, room, SMALL)) + 4) for t in labels)
    outline = data.get("outline")
    before = {"hull": _BOW, "deck": _BOW, "transom": _ROUND}.get(outline or "", 0.0)
    left = LEFT + room + _GAP + before
    whole = RIGHT - (_STERN + 1 if before else 1) - left
    widest = max((_plate(cell) for cell in _taken(cells)), default=0.0) + 3
    most = max(min(_MOST_COLUMNS, int(whole // widest)), 1)
    while most > _LEAST_COLUMNS and not all(_fits(c, whole / most - 2) for c in data["columns"]):
        most -= 1
    columns = max(len(data["columns"]), 1)
    count = ceil(columns / ceil(columns / most))
    return _Plan(count, room, left, min(whole / count, _MOST_CELL), heights)


def _plate(cell: _Cell) -> float:
    """Give the width of the pale plate on which a value stands [units]."""
    return text_width(cell.printed, SMALL, cell.outside) + (10 if cell.marked else 3)


def _fits(label: str, room: float) -> bool:
    return " ".join(wrap(clean(label), room, SMALL)) == clean(label)


def _strip(
    sheet: Sheet,
    data: Mapping[str, Any],
    cells: Sequence[Sequence[_Cell]],
    plan: _Plan,
    step: Callable[[float], int],
    at: tuple[int, float],
) -> float:
    """Draw the columns from the first of `at` on, below the height of `at`; give the height reached."""
    first, y = at
    columns = data["columns"][first : first + plan.count]
    names = [wrap(clean(c), plan.width - 2, SMALL) for c in columns]
    y += _LINE * max(map(len, names), default=0) + 1
    for n, lines in enumerate(names):
        for up, line in enumerate(reversed(lines)):
            sheet.words(line, plan.left + (n + 0.5) * plan.width, y - up * _LINE - 3, "middle", SMALL)
    y += _ROUND if data.get("outline") else 0
    area = Area(plan.left, y, plan.left + plan.width * len(columns), y + sum(plan.heights))
    whole = (first == 0, first + plan.count >= len(data["columns"]))
    _outline(sheet, data.get("outline") or "", area, whole)
    places = []
    for label, row, height in zip(data["rows"], cells, plan.heights, strict=True):
        lines = wrap(clean(label), plan.room, SMALL)
        for n, line in enumerate(lines):
            middle = y + height / 2 + (n - (len(lines) - 1) / 2) * _LINE
            sheet.words(line, LEFT, middle + 4, size=SMALL)
        for n, cell in enumerate(row[first : first + plan.count]):
            left = plan.left + n * plan.width
            places.append((Area(left, y, left + plan.width, y + height), cell))
        y += height
    _paint(sheet, area, places, step)
    return y + _GAP + (_ROUND if data.get("outline") else 0)


def _outline(sheet: Sheet, outline: str, area: Area, whole: tuple[bool, bool]) -> None:
    """Draw the hull or the transom round the cells; a strip that goes on is open on that side."""
    if outline not in ("hull", "deck", "transom"):
        return
    top, middle = area.top - _ROUND, (area.top + area.bottom) / 2
    left = [(area.left, top)]
    if whole[0] and outline == "transom":
        left = [(area.left - _ROUND, middle), (area.left - _ROUND, area.top), (area.left, top)]
    elif whole[0]:
        # a bow in plan: the half beam grows fast at first, then ever less
        share = [n / 8 for n in range(9)]
        tip, half = area.left - _BOW + 2, middle - top
        left = [(tip + (area.left - tip) * t, middle - half * (1 - (1 - t) ** 1.8)) for t in share]
    right = [(area.right, top)]
    if whole[1]:
        right = [(area.right, top), (area.right + _STERN, area.top + _ROUND), (area.right + _STERN, middle)]
    upper = [*left, *right]
    lower = [(x, 2 * middle - y) for x, y in upper]
    sheet.line(upper, lower, stroke="c-soft", width=2.5)


def _paint(
    sheet: Sheet, area: Area, places: Sequence[tuple[Area, _Cell]], step: Callable[[float], int]
) -> None:
    """Shade the cells, rule them, write their values on pale plates, and draw frames, rings and crosses."""
    taken = [(a, cell, step(cell.value)) for a, cell in places if cell.value is not None]
    # the first step is the paper itself
    for number in range(1, len(_STEPS)):
        # a frame stays apart from a dark shade
        _shade(sheet, [_inside(a, 4.0 if c.outside else 0.0) for a, c, n in taken if n == number], number)
    rows = sorted({a.top for a, _ in places} | {area.bottom})
    columns = sorted({a.left for a, _ in places} | {area.right})
    across = ([(area.left, y), (area.right, y)] for y in rows)
    sheet.line(*across, *([(x, area.top), (x, area.bottom)] for x in columns), stroke="c-soft", width=0.8)
    sheet.line(*(_frame(_inside(a, 1.5)) for a, c, _ in taken if c.outside), stroke="c-outside", width=2.2)
    plates = [(_middle(a, min(_plate(c), a.right - a.left - 3), 14.0), c, n) for a, c, n in taken]
    sheet.line(*(_box(p) for p, c, n in plates if n and not c.marked), stroke="", fill="c-paper")
    rings = [_pill(_inside(p, -1)) for p, c, _ in plates if c.marked]
    sheet.line(*rings, stroke="c-limit", width=1.6, fill="c-paper")
    cross(sheet, [_centre(a) for a, cell in places if cell.value is None])
    for a, cell, _ in taken:
        x, y = _centre(a)
        text = shorten(cell.printed, a.right - a.left - 3, SMALL, cell.outside)
        sheet.words(text, x, y + 4, "middle", SMALL, cell.outside)


def _shade(sheet: Sheet, areas: Sequence[Area], number: int) -> None:
    fill, stroke, hatch = _STEPS[number]
    sheet.line(*map(_box, areas), fill=fill, stroke=stroke, hatch=hatch, width=0.0)


def _box(area: Area) -> list[tuple[float, float]]:
    left, right = area.left, area.right
    return [(left, area.top), (right, area.top), (right, area.bottom), (left, area.bottom)]


def _frame(area: Area) -> list[tuple[float, float]]:
    return [*_box(area), (area.left, area.top)]


def _pill(area: Area) -> list[tuple[float, float]]:
    middle = (area.top + area.bottom) / 2
    upper = [(area.left, middle), (area.left + 3, area.top), (area.right - 3, area.top), (area.right, middle)]
    return [*upper, (area.right - 3, area.bottom), (area.left + 3, area.bottom)]


def _inside(area: Area, by: float) -> Area:
    return Area(area.left + by, area.top + by, area.right - by, area.bottom - by)


def _centre(area: Area) -> tuple[float, float]:
    return (area.left + area.right) / 2, (area.top + area.bottom) / 2


def _middle(area: Area, width: float, height: float) -> Area:
    x, y = _centre(area)
    return Area(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _swatch(sheet: Sheet, number: int) -> Callable[[float, float], None]:
    def sign(x: float, y: float) -> None:
        area = Area(x, y - 5, x + 16, y + 5)
        if number:
            _shade(sheet, [area], number)
        sheet.line(_frame(area), width=0.8)

    return sign


def _key(
    sheet: Sheet, data: Mapping[str, Any], cells: Sequence[Sequence[_Cell]], step: Callable[[float], int]
) -> Iterator[Entry]:
    """Give the meaning of each step, of frames, rings and crosses, and the value to compare with."""

    def frame(x: float, y: float) -> None:
        sheet.line(_frame(Area(x, y - 6, x + 18, y + 6)), stroke="c-outside", width=2.2)

    def ringed(x: float, y: float) -> None:
        sheet.line(_pill(Area(x, y - 6, x + 18, y + 6)), stroke="c-limit", width=1.6, fill="c-paper")

    for number, text in _ranges(cells, step):
        yield Entry(_swatch(sheet, number), text, 20.0)
    taken = list(_taken(cells))
    if any(c.outside for c in taken):
        yield Entry(frame, word(data, "outside"), 23.0)
    if any(c.marked for c in taken):
        yield Entry(ringed, data.get("mark", ""), 23.0)
    if len(taken) < sum(map(len, cells)):
        yield Entry(lambda x, y: cross(sheet, [(x + 5, y)]), word(data, "not taken"), 14.0)
    if told := data.get("reference"):
        value = clean(told.get("printed") or f"{told['value']:g}")
        yield Entry(_swatch(sheet, step(told["value"])), f"{clean(told['label'])}: {value}", 20.0)


def _ranges(cells: Sequence[Sequence[_Cell]], step: Callable[[float], int]) -> Iterator[tuple[int, str]]:
    """Give each step that is there with the least and the greatest of its values, as they are printed."""
    found: dict[int, list[_Cell]] = {}
    for cell in sorted(_taken(cells), key=lambda c: c.value or 0.0):
        found.setdefault(step(cell.value or 0.0), []).append(cell)
    for number, ranged in found.items():
        texts = dict.fromkeys((ranged[0].printed, ranged[-1].printed))
        yield number, "–".join(texts)
