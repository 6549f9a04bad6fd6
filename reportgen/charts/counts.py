"""Draws how many there are of each, such as findings by severity, as small lying bars.

The first row is the darkest; each further row has its own hatching and is lighter, so that the
rows tell themselves apart in grey. The count is printed behind each bar; none is printed as 0.

Data:

    rows   tuple of {label: str, count: int}, in the order to be shown
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, Sheet, clean, shorten, text_width

_PITCH, _THICK, _GAP = 20.0, 11.0, 8.0
_LABEL_ROOM = 140.0
# fill, stroke, hatching: from dark to light; further rows stay as the last
_STEPS = (
    ("c-bar", "", ""),
    ("c-bar2", "c-ink", "////"),
    ("c-bar2", "", ""),
    ("c-paper", "c-ink", "//"),
    ("c-paper", "c-ink", ""),
)


def draw(chart: Chart, key: str) -> str:
    """Give the counts as an `<svg>` element; every id in it begins with `key`."""
    rows: tuple[Mapping[str, Any], ...] = chart.data["rows"]
    sheet = Sheet()
    labels = [shorten(clean(row["label"]), _LABEL_ROOM) for row in rows]
    start = LEFT + max(map(text_width, labels), default=0.0) + _GAP
    end = RIGHT - _GAP - max((text_width(str(row["count"]), bold=True) for row in rows), default=0.0)
    most = max((row["count"] for row in rows), default=0) or 1
    for n, (label, row) in enumerate(zip(labels, rows, strict=True)):
        middle = 4 + (n + 0.5) * _PITCH
        length = row["count"] / most * (end - start)
        fill, stroke, hatch = _STEPS[min(n, len(_STEPS) - 1)]
        sheet.words(label, LEFT, middle + 4.5)
        if row["count"]:
            sheet.box(start, middle - _THICK / 2, length, _THICK, fill, stroke, hatch)
        sheet.words(row["count"], start + length + _GAP, middle + 4.5, bold=True)
    bottom = 8 + len(rows) * _PITCH
    sheet.line([(start, 2), (start, bottom - 2)])
    return sheet.svg(bottom, chart.title, chart.alt, key)
