"""Draws how many there are of each, such as findings by severity, as small lying bars.

What stands for a severity, or for what is checked, always has the hatching of its meaning, whichever
rows stand beside it; from the gravest on they are ever lighter, so that they tell themselves apart in
grey. Other rows, such as colours of spark plugs, are all alike: the words beside them say what they
are. The count is printed behind each bar; none is printed as 0.

Data:

    rows   tuple of {label: str, count: int, means: str}, in the order to be shown; `means` is optional,
           a key of `LOOKS`
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.chart import Chart
from reportgen.drawing import LEFT, RIGHT, Sheet, clean, shorten, text_width

_PITCH, _THICK, _GAP = 20.0, 11.0, 8.0
_LABEL_ROOM = 170.0
# fill, stroke, hatching of each meaning
LOOKS: Mapping[str, tuple[str, str, str]] = {
    "stop": ("c-bar", "", ""),
    "settle": ("c-bar2", "c-ink", "////"),
    "schedule": ("c-bar2", "", ""),
    "watch": ("c-paper", "c-ink", "//"),
    "sound": ("c-paper", "c-ink", ""),
    "checked": ("c-paper", "c-ink", "||"),
}
_PLAIN = ("c-bar", "", "")


def draw(chart: Chart, key: str) -> str:
    """Give the counts as an `<svg>` element; every id in it begins with `key`.

    Raises KeyError when what a row means has no look.
    """
    rows: tuple[Mapping[str, Any], ...] = chart.data["rows"]
    sheet = Sheet()
    labels = [shorten(clean(row["label"]), _LABEL_ROOM) for row in rows]
    start = LEFT + max(map(text_width, labels), default=0.0) + _GAP
    end = RIGHT - _GAP - max((text_width(str(row["count"]), bold=True) for row in rows), default=0.0)
    most = max((row["count"] for row in rows), default=0) or 1
    for n, (label, row) in enumerate(zip(labels, rows, strict=True)):
        middle = 4 + (n + 0.5) * _PITCH
        length = row["count"] / most * (end - start)
        fill, stroke, hatch = LOOKS[row["means"]] if "means" in row else _PLAIN
        sheet.words(label, LEFT, middle + 4.5)
        if row["count"]:
            sheet.box(start, middle - _THICK / 2, length, _THICK, fill, stroke, hatch)
        sheet.words(row["count"], start + length + _GAP, middle + 4.5, bold=True)
    bottom = 8 + len(rows) * _PITCH
    sheet.line([(start, 2), (start, bottom - 2)])
    return sheet.svg(bottom, chart.title, chart.alt, key)
