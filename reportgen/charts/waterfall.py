"""Draws how one sum becomes another: totals as upright marks, each change as a bar from total to total.

The scale does not begin at zero, since the changes are small beside the price: so totals are marks
and not bars, whose length would lie, and both ends of the scale are printed. A sum that is added has
a dark bar and a plus, one that is taken away a mid-tone bar and a minus. Labels that are too long are
wrapped, then ended by an ellipsis: the table beside the picture holds them in full.

Data:

    rows     tuple of {label: str, change: float or None [unit], total: float [unit], printed: str,
             reached: str}; `change` is None for a total; `total` is what is reached with the row,
             `printed` stands beside the label, `reached` is the total printed
    unit     the currency as text: "EUR"
    words    optional, {"not from zero": ...} in the reader's language
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, shorten, text_width, wrap
from reportgen.signs import cut_scale

_GAP, _LINE, _THICK = 10.0, 15.0, 10.0
_LEAST_LABEL_ROOM = 130.0
_START, _END = LEFT + 4, RIGHT - 4
# a change too small to see is still a mark
_LEAST_BAR = 1.5


def draw(chart: Chart, key: str) -> str:
    """Give the waterfall as an `<svg>` element; every id in it begins with `key`."""
    sheet, rows, y = Sheet(), chart.data["rows"], 0.0
    low, high = _ends(rows)
    joints: list[tuple[float, float]] = []
    words: list[_Word] = []
    for row in rows:
        words += _words(row, y)
        y = words[-1].y + 3
        joints.append((_x(row["total"], low, high), y + 1))
        y += _THICK + 2 + 8
    # the thin lines lie under the bars that they join; one that would run into words is left out
    lines = [((x, top + _THICK), (x, bottom)) for (x, top), (_, bottom) in pairwise(joints)]
    sheet.line(*(line for line in lines if not any(word.meets(line) for word in words)), stroke="c-soft")
    for word in words:
        x, anchor = (RIGHT, "end") if word.right else (LEFT, "start")
        sheet.words(word.text, x, word.y, anchor, bold=word.bold)
    for row, (x, top) in zip(rows, joints, strict=True):
        _mark(sheet, row, x, top, low, high)
    return sheet.svg(_axis(sheet, chart.data, y), chart.title, chart.alt, key)


class _Word(NamedTuple):
    """One line of words with its baseline [units]; at the right edge or at the left."""

    text: str
    y: float
    right: bool
    bold: bool

    def meets(self, line: Sequence[tuple[float, float]]) -> bool:
        """Tell whether an upright line, its upper end first, runs into the word or close by."""
        (x, top), (_, bottom) = line
        wide = text_width(self.text, bold=self.bold)
        left = RIGHT - wide if self.right else LEFT
        return left - 2 <= x <= left + wide + 2 and top < self.y < bottom


def _ends(rows: Any) -> tuple[float, float]:
    """Give the least and the greatest sum that is reached or left [unit], never the same twice."""
    every = [row["total"] for row in rows] or [0.0]
    every += [row["total"] - row["change"] for row in rows if row["change"] is not None]
    return min(every), max(every) if max(every) > min(every) else min(every) + 1.0


def _x(total: float, low: float, high: float) -> float:
    return _START + (total - low) / (high - low) * (_END - _START)


def _words(row: Mapping[str, Any], y: float) -> list[_Word]:
    """Give a row's label and its sum from `y` on; the lowest line comes last [units]."""
    is_total = row["change"] is None
    printed = shorten(clean(row["printed"]), RIGHT - LEFT, bold=True)
    room = RIGHT - LEFT - text_width(printed, bold=True) - _GAP
    beside = room >= _LEAST_LABEL_ROOM
    lines = wrap(clean(row["label"]), room if beside else RIGHT - LEFT, bold=is_total) or ("",)
    found = [_Word(line, y + (n + 1) * _LINE - 3, False, is_total) for n, line in enumerate(lines)]
    # a sum too wide to share the line with its label has the next one to itself
    at = 1 if beside else len(lines) + 1
    found.append(_Word(printed, y + at * _LINE - 3, True, is_total))
    return sorted(found, key=lambda word: word.y)


def _mark(sheet: Sheet, row: Mapping[str, Any], x: float, y: float, low: float, high: float) -> None:
    if row["change"] is None:
        sheet.line([(x, y), (x, y + _THICK)], width=3.0)
        return
    left, right = sorted((x, _x(row["total"] - row["change"], low, high)))
    fill = "c-bar" if row["change"] > 0 else "c-bar2"
    sheet.box(left, y, max(right - left, _LEAST_BAR), _THICK, fill=fill)


def _axis(sheet: Sheet, data: Mapping[str, Any], y: float) -> float:
    """Draw the scale with both of its ends printed; give the sheet's height [units]."""
    rows = data["rows"]
    sheet.line([(_START, y), (_END, y)], [(_START, y), (_START, y + 4)], [(_END, y), (_END, y + 4)])
    ends = sorted(rows, key=lambda row: float(row["total"]))
    if ends:
        half = (RIGHT - LEFT - _GAP) / 2
        sheet.words(shorten(clean(ends[0]["reached"]), half, SMALL), LEFT, y + 15, size=SMALL)
        if ends[-1]["total"] > ends[0]["total"]:
            sheet.words(shorten(clean(ends[-1]["reached"]), half, SMALL), RIGHT, y + 15, "end", SMALL)
    said = f"{data['unit']}, {cut_scale(data)}"
    sheet.words(shorten(clean(said), RIGHT - LEFT, SMALL), LEFT, y + 30, size=SMALL)
    return y + 35
