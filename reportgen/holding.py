"""Turns the limit of a drop of pressure into what has to be left of it at the end, for a chart of both."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from reportgen import units
from reportgen.judging import Thing
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.wording import later_in

AT_END = later_in("name", "left at the end")


def left_at_end(judged: Iterable[Judged], start: Thing, end: Thing) -> tuple[Judged, ...]:
    """Give what a limit of the drop leaves at the end, which has a place on the scale of the pressures."""
    if start.value is None or end.value is None:
        return ()
    return tuple(
        Judged(
            _left(j.limit, start.value, start.unit),
            end.value,
            j.outcome,
            (end.name,) * len(j.where),
            end.name,
        )
        for j in judged
        if j.limit.word == "drop"
    )


def _left(limit: Limit, start: float, unit: str) -> Limit:
    least = start - units.convert(limit.value, limit.unit, unit)
    return replace(limit, word=AT_END, value=least, unit=unit, side="minimum", of="")
