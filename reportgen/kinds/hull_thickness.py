"""Judges how much of a metal hull's plate is gone, by its thickness against the original one.

Method: ultrasonic gauge, checked on the metal, on a grid of some 500 mm, closer where it reads low. A table
with a `measured` column is a list by place, with the place's `original` beside it; any other table is a grid,
with `original:` in the fence. Wastage is (original - measured) / original. Units: mm, inch; wastage in
percent. A value above one and a half times the original is a double echo or a doubled plate, and not judged.

General limits, for steel only, since the circular is written for steel hulls: 25 % of local loss, or 15 %
where the note says light scantlings. They are guidance both ways, and the page says so. For aluminium, or a
metal that isn't told, only the note's are judged: `wastage`, and `minimum` of the thickness, each for all or
by the row's name. New plate can be thicker than its nominal size, so that wastage against nominal reads too
low: where the original is nominal or not told how known, the loss from a plate 14 % over is worked out.

Source: nvic-7-68.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import bounds, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Column, Shape, Table
from reportgen.chart import Chart
from reportgen.errors import listed
from reportgen.judging import Thing, broken
from reportgen.kind import About, Assessment, Judged, Kind, Step, overall
from reportgen.limits import Limit, Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.plates import (
    THICKNESS,
    Place,
    is_list,
    loss,
    measured_of,
    original_of,
    places_of,
    sensible,
    wastage,
    worst_of,
)
from reportgen.units import Quantity
from reportgen.values import Measure, OneOf, Text, YesNo
from reportgen.wording import all_of, later_in, say, say_n, term

WASTAGE = general("wastage", 25.0, "%", "maximum", "nvic-7-68")
LIGHT = general("wastage", 15.0, "%", "maximum", "nvic-7-68", "light scantlings")
OVER_NOMINAL = 14.0  # most that new plate may be over its nominal thickness, by the width of the plate [%]
METALS = (later_in("name", "steel"), later_in("name", "aluminium"))
OUTLINES = ("hull", "deck", "transom")
KNOWN_BY = ("measured new", "drawing", "nominal")
LIMIT_WORDS = {"wastage": "share", "minimum": "length"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of hull thickness; the values stand in the table."""

    original: Quantity | None = key(
        Measure("length"), share="open", help="original thickness, where the table has none"
    )
    original_is: str = key(OneOf(KNOWN_BY), share="open", help="how the original is known", default="")
    metal: str = key(OneOf(METALS), share="open", help="metal, if the cover note leaves a doubt", default="")
    light_scantlings: bool | None = key(
        YesNo(), share="open", help="whether it was built lighter than the rules for its size"
    )
    gauge_checked_on: str = key(
        Text(), share="open", help="what the gauge was checked on: block, drilled hole", default=""
    )
    area: str = key(OneOf(OUTLINES), share="open", help="outline that a grid is drawn on", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="figures of insurer or authority, with source", default=()
    )


def metal_of(fields: Fields, about: About) -> str:
    """Give the metal, from the reading or the cover note, empty where neither tells for certain."""
    material = about.material.replace("aluminum", "aluminium")
    named = [metal for metal in METALS if metal in material]
    return fields.metal or (named[0] if len(named) == 1 else "")


def assess(reading: Reading, about: About) -> Assessment:
    """Judge wastage and thickness. Source: nvic-7-68 for steel, where the note gives no figure."""
    fields: Fields = reading.fields
    table, slips = sensible(reading.table, fields.original)
    places = tuple(places_of(table, fields.original))
    metal = metal_of(fields, about)
    lost = tuple(loss(p) for p in places)
    known = any(original_of(p) is not None for p in places)
    thick = tuple(replace(judging.thing(p.cell, p.row), name=f"{p.name}{THICKNESS}") for p in places)
    general_limits, lacking = _general(fields, metal, known)
    applied = limits.applying(fields.limit, general_limits, list(dict.fromkeys(p.row for p in places)))
    judged = (
        *judging.judge((li for li in applied if li.word == "wastage"), lost if known else ()),
        *judging.judge((li for li in applied if li.word == "minimum"), thick),
    )
    by_thickness = any(j.limit.word == "minimum" for j in judged) or not known
    return judging.assessment(
        reading,
        (*(lost if known else ()), *(thick if by_thickness else ())),
        judged,
        lacking=lacking,
        reason=_reason(judged),
        working=_working(places, judged, fields),
        says=_says(fields, metal, places, judged),
        suggests=_suggests(_at(judged)),
        criteria=_criteria(fields, metal),
        source_ids=KIND.source_ids,
        chart=_chart(table, places, lost if known else thick, judged, fields),
        warnings=(*slips, *_strangers(table, applied, places, fields.original)),
    )


