"""Judges carbon monoxide in the spaces of a boat and in the open air about her while an engine runs.

Method: a meter for carbon monoxide held in each place until it is steady, engine or generator running as
`running` says, canvas as in `conditions`; the highest value counts. Units: ppm.

Limits. Spaces that people stay in are held to the World Health Organization's guideline for the time that
`stay` gives: 90 ppm for 15 minutes, 50 for 30, 25 for an hour, 10 for eight hours, which is a night; between
rows the figure of the longer stay, and eight hours where nothing is said (co-who-guideline). They are
averages, and one look at a meter is none: the page says so. Places in the open air are held to the ceiling
for workers of 200 ppm at any moment (co-niosh-ceiling). The note's maximum for one place stands beside them.

Source: co-who-guideline, co-niosh-ceiling; 1,200 ppm as immediately dangerous: co-niosh-danger.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportgen import judging, limits, plots, sources
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, Text
from reportgen.wording import later, say

# longest stay [min] to the average that it allows [ppm]
BY_STAY = ((15.0, 90.0), (30.0, 50.0), (60.0, 25.0), (480.0, 10.0))
SPACE, OPEN_AIR = "space", "open air"
ROOM = general("maximum", 10.0, "ppm", "maximum", "co-who-guideline", SPACE)
CEILING = general("maximum", 200.0, "ppm", "maximum", "co-niosh-ceiling", OPEN_AIR)
DANGER = 1200.0  # immediately dangerous to life or health [ppm], co-niosh-danger
LIMIT_WORDS = {"maximum": "concentration"}
OTHERS = (
    (later("9 ppm as an average of eight hours and 35 ppm of one hour, in outdoor air"), "co-epa"),
    (
        later("50 ppm as an average of eight hours at work, and out of the space above 100 ppm"),
        "co-osha-maritime",
    ),
    (later("35 ppm as an average of eight hours at work"), "co-niosh-ceiling"),
)


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of carbon monoxide."""

    spaces: tuple[Cell, ...] = key(
        Cells("concentration", "ppm"), share="open", help="highest value by enclosed space", default=()
    )
    open_air: tuple[Cell, ...] = key(
        Cells("concentration", "ppm"), share="open", help="highest value by place in the open air", default=()
    )
    background: Quantity | None = key(
        Measure("concentration", "ppm"), share="open", help="value with nothing running"
    )
    stay: Quantity | None = key(
        Measure("time", "min"), share="open", help="how long people stay there, eight hours if not said"
    )
    running: str = key(Text(), share="open", help="what was running, at which rpm, for how long", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="another limit with its source", default=()
    )


def allowed(minutes: float) -> float:
    """Give the average [ppm] that the guideline allows for a stay [min]. Source: co-who-guideline."""
    return next((ppm for longest, ppm in BY_STAY if minutes <= longest), BY_STAY[-1][1])


def assess(reading: Reading, about: About) -> Assessment:
    """Judge carbon monoxide. Source: co-who-guideline for spaces, co-niosh-ceiling for the open air."""
    fields: Fields = reading.fields
    found, slips = _found(fields)
    stay = fields.stay.to("min") if fields.stay else BY_STAY[-1][0]
    room = dataclasses.replace(ROOM, value=allowed(stay))
    judged = judging.judge(limits.applying(fields.limit, (room, CEILING)), found)
    used = any(j.limit.origin == "general" for j in judged)
    return judging.assessment(
        reading,
        found,
        judged,
        says=_says(fields, found, used),
        suggests=_suggests(found),
        criteria=(f"{say(words)} ({sources.get(id)})" for words, id in OTHERS) if used else (),
        source_ids=("co-niosh-danger", *((id for _, id in OTHERS) if used else ())),
        values=(("spaces", fields.spaces), ("open air", fields.open_air)),
        chart=_chart(found, judged),
        warnings=slips,
    )


def _found(fields: Fields) -> tuple[tuple[Thing, ...], tuple[tuple[str, str], ...]]:
    """Give the places as things, and a slip for each value below zero, which counts as not taken."""
    every = (*judging.things(fields.spaces, SPACE, "ppm"), *judging.things(fields.open_air, OPEN_AIR, "ppm"))
    kept = tuple(
        dataclasses.replace(t, value=None, why=say("{value} can't be right", value=t.words))
        if t.value is not None and t.value < 0
        else t
        for t in every
    )
    pairs = zip(every, kept, strict=True)
    slips = tuple(
        (f"{a.name}: {a.words} can't be right", "write the value or not taken") for a, b in pairs if a != b
    )
    return kept, slips


def _says(fields: Fields, found: Sequence[Thing], used: bool) -> Iterator[str]:
    if used:
        yield say(
            "The guideline for spaces is an average over the stay; a single value is held to it "
            "here to be on the safe side."
        )
        if not fields.stay:
            yield say("How long people stay is not said; taken as eight hours, a night aboard.")
    if not fields.running:
        yield say("What was running is not stated; a low value with nothing running shows nothing.")
    if fields.background:
        yield say("With nothing running the meter showed {background}.", background=fields.background)
    if any(t.value is not None and t.value >= DANGER for t in found):
        yield say("1,200 ppm and more is immediately dangerous to life.")


def _suggests(found: Sequence[Thing]) -> Iterator[str]:
    """Say what a value in a space suggests. Common practice, no source."""
    if any(t.of == SPACE and t.value is not None and t.value > ROOM.value for t in found):
        yield say(
            "Carbon monoxide in a space suggests an exhaust leak, exhaust drawn in from astern, "
            "or another boat's; to be traced by a mechanic before anyone sleeps or stays aboard "
            "with an engine running."
        )


def _chart(found: Sequence[Thing], judged: Sequence[Judged]) -> Chart | None:
    """Give a band a place, since spaces and open air have different limits."""
    if not found:
        return None
    return plots.band(say("Carbon monoxide, ppm"), say("Place"), found, judged, "ppm", say("Carbon monoxide"))


KIND = Kind(
    name="carbon-monoxide",
    title="Carbon monoxide",
    measures="How much carbon monoxide there is in cabins and about the boat while an engine runs.",
    fields=Fields,
    units=("ppm",),
    limits=(ROOM, CEILING),
    limits_for="10 ppm is an average of eight hours; a shorter stay may be in more. 200 ppm counts "
    "at any moment.",
    assess=assess,
    proves=("It shows whether exhaust gas reached the places measured, on that day and in that wind.",),
    proves_not=(
        "A low value is no promise: wind, speed, canvas, hatches and a boat alongside change it in minutes.",
        "It does not replace carbon monoxide alarms aboard.",
    ),
    limit_words=LIMIT_WORDS,
    how="Meter zeroed in clean air, then held in each space with engine or generator warm and running, "
    "canvas up and down; the highest value is noted.",
    instrument="carbon monoxide meter",
    example="""
kind: carbon-monoxide
spaces: {cabin: 4 ppm, cockpit under canvas: 38 ppm}
open air: {swim platform: 160 ppm}
background: 0 ppm
running: main engine at 900 rpm in gear, 15 minutes
limit: {maximum: {swim platform: 100 ppm}, source: invented harbour rule 5}
""",
    blank="kind: carbon-monoxide\nspaces:\n  cabin:\n  cockpit:\nopen air:\n  stern:\nbackground:\nrunning:",
    hazards=("carbon monoxide",),
    unanswered="stop",
    source_ids=("co-who-guideline", "co-niosh-ceiling", "co-niosh-danger", "co-epa", "co-osha-maritime"),
)
