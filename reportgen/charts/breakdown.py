"""Draws what each part costs as a lying bar, with the range it may fall in, by who pays if wished.

The bar is the likely cost and starts at zero; the thin line over it runs from the low to the high
cost, as a key below says. A part without a price says so and has no bar. Labels that are too long are
wrapped, then ended by an ellipsis: the table beside the picture holds them in full.

Data:

    rows     tuple of {label: str, low, likely, high: float or None [unit], printed: str, group: str};
             `likely` is None for a part without a price, `low` or `high` None for one without a range
    unit     the currency as text: "EUR"
    groups   optional, tuple of str: the groups in their order, each under its own heading; rows of
             other groups follow in the order met
    words    optional, {"not priced": ..., "range": ...} in the reader's language
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, SMALL, Sheet, clean, shorten, text_width, wrap
from reportgen.scales import whole_ticks
from reportgen.signs import Entry, key_below, numbers

_GAP, _LINE, _THICK = 10.0, 15.0, 9.0
_LEAST_LABEL_ROOM = 130.0
# the ends of a range at the edge of the scale must not be cut off
_START, _END = LEFT + 1, RIGHT - 3


def draw(chart: Chart, key: str) -> str:
    """Give the breakdown as an `<svg>` element; every id in it begins with `key`."""
    sheet, data = Sheet(), chart.data
    high = max((v for row in data["rows"] for v in _amounts(row)), default=0.0) or 1.0
    y = 0.0
    for heading, rows in _grouped(data):
        y = _heading(sheet, heading, y) if heading else y
        for n, row in enumerate(rows):
            if n:
                sheet.line([(LEFT, y - 3), (RIGHT, y - 3)], stroke="c-soft", width=0.8)
            y = _row(sheet, data, row, high, y)
    y = _axis(sheet, clean(data["unit"]), high, y)
    if any(map(_ranges, data["rows"])):
        said = data.get("words", {}).get("range", "lowest to highest")
        y = key_below(sheet, [Entry(lambda x, middle: _range(sheet, x + 1, x + 19, middle), said, 24.0)], y)
    return sheet.svg(y, chart.title, chart.alt, key)


def _amounts(row: Mapping[str, Any]) -> list[float]:
    """Give the amounts of a row that are drawn: none without a likely one."""
    if row["likely"] is None:
        return []
    return [row[name] for name in ("low", "likely", "high") if row[name] is not None]


def _grouped(data: Mapping[str, Any]) -> Iterator[tuple[str, Sequence[Mapping[str, Any]]]]:
    """Give the rows under their headings; all under none if no order of groups is given."""
    if not data.get("groups"):
        yield "", data["rows"]
        return
    for group in dict.fromkeys([*data["groups"], *(row["group"] for row in data["rows"])]):
        rows = [row for row in data["rows"] if row["group"] == group]
        if rows:
            yield clean(group), rows


def _heading(sheet: Sheet, text: str, y: float) -> float:
    y += _LINE + (_GAP if y else 0)
    sheet.words(shorten(text, RIGHT - LEFT, bold=True), LEFT, y - 4, bold=True)
    sheet.line([(LEFT, y + 1), (RIGHT, y + 1)])
    return y + 5


def _row(sheet: Sheet, data: Mapping[str, Any], row: Mapping[str, Any], high: float, y: float) -> float:
    """Write one row from `y` on and draw its bar; give where the next one begins [units]."""
    unpriced = row["likely"] is None
    words = (
        clean(data.get("words", {}).get("not priced", "not priced")) if unpriced else clean(row["printed"])
    )
    words = shorten(words, RIGHT - LEFT, bold=not unpriced)
    room = RIGHT - LEFT - text_width(words, bold=not unpriced) - _GAP
    beside = room >= _LEAST_LABEL_ROOM
    lines = wrap(clean(row["label"]), room if beside else RIGHT - LEFT)
    for n, line in enumerate(lines):
        sheet.words(line, LEFT, y + (n + 1) * _LINE - 3)
    # a sum too wide to share the line with its label has the next one to itself
    at = 1 if beside else len(lines) + 1
    sheet.words(words, RIGHT, y + at * _LINE - 3, "end", bold=not unpriced)
    y += max(len(lines), at) * _LINE
    if not unpriced:
        _bar(sheet, row, high, y + 2)
        y += _THICK + 2
    return y + 8


def _x(amount: float, high: float) -> float:
    return _START + max(amount, 0.0) / high * (_END - _START)


def _bar(sheet: Sheet, row: Mapping[str, Any], high: float, y: float) -> None:
    sheet.box(_START, y, _x(row["likely"], high) - _START, _THICK, fill="c-bar2")
    if _ranges(row):
        _range(sheet, _x(row["low"], high), _x(row["high"], high), y + _THICK / 2)


def _ranges(row: Mapping[str, Any]) -> bool:
    """Tell whether a row has a bar with a range over it."""
    return None not in (row["low"], row["likely"], row["high"]) and row["low"] != row["high"]


def _range(sheet: Sheet, left: float, right: float, middle: float) -> None:
    ends = [[(x, middle - 4), (x, middle + 4)] for x in (left, right)]
    sheet.line([(left, middle), (right, middle)], *ends, width=1.4)


def _axis(sheet: Sheet, unit: str, high: float, y: float) -> float:
    """Draw the scale under the rows; give the sheet's height [units]."""
    sheet.line([(_START, y), (_END, y)])
    ticks = [(_x(t, high), str(t)) for t in whole_ticks(0.0, high)]
    sheet.line(*(((x, y), (x, y + 4)) for x, _ in ticks))
    numbers(sheet, ticks, y + 15, shorten(unit, RIGHT - LEFT - 30, SMALL))
    return y + 20
