"""Says what a limit asks and what was found, in figures that show on which side of the limit a value lies."""

from __future__ import annotations

import math
import re
from dataclasses import replace

from reportgen import unitnames, units, wording
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.wording import say

BETWEEN = ("difference", "shift", "spread", "drop")  # limit words of what lies between two values


def short(limit: Limit) -> str:
    """Name a limit's source in a few words, for a sentence or beside a line."""
    if limit.origin == "general":
        return say("a general rule")
    if len(limit.source) <= 60:
        return limit.source
    # cut where the writer made a pause, not within a word
    head = limit.source[:60].rpartition(",")[0] or limit.source[:60].rpartition(" ")[0]
    return head or limit.source[:60]


def beside(value: float, limit: Limit, digits: int = 3) -> str:
    """Print a value [the limit's unit] with as many figures as show on which side of the limit it lies.

    digits: how many figures it has at the least, more if the whole number has more.
    """
    kept = limit.keeps(value)
    least = max(digits, len(str(int(abs(value)))))
    tried = (units.plain_figures(value, n) for n in range(least, 15))
    shown = next((t for t in tried if limit.keeps(float(t.replace(",", ""))) == kept), f"{value}")
    return wording.number(shown)


def bound(limit: Limit) -> str:
    """Say what a limit asks: `at least 12.4 V`."""
    value = asked(limit)
    return (
        say("at least {value}", value=value)
        if limit.side == "minimum"
        else say("at most {value}", value=value)
    )


def asked(limit: Limit, drawn: str = "") -> str:
    """Give a limit's figure in the reader's units, its source's own in brackets where that is another.

    drawn: unit of the chart beside it, in which it is read off by whoever asked for no units.
    """
    unit = _readers(limit) or (drawn if drawn != limit.unit else "")
    own = _figure(limit.value, limit.unit)
    return _both(_figure(_within(limit, unit).value, unit, 3), own) if unit else own


def found_in(judged: Judged) -> str:
    """Give what was held against a limit as noted, with the limit's unit in brackets where they differ.

    Where the reader asked for other units than the limit's, these stand first, as in the limit itself.
    """
    limit, value, below = judged.limit, judged.value or 0.0, "<" * judged.below
    unit = _readers(limit)
    # of 8 mm, three figures of inches would promise more than was read
    noted = re.sub(r"\D", "", judged.noted.rpartition(" ")[0]).lstrip("0")
    digits = max(2, len(noted)) if judged.noted else 3
    own = f"{in_own_unit(judged, digits)} {units.in_words(limit.unit, value == 1)}".rstrip()
    if not unit:
        return f"{judged.noted} ({own})" if judged.noted not in ("", own) else own
    if judged.noted.endswith(f" {unit}"):
        return judged.noted
    other = units.convert(value, limit.unit, unit)
    # what equals its limit is printed as the limit is
    same = math.isclose(value, limit.value, rel_tol=1e-9)
    figure = units.figures(other, 3) if same else beside(other, _within(limit, unit))
    return _both(f"{below}{figure} {units.in_words(unit, other == 1)}", judged.noted or own)


def in_own_unit(judged: Judged, digits: int = 3) -> str:
    """Give what was held in the limit's unit, without it: as noted, rounded only where it was worked out."""
    value, end = judged.value or 0.0, f" {units.in_words(judged.limit.unit, judged.value == 1)}"
    if judged.noted.endswith(end):
        return judged.noted.removesuffix(end)
    return f"{'<' * judged.below}{beside(value, judged.limit, digits)}"


def unit(limit: Limit) -> str:
    """Give the unit in which a value to be held against a limit is written down, in words."""
    return units.in_words(_readers(limit) or limit.unit)


def _readers(limit: Limit) -> str:
    """Give the unit in which a reader asked to see a limit, empty where it stands as it is."""
    system = wording.system()
    if not system or (limit.word in BETWEEN and limit.unit in units.UNITS["temperature"]):
        return ""  # degrees of difference have no zero to shift
    return unitnames.counterpart(limit.unit, system)


def _both(readers: str, own: str) -> str:
    # who asks for both systems sees first what was written
    first, second = (own, readers) if wording.system() == "both" else (readers, own)
    return f"{first} ({second})"


def _within(limit: Limit, unit: str) -> Limit:
    return replace(limit, value=units.convert(limit.value, limit.unit, unit), unit=unit) if unit else limit


def _figure(value: float, unit: str, digits: int = 4) -> str:
    return f"{units.figures(value, digits)} {units.in_words(unit, value == 1)}".rstrip()