def _general(fields: Fields, metal: str, known: bool) -> tuple[tuple[Limit, ...], str]:
    """Give the published limit where its conditions are told, or what is missing for one."""
    if not known:
        return (), say("the original thickness is not stated, so that the loss can't be worked out")
    if not metal:
        return (), say(
            "the metal is not stated, the published figure is for steel, and the report gives none"
        )
    if metal != "steel":
        return (), say(
            "the published figure is for steel hulls; for {metal} none was found, the report gives none",
            metal=term(metal),
        )
    return (replace(LIGHT, of="") if fields.light_scantlings else WASTAGE,), ""


def _reason(judged: Sequence[Judged]) -> str:
    """Say how much is gone where wastage decides, empty where the usual words will do."""
    outcome = overall(tuple(judged))
    if outcome not in ("within", "outside"):
        return ""
    said = [_gone(j) for j in judged if j.outcome == outcome]
    text = "; ".join(dict.fromkeys(said))
    return f"{text[:1].upper()}{text[1:]}."


def _gone(judged: Judged) -> str:
    if judged.limit.word != "wastage" or judged.value is None:
        return judging.sentence(judged)
    comma = "," if "," in judged.name or judged.name[-1:].isdigit() else ""
    name = f"{term(judged.name)}{comma}"
    share = bounds.beside(judged.value, judged.limit)
    asked = say("{bound} by {source}", bound=bounds.bound(judged.limit), source=bounds.short(judged.limit))
    if len(judged.where) < 2:
        return say(
            "at {name} {share} % of the original is gone; {asked}", name=name, share=share, asked=asked
        )
    return say_n(
        "at {name} {share} % of the original is gone, and too much at {n} more; {asked}",
        "at {name} {share} % of the original is gone, and too much at {n} more; {asked}",
        len(judged.where) - 1,
        name=name,
        share=share,
        asked=asked,
    )


def _at(judged: Sequence[Judged]) -> tuple[str, ...]:
    """Give the places that break a limit, by their own names, each once."""
    return tuple(dict.fromkeys(name.removesuffix(THICKNESS) for name in broken(judged)))


def _working(places: Sequence[Place], judged: Sequence[Judged], fields: Fields) -> Iterator[Step]:
    """Give the loss of the worst place and of all that are outside, then what else follows from it."""
    worst, outside = worst_of(places), _at(judged)
    for place in places:
        original, measured = original_of(place), measured_of(place)
        if original is None or measured is None or (place is not worst and place.name not in outside):
            continue
        o, m = units.figures(original, 6), units.figures(measured, 6)
        result = units.figures(wastage(original, measured), 3)
        formula = say("(original − measured) / original")
        yield Step(
            say("wastage at {name}", name=term(place.name)),
            formula,
            f"({o} - {m}) / {o} {place.unit}",
            result,
            "%",
        )
    if worst is None:
        return
    original, measured = original_of(worst) or 0.0, measured_of(worst) or 0.0
    o = units.figures(original, 6)
    for each in judged:
        if each.limit.word == "wastage" and each.limit.of in ("", worst.row):
            left = original * (1 - each.limit.value / 100.0)
            values = f"{o} x (100 - {units.figures(each.limit.value)}) / 100"
            yield Step(
                say(
                    "thickness that {share} % leaves at {name}",
                    share=units.figures(each.limit.value),
                    name=term(worst.name),
                ),
                say("original × (100 − limit) / 100"),
                values,
                units.figures(left, 4),
                worst.unit,
            )
    if fields.original_is in ("", "nominal"):
        full = original * (1 + OVER_NOMINAL / 100.0)
        f = units.figures(full, 4)
        yield Step(
            say("wastage at {name}, if the plate was 14 % over nominal when new", name=term(worst.name)),
            say("(1.14 original − measured) / (1.14 original)"),
            f"({f} - {units.figures(measured, 6)}) / {f}",
            units.figures(wastage(full, measured), 3),
            "%",
        )


