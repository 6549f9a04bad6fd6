"""Values of a reading on earlier days: taken from a report.json, or set beside those of today."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from reportgen import jsonin, units
from reportgen.cells import Cell
from reportgen.jsonin import BadFileError
from reportgen.kind import OUTCOMES, Assessment
from reportgen.model import Past, Reading, Values


def taken(reading: Reading, assessment: Assessment) -> Values:
    """Give the values of a reading of this survey, in the form in which those of earlier ones are held."""
    if assessment.values or reading.table is None:
        return assessment.values
    table = reading.table
    return tuple(
        (head.title, tuple(dataclasses.replace(row.cells[at], name=row.name) for row in table.rows))
        for at, head in enumerate(table.heads)
    )


def past(value: Mapping[str, Any], where: str) -> Past:
    """Give the values of one earlier day as a report.json holds them."""
    return Past(
        jsonin.day(value.get("on"), f"{where}.on"),
        jsonin.text(value.get("number"), f"{where}.number"),
        jsonin.word(value.get("outcome"), OUTCOMES, f"{where}.outcome"),
        values(value, where),
    )


def values(value: Mapping[str, Any], where: str) -> Values:
    """Give a reading's values by series; a table's by column, each cell named by its row."""
    series = {
        name: jsonin.list_(cells, f"{where}.values.{name}")
        for name, cells in jsonin.object_(value.get("values", {}), f"{where}.values").items()
    }
    table = value.get("table")
    if not series and table is not None:
        series = _columns(jsonin.object_(table, f"{where}.table"), f"{where}.table")
    if sum(map(len, series.values())) > jsonin.MOST:
        raise BadFileError(f"{where}.values", f"more than {jsonin.MOST} values")
    return tuple(
        (name, tuple(_cell(c, f"{where}.values.{name}[{n}]") for n, c in enumerate(cells)))
        for name, cells in series.items()
    )


def _columns(table: Mapping[str, Any], where: str) -> dict[str, list[Any]]:
    heads = [
        jsonin.text(jsonin.object_(h, f"{where}.columns[{n}]").get("title"), f"{where}.columns[{n}].title")
        for n, h in enumerate(jsonin.list_(table.get("columns", []), f"{where}.columns"))
    ]
    series: dict[str, list[Any]] = {head: [] for head in heads}
    for n, each in enumerate(jsonin.list_(table.get("rows", []), f"{where}.rows")):
        row = jsonin.object_(each, f"{where}.rows[{n}]")
        cells = jsonin.list_(row.get("cells", []), f"{where}.rows[{n}].cells")
        if len(cells) != len(heads):
            raise BadFileError(f"{where}.rows[{n}]", "has not a cell for each column")
        for head, cell in zip(heads, cells, strict=True):
            series[head].append({**jsonin.object_(cell, f"{where}.rows[{n}]"), "name": row.get("name")})
    return series


def _cell(value: object, where: str) -> Cell:
    cell = jsonin.object_(value, where)
    quantity = cell.get("quantity")
    name = jsonin.text(cell.get("name", ""), f"{where}.name")
    if quantity is None:
        return Cell(name, None, jsonin.text(cell.get("why", ""), f"{where}.why"))
    given = jsonin.object_(quantity, f"{where}.quantity")
    number, unit = given.get("value"), given.get("unit", "")
    if isinstance(number, bool) or not isinstance(number, int | Decimal) or abs(Decimal(number)) > 10**12:
        raise BadFileError(f"{where}.quantity", "is no number")
    if not isinstance(unit, str) or not _known(unit):
        raise BadFileError(f"{where}.quantity", f"has the unknown unit {unit!r}")
    return Cell(name, units.Quantity(Decimal(number), unit), "", cell.get("below") is True)


def _known(unit: str) -> bool:
    return unit == "" or any(unit in known for known in units.UNITS.values())
