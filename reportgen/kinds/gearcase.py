"""Judges how much pressure or vacuum a drained gearcase loses while it is held, shafts turned and shifted.

Method: oil drained, tester in the drain or vent hole, pumped up or drawn down, `start` and `end` of the gauge
and the time `held`; shafts turned by hand and shifted meanwhile. Units: pressure (psi, kPa, bar, inHg ...),
time (min). A vacuum is written as the gauge shows it, without a minus. Pressure and vacuum are two readings:
lips of seals face both ways. Drop = start - end.

Limits: makers' and workshops' figures differ, so that only the note's are judged: `drop`, the most that may
be lost, and how it has to be tested, `least start` and `least held`. A test from less, or a shorter one, that
loses no more than allowed proves nothing and is not taken; one that loses more is outside all the same.

Source: gearcase-hold-guides (shown, not judged; and for why shafts are turned and both ways are tested).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from reportgen import holding, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limit, Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, OneOf, YesNo
from reportgen.wording import later, say, term

PRESSURE, VACUUM = "pressure", "vacuum"
ATMOSPHERE = 101.325  # most that can be drawn off at sea level, the standard atmosphere [kPa]
LIMIT_WORDS = {"drop": "pressure", "least start": "pressure", "least held": "time"}
NO_DROP = later("Not taken: {missing}, so that no drop is known.")
TITLES = {
    PRESSURE: later("Gearcase under pressure, {unit}"),
    VACUUM: later("Gearcase under vacuum, {unit}"),
    "": later("Gearcase under test, {unit}"),
}
ASKED = ("least start", "least held")  # how it has to be tested; neither is a fault of the gearcase


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of a gearcase's hold."""

    test: str = key(OneOf((PRESSURE, VACUUM)), share="open", help="which of the two", default="")
    start: Quantity | None = key(Measure("pressure"), share="open", help="gauge at the start")
    end: Quantity | None = key(Measure("pressure"), share="open", help="gauge at the end")
    held: Quantity | None = key(Measure("time", "min"), share="open", help="time between the two")
    turned: bool | None = key(YesNo(), share="open", help="whether the shafts were turned meanwhile")
    shifted: bool | None = key(YesNo(), share="open", help="whether it was shifted meanwhile")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, by_name=False),
        share="open",
        help="most drop, with least start and least held, and their source",
        default=(),
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge the drop by the note alone. Source: none for a limit."""
    fields, slips = _sensible(reading.fields)
    unit = next((q.unit for q in (fields.start, fields.end) if q), "psi")
    start, end = judging.single("start", fields.start, unit), judging.single("end", fields.end, unit)
    held = judging.single("held", fields.held)
    drop = _drop(start, end)
    judged = _judged(limits.written(fields.limit), (start, drop, held))
    found = judging.assessment(
        reading,
        (start, end, held, *((drop,) if drop.value is not None else ())),
        judged,
        lacking=say("makers' figures differ, and the report gives none for the drop"),
        reason=_reason(judged),
        working=_working(fields, start, end, drop),
        says=_says(fields, drop),
        suggests=_suggests(drop),
        criteria=_criteria(),
        source_ids=KIND.source_ids,
        values=tuple(_values(fields, drop)),
        chart=_chart(fields, start, end, judged),
        warnings=slips,
    )
    if drop.value is None and found.outcome != "not taken":
        missing = "start" if start.value is None else "end"
        return replace(found, outcome="not taken", because=say(NO_DROP, missing=term(missing)))
    unproven = {j.name for j in judged if j.outcome == "not taken"}
    outcomes = tuple((name, "not taken" if name in unproven else each) for name, each in found.outcomes)
    return replace(found, outcomes=outcomes)


def _values(fields: Fields, drop: Thing) -> Iterator[tuple[str, tuple[Cell, ...]]]:
    named = (("start", fields.start), ("end", fields.end), ("held", fields.held))
    # the drop is what is judged: a retest has to show it beside the earlier one
    yield "test", (*(Cell(name, quantity) for name, quantity in named), *judging.cells_of(drop))


def _sensible(fields: Fields) -> tuple[Fields, tuple[tuple[str, str], ...]]:
    """Take impossible figures out: below nothing, more vacuum than there is air, held for no time."""
    slips = []
    for name, quantity in (("start", fields.start), ("end", fields.end)):
        if quantity and quantity.value < 0:
            slips.append((name, quantity, "write it as the gauge shows it, without a minus"))
        elif (
            quantity and fields.test == VACUUM and not units.within(quantity.to("kPa"), ATMOSPHERE, "maximum")
        ):
            slips.append((name, quantity, "write a vacuum of at most one atmosphere, such as 14 inHg"))
    if fields.held and fields.held.value <= 0:
        slips.append(("held", fields.held, "write the time between start and end, such as 20 min"))
    empty: dict[str, Any] = {name: None for name, _, _ in slips}
    told = tuple((f"{name}: {quantity} can't be right", advice) for name, quantity, advice in slips)
    return replace(fields, **empty), told


def _drop(start: Thing, end: Thing) -> Thing:
    if start.value is None or end.value is None:
        return Thing("drop", None, start.unit, "", "drop")
    lost = start.value - end.value
    return Thing("drop", lost, start.unit, units.figures(lost, 4), "drop")


def _judged(own: Sequence[Limit], all_things: Sequence[Thing]) -> tuple[Judged, ...]:
    """Hold start and time against what is asked of the test, then the drop, which rests on both."""
    judged = judging.judge((replace(li, of=li.word.removeprefix("least ")) for li in own), all_things)
    # too short a test, or from too little, is no fault of the gearcase: it just proves nothing
    asked = tuple(
        replace(j, outcome="not taken", where=()) if j.outcome == "outside" else j
        for j in judged
        if j.limit.word in ASKED
    )
    proven = all(j.outcome == "within" for j in asked)
    drops = (j for j in judged if j.limit.word not in ASKED)
    return (
        *(replace(j, outcome="not taken") if j.outcome == "within" and not proven else j for j in drops),
        *asked,
    )


def _reason(judged: Sequence[Judged]) -> str:
    """Say why a test that lost too little to be outside proves nothing, empty where that isn't the case."""
    short = [j for j in judged if j.limit.word in ASKED and j.outcome == "not taken" and j.value is not None]
    if not short or any(j.outcome == "outside" for j in judged):
        return ""
    return say(
        "The test was not as the limit asks: {why}.", why="; ".join(judging.sentence(j) for j in short)
    )