def _says(fields: Fields, metal: str, places: Sequence[Place], judged: Sequence[Judged]) -> Iterator[str]:
    if any(j.limit.origin == "general" for j in judged):
        yield say(
            "The figure is guidance, no pass or fail: more may be accepted where the metal around"
            " is strong enough, and less may have to be renewed; a surveyor judges it."
        )
    if any(j.limit.source_id == WASTAGE.source_id and j.limit.value == WASTAGE.value for j in judged):
        yield from _not_light(fields, worst_of(places))
    if metal and not fields.metal:
        yield say("Taken as {material}, from the head of the report.", material=term(metal))
    if fields.original_is in ("", "nominal"):
        nominal = say(
            "The original is the nominal one: new plate can be up to 14 % thicker or 0.016 in thinner than "
            "nominal, so that the true loss can be greater or smaller"
        )
        open_ = say(
            "The original is not stated to be measured or drawn: new plate can be up to 14 % thicker or "
            "0.016 in thinner than nominal, so that the true loss can be greater or smaller"
        )
        said = nominal if fields.original_is else open_
        hidden = _hidden(places, judged)
        yield say("{said}, and {name} could be outside.", said=said, name=hidden) if hidden else f"{said}."
    if thicker := [p.name for p in places if (loss(p).value or 0.0) < 0]:
        yield say(
            "Thicker than the original given, which may be too low: {thicker}.",
            thicker=all_of(map(term, thicker)),
        )
    taken = [p for p in places if p.cell.quantity]
    yield say_n(
        "Read at {taken} of {n} places; what lies between them was not.",
        "Read at {taken} of {n} places; what lies between them was not.",
        len(places),
        taken=len(taken),
    )
    if not fields.gauge_checked_on:
        yield say(
            "Not stated: what the gauge was checked on; a test piece alone proves no reading on the hull."
        )


def _not_light(fields: Fields, worst: Place | None) -> Iterator[str]:
    """Say why 25 % counts and not the 15 % of light scantlings, and whether that decides."""
    if fields.light_scantlings is None:
        yield say("Whether the hull was built to light scantlings is not stated: taken as not.")
    else:
        yield say("The surveyor says that the hull was not built to light scantlings.")
    lost = loss(worst).value if worst else None
    if worst and lost is not None and not LIGHT.keeps(lost) and WASTAGE.keeps(lost):
        yield say(
            "If it was, 15 % counts, and {share} % at {name} would be outside.",
            share=units.figures(lost, 3),
            name=term(worst.name),
        )


def _hidden(places: Sequence[Place], judged: Sequence[Judged]) -> str:
    """Name the worst place where it would break its limit if its plate was over nominal."""
    worst = worst_of(places)
    if worst is None or worst.name in _at(judged):
        return ""
    most = wastage((original_of(worst) or 1.0) * (1 + OVER_NOMINAL / 100.0), measured_of(worst) or 0.0)
    kept = [j.limit.keeps(most) for j in judged if j.limit.word == "wastage"]
    return term(worst.name) if kept and not all(kept) else ""


def _suggests(places: Sequence[str]) -> Iterator[str]:
    if places:
        named = all_of(map(term, places))
        yield say(
            "{places}: suggests plate wasted there; to be confirmed by a closer grid, a look from inside, "
            "and a drilled hole where the owner agrees.",
            places=f"{named[:1].upper()}{named[1:]}",
        )


def _criteria(fields: Fields, metal: str) -> Iterator[str]:
    if metal != "steel":
        yield say(
            "The circular for steel hulls: 25 % of local loss, 15 % for light scantlings; not judged here."
        )
    elif fields.light_scantlings:
        yield say("The same circular: 25 % where the vessel was not built to light scantlings.")
    else:
        yield say("The same circular: 15 % where the vessel was built to light scantlings.")
    yield say("Surveyors quote 15 to 25 %; the insurer's or authority's figure governs (common practice).")


