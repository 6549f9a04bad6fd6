"""Keeps account of a metal hull's plate: the places read, the original of each, and what is gone of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import units
from reportgen.cells import Cell, Row, Table
from reportgen.judging import Thing
from reportgen.units import Quantity
from reportgen.wording import say

DOUBLE = 1.5  # of the original, from which a reading is taken for a double echo: our choice
THICKNESS = ", thickness"


@dataclass(frozen=True)
class Place:
    """One place as measured: its name, its row, the cell with the measured thickness, and the original."""

    name: str
    row: str
    cell: Cell
    original: Quantity | None

    @property
    def unit(self) -> str:
        """Give the unit that the place is worked out in: as measured."""
        return self.cell.quantity.unit if self.cell.quantity else "mm"


def wastage(original: float, measured: float) -> float:
    """Give the loss of thickness in percent of the original; both in one unit. Source: nvic-7-68."""
    return (original - measured) / original * 100.0


def is_list(table: Table) -> bool:
    """Say whether a table is a list by place; any other is a grid."""
    return any(h.name == "measured" for h in table.heads)


def places_of(table: Table, original: Quantity | None) -> Iterator[Place]:
    """Give every place of a list or of a grid, with the original of its row or else of the fence."""
    for row in table.rows:
        own = next((c.quantity for c in _of(row, table, "original") if c.quantity), original)
        if is_list(table):
            yield from (Place(row.name, row.name, c, own) for c in _of(row, table, "measured"))
        else:
            cells = (c for c, h in zip(row.cells, table.heads, strict=True) if h.name != "original")
            yield from (Place(c.name, row.name, c, own) for c in cells)


def _of(row: Row, table: Table, name: str) -> Iterator[Cell]:
    return (c for c, h in zip(row.cells, table.heads, strict=True) if h.name == name)


def sensible(table: Table | None, original: Quantity | None) -> tuple[Table, tuple[tuple[str, str], ...]]:
    """Take out as not taken what no plate has, and what is much thicker than the original."""
    if table is None:
        return Table(), ()
    slips: list[tuple[str, str]] = []

    def kept(cell: Cell, against: Quantity | None) -> Cell:
        why = ""
        if cell.quantity and cell.quantity.value <= 0:
            why = f"{cell.quantity} can't be right"
        elif cell.quantity and against and cell.quantity.to("mm") > DOUBLE * against.to("mm") > 0:
            why = f"{cell.quantity} is far above the original, a double echo or a doubled plate"
        if why:
            slips.append((f"{cell.name}: {why}", "read it again, and write the thickness or not taken"))
        return replace(cell, quantity=None, why=why) if why else cell

    rows = []
    for row in table.rows:
        own = next((c.quantity for c in _of(row, table, "original") if c.quantity), original)
        cells = (
            kept(c, None if h.name == "original" else own)
            for c, h in zip(row.cells, table.heads, strict=True)
        )
        rows.append(replace(row, cells=tuple(cells)))
    return replace(table, rows=tuple(rows)), tuple(slips)


def original_of(place: Place) -> float | None:
    """Give the original thickness in the unit that the place was measured in, None if it has none."""
    original = place.original.to(place.unit) if place.original else 0.0
    return original if original > 0 else None


def measured_of(place: Place) -> float | None:
    """Give the thickness as measured, in its own unit, None if it was not taken."""
    return None if place.cell.quantity is None else place.cell.quantity.to(place.unit)


def loss(place: Place) -> Thing:
    """Give the wastage of a place as a thing [%]."""
    original, measured = original_of(place), measured_of(place)
    if original is None or measured is None:
        why = place.cell.why if measured is None else say("its original thickness is not known")
        return Thing(place.name, None, "%", "", place.row, why)
    if place.cell.below:  # how much is gone then has no upper end
        return Thing(place.name, None, "%", "", place.row, say("thinner than the gauge can read"))
    value = wastage(original, measured)
    return Thing(place.name, value, "%", units.figures(value, 3), place.row)


def worst_of(places: Sequence[Place]) -> Place | None:
    """Give the place with the greatest wastage, None where none can be worked out."""
    known = [(p, loss(p).value) for p in places]
    return max(((p, v) for p, v in known if v is not None), key=lambda x: x[1], default=(None, 0.0))[0]
