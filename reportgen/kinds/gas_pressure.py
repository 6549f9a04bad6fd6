"""Judges whether a cooking-gas system holds its pressure: start and end on the gauge, minutes between.

Method: appliance valves closed, master valve open, one cylinder valve opened and closed again, the pressure
on the gauge read at once and after the time. Units: psi, kPa, bar, mbar, inH2O; minutes.

General limits: no drop at all over at least ten minutes (gas-pressure-cfr). A shorter time proves nothing and
is outside; a drop is a leak, however long it took. The note's figures replace each by its word.

Source: gas-pressure-cfr. It holds for propane and butane systems with a gauge on the cylinder's side.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reportgen import holding, judging, limits, plots, sources, units
from reportgen.block import key
from reportgen.cells import Cell
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, Text
from reportgen.wording import say, term

NO_DROP = general("drop", 0.0, "psi", "maximum", "gas-pressure-cfr", "drop")
LEAST = general("minimum", 10.0, "min", "minimum", "gas-pressure-cfr", "held")
LIMIT_WORDS = {"drop": "pressure", "minimum": ""}


@dataclass(frozen=True)
class Fields:
    """Keys of a gas pressure test."""

    start: Quantity | None = key(
        Measure("pressure"), share="open", help="pressure once the cylinder is closed"
    )
    end: Quantity | None = key(Measure("pressure"), share="open", help="pressure after the time")
    held: Quantity | None = key(Measure("time", "min"), share="open", help="minutes between the two")
    appliances: str = key(Text(), share="open", help="appliances and valves in the test", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, {"held": ("time", "min")}),
        share="open",
        help="another drop or time with its source",
        default=(),
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge a gas pressure test. Source: gas-pressure-cfr where the note gives no figure."""
    fields: Fields = reading.fields
    start, end, held = fields.start, fields.end, fields.held
    slips = _slips(start, end)
    drop, steps = _drop(None if slips else start, None if slips else end)
    # the minutes count only with two pressures: a time by itself is no test
    found = (drop, judging.single("held", held, "min")) if start or end else ()
    asked = limits.applying(fields.limit, (NO_DROP, LEAST))
    judged = judging.judge((li for li in asked if li.of or li.word == "drop"), found)
    return judging.assessment(
        reading,
        found,
        judged,
        working=steps,
        says=()
        if fields.appliances
        else (say("Which appliances and valves were in the test is not stated."),),
        suggests=_suggests(drop),
        criteria=(
            say(
                "no drop that can be detected over five minutes ({source})",
                source=sources.get("gas-pressure-land"),
            ),
        ),
        source_ids=("gas-pressure-land",),
        values=(("pressure", (Cell("start", start), Cell("end", end), *judging.cells_of(drop))),),
        chart=_chart(start, end, judged),
        warnings=slips,
    )


def _drop(start: Quantity | None, end: Quantity | None) -> tuple[Thing, tuple[Step, ...]]:
    """Give the drop in the unit of the start; not taken where one of the two is missing."""
    if start is None or end is None:
        return Thing("drop", None, "psi", "", "drop"), ()
    value = float(start.value) - end.to(start.unit)
    # two gauges' units never agree to the last figure
    value = 0.0 if abs(value) <= 1e-9 * abs(float(start.value)) else value
    printed = units.figures(value, 3)
    return Thing("drop", value, start.unit, printed, "drop"), (
        Step(term("drop"), say("start − end"), f"{start} - {end}", printed, start.unit),
    )


def _slips(start: Quantity | None, end: Quantity | None) -> tuple[tuple[str, str], ...]:
    """Tell a pressure that no test begins with, or one that rises by itself."""
    if start is not None and start.value <= 0:
        return ((f"a start of {start}: nothing was under pressure", "write the pressure at the start"),)
    most = float(start.value) * 1.05 if start is not None else 0.0
    if start is not None and end is not None and not units.within(end.to(start.unit), most, "maximum"):
        return ((f"{end} at the end, above {start} at the start", "read both again: pressure doesn't rise"),)
    return ()


def _suggests(drop: Thing) -> Iterator[str]:
    if drop.value is not None and drop.value > 0:
        yield say(
            "A drop is a leak: close the cylinder, switch nothing, let air in, and have a "
            "licensed gas fitter find it with soapy water, never with a flame."
        )


def _chart(start: Quantity | None, end: Quantity | None, judged: tuple[Judged, ...]) -> Chart | None:
    if start is None:
        return None
    found = (judging.single("start", start), judging.thing(Cell("end", end), "", start.unit))
    left = holding.left_at_end(judged, *found)
    return plots.bars(
        say("Gas pressure, {unit}", unit=start.unit),
        say("Reading"),
        [(say("found"), found)],
        left,
        start.unit,
    )


KIND = Kind(
    name="gas-pressure",
    title="Gas pressure test",
    measures="Whether the cooking-gas system holds its pressure with the cylinder closed.",
    fields=Fields,
    units=("psi", "kPa", "bar", "mbar", "inH2O"),
    limits=(NO_DROP, LEAST),
    limits_for="They are for propane and butane systems with a gauge on the cylinder's side.",
    assess=assess,
    proves=("A pressure that stays shows that the parts in the test did not leak on that day.",),
    proves_not=(
        "It does not test appliances whose valves were closed, flame failure devices or the gas locker.",
        "It does not show that the installation meets the rules: that is for a licensed gas fitter.",
    ),
    limit_words=LIMIT_WORDS,
    how="Appliance valves closed, master valve open, cylinder opened and closed again; gauge read at once "
    "and after ten minutes or more.",
    instrument="pressure gauge in the gas locker",
    example="""
kind: gas-pressure
start: 104 psi
end: 101 psi
held: 12 min
appliances: stove, with its valves closed
""",
    blank="kind: gas-pressure\nunit: psi\nstart:\nend:\nheld:\nappliances:",
    hazards=("explosion",),
    unanswered="stop",
    source_ids=("gas-pressure-cfr", "gas-pressure-land"),
)