def _strangers(
    table: Table, applied: Sequence[Limit], places: Sequence[Place], original: Quantity | None
) -> Iterator[tuple[str, str]]:
    names = [h.name for h in table.heads]
    if original is not None and original.value <= 0:
        yield f"original: {original} can't be right", "write the thickness when new"
    if "original" in names and not is_list(table):
        yield "a column original without a column measured", "name the other column measured"
    strange = [h.title for h in table.heads if is_list(table) and h.name not in ("original", "measured")]
    if strange:
        yield f"{listed(strange, 'and')} beside measured is not read", "use original, measured and remark"
    rows = {"", *(p.row for p in places), *(p.name for p in places)}
    if unknown := list(dict.fromkeys(li.of for li in applied if li.of not in rows)):
        yield f"limit names {listed(unknown, 'and')}, which the table has not", "use the names of the rows"


def _chart(
    table: Table,
    places: Sequence[Place],
    found: Sequence[Thing],
    judged: Sequence[Judged],
    fields: Fields,
) -> Chart | None:
    """Draw a grid as a map of thickness, a list as bars of wastage, or of thickness without an original."""
    if not any(p.cell.quantity for p in places):
        return None
    shown = [replace(j, where=tuple(n.removesuffix(THICKNESS) for n in j.where)) for j in judged]
    if is_list(table):
        unit = found[0].unit if found[0].unit == "%" else places[0].unit
        title = (
            say("Wastage of the plate, %")
            if unit == "%"
            else say("Thickness of the plate, {unit}", unit=unit)
        )
        named = [replace(t, name=t.name.removesuffix(THICKNESS)) for t in found]
        return plots.bars(title, say("Place"), [(say("found"), named)], shown, unit)
    unit = next(p.unit for p in places if p.cell.quantity)
    cells = judging.things((p.cell for p in places), unit=unit)
    reference = (say("original"), fields.original.to(unit)) if fields.original else None
    title = say("Thickness of the plate, {unit}", unit=unit)
    return plots.grid(title, table, shown, cells, unit, fields.area, reference=reference)


KIND = Kind(
    name="hull-thickness",
    title="Hull thickness",
    measures="How thick the plate of a metal hull still is, and how much of it has wasted.",
    fields=Fields,
    units=("mm", "in", "thou"),
    limits=(WASTAGE, LIGHT),
    limits_for="They are for steel hulls; 15 % counts where the hull was built to light scantlings, "
    "else 25 %.",
    assess=assess,
    proves=("Where the gauge was set, the plate had that thickness.",),
    proves_not=(
        "It does not see pits, cracks or bad welds, nor plate between the places that were read.",
        "It does not tell whether wastage goes on or stopped long ago.",
        "A good reading on a test piece does not prove the reading on the hull.",
    ),
    limit_words=LIMIT_WORDS,
    how="Gauge checked on the same metal, grid of some 500 mm, closer where low, every shot on a sketch.",
    instrument="ultrasonic thickness gauge, through paint by several echoes",
    example="""
kind: hull-thickness
metal: steel
original: 6 mm
original is: drawing
light scantlings: no
gauge checked on: test block and one drilled hole
area: hull
limit: {wastage: 20 %, source: "invented insurer's guide 7"}
| strake | frame 2 | frame 6 | frame 10 |
|---|---|---|---|
| bottom port | 5.7 | 5.4 | 4.7 |
| bottom starboard | 5.6 | 5.5 | - |
""",
    blank="""
kind: hull-thickness
metal:
original is:
gauge checked on:
| place | original (mm) | measured (mm) |
|---|---|---|
| bottom forward | | |
| bottom aft | | |
| waterline | | |
""",
    unanswered="stop",
    source_ids=("nvic-7-68",),
    table=Shape(
        "place",
        (
            Column("original", "length", "original thickness of the place", "mm"),
            Column("measured", "length", "thickness as measured", "mm"),
        ),
        others=Column("thickness", "length", "a column of the grid", "mm"),
    ),
)
