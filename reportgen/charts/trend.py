"""Draws values over dates or hours, one panel below the other on one common axis.

The series of a panel share its scale; each has its own dashes and its own shape of mark, and its name stands
at the end of its line. A value that wasn't taken leaves a gap in the line and a cross at the foot of the
panel; a value below detection is an open mark at the figure below which it lies, printed with "<"; a value
outside has a ring round its mark and bold figures.

Data:

    x_kind    "date" or "hours"
    x_name    what runs across: "Date of the sample", "Engine hours"
    panels    tuple of {name: str, unit: str, series, limits, outside}
              series   tuple of {name: str, points: tuple of (x, y: float or None [unit], printed: str,
                       below: bool)}; x is an ISO date "2024-05-31" or a float [hours]
              limits   tuple of {value: float [unit], label: str, side: "minimum" or "maximum"}; the label
                       holds the limit as printed and its source
              outside  tuple of (series' name, x) of the points that are outside
    scales    optional, tuple of (low, high) [unit] or None, one a panel, that its scale has to hold
    x_scale   optional, (low, high) that the common axis has to hold, given as x is
    words     optional, {"not taken": ..., "outside": ..., "minimum": ..., "maximum": ...,
              "below detection": ...} in the reader's language
"""

from __future__ import annotations
