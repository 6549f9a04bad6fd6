"""Says what a compression figure stated for sea level becomes at a height.

The factors are published for whole thousands of feet; between two of them the line is straight.
They are the density ratio of the standard atmosphere to three figures. The half thousands that
some tables print are 0.002 to 0.006 higher than that line; they are not used.
"""

from __future__ import annotations

import dataclasses
import itertools
from dataclasses import dataclass

from reportgen import units
from reportgen.kind import Step
from reportgen.limits import Limit
from reportgen.units import Quantity
from reportgen.wording import later, say

SOURCE_IDS = ("altitude-factors", "altitude-factor-7000", "altitude-by-pressure")

# height [ft] and factor [-]; Source: altitude-factors, 7000 ft altitude-factor-7000, 8000 ft from memory
FACTORS = (
    (0.0, 1.0),
    (1000.0, 0.971),
    (2000.0, 0.943),
    (3000.0, 0.915),
    (4000.0, 0.888),
    (5000.0, 0.862),
    (6000.0, 0.836),
    (7000.0, 0.813),
    (8000.0, 0.79),
)
HIGHEST_FT = FACTORS[-1][0]
_FROM_MEMORY_ABOVE_FT = 7000.0

METHOD = later(
    "Altitude is allowed for by a published factor table (whole thousands of feet, "
    "straight line between), which multiplies only a floor stated for sea level. A method"
    " by absolute pressure gives lower figures: 150 psi at sea level is 129 psi at 5000 "
    "ft by the table and 125 psi by absolute pressure."
)
RATIOS_STAY = later("Ratios between cylinders do not change with altitude.")


@dataclass(frozen=True)
class Correction:
    """What is known of one height.

    height_ft: height above sea level [ft]. factor: what a sea-level figure is multiplied by [-],
    None where the table has none. remark: what a reader must know of it, empty if nothing.
    """

    height_ft: float
    factor: float | None
    remark: str = ""


def correction(height: Quantity) -> Correction:
    """Give the factor for a height, or say why there is none.

    height: above sea level [ft, m or any length]. Holds from sea level to 8000 ft [ft]; outside, the
    factor is None and nothing may be corrected.
    Source: altitude-factors; 7000 ft altitude-factor-7000; 8000 ft from memory.
    """
    feet = height.to("ft")
    if feet < 0:
        return Correction(
            feet,
            None,
            say("{height} is below sea level, where the table begins: not corrected.", height=height),
        )
    if not units.within(feet, HIGHEST_FT, "maximum"):
        return Correction(
            feet, None, say("{height} is above 8000 ft, where the table ends: not corrected.", height=height)
        )
    remark = ""
    if feet > _FROM_MEMORY_ABOVE_FT:
        remark = say(
            "The factor for 8000 ft is from memory, so this one is less sure than those up to 7000 ft."
        )
    return Correction(feet, _between(feet), remark)


def _between(feet: float) -> float:
    for (low, at_low), (high, at_high) in itertools.pairwise(FACTORS):
        if feet <= high:
            return at_low + (at_high - at_low) * (feet - low) / (high - low)
    return FACTORS[-1][1]


@dataclass(frozen=True)
class Floor:
    """A floor at a height.

    stated: for sea level. corrected: for the height, None if it can't be.
    steps: the working. says: method and doubts, sentences.
    """

    stated: Limit
    corrected: Limit | None
    steps: tuple[Step, ...] = ()
    says: tuple[str, ...] = ()


def floor(stated: Limit, height: Quantity) -> Floor:
    """Give a floor stated for sea level as it stands at a height.

    stated: an absolute minimum [pressure]. height: above sea level [length].
    """
    known = correction(height)
    if known.factor is None:
        return Floor(stated, None, says=(known.remark,))
    factor = units.figures(known.factor, 4)
    source = say("{source}, times {factor} for altitude", source=stated.source, factor=factor)
    corrected = dataclasses.replace(stated, value=stated.value * known.factor, source=source)
    steps = (
        Step(
            say("altitude factor"),
            say("published table, linear between"),
            str(height),
            factor,
        ),
        Step(
            say("floor at this height"),
            say("floor × factor"),
            f"{units.figures(stated.value, 6)} {stated.unit} × {factor}",
            units.figures(corrected.value, 4),
            stated.unit,
        ),
    )
    return Floor(stated, corrected, steps, tuple(filter(None, (say(METHOD), known.remark))))
