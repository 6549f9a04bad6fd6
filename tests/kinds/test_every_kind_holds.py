"""Two promises of every kind: a gap never makes a reading better, and another unit never changes the outcome.

They are tried on each kind's own example, value by value, so that a new kind is tried without a line more.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pytest

from reportgen import racks, units
from reportgen.blocks.vessel import Engine
from reportgen.cells import Cell, Table
from reportgen.errors import Problems
from reportgen.kind import About, Kind
from reportgen.limits import NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from tests.kinds.noted import noted

KINDS: dict[str, Kind] = racks.all_of("kinds", "KIND")
ABOUT = About(Engine(fuel="gasoline", strokes=4), material="fibreglass", waters="coastal")
# of the units of a dimension, the one that a value is tried in beside its own
OTHER = {
    unit: next(u for u in table if u != unit)
    for table in units.UNITS.values()
    for unit in table
    if len(table) > 1 and unit != "%"  # a share may be of anything
}


def example(file: str) -> Reading:
    """Give the reading of a kind's example."""
    problems = Problems()
    reading = noted(KINDS[file].example, problems, ("port", "starboard"))
    assert not problems.errors
    return reading


def _cells(reading: Reading) -> Iterator[tuple[str, int, int]]:
    """Give where each value stands: (field or "table", row or place in the field, column)."""
    for spec in dataclasses.fields(reading.fields):
        value = getattr(reading.fields, spec.name)
        if isinstance(value, tuple):
            yield from (
                (spec.name, at, 0) for at, c in enumerate(value) if isinstance(c, Cell) and c.quantity
            )
    for at, row in enumerate(reading.table.rows if reading.table else ()):
        yield from (("table", at, column) for column, c in enumerate(row.cells) if c.quantity)


def _without(reading: Reading, place: tuple[str, int, int]) -> tuple[Reading, str]:
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
    fields = dataclasses.replace(reading.fields, **{field: tuple(values)})
    return dataclasses.replace(reading, fields=fields), name


@pytest.mark.parametrize("file", KINDS)
def test_gap_never_makes_it_better(file: str) -> None:
    """Without one of its values a reading is never within, unless no limit was held against that value."""
    reading, assess = example(file), KINDS[file].assess
    before = assess(reading, ABOUT)
    judged = {name for name, outcome in before.outcomes if outcome in ("within", "outside")}
    tried = 0
    for place in _cells(reading):
        less, name = _without(reading, place)
        after = assess(less, ABOUT)
        assert not (before.outcome == "outside" and after.outcome == "within"), (file, name)
        if name in judged:
            assert after.outcome != "within", (file, name)
        tried += 1
    assert tried or not any(True for _ in _cells(reading))


def _elsewhere(value: Any) -> Any:
    """Give the same value in other units wherever it holds one."""
    if isinstance(value, Quantity):
        if value.unit not in OTHER:
            return value
        other = OTHER[value.unit]
        return Quantity(Decimal(repr(value.to(other))), other)
    if isinstance(value, NoteLimit):
        return dataclasses.replace(value, words={k: _elsewhere(v) for k, v in value.words.items()})
    if isinstance(value, dict):
        return {k: _elsewhere(v) for k, v in value.items()}
    if isinstance(value, tuple):
        return tuple(_elsewhere(v) for v in value)
    if isinstance(value, Cell):
        return dataclasses.replace(value, quantity=_elsewhere(value.quantity))
    return value


def _table_elsewhere(table: Table | None) -> Table | None:
    if table is None:
        return None
    heads = tuple(dataclasses.replace(h, unit=OTHER.get(h.unit, h.unit)) for h in table.heads)
    rows = tuple(dataclasses.replace(r, cells=_elsewhere(r.cells)) for r in table.rows)
    return dataclasses.replace(table, heads=heads, rows=rows)


@pytest.mark.parametrize("file", KINDS)
def test_units_never_change_the_outcome(file: str) -> None:
    """The example with its values, or its values and limits, in other units comes out the same."""
    reading, assess = example(file), KINDS[file].assess
    before = assess(reading, ABOUT)
    own = {s.name: getattr(reading.fields, s.name) for s in dataclasses.fields(reading.fields)}
    # a difference of temperatures is no temperature: a limit of it keeps its unit
    apart = any("difference" in n.words for n in own.get("limit", ()))
    kept = {"limit"} if apart else set()
    for keep in (kept, {"limit"}):
        moved = {n: v if n in keep else _elsewhere(v) for n, v in own.items()}
        fields = dataclasses.replace(reading.fields, **moved)
        other = dataclasses.replace(reading, fields=fields, table=_table_elsewhere(reading.table), unit="")
        after = assess(other, ABOUT)
        assert after.outcome == before.outcome
        assert [j.outcome for j in after.judged] == [j.outcome for j in before.judged]
        assert dict(after.outcomes) == dict(before.outcomes)
