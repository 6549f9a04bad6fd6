"""Draws one bar or two for each thing measured, with its value and the limits it is judged by.

The bars lie, one row a label, so that sixteen rows and long labels stay legible on a phone. They
start at zero. A value that wasn't taken is told by word in the bar's place, never as a zero bar.
A label outside its limits has hatched bars, bold values and the word "outside".

Data:

    labels    tuple of str (n,), one a row
    axis      what the labels are: "Cylinder"
    unit      the unit of all values: "psi"
    series    tuple of {name: str, values: tuple of float or None (n,) [unit]}; one, or two drawn in pairs
    printed   tuple of tuples of str, shaped as the values: each value as the report prints it; empty in
              the second series where nobody meant to take one, such as oil in a cylinder that is not low
    limits    tuple of {value: float [unit], label: str, side: "minimum" or "maximum", source: str}; the
              label holds the limit as printed and ends with its source; `source` is optional, and one that
              all limits have is written once, above them
    outside   tuple of the labels that are outside
    scale     optional, (low, high) [unit] that the scale has to hold, to compare with other charts
    room      optional, {outside: bool, figures: int}: whether the word "outside" needs room in any of those
              charts, and how many signs the longest value has in them, so that equal bars are equally long
    words     optional, {"not taken": ..., "outside": ..., "minimum": ..., "maximum": ...,
              "by source": ...} in the reader's language
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from reportgen import scales
from reportgen.chart import Chart
from reportgen.drawing import (
    LEFT,
    RIGHT,
    SMALL,
    Sheet,
    clean,
    shorten,
    text_width,
    wrap,
    wrap_evenly,
)
from reportgen.signs import numbers

_GAP = 6.0
_MOST_LINES = 6  # of a limit's label
_LINE = 14.0
_PITCH = {1: 12.0, 2: 14.0}
_THICK = {1: 11.0, 2: 9.0}
_FILL = ("c-bar", "c-bar2")
_HATCH = ("///", "//")
_MOST_LABELS, _LEAST_LABELS, _LEAST_PLOT = 108.0, 40.0, 80.0
_BY_SOURCE = "{source}:"  # above the limits that it is the source of


def draw(chart: Chart, key: str) -> str:
    """Give the bars as an `<svg>` element; every id in it begins with `key`.

    Raises ValueError when the values or the printed values don't match the labels.
    """
    data = chart.data
    _check(data)
    columns = _Columns.of(data)
    sheet = Sheet()
    top = _head(sheet, columns, data)
    limits, top = _limit_labels(sheet, columns, data, top)
    rows = _rows(columns, data, top)
    bottom = rows[-1].bottom if rows else top
    _bars(sheet, columns, data, rows)
    _limit_lines(sheet, columns, limits, bottom)
    _values(sheet, columns, data, rows)
    return sheet.svg(_axis(sheet, columns, data, top, bottom), chart.title, chart.alt, key)


def _check(data: Mapping[str, Any]) -> None:
    count = len(data["labels"])
    shapes = [len(s["values"]) for s in data["series"]] + [len(p) for p in data["printed"]]
    if len(data["series"]) not in (1, 2) or shapes != [count] * 2 * len(data["series"]):
        raise ValueError(f"{count} labels need one or two series of {count} values and printed values")


def _word(data: Mapping[str, Any], word: str) -> str:
    return clean(data.get("words", {}).get(word, word))


def _outside(data: Mapping[str, Any]) -> str:
    return shorten(_word(data, "outside"), 90, SMALL)


@dataclass(frozen=True)
class _Columns:
    """Where things stand across the sheet [units] and what a value is worth.

    labels: width of the labels' column.
    start, end: of the plot.
    name, value, mark: where a series' name begins, a value ends, the word "outside" begins.
    room: width of the values' column.
    low, high: the values at `start` and `end`, zero between them.
    """

    labels: float
    start: float
    end: float
    name: float
    room: float
    value: float
    mark: float
    low: float
    high: float

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> _Columns:
        """Give every column the room that its words need, the plot the rest."""
        mark = value = RIGHT
        room = data.get("room", {"outside": False, "figures": 0})
        if data["outside"] or room["outside"]:
            mark -= text_width(_outside(data), SMALL)
            value = mark - _GAP
        named = (
            max(text_width(_name(s), SMALL) for s in data["series"]) + 4 if len(data["series"]) == 2 else 0.0
        )
        most = value - named - _GAP - _LEAST_PLOT - _GAP - _LEAST_LABELS - LEFT
        widths = (text_width(t, bold=True) for t in (*_printed(data), "0" * room["figures"]))
        wide = min(max(widths), most)
        end = value - wide - named - _GAP
        labels = max((text_width(clean(t), bold=True) for t in data["labels"]), default=0.0)
        # long values take room from the labels before they take it from the bars
        labels = min(labels, _MOST_LABELS, end - _LEAST_PLOT - _GAP - LEFT)
        start, name = LEFT + labels + _GAP, value - wide - named
        return cls(labels, start, end, name, wide, value, mark, *_scale(data))

    def x(self, value: float) -> float:
        """Give where `value` stands across the sheet [units]."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def _scale(data: Mapping[str, Any]) -> tuple[float, float]:
    """Give the least and the greatest of zero, all values and all limits, never the same twice."""
    every = [v for s in data["series"] for v in s["values"] if v is not None]
    every += [0.0, *(limit["value"] for limit in data["limits"])]
    every += [edge for edge in data.get("scale") or () if edge is not None]
    return min(every), max(every) if any(every) else 1.0


