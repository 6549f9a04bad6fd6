"""Gives how far each rudder can be moved in its bearings, at the stock, at the tip, and up and down.

Method: boat ashore, steering held fast; blade pushed and pulled, then lifted, the movement taken by rule or
dial indicator: `at stock` beside the lower bearing, `at tip` at the blade's lower edge, `up and down` along
the stock. Units: length (mm, in ...).

Limits: none was found in any standard, so that only the note's `maximum` by column is judged. A quarter of an
inch at the stock was called excessive by owners' correspondents: shown as a remark, never judged. Play at the
tip is larger than at the bearing by the blade's length, so that the two are not compared.

Source: rudder-play-talk (shown, not judged).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Column, Shape, Table
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Kind
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, Text
from reportgen.wording import all_of, say, term

AT_STOCK = "at stock"
NAMES: dict[str, tuple[str, str | None]] = {
    AT_STOCK: ("length", "mm"),
    "at tip": ("length", "mm"),
    "up and down": ("length", "mm"),
}
TALKED_OF = 0.25  # play at the stock that correspondents called excessive [in]
NEW_BEARING = (0.002, 0.003)  # clearance of a new plain bearing per inch of stock, by a post [-]
LIMIT_WORDS = {"maximum": ""}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of rudder play; the rudders stand in the table."""

    stock: Quantity | None = key(Measure("length"), share="open", help="diameter of the rudder stock")
    bearings: str = key(Text(), share="open", help="kind of bearings, such as plain or roller", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="most play by column, with its source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge play by the note alone. Source: none for a limit."""
    fields: Fields = reading.fields
    table, odd = _sensible(reading.table)
    found = judging.of_table(table)
    judged = judging.judge(limits.written(fields.limit), found)
    written = [cell for row in table.rows for cell in row.cells]
    unit = next((head.unit for head in table.heads), "mm")
    chart = plots.band(say("Rudder play"), say("Rudder"), found, judged, unit) if found else None
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say("no limit of a rudder's play was found in any standard, and the report gives none"),
        working=judging.converted(written, unit),
        says=_says(found, fields),
        suggests=_suggests(found, bool(judging.broken(judged))),
        criteria=_criteria(fields),
        source_ids=KIND.source_ids,
        chart=replace(chart, table=plots.printed_table(table, judged)) if chart else None,
        warnings=(
            *((f"{c.name}: {c.quantity} can't be right", "write the play or not taken") for c in odd),
            *_slip(fields),
        ),
    )


def _sensible(table: Table | None) -> tuple[Table, tuple[Cell, ...]]:
    """Take play below nothing out as not taken, and give it as written."""
    if table is None:
        return Table(), ()
    odd = [c for row in table.rows for c in row.cells if c.quantity and c.quantity.value < 0]
    rows = tuple(
        replace(
            row,
            cells=tuple(
                replace(c, quantity=None, why=say("{value} can't be right", value=c.quantity))
                if c in odd
                else c
                for c in row.cells
            ),
        )
        for row in table.rows
    )
    return replace(table, rows=rows), tuple(odd)


def _slip(fields: Fields) -> Iterator[tuple[str, str]]:
    if fields.stock and fields.stock.value <= 0:
        yield f"stock: {fields.stock} can't be right", "write the stock's diameter, such as 50 mm"


def _much(found: Sequence[Thing]) -> list[str]:
    """Name what moves at the stock by as much as was called excessive. Source: rudder-play-talk."""
    return [
        t.name
        for t in found
        if t.of == AT_STOCK
        and t.value is not None
        and units.within(units.convert(t.value, t.unit, "in"), TALKED_OF, "minimum")
    ]


def _says(found: Sequence[Thing], fields: Fields) -> Iterator[str]:
    taken = [t for t in found if t.value is not None]
    if taken and not any(t.of == AT_STOCK for t in taken):
        yield say("Play at the stock was not taken; at the tip it is larger, by how long the blade is.")
    if much := _much(found):
        yield say(
            "At 1/4 in or more: {much}. Correspondents of an owner called that excessive; it is "
            "talk among owners, not a limit.",
            much=all_of(map(term, much)),
        )
    if not fields.bearings:
        yield say("The kind of bearings is not stated.")


def _suggests(found: Sequence[Thing], broken: bool) -> Iterator[str]:
    if broken or _much(found):
        yield say(
            "Such play suggests worn bearings or a worn stock; to be confirmed by dropping the "
            "rudder and measuring both, before the boat is used."
        )


def _criteria(fields: Fields) -> tuple[str, ...]:
    """Give published figures that are not judged. Source: rudder-play-talk."""
    new = say("A bearing engineer's post, for a new plain bearing: 0.002 to 0.003 in per inch of stock.")
    if fields.stock and fields.stock.value > 0:
        across = fields.stock.to("in")
        low, high = (units.figures(share * across, 2) for share in NEW_BEARING)
        new = say(
            "A bearing engineer's post, for a new plain bearing: 0.002 to 0.003 in per inch of stock, for "
            "this stock {low} to {high} in.",
            low=low,
            high=high,
        )
    return (
        new,
        say(
            "An owner's correspondents: a quarter of an inch at the stock is excessive; it should not shake."
        ),
    )


KIND = Kind(
    name="rudder-play",
    title="Rudder play",
    measures="How far each rudder moves in its bearings when it is pushed, pulled and lifted.",
    fields=Fields,
    units=("mm", "in", "cm"),
    limits=(),
    assess=assess,
    proves=("How far the rudder could be moved by hand on the day.",),
    proves_not=(
        "It does not show the stock inside the blade or the hull, where it can be cracked or corroded.",
        "It does not show how the steering gear, its cables or hydraulics hold under load.",
        "It does not say whether the bearing, the stock or what holds the bearing is worn.",
    ),
    limit_words=LIMIT_WORDS,
    how="Ashore, steering held fast, push and pull the blade, lift it, and measure beside the bearing.",
    instrument="rule or dial indicator",
    example="""
kind: rudder-play
stock: 45 mm
bearings: plain
limit: {maximum: {at stock: 1.5 mm, up and down: 3 mm}, source: "invented yard standard 9"}
| rudder | at stock (mm) | at tip (mm) | up and down (mm) | remark |
|---|---|---|---|---|
| port | 0.8 | 4 | 1 | |
| starboard | 2.1 | 9 | 2 | knocks when pushed |
""",
    blank="""
kind: rudder-play
stock:
bearings:
| rudder | at stock (mm) | at tip (mm) | up and down (mm) |
|---|---|---|---|
| rudder | | | |
""",
    hazards=("loss of steering", "lifting"),
    unanswered="stop",
    source_ids=("rudder-play-talk",),
    table=Shape(
        "rudder",
        (
            Column(AT_STOCK, "length", "sideways, beside the lower bearing", "mm"),
            Column("at tip", "length", "sideways, at the blade's lower edge", "mm"),
            Column("up and down", "length", "along the stock", "mm"),
        ),
    ),
    no_source="No standard with a limit of a rudder's play was found.",
)
