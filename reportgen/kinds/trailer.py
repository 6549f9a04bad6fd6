"""Judges a boat trailer: age, tread and pressure of tyres, hubs after a tow, weight against its plate.

Method: date code (week and year, such as 2319) and tread at the worst place of each tyre; pressures cold,
before towing; hubs with an infrared thermometer right after a tow; weights on a scale with the boat as towed.
Units: years, 32nds of an inch or mm, psi or kPa, °F or °C, lb or kg; computed: tongue weight in percent of
the loaded weight. A code of three figures is older than July 2000 and leaves the decade open: its least age
is told, and judged only where even that is too much.

Limits: `placard` is the least pressure, judged where they were taken cold; `rating`, the gross weight on the
plate, the most that the trailer may weigh. General: 2/32 in of tread, judged only where the note says
`commercial: yes`, so that the rules of commercial motor vehicles apply. Other figures are the note's. Tongue
weight, hub temperature and age of tyres: published figures disagree and are shown, not judged.

Source: cfr-49-574.5, tyre-date-three-figures (codes); cfr-49-393.75 (tread); trailer-weight (rating, shown);
trailer-tongue-ball, trailer-hub-trade (shown).
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from reportgen import ages, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Column, Head, Shape, Table, Word, Words
from reportgen.chart import Chart
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limit, Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Date, Measure, Text, YesNo
from reportgen.wording import day, later, later_in, say, term

TREAD = general("minimum", 2.0, "32nds", "minimum", "cfr-49-393.75", "tread")
LIMIT_WORDS = {"minimum": "", "maximum": "", "within": "", "age": "time"}
NAMES: dict[str, tuple[str, str | None]] = {
    "tread": ("length", "32nds"),
    "pressure": ("pressure", "psi"),
    "hub": ("temperature", "°F"),
    "tongue": ("share", "%"),
    "loaded": ("mass", "lb"),
    "age": ("time", "years"),
}
PLACARD = later("the placard or the tyre's sidewall, as the report gives it")
PLATE = later("the trailer's plate, as the report gives it")
WARM = later(
    "Pressures were not taken cold, so that the placard is not held against them: a warm tyre reads higher."
)
NOT_SAID_COLD = later(
    "Pressures are not said to be cold, so that the placard is not held against them: a warm tyre reads "
    "higher."
)


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of a trailer; treads, pressures and hubs stand in the table."""

    codes: tuple[Word, ...] = key(
        Words("date code such as 2319", ages.code_advice), share="open", help="date code by tyre", default=()
    )
    placard: Quantity | None = key(
        Measure("pressure", "psi"), share="open", help="cold pressure that the placard asks for"
    )
    cold: bool | None = key(YesNo(), share="open", help="whether pressures were taken before towing")
    loaded: Quantity | None = key(Measure("mass", "lb"), share="open", help="trailer and boat as towed")
    rating: Quantity | None = key(Measure("mass", "lb"), share="open", help="gross weight on the plate")
    tongue: Quantity | None = key(Measure("mass", "lb"), share="open", help="weight on the tongue")
    towed: str = key(Text(), share="open", help="how far and how fast before the hubs", default="")
    air: Quantity | None = key(Measure("temperature"), share="open", help="of the air while towing")
    commercial: bool | None = key(
        YesNo(), share="open", help="whether the rules of commercial motor vehicles apply to it"
    )
    counted_on: datetime.date | None = key(
        Date(), share="open", help="day on which ages are counted, if not the report's"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="figures by name, with their source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge by placard, plate and the note. Source: cfr-49-393.75 for tread where it is told to apply."""
    fields, slips = _sensible(reading.fields)
    table, odd = _table(reading.table)
    on = fields.counted_on or about.counted_on
    generals = tuple(_generals(fields))
    applied = limits.applying(fields.limit, generals)
    aged = tuple(_age(word, on, applied) for word in fields.codes)
    taken = (*aged, *judging.of_table(table), *_weights(fields))
    found = (*taken, *_unmet(applied, taken, table))
    # an age limit is for ages alone, not for any gap of the table
    judged = (
        *judging.judge((li for li in applied if li.word == "age"), [t for t in found if t.of == "age"]),
        *judging.judge((li for li in applied if li.word != "age"), found),
    )
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say("no placard or plate is told, the report gives no figure, and none is for every trailer"),
        working=_working(fields, aged, on),
        says=_says(fields, table, on),
        criteria=_criteria(fields),
        source_ids=KIND.source_ids,
        values=_printed_weights(fields),
        chart=_chart(fields, table, aged, found, judged),
        warnings=(*slips, *odd, *_code_slips(fields, table, on)),
    )


