"""Judges a running test or sea trial: speed, temperatures, pressures and fuel over the steps of rpm.

Method: each step held until it is steady, both ways where there is current or wind; full throttle held long
enough to prove the cooling. A row of the table is a step, named by its rpm; columns may begin with an
engine's name. Units: rpm, kn, mph, km/h, °C, °F, psi, bar, L/h, gal/h, V.

Limits: only the maker's, by column, and for full throttle the maker's range of rpm (`within: {full throttle:
[5000 rpm, 5800 rpm]}`) and the minutes held (`minimum: {held: 5 min}`); no general limit fits all engines.

Two ways: the speed of a step is the mean of `speed` and `speed back`, so that a steady current falls out:
common practice, no source. What full throttle beside the range suggests: common practice, no source.

Source: sea-trial-two-ways. A step that was not taken is never within.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells, Column, Row, Shape, Table
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Context, Custom, Measure, Text
from reportgen.wording import later_in, say, term
from reportgen.yamltext import Keys, Node, Scalar

COLUMNS = (
    Column("rpm", "rotation", "engine speed, where engines differ or the row's name is no number", "rpm"),
    Column("speed", "speed", "speed over ground", "kn"),
    Column("speed back", "speed", "speed over ground on the way back", "kn"),
    Column("coolant", "temperature", "coolant temperature"),
    Column("exhaust", "temperature", "temperature of the exhaust elbow or riser"),
    Column("oil pressure", "pressure", "engine oil pressure"),
    Column("gear oil pressure", "pressure", "gearbox oil pressure"),
    Column("gear temperature", "temperature", "gearbox temperature"),
    Column("boost", "pressure", "charge-air pressure"),
    Column("fuel flow", "flow", "fuel used"),
    Column("volts", "voltage", "charging voltage", "V"),
    Column("load", "share", "engine load as its control unit tells it", "%"),
)
SPECIAL = {
    "full throttle": ("rotation", "rpm"),
    "held": ("time", "min"),
    later_in("name", "mean speed"): ("speed", "kn"),
}
NAMES = {c.name: (c.dimension, c.default) for c in COLUMNS} | SPECIAL
LIMIT_WORDS = {"minimum": "", "maximum": "", "within": ""}


_EACH = Cells("rotation", "rpm")


def _full(node: Node, context: Context) -> tuple[Cell, ...] | None:
    """Read the rpm at full throttle: one figure, or one an engine by name."""
    if isinstance(node, Scalar):
        node = Keys(((Scalar("full throttle", node.place), node),), node.place)
    found: tuple[Cell, ...] | None = _EACH.read(node, context)
    return found


@dataclass(frozen=True)
class Fields:
    """Keys of a running test or sea trial, beside its table."""

    full_throttle: tuple[Cell, ...] = key(
        Custom("rpm, or name: rpm for each engine", _full, (Measure("rotation"), _EACH)),
        share="open",
        help="rpm reached at full throttle, steady",
        default=(),
    )
    held: Quantity | None = key(Measure("time", "min"), share="open", help="minutes held at full throttle")
    load: str = key(Text(), share="open", help="persons, fuel, water and gear aboard", default="")
    sea: str = key(Text(), share="open", help="wind, sea and depth of water", default="")
    bottom: str = key(Text(), share="open", help="condition of bottom and propeller", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="the makers' figures by column", default=()
    )


def mean_speed(out: float, back: float) -> float:
    """Give the mean of a run and the run back [unit of both]; a steady current falls out of it."""
    return (out + back) / 2


def assess(reading: Reading, about: About) -> Assessment:
    """Judge a sea trial by the makers' figures. Source: sea-trial-two-ways for the mean speed."""
    fields: Fields = reading.fields
    table = reading.table or Table()
    means = tuple(_means(table))
    full = judging.things(fields.full_throttle, "full throttle", "rpm")
    held = (judging.single("held", fields.held, "min"),) if fields.held or full else ()
    asked = limits.written(fields.limit)
    measured = (*full, *judging.of_table(table))
    # the minutes are only missed where a figure asks for them
    timed = held if fields.held or any(limit.of == "held" for limit in asked) else ()
    found = (*measured, *(thing for thing, _ in means), *timed) if measured else ()
    judged = judging.judge(asked, found)
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say("the report gives none of the makers' figures, and no general one fits all engines"),
        working=(*(step for _, step in means), *_per_distance(table)),
        says=_says(fields, bool(full), bool(means)),
        suggests=_suggests(judged),
        source_ids=("sea-trial-two-ways",) if means else (),
        values=(("full throttle", fields.full_throttle),) if full else (),
        chart=_chart(table, full, judged, found),
    )


