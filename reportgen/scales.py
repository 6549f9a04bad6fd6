"""Finds where a chart's scale ends and the round numbers that stand along it, and prints them alike."""

from __future__ import annotations

import math
from collections.abc import Sequence

from reportgen.wording import number

STEPS = (1.0, 2.0, 5.0, 10.0)


def ticks(low: float, high: float, most: int = 5) -> tuple[tuple[float, str], ...]:
    """Give at most `most` round numbers within low..high, each with its text, decimals alike.

    Their step is 1, 2 or 5 times a power of ten. Gives none where high is not above low.
    """
    if not (math.isfinite(low) and math.isfinite(high)) or high <= low or most < 1:
        return ()
    exponent = math.floor(math.log10((high - low) / most))
    for power in (exponent, exponent + 1, exponent + 2):
        for step in STEPS:
            size = step * 10.0**power
            first, last = math.ceil(low / size - 1e-9), math.floor(high / size + 1e-9)
            if last - first + 1 <= most:
                return _printed([n * size for n in range(first, last + 1)], size)
    return ()


def ends(every: Sequence[float]) -> tuple[float, float]:
    """Give the ends of a scale: those of all its values, or zero where it isn't far; never alike."""
    low, high = min(every, default=0.0), max(every, default=1.0)
    if 0 <= low <= 0.4 * high:
        low = 0.0
    elif 0 >= high >= 0.4 * low:
        high = 0.0
    if low == high:
        # one value alone is measured from zero
        return min(low, 0.0), max(high, 0.0) if low else 1.0
    return low, high


def whole_ticks(low: float, high: float, most: int = 5) -> tuple[int, ...]:
    """Give round whole numbers from `low` to `high` for an axis, at most about `most`, 0 among them.

    Only numbers of up to four digits are given, else 0 alone: they need no decimal or thousands
    mark, which would depend on the reader's language.
    """
    if max(high, -low) >= 10_000:
        return (0,)
    steps = (first * 10**power for power in range(5) for first in (1, 2, 5))
    step = next(s for s in steps if (high - low) / s <= most)
    return tuple(range(-int(-low // step) * step, int(high // step) * step + 1, step))


def _printed(values: Sequence[float], size: float) -> tuple[tuple[float, str], ...]:
    decimals = max(0, -math.floor(math.log10(size) + 1e-9))
    text = (f"{value + 0.0:.{decimals}f}" for value in values)
    pairs = zip(values, text, strict=True)
    # a plain minus is a hyphen; a zero has no sign
    return tuple(
        (v, number(t).replace("-", "\N{MINUS SIGN}") if float(t) else number(t.lstrip("-"))) for v, t in pairs
    )
