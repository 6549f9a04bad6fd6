"""Judges the voltage of batteries at rest, and says how much charge it stands for.

Method: digital meter across the posts, nothing drawing, charger and engine off for the hours that `rested`
gives. Units: V. For a flooded lead-acid battery of 12 V nominal the charge is read off the table of resting
voltages, linear between its rows; a battery of 6, 24 V ... is scaled by its cells. For gel, AGM
and lithium no table is published here, so no charge is given and only the note's limit is judged.

What the battery holds while it turns the engine over is noted beside it and not judged.

General limit: a sound battery holds 12.5 V or more two hours after charging (battery-after-charge), judged
only where the note says that it was charged first and rested two hours or more.

Source: battery-after-charge; battery-resting-table (from memory, and said so); battery-rest-time.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Kind, Step
from reportgen.limits import Limit, Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, OneOf, YesNo
from reportgen.wording import later_in, say, term

AFTER_CHARGE = general("minimum", 12.5, "V", "minimum", "battery-after-charge")
LEAST_REST = 2.0  # hours that the limit after charging asks for [h]
REST_FOR_CHARGE = 6.0  # hours of rest that the guides ask for before the charge is read off [h]
# charge [%] to resting voltage of a flooded lead-acid battery at about 25 °C [V]
TABLE = ((0.0, 11.89), (25.0, 12.06), (50.0, 12.24), (75.0, 12.45), (100.0, 12.65))
CHEMISTRIES = ("flooded", "gel", "AGM", "lithium")
LIMIT_WORDS = {"minimum": "voltage", "maximum": "voltage"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of batteries at rest."""

    batteries: tuple[Cell, ...] = key(
        Cells("voltage", "V"), share="open", help="resting voltage by battery", default=()
    )
    cranking: tuple[Cell, ...] = key(
        Cells("voltage", "V"),
        share="open",
        help="voltage by battery while it turns the engine over",
        default=(),
    )
    nominal: Quantity | None = key(
        Measure("voltage", "V"), share="open", help="nominal voltage, 12 V if not said"
    )
    chemistry: str = key(OneOf(CHEMISTRIES), share="open", help="kind of battery", default="")
    rested: Quantity | None = key(
        Measure("time", "h"), share="open", help="hours since charging or load ended"
    )
    charged: bool | None = key(YesNo(), share="open", help="whether it was fully charged before the rest")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the maker's figures with their source", default=()
    )


def charge(voltage: float, nominal: float = 12.0) -> float | None:
    """Give the charge [%] that a resting voltage [V] stands for, None beyond the table.

    nominal: of the battery [V]; the table is for 12 V. Source: battery-resting-table, linear between rows.
    """
    per_12 = voltage * 12.0 / nominal
    for (low, at_low), (high, at_high) in itertools.pairwise(TABLE):
        if at_low <= per_12 <= at_high:
            return low + (per_12 - at_low) / (at_high - at_low) * (high - low)
    return None


def assess(reading: Reading, about: About) -> Assessment:
    """Judge resting voltages. Source: battery-after-charge where the note gives no figure."""
    fields: Fields = reading.fields
    found = judging.things(fields.batteries, unit="V")
    general_limits, lacking = _general(fields)
    judged = judging.judge(limits.applying(fields.limit, general_limits), found)
    turning = tuple(
        replace(each, name=f"{each.name}, {term('cranking')}")
        for each in judging.things(fields.cranking, unit="V")
    )
    return judging.assessment(
        reading,
        (*found, *turning),
        judged,
        lacking=lacking,
        working=(*judging.converted(fields.batteries, "V"), *_charges(found, fields)),
        says=_says(fields),
        source_ids=("battery-rest-time", *(("battery-resting-table",) if _has_table(fields) else ())),
        values=tuple(
            (name, cells)
            for name, cells in (
                ("batteries", fields.batteries),
                (later_in("name", "cranking"), fields.cranking),
            )
            if cells or name == "batteries"
        ),
        chart=plots.bars(say("Resting voltage, V"), say("Battery"), [(say("at rest"), found)], judged, "V")
        if found
        else None,
        warnings=_untold(found, fields),
    )


def _untold(found: tuple[Thing, ...], fields: Fields) -> Iterator[tuple[str, str]]:
    """Warn of a low battery that no limit judges because a word is missing."""
    least = AFTER_CHARGE.value * _nominal(fields) / 12.0
    low = [t.name for t in found if t.value is not None and t.value < least]
    missing = [n for n, v in (("charged", fields.charged), ("rested", fields.rested)) if v is None]
    if low and missing and not fields.limit and _has_table(fields):
        told = f"{listed(low, 'and')} below {units.figures(least, 3)} V and not judged"
        yield f"{told}: {listed(missing, 'and')} not said", "write charged: yes or no, and rested: 8 h"


