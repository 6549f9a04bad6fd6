"""Compares the readings of a moisture meter with a dry place and with each other, and marks what stands out.

Method: one named meter on one scale, on a surface that is dry and whose coating is told, after the hours
ashore that `ashore` gives; as a grid (a table of rows across and columns along) or as places by name. The
reference is the meter's reading at a place known to be dry, above the waterline. Units: scale units of the
meter. They are not percent of water, and a reading, a limit or a reference in % is refused.

What stands out: by the sources a sudden high in an even area is the finding, and they give no figure. A
reading is marked when its modified Z-score, 0.6745 (reading - middle) / (middle distance from the middle),
is above 3.5; where more than half of the readings are alike, the smallest step between two of them stands
for that distance. That it is used on a meter's scale is our choice. `mark above` adds the surveyor's own
figure over the reference. Marks are no judgement.

Limits: none is published. Only the note's are judged: `maximum` of a reading, `difference` above the
reference. Holds for laminates of glass fibre and resin; not over metal or carbon.

Source: moisture-scale, moisture-sudden-high, moisture-other-causes, moisture-core-sample, moisture-when;
outlier-modified-z for the marks.
"""

from __future__ import annotations

import statistics
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells, Column, Shape
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, OneOf, Text, YesNo
from reportgen.wording import all_of, later_in, number, say, say_n, term

UNIT = "scale units"
Z_FACTOR, Z_MOST = 0.6745, 3.5  # outlier-modified-z
LEAST = 5  # readings from which a middle and a distance from it mean something: our choice
LIMIT_WORDS = {"maximum": "scale", "difference": "scale"}
OVER = f", {later_in('name', 'over the reference')}"
OUTLINES = ("hull", "deck", "transom")


@dataclass(frozen=True)
class Fields:
    """Keys of a moisture reading; a grid stands in the table."""

    places: tuple[Cell, ...] = key(
        Cells("scale", UNIT), share="open", help="reading by place, where there is no table", default=()
    )
    reference: Quantity | None = key(
        Measure("scale", UNIT), share="open", help="the same meter's reading at a dry place"
    )
    reference_at: str = key(Text(), share="open", help="where the dry place is", default="")
    scale: str = key(Text(), share="open", help="the meter's scale, such as relative, 0 to 100", default="")
    coating: str = key(
        Text(), share="open", help="what the meter was set on: bare gel coat, paint", default=""
    )
    ashore: Quantity | None = key(
        Measure("time", "h"), share="open", help="hours out of the water before the readings"
    )
    surface: str = key(OneOf(("dry", "damp")), share="open", help="state of the surface", default="")
    cored: bool | None = key(YesNo(), share="open", help="whether the panel has a core")
    area: str = key(OneOf(OUTLINES), share="open", help="outline that a grid is drawn on", default="")
    mark_above: Quantity | None = key(
        Measure("scale", UNIT), share="open", help="the surveyor's figure over the reference to mark from"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, by_name=False), share="open", help="figures with their source", default=()
    )


def threshold(values: Sequence[float]) -> float | None:
    """Give the reading [of the values] above which one stands out, None where the values don't tell.

    Source: outlier-modified-z, solved for the reading. values: shape (readings,), at least LEAST of them.
    """
    steps = [b - a for a, b in zip(sorted(set(values)), sorted(set(values))[1:], strict=False)]
    if len(values) < LEAST or not steps:
        return None
    middle = statistics.median(values)
    distance = statistics.median(abs(v - middle) for v in values) or min(steps)
    return middle + Z_MOST * distance / Z_FACTOR


def assess(reading: Reading, about: About) -> Assessment:
    """Compare readings with the reference and with each other. Source: moisture-sudden-high."""
    fields: Fields = reading.fields
    rows = reading.table.rows if reading.table else ()
    cells, slips = _sensible((*fields.places, *(c for row in rows for c in row.cells)))
    found = judging.things(cells, "reading", UNIT)
    own = limits.written(fields.limit)
    above = _above(found, fields.reference) if any(li.word == "difference" for li in own) else ()
    judged = (
        *judging.judge((li for li in own if li.word == "maximum"), found),
        *judging.judge((li for li in own if li.word == "difference"), above),
    )
    unreferenced = any(li.word == "difference" for li in own) and fields.reference is None
    marked = _marked(found, fields)
    return judging.assessment(
        reading,
        (*found, *(t for t in above if t.value is not None)),
        judged,
        lacking=say("the report's difference needs the reading of a dry reference place")
        if unreferenced
        else _lacking(fields),
        working=_working(found, fields),
        says=_says(reading, found, marked, fields),
        suggests=_suggests(marked, fields),
        source_ids=KIND.source_ids,
        values=(("places", fields.places),) if fields.places else (),
        chart=_chart(reading, found, judged, marked),
        warnings=slips
        if "%" not in fields.scale and "percent" not in fields.scale.lower()
        else (*slips, _PERCENT),
    )


