"""Judges a load test: the voltage a battery still holds after 15 seconds at half its cold cranking rating.

Method: battery at least 75 % charged, a load of half the cold cranking amperes for 15 seconds, voltage read
under load at the end, battery temperature noted. Units: V; A; °C, °F; %.

General limit (battery-load-table): the least voltage by the battery's temperature, linear between the rows
of the table; above the highest row its figure holds, below the lowest none does. It is judged only where
the load was half the rating within a twentieth, and nothing says that the charge was under 75 %: other
loads prove nothing by this table, and a battery half charged fails it for that alone. For 12 V batteries;
others are scaled by their nominal voltage.

Source: battery-load-table; battery-load-variant (9.7 V, not used); the rating itself: battery-ratings.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots, sources, units
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.kind import About, Assessment, Kind, Step
from reportgen.limits import Limit, Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure
from reportgen.wording import all_of, say, term

SOURCE = "battery-load-table"
# battery temperature [°F] to the least voltage of a 12 V battery [V]
TABLE = (
    *((0.0, 8.5), (10.0, 8.7), (20.0, 8.9), (30.0, 9.1)),
    *((40.0, 9.3), (50.0, 9.4), (60.0, 9.5), (70.0, 9.6)),
)
# 0 °F in whole degrees Celsius, as the manuals print it, is -18 °C [°F]
COLDEST = -0.4
WARM = general("minimum", TABLE[-1][1], "V", "minimum", SOURCE)
LEAST_CHARGE = 75.0  # state of charge before the test [%]
SECONDS = 15.0
SLACK = 0.05  # how far the load may lie from half the rating, as a share of it: our reading of "half"
LIMIT_WORDS = {"minimum": "voltage"}


@dataclass(frozen=True)
class Fields:
    """Keys of a load test."""

    batteries: tuple[Cell, ...] = key(
        Cells("voltage", "V"), share="open", help="voltage at the end of the load, by battery", default=()
    )
    rated: Quantity | None = key(
        Measure("current", "A"), share="open", help="cold cranking amperes on the label"
    )
    load: Quantity | None = key(Measure("current", "A"), share="open", help="load that was drawn")
    held: Quantity | None = key(Measure("time", "s"), share="open", help="seconds under load")
    temperature: Quantity | None = key(
        Measure("temperature"), share="open", help="temperature of the battery"
    )
    charge: Quantity | None = key(Measure("share"), share="open", help="state of charge before the test")
    nominal: Quantity | None = key(
        Measure("voltage", "V"), share="open", help="nominal voltage, 12 V if not said"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the maker's figure with its source", default=()
    )


def least(temperature: float) -> float | None:
    """Give the least voltage of a 12 V battery [V] at a battery temperature [°F], None below the table.

    Linear between rows; above 70 °F the last row holds, as the first does to -18 °C. Source:
    battery-load-table.
    """
    if units.within(temperature, COLDEST, "minimum") and temperature <= TABLE[0][0]:
        return TABLE[0][1]
    if temperature >= TABLE[-1][0]:
        return TABLE[-1][1]
    for (low, at_low), (high, at_high) in itertools.pairwise(TABLE):
        if low <= temperature <= high:
            return at_low + (temperature - low) / (high - low) * (at_high - at_low)
    return None


def assess(reading: Reading, about: About) -> Assessment:
    """Judge a load test. Source: battery-load-table where the note gives no figure."""
    fields: Fields = reading.fields
    found = judging.things(fields.batteries, unit="V")
    table, lacking = _general(fields)
    asked = limits.applying(fields.limit, table)
    judged = judging.judge(asked, found)
    used = any(j.limit.origin == "general" for j in judged)
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=lacking,
        working=_working(fields, table),
        says=_says(fields),
        criteria=(
            say(
                "9.7 V, and half charge again in five minutes ({source})",
                source=sources.get("battery-load-variant"),
            ),
        )
        if used
        else (),
        source_ids=("battery-ratings", *(("battery-load-variant",) if used else ())),
        values=(("batteries", fields.batteries),),
        warnings=_slips(fields),
        chart=plots.bars(
            say("Voltage under load, V"), say("Battery"), [(say("under load"), found)], judged, "V"
        )
        if found
        else None,
    )


def _general(fields: Fields) -> tuple[tuple[Limit, ...], str]:
    """Give the limit of the table where its conditions are told and kept, or what is missing for it."""
    for faulty, why in _faults(fields):
        if faulty:
            return (), why
    volts = least(fields.temperature.to("°F")) if fields.temperature else None
    if volts is None:
        return (), say(
            "at {temperature} the battery is colder than the table goes", temperature=fields.temperature
        )
    scale = (fields.nominal.to("V") if fields.nominal and fields.nominal.value > 0 else 12.0) / 12.0
    return (replace(WARM, value=volts * scale),), ""


def _faults(fields: Fields) -> Iterator[tuple[bool, str]]:
    """Give what would keep the table from holding, and whether it does."""
    needs = {"rated": fields.rated, "load": fields.load, "temperature": fields.temperature}
    missing = [name for name, quantity in needs.items() if quantity is None]
    yield (
        bool(missing),
        say("the table needs {missing}, which the report does not give", missing=all_of(map(term, missing))),
    )
    low = fields.charge is not None and float(fields.charge.value) < LEAST_CHARGE
    yield (
        low,
        say(
            "it was {charge} charged; it must be charged to 75 % before a load test means anything",
            charge=fields.charge,
        ),
    )
    yield not _is_half(fields), say("the load was not half the rating, so that the table does not hold")
    short = fields.held is not None and fields.held.to("s") < SECONDS * (1 - SLACK)
    yield short, say("the load was held {held}, and the table is for 15 seconds", held=fields.held)


def _is_half(fields: Fields) -> bool:
    if fields.rated is None or fields.load is None or fields.rated.value <= 0:
        return False
    half = fields.rated.to("A") / 2
    return abs(fields.load.to("A") - half) <= SLACK * half


def _working(fields: Fields, table: Sequence[Limit]) -> Iterator[Step]:
    if fields.rated:
        half = units.figures(fields.rated.to("A") / 2, 4)
        yield Step(say("load that is asked"), say("rated / 2"), f"{fields.rated} / 2", half, "A")
    if table and fields.temperature:
        fahrenheit = units.figures(fields.temperature.to("°F"), 4)
        rule = say("read off the table by temperature, linear between its rows")
        yield Step(say("least voltage"), rule, f"{fahrenheit} °F", units.figures(table[0].value, 4), "V")


def _slips(fields: Fields) -> Iterator[tuple[str, str]]:
    if fields.load is None and any(cell.quantity for cell in fields.batteries):
        found = "a load test without the load that was drawn"
        yield found, "write load; a voltage while cranking goes under cranking in a battery reading"


def _says(fields: Fields) -> Iterator[str]:
    if fields.charge is None:
        yield say("How far it was charged before is not stated; under 75 % a sound battery fails too.")
    if fields.held is None:
        yield say("How long the load was held is not stated; the table is for 15 seconds.")
    yield say("One manual prints 8.0 V at 0 °F where the others print 8.5; the others are followed.")


KIND = Kind(
    name="battery-load",
    title="Battery under load",
    measures="How much voltage a battery holds while half its cranking current is drawn.",
    fields=Fields,
    units=("V", "mV"),
    limits=(WARM,),
    limits_for="They are for lead-acid batteries of 12 V at 70 °F or more; the colder one is, the "
    "less it has to hold.",
    assess=assess,
    proves=("It shows whether the battery could still turn an engine that day.",),
    proves_not=(
        "It does not show how long it will last, nor its capacity for lights and pumps.",
        "A cold or half charged battery fails without being worn.",
    ),
    limit_words=LIMIT_WORDS,
    how="Charge to 75 % or more, draw half the cold cranking rating for 15 seconds, read the voltage at the "
    "end; no sparks near the battery, eyes covered.",
    instrument="load tester with voltmeter",
    example="""
kind: battery-load
batteries: {start: 9.2}
rated: 640 A
load: 320 A
held: 15 s
temperature: 60 °F
charge: 90 %
""",
    blank="kind: battery-load\nbatteries:\n  start:\nrated:\nload:\nheld:\ntemperature:\ncharge:",
    hazards=("explosion", "fire"),
    source_ids=(SOURCE, "battery-load-variant", "battery-ratings"),
)
