"""Draws one row for each thing measured: the band that its limits leave, and the value within or beside it.

All rows share one scale that says so where zero is not on it. Where one row's maximum is many times
another's, one scale would squeeze the smaller rows to nothing: each then has a scale of its own, from zero to
its maximum or its value, and the words below say so in the place of numbers. A band with one limit only is
open at the other side: it runs to the edge of the scale and fades out there in ever thinner pieces, or begins
at zero where the scale does. A value that wasn't taken is told by word, a thing without a limit has no band.
A value outside its band is a hollow mark, its figures are bold and followed by the word "outside". Limits
that all rows share are written once, above.

Data:

    axis      what the rows are: "Place"
    unit      the unit of all values: "mV"; may be empty
    rows      tuple of {label: str, value: float or None [unit], printed: str,
              low, high: float or None [unit], outside: bool,
              low_printed, high_printed: str, empty where there is none}
    source    optional, whose limits they are, in a few words
    scale     optional, (low, high) [unit] that the scale has to hold, to compare with other charts
    words     optional, {"not taken": ..., "outside": ..., "minimum": ..., "maximum": ..., "own scale": ...,
              "not from zero": ...} in the reader's language
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from reportgen import scales
from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, shorten, text_width, wrap
from reportgen.signs import cut_scale, numbers, word

_LINE, _THICK, _GAP = 14.0, 12.0, 6.0
_START, _END = LEFT + 8, RIGHT - 8
_LEAST_LABEL = 120.0
# an open side fades over so many units; where its pieces begin and end, as shares of that
_FADE, _PIECES = 32.0, ((0.08, 0.3), (0.42, 0.58), (0.72, 0.82), (0.95, 1.0))
# rows whose maxima differ by more than this are not drawn on one scale
_MOST_TIMES = 6.0
_OWN_SCALE = "each row has a scale of its own, from zero"
_KEYS = ("label", "value", "printed", "low", "high", "low_printed", "high_printed", "outside")


def draw(chart: Chart, key: str) -> str:
    """Give the rows as an `<svg>` element; every id in it begins with `key`.

    Raises ValueError when a row lacks a key, or when its low is above its high.
    """
    sheet, data = Sheet(), chart.data
    _check(data["rows"])
    apart = _apart(data)
    scale = _scale(data)
    shared = _shared(data)
    y = _head(sheet, data, shared)
    for number, row in enumerate(data["rows"]):
        if number:
            sheet.line([(LEFT, y), (RIGHT, y)], stroke="c-soft", width=0.8)
        own = (0.0, max(row["value"] or 0.0, row["high"]) * 1.08) if apart else scale
        y = _row(sheet, data, row, own, (y, not shared))
    end = _unlike(sheet, data, y) if apart else _axis(sheet, data, scale, y)
    return sheet.svg(end, chart.title, chart.alt, key)


def _check(rows: Iterable[Mapping[str, Any]]) -> None:
    for row in rows:
        if missing := [key for key in _KEYS if key not in row]:
            raise ValueError(f"a row lacks {', '.join(missing)}")
        if row["low"] is not None and row["high"] is not None and row["low"] > row["high"]:
            raise ValueError(f"the band of {row['label']} ends below its beginning")


def _every(data: Mapping[str, Any]) -> list[float]:
    """Give all that the scale has to hold."""
    every = [row[k] for row in data["rows"] for k in ("value", "low", "high") if row[k] is not None]
    return every + list(data.get("scale") or ())


def _scale(data: Mapping[str, Any]) -> tuple[float, float]:
    """Give the least and the greatest of all values and edges with some room beside them, never alike."""
    every = _every(data)
    low, high = min(every, default=0.0), max(every, default=1.0)
    room = (high - low) * 0.08 or abs(high) * 0.1 or 1.0
    # an open side needs room to fade beyond the values; a scale that almost begins at zero begins there
    below, above = (2.0 if _open(data, side) else 1.0 for side in ("low", "high"))
    low = 0.0 if 0 <= low <= (high - low) else low - room * below
    return low, high + room * above


def _apart(data: Mapping[str, Any]) -> bool:
    """Tell whether one scale would squeeze rows: all count from zero to maxima that are far apart."""
    rows = data["rows"]
    if data.get("scale") or any(row["high"] is None or row["low"] is not None for row in rows):
        return False
    highs = [row["high"] for row in rows]
    counted = all(row["value"] is None or row["value"] >= 0 for row in rows) and min(highs, default=0) > 0
    return counted and max(highs) > _MOST_TIMES * min(highs)


def _open(data: Mapping[str, Any], side: str) -> bool:
    """Tell whether a band is or may be open at its low or high side: with the other limit only."""
    if data.get("scale"):
        return True  # the room is the same in all charts that share a scale
    other = "high" if side == "low" else "low"
    return any(row[side] is None and row[other] is not None for row in data["rows"])


def _x(value: float, scale: tuple[float, float]) -> float:
    return _START + (value - scale[0]) / (scale[1] - scale[0]) * (_END - _START)


def _shared(data: Mapping[str, Any]) -> str:
    """Give the limits in words if they are those of all rows, several of them."""
    edges = {_edges(data, row) for row in data["rows"]}
    return edges.pop() if len(edges) == 1 and len(data["rows"]) > 1 else ""


def _head(sheet: Sheet, data: Mapping[str, Any], shared: str) -> float:
    """Write what the rows are, whose limits and the shared ones; give where the rows begin [units]."""
    unit = shorten(clean(data["unit"]), 100, SMALL)
    sheet.words(unit, RIGHT, 11, "end", SMALL)
    room = RIGHT - LEFT - text_width(unit, SMALL) - _GAP
    sheet.words(shorten(clean(data["axis"]), room, SMALL), LEFT, 11, size=SMALL)
    y = 17.0
    said = ", ".join(t for t in (shared, clean(data.get("source") or "")) if t)
    for line in wrap(said, RIGHT - LEFT, SMALL):
        y += _LINE
        sheet.words(line, LEFT, y - 5, size=SMALL)
    return y


def _row(
    sheet: Sheet,
    data: Mapping[str, Any],
    row: Mapping[str, Any],
    scale: tuple[float, float],
    at: tuple[float, bool],
) -> float:
    """Write and draw one row, its limits too if `at` says so; give where the next one begins [units]."""
    y = _words(sheet, data, row, at[0] + 2)
    middle = y + _THICK / 2 + 4
    sheet.line([(_START, middle), (_END, middle)], stroke="c-soft", width=0.8)
    _band(sheet, row, scale, middle)
    if row["value"] is not None:
        _mark(sheet, _x(row["value"], scale), middle, row["outside"])
    y = middle + _THICK / 2 + 4
    edges = _edges(data, row)
    if edges and at[1]:
        sheet.words(shorten(edges, RIGHT - LEFT, SMALL), LEFT, y + 9, size=SMALL)
        y += _LINE
    return y + _GAP - 3


def _words(sheet: Sheet, data: Mapping[str, Any], row: Mapping[str, Any], y: float) -> float:
    """Write the label and the value beside it, or below it where both are long; give the line after."""
    taken, outside = row["value"] is not None, bool(row["outside"])
    mark = word(data, "outside") if outside else ""
    value = shorten(clean(row["printed"]) if taken else word(data, "not taken"), 150, bold=outside)
    wide = text_width(value, bold=outside)
    shown = shorten(mark, 90, SMALL)
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
    left = _START if row["low"] is None else _x(row["low"], scale)
    right = _END if row["high"] is None else _x(row["high"], scale)
    fade = min(_FADE, (right - left) / 2)
    # where the scale begins at zero there is nothing below it to fade into
    below, above = row["low"] is None and scale[0] != 0, row["high"] is None
    whole = (left + fade * below, right - fade * above)
    pieces = [(whole[0], max(whole[1], whole[0] + 1.0))]
    for begin, end in _PIECES:
        if below:
            pieces.append((left + fade * (1 - end), left + fade * (1 - begin)))
        if above:
            pieces.append((right - fade * (1 - begin), right - fade * (1 - end)))
    top, bottom = middle - _THICK / 2, middle + _THICK / 2
    sheet.line(*([(a, top), (b, top), (b, bottom), (a, bottom)] for a, b in pieces), stroke="", fill="c-bar2")
    ends = [x for x, edge in ((left, row["low"]), (right, row["high"])) if edge is not None]
    sheet.line(*([(x, top - 2), (x, bottom + 2)] for x in ends), stroke="c-limit", width=1.5)


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
    said = [f"{word(data, 'minimum')} {low}"] if low and row["low"] is not None else []
    said += [f"{word(data, 'maximum')} {high}"] if high and row["high"] is not None else []
    return ", ".join(said)


def _unlike(sheet: Sheet, data: Mapping[str, Any], y: float) -> float:
    """Say in the place of numbers that the rows' scales are not one; give the sheet's height [units]."""
    return _below(sheet, data.get("words", {}).get("own scale", _OWN_SCALE), y)


def _below(sheet: Sheet, said: str, y: float) -> float:
    """Write what is to be known of the scale under it; give the sheet's height [units]."""
    lines = wrap(clean(said), RIGHT - LEFT, SMALL)
    for number, line in enumerate(lines):
        sheet.words(line, LEFT, y + 11 + number * _LINE, size=SMALL)
    return y + 2 + _LINE * len(lines)


def _axis(sheet: Sheet, data: Mapping[str, Any], scale: tuple[float, float], y: float) -> float:
    """Draw the scale under the rows; give the sheet's height [units]."""
    sheet.line([(_START, y), (_END, y)])
    # without a value or a limit there is nothing to measure
    found = scales.ticks(*scale) if _every(data) else ()
    ticks = [(_x(value, scale), text) for value, text in found]
    sheet.line(*(((x, y), (x, y + 4)) for x, _ in ticks))
    # the unit stands above the values
    numbers(sheet, ticks, y + 15)
    cut = found and not scale[0] <= 0 <= scale[1]
    return _below(sheet, cut_scale(data), y + 18) if cut else y + 20