def _nominal(fields: Fields) -> float:
    return fields.nominal.to("V") if fields.nominal and fields.nominal.value > 0 else 12.0


def _has_table(fields: Fields) -> bool:
    return fields.chemistry in ("", "flooded")


def _general(fields: Fields) -> tuple[tuple[Limit, ...], str]:
    """Give the published limit where its conditions are told, or what is missing for it."""
    rested = fields.rested.to("h") if fields.rested else None
    if not _has_table(fields):
        return (), say(
            "no limit is published here for {chemistry}, and the report gives none",
            chemistry=fields.chemistry,
        )
    if fields.charged is None and rested is None:
        return (), say("the report does not say that it was charged first and for how long it rested")
    if fields.charged is None:
        return (), say("the report does not say that it was charged first")
    if rested is None:
        return (), say("the report does not say for how long it rested")
    if not fields.charged:
        return (), say("it was not charged first, so that a low voltage says nothing of the battery's state")
    if rested < LEAST_REST:
        return (), say("it rested {rested}, and the published limit asks for two hours", rested=fields.rested)
    scale = _nominal(fields) / 12.0
    value = AFTER_CHARGE.value * scale
    return (general("minimum", value, "V", "minimum", AFTER_CHARGE.source_id),), ""


def _charges(found: tuple[Thing, ...], fields: Fields) -> Iterator[Step]:
    """Give a step for the charge of each battery that the table covers."""
    if not _has_table(fields):
        return
    for each in found:
        if each.value is None:
            continue
        share = charge(each.value, _nominal(fields))
        beyond = (
            say("above the table")
            if each.value * 12 / _nominal(fields) > TABLE[-1][1]
            else say("below the table")
        )
        result = beyond if share is None else say("about {share}", share=units.figures(share, 2))
        yield Step(
            say("charge of {name}", name=term(each.name)),
            say("read off the table of resting voltages, linear between its rows"),
            each.words,
            result,
            "" if share is None else "%",
        )


def _says(fields: Fields) -> Iterator[str]:
    turning = [f"{term(cell.name)} {cell.quantity}" for cell in fields.cranking if cell.quantity]
    if turning:
        yield say(
            "While cranking: {values}. How far the voltage falls depends on engine, cold and charge; "
            "no published figure was read.",
            values=", ".join(turning),
        )
    if not fields.batteries:
        return
    rested = fields.rested.to("h") if fields.rested else None
    if rested is None:
        yield say(
            "How long it rested is not stated; the guides ask for six hours or more to read the charge off."
        )
    elif rested < REST_FOR_CHARGE:
        yield say(
            "It rested {rested}; the guides ask for six hours or more, so the charge may be less.",
            rested=fields.rested,
        )
    if _has_table(fields):
        yield say(
            "The table of charge is from memory, for about 25 °C; 0.12 V of meter error is 15 % of charge."
        )
    if not fields.chemistry:
        yield say("The kind of battery is not stated; taken as flooded lead-acid for the charge.")


KIND = Kind(
    name="battery",
    title="Battery at rest",
    measures="How much voltage each battery holds with nothing connected, and so how far it is charged.",
    fields=Fields,
    units=("V", "mV"),
    limits=(AFTER_CHARGE,),
    limits_for="They are for flooded lead-acid batteries of 12 V, charged first and rested two hours "
    "or more.",
    assess=assess,
    proves=("A rested voltage shows about how far a lead-acid battery is charged.",),
    proves_not=(
        "It does not show how much the battery can still deliver: a worn one can rest at a good voltage.",
        "Taken soon after charging it reads too high.",
    ),
    limit_words=LIMIT_WORDS,
    how="Charge fully, leave without load or charger for two hours, better six, then read across the posts.",
    instrument="digital voltmeter",
    example="""
kind: battery
batteries: {start: 12.61, house 1: 12.31, house 2: not taken}
cranking: {start: 10.4}
chemistry: flooded
charged: yes
rested: 8 h
""",
    blank="kind: battery\nbatteries:\n  start:\n  house:\ncranking:\n  start:\nchemistry:\ncharged:\nrested:",
    hazards=("explosion",),
    source_ids=("battery-after-charge", "battery-resting-table", "battery-rest-time"),
)