def _sensible(fields: Fields) -> tuple[Fields, tuple[tuple[str, str], ...]]:
    """Take weights and a placard that can't be out, and say so."""
    slips: list[tuple[str, str]] = []
    for name in ("placard", "loaded", "rating", "tongue"):
        quantity: Quantity | None = getattr(fields, name)
        if quantity and quantity.value <= 0:
            slips.append((f"{name}: {quantity} can't be right", "write the figure or leave it out"))
            without: dict[str, Any] = {name: None}
            fields = replace(fields, **without)
    if fields.loaded and fields.tongue and fields.tongue.to("lb") >= fields.loaded.to("lb"):
        slips.append(("tongue weighs as much as the loaded trailer", "correct tongue or loaded"))
        fields = replace(fields, tongue=None)
    return fields, tuple(slips)


def _table(table: Table | None) -> tuple[Table, tuple[tuple[str, str], ...]]:
    """Give the tyres' table with treads and pressures below zero taken out."""
    if table is None:
        return Table(), ()
    odd: list[tuple[str, str]] = []

    def kept(cell: Cell, head: Head) -> Cell:
        if cell.quantity is None or head.name == "hub" or cell.quantity.value >= 0:
            return cell
        odd.append((f"{cell.name}: {cell.quantity} can't be right", "write the figure or not taken"))
        return replace(cell, quantity=None, why=say("{value} can't be right", value=cell.quantity))

    rows = tuple(
        replace(row, cells=tuple(kept(c, h) for c, h in zip(row.cells, table.heads, strict=True)))
        for row in table.rows
    )
    return replace(table, rows=rows), tuple(odd)


def _generals(fields: Fields) -> Iterator[Limit]:
    """Give the limits of placard and plate, and the published tread where its rule is told to apply."""
    if fields.placard and fields.cold:
        value, unit = float(fields.placard.value), fields.placard.unit
        yield Limit("minimum", value, unit, "minimum", say(PLACARD), "", "note", "pressure")
    if fields.rating:
        value, unit = float(fields.rating.value), fields.rating.unit
        yield Limit("maximum", value, unit, "maximum", say(PLATE), "", "note", "loaded")
    if fields.commercial:
        yield TREAD


def _age(word: Word, on: datetime.date | None, applied: Sequence[Limit]) -> Thing:
    """Give a tyre's age [years]; one of three figures only where even its least age breaks a limit."""
    name = f"{word.name}, age"
    gap = Thing(name, None, "years", "", "age", word.why)
    if not word.text or on is None:
        return gap
    made = ages.tyre_week(word.text)
    if made is not None:
        age = ages.years(made, on)
        return replace(gap, value=age, printed=units.figures(age, 3)) if age >= 0 else gap
    least = ages.years(ages.FOUR_FIGURES_FROM, on)
    most = [units.convert(li.value, li.unit, "years") for li in applied if li.word == "age"]
    if least > max(most, default=0.0):
        return replace(gap, value=least, printed=say("over {years}", years=units.figures(least, 3)))
    why = say("code {code} has three figures: made before July 2000, decade open", code=word.text)
    return replace(gap, why=why)


def _weights(fields: Fields) -> Iterator[Thing]:
    """Give the loaded weight and the share on the tongue [%], gaps where only part of it is told."""
    if fields.loaded or fields.rating:
        yield judging.single("loaded", fields.loaded)
    if fields.tongue and fields.loaded:
        yield Thing("tongue", 100 * fields.tongue.to("lb") / fields.loaded.to("lb"), "%", "", "tongue")
    elif fields.tongue:
        why = say("the tongue weight or the loaded weight was not taken")
        yield Thing("tongue", None, "%", "", "tongue", why)


def _unmet(applied: Sequence[Limit], taken: Sequence[Thing], table: Table) -> Iterator[Thing]:
    """Give a gap for each thing that a limit is for and nobody measured, so that it isn't passed over."""
    for of in dict.fromkeys(limit.of or limit.word for limit in applied):
        known = {t.name for t in taken if t.of == of}
        missing = [n for row in table.rows if (n := f"{row.name}, age") not in known] if of == "age" else []
        if not known and not missing:
            missing = [of]
        for name in missing:
            yield Thing(name, None, "", "", of)


