"""Puts judged values into the data of a chart: bars, bands, a curve over rpm, a trend, a map of the hull."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from reportgen import units, wording
from reportgen.bounds import asked, short
from reportgen.cells import Cell, Table
from reportgen.chart import Chart
from reportgen.chart import Table as Printed
from reportgen.judging import Thing, broken, with_unit
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.wording import all_of, later, say, term

NOT_TAKEN = later("not taken")
# limits of what lies between values have no place on the scale of the values
DERIVED = ("difference", "spread", "lowest to highest", "drop")


def said(what: str, all_things: Sequence[Thing], judged: Sequence[Judged]) -> str:
    """Give a chart in words: what it shows, the least and the greatest, what is outside or not taken.

    what: a noun phrase without a full stop, such as "Resting voltage of 3 batteries".
    """
    values = sorted((t for t in all_things if t.value is not None), key=lambda t: t.value or 0.0)
    if not values:
        return say("{what}: no value was taken.", what=what)
    low, high = values[0].words, values[-1].words
    spread = low if low == high else say("{low} to {high}", low=low, high=high)
    outside, gaps = broken(judged), dict.fromkeys(t.name for t in all_things if t.value is None)
    if len({t.unit for t in values}) > 1:
        spread = say(
            "{values} values", values=len(values)
        )  # figures of different things have no common range
    told = say("Outside: {outside}", outside=all_of(map(_named, outside))) if outside else say("None outside")
    told = told if judged else say("No limit applies")
    missing = f"; {say('not taken: {gaps}', gaps=all_of(map(_named, gaps)))}" if gaps else ""
    return f"{what}: {spread}. {told}{missing}."


def line(limit: Limit, unit: str) -> Mapping[str, Any]:
    """Give a limit as a line of a chart in `unit`: value, label, side and source."""
    value = units.convert(limit.value, limit.unit, unit)
    label = f"{term(limit.word)} {asked(limit, unit)}"
    source = short(limit).removeprefix("a ")
    return {"value": value, "label": f"{label}, {source}", "side": limit.side, "source": source}


def _lines(judged: Iterable[Judged], unit: str, of: str = "") -> tuple[Mapping[str, Any], ...]:
    """Give the lines of the limits that are for all, or for the thing or column `of`."""
    lines: list[Mapping[str, Any]] = []
    for each in judged:
        fits = each.limit.of in ("", of) and units.alike(each.limit.unit, unit)
        if fits and each.limit.word not in DERIVED:
            drawn = line(each.limit, unit)
            if drawn not in lines:
                lines.append(drawn)
    return tuple(lines)


def _printed(each: Thing) -> str:
    return (
        say(NOT_TAKEN)
        if each.value is None
        else f"{'<' * each.below}{each.printed or units.figures(each.value, 4)}"
    )


def _named(name: str) -> str:
    """Give a row's name as it is shown: the writer's own, a usual one in the reader's language."""
    return term(name) if wording.language() != "en" else name


def bars(
    title: str,
    axis: str,
    series: Sequence[tuple[str, Sequence[Thing]]],
    judged: Sequence[Judged],
    unit: str,
    what: str = "",
) -> Chart:
    """Give one row of bars a thing, one bar or two in each, with a line for every limit that is for all.

    axis: what the rows are, such as "Battery". series: (name, things); the first one names the rows.
    unit: of all. what: begins the text alternative, else the title does.
    """
    rows = [(name, with_unit(found, unit)) for name, found in series]
    labels = tuple(t.name for t in rows[0][1])
    by_name = [(name, {t.name: t for t in found}) for name, found in rows]
    blank = Thing("", None, unit)
    shown = [(name, [found.get(label, blank) for label in labels]) for name, found in by_name]
    outside = broken(judged)
    # a limit for one thing only would be taken for one of all: the table and the list below give it
    data = {
        "labels": tuple(map(_named, labels)),
        "axis": axis,
        "unit": units.in_words(unit),
        "series": tuple({"name": name, "values": tuple(t.value for t in found)} for name, found in shown),
        "printed": tuple(tuple(_printed(t) for t in found) for _, found in shown),
        "limits": _lines(judged, unit),
        "outside": tuple(_named(label) for label in labels if label in outside),
    }
    head = (axis, *(f"{name} ({units.in_words(unit)})" if unit else name for name, _ in shown))
    table = tuple(
        (_named(label), *(marked(_printed(found[at]), label in outside) for _, found in shown))
        for at, label in enumerate(labels)
    )
    every = [t for _, found in rows for t in found]
    return Chart("bars", title, said(what or title, every, judged), data, Printed(head, table))


