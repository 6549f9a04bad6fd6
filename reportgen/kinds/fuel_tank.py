"""Judges a static pressure test of a fuel tank or system: start and end on the gauge, and the time between.

Method: the closed-off system filled with air or inert gas, by those who are equipped for it; pressure read on
a gauge of at most three times the test pressure, at once and after the time. Units: psi, kPa, bar, mbar,
inH2O; minutes; gallons, litres.

General limits (fuel-static-test): a start of at least 3 psi, or one and a half times the pressure at the
lowest point when the system is filled to overflowing, whichever is greater; at least five minutes, and one
more for each ten gallons or part of them beyond fifty; no drop at all.

Source: fuel-static-test, the United States rule for builders of gasoline boats with inboard engines. It is
used here as a yardstick for a boat in use, and the page says so. The note's figures replace each by its word.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from reportgen import holding, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limit, Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, Text
from reportgen.wording import number, say, term

SOURCE = "fuel-static-test"
NO_DROP = general("drop", 0.0, "psi", "maximum", SOURCE, "drop")
LEAST_PRESSURE = general("minimum", 3.0, "psi", "minimum", SOURCE, "start")
LEAST_TIME = general("minimum", 5.0, "min", "minimum", SOURCE, "held")
LIMIT_WORDS = {"drop": "pressure", "minimum": ""}
NAMES: dict[str, tuple[str, str | None]] = {"held": ("time", "min"), "start": ("pressure", None)}


@dataclass(frozen=True)
class Fields:
    """Keys of a static pressure test of a fuel tank or system."""

    start: Quantity | None = key(Measure("pressure"), share="open", help="pressure at the start")
    end: Quantity | None = key(Measure("pressure"), share="open", help="pressure after the time")
    held: Quantity | None = key(Measure("time", "min"), share="open", help="minutes between the two")
    capacity: Quantity | None = key(Measure("volume"), share="open", help="what the tank holds")
    head: Quantity | None = key(
        Measure("pressure"), share="open", help="pressure at the lowest point when filled to overflowing"
    )
    medium: str = key(Text(), share="open", help="air or inert gas", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="other figures with their source", default=()
    )


def minutes(gallons: float | None) -> float:
    """Give the time that the rule asks for a tank of so many US gallons [min]. Source: fuel-static-test."""
    more = max(0.0, (gallons or 0.0) - 50.0)
    # a part of ten gallons counts as ten; a rounding of the conversion does not
    return LEAST_TIME.value + math.ceil(round(more / 10.0, 9))


def assess(reading: Reading, about: About) -> Assessment:
    """Judge a static pressure test. Source: fuel-static-test where the note gives no figure."""
    fields: Fields = reading.fields
    slips = _slips(fields)
    start, end = (None, None) if slips else (fields.start, fields.end)
    drop, steps = _drop(start, end)
    found: tuple[Thing, ...] = ()
    if fields.start or fields.end:
        found = (judging.single("start", start, "psi"), drop, judging.single("held", fields.held, "min"))
    pressure, time, more = _general(fields)
    asked = limits.applying(fields.limit, (NO_DROP, pressure, time))
    judged = judging.judge(asked, found)
    return judging.assessment(
        reading,
        found,
        judged,
        working=(*more, *steps),
        says=_says(fields),
        suggests=_suggests(drop),
        values=(
            ("pressure", (Cell("start", fields.start), Cell("end", fields.end), *judging.cells_of(drop))),
        ),
        chart=_chart(fields, judged),
        warnings=slips,
    )


def _general(fields: Fields) -> tuple[Limit, Limit, tuple[Step, ...]]:
    """Give the least pressure and the least time for this tank, with how they come about."""
    steps = []
    least, time = LEAST_PRESSURE, LEAST_TIME
    if fields.head:
        needed = 1.5 * fields.head.to("psi")
        value = max(LEAST_PRESSURE.value, needed)
        least = general("minimum", value, "psi", "minimum", SOURCE, "start")
        values, printed = f"{number('1.5')} × {fields.head}", units.figures(needed, 3)
        # not "head": on other pages of a report that is part of an engine, or the toilet
        what, rule = say("least pressure by the full system"), say("1.5 × pressure of the full system")
        steps.append(Step(what, rule, values, printed, "psi"))
    if fields.capacity:
        gallons = fields.capacity.to("gal")
        time = general("minimum", minutes(gallons), "min", "minimum", SOURCE, "held")
        rule = say("5, and 1 for each 10 gal or part beyond 50 gal")
        printed = units.figures(time.value, 3)
        steps.append(
            Step(
                say("least time"),
                rule,
                f"{units.figures(gallons, 4)} gal",
                printed,
                "min",
            )
        )
    return least, time, tuple(steps)


def _drop(start: Quantity | None, end: Quantity | None) -> tuple[Thing, tuple[Step, ...]]:
    if start is None or end is None:
        return Thing("drop", None, "psi", "", "drop"), ()
    value = float(start.value) - end.to(start.unit)
    value = 0.0 if abs(value) <= 1e-9 * abs(float(start.value)) else value
    printed = units.figures(value, 3)
    step = Step(term("drop"), say("start − end"), f"{start} - {end}", printed, start.unit)
    return Thing("drop", value, start.unit, printed, "drop"), (step,)


def _slips(fields: Fields) -> tuple[tuple[str, str], ...]:
    start, end = fields.start, fields.end
    if start is not None and start.value <= 0:
        return ((f"a start of {start}: nothing was under pressure", "write the pressure at the start"),)
    most = float(start.value) * 1.05 if start is not None else 0.0
    if start is not None and end is not None and not units.within(end.to(start.unit), most, "maximum"):
        return ((f"{end} at the end, above {start} at the start", "read both again: pressure doesn't rise"),)
    return ()


def _says(fields: Fields) -> Iterator[str]:
    yield say("The rule is for builders; it is used here as a yardstick for a boat in use.")
    if not fields.capacity:
        yield say("What the tank holds is not stated: beyond 50 gallons the rule asks for more time.")
    if not fields.head:
        yield say("The pressure of a full system is not stated: a tall filler asks for more than 3 psi.")
    if not fields.medium:
        yield say("What it was filled with is not stated; the rule asks for air or inert gas.")


def _suggests(drop: Thing) -> Iterator[str]:
    if drop.value is not None and drop.value > 0:
        yield say(
            "A drop means a leak in the tank, a hose or a fitting; no fuel in, no engine start, "
            "until a mechanic who is qualified for fuel systems has found it."
        )


def _chart(fields: Fields, judged: tuple[Judged, ...]) -> Chart | None:
    if fields.start is None:
        return None
    unit = fields.start.unit
    found = (judging.single("start", fields.start), judging.thing(Cell("end", fields.end), "", unit))
    lines = (*(j for j in judged if j.limit.of == "start"), *holding.left_at_end(judged, *found))
    return plots.bars(
        say("Pressure in the fuel system, {unit}", unit=unit),
        say("Reading"),
        [(say("found"), found)],
        lines,
        unit,
    )


KIND = Kind(
    name="fuel-tank",
    title="Fuel tank pressure test",
    measures="Whether a fuel tank or system holds a low pressure of air for the time that its size asks for.",
    fields=Fields,
    units=("psi", "kPa", "bar", "mbar", "inH2O"),
    limits=(NO_DROP, LEAST_PRESSURE, LEAST_TIME),
    limits_for="A full system that presses harder and a tank of more than 50 gal ask for more than these.",
    assess=assess,
    proves=("A pressure that stays shows that what was closed off did not leak on that day.",),
    proves_not=(
        "It does not show how thin a tank has rusted, nor hoses that will crack next year.",
        "It can harm an old tank; it is for those trained and equipped, and some surveyors may not do it.",
    ),
    limit_words=LIMIT_WORDS,
    how="By separate agreement and by those equipped for it: system closed off, low pressure of air or inert "
    "gas, gauge read at once and after the time; never near a flame or a spark.",
    instrument="low-pressure gauge or manometer",
    example="""
kind: fuel-tank
start: 3.2 psi
end: 3.2 psi
held: 8 min
capacity: 75 gal
head: 1.4 psi
medium: air
""",
    blank="kind: fuel-tank\nunit: psi\nstart:\nend:\nheld:\ncapacity:\nhead:\nmedium:",
    hazards=("explosion",),
    unanswered="stop",
    extra=True,
    source_ids=(SOURCE,),
)