def _printed(data: Mapping[str, Any]) -> list[str]:
    """Give the printed values of all that was taken."""
    pairs = zip(data["series"], data["printed"], strict=True)
    both = [pair for series, row in pairs for pair in zip(series["values"], row, strict=True)]
    return [clean(text) for value, text in both if value is not None]


def _name(series: Mapping[str, Any]) -> str:
    return shorten(clean(series["name"]), 112, SMALL)


def _head(sheet: Sheet, columns: _Columns, data: Mapping[str, Any]) -> float:
    """Write what the columns hold; give the height used [units]."""
    unit = shorten(clean(data["unit"]), 120, SMALL)
    sheet.words(unit, columns.value, 11, "end", SMALL)
    room = columns.value - text_width(unit, SMALL) - LEFT - _GAP
    sheet.words(shorten(clean(data["axis"]), room, SMALL), LEFT, 11, size=SMALL)
    return 17.0


@dataclass(frozen=True)
class _Limit:
    """An acceptance line: x and where it begins, below its label [units]."""

    x: float
    top: float


def _limit_labels(
    sheet: Sheet, columns: _Columns, data: Mapping[str, Any], top: float
) -> tuple[list[_Limit], float]:
    """Write the limits' labels above the plot; give the lines and where the plot begins [units].

    The greatest limit's label is on top and each further one keeps left of the lines that come
    down from above; or, where that leaves more room, the least is on top and the rest keep right.
    """
    placed = sorted(((columns.x(limit["value"]), limit) for limit in data["limits"]), key=lambda p: p[0])
    limits: list[_Limit] = []
    left, right = LEFT, RIGHT
    source = _shared(data)
    asked = data.get("words", {}).get("by source", _BY_SOURCE).replace("{source}", source)
    for line in wrap(clean(asked), right - left, SMALL, 4) if source else ():
        top += _LINE
        sheet.words(line, left, top - 4, size=SMALL)
    leftward = len(placed) < 2 or placed[1][0] - LEFT >= RIGHT - placed[-2][0]
    for x, limit in reversed(placed) if leftward else placed:
        lines = wrap_evenly(_limit_text(data, limit, source), right - left, SMALL, _MOST_LINES)
        half = max(text_width(line, SMALL) for line in lines) / 2
        middle = min(max(x, left + half), right - half)
        for line in lines:
            top += _LINE
            sheet.words(line, middle, top - 4, "middle", SMALL)
        limits.append(_Limit(x, top))
        left, right = (left, x - 5) if leftward else (x + 5, right)
    return limits, top + (4 if limits else 0)


def _shared(data: Mapping[str, Any]) -> str:
    """Give the source that all limits have, empty if there are not two of them with one."""
    limits = data["limits"]
    found = {limit.get("source") for limit in limits}
    source = found.pop() if len(found) == 1 and len(limits) > 1 else ""
    return source if source and all(each["label"].endswith(f", {source}") for each in limits) else ""


def _limit_text(data: Mapping[str, Any], limit: Mapping[str, Any], source: str) -> str:
    label, side = clean(limit["label"].removesuffix(f", {source}")), _word(data, limit["side"])
    return label if side.casefold() in label.casefold() else f"{side} {label}"


