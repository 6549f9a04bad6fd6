"""Judges how firmly a battery is held: how far it moves under a pull in each direction.

Method: a spring scale hooked to the middle of the battery, pulled up, fore, aft, to port and to starboard, a
minute each; the furthest movement in each direction is noted. Units: in, mm; lbf, N; lb, kg.

General limits (battery-fastening-cfr): at most one inch in any direction, under a pull of 90 lbf or twice the
battery's weight, whichever is less, for a minute. A weaker or shorter pull proves nothing: it is left as not
taken, with the figure that is missing, unless the battery moved too far even so. A terminal that a spring
alone holds is outside. The note's figures replace each by its word.

Source: battery-fastening-cfr, the United States rule for builders of gasoline boats with inboard engines,
used here as a yardstick, and the page says so.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import cylinders, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step, overall
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, YesNo
from reportgen.wording import say, term

SOURCE = "battery-fastening-cfr"
MOVED = general("maximum", 1.0, "in", "maximum", SOURCE, "moved")
MOST_PULL = general("minimum", 90.0, "lbf", "minimum", SOURCE, "pull")
LEAST_TIME = general("minimum", 1.0, "min", "minimum", SOURCE, "held")
NO_SPRING = general("maximum", 0.0, "", "maximum", SOURCE, "spring terminals")
LIMIT_WORDS = {"maximum": "", "minimum": ""}
NAMES: dict[str, tuple[str, str | None]] = {
    "moved": ("length", "in"),
    "pull": ("force", "lbf"),
    "held": ("time", "min"),
}


@dataclass(frozen=True)
class Fields:
    """Keys of a pull on a battery."""

    moved: tuple[Cell, ...] = key(
        Cells("length", "in"),
        share="open",
        help="movement by direction: up, fore, aft and others",
        default=(),
    )
    pull: Quantity | None = key(Measure("force", "lbf"), share="open", help="force of the pull")
    held: Quantity | None = key(Measure("time", "min"), share="open", help="how long each pull was held")
    weight: Quantity | None = key(Measure("mass"), share="open", help="weight of the battery")
    spring_terminals: bool | None = key(YesNo(), share="open", help="whether a spring alone holds a terminal")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="other figures with their source", default=()
    )


def needed(weight: Quantity | None) -> float:
    """Give the pull that the rule asks for [lbf]: 90, or twice the weight where that is less."""
    return min(MOST_PULL.value, 2.0 * weight.to("lb")) if weight else MOST_PULL.value


def assess(reading: Reading, about: About) -> Assessment:
    """Judge a pull on a battery. Source: battery-fastening-cfr where the note gives no figure."""
    fields: Fields = reading.fields
    moved = judging.things(fields.moved, "moved", "in")
    found: tuple[Thing, ...] = ()
    if moved:
        found = (*moved, *_test(fields))
    if fields.spring_terminals is not None:
        spring = Thing("spring terminals", float(fields.spring_terminals), "", "", "spring terminals")
        found = (*found, spring)
    pull = general("minimum", needed(fields.weight), "lbf", "minimum", SOURCE, "pull")
    asked = limits.applying(fields.limit, (MOVED, pull, LEAST_TIME, NO_SPRING))
    judged = judging.judge(asked, found)
    # that no spring holds a terminal is no figure, and a sentence of figures goes without it
    told = tuple(_named(j) for j in judged if j.limit.of != "spring terminals" or j.outcome == "outside")
    outcome = overall(judged)
    return judging.assessment(
        reading,
        found,
        judged,
        reason=judging.because(outcome, told, found, reading, "")
        if told and outcome == overall(told)
        else "",
        working=_working(fields),
        says=_says(fields),
        values=(("moved", fields.moved),),
        chart=_chart(fields, moved, judged) if moved else None,
    )


def _named(judged: Judged) -> Judged:
    """Give a movement by what it is: a bare direction tells no reader what went that way."""
    if judged.limit.of != "moved" or judged.value is None:
        return judged
    name, where = _movement(judged.name), tuple(map(_movement, judged.where))
    return replace(judged, name=name, where=where)


def _movement(direction: str) -> str:
    return say("movement {direction}", direction=term(direction))


def _chart(fields: Fields, moved: Sequence[Thing], judged: Sequence[Judged]) -> Chart:
    """Draw the movements in the unit in which they were read."""
    unit = cylinders.unit_of(fields.moved, "", "length", "in")
    read = judging.things(fields.moved, "moved")
    title = say("Movement under the pull, {unit}", unit=unit)
    # all bars are movements, so that a limit for them is a line for all
    own = [replace(j, limit=replace(j.limit, of="")) for j in judged if j.limit.of == "moved"]
    return plots.bars(title, say("Direction"), [(say("moved"), read)], own, unit)


def _test(fields: Fields) -> tuple[Thing, Thing]:
    """Give pull and time; one below what is asked counts as not taken, since it proves nothing."""
    pull, held = judging.single("pull", fields.pull, "lbf"), judging.single("held", fields.held, "min")
    asked = {li.of: li for li in limits.written(fields.limit) if li.word == "minimum"}
    least = asked["pull"].value if "pull" in asked else needed(fields.weight)
    time = asked["held"].value if "held" in asked else LEAST_TIME.value
    return _enough(pull, least), _enough(held, time)


def _enough(each: Thing, least: float) -> Thing:
    if each.value is None or units.within(each.value, least, "minimum"):
        return each
    why = say(
        "{found} is less than the {least} {unit} asked",
        found=each.words,
        least=units.figures(least, 4),
        unit=each.unit,
    )
    return replace(each, value=None, why=why)


def _working(fields: Fields) -> Iterator[Step]:
    if fields.weight and fields.moved:
        rule = say("90 lbf, or twice the weight if less")
        numbers = f"90, 2 × {units.figures(fields.weight.to('lb'), 3)}"
        yield Step(say("pull that is asked"), rule, numbers, units.figures(needed(fields.weight), 4), "lbf")


def _says(fields: Fields) -> Iterator[str]:
    yield say("The rule is for builders; it is used here as a yardstick for a boat in use.")
    if fields.moved and not fields.weight:
        yield say("The battery's weight is not stated, so the full 90 lbf are asked.")
    if fields.spring_terminals is None:
        yield say("Whether a spring alone holds a terminal is not stated.")


KIND = Kind(
    name="battery-fastening",
    title="Battery fastening",
    measures="How far a battery moves when it is pulled, and so whether it stays put in a seaway.",
    fields=Fields,
    units=("in", "mm", "cm"),
    limits=(MOVED, MOST_PULL, LEAST_TIME, NO_SPRING),
    limits_for="Twice the battery's weight is enough of a pull where that is less than 90 lbf.",
    assess=assess,
    proves=("It shows that box, straps and the floor below them hold the battery.",),
    proves_not=(
        "It says nothing of the battery's own state, of ventilation, or of fuel fittings near it.",
        "A strap that holds today may be rotten in a year; look at it again with the battery.",
    ),
    limit_words=LIMIT_WORDS,
    how="Cables off first, the grounded one before the other; spring scale at the middle of the battery, "
    "pulled up, fore, aft and to each side for a minute.",
    instrument="spring scale and rule",
    example="""
kind: battery-fastening
moved: {up: 0.2 in, fore: 0.4 in, aft: 1.3 in, port: 0 in, starboard: 0.1 in}
pull: 90 lbf
held: 1 min
weight: 52 lb
spring terminals: no
""",
    blank="kind: battery-fastening\nmoved:\n  up:\n  fore:\n  aft:\npull:\nheld:\nweight:\nspring terminals:",
    hazards=("explosion", "fire"),
    source_ids=(SOURCE,),
)
