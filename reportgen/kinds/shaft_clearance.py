"""Judges how far a propeller shaft can move in its water-lubricated bearings, against the shaft's diameter.

Method: boat ashore, shaft lifted and pressed down at each bearing, the gap taken by feeler or the movement by
dial indicator; `shaft` is the diameter beside the bearing. Units: length (in, mm ...); computed in inches.

General limits: least and most clearance by a chart read second-hand (shaft-clearance-chart), printed for
shafts of 1.5, 2 and 2.5 in; linear between these, and said so; none for thinner or thicker shafts. Under the
least a bearing is tight, over the most it is worn: these are told apart. A maker's figure in the note
replaces them. Holds for bearings with rubber staves; other published figures differ widely and are listed.

Source: shaft-clearance-chart; shaft-clearance-others (shown, not judged).
"""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from reportgen import cylinders, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limit, Limits, NoteLimit, between
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure
from reportgen.wording import all_of, say, term

# shaft [in] to least and most clearance [in], as the chart prints them
CHART = ((1.5, 0.004, 0.009), (2.0, 0.005, 0.010), (2.5, 0.005, 0.011))
CHART_ID = "shaft-clearance-chart"
RULE_OF_THUMB = 0.003  # running clearance per inch of shaft by engineers' posts [-]
LIMIT_WORDS = {"minimum": "length", "maximum": "length", "within": "length"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of shaft bearing clearances."""

    bearings: tuple[Cell, ...] = key(
        Cells("length", "in"), share="open", help="clearance by bearing", default=()
    )
    shaft: Quantity | None = key(
        Measure("length"), share="open", help="diameter of the shaft at the bearings"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the bearing maker's figures with their source", default=()
    )


def clearance(shaft: float) -> tuple[float, float] | None:
    """Give least and most clearance [in] for a shaft [in], None for one the chart does not cover.

    Source: shaft-clearance-chart for the printed diameters; linear between them, which it does not say.
    """
    for (thin, low, high), (thick, low_next, high_next) in itertools.pairwise(CHART):
        if units.within(shaft, thin, "minimum") and units.within(shaft, thick, "maximum"):
            share = (shaft - thin) / (thick - thin)
            return low + share * (low_next - low), high + share * (high_next - high)
    return None


def assess(reading: Reading, about: About) -> Assessment:
    """Judge clearances by the note, else by the chart. Source: shaft-clearance-chart."""
    fields: Fields = reading.fields
    shaft = fields.shaft.to("in") if fields.shaft and fields.shaft.value > 0 else None
    cells, odd = cylinders.sensible(fields.bearings, 0.0, None)
    found = judging.things(cells)
    chart = clearance(shaft) if shaft else None
    generals = between(*chart, "in", CHART_ID) if chart else ()
    judged = judging.judge(limits.applying(fields.limit, generals), found)
    read_off = {j.limit.word for j in judged if j.limit.origin == "general"}
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=_lacking(fields, shaft),
        working=_working(fields, shaft, chart or (), read_off),
        says=_says(judged, shaft, bool(read_off)),
        suggests=_suggests(judged),
        criteria=_criteria(shaft),
        source_ids=("shaft-clearance-others",),
        values=(("bearings", cells),),
        chart=plots.band(say("Shaft bearing clearance"), say("Bearing"), found, judged, _unit(cells))
        if found
        else None,
        warnings=(
            *((f"{c.name}: {c.quantity} can't be right", "write the figure or not taken") for c in odd),
            *_slip(fields),
            *judging.strangers(limits.written(fields.limit), (c.name for c in cells)),
        ),
    )


def _unit(cells: Sequence[Cell]) -> str:
    return next((c.quantity.unit for c in cells if c.quantity), "in")


def _slip(fields: Fields) -> Iterator[tuple[str, str]]:
    if fields.shaft and fields.shaft.value <= 0:
        yield f"shaft: {fields.shaft} can't be right", "write the diameter, such as 2 in"


def _lacking(fields: Fields, shaft: float | None) -> str:
    if shaft is None:
        return say(
            "the shaft's diameter is not stated, and the report gives no figure of the bearing's maker"
        )
    return say(
        "the chart that was read is for shafts of {low} to {high} in, this one has {shaft}, and the report "
        "gives no figure of the bearing's maker",
        low=units.figures(CHART[0][0]),
        high=units.figures(CHART[-1][0]),
        shaft=fields.shaft,
    )


def _working(
    fields: Fields, shaft: float | None, chart: Sequence[float], read_off: Collection[str]
) -> Iterator[Step]:
    """Give the steps that lead from the shaft to the figures read off the chart."""
    yield from judging.converted((Cell("shaft", fields.shaft),) if shaft else (), "in")
    if shaft is None:
        return
    for word, value in zip(("minimum", "maximum")[: len(chart)], chart, strict=True):
        if word not in read_off:
            continue
        printed = ", ".join(
            f"{units.figures(row[0])} in: {units.figures(row[1 if word == 'minimum' else 2])} in"
            for row in CHART
        )
        how = (
            say("as printed in the chart")
            if _is_printed(shaft)
            else say("linear between the chart's diameters")
        )
        across = units.figures(shaft, 4)
        yield Step(
            say("minimum clearance of a shaft of {shaft} in", shaft=across)
            if word == "minimum"
            else say("maximum clearance of a shaft of {shaft} in", shaft=across),
            how,
            printed,
            units.figures(value, 4),
            "in",
        )


def _is_printed(shaft: float) -> bool:
    return any(abs(shaft - row[0]) < 1e-9 for row in CHART)


def _says(judged: Sequence[Judged], shaft: float | None, by_chart: bool) -> Iterator[str]:
    if names := _breaking(judged, "maximum"):
        yield say("Worn, over the most: {names}.", names=all_of(map(term, names)))
    if names := _breaking(judged, "minimum"):
        yield say("Tight, under the least: {names}.", names=all_of(map(term, names)))
    if judged and not any(j.limit.side == "minimum" for j in judged):
        yield (
            say("The shaft's diameter is not stated, so that a bearing that is too tight was not looked for.")
            if shaft is None
            else say(
                "The shaft's diameter is not one of the chart's, so that a bearing that is too tight was not "
                "looked for."
            )
        )
    if by_chart and shaft is not None:
        yield say(
            "The chart is known here second-hand, and figures of others differ widely; where the "
            "bearing's maker gives one, that is the one to judge by."
        )
        if not _is_printed(shaft):
            yield say(
                "The chart prints no figure for this diameter; it was read linear between those it prints."
            )


def _breaking(judged: Sequence[Judged], side: str) -> list[str]:
    return list(dict.fromkeys(name for j in judged if j.limit.side == side for name in j.where))


def _suggests(judged: Sequence[Judged]) -> Iterator[str]:
    if names := _breaking(judged, "maximum"):
        yield say(
            "A wide gap at {names} suggests a worn bearing, or a shaft worn where it runs; to be "
            "confirmed by measuring the shaft there and beside it.",
            names=all_of(map(term, names)),
        )
    if names := _breaking(judged, "minimum"):
        yield say(
            "A narrow gap at {names} suggests a bearing of the wrong size, one pressed in too "
            "tight or swollen, or one out of line; to be confirmed by turning the shaft by hand.",
            names=all_of(map(term, names)),
        )


def _criteria(shaft: float | None) -> tuple[str, ...]:
    """Give published figures that are not judged. Source: shaft-clearance-others."""
    thumb = (
        say(
            "Engineers' posts: about 0.003 in per inch of shaft, here {thumb} in; others say 0.001 to 0.002 "
            "in per inch.",
            thumb=units.figures(RULE_OF_THUMB * shaft, 3),
        )
        if shaft
        else say("Engineers' posts: about 0.003 in per inch of shaft; others say 0.001 to 0.002 in per inch.")
    )
    return (
        say("A bearing maker's technician: 0.003 to 0.008 in for a new bearing on a shaft of 1 in."),
        say("A yard's page: 0.006 to 0.012 in for a shaft of 2 in, and more may do in slow boats."),
        thumb,
        say("An old navy chart: at least 0.015 in for a shaft of 1 in and 0.016 in for one of 1.5 in."),
        say(
            "When to renew, by posts: at 1/32 in in small craft, at about 1 mm on a shaft of 38 "
            "mm, at 2 to 3 mm on one of 100 to 125 mm."
        ),
    )


def _limits() -> tuple[Limit, ...]:
    rows = (between(low, high, "in", CHART_ID, f"shaft of {units.figures(d)} in") for d, low, high in CHART)
    return tuple(limit for row in rows for limit in row)


KIND = Kind(
    name="shaft-clearance",
    title="Shaft bearing clearance",
    measures="How far the propeller shaft can move in each of its water-lubricated bearings.",
    fields=Fields,
    units=("in", "mm", "thou"),
    limits=_limits(),
    limits_for="They are for water-lubricated bearings with rubber staves; between these sizes they "
    "are in proportion.",
    assess=assess,
    proves=("How far the shaft could be moved in each bearing on the day.",),
    proves_not=(
        "It does not say whether the bearing or the shaft is worn; both make the gap wider.",
        "It does not show whether the shaft is straight or in line with the engine.",
        "A shaft held hard by its coupling may hide some of the play.",
    ),
    limit_words=LIMIT_WORDS,
    how="Ashore, lift the shaft and press it down beside each bearing, and take the gap by feeler gauge.",
    instrument="feeler gauge or dial indicator",
    example="""
kind: shaft-clearance
bearings: {log: 0.007 in, strut: 0.013 in}
shaft: 1.75 in
limit: {maximum: 0.011 in, source: "invented bearing sheet 7"}
""",
    blank="kind: shaft-clearance\nbearings:\n  log:\n  strut:\nshaft:",
    hazards=("lifting", "moving parts"),
    source_ids=(CHART_ID, "shaft-clearance-others"),
)
