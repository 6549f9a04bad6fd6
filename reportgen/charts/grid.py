"""Draws readings by place on a plan of the hull: a cell for each place, its value in it, shaded by value.

Columns run along the hull, the bow on the left; where they would get too narrow for their words the plan is
cut into strips below one another. Five steps of hatching and grey go from the least value to the greatest;
the key below gives the least and the greatest value printed in each step. A place that wasn't taken has a
cross and no shade.

Data:

    columns    tuple of str (m,), places along the hull, bow first, or frames
    rows       tuple of str (n,), places across, port first, or heights
    unit       the unit of all values: "mm"; may be empty
    values     tuple (n,) of tuples (m,) of float or None [unit]
    printed    tuples of str, shaped as the values: each value as the report prints it
    outside    tuple of (row, column) labels of the cells that are outside: a thick frame, a bold value
    marked     optional, tuple of (row, column) labels of the cells with a ring
    mark       what the ring means: "more than 10 above the dry reference"; needed if any cell is marked
    outline    optional, what is drawn behind: "hull" or "deck" (pointed bow), "transom" (round corners), ""
    reference  optional, {label: str, value: float [unit], printed: optional str}, a value to compare with
    scale      optional, (low, high) [unit] that the steps have to span, to compare with other charts
    words      optional, {"not taken": ..., "outside": ...} in the reader's language
"""

from __future__ import annotations