def _printed_weights(fields: Fields) -> tuple[tuple[str, tuple[Cell, ...]], ...]:
    named = (("loaded", fields.loaded), ("rating", fields.rating), ("tongue", fields.tongue))
    cells = tuple(Cell(name, quantity) for name, quantity in named if quantity)
    return ((later_in("name", "weights"), cells),) if cells else ()


def _code_slips(fields: Fields, table: Table, on: datetime.date | None) -> Iterator[tuple[str, str]]:
    for word in fields.codes:
        made = ages.tyre_week(word.text)
        if made and on and made > on:
            yield f"{word.name}: code {word.text} is of {made}, after the day counted on", "read it again"
        elif made and word.text.startswith("20"):
            found = f"{word.name}: {word.text} is read as a code, week 20 of {made.year}, not as a year"
            yield found, "look at the tyre, if only the year is known"
    names = [row.name for row in table.rows]
    if names and (strange := [w.name for w in fields.codes if w.name not in names]):
        yield f"codes name {listed(strange, 'and')}, which the table has not", "use the names of its rows"


def _working(fields: Fields, aged: Sequence[Thing], on: datetime.date | None) -> Iterator[Step]:
    for word, each in zip(fields.codes, aged, strict=True):
        made = ages.tyre_week(word.text)
        if each.value is not None and made is not None:
            values = say("{on} − week from {made} (code {code})", on=on, made=made, code=word.text)
            name, rule = say("age of {name}", name=word.name), say("day counted on − week made")
            yield Step(name, rule, values, each.printed, "years")
    if fields.tongue and fields.loaded:
        share = 100 * fields.tongue.to("lb") / fields.loaded.to("lb")
        values = f"{fields.tongue} / {fields.loaded}"
        yield Step(say("share on the tongue"), say("tongue / loaded"), values, units.figures(share, 3), "%")
    if fields.rating and fields.loaded:
        left = fields.rating.to(fields.loaded.unit) - float(fields.loaded.value)
        values = f"{fields.rating} - {fields.loaded}"
        name, rule, unit = say("left to the rating"), say("rating − loaded"), fields.loaded.unit
        yield Step(name, rule, values, units.figures(left, 4), unit)


def _hubs(table: Table) -> list[Cell]:
    cells = (c for _, column in table.columns("hub") for c in column if c.quantity)
    return sorted(cells, key=lambda c: c.quantity.to("°F") if c.quantity else 0.0)


def _says(fields: Fields, table: Table, on: datetime.date | None) -> Iterator[str]:
    if fields.codes and on:
        yield say("Ages are counted on {on}, from the Sunday of the week in the code.", on=day(on))
    pressed = any(c.quantity for _, column in table.columns("pressure") for c in column)
    if pressed and not fields.placard:
        yield say("What pressure the placard asks for is not stated.")
    elif pressed and not fields.cold:
        yield say(WARM if fields.cold is False else NOT_SAID_COLD)
    if fields.loaded and not fields.rating:
        yield say("The gross weight rating of the plate is not stated.")
    hubs = _hubs(table)
    if len(hubs) > 1 and (low := hubs[0].quantity) and (high := hubs[-1].quantity):
        over = f"{units.figures(float(high.value) - low.to(high.unit), 3)} {high.unit}"
        hot, cool = term(hubs[-1].name), term(hubs[0].name)
        yield say("The hottest, {hot}, is {more} over the coolest, {cool}.", hot=hot, more=over, cool=cool)
    if hubs and not fields.towed:
        yield say("How far it was towed before the hubs were read is not stated.")
    if hubs and fields.air:
        yield say("The air while towing: {air}.", air=fields.air)


def _criteria(fields: Fields) -> Iterator[str]:
    """Give published figures that are not judged. Source: as Fields name them in the module's docstring."""
    if not fields.commercial:
        yield say(
            "2/32 in of tread is asked of commercial motor vehicles by 49 CFR 393.75; a private "
            "trailer is under the rules of its state, which are not read here."
        )
    yield say(
        "Tongue weight: two makers of boats ask for 5 to 10 % of the rating, a maker of "
        "trailers for 10 to 15 % of the loaded weight; not used, as they disagree."
    )
    yield say("Hubs: figures of the trade differ from 20 °F over the air to 250 °F; not used.")
    yield say("Age of tyres: 3 to 10 years are named by makers and sellers: common practice, no source.")


