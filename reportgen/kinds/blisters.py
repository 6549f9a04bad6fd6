"""Counts the blisters of a bottom by area, with the largest across and how deep those opened go.

Method: look along the bottom soon after hauling, count in areas whose size is told, measure the largest one
across, and where the owner allows it open some: `gel coat` only, down to the `first ply`, or into the
`laminate`. Units: count, m² or ft², mm or in; computed: blisters per m².

Limits: none is published, neither for number nor for size; the three depths are the trade's groups, common
practice without a source. Only the note's `maximum` by column is judged. Holds for gel-coated laminates.

Source: blister-study (kinds and causes); blister-structure (depth matters more than number).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Column, Head, Row, Shape, Table
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, Text
from reportgen.wording import all_of, later_in, say, term

DENSITY = "per m²"
DEPTHS = ("gel coat", "first ply", "laminate")
LIMIT_WORDS = {"maximum": ""}
NAMES: dict[str, tuple[str, str | None]] = {
    later_in("name", "density"): ("density", DENSITY),
    "blisters": ("count", ""),
    "largest": ("length", "mm"),
    "first ply": ("count", ""),
    "laminate": ("count", ""),
}


@dataclass(frozen=True)
class Fields:
    """Keys of a count of blisters; the areas stand in the table."""

    ashore: Quantity | None = key(
        Measure("time", "h"), share="open", help="hours out of the water before counting"
    )
    coating: str = key(Text(), share="open", help="what covers the gel coat, such as antifouling", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="most by column, with its source", default=()
    )


def density(count: float, area: float) -> float:
    """Give blisters per m² from a count and an area looked at [m²], which must be above zero."""
    return count / area


def assess(reading: Reading, about: About) -> Assessment:
    """Judge counts, sizes and densities by the note alone. Source: none for a limit."""
    fields: Fields = reading.fields
    table, slips = _sensible(reading.table)
    dense = tuple(_density(row, table) for row in table.rows)
    needless = set(_needless(table))
    counted = tuple(t for t in judging.of_table(table) if t.name not in needless)
    judged = judging.judge(limits.written(fields.limit), (*counted, *dense))
    return judging.assessment(
        reading,
        (*counted, *dense),
        judged,
        lacking=say(
            "no number or size of blisters that passes or fails is published, and the report gives none"
        ),
        working=_working(table, dense),
        says=_says(table, fields),
        suggests=_suggests(table),
        source_ids=KIND.source_ids,
        chart=_chart(table, dense, judged),
        warnings=slips,
    )


def _sensible(table: Table | None) -> tuple[Table, tuple[tuple[str, str], ...]]:
    """Take impossible figures out as not taken: below zero, an area of nothing, parts of a blister."""
    if table is None:
        return Table(), ()
    slips: list[tuple[str, str]] = []
    rows = []
    for row in table.rows:
        cells = []
        for cell, head in zip(row.cells, table.heads, strict=True):
            if cell.quantity and not _possible(cell.quantity, head.name):
                slips.append(
                    (f"{cell.name}: {cell.quantity} can't be right", "write the figure or not taken")
                )
                cell = replace(cell, quantity=None, why=say("{value} can't be right", value=cell.quantity))
            cells.append(cell)
        rows.append(replace(row, cells=tuple(cells)))
    kept = replace(table, rows=tuple(rows))
    slips += [
        (f"{row.name}: more blisters opened than counted", "correct the count or the depths")
        for row in kept.rows
        if _opened(row, kept) > (_value(row, "blisters", kept) or 0.0)
    ]
    return kept, tuple(slips)


def _possible(quantity: Quantity, name: str) -> bool:
    if name in ("looked at", "largest"):
        return quantity.value > 0
    return quantity.value >= 0 and quantity.value == int(quantity.value)


def _cell(row: Row, name: str, table: Table) -> Cell | None:
    return next((c for c, h in zip(row.cells, table.heads, strict=True) if h.name == name), None)


def _value(row: Row, name: str, table: Table, unit: str = "") -> float | None:
    """Give a figure of a row in `unit`, None where it was not taken or there is no such column."""
    cell = _cell(row, name, table)
    return cell.quantity.to(unit) if cell and cell.quantity else None


def _opened(row: Row, table: Table) -> float:
    return sum(_value(row, depth, table) or 0.0 for depth in DEPTHS)


def _needless(table: Table) -> Iterator[str]:
    """Name the gaps that are none: where no blister was found there is no size and nothing to open."""
    for row in table.rows:
        if _value(row, "blisters", table) == 0.0:
            for cell, head in zip(row.cells, table.heads, strict=True):
                if cell.quantity is None and head.name in ("largest", *DEPTHS):
                    yield cell.name


def _density(row: Row, table: Table) -> Thing:
    count, area = _value(row, "blisters", table), _value(row, "looked at", table, "m²")
    if count is None or area is None:
        return Thing(row.name, None, DENSITY, "", "density", say("the count or the area was not taken"))
    return Thing(row.name, density(count, area), DENSITY, "", "density")


def _working(table: Table, dense: Sequence[Thing]) -> Iterator[Step]:
    for row, each in zip(table.rows, dense, strict=True):
        if each.value is not None:
            count, area = _value(row, "blisters", table), _value(row, "looked at", table, "m²")
            values = f"{units.figures(count or 0.0, 6)} / {units.figures(area or 0.0, 4)} m²"
            result = units.figures(each.value, 3)
            yield Step(
                say("blisters of {name} per m²", name=term(row.name)),
                say("count / area looked at"),
                values,
                result,
                DENSITY,
            )


def _says(table: Table, fields: Fields) -> Iterator[str]:
    opened = sum(_opened(row, table) for row in table.rows)
    if opened:
        depths = {d: sum(_value(row, d, table) or 0.0 for row in table.rows) for d in DEPTHS}
        told = [f"{units.figures(n, 6)} {term(d)}" for d, n in depths.items() if n]
        yield say("Of {opened} opened: {told}.", opened=units.figures(opened, 6), told=all_of(told))
    elif any(_value(row, "blisters", table) for row in table.rows):
        yield say("None was opened, or the depth is not stated: how deep they go is not known.")
    if fields.ashore is None:
        yield say(
            "How long the boat had been ashore is not stated; small blisters can go flat as a bottom dries."
        )
    if fields.coating:
        yield say("Counted through: {coating}; a thick coating can hide small ones.", coating=fields.coating)


def _suggests(table: Table) -> Iterator[str]:
    """Say what depth suggests. Source: blister-structure, blister-study."""
    deep = [row.name for row in table.rows if _value(row, "laminate", table)]
    if deep:
        yield say(
            "Blisters into the laminate at {deep} suggest that its plies are affected; to be "
            "confirmed by grinding back one place and a look by a laminator.",
            deep=all_of(map(term, deep)),
        )
    elif any(_value(row, "blisters", table) for row in table.rows):
        yield say(
            "By the sources damage to the structure is rare, and depth matters more than number; "
            "to be confirmed by opening some with the owner's written permission."
        )


def _chart(table: Table, dense: Sequence[Thing], judged: Sequence[Judged]) -> Chart | None:
    if not any(t.value is not None for t in dense):
        return None
    # the bars are densities; limits for other columns stand in the table only
    lines = [replace(j, limit=replace(j.limit, of="")) for j in judged if j.limit.of == "density"]
    chart = plots.bars(say("Blisters per m²"), say("Area"), [(term("density"), dense)], lines, DENSITY)
    heads = (*table.heads, Head("density", "density", "", DENSITY))
    rows = tuple(
        replace(row, cells=(*row.cells, _as_cell(each))) for row, each in zip(table.rows, dense, strict=True)
    )
    return replace(chart, table=plots.printed_table(Table(table.first, heads, rows), judged))


def _as_cell(each: Thing) -> Cell:
    if each.value is None:
        return Cell(each.name)
    figure = Decimal(units.plain_figures(each.value, 3).replace(",", ""))
    return Cell(each.name, Quantity(figure, DENSITY))


KIND = Kind(
    name="blisters",
    title="Blisters",
    measures="How many blisters there are in areas of stated size, how large and how deep they are.",
    fields=Fields,
    units=("m²", "ft²", "cm²", "in²", "mm", "cm", "in"),
    limits=(),
    assess=assess,
    proves=("How many blisters stood on the day, in the areas that were counted.",),
    proves_not=(
        "It does not say how deep those go that were not opened.",
        "A bottom without blisters on the day can have them after a season, or dry ones that went flat.",
        "It does not say why: left-in material, stress and slow breakdown of the resin all make blisters.",
        "Damage to the structure is rare, and the number alone does not show it.",
    ),
    limit_words=LIMIT_WORDS,
    how="Soon after hauling, count in marked areas, measure the largest, open some by permission.",
    instrument="eye, rule, low light; a scraper to open some",
    example="""
