"""Judges what alternators and chargers give at each step of rpm, and what is drawn with everything off.

Method: meter across the battery's posts and clamp round its cable, engine at each step with the usual loads
on; standing draw with everything switched off. A row a step, or by name (`voltages: {idle: 13.6, cruise:
14.2}`).
Units: V; A, mA.

Limits: only the maker's of alternator, regulator or battery, for the voltage or the current of all steps,
and for the standing draw (`maximum: {standing draw: 50 mA}`). Charging voltages differ by the kind of
battery, its temperature and the regulator, so that no general limit is judged. Source: none; what figures
suggest: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reportgen import judging, limits, plots, stepped
from reportgen.block import key
from reportgen.cells import Cell, Cells, Column, Shape, Table
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, Text
from reportgen.wording import say

LIMIT_WORDS = {"minimum": "voltage", "maximum": "voltage", "within": "voltage"}
DRAW = "standing draw"
COLUMNS = (
    Column("voltage", "voltage", "voltage at the battery", "V"),
    Column("current", "current", "charging current", "A"),
)
NAMES: dict[str, tuple[str, str | None]] = {
    "voltage": ("voltage", "V"),
    "current": ("current", "A"),
    DRAW: ("current", "mA"),
}


@dataclass(frozen=True)
class Fields:
    """Keys of a charging reading, beside its table."""

    voltages: tuple[Cell, ...] = key(
        Cells("voltage", "V"), share="open", help="voltage by step: idle, cruise, shore charger", default=()
    )
    standing_draw: Quantity | None = key(
        Measure("current", "mA"), share="open", help="current with everything switched off"
    )
    battery: str = key(Text(), share="open", help="kind of battery, and how full it was", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="the maker's figures with their source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge charging by the maker's figures; no published limit fits all batteries and regulators."""
    fields: Fields = reading.fields
    table = reading.table or Table()
    every = (*judging.things(fields.voltages, "voltage", "V"), *judging.of_table(table))
    found, slips = stepped.sensible((*every, *_draw(fields)))
    judged = judging.judge(limits.written(fields.limit), found)
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say("the report gives none of the maker's figures, and they differ by battery and regulator"),
        says=() if fields.battery else (say("What kind of battery it is, and how full, is not stated."),),
        suggests=_suggests(judged),
        values=(("voltages", fields.voltages),) if fields.voltages else (),
        chart=_chart(table, found, judged),
        warnings=slips,
    )


def _draw(fields: Fields) -> tuple[Thing, ...]:
    """Give the standing draw where it was taken or is asked for."""
    asked = any(li.of == DRAW for li in limits.written(fields.limit))
    return (judging.single(DRAW, fields.standing_draw, "mA"),) if fields.standing_draw or asked else ()


def _suggests(judged: tuple[Judged, ...]) -> Iterator[str]:
    """Say what figures beside the maker's suggest. Common practice, no source."""
    broken = {(j.limit.of, j.limit.side) for j in judged if j.outcome == "outside"}
    if any(side == "minimum" for _, side in broken):
        yield say(
            "Low output suggests a slipping belt, a poor joint, a worn alternator or a faulty regulator."
        )
    if any(side == "maximum" and of != DRAW for of, side in broken):
        yield say(
            "Voltage that is too high suggests a faulty regulator; it boils batteries dry, which "
            "gives off explosive gas, and harms electronics."
        )
    if (DRAW, "maximum") in broken:
        yield say(
            "Much standing draw suggests something left connected or a leak; to be traced fuse by fuse."
        )


def _chart(table: Table, found: tuple[Thing, ...], judged: tuple[Judged, ...]) -> Chart | None:
    if any(row.number is not None for row in table.rows):
        return plots.curve(say("Charging"), "rpm", table, ("voltage", "current"), judged, found)
    volts = [t for t in found if t.unit in ("V", "mV")]
    lines = [j for j in judged if j.limit.of in ("", "voltage")]
    return plots.band(say("Charging voltage, V"), say("Step"), volts, lines, "V") if volts else None


KIND = Kind(
    name="charging",
    title="Charging",
    measures="What alternators and chargers give at each step, and what is drawn with everything off.",
    fields=Fields,
    units=("V", "A", "mA"),
    limits=(),
    assess=assess,
    proves=("It shows whether the alternator or charger kept its voltage at those loads.",),
    proves_not=(
        "A full battery takes little current, whatever the alternator could give.",
        "It does not show an alternator that fails when hot, nor ripple.",
    ),
    limit_words=LIMIT_WORDS,
    how="Meter on the battery's posts, clamp round its cable, usual loads on; idle, then cruise.",
    instrument="voltmeter and current clamp",
    example="""
kind: charging
battery: flooded, half full
standing draw: 38 mA
limit: {within: {voltage: [13.8 V, 14.6 V]}, maximum: {standing draw: 50 mA}, source: invented manual 4A}

| rpm | voltage (V) | current (A) |
|---|---|---|
| 700 | 13.4 | 12 |
| 2000 | 14.3 | 41 |
""",
    blank="""
kind: charging
battery:
standing draw:

| rpm | voltage (V) | current (A) |
|---|---|---|
| idle | | |
| 2000 | | |
""",
    hazards=("moving parts", "explosion"),
    table=Shape("rpm", COLUMNS),
    of_engine=True,
    no_source="Charging figures differ by battery, temperature and regulator: only the maker's count.",
)
