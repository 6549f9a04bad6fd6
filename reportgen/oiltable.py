"""Holds what oil of heavy-duty diesel engines may contain by a published table, and what more suggests."""

from __future__ import annotations

from dataclasses import replace

from reportgen.limits import Limit, general
from reportgen.wording import later, say

TABLE = "oil-heavy-duty"
GLYCOL = "glycol"
# group of engines to the table's source where the other group has another figure
OF_GROUP = {"older": later("{source}: the older"), "newer": later("{source}: the newer")}
GROUPS = tuple(OF_GROUP)
# the greatest of one sample by the heavy-duty table, for both groups of engines, then what differs
BOTH = {
    "iron": (200.0, "ppm"),
    "sodium": (100.0, "ppm"),
    "potassium": (150.0, "ppm"),
    "water": (3000.0, "ppm"),
    "soot": (4.5, "%"),
}
DIFFERING = {
    "older": {
        "fuel": (2.5, "%"),
        "aluminium": (30.0, "ppm"),
        "silicon": (30.0, "ppm"),
        "lead": (30.0, "ppm"),
    },
    "newer": {
        "fuel": (7.0, "%"),
        "aluminium": (50.0, "ppm"),
        "silicon": (50.0, "ppm"),
        "copper": (50.0, "ppm"),
        "lead": (10.0, "ppm"),
    },
}
FREE = general(GLYCOL, 0.0, "", "maximum", TABLE, GLYCOL)
THIN = general("minimum", 12.5, "cSt", "minimum", TABLE, "viscosity")  # of 15W-40
# what a figure beyond its limit suggests; common practice, no source
SUGGESTS = {
    "iron": later("Iron suggests wear of cylinders, shafts or gears."),
    "copper": later("Copper suggests wear of bearings or bushes, or an oil cooler."),
    "lead": later("Lead suggests wear of bearings."),
    "tin": later("Tin suggests wear of bearings."),
    "aluminium": later("Aluminium suggests wear of pistons or dirt drawn in."),
    "chromium": later("Chromium suggests wear of piston rings."),
    "silicon": later("Silicon suggests dirt drawn in past the air filter, or sealant of a repair."),
    "water": later("Water suggests cooling water or condensation from short runs."),
    "fuel": later("Fuel suggests injectors that leak, a lift pump's seal, or much idling."),
    "soot": later("Soot suggests poor combustion or oil left in too long."),
}


def heavy_duty(group: str, oil: str = "") -> tuple[Limit, ...]:
    """Give the limits of the heavy-duty table for a group of engines, "older" or "newer".

    oil: grade in the engine; the least viscosity is for 15W-40 only. Source: oil-heavy-duty.
    """
    rows = (BOTH | DIFFERING[group]).items()
    greatest = (general("maximum", value, unit, "maximum", TABLE, of) for of, (value, unit) in rows)
    # which group it is for belongs to a figure that the other group has another of
    own = DIFFERING[group]
    told = (
        replace(li, source=say(OF_GROUP[group], source=li.source)) if li.of in own else li for li in greatest
    )
    return (*told, FREE, *((THIN,) if oil.upper().startswith("15W-40") else ()))