def _pairs(table: Table) -> Iterator[tuple[Row, Cell, Cell, str]]:
    """Give each step with both ways taken: row, out, back, unit of the first."""
    out = next(iter(table.columns("speed")), None)
    back = next(iter(table.columns("speed back")), None)
    if out and back:
        for row, a, b in zip(table.rows, out[1], back[1], strict=True):
            if a.quantity and b.quantity:
                yield row, a, b, out[0].unit


def _means(table: Table) -> Iterator[tuple[Thing, Step]]:
    for row, a, b, unit in _pairs(table):
        if a.quantity and b.quantity:
            mean = mean_speed(a.quantity.to(unit), b.quantity.to(unit))
            printed = units.figures(mean, 4)
            yield (
                Thing(f"{row.name}, mean speed", mean, unit, printed, "mean speed"),
                Step(
                    say("mean speed at {name}", name=term(row.name)),
                    say("(out + back) / 2"),
                    f"({a.quantity} + {b.quantity}) / 2",
                    printed,
                    unit,
                ),
            )


def _per_distance(table: Table) -> Iterator[Step]:
    """Give the fuel for a distance at each step, from the flow of all engines and the speed."""
    flows, speeds = list(table.columns("fuel flow")), dict(_speeds(table))
    for at, row in enumerate(table.rows):
        cells = [(head.unit, found[at].quantity) for head, found in flows]
        taken = [q.to(unit) for unit, q in cells if q]
        if (
            not cells
            or len(taken) < len(cells)
            or row.name not in speeds
            or {u for u, _ in cells} != {cells[0][0]}
        ):
            continue
        speed, unit = speeds[row.name]
        if speed > 0 and cells[0][0].endswith("/h"):
            volume, per = cells[0][0].removesuffix("/h"), {"kn": "nmi", "mph": "mi", "km/h": "km"}[unit]
            each = sum(taken) / speed
            values = f"{units.figures(sum(taken), 4)} {cells[0][0]} / {units.figures(speed, 4)} {unit}"
            yield Step(
                say("fuel for a distance at {name}", name=term(row.name)),
                say("flow of all engines / speed"),
                values,
                units.figures(each, 3),
                f"{volume}/{per}",
            )


def _speeds(table: Table) -> Iterator[tuple[str, tuple[float, str]]]:
    """Give each step's speed: the mean of two ways, else the one that was run."""
    out = next(iter(table.columns("speed")), None)
    if out:
        for row, cell in zip(table.rows, out[1], strict=True):
            if cell.quantity:
                yield row.name, (cell.quantity.to(out[0].unit), out[0].unit)
    for row, a, b, unit in _pairs(table):
        if a.quantity and b.quantity:
            yield row.name, (mean_speed(a.quantity.to(unit), b.quantity.to(unit)), unit)


def _says(fields: Fields, full: bool, both_ways: bool) -> Iterator[str]:
    taken = any(c.quantity for c in fields.full_throttle)
    if not taken:
        yield say(
            "Full throttle is not noted: top rpm, propeller and cooling under full load are not proven."
        )
    elif not fields.held:
        yield say("How long full throttle was held is not noted.")
    if not both_ways:
        yield say(
            "Which speeds are means of both ways only the surveyor's own words tell: a speed of one way "
            "alone has current and wind in it."
        )
    told = (
        (
            say("Load"),
            fields.load,
            say("Load is not stated, so that the figures compare only roughly with others."),
        ),
        (
            say("Sea"),
            fields.sea,
            say("Sea is not stated, so that the figures compare only roughly with others."),
        ),
        (
            say("Bottom"),
            fields.bottom,
            say("Bottom is not stated, so that the figures compare only roughly with others."),
        ),
    )
    yield from (f"{name}: {words.rstrip('.')}." if words else missing for name, words, missing in told)