def marked(text: str, outside: bool) -> str:
    """Give a value of a chart's table; that it is outside stands in a word, for greyscale and for the ear."""
    return say("{value}, outside", value=text) if outside else text


def band(
    title: str, axis: str, all_things: Sequence[Thing], judged: Sequence[Judged], unit: str, what: str = ""
) -> Chart:
    """Give one row a thing, with its value in or beside the band that its limits leave.

    Things without a limit have no band. unit: of all.
    """
    found = with_unit(all_things, unit)
    outside = broken(judged)
    edges = [_edges(t, judged, unit) for t in found]
    rows: tuple[Mapping[str, Any], ...] = tuple(
        {
            "label": _named(t.name),
            "value": t.value,
            "printed": _printed(t),
            "low": low,
            "high": high,
            "low_printed": "" if low is None else units.figures(low, 4),
            "high_printed": "" if high is None else units.figures(high, 4),
            "outside": t.name in outside,
        }
        for t, (low, high) in zip(found, edges, strict=True)
    )
    head = (axis, say("found ({unit})", unit=unit) if unit else say("found"), say("at least"), say("at most"))
    table = tuple(
        (r["label"], marked(r["printed"], r["outside"]), r["low_printed"] or "-", r["high_printed"] or "-")
        for r in rows
    )
    data = {"axis": axis, "unit": units.in_words(unit), "rows": rows}
    return Chart("band", title, said(what or title, found, judged), data, Printed(head, table))


def _edges(each: Thing, judged: Iterable[Judged], unit: str) -> tuple[float | None, float | None]:
    """Give the highest minimum and the lowest maximum that are for a thing [unit]."""
    limits = [
        j.limit for j in judged if j.limit.of in ("", each.of, each.name) and units.alike(j.limit.unit, unit)
    ]
    low = [units.convert(li.value, li.unit, unit) for li in limits if li.side == "minimum"]
    high = [units.convert(li.value, li.unit, unit) for li in limits if li.side == "maximum"]
    return max(low, default=None), min(high, default=None)


def printed_table(
    table: Table, judged: Iterable[Judged], ringed: Iterable[str] = (), mark: str = ""
) -> Printed:
    """Give a reading's table as the page prints it: units in the headers, values outside marked by word.

    ringed: names of cells that have a second mark in the picture; mark: what it means.
    """
    outside, second = set(broken(judged)), set(ringed)

    def printed(cell: Cell, unit: str) -> str:
        text = marked(_text(cell, unit), cell.name in outside)
        return f"{text}, {mark}" if mark and cell.name in second else text

    remarks = any(row.remark for row in table.rows)
    told = tuple(dict.fromkeys(word.name for row in table.rows for word in row.words))
    heads = (f"{term(h.title)} ({units.in_words(h.unit)})" if h.unit else term(h.title) for h in table.heads)
    rows = (
        (
            _named(row.name),
            *(printed(c, h.unit) for c, h in zip(row.cells, table.heads, strict=True)),
            *({word.name: word.text for word in row.words}.get(name) or say(NOT_TAKEN) for name in told),
            *((row.remark or "-",) if remarks else ()),
        )
        for row in table.rows
    )
    last = (say("remark"),) if remarks else ()
    return Printed((term(table.first), *heads, *map(term, told), *last), tuple(rows))


