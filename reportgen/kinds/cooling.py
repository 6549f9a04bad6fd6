"""Judges an engine's cooling: temperatures by place and rpm, flow of raw water, how engines differ.

Method: engine warm, each step held until it is steady; contact or infrared thermometer at the same places
each time, or the control unit's figures; flow by filling a known volume. A row of the table is a step, a
column a place, which may begin with an engine's name, port or starboard. Units: °C, °F, L/min, psi, kPa.

Limits: only the maker's, by column, and `difference` as the most by which engines or banks may differ in one
column at one step; no general limit fits all engines. The thermostat's opening temperature is told beside the
coolant's, not judged. The rise of the raw water is shown for each step.

Source: none published that fits all engines; what high figures suggest is common practice, no source. Holds
for water-cooled engines; a step that was not taken is never within.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Column, Shape, Table
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure
from reportgen.wording import all_of, say, term

COLUMNS = (
    Column("coolant", "temperature", "coolant at the thermostat housing or by the control unit"),
    Column("head", "temperature", "cylinder head"),
    Column("manifold", "temperature", "exhaust manifold"),
    Column("elbow", "temperature", "exhaust elbow or riser"),
    Column("hose", "temperature", "exhaust hose after the water comes in"),
    Column("raw water in", "temperature", "raw water before the engine"),
    Column("raw water out", "temperature", "raw water after the engine"),
    Column("flow", "flow", "raw water through the engine"),
    Column("water pressure", "pressure", "pressure of the cooling water"),
)
NAMES = {c.name: (c.dimension, c.default) for c in COLUMNS}
LIMIT_WORDS = {"minimum": "", "maximum": "", "within": "", "difference": ""}
FEWER = 5.0 / 9.0  # degrees Celsius in one of Fahrenheit, for differences


@dataclass(frozen=True)
class Fields:
    """Keys of a cooling reading, beside its table."""

    thermostat: Quantity | None = key(
        Measure("temperature"), share="open", help="temperature at which the thermostat opens, as marked"
    )
    sea_water: Quantity | None = key(
        Measure("temperature"), share="open", help="temperature of the water the boat lies in"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="the makers' figures by column", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge cooling by the maker's figures; no published limit fits all engines."""
    fields: Fields = reading.fields
    table = reading.table or Table()
    measured = judging.of_table(table)
    between = tuple(_between(table))
    asked = limits.written(fields.limit)
    plain = judging.judge((li for li in asked if li.word != "difference"), measured)
    apart = judging.judge(
        (_in_column_unit(li, between) for li in asked if li.word == "difference"), [t for t, _ in between]
    )
    judged = (*plain, *apart)
    found = (*measured, *(t for t, _ in between)) if apart else measured
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say("the report gives none of the maker's figures, and no general one fits all engines"),
        working=(*(step for _, step in between if step), *_rises(table)),
        says=_says(fields, table),
        suggests=_suggests(plain),
        chart=_chart(table, judged, measured),
    )


def _between(table: Table) -> Iterator[tuple[Thing, Step | None]]:
    """Give how far engines or banks differ in each column, step by step [unit of the first's column].

    A step with a gap in one of them has no difference: not taken, and no working.
    """
    for name in NAMES:
        found = list(table.columns(name))
        names = all_of(term(head.of or head.title) for head, _ in found)
        for at, row in enumerate(table.rows if len(found) > 1 else ()):
            unit = found[0][0].unit
            label = say("{step}, {name} between {names}", step=term(row.name), name=term(name), names=names)
            values = [cells[at].quantity for _, cells in found]
            taken = [q.to(unit) for q in values if q]
            if len(taken) < len(values):
                yield Thing(label, None, unit, "", name), None
                continue
            high, low = max(taken), min(taken)
            printed = units.figures(high - low, 4)
            numbers = f"{units.figures(high, 4)} - {units.figures(low, 4)}"
            yield (
                Thing(label, high - low, unit, printed, name),
                Step(label, say("highest − lowest"), numbers, printed, unit),
            )


def _in_column_unit(limit: limits.Limit, between: Sequence[tuple[Thing, Step | None]]) -> limits.Limit:
    """Give a limit of a difference in its column's unit: degrees of difference have no zero to shift."""
    unit = next((t.unit for t, _ in between if t.of == limit.of), limit.unit)
    factor = {("°F", "°C"): FEWER, ("°C", "°F"): 1.0 / FEWER}.get((limit.unit, unit))
    if factor is None:
        return limit
    return dataclasses.replace(limit, value=limit.value * factor, unit=unit)