def _limit_lines(sheet: Sheet, columns: _Columns, limits: list[_Limit], bottom: float) -> None:
    for limit in limits:
        # a pale edge keeps the line apart from the bars that it crosses
        sheet.box(limit.x - 1.4, limit.top, 2.8, bottom - limit.top, fill="c-paper")
    for limit in limits:
        sheet.line([(limit.x, limit.top), (limit.x, bottom)], stroke="c-limit", width=1.5, dash=(5, 3))


@dataclass(frozen=True)
class _Row:
    """One label's row: its lines, its edges and the middle of each bar [units], one or two."""

    label: str
    lines: tuple[str, ...]
    top: float
    bottom: float
    middles: tuple[float, ...]


def _rows(columns: _Columns, data: Mapping[str, Any], top: float) -> list[_Row]:
    count = len(data["series"])
    rows = []
    for at, label in enumerate(data["labels"]):
        lines = wrap(clean(label), columns.labels, lines=3, bold=label in data["outside"])
        # a second bar that nobody meant to have leaves no room empty
        bars = 1 + sum(bool(printed[at]) for printed in data["printed"][1:])
        height = max(bars * _PITCH[count], len(lines) * _LINE) + _GAP + (2 if bars == 2 else 0)
        first = top + (height - (bars - 1) * _PITCH[count]) / 2
        middles = tuple(first + n * _PITCH[count] for n in range(bars))
        rows.append(_Row(label, lines, top, top + height, middles))
        top += height
    return rows


def _bars(sheet: Sheet, columns: _Columns, data: Mapping[str, Any], rows: list[_Row]) -> None:
    sheet.line(*(((LEFT, r.bottom), (RIGHT, r.bottom)) for r in rows[:-1]), stroke="c-soft", width=0.8)
    thick = _THICK[len(data["series"])]
    for at, row in enumerate(rows):
        for n, middle in enumerate(row.middles):
            value = data["series"][n]["values"][at]
            if value is None:
                continue
            left, right = sorted((columns.x(0.0), columns.x(value)))
            edges = (left, middle - thick / 2, right - left, thick)
            if row.label in data["outside"]:
                sheet.box(*edges, fill="c-paper", stroke="c-outside", hatch=_HATCH[n])
            else:
                sheet.box(*edges, fill=_FILL[n])


def _values(sheet: Sheet, columns: _Columns, data: Mapping[str, Any], rows: list[_Row]) -> None:
    for at, row in enumerate(rows):
        outside = row.label in data["outside"]
        middle = (row.top + row.bottom) / 2
        for n, line in enumerate(row.lines):
            y = middle + 4.5 + (n - (len(row.lines) - 1) / 2) * _LINE
            sheet.words(line, LEFT, y, bold=outside)
        if outside:
            sheet.words(_outside(data), columns.mark, middle + 4, size=SMALL)
        for n, y in enumerate(row.middles):
            series = data["series"][n]
            if len(data["series"]) == 2:
                sheet.words(_name(series), columns.name, y + 4, size=SMALL)
            if series["values"][at] is None:
                _not_taken(sheet, columns, data, y)
            else:
                text = shorten(clean(data["printed"][n][at]), columns.room, bold=True)
                sheet.words(text, columns.value, y + 4.5, "end", bold=outside)


def _not_taken(sheet: Sheet, columns: _Columns, data: Mapping[str, Any], y: float) -> None:
    zero = columns.x(0.0)
    x = (zero if zero < (columns.start + columns.end) / 2 else columns.start) + _GAP
    # the value's place is empty as well, and so is a lone series' place for a name
    room = (columns.value if len(data["series"]) == 1 else columns.name - _GAP) - x
    words = shorten(_word(data, "not taken"), room, SMALL)
    sheet.box(x - 2, y - 5.5, min(text_width(words, SMALL), columns.end - x), 11, fill="c-paper")
    sheet.words(words, x, y + 4, size=SMALL)


def _axis(sheet: Sheet, columns: _Columns, data: Mapping[str, Any], top: float, bottom: float) -> float:
    """Draw the zero line and the scale under the bars; give the sheet's height [units]."""
    zero = columns.x(0.0)
    sheet.line([(zero, top), (zero, bottom)], [(columns.start, bottom), (columns.end, bottom)])
    most = max(int((columns.end - columns.start) // 36), 1)
    found = scales.ticks(columns.low, columns.high, min(most, 5))
    ticks = [(columns.x(value), text) for value, text in found]
    sheet.line(*(((x, bottom), (x, bottom + 4)) for x, _ in ticks))
    # the unit stands above the values
    numbers(sheet, ticks, bottom + 15)
    return bottom + 20
