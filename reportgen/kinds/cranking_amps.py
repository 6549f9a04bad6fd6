"""Judges the cold cranking amperes that a tester finds against those on the battery's label.

Method: conductance or load tester set to the rating's standard, battery at rest and charged; the figure in
amperes as the tester shows it. Units: A; %. What is judged is the share of the rating, where the note brings
the least share (or the least amperes) with its source: no published share was found.

Source: none for a limit; what the rating means, 30 seconds at 0 °F with at least 7.2 V: battery-ratings. A
battery whose rating is not told has no share, and only a limit in amperes can be judged.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.values import Text
from reportgen.wording import say, term

LIMIT_WORDS = {"minimum": "current", "share": "share"}


@dataclass(frozen=True)
class Fields:
    """Keys of measured cranking amperes."""

    batteries: tuple[Cell, ...] = key(
        Cells("current", "A"), share="open", help="amperes found, by battery", default=()
    )
    rated: tuple[Cell, ...] = key(
        Cells("current", "A"), share="open", help="amperes on the label, by battery", default=()
    )
    standard: str = key(
        Text(), share="open", help="standard of the rating: CCA, EN, MCA and others", default=""
    )
    charged: str = key(Text(), share="open", help="state of charge and temperature when tested", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="least amperes, or least share of the rating", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge measured cranking amperes by the note's figure; none is published."""
    fields: Fields = reading.fields
    found = judging.things(fields.batteries, "amperes", "A")
    shares, steps = _shares(found, fields)
    asked = limits.written(fields.limit)
    amperes = judging.judge((li for li in asked if li.word == "minimum"), found)
    of_rating = judging.judge((li for li in asked if li.word == "share"), shares)
    judged = (*amperes, *of_rating)
    return judging.assessment(
        reading,
        (*found, *shares) if of_rating else found,
        judged,
        lacking=say("the report gives no least figure, and none is published"),
        working=steps,
        says=_says(fields),
        source_ids=("battery-ratings",),
        values=(("batteries", fields.batteries), *((("rated", fields.rated),) if fields.rated else ())),
        chart=_chart(found, shares, fields, judged),
    )


def _shares(found: tuple[Thing, ...], fields: Fields) -> tuple[tuple[Thing, ...], tuple[Step, ...]]:
    """Give each battery's share of its rating [%]; not taken where one of the two is missing."""
    rated = {c.name: c.quantity for c in fields.rated}
    shares, steps = [], []
    for each in found:
        label, full = say("share of {name}", name=term(each.name)), rated.get(each.name)
        if each.value is None or full is None or full.value <= 0:
            shares.append(Thing(label, None, "%", "", "share"))
            continue
        share = each.value / full.to("A") * 100
        printed = units.figures(share, 3)
        shares.append(Thing(label, share, "%", printed, "share"))
        steps.append(Step(label, say("found / rated × 100"), f"{each.words} / {full} × 100", printed, "%"))
    return tuple(shares), tuple(steps)


def _says(fields: Fields) -> Iterator[str]:
    if not fields.standard:
        yield say(
            "By which standard it is rated and tested is not stated; standards differ by a third and more."
        )
    if not fields.charged:
        yield say(
            "State of charge and temperature are not stated; a tester reads a flat or cold battery low."
        )


def _chart(
    found: tuple[Thing, ...], shares: tuple[Thing, ...], fields: Fields, judged: tuple[Judged, ...]
) -> Chart | None:
    if not found:
        return None
    series = [(say("found"), found)]
    if fields.rated:
        series.append((say("rated"), judging.things(fields.rated, "rated", "A")))
    # a share that is broken marks its battery
    battery = {share.name: each.name for share, each in zip(shares, found, strict=True)}
    named = [replace(j, where=tuple(battery.get(n, n) for n in j.where)) for j in judged]
    return plots.bars(say("Cranking amperes, A"), say("Battery"), series, named, "A")


KIND = Kind(
    name="cranking-amps",
    title="Cranking amperes",
    measures="How much of its rated cranking current a battery can still give.",
    fields=Fields,
    units=("A",),
    limits=(),
    assess=assess,
    proves=("It shows how far a battery has fallen below what it was sold for.",),
    proves_not=(
        "It does not show its capacity for lights and pumps, nor how long it will last.",
        "Testers differ; compare figures of one tester, at like charge and warmth.",
    ),
    limit_words=LIMIT_WORDS,
    how="Battery charged and rested, tester set to the rating and its standard, clamps on the lead posts.",
    instrument="conductance tester",
    example="""
kind: cranking-amps
batteries: {start: 410 A, house: 655 A}
rated: {start: 640 A, house: 700 A}
standard: CCA
charged: full, 18 °C
limit: {share: 75 %, source: invented yard standard 12}
""",
    blank="kind: cranking-amps\nbatteries:\n  start:\nrated:\n  start:\nstandard:\ncharged:",
    hazards=("explosion",),
    source_ids=("battery-ratings",),
    no_source="No share of the rating at which a battery has to be renewed is published.",
)