_PERCENT = (
    "the scale is told in percent: a meter's scale is not percent of water",
    "write scale: relative, with its lowest and highest number",
)


def _lacking(fields: Fields) -> str:
    """Say what readings are compared with where no figure judges them."""
    if fields.reference is None:
        return say("no figure is published, and the report gives none; readings are compared with each other")
    return say(
        "no figure is published, and the report gives none; readings are compared with each other and with "
        "the {reference} of a dry place",
        reference=number(fields.reference.value),
    )


def _sensible(cells: Sequence[Cell]) -> tuple[tuple[Cell, ...], tuple[tuple[str, str], ...]]:
    """Take readings below zero out as not taken, and say so."""
    odd = [c for c in cells if c.quantity and c.quantity.value < 0]
    kept = tuple(
        replace(c, quantity=None, why=say("{value} can't be right", value=c.quantity)) if c in odd else c
        for c in cells
    )
    return kept, tuple(
        (f"{c.name}: {c.quantity} can't be right", "write the reading or not taken") for c in odd
    )


def _above(found: Sequence[Thing], reference: Quantity | None) -> tuple[Thing, ...]:
    """Give how far each reading lies above the reference [scale units], below it counted negative."""
    if reference is None:
        return ()
    dry = reference.to(UNIT)
    return tuple(
        replace(t, name=f"{t.name}{OVER}", value=None if t.value is None else t.value - dry, printed="")
        for t in found
    )


def _marked(found: Sequence[Thing], fields: Fields) -> tuple[str, ...]:
    """Give the places that stand out from the rest, or from the reference by the surveyor's own figure."""
    values = [t.value for t in found if t.value is not None]
    most = [m for m in (threshold(values),) if m is not None]
    if fields.mark_above and fields.reference:
        most.append(fields.reference.to(UNIT) + fields.mark_above.to(UNIT))
    return tuple(t.name for t in found if t.value is not None and any(t.value > m for m in most))


def _working(found: Sequence[Thing], fields: Fields) -> Iterator[Step]:
    known = [t for t in found if t.value is not None]
    if not known:
        return
    values = [t.value for t in known if t.value is not None]
    printed = ", ".join(units.figures(v, 4) for v in sorted(values))
    yield Step(
        say("middle reading"), say("median"), printed, units.figures(statistics.median(values), 4), UNIT
    )
    if (most := threshold(values)) is not None:
        middle = statistics.median(values)
        distance = (most - middle) * Z_FACTOR / Z_MOST
        yield Step(
            say("reading above which one stands out"),
            say("middle + 3.5 × middle distance / 0.6745"),
            f"{units.figures(middle, 4)} + 3.5 x {units.figures(distance, 4)} / 0.6745",
            units.figures(most, 4),
            UNIT,
        )
    if fields.reference is not None:
        worst = max(known, key=lambda t: t.value or 0.0)
        above = (worst.value or 0.0) - fields.reference.to(UNIT)
        yield Step(
            say("{name} above the reference", name=term(worst.name)),
            say("reading − reference"),
            f"{worst.printed} - {number(fields.reference.value)}",
            units.figures(above, 4),
            UNIT,
        )


def _says(reading: Reading, found: Sequence[Thing], marked: tuple[str, ...], fields: Fields) -> Iterator[str]:
    yield say(
        "The numbers are the meter's own scale, which is not percent of water; they compare places only."
    )
    values = [t.value for t in found if t.value is not None]
    if marked:
        yield say_n(
            "{marked} stands out as high; a mark is no judgement.",
            "These stand out as high: {marked}. A mark is no judgement.",
            len(marked),
            marked=_places(marked),
        )
    elif threshold(values) is not None:
        yield say("No reading stands out as high from the rest.")
    elif len(values) < LEAST:
        yield say(
            "Fewer than {least} readings were taken, too few to say whether one stands out from the rest.",
            least=LEAST,
        )
    yield from _mark(fields, threshold(values))
    told = {
        say("the meter"): reading.with_,
        say("its scale"): fields.scale,
        say("the coating"): fields.coating,
        say("the hours ashore"): fields.ashore,
        say("a dry reference place"): fields.reference,
    }
    if missing := [name for name, value in told.items() if not value]:
        yield say("Not stated: {missing}.", missing=all_of(missing))
    if fields.surface == "damp":
        yield say("The surface was damp, and the sources ask not to take readings then.")


