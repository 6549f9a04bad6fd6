"""Keeps account of an engine's cylinders: which are missing, which stand side by side, how to show them."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from reportgen import plots, units, wording
from reportgen.cells import Cell
from reportgen.chart import Chart, Table
from reportgen.units import Quantity, UnitError
from reportgen.values import Context, Custom, ListOf, Measure, Text
from reportgen.wording import all_of, later, say, say_n, term
from reportgen.yamltext import Items, Node, Scalar

BY_CYLINDER = ("borescope", "compression", "leak-down", "spark-plugs")  # kinds that tell of each by itself
MOST = 64  # larger numbers are names or slips: no boat's engine has so many cylinders

Banks = tuple[tuple[str, ...], ...]


def _temperature(node: Node, context: Context) -> str | Quantity | None:
    """Read warm, cold or a temperature."""
    text = node.text.strip() if isinstance(node, Scalar) else ""
    if text in ("warm", "cold"):
        return text
    found: Any = Measure("temperature").read(node, context)
    return found if isinstance(found, Quantity) else None


def _banks(node: Node, context: Context) -> Banks | None:
    """Read a list of banks, each a list of cylinders in the order they stand; one bare list is one bank."""
    if isinstance(node, Items) and any(not isinstance(n, Scalar) for n in node.items):
        read: Banks | None = ListOf(ListOf(Text())).read(node, context)
        return read
    one: tuple[str, ...] | None = ListOf(Text()).read(node, context)
    return None if one is None else (one,)


ENGINE_TEMPERATURE = Custom("warm, cold or a temperature", _temperature, (Text(),))
BANKS = Custom("list of banks, each a list of cylinders side by side", _banks, (ListOf(ListOf(Text())),))


def number(name: str) -> int | None:
    """Give the number of a cylinder, None for one that goes by a name."""
    plain = int(name) if re.fullmatch(r"\d{1,3}", name.strip(), re.ASCII) else 0
    return plain if 1 <= plain <= MOST else None


def complete(cells: Sequence[Cell], count: int | None) -> tuple[Cell, ...]:
    """Give the cells in order of number, with those that are missing among them as not taken.

    cells: as written, shape (cylinders,). count: how many cylinders the engine has, None if not told;
    then the highest number counts. Where cylinders go by names, as many `not named` are added as are missing.
    """
    ordered = sorted(cells, key=_order)
    numbers = {number(c.name) for c in cells}
    if None in numbers:
        lacking = max(0, min(count or 0, MOST) - len(cells))
        return (*ordered, *(Cell(f"not named {n + 1}") for n in range(lacking)))
    highest = max((n for n in numbers if n), default=0)
    last = min(max(count or 0, highest), MOST)
    gaps = [Cell(str(n)) for n in range(1, last + 1) if n not in numbers]
    return tuple(sorted([*ordered, *gaps], key=_order))


def _order(cell: Cell) -> tuple[bool, int, str]:
    found = number(cell.name)
    return (found is None, found or 0, cell.name)


def sensible(
    cells: Iterable[Cell], low: float, high: float | None
) -> tuple[tuple[Cell, ...], tuple[Cell, ...]]:
    """Give the cells with impossible values made not taken, and the impossible ones as written.

    low, high: what a value in its own unit can be [unit of the value]; high None where there is no bound.
    """
    kept, odd = [], []
    for cell in cells:
        value = None if cell.quantity is None else float(cell.quantity.value)
        if value is None or (value >= low and (high is None or value <= high)):
            kept.append(cell)
        else:
            odd.append(cell)
            kept.append(replace(cell, quantity=None, why=f"{cell.quantity} can't be right"))
    return tuple(kept), tuple(odd)


def beyond(cells: Iterable[Cell], count: int | None) -> tuple[str, ...]:
    """Give the cylinders that an engine of `count` cylinders doesn't have."""
    return tuple(c.name for c in cells if count and (number(c.name) or 0) > count)


def unit_of(cells: Iterable[Cell], written: str, dimension: str, other: str) -> str:
    """Give the unit to compute in: the block's, else that of the first value, else `other`.

    written: the block's `unit:`, as in the note. dimension: what the values measure.
    """
    try:
        return units.unit_named(written, dimension)
    except UnitError:
        return next((c.quantity.unit for c in cells if c.quantity), other)


def values_in(cells: Iterable[Cell], unit: str) -> dict[str, float]:
    """Give what was measured by cylinder, unrounded [unit]; cylinders not taken are left out.

    Source: unit-factors, by way of the unit library.
    """
    return {c.name: c.quantity.to(unit) for c in cells if c.quantity}


