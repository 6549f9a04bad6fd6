"""Draws values over engine speed, or over another figure, one panel below the other on one common axis.

The series of a panel, such as the engines, share its scale; each has its own dashes and its own shape of
mark, and its name stands at the end of its line. A value that wasn't taken leaves a gap in the line and a
cross below the panel's axis; a value outside has a ring round its mark and bold figures.

Data:

    x_name    what runs across: "Engine speed"
    x_unit    its unit: "rpm"; may be empty
    panels    tuple of {name: str, unit: str, series, limits, outside}
              series   tuple of {name: str, points: tuple of (x: float [x_unit], y: float or None [unit],
                       printed: str)}
              limits   tuple of {value: float [unit], label: str, side: "minimum" or "maximum"}; the label
                       holds the limit as printed and its source
              outside  tuple of (series' name, x) of the points that are outside
    band      optional, {low, high: float or None [x_unit], label: str}, a range of x, such as the maker's
              range for full throttle; None leaves that side open
    scales    optional, tuple of (low, high) [unit] or None, one a panel, that its scale has to hold
    x_scale   optional, (low, high) [x_unit] that the common axis has to hold
    words     optional, {"not taken": ..., "outside": ..., "minimum": ..., "maximum": ...,
              "not from zero": ...} in the reader's language
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportgen import plotting, scales
from reportgen.chart import Chart
from reportgen.drawing import clean


def draw(chart: Chart, key: str) -> str:
    """Give the panels as an `<svg>` element; every id in it begins with `key`.

    Raises ValueError when a point has not three values, when what is outside is no point, or when there are
    scales but not one a panel.
    """
    data = chart.data
    found = plotting.panels(data, _point, 3)
    band = data.get("band")
    ends = plotting.reach(found, band, data.get("x_scale"))
    words = dict.fromkeys(t for t in (clean(data["x_name"]), clean(data["x_unit"])) if t)
    across = plotting.Across(", ".join(words), ends, _ticks, band)
    return plotting.draw(chart, key, found, across)


def _point(told: Sequence[Any], outside: bool) -> plotting.Point:
    x, y, printed = told
    return plotting.Point(float(x), y, printed, outside=outside)


def _ticks(low: float, high: float) -> Sequence[tuple[float, str]]:
    return scales.ticks(low, high) if high > low else ((low, f"{low:g}"),)
