"""Judges the back-pressure of an exhaust at full load by the figure of the engine's maker.

Method: gauge or water column at a tapped hole before the first bend or water inlet, engine under full load at
each step, since no engine carries a sensor for it. By name (`pressures: {full load: 8 kPa}`) or as a table, a
row a step. Units: kPa, mbar, inH2O, mmHg, inHg, psi.

Limits: only the maker's for that model; one maker of large diesels gives 10 kPa, shown and not judged
(back-pressure-example). A test below full load proves little, and the page says so where `load` is not full.

Source: none for a limit; what high pressure suggests: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from reportgen import sources, stepped
from reportgen.block import key
from reportgen.cells import Cell, Cells, Column, Shape
from reportgen.kind import About, Assessment, Kind
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.values import Text
from reportgen.wording import later, say

LIMIT_WORDS = {"maximum": "pressure"}
SUGGESTS = {
    "maximum": later(
        "Much back-pressure suggests an elbow or silencer that is clogged, a hose too small "
        "or come apart inside, or a lift too high; it heats the engine and costs power; to be"
        " found by opening up."
    ),
}
EXAMPLE_ID = "back-pressure-example"


@dataclass(frozen=True)
class Fields:
    """Keys of a back-pressure reading, beside its table."""

    pressures: tuple[Cell, ...] = key(
        Cells("pressure", "kPa"), share="open", help="back-pressure by step: cruise, full load", default=()
    )
    load: str = key(Text(), share="open", help="full, or how much of it", default="")
    tapped: str = key(Text(), share="open", help="where the gauge was put in", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the maker's figure with its source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge back-pressure by the maker's figure; limits differ from model to model."""
    fields: Fields = reading.fields
    return stepped.assess(
        reading,
        fields.pressures,
        fields.limit,
        "pressure",
        "kPa",
        say("Exhaust back-pressure"),
        says=_says(fields),
        suggests={side: say(text) for side, text in SUGGESTS.items()},
        criteria=(say("at most 10 kPa ({source})", source=sources.get(EXAMPLE_ID)),),
        source_ids=(EXAMPLE_ID,),
    )


def _says(fields: Fields) -> Iterator[str]:
    if not fields.load.lower().startswith("full"):
        yield say(
            "Not said to be at full load: makers' figures are for full load, and below it little is proven."
        )
    if not fields.tapped:
        yield say("Where the gauge was put in is not stated.")


KIND = Kind(
    name="exhaust-back-pressure",
    title="Exhaust back-pressure",
    measures="How hard the engine has to push its exhaust out.",
    fields=Fields,
    units=("kPa", "mbar", "inH2O", "mmHg", "inHg", "psi"),
    limits=(),
    assess=assess,
    proves=(
        "Pressure below the maker's figure at full load shows that the exhaust is wide enough and clear.",
    ),
    proves_not=(
        "It does not show leaks of gas or water, nor rust that has not yet narrowed the way.",
        "A reading below full load says little.",
    ),
    limit_words=LIMIT_WORDS,
    how="Gauge at a tapped hole before the water comes in, engine at full load; mind hot gas at the hole and "
    "close it gas-tight afterwards.",
    instrument="low-pressure gauge or water column",
    example="""
kind: exhaust-back-pressure
pressures: {cruise: 5.2 kPa, full load: 11.8 kPa}
load: full
tapped: elbow, before the water
limit: {maximum: 9.5 kPa, source: invented manual 4A}
""",
    blank="kind: exhaust-back-pressure\nunit: kPa\npressures:\n  cruise:\n  full load:\nload:\ntapped:",
    hazards=("carbon monoxide", "hot parts"),
    source_ids=(EXAMPLE_ID,),
    table=Shape("rpm", (Column("pressure", "pressure", "back-pressure", "kPa"),)),
    of_engine=True,
    no_source="Limits differ from model to model: only the maker's figure counts.",
)
