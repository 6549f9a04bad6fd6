"""Draws how often sums of each size came up, as columns side by side, with lines at marked sums.

The columns stand on the scale of the sums; the highest fills the height. Each mark is a line with its
words at the line's left end, the greatest on top, so that no line runs through another's words. The
lines end at the columns, which stay whole.

Data:

    steps   tuple of {low, high: float [unit], share: float [%]}, in order and without gaps
    unit    the unit of the sums, the currency as text: "EUR"
    marks   tuple of {value: float [unit], label: str}, such as "P10 €1,200"
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from reportgen import scales
from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, shorten
from reportgen.signs import numbers

_ROW, _TALL, _GAP = 15.0, 84.0, 4.0
# room at the left for the words of a mark at the low end
_START, _END = LEFT + 44, RIGHT - 6


@dataclass(frozen=True)
class _Scale:
    """Where sums stand across the sheet: low at the start, high at the end."""

    low: float
    high: float

    def x(self, value: float) -> float:
        part = (value - self.low) / (self.high - self.low)
        return _START + min(max(part, 0.0), 1.0) * (_END - _START)


def draw(chart: Chart, key: str) -> str:
    """Give the columns as an `<svg>` element; every id in it begins with `key`."""
    sheet, data = Sheet(), chart.data
    steps: Sequence[Mapping[str, Any]] = data["steps"]
    marks = sorted(data["marks"], key=lambda mark: mark["value"])
    # a marked sum may lie beyond all that came up, and is not to be drawn where it isn't
    ends = [end for step in steps for end in (step["low"], step["high"])] + [m["value"] for m in marks]
    low, high = min(ends, default=0.0), max(ends, default=1.0)
    scale = _Scale(low, high if high > low else low + 1.0)
    top = len(marks) * _ROW + _GAP
    bottom = top + _TALL
    most = max((step["share"] for step in steps), default=0.0) or 1.0
    for n, mark in enumerate(reversed(marks)):
        _mark(sheet, mark, scale.x(mark["value"]), n * _ROW, bottom)
    for step in steps:
        left, right, tall = scale.x(step["low"]), scale.x(step["high"]), step["share"] / most * _TALL
        if tall:
            sheet.box(left, bottom - tall, max(right - left - 0.8, 0.4), tall, fill="c-bar2")
    return sheet.svg(_axis(sheet, clean(data["unit"]), scale, bottom), chart.title, chart.alt, key)


def _mark(sheet: Sheet, mark: Mapping[str, Any], x: float, top: float, bottom: float) -> None:
    sheet.words(shorten(clean(mark["label"]), x - _GAP - LEFT, SMALL), x - _GAP, top + 11, "end", SMALL)
    sheet.line([(x, top + 2), (x, bottom)], stroke="c-limit", width=1.5, dash=(5, 3))


def _axis(sheet: Sheet, unit: str, scale: _Scale, y: float) -> float:
    """Draw the scale under the columns; give the sheet's height [units]."""
    sheet.line([(_START, y), (_END, y)])
    ticks = [(scale.x(value), text) for value, text in scales.ticks(scale.low, scale.high, 4)]
    sheet.line(*(((x, y), (x, y + 4)) for x, _ in ticks))
    numbers(sheet, ticks, y + 15, shorten(unit, 90, SMALL))
    return y + 20