def side_by_side(banks: Banks, low: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Give the pairs that stand next to each other in a bank and are both among `low`."""
    among = set(low)
    return tuple((a, b) for bank in banks for a, b in itertools.pairwise(bank) if {a, b} <= among)


def strangers(banks: Banks, cells: Iterable[Cell]) -> tuple[str, ...]:
    """Give the names in `banks` that no cylinder has."""
    known = {c.name for c in cells}
    return tuple(sorted({name for bank in banks for name in bank} - known))


def called(names: Sequence[str]) -> str:
    """Give cylinders as words: `cylinder 3`, `cylinders 2 and 3`."""
    return say_n("cylinder {names}", "cylinders {names}", len(names), names=all_of(names))


def told(kind: str, text: str) -> str:
    """Give a name, or values that begin with one, as `cylinder 3`; a bare number tells a reader nothing."""
    return say("cylinder {name}", name=text) if kind in BY_CYLINDER and text[:1].isdigit() else term(text)


def prepared(temperature: str | Quantity | None, conditions: str, figures: str, asks: str) -> tuple[str, ...]:
    """Say how far a test compares with others, from what is told of the engine and the conditions.

    temperature: warm, cold, a temperature or None. conditions: as written.
    figures: what is stated for a warm engine, such as "makers' figures". asks: how it should be taken.
    """
    said = []
    if temperature == "cold":
        said.append(
            say(
                "Taken on a cold engine; {figures} are mostly for a warm one. Compare only with one "
                "for cold.",
                figures=figures,
            )
        )
    elif isinstance(temperature, Quantity):
        said.append(
            say(
                "Taken with the engine at {temperature}; {figures} are mostly for a warm one.",
                temperature=temperature,
                figures=figures,
            )
        )
    elif temperature is None:
        said.append(
            say(
                "Whether the engine was warm or cold is not stated; {figures} are mostly for a warm one.",
                figures=figures,
            )
        )
    if not conditions:
        said.append(
            say("How it was taken is not stated, so that others can't compare it safely. {asks}.", asks=asks)
        )
    return tuple(said)


def printed(cell: Cell | None, unit: str, empty: str = later("not taken")) -> str:
    """Print a value [unit] for a chart or table: as written, to four figures if converted.

    empty: what stands for a value that was not taken.
    """
    if cell is None or cell.quantity is None:
        return say(empty)
    written = str(cell.quantity.value)
    # a share computed from two gauges may have any number of digits
    as_written = cell.quantity.unit == unit and len(written) <= 8
    return wording.number(written) if as_written else units.figures(cell.quantity.to(unit), 4)


def bars(
    title: str,
    alt: str,
    unit: str,
    series: Sequence[tuple[str, Mapping[str, Cell]]],
    limits: Sequence[tuple[float, str, str, str]],
    outside: Iterable[str],
    table: Table,
) -> Chart:
    """Give one row of bars a cylinder, as data for charts/bars.

    title, alt: as in Chart. unit: of all values. series: (name, cells by cylinder), the first one
    names the rows; of the second, one that names no such cell has nothing to tell. limits: (value [unit],
    label, side, source that ends the label). outside: cylinders outside. table: the same numbers, a row
    a cylinder with its own value first, which is marked by word where it is outside.
    """
    labels, broken = tuple(series[0][1]), set(outside)
    found = [(name, [cells.get(label) for label in labels]) for name, cells in series]
    data = {
        "labels": labels,
        "axis": say("Cylinder"),
        "unit": unit,
        "series": tuple({"name": name, "values": tuple(_value(c, unit) for c in row)} for name, row in found),
        "printed": tuple(
            tuple("" if n and c is None else printed(c, unit) for c in row)
            for n, (_, row) in enumerate(found)
        ),
        "limits": tuple(
            dict(zip(("value", "label", "side", "source"), line, strict=True)) for line in limits
        ),
        "outside": tuple(label for label in labels if label in broken),
    }
    rows = tuple((name, plots.marked(value, name in broken), *more) for name, value, *more in table.rows)
    return Chart("bars", title, alt, data, replace(table, rows=rows))


def _value(cell: Cell | None, unit: str) -> float | None:
    return None if cell is None or cell.quantity is None else cell.quantity.to(unit)


def by_name(cells: Iterable[Cell]) -> Mapping[str, Cell]:
    """Give cells by the cylinder's name."""
    return {c.name: c for c in cells}