def _chart(
    fields: Fields, table: Table, aged: Sequence[Thing], found: Sequence[Thing], judged: Sequence[Judged]
) -> Chart | None:
    """Give bars of the first taken: ages, treads, pressures, hubs, loaded weight; rows name tyres alone."""
    titles = {
        "age": say("Age of tyres"),
        "tread": say("Tread"),
        "pressure": say("Tyre pressure"),
        "hub": say("Hubs after towing"),
        "loaded": say("Loaded weight"),
    }
    for of, title in titles.items():
        rows = [replace(t, name=t.name.removesuffix(f", {of}")) for t in found if t.of == of]
        unit = next((t.unit for t in rows if t.value is not None), "")
        if not unit:
            continue
        own = (j for j in judged if of in (j.limit.of, j.limit.word))
        bare = (replace(j, where=tuple(w.removesuffix(f", {of}") for w in j.where)) for j in own)
        lines = [replace(j, limit=replace(j.limit, of="")) for j in bare]
        chart = plots.bars(f"{title}, {units.in_words(unit)}", say("Tyre"), [(term(of), rows)], lines, unit)
        if not table.rows:
            return chart
        return replace(chart, table=plots.printed_table(_with_ages(table, fields.codes, aged), judged))
    return None


def _with_ages(table: Table, codes: Sequence[Word], aged: Sequence[Thing]) -> Table:
    """Give the tyres' table with the age of each as its last column."""
    if not codes:
        return table
    known = {word.name: each for word, each in zip(codes, aged, strict=True)}
    heads = (*table.heads, Head(term("age"), "age", "", "years"))
    rows = []
    for row in table.rows:
        each = known.get(row.name)
        figure = units.plain_figures(each.value, 3) if each and each.value is not None else ""
        cell = Cell(f"{row.name}, age", Quantity(Decimal(figure), "years") if figure else None)
        rows.append(replace(row, cells=(*row.cells, cell)))
    return replace(table, heads=heads, rows=tuple(rows))


KIND = Kind(
    name="trailer",
    title="Trailer on the road",
    measures="How old, worn and full the trailer's tyres are, how hot its hubs get, and what it weighs.",
    fields=Fields,
    units=("32nds", "mm", "in", "psi", "kPa", "bar", "lb", "kg", "t", "°F", "°C", "years"),
    limits=(TREAD,),
    limits_for="They are for trailers in commercial use.",
    assess=assess,
    proves=(
        "Whether the loaded trailer stays within its plate.",
        "How old and how worn each tyre is on the day.",
        "One hub much hotter than the others points to a dragging brake or a failing bearing.",
    ),
    proves_not=(
        "Tread and age do not show a tyre's inside: one that stood long or flat can fail with full tread.",
        "Cool hubs after a short tow do not prove the bearings.",
        "It does not say whether the car may tow it.",
    ),
    limit_words=LIMIT_WORDS,
    how="Read codes, tread and cold pressures, weigh with the boat as towed, and read the hubs after a tow.",
    instrument="tread gauge, tyre gauge, scale, infrared thermometer",
    example="""
kind: trailer
codes: {left: 2319, right: 2319, spare: 0711}
placard: 50 psi
cold: yes
loaded: 4180 lb
rating: 4500 lb
tongue: 265 lb
towed: 12 mi at 45 mph
air: 68 °F
counted on: 2026-05-12
limit: {age: 10 years, source: "invented tyre maker's leaflet 2"}
| tyre | tread (32nds) | pressure (psi) | hub (°F) |
|---|---|---|---|
| left | 6 | 50 | 96 |
| right | 5 | 51 | 104 |
| spare | 8 | 52 | - |
""",
    blank="""
kind: trailer
codes:
  left:
  right:
  spare:
placard:
cold:
loaded:
rating:
tongue:
towed:
air:
commercial:
| tyre | tread (32nds) | pressure (psi) | hub (°F) |
|---|---|---|---|
| left | | | |
| right | | | |
| spare | | | |
""",
    hazards=("road",),
    source_ids=(
        "cfr-49-393.75",
        "cfr-49-574.5",
        "tyre-date-three-figures",
        "trailer-weight",
        "trailer-tongue-ball",
        "trailer-hub-trade",
    ),
    table=Shape(
        "tyre",
        (
            Column("tread", "length", "least tread of the tyre", "32nds"),
            Column("pressure", "pressure", "as the gauge reads", "psi"),
            Column("hub", "temperature", "of its hub after a tow", "°F"),
        ),
    ),
)