def _mark(fields: Fields, apart: float | None) -> Iterator[str]:
    """Say above what a reading is marked where the surveyor gives a figure; apart: what the others give."""
    if not fields.mark_above or not fields.reference:
        return
    own, most = number(fields.mark_above.value), fields.reference.to(UNIT) + fields.mark_above.to(UNIT)
    if apart is None:
        yield say(
            "Marked from more than {figure} above the reference, the surveyor's own figure.", figure=own
        )
        return
    yield say(
        "Marked is what reads above {least}, the lower of two: {apart} by the readings among themselves, and "
        "{most}, which is {figure} above the reference, the surveyor's own figure.",
        least=units.figures(min(apart, most), 4),
        apart=units.figures(apart, 4),
        most=units.figures(most, 4),
        figure=own,
    )


def _places(names: Sequence[str]) -> str:
    """Give places in a row; a place of a grid has a comma within, so that semicolons part them."""
    return _first_up(term(names[0])) if len(names) == 1 else "; ".join(map(term, names))


def _first_up(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _suggests(marked: tuple[str, ...], fields: Fields) -> Iterator[str]:
    """Say what a high reading suggests. Source: moisture-other-causes, moisture-core-sample."""
    if not marked:
        return
    yield say(
        "A high place suggests moisture there, or a void, bilge water, condensation, a tank, "
        "a cable, metal behind the laminate, copper in the paint, or salt; to be confirmed by"
        " sounding and a look inside."
    )
    if fields.cored:
        yield say(
            "In a cored panel it does not tell whether skin or core is wet; to be confirmed by a "
            "core sample or a drilled hole, with the owner's written permission."
        )


def _chart(
    reading: Reading, found: Sequence[Thing], judged: Sequence[Judged], marked: tuple[str, ...]
) -> Chart | None:
    fields: Fields = reading.fields
    if not any(t.value is not None for t in found):
        return None
    dry = fields.reference.to(UNIT) if fields.reference else 0.0
    shown = tuple(_by_place(j, dry) for j in judged)
    if reading.table and not fields.places:
        label = fields.reference_at or say("dry reference")
        reference = (label, dry) if fields.reference else None
        return plots.grid(
            say("Moisture meter, scale units"),
            reading.table,
            shown,
            found,
            UNIT,
            fields.area,
            marked,
            say("stands out as high"),
            reference,
        )
    bars = (*found, Thing(say("dry reference"), dry, UNIT)) if fields.reference else found
    return plots.bars(say("Moisture meter, scale units"), say("Place"), [(say("reading"), bars)], shown, UNIT)


def _by_place(judged: Judged, dry: float) -> Judged:
    """Give a difference as it is drawn among readings: at the places themselves, from the reference up."""
    if judged.limit.word != "difference":
        return judged
    raised = replace(
        judged.limit, word=later_in("name", "reference and difference"), value=judged.limit.value + dry
    )
    return replace(judged, limit=raised, where=tuple(name.removesuffix(OVER) for name in judged.where))


KIND = Kind(
    name="moisture",
    title="Moisture meter",
    measures="How a moisture meter reads from place to place, against a dry place of the same boat.",
    fields=Fields,
    units=(UNIT,),
    limits=(),
    assess=assess,
    proves=(
        "A place that reads much higher than an even area around it should be sounded and looked into.",
        "Even, low readings on a dry boat agree with a dry laminate.",
    ),
    proves_not=(
        "It does not measure how much water there is: the scale is not percent.",
        "A high reading does not prove a wet core; only a core sample or a drilled hole does.",
        "A low reading does not prove a dry core: the meter looks only so deep.",
        "Readings of two meters, or of two boats, can't be compared.",
    ),
    limit_words=LIMIT_WORDS,
    how="On a dry surface, days ashore, set the meter on each point of a grid and on a dry place beside it.",
    instrument="moisture meter, its scale named",
    example="""
kind: moisture
scale: relative, 0 to 100
coating: bare gel coat
ashore: 120 h
surface: dry
reference: 12
reference at: topsides, port
area: transom
cored: yes
limit: {difference: 25, source: "invented yard standard 12, transom repairs"}
| row | port | centre | starboard |
|---|---|---|---|
| upper | 14 | 15 | 13 |
| middle | 16 | 48 | 15 |
| lower | 17 | 22 | - |
""",
    blank="""
kind: moisture
scale:
coating:
ashore:
surface:
reference:
reference at:
area:
cored:
| row | port | centre | starboard |
|---|---|---|---|
| upper | | | |
| middle | | | |
| lower | | | |
""",
    anywhere=True,
    source_ids=(
        "moisture-scale",
        "moisture-sudden-high",
        "moisture-other-causes",
        "moisture-core-sample",
        "moisture-when",
        "outlier-modified-z",
    ),
    table=Shape("place", (), others=Column("reading", "scale", "a column of the grid", UNIT)),
    no_source="No figure that passes or fails a meter reading is published, and the sources say so.",
)