kind: blisters
ashore: 3 h
limit: {maximum: {density: 10 per m², largest: 15 mm}, source: "invented purchase contract 7"}
| area | looked at (m²) | blisters | largest (mm) | gel coat | first ply | laminate |
|---|---|---|---|---|---|---|
| bottom port, forward | 2 | 14 | 8 | 3 | 1 | 0 |
| bottom port, aft | 1.5 | 24 | 12 | 4 | 2 | 0 |
| bottom starboard, forward | 2 | 0 | - | - | - | - |
""",
    blank="""
kind: blisters
ashore:
coating:
| area | looked at (m²) | blisters | largest (mm) | gel coat | first ply | laminate |
|---|---|---|---|---|---|---|
| bottom port | | | | | | |
| bottom starboard | | | | | | |
""",
    source_ids=("blister-study", "blister-structure"),
    table=Shape(
        "area",
        (
            Column("looked at", "area", "size of the area counted", "m²"),
            Column("blisters", "count", "how many", ""),
            Column("largest", "length", "largest one across", "mm"),
            Column("gel coat", "count", "of those opened, in the gel coat only", ""),
            Column("first ply", "count", "of those opened, down to the first ply", ""),
            Column("laminate", "count", "of those opened, into the laminate", ""),
        ),
    ),
    no_source="No number, size or depth that passes or fails blisters was found published.",
)