def _text(cell: Cell, unit: str) -> str:
    """Print a cell in its column's unit, as written where it was written so."""
    if cell.quantity is None:
        return say(NOT_TAKEN)
    own = cell.quantity.unit == unit
    value = wording.number(cell.quantity.value) if own else units.figures(cell.quantity.to(unit), 4)
    return f"{'<' * cell.below}{value}"


def _panels(
    table: Table,
    columns: Sequence[str],
    judged: Sequence[Judged],
    point: Any,
) -> tuple[Mapping[str, Any], ...]:
    """Give a panel for each named column that the table has; engines are the panel's series."""
    outside = set(broken(judged))
    panels = []
    for name in columns:
        found = list(table.columns(name))
        if not any(c.quantity for _, cells in found for c in cells):
            continue
        unit = found[0][0].unit
        series = tuple(
            {
                "name": _named(head.of or head.title),
                "points": tuple(
                    p
                    for row, c in zip(table.rows, cells, strict=True)
                    if (p := point(row, c, unit)) is not None
                ),
            }
            for head, cells in found
        )
        breaking = tuple(
            (_named(head.of or head.title), p[0])
            for head, cells in found
            for row, c in zip(table.rows, cells, strict=True)
            if c.name in outside and (p := point(row, c, unit)) is not None
        )
        panels.append(
            {
                "name": _named(name),
                "unit": unit,
                "series": series,
                "limits": _lines(judged, unit, name),
                "outside": breaking,
            }
        )
    return tuple(panels)


def _value(cell: Cell, unit: str) -> float | None:
    return None if cell.quantity is None else cell.quantity.to(unit)


def curve(
    title: str,
    x_unit: str,
    table: Table,
    columns: Sequence[str],
    judged: Sequence[Judged],
    all_things: Sequence[Thing],
    x_band: Mapping[str, Any] | None = None,
) -> Chart:
    """Give values over the number that each row's name begins with, one panel a column.

    Rows whose name is no number are left to the table. x_band: a range on the x axis, {low, high, label}.
    """

    def point(row: Any, cell: Cell, unit: str) -> tuple[Any, ...] | None:
        if row.number is None:
            return None
        return (row.number, _value(cell, unit), _text(cell, unit))

    data: dict[str, Any] = {
        "x_name": table.first,
        "x_unit": x_unit,
        "panels": _panels(table, columns, judged, point),
    }
    if x_band:
        data["band"] = x_band
    return Chart("curve", title, said(title, all_things, judged), data, printed_table(table, judged))


def trend(
    title: str,
    x_kind: str,
    table: Table,
    columns: Sequence[str],
    judged: Sequence[Judged],
    all_things: Sequence[Thing],
) -> Chart:
    """Give values over dates or hours, one panel a column; x_kind: "date" or "hours".

    A row's name is an ISO date or a number of hours; others are left to the table.
    """

    def point(row: Any, cell: Cell, unit: str) -> tuple[Any, ...] | None:
        x = row.date if x_kind == "date" else row.number
        if x is None:
            return None
        return (x, _value(cell, unit), _text(cell, unit), cell.below)

    data = {"x_kind": x_kind, "x_name": table.first, "panels": _panels(table, columns, judged, point)}
    return Chart("trend", title, said(title, all_things, judged), data, printed_table(table, judged))


