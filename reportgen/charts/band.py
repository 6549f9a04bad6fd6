"""Draws one row for each thing measured: the band that its limits leave, and the value within or beside it.

All rows share one scale. A band with one limit only is open at the other side: it runs to the edge of the
scale and has no end there. A value that wasn't taken is told by word, a thing without a limit has no band.
A value outside its band is a hollow mark, its figures are bold and followed by the word "outside".

Data:

    axis      what the rows are: "Place"
    unit      the unit of all values: "mV"; may be empty
    rows      tuple of {label: str, value: float or None [unit], printed: str,
              low, high: float or None [unit], outside: bool,
              low_printed, high_printed: str, empty where there is none}
    source    optional, whose limits they are, in a few words
    scale     optional, (low, high) [unit] that the scale has to hold, to compare with other charts
    words     optional, {"not taken": ..., "outside": ..., "minimum": ..., "maximum": ...} in the
              reader's language
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import scales
from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, shorten, text_width, wrap

_LINE, _THICK, _GAP = 14.0, 12.0, 6.0
_START, _END = LEFT + 8, RIGHT - 8
_LEAST_LABEL = 120.0


def draw(chart: Chart, key: str) -> str:
    """Give the rows as an `<svg>` element; every id in it begins with `key`."""
    sheet, data = Sheet(), chart.data
    low, high = _scale(data)
    y = _head(sheet, data)
    for number, row in enumerate(data["rows"]):
        if number:
            sheet.line([(LEFT, y), (RIGHT, y)], stroke="c-soft", width=0.8)
        y = _row(sheet, data, row, (low, high), y)
    return sheet.svg(_axis(sheet, clean(data["unit"]), (low, high), y), chart.title, chart.alt, key)


def _word(data: Mapping[str, Any], word: str) -> str:
    return clean(data.get("words", {}).get(word, word))


def _scale(data: Mapping[str, Any]) -> tuple[float, float]:
    """Give the least and the greatest of all values and edges with some room beside them, never alike."""
    every = [row[k] for row in data["rows"] for k in ("value", "low", "high") if row[k] is not None]
    every += [edge for edge in data.get("scale") or () if edge is not None]
    low, high = min(every, default=0.0), max(every, default=1.0)
    room = (high - low) * 0.08 or abs(high) * 0.1 or 1.0
    # a scale that almost begins at zero begins there
    low = 0.0 if 0 <= low <= (high - low) else low - room
    return low, high + room


def _x(value: float, scale: tuple[float, float]) -> float:
    return _START + (value - scale[0]) / (scale[1] - scale[0]) * (_END - _START)


def _head(sheet: Sheet, data: Mapping[str, Any]) -> float:
    """Write what the rows are and whose limits; give where the rows begin [units]."""
    unit = shorten(clean(data["unit"]), 100, SMALL)
    sheet.words(unit, RIGHT, 11, "end", SMALL)
    said = clean(data["axis"])
    if data.get("source"):
        said = f"{said}; {clean(data['source'])}"
    sheet.words(shorten(said, RIGHT - LEFT - text_width(unit, SMALL) - _GAP, SMALL), LEFT, 11, size=SMALL)
    return 17.0


def _row(
    sheet: Sheet, data: Mapping[str, Any], row: Mapping[str, Any], scale: tuple[float, float], y: float
) -> float:
    """Write and draw one row from `y` on; give where the next one begins [units]."""
    y = _words(sheet, data, row, y + 2)
    middle = y + _THICK / 2 + 1
    sheet.line([(_START, middle), (_END, middle)], stroke="c-soft", width=0.8)
    _band(sheet, row, scale, middle)
    if row["value"] is not None:
        _mark(sheet, _x(row["value"], scale), middle, row["outside"])
    y = middle + _THICK / 2 + 2
    edges = _edges(data, row)
    if edges:
        sheet.words(shorten(edges, RIGHT - LEFT, SMALL), LEFT, y + 10, size=SMALL)
        y += _LINE
    return y + _GAP - 2


def _words(sheet: Sheet, data: Mapping[str, Any], row: Mapping[str, Any], y: float) -> float:
    """Write the label and the value beside it, or below it where both are long; give the line after."""
    taken, outside = row["value"] is not None, bool(row["outside"])
    mark = f" {_word(data, 'outside')}" if outside else ""
    value = shorten(clean(row["printed"]) if taken else _word(data, "not taken"), 150, bold=outside)
    wide = text_width(value, bold=outside)
    shown = shorten(mark.strip(), 90, SMALL)
    end = RIGHT - (text_width(shown, SMALL) + _GAP if shown else 0.0)
    room = end - wide - _GAP - LEFT
    lines = wrap(clean(row["label"]), max(room, _LEAST_LABEL), bold=outside)
    for number, line in enumerate(lines):
        sheet.words(line, LEFT, y + (number + 1) * _LINE - 3, bold=outside)
    at = y + _LINE - 3 if room >= _LEAST_LABEL else y + (len(lines) + 1) * _LINE - 3
    sheet.words(value, end, at, "end", bold=outside)
    sheet.words(shown, RIGHT, at, "end", SMALL)
    return max(y + len(lines) * _LINE, at + 3)


def _band(sheet: Sheet, row: Mapping[str, Any], scale: tuple[float, float], middle: float) -> None:
    if row["low"] is None and row["high"] is None:
        return
    left = _x(row["low"], scale) if row["low"] is not None else _START
    right = _x(row["high"], scale) if row["high"] is not None else _END
    sheet.box(left, middle - _THICK / 2, max(right - left, 1.0), _THICK, fill="c-bar2")
    ends = [x for x, edge in ((left, row["low"]), (right, row["high"])) if edge is not None]
    sheet.line(
        *([(x, middle - _THICK / 2 - 2), (x, middle + _THICK / 2 + 2)] for x in ends),
        stroke="c-limit",
        width=1.5,
    )


def _mark(sheet: Sheet, x: float, middle: float, outside: bool) -> None:
    """Draw the value: a full bar across the band, or a hollow one outside it, on a pale ground."""
    height = _THICK + 4
    sheet.box(x - 3.5, middle - height / 2 - 1, 7, height + 2, fill="c-paper")
    if outside:
        sheet.box(x - 2.5, middle - height / 2, 5, height, fill="c-paper", stroke="c-outside")
    else:
        sheet.box(x - 2.5, middle - height / 2, 5, height, fill="c-bar")


def _edges(data: Mapping[str, Any], row: Mapping[str, Any]) -> str:
    """Say the limits in words: minimum and maximum with their figures."""
    low, high = clean(row["low_printed"]), clean(row["high_printed"])
    said = [f"{_word(data, 'minimum')} {low}"] if low and row["low"] is not None else []
    said += [f"{_word(data, 'maximum')} {high}"] if high and row["high"] is not None else []
    return ", ".join(said)


def _axis(sheet: Sheet, unit: str, scale: tuple[float, float], y: float) -> float:
    """Draw the scale under the rows; give the sheet's height [units]."""
    sheet.line([(_START, y), (_END, y)])
    ticks = [(_x(value, scale), text) for value, text in scales.ticks(*scale)]
    sheet.line(*(((x, y), (x, y + 4)) for x, _ in ticks))
    unit = shorten(unit, 100, SMALL)
    room = RIGHT - text_width(unit, SMALL) - _GAP
    for x, text in ticks:
        half = text_width(text, SMALL) / 2
        # the unit stands at the end of the scale, in place of a number there
        if x + half <= room and x - half >= LEFT:
            sheet.words(text, x, y + 15, "middle", SMALL)
    sheet.words(unit, RIGHT, y + 15, "end", SMALL)
    return y + 20