def _suggests(judged: Sequence[Judged]) -> Iterator[str]:
    """Say what full throttle beside the maker's range suggests. Common practice, no source."""
    full = [j for j in judged if j.limit.of == "full throttle" and j.outcome == "outside"]
    if any(j.limit.side == "minimum" for j in full):
        yield say(
            "Full throttle below the maker's range suggests too much propeller, a fouled bottom, "
            "a heavy load or a weak engine; to be told apart before the propeller is changed."
        )
    if any(j.limit.side == "maximum" for j in full):
        yield say(
            "Full throttle above the maker's range suggests too little propeller, a slipping hub "
            "or clutch, or air at the propeller."
        )


def _chart(
    table: Table, full: Sequence[Thing], judged: Sequence[Judged], found: Sequence[Thing]
) -> Chart | None:
    """Give a curve a column over rpm; without numbered steps a band of the full-throttle rpm."""
    columns = [c.name for c in COLUMNS if c.name != "rpm"]
    if any(row.number is not None for row in table.rows):
        return plots.curve(
            say("Values over engine speed"), "rpm", table, columns, judged, found, _range(judged)
        )
    if full:
        return plots.band(say("Full throttle, rpm"), say("Engine"), full, judged, "rpm", say("Full throttle"))
    return None


def _range(judged: Sequence[Judged]) -> dict[str, object] | None:
    """Give the maker's range of full throttle for the x axis [rpm]."""
    edges = {j.limit.side: j.limit.value for j in judged if j.limit.of == "full throttle"}
    if set(edges) != {"minimum", "maximum"}:
        return None
    return {"low": edges["minimum"], "high": edges["maximum"], "label": say("full throttle by the maker")}


KIND = Kind(
    name="sea-trial",
    title="Sea trial",
    measures="How boat and engines run under load: speed, temperatures, pressures and fuel at each rpm.",
    fields=Fields,
    units=("rpm", "kn", "mph", "km/h"),
    limits=(),
    assess=assess,
    proves=(
        "Steady temperatures and pressures at full load show that cooling and lubrication kept up that day.",
        "Full throttle within the maker's range shows that engine and propeller suit each other.",
    ),
    proves_not=(
        "It says nothing of wear that shows only in compression, leak-down, oil or opening up.",
        "A short run does not prove cooling over a day; a light load hides a weak engine.",
    ),
    limit_words=LIMIT_WORDS,
    how="Each step held until steady, both ways where there is current or wind; full throttle only on a warm "
    "engine, held for minutes, eyes on temperature and oil pressure.",
    instrument="satellite speed and the engine's own or fitted gauges",
    example="""
kind: sea-trial
full throttle: 5350 rpm
held: 4 min
load: three persons, half fuel
sea: light wind, slight chop
bottom: clean
limit: {within: {full throttle: [5000 rpm, 5800 rpm]}, maximum: {coolant: 80 °C}, source: invented manual 4A}

| rpm | speed (kn) | speed back (kn) | coolant (°C) | fuel flow (L/h) |
|---|---|---|---|---|
| 1000 | 5.1 | 5.5 | 68 | 6 |
| 3000 | 15.2 | 16.0 | 71 | 24 |
| 5350 | 31.0 | 31.8 | 74 | 71 |
""",
    blank="""
kind: sea-trial
full throttle:
held:
load:
sea:
bottom:

| rpm | speed (kn) | speed back (kn) | coolant (°C) | oil pressure (bar) |
|---|---|---|---|---|
| idle | | | | |
| 2000 | | | | |
| 3000 | | | | |
| full throttle | | | | |
""",
    hazards=("person overboard", "moving parts", "collision"),
    source_ids=("sea-trial-two-ways",),
    table=Shape("rpm", COLUMNS),
)