def grid(
    title: str,
    table: Table,
    judged: Sequence[Judged],
    all_things: Sequence[Thing],
    unit: str,
    outline: str = "",
    marked: Iterable[str] = (),
    mark: str = "",
    reference: tuple[str, float] | None = None,
) -> Chart:
    """Give a table as a map: its columns along the hull, its rows across, a value in each cell.

    outline: "hull", "deck", "transom" or "". marked: names of cells with a second mark; mark: what it means.
    reference: label and value [unit] of the place that others are compared with.
    """
    outside, ringed = set(broken(judged)), set(marked)
    places = [
        (_named(row.name), _named(head.title), c)
        for row in table.rows
        for head, c in zip(table.heads, row.cells, strict=True)
    ]
    data: dict[str, Any] = {
        "columns": tuple(_named(h.title) for h in table.heads),
        "rows": tuple(_named(r.name) for r in table.rows),
        "unit": units.in_words(unit),
        "values": tuple(tuple(_value(c, unit) for c in r.cells) for r in table.rows),
        "printed": tuple(tuple(_text(c, unit) for c in r.cells) for r in table.rows),
        "outside": tuple((r, c) for r, c, cell in places if cell.name in outside),
        "marked": tuple((r, c) for r, c, cell in places if cell.name in ringed),
        "mark": mark,
        "outline": outline,
    }
    if reference:
        data["reference"] = {"label": reference[0], "value": reference[1]}
    told = printed_table(table, judged, ringed, mark)
    return Chart("grid", title, said(title, all_things, judged), data, told)


def on_one_scale(chart: Chart, others: Sequence[Chart]) -> Chart:
    """Give a chart with the scale that all of `others` share, those of its form and unit.

    Bars and bands get `scale`, bars also `room` for the same words, curves and trends `scales` (one a panel,
    by the panel's name) and `x_scale`.
    """
    alike = [o for o in others if o.form == chart.form and o.data.get("unit") == chart.data.get("unit")]
    if len(alike) < 2:
        return chart
    if "panels" in chart.data:
        scales = tuple(
            _extent(_heights(o, p["name"], p["unit"]) for o in alike) for p in chart.data["panels"]
        )
        across = _extent(_across(o) for o in alike)
        return replace(chart, data={**chart.data, "scales": scales, "x_scale": across})
    shared: dict[str, Any] = {"scale": _extent(_lengths(o) for o in alike)}
    if chart.form == "bars":
        signs = (len(text) for o in alike for row in _taken(o.data) for text in row)
        shared["room"] = {"outside": any(o.data["outside"] for o in alike), "figures": max(signs, default=0)}
    return replace(chart, data={**chart.data, **shared})


def _taken(data: Mapping[str, Any]) -> Iterator[list[str]]:
    """Give the printed values of each series of bars, without those that were not taken."""
    for series, printed in zip(data["series"], data["printed"], strict=True):
        yield [text for value, text in zip(series["values"], printed, strict=True) if value is not None]


def _extent(found: Iterable[Iterable[Any]]) -> tuple[Any, Any] | None:
    every = [value for values in found for value in values]
    return (min(every), max(every)) if every and min(every) < max(every) else None


def _lengths(chart: Chart) -> Iterator[float]:
    """Give every value and limit of bars or bands, and zero where bars begin."""
    data = chart.data
    if chart.form == "bars":
        yield 0.0
        yield from (v for s in data["series"] for v in s["values"] if v is not None)
        yield from (limit["value"] for limit in data["limits"])
    if chart.form == "grid":
        yield from (v for row in data["values"] for v in row if v is not None)
    if chart.form == "band":
        yield from (r[k] for r in data["rows"] for k in ("value", "low", "high") if r[k] is not None)


def _heights(chart: Chart, name: str, unit: str) -> Iterator[float]:
    for panel in chart.data["panels"]:
        if (panel["name"], panel["unit"]) == (name, unit):
            yield from (p[1] for s in panel["series"] for p in s["points"] if p[1] is not None)
            yield from (limit["value"] for limit in panel["limits"])


def _across(chart: Chart) -> Iterator[Any]:
    """Give every place along the axis: numbers, or ISO dates, which sort as they follow each other."""
    yield from (p[0] for panel in chart.data["panels"] for s in panel["series"] for p in s["points"])
