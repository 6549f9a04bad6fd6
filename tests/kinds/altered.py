"""Gives readings of the kinds' own examples with values scaled, left out, put in order or in other units."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from reportgen import racks, units
from reportgen.blocks.vessel import Engine
from reportgen.cells import Cell, Table, Word
from reportgen.errors import Problems
from reportgen.kind import About, Kind
from reportgen.limits import NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from tests.kinds.noted import noted

KINDS: dict[str, Kind] = racks.all_of("kinds", "KIND")
ABOUT = About(Engine(fuel="gasoline", strokes=4), material="fibreglass", waters="coastal")
DIESEL = dataclasses.replace(ABOUT, engine=Engine(fuel="diesel", strokes=4))
# the units that a unit's values may be written in, itself first; a share may be of anything and stays
SAME: Mapping[str, tuple[str, ...]] = {
    unit: (unit, *(u for u in table if u != unit and unit != "%"))
    for table in units.UNITS.values()
    for unit in table
}
Place = tuple[str, int, int]  # field or "table", row or place in the field, column


def example(file: str) -> Reading:
    """Give the reading of a kind's example."""
    problems = Problems()
    reading = noted(KINDS[file].example, problems, ("port", "starboard"))
    assert not problems.errors
    return reading


def own(reading: Reading) -> dict[str, Any]:
    """Give the kind's own keys of a reading with their values."""
    return {s.name: getattr(reading.fields, s.name) for s in dataclasses.fields(reading.fields)}


def with_own(reading: Reading, **changed: Any) -> Reading:
    """Give the reading with some of the kind's own keys changed."""
    return dataclasses.replace(reading, fields=dataclasses.replace(reading.fields, **changed))


def places(reading: Reading) -> Iterator[Place]:
    """Give where each measured value stands."""
    for name, value in own(reading).items():
        if isinstance(value, tuple):
            yield from ((name, at, 0) for at, c in enumerate(value) if isinstance(c, Cell) and c.quantity)
    for at, row in enumerate(reading.table.rows if reading.table else ()):
        yield from (("table", at, column) for column, c in enumerate(row.cells) if c.quantity)


def without(reading: Reading, place: Place) -> tuple[Reading, str]:
    """Give the reading with one value not taken, and the value's name."""
    field, at, column = place
    if field == "table":
        assert isinstance(reading.table, Table)
        rows = list(reading.table.rows)
        cells = list(rows[at].cells)
        name = cells[column].name
        cells[column] = Cell(name)
        rows[at] = dataclasses.replace(rows[at], cells=tuple(cells))
        table = dataclasses.replace(reading.table, rows=tuple(rows))
        return dataclasses.replace(reading, table=table), name
    values = list(getattr(reading.fields, field))
    name = values[at].name
    values[at] = Cell(name)
    return with_own(reading, **{field: tuple(values)}), name


def changed(value: Any, change: Callable[[Quantity], Quantity]) -> Any:
    """Give a value with every quantity in it changed: of cells, limits, pairs and mappings."""
    if isinstance(value, Quantity):
        return change(value)
    if isinstance(value, NoteLimit):
        return dataclasses.replace(value, words=changed(value.words, change))
    if isinstance(value, dict):
        return {k: changed(v, change) for k, v in value.items()}
    if isinstance(value, tuple):
        return tuple(changed(v, change) for v in value)
    if isinstance(value, Cell):
        return dataclasses.replace(value, quantity=changed(value.quantity, change))
    return value


def every_quantity(
    reading: Reading, change: Callable[[Quantity], Quantity], keep: frozenset[str] = frozenset()
) -> Reading:
    """Give the reading with the quantities of its own keys and its table changed, but for some keys."""
    moved = {n: v if n in keep else changed(v, change) for n, v in own(reading).items()}
    table = reading.table
    if table is not None:
        rows = tuple(dataclasses.replace(r, cells=changed(r.cells, change)) for r in table.rows)
        table = dataclasses.replace(table, rows=rows)
    return dataclasses.replace(with_own(reading, **moved), table=table)


def written_in(quantity: Quantity, unit: str) -> Quantity:
    """Give the same quantity in another unit, to all places of a floating number."""
    return quantity if unit == quantity.unit else Quantity(Decimal(repr(quantity.to(unit))), unit)


def reordered(reading: Reading, order: Callable[[list[Any]], list[Any]]) -> Reading:
    """Give the reading with the values by name of each key, and the rows of its table, in another order."""
    by_name = {
        n: tuple(order(list(v)))
        for n, v in own(reading).items()
        if isinstance(v, tuple) and v and all(isinstance(c, Cell | Word) for c in v)
    }
    table = reading.table
    if table is not None:
        table = dataclasses.replace(table, rows=tuple(order(list(table.rows))))
    return dataclasses.replace(with_own(reading, **by_name), table=table)


def with_a_gap(reading: Reading, name: str) -> Reading | None:
    """Give the reading with one more thing that was not taken, a row or a value; None where there is none."""
    table = reading.table
    if table is not None and table.rows:
        first = table.rows[0]
        cells = tuple(Cell(f"{name}, {c.name.rpartition(', ')[2]}") for c in first.cells)
        row = dataclasses.replace(
            first, name=name, cells=cells, remark="", words=tuple(Word(w.name) for w in first.words)
        )
        return dataclasses.replace(reading, table=dataclasses.replace(table, rows=(*table.rows, row)))
    for key, values in own(reading).items():
        if isinstance(values, tuple) and values and isinstance(values[0], Cell):
            return with_own(reading, **{key: (*values, Cell(name))})
    return None