def _working(fields: Fields, start: Thing, end: Thing, drop: Thing) -> Iterator[Step]:
    yield from judging.converted((Cell("end", fields.end),), start.unit)
    if drop.value is None:
        return
    yield Step(term("drop"), say("start − end"), f"{start.words} - {end.words}", drop.printed, drop.unit)
    if fields.held:
        rate = units.figures(drop.value / fields.held.to("min"), 3)
        yield Step(
            say("drop a minute"),
            say("drop / held"),
            f"{drop.words} / {fields.held}",
            rate,
            f"{drop.unit}/min",
        )


def _says(fields: Fields, drop: Thing) -> Iterator[str]:
    """Say how far the test reaches. Source: gearcase-hold-guides, on turning and on testing both ways."""
    if drop.value is not None and drop.value < 0:
        yield say("The gauge rose: something warmed up or the gauge moved, and that can hide a leak.")
    if fields.turned is False:
        yield say("It was not turned meanwhile; mechanics find leaks that show only then.")
    elif fields.turned is None:
        yield say("Whether it was turned meanwhile is not stated; mechanics find leaks that show only then.")
    if fields.shifted is False:
        yield say("It was not shifted meanwhile; mechanics find leaks that show only then.")
    elif fields.shifted is None:
        yield say("Whether it was shifted meanwhile is not stated; mechanics find leaks that show only then.")
    if fields.test == PRESSURE:
        yield say("Seals face both ways, so that one that holds pressure may not hold vacuum.")
    elif fields.test == VACUUM:
        yield say("Seals face both ways, so that one that holds vacuum may not hold pressure.")
    else:
        yield say("Whether it was a test of pressure or of vacuum is not stated.")


def _suggests(drop: Thing) -> Iterator[str]:
    if drop.value is not None and drop.value > 0:
        yield say(
            "A drop suggests a leak at a seal, a gasket, a plug or the tester's own fittings; to "
            "be confirmed by soapy water on each of them under pressure."
        )


def _criteria() -> tuple[str, ...]:
    """Give published figures that are not judged. Source: gearcase-hold-guides."""
    return (
        say("A parts dealer's page: about 12 psi for 2 minutes, without a drop."),
        say("An outboard workshop's page: 10 psi for 10 minutes, a drop of 1 psi or so may be."),
        say(
            "Mechanics on a forum: 14 psi and 14 inHg for some 20 minutes each, turned and shifted, no drop."
        ),
        say("Others there: 10 psi and 10 inHg for an hour, no drop; too much can press a bad seal tight."),
    )


def _chart(fields: Fields, start: Thing, end: Thing, judged: Sequence[Judged]) -> Chart | None:
    """Draw the gauge at start and end, with what has to be left at the end by the note's drop."""
    if start.value is None or end.value is None:
        return None
    left = holding.left_at_end(judged, start, end)
    title = say(TITLES[fields.test], unit=start.unit)
    return plots.bars(title, say("Gauge"), [(say("gauge"), (start, end))], left, start.unit)


KIND = Kind(
    name="gearcase",
    title="Gearcase hold",
    measures="How much pressure or vacuum a drained gearcase loses in the time it is held.",
    fields=Fields,
    units=("psi", "kPa", "bar", "mbar", "inHg", "mmHg"),
    limits=(),
    assess=assess,
    proves=("Whether the case lost pressure or vacuum in that time, as it was turned on the day.",),
    proves_not=(
        "It does not show how the seals hold in use, hot, at speed and under water.",
        "It does not show the gears and bearings; oil, magnet and noise speak for those.",
        "A case that holds today can have had water in it before: look at the oil that was drained.",
    ),
    limit_words=LIMIT_WORDS,
    how="Drain the oil, pump up or draw down as the maker says, turn and shift, and read the gauge again.",
    instrument="gearcase tester for pressure and vacuum, watch",
    example="""
kind: gearcase
at: main
test: pressure
start: 12 psi
end: 10.5 psi
held: 10 min
turned: yes
shifted: yes
limit: {drop: 1 psi, least start: 12 psi, least held: 10 min, source: "invented drive manual 5"}
""",
    blank="kind: gearcase\nat:\ntest:\nstart:\nend:\nheld:\nturned:\nshifted:",
    hazards=("moving parts", "pollution"),
    source_ids=("gearcase-hold-guides",),
    of_engine=True,
    no_source="Pressure, time and drop differ from maker to maker, and no common limit was found.",
)
