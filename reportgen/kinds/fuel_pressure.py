"""Judges an engine's fuel pressure with the key on, at idle and under load, and the suction before the pump.

Method: gauge at the rail or test port, by those equipped for it, spilt fuel caught; each step until it is
steady. By name (`pressures: {key on: 36 psi, idle: 38 psi}`) or as a table, a row a step. Units: psi, kPa,
bar; suction also inHg.

Limits: only the maker's, for all steps or by step; those for suction before the pump and for pressure that
stayed (`held`) only by name: `maximum: {suction: 4 inHg}`. No general limit fits all engines.

Source: none. What low and high pressure suggest: common practice, no source.
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
from reportgen.values import Measure
from reportgen.wording import later, later_in, say

APART = (
    later_in("name", "suction"),
    later_in("name", "held"),
)  # no pressure of the pump's: a figure for all steps is not for them
LIMIT_WORDS = {"minimum": "pressure", "maximum": "pressure", "within": "pressure"}
SUGGESTS = {
    "minimum": later(
        "Low pressure suggests a clogged filter, a worn pump, a leaking regulator or too "
        "little fuel in the tank; to be traced before the engine is run under load, where a "
        "lean mixture harms it."
    ),
    "maximum": later(
        "High pressure, or much suction, suggests a regulator or return that is blocked, a "
        "clogged filter or a pinched hose; to be traced by a mechanic."
    ),
}


@dataclass(frozen=True)
class Fields:
    """Keys of a fuel-pressure reading, beside its table."""

    pressures: tuple[Cell, ...] = key(
        Cells("pressure"),
        share="open",
        help="pressure by step: key on, idle, load; also suction, held",
        default=(),
    )
    held_after: Quantity | None = key(
        Measure("time", "min"), share="open", help="minutes after switching off at which `held` was read"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the maker's figures, for all steps or by step", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge fuel pressure by the maker's figures; no published limit fits all engines."""
    fields: Fields = reading.fields
    return stepped.assess(
        reading,
        fields.pressures,
        fields.limit,
        "pressure",
        "psi",
        say("Fuel pressure"),
        apart=APART,
        says=_says(fields),
        suggests={side: say(text) for side, text in SUGGESTS.items()},
    )


def _says(fields: Fields) -> Iterator[str]:
    if fields.held_after:
        yield say(
            "The pressure that stayed was read {time} after switching off.",
            time=fields.held_after,
        )


KIND = Kind(
    name="fuel-pressure",
    title="Fuel pressure",
    measures="How much pressure the fuel has at the engine, and how hard the pump has to suck for it.",
    fields=Fields,
    units=("psi", "kPa", "bar", "inHg"),
    limits=(),
    assess=assess,
    proves=("Pressure within the maker's range at load shows that pump, filter and lines keep up.",),
    proves_not=(
        "It does not show whether injectors or carburettor meter the fuel rightly, nor water in the tank.",
        "A leak that opens only when hot or under way is not seen.",
    ),
    limit_words=LIMIT_WORDS,
    how="Ventilate, battery off while the gauge goes on, fuel caught in a rag and taken off the boat; then "
    "key on, idle and load; never near a flame or spark.",
    instrument="fuel-pressure gauge with its adaptors",
    example="""
kind: fuel-pressure
pressures: {key on: 38 psi, idle: 36 psi, load: 27 psi, suction: not taken}
limit: {within: {key on: [36 psi, 42 psi], load: [34 psi, 40 psi]}, source: invented manual 4A}
""",
    blank="kind: fuel-pressure\nunit: psi\npressures:\n  key on:\n  idle:\n  load:\n  suction:",
    hazards=("fire", "explosion"),
    table=Shape("rpm", (Column("pressure", "pressure", "fuel pressure", "psi"),)),
    of_engine=True,
    no_source="No published limit fits all engines: only the maker's figures count.",
)
