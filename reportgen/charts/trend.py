"""Draws values over dates or hours, one panel below the other on one common axis.

The series of a panel share its scale; each has its own dashes and its own shape of mark, and its name stands
at the end of its line. A value that wasn't taken leaves a gap in the line and a cross below the panel's axis;
a value below detection is an open mark at the figure below which it lies, printed with "<"; a value outside
has a ring round its mark and bold figures.

Data:

    x_kind    "date" or "hours"
    x_name    what runs across: "Engine hours"; dates say themselves that they are dates
    panels    tuple of {name: str, unit: str, series, limits, outside}
              series   tuple of {name: str, points: tuple of (x, y: float or None [unit], printed: str,
                       below: bool)}; x is an ISO date "2024-05-31" or a float [hours]
              limits   tuple of {value: float [unit], label: str, side: "minimum" or "maximum"}; the label
                       holds the limit as printed and its source
              outside  tuple of (series' name, x) of the points that are outside
    scales    optional, tuple of (low, high) [unit] or None, one a panel, that its scale has to hold
    x_scale   optional, (low, high) that the common axis has to hold, given as x is
    words     optional, {"not taken": ..., "outside": ..., "minimum": ..., "maximum": ...,
              "below detection": ..., "not from zero": ...} in the reader's language
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from functools import partial
from typing import Any

from reportgen import plotting, scales
from reportgen.chart import Chart
from reportgen.drawing import clean

_MOST_YEARS, _MOST_MONTHS, _MOST_DAYS = 5, 4, 3


def draw(chart: Chart, key: str) -> str:
    """Give the panels as an `<svg>` element; every id in it begins with `key`.

    Raises ValueError when a point has not four values or no date where dates are asked for, when what is
    outside is no point, or when there are scales but not one a panel.
    """
    data = chart.data
    dates = data["x_kind"] == "date"
    at: Callable[[Any], float] = _day if dates else float
    found = plotting.panels(data, partial(_point, at), 4)
    scale = tuple(at(edge) for edge in data.get("x_scale") or ())
    ends = plotting.reach(found, None, scale)
    name = "" if dates and ends else clean(data["x_name"])
    across = plotting.Across(name, ends, _dates if dates else _hours)
    return plotting.draw(chart, key, found, across)


def _day(told: object) -> float:
    return float(date.fromisoformat(str(told)).toordinal())


def _point(at: Callable[[Any], float], told: Sequence[Any], outside: bool) -> plotting.Point:
    x, y, printed, below = told
    return plotting.Point(at(x), y, printed, bool(below), outside)


def _hours(low: float, high: float) -> Sequence[tuple[float, str]]:
    return scales.ticks(low, high) if high > low else ((low, f"{low:g}"),)


def _dates(low: float, high: float) -> Sequence[tuple[float, str]]:
    """Give years, months or days within low..high, as far apart as needed to be few; written as ISO does."""
    first, last = date.fromordinal(int(low)), date.fromordinal(int(high))
    if high - low < 62:
        step = max(int((high - low) // _MOST_DAYS), 1)
        days = range(int(low), int(high) + 1, step)
        return [(float(day), date.fromordinal(day).isoformat()) for day in days]
    for months in (1, 2, 3, 6):
        found = [(d, f"{d:%Y-%m}") for d in _firsts(first, last, months)]
        if len(found) <= _MOST_MONTHS:
            return [(float(d.toordinal()), text) for d, text in found]
    for years in (1, 2, 5, 10, 20, 50):
        found = [(d, str(d.year)) for d in _firsts(first, last, 12 * years)]
        if len(found) <= _MOST_YEARS:
            return [(float(d.toordinal()), text) for d, text in found]
    return ()


def _firsts(first: date, last: date, step: int) -> Iterator[date]:
    """Give the first days of every `step` months within two days; years as a whole divide by their step."""
    month = -(-(first.year * 12 + first.month - (first.day == 1)) // step) * step
    while month < 9999 * 12 and (day := date(month // 12, month % 12 + 1, 1)) <= last:
        yield day
        month += step