def _rises(table: Table) -> Iterator[Step]:
    """Give the rise of the raw water through each engine, where both ends were taken in one unit."""
    ins = {head.of: (head, cells) for head, cells in table.columns("raw water in")}
    for head, cells in table.columns("raw water out"):
        if head.of not in ins or ins[head.of][0].unit != head.unit:
            continue
        for row, a, b in zip(table.rows, ins[head.of][1], cells, strict=True):
            if a.quantity and b.quantity:
                rise = b.quantity.to(head.unit) - a.quantity.to(head.unit)
                at = f"{row.name}, {head.of}" if head.of else row.name
                step = say("rise of the raw water at {step}", step=at)
                yield Step(
                    step, say("out − in"), f"{b.quantity} - {a.quantity}", units.figures(rise, 3), head.unit
                )


def _says(fields: Fields, table: Table) -> Iterator[str]:
    if fields.thermostat:
        yield say("The thermostat is marked to open at {thermostat}.", thermostat=fields.thermostat)
    elif any(True for _ in table.columns("coolant")):
        yield say("At which temperature the thermostat opens is not stated.")
    if fields.sea_water:
        yield say(
            "The water the boat lay in had {sea_water}; in warmer water the engine runs warmer.",
            sea_water=fields.sea_water,
        )


def _suggests(judged: Sequence[Judged]) -> Iterator[str]:
    """Say what figures beside the maker's suggest. Common practice, no source."""
    outside = {(j.limit.of, j.limit.side) for j in judged if j.outcome == "outside"}
    if outside & {(name, "maximum") for name in ("coolant", "head", "manifold", "elbow", "hose")}:
        yield say(
            "Too hot suggests little raw water (strainer, impeller, hose, scale in cooler or "
            "elbow), a thermostat that sticks, or too much load; to be traced before it is run "
            "hard again."
        )
    if ("coolant", "minimum") in outside:
        yield say("Too cool suggests a thermostat that stays open or is missing; confirm by taking it out.")
    if outside & {("flow", "minimum"), ("water pressure", "minimum")}:
        yield say(
            "Little water suggests a worn impeller, a blocked strainer or an air leak on the suction side."
        )


def _chart(table: Table, judged: Sequence[Judged], found: Sequence[Thing]) -> Chart | None:
    """Give a curve a column over rpm; a table without numbered steps as bars of its temperatures."""
    if any(row.number is not None for row in table.rows):
        return plots.curve(say("Cooling over engine speed"), "rpm", table, tuple(NAMES), judged, found)
    warm = [t for t in found if t.unit in ("°C", "°F")]
    if not warm:
        return None
    return plots.bars(
        say("Cooling, {unit}", unit=warm[0].unit), say("Place"), [(say("found"), warm)], judged, warm[0].unit
    )


KIND = Kind(
    name="cooling",
    title="Cooling",
    measures="How warm engine, exhaust and cooling water get at each rpm, and how much water flows.",
    fields=Fields,
    units=("°C", "°F", "L/min", "gal/min", "L/h", "gal/h", "psi", "kPa", "bar"),
    limits=(),
    assess=assess,
    proves=(
        "Steady figures within the maker's range show that the cooling kept up with that load on that day.",
        "Banks or engines that read alike point to an even flow.",
    ),
    proves_not=(
        "Idling at the dock says little: cooling fails under load first.",
        "It does not show wear of the pump, scale or corrosion that has not yet slowed the flow.",
        "An infrared thermometer reads shiny metal too low; compare like places only.",
    ),
    limit_words=LIMIT_WORDS,
    how="Engine warm and in gear, each rpm held until steady, thermometer at the same marked places; "
    "keep hands and clothes clear of belts and hot parts.",
    instrument="infrared or contact thermometer",
    example="""
kind: cooling
thermostat: 71 °C
sea water: 18 °C
limit: {maximum: {coolant: 85 °C, elbow: 60 °C}, difference: {elbow: 8 °C}, source: invented manual 4A}

| rpm | coolant (°C) | port elbow (°C) | starboard elbow (°C) | raw water in (°C) | raw water out (°C) |
|---|---|---|---|---|---|
| 900 | 70 | 34 | 36 | 18 | 24 |
| 3000 | 74 | 41 | 55 | 18 | 31 |
""",
    blank="""
kind: cooling
thermostat:
sea water:

| rpm | coolant (°C) | elbow (°C) | raw water in (°C) | raw water out (°C) |
|---|---|---|---|---|
| idle | | | | |
| 2000 | | | | |
| 3000 | | | | |
""",
    hazards=("hot parts", "moving parts"),
    source_ids=(),
    table=Shape("rpm", COLUMNS),
    of_engine=True,
    no_source="No published limit fits all engines: only the maker's figures count.",
)
