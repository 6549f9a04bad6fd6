"""Judges the resistance between fittings and the bonding system: whether the wires still connect them.

Method: low-ohm meter from each fitting to the bonding bus or the anode, the resistance of the test leads
taken off where the note gives it. Unit: ohm. Where the meter shows an open circuit, the top of its range is
written.

General limit: 0.2 ohm, from which a seller of anodes asks to investigate. The 1 ohm of a voluntary standard
is read in magazines only and listed, not judged; so are the 100 ohms of the fuel rules, from memory. Fuel
fills with a body of plastic should not be bonded: they are not held to the limit, and the page says so.

Source: bonding-0.2-ohm; bonding-1-ohm (second-hand), cfr-33-183.572 (from memory), bonding-plastic-fill.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.errors import listed
from reportgen.judging import Thing, broken
from reportgen.kind import About, Assessment, Kind, Step
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import ListOf, Measure, Text
from reportgen.wording import all_of, say, term

MOST = general("maximum", 0.2, "Ω", "maximum", "bonding-0.2-ohm")
LIMIT_WORDS = {"maximum": "resistance"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of bonding."""

    places: tuple[Cell, ...] = key(
        Cells("resistance", "Ω"), share="open", help="resistance by fitting", default=()
    )
    to: str = key(Text(), share="open", help="what the other lead was on, such as bonding bus", default="")
    leads: Quantity | None = key(
        Measure("resistance"), share="open", help="resistance of the test leads, taken off each value"
    )
    plastic_fills: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="places that are fuel fills with a body of plastic", default=()
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the surveyor's figure with its source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge bonding resistances. Source: bonding-0.2-ohm where the note gives no figure."""
    fields: Fields = reading.fields
    leads = fields.leads.to("Ω") if fields.leads else 0.0
    cells, slips = _sensible(fields.places, leads)
    found = tuple(_less(t, leads) for t in judging.things(cells, unit="Ω"))
    fittings = tuple(t for t in found if t.name not in fields.plastic_fills)
    applied = limits.applying(fields.limit, (MOST,), [t.name for t in fittings])
    judged = judging.judge(applied, fittings)
    assessment = judging.assessment(
        reading,
        found,
        judged,
        lacking=say("fuel fills of plastic should not be bonded at all, and no other place was read"),
        working=(*judging.converted(cells, "Ω"), *_working(cells, found, leads)),
        says=_says(fields, found),
        suggests=_suggests(broken(judged)),
        criteria=_criteria(),
        source_ids=KIND.source_ids,
        values=(("places", fields.places),),
        chart=plots.bars(
            say("Bonding resistance, Ω"), say("Place"), [(say("to the bonding"), found)], judged, "Ω"
        )
        if found
        else None,
        warnings=(*slips, *_strangers(fields)),
    )
    # a fill that should not be bonded has not kept the limit by being low
    held = {t.name for t in fittings}
    each = ((n, o if n in held or o == "not taken" else "no limit applies") for n, o in assessment.outcomes)
    return replace(assessment, outcomes=tuple(each))


def _sensible(cells: Sequence[Cell], leads: float) -> tuple[tuple[Cell, ...], tuple[tuple[str, str], ...]]:
    """Take out as not taken what is below zero, or less than the leads alone, and say so."""
    odd = [c.name for c in cells if c.quantity and c.quantity.to("Ω") < max(leads, 0.0)]
    kept = tuple(
        replace(c, quantity=None, why=say("{value} can't be right", value=c.quantity)) if c.name in odd else c
        for c in cells
    )
    slips = (
        (f"{c.name}: {c.quantity} can't be right", "write the meter's value, leads included, or not taken")
        for c in cells
        if c.name in odd
    )
    return kept, tuple(slips)


def _less(each: Thing, leads: float) -> Thing:
    """Take the resistance of the leads [Ω] off a value."""
    if not leads or each.value is None:
        return each
    # what was noted holds the leads, and beside what is left of it would look like a wrong conversion
    return replace(each, value=each.value - leads, printed="", noted="")


def _strangers(fields: Fields) -> Iterator[tuple[str, str]]:
    names = {c.name for c in fields.places}
    if strange := [p for p in fields.plastic_fills if p not in names]:
        yield f"plastic fills names {listed(strange, 'and')}, which places has not", "use the same names"


def _working(cells: Sequence[Cell], found: Sequence[Thing], leads: float) -> Iterator[Step]:
    for cell, each in zip(cells, found, strict=True):
        if leads and cell.quantity and each.value is not None:
            values = f"{units.figures(cell.quantity.to('Ω'), 4)} - {units.figures(leads, 4)}"
            yield Step(
                say("{name} without the leads", name=term(each.name)),
                say("reading − leads"),
                values,
                each.words,
                "",
            )


def _says(fields: Fields, found: Sequence[Thing]) -> Iterator[str]:
    if bonded := [t.name for t in found if t.name in fields.plastic_fills and t.value is not None]:
        yield say(
            "A fuel fill with a body of plastic should not be bonded, and {bonded} is such: a "
            "charge can jump from the pump's nozzle to its metal cap when the boat is ashore.",
            bonded=all_of(map(term, bonded)),
        )
    yield say("The limit is a figure to look into a connection, from a seller of anodes; it is no standard.")
    if not fields.leads:
        yield say("The resistance of the test leads is not stated; if it is in the values, they are lower.")
    if not fields.to:
        yield say("Not stated: what the other lead was on.")


def _suggests(places: Sequence[str]) -> Iterator[str]:
    if places:
        yield say(
            "A high resistance at {places} suggests a corroded or loose connection, or no wire; "
            "to be confirmed by cleaning the ends and reading again.",
            places=all_of(map(term, places)),
        )


def _criteria() -> Iterator[str]:
    yield say("A voluntary standard is said to allow 1 Ω from a fitting to its anode (read second-hand).")
    yield say("Texts on cathodic protection ask for 0.01 Ω in some circuits (from memory).")
    yield say("Metal parts of a petrol fill: less than 100 Ω to ground by 33 CFR 183.572 (from memory).")


KIND = Kind(
    name="bonding",
    title="Bonding",
    measures="How well metal fittings are connected to the bonding system and its anode.",
    fields=Fields,
    units=("Ω", "mΩ", "kΩ"),
    limits=(MOST,),
    limits_for="They are for metal fittings that a wire ties to the anodes or to the bonding system.",
    assess=assess,
    proves=("A low resistance shows that the fitting was connected when it was read.",),
    proves_not=(
        "It does not show that the anode protects the fitting: that takes the voltage in the water.",
        "It does not show the cross-section of the wire, nor the state of the fitting itself.",
    ),
    limit_words=LIMIT_WORDS,
    how="Meter on bare metal of each fitting and on the bus; write the top of the range where it shows open.",
    instrument="low-ohm meter, its leads measured",
    example="""
kind: bonding
places: {strut: 0.12, rudder stock: 0.45, strainer: 0.09, deck fill: not taken}
to: bonding bus
leads: 0.05 Ω
plastic fills: deck fill
limit: {maximum: 0.25 Ω, source: "invented yard standard 12, corrosion"}
""",
    blank="kind: bonding\nplaces:\n  rudder:\n  shaft:\n  seacock:\nto:\nleads:\nplastic fills:",
    source_ids=("bonding-0.2-ohm", "bonding-1-ohm", "bonding-plastic-fill", "cfr-33-183.572"),
)
