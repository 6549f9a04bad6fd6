"""Says in words where a limit is broken: by the row of a table, and in the table under a chart."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from reportgen import plots
from reportgen.bounds import found_in
from reportgen.cells import Row, Table
from reportgen.chart import Chart
from reportgen.cylinders import told
from reportgen.judging import at_speed
from reportgen.kind import Judged
from reportgen.wording import all_of, say, term


def where(kind: str, judged: Judged, table: Table | None = None) -> str:
    """Say where a limit is broken: `at 2200 rpm`, `at cylinder 3`; empty where its name says it already.

    kind: the reading's. table: of the reading, by whose rows a value is called.
    """
    limit = judged.limit
    # what the limit is for stands before it and needs no second naming
    names = [name for name in judged.where if name not in (limit.of, limit.word)]
    if not names:
        return ""
    steps = dict(_steps(table))
    if not all(name in steps for name in names):
        return say("at {where}", where=told(kind, ", ".join(term(at_speed(kind, name)) for name in names)))
    by_column: dict[str, list[Row]] = {}
    for name in names:
        row, column = steps[name]
        by_column.setdefault(column, []).append(row)
    said = (f"{'' if of == limit.of else f'{term(of)}, '}{_at(rows)}" for of, rows in by_column.items())
    return "; ".join(said)


def _steps(table: Table | None) -> Iterator[tuple[str, tuple[Row, str]]]:
    """Give each value of a table whose rows are speeds or days by its name, with its row and its column."""
    for row in table.rows if table else ():
        if row.date or (table and table.first.casefold() == "rpm"):
            yield from ((cell.name, (row, cell.name.removeprefix(f"{row.name}, "))) for cell in row.cells)


def _at(rows: Iterable[Row]) -> str:
    """Say of which rows: speeds with their unit, days as ISO writes them."""
    some = list(rows)
    days = [row.date for row in some if row.date]
    if len(days) == len(some):
        return say("on {days}", days=all_of(days))
    bare = [row.name.replace(",", "").isdigit() for row in some]
    last = len(some) - 1
    speeds = (
        f"{row.name} rpm" if bare[n] and (n == last or not bare[n + 1]) else term(row.name)
        for n, row in enumerate(some)
    )
    return say("at {speeds}", speeds=all_of(speeds))


def in_table(chart: Chart, judged: Iterable[Judged]) -> Chart:
    """Give a chart whose table says in words what lies outside, for greyscale and for the ear.

    A value with a row of its own is marked there. What lies between values, such as a difference of two of
    them, has none: where nothing else tells of it, it gets a row.
    """
    table, broken = chart.table, [each for each in judged if each.outcome == "outside"]
    end = plots.marked("", outside=True)
    if not broken or any(cell.endswith(end) for row in table.rows for cell in row):
        return chart
    blank = ("-",) * (len(table.header) - 2)
    more = ((_name(each), plots.marked(found_in(each), outside=True), *blank) for each in broken)
    return replace(chart, table=replace(table, rows=(*table.rows, *more)))


def _name(judged: Judged) -> str:
    return term(judged.name or judged.limit.of or judged.limit.word)
