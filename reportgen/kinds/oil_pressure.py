"""Judges an engine's oil pressure at idle and at the steps of rpm, hot, by the maker's figures.

Method: mechanical gauge in the sender's place, engine at working heat, each step held until it is steady. By
name (`pressures: {idle: 12 psi, cruise: 46 psi}`) or as a table, a row a step, engines in columns. Units:
psi, kPa, bar.

Limits: only the maker's, for all steps or by step (`minimum: {idle: 10 psi}`); no general limit fits all
engines. Source: none. That a hot engine is the one to judge, and what low pressure suggests: common practice,
no source. A step not taken is never within.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reportgen import stepped
from reportgen.block import key
from reportgen.cells import Cell, Cells, Column, Shape
from reportgen.kind import About, Assessment, Kind
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, Text
from reportgen.wording import later, say

LIMIT_WORDS = {"minimum": "pressure", "maximum": "pressure", "within": "pressure"}
SUGGESTS = {
    "minimum": later(
        "Low pressure suggests thin or little oil, a worn pump or worn bearings; to be told "
        "apart by fresh oil, a second gauge and an oil sample before the engine is run hard."
    ),
    "maximum": later(
        "High pressure suggests cold or thick oil or a relief valve that sticks; measure again hot."
    ),
}


@dataclass(frozen=True)
class Fields:
    """Keys of an oil-pressure reading, beside its table."""

    pressures: tuple[Cell, ...] = key(
        Cells("pressure"), share="open", help="pressure by step: idle, cruise and others", default=()
    )
    oil: str = key(Text(), share="open", help="oil in the engine and its hours", default="")
    oil_temperature: Quantity | None = key(
        Measure("temperature"), share="open", help="temperature of the oil"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the maker's figures, for all steps or by step", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge oil pressure by the maker's figures; no published limit fits all engines."""
    fields: Fields = reading.fields
    return stepped.assess(
        reading,
        fields.pressures,
        fields.limit,
        "pressure",
        "psi",
        say("Oil pressure"),
        says=_says(fields),
        suggests={side: say(text) for side, text in SUGGESTS.items()},
    )


def _says(fields: Fields) -> Iterator[str]:
    if fields.oil_temperature is None:
        yield say("How hot the oil was is not stated; cold oil reads high.")
    if not fields.oil:
        yield say("What oil is in the engine is not stated.")


KIND = Kind(
    name="oil-pressure",
    title="Oil pressure",
    measures="How much pressure the oil pump keeps up in the hot engine, at idle and at speed.",
    fields=Fields,
    units=("psi", "kPa", "bar"),
    limits=(),
    assess=assess,
    proves=(
        "A steady pressure above the maker's figure shows that pump and bearings keep the oil in place.",
    ),
    proves_not=(
        "It does not show which bearing is worn, nor rings, valves or head gasket.",
        "Thick oil can hide worn bearings; so can a gauge that reads high.",
    ),
    limit_words=LIMIT_WORDS,
    how="Mechanical gauge in the sender's place, engine hot, each rpm held until steady; mind hot oil and "
    "moving belts.",
    instrument="mechanical oil-pressure gauge",
    example="""
kind: oil-pressure
unit: psi
oil: 15W-40, 60 h
oil temperature: 95 °C
limit: {minimum: {idle: 10, 3000: 40}, source: invented manual 4A}

| rpm | port pressure (psi) | starboard pressure (psi) |
|---|---|---|
| idle | 14 | 8 |
| 3000 | 52 | 44 |
""",
    blank="""
kind: oil-pressure
oil:
oil temperature:

| rpm | pressure (psi) |
|---|---|
| idle | |
| 2000 | |
| 3000 | |
""",
    hazards=("hot parts", "moving parts"),
    table=Shape("rpm", (Column("pressure", "pressure", "oil pressure, hot", "psi"),)),
    of_engine=True,
    no_source="No published limit fits all engines: only the maker's figures count.",
)
