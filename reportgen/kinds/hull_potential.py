"""Judges the voltage of metal under water against an electrode: too little protection, or too much.

Method: boat afloat and at rest for some hours, electrode in the water away from anodes, meter between it and
each place; negative values. Unit: mV against the electrode that the note names, in the water that it names.

General limits, silver/silver chloride in sea water only, by hull: fibreglass with inboard -750 to -1000 mV,
with aluminium drive -900 to -1050, aluminium -900 to -1100, steel -800 to -1050, wood -550 to -600. The hull
is the note's, else that of the cover note. Guides disagree, and the others are listed. With another electrode
or in other water only the note's figures are judged; what silver/silver chloride would have shown is given
from memory, not judged. Where the voltage of a place without anodes is told, its shift has to be 200 mV or
more, in any water and against any electrode, both being the same.

Source: hull-potential-ranges, hull-potential-shift; hull-potential-metals (shown); electrode-offsets (shown,
from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import bounds, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells, Word, Words
from reportgen.chart import Chart
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step, overall
from reportgen.limits import Limit, Limits, NoteLimit, between, general
from reportgen.model import Reading
from reportgen.potentials import ELECTRODES, METALS, OFFSETS, RANGES, SILVER, TOO_MUCH, WATERS, hull_of
from reportgen.units import Quantity
from reportgen.values import Measure, OneOf
from reportgen.wording import all_of, later, later_in, number, one_of, say, term

RANGES_FROM = "hull-potential-ranges"
SHIFT = general("shift", 200.0, "mV", "minimum", "hull-potential-shift")
LEAST, MOST, SWAPPED = 2.0, 2000.0, 200.0  # sizes that no metal shows, and a positive one [mV]: our choice
OWN = f", {later_in('name', 'shift from its own voltage')}"
IN = f", {later_in('name', 'shore lead in')}"
LIMIT_WORDS = {"minimum": "voltage", "maximum": "voltage", "within": "voltage", "shift": "voltage"}


def _metal_advice(text: str) -> str:
    return "" if text in METALS else f"write {listed(METALS)}"


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of hull potential."""

    places: tuple[Cell, ...] = key(
        Cells("voltage", "mV"), share="open", help="voltage by place, such as shaft: -850", default=()
    )
    with_shore_lead: tuple[Cell, ...] = key(
        Cells("voltage", "mV"), share="open", help="the same places with the shore lead in", default=()
    )
    without_anodes: tuple[Cell, ...] = key(
        Cells("voltage", "mV"), share="open", help="the place's own voltage, anodes disconnected", default=()
    )
    electrode: str = key(OneOf(ELECTRODES), share="open", help="reference electrode", default="")
    water: str = key(OneOf(tuple(WATERS)), share="open", help="water that the boat lay in", default="")
    hull: str = key(OneOf(tuple(RANGES)), share="open", help="hull and drive, as the ranges go", default="")
    metals: tuple[Word, ...] = key(
        Words("metal of the place", _metal_advice), share="open", help="metal by place", default=()
    )
    rested: Quantity | None = key(
        Measure("time", "h"), share="open", help="hours afloat with nothing switched"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the surveyor's figures with their source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge potentials from both sides. Source: hull-potential-ranges, hull-potential-shift."""
    fields: Fields = reading.fields
    hull = fields.hull or hull_of(about)
    out, slips = _sensible(fields.places)
    shore, more = _sensible(fields.with_shore_lead)
    own, rest = _sensible(fields.without_anodes)
    found = (*judging.things(out, unit="mV"), *(_in(t) for t in judging.things(shore, unit="mV")))
    shifts = tuple(_shifts(judging.things(own, unit="mV"), found))
    general_limits, lacking = _general(fields, hull)
    applied = limits.applying(fields.limit, general_limits, [c.name for c in fields.places])
    judged = (
        *judging.judge((li for li in applied if li.word != "shift"), found),
        *judging.judge((li for li in applied if li.word == "shift"), shifts),
    )
    over = [t.name for t in found if _too_negative(t, judged)]
    return judging.assessment(
        reading,
        (*found, *shifts),
        judged,
        lacking=lacking,
        reason=_reason(found, shifts, judged),
        working=_working(fields, found, shifts),
        says=_says(fields, hull, over, found),
        suggests=_suggests(found, judged, over),
        criteria=_criteria(fields),
        source_ids=KIND.source_ids,
        values=_values(fields),
        chart=_chart(fields, found, judged) if found else None,
        warnings=(*slips, *more, *rest),
    )


def _chart(fields: Fields, found: Sequence[Thing], judged: Sequence[Judged]) -> Chart:
    electrode = term(fields.electrode) or say("the electrode")
    title = say("Voltage against {electrode}, mV", electrode=electrode)
    return plots.band(title, say("Place"), found, [j for j in judged if j.limit.word != "shift"], "mV")


def _values(fields: Fields) -> tuple[tuple[str, tuple[Cell, ...]], ...]:
    named = (
        ("places", fields.places),
        ("with shore lead", fields.with_shore_lead),
        ("without anodes", fields.without_anodes),
    )
    return tuple((name, cells) for name, cells in named if cells)


def _sensible(cells: Sequence[Cell]) -> tuple[tuple[Cell, ...], tuple[tuple[str, str], ...]]:
    """Take out as not taken what no metal in water shows: leads swapped, volts for millivolts."""
    kept: list[Cell] = []
    slips: list[tuple[str, str]] = []
    for cell in cells:
        value = cell.quantity.to("mV") if cell.quantity else None
        if value is None or (value < SWAPPED and LEAST <= abs(value) <= MOST):
            kept.append(cell)
            continue
        write = (
            "write it negative, such as -850 mV" if value >= SWAPPED else "write millivolts, or V behind it"
        )
        slips.append((f"{cell.name}: {cell.quantity} can't be right", write))
        kept.append(replace(cell, quantity=None, why=say("{value} can't be right", value=cell.quantity)))
    return tuple(kept), tuple(slips)


def _in(each: Thing) -> Thing:
    return replace(each, name=f"{each.name}{IN}", of=each.name)


def _shifts(own: Sequence[Thing], found: Sequence[Thing]) -> Iterator[Thing]:
    """Give how much more negative each place is than without anodes [mV]; the shore lead is out."""
    with_anodes = {t.name: t.value for t in found}
    for each in own:
        value = with_anodes.get(each.name)
        shift = None if value is None or each.value is None else each.value - value
        yield Thing(f"{each.name}{OWN}", shift, "mV", "", each.name)


def _general(fields: Fields, hull: str) -> tuple[tuple[Limit, ...], str]:
    """Give the published limits whose conditions are told, and what is missing for the range."""
    shift = (SHIFT,) if fields.without_anodes else ()
    if missing := [
        n for n, v in ((say("the electrode"), fields.electrode), (say("the water"), fields.water)) if not v
    ]:
        return shift, say("the report does not name {missing}", missing=all_of(missing))
    if fields.electrode != SILVER or fields.water != "sea":
        used = say(WATERS[fields.water], electrode=term(fields.electrode))
        return shift, say(
            "the published ranges are for silver/silver chloride in sea water, not for {used}", used=used
        )
    if not hull:
        return shift, say("the report does not say what hull and drive it is, and the ranges go by these")
    return (*between(*RANGES[hull], "mV", "hull-potential-ranges"), *shift), ""


def _too_negative(each: Thing, judged: Sequence[Judged]) -> bool:
    return any(each.name in j.where for j in judged if j.limit.side == "minimum" and j.limit.word != "shift")


def _reason(found: Sequence[Thing], shifts: Sequence[Thing], judged: Sequence[Judged]) -> str:
    """Say the outcome in the trade's words, since at least and at most mislead below zero."""
    if overall(tuple(judged)) == "within":
        return _between(judged)
    said = []
    for each in judged:
        limit = each.limit
        asked = f"{units.figures(limit.value, 4)} {limit.unit} ({bounds.short(limit)})"
        values = {t.name: t.words for t in (*found, *shifts)}
        named = all_of(
            say("{name} with {value}", name=term(name.removesuffix(OWN)), value=values[name])
            for name in each.where
        )
        if not each.where:
            continue
        if limit.word == "shift":
            said.append(
                say(
                    "too little shift by its anodes at {named}, and at least {asked} is asked",
                    named=named,
                    asked=asked,
                )
            )
        elif limit.side == "minimum":
            said.append(say("too negative at {named}, beyond {asked}", named=named, asked=asked))
        else:
            said.append(
                say(
                    "too little protection at {named}, not as far negative as {asked}",
                    named=named,
                    asked=asked,
                )
            )
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _between(judged: Sequence[Judged]) -> str:
    """Say that all lies between two limits, empty where there are others or fewer."""
    edges = [j.limit for j in judged if j.limit.word != "shift"]
    if len(edges) != 2 or len(judged) != 2 or {li.side for li in edges} != {"minimum", "maximum"}:
        return ""
    if edges[0].of or edges[1].of or bounds.short(edges[0]) != bounds.short(edges[1]):
        return ""
    low, high = sorted(edges, key=lambda li: li.side, reverse=True)
    return say(
        "Every place lies between {low} and {high} ({source}).",
        low=f"{units.figures(low.value, 4)} {low.unit}",
        high=f"{units.figures(high.value, 4)} {high.unit}",
        source=bounds.short(low),
    )


def _working(fields: Fields, found: Sequence[Thing], shifts: Sequence[Thing]) -> Iterator[Step]:
    yield from judging.converted((*fields.places, *fields.with_shore_lead), "mV")
    values = {t.name: t for t in found}
    own = {t.name: t for t in judging.things(fields.without_anodes, unit="mV")}
    for each in shifts:
        if each.value is not None:
            text = f"{own[each.of].printed} - ({values[each.of].printed})"
            yield Step(
                say("shift of {name}", name=term(each.of)),
                say("without anodes − with anodes"),
                text,
                each.words,
                "",
            )
    for each in found:
        before = values.get(each.name.removesuffix(IN))
        if before is None or before is each or each.value is None or before.value is None:
            continue
        change = units.figures(each.value - before.value, 4)
        text = f"{each.printed} - ({before.printed})"
        yield Step(
            say("change of {name} by the shore lead", name=term(before.name)),
            say("lead in − lead out"),
            text,
            change,
            "mV",
        )
    for each in found if fields.electrode in OFFSETS and fields.water in ("sea", "") else ():
        if each.value is not None:
            low, high = (each.value + offset for offset in OFFSETS[fields.electrode])
            least, most = units.figures(low, 4), units.figures(high, 4)
            both = least if least == most else say("{low} to {high}", low=least, high=most)
            offsets = (number(f"{o:g}") for o in dict.fromkeys(OFFSETS[fields.electrode]))
            text = one_of(f"{each.printed} + ({offset})" for offset in offsets)
            step = say("{name} as silver/silver chloride might show it, from memory", name=term(each.name))
            yield Step(step, say("reading + offset"), text, both, "mV")


def _says(fields: Fields, hull: str, over: Sequence[str], found: Sequence[Thing]) -> Iterator[str]:
    if hull in TOO_MUCH:
        yield say(TOO_MUCH[hull])
    elif over:
        yield say(
            "Too negative is no gain: it uses up anodes, and harms aluminium and wood where they are near."
        )
    if hull and not fields.hull:
        yield say("Taken as {material}, from the head of the report.", material=term(hull))
    if fields.electrode in OFFSETS:
        yield say("The offset of that electrode is from memory; the value it gives is shown and not judged.")
    if fields.water == "fresh":
        yield say("In fresh water the same metal reads much less negative than in the sea.")
    metals = {w.name: w.text for w in fields.metals if w.text}
    if fields.electrode == SILVER and fields.water == "sea":
        for each in found:
            if each.value is not None and (metal := metals.get(each.name.removesuffix(IN))):
                protected = (
                    later("{metal} is said to be protected from {value} mV on: {name} is.")
                    if each.value <= METALS[metal]
                    else later("{metal} is said to be protected from {value} mV on: {name} is not.")
                )
                yield say(
                    protected,
                    metal=f"{term(metal)[:1].upper()}{term(metal)[1:]}",
                    value=units.figures(METALS[metal], 4),
                    name=term(each.name),
                )
    told = {
        say("the electrode"): fields.electrode,
        say("the water"): fields.water,
        say("how long the boat lay at rest"): fields.rested,
        say("readings with the shore lead in"): fields.with_shore_lead,
    }
    if missing := [name for name, value in told.items() if not value]:
        yield say("Not stated: {missing}.", missing=all_of(missing))


def _suggests(found: Sequence[Thing], judged: Sequence[Judged], over: Sequence[str]) -> Iterator[str]:
    under = {name for j in judged if j.limit.word in ("maximum", "shift") for name in j.where}
    if under:
        yield say(
            "Too little protection suggests anodes used up, of the wrong alloy or not connected, "
            "or a stray current; to be confirmed by their state, the bonding and a stray current "
            "test."
        )
    if over:
        yield say(
            "Too much protection suggests too many anodes or a wrong alloy; to be confirmed by their count."
        )
    values = {t.name: t.value for t in found}
    if any(v is not None and values.get(n + IN) not in (None, v) for n, v in values.items()):
        yield say(
            "A change with the shore lead in suggests a current through its earth wire; to be "
            "confirmed by a test of the galvanic isolator or transformer, by a marine "
            "electrician."
        )


def _criteria(fields: Fields) -> Iterator[str]:
    least = all_of(f"{term(name)} {units.figures(v, 4)} mV" for name, v in METALS.items())
    yield say(
        "Metals are said to be protected from these voltages on, in sea water against silver: {least}.",
        least=least,
    )
    yield say(
        "Another guide gives fibreglass with an inboard -550 to -1100 mV, wider than the range used here."
    )
    if not fields.without_anodes:
        yield say(
            "A metal is said to be protected where anodes shift it by 200 mV or more from its own voltage."
        )


KIND = Kind(
    name="hull-potential",
    title="Hull potential",
    measures="How far anodes protect metal under water, by its voltage against an electrode in the water.",
    fields=Fields,
    units=("mV", "V"),
    limits=(
        *(li for hull, edges in RANGES.items() for li in between(*edges, "mV", RANGES_FROM, hull)),
        SHIFT,
    ),
    limits_for="The shift is what the anodes make of a metal's voltage; all others are by the hull's "
    "material.",
    assess=assess,
    proves=("On that day, in that water, each place had the protection that its voltage shows.",),
    proves_not=(
        "It does not show what is already lost: metal that wasted before can read well today.",
        "It does not show metal that is not connected to the place where the meter was set.",
        "Another berth, other neighbours or other water can change it.",
    ),
    limit_words=LIMIT_WORDS,
    how="Afloat, at rest for hours, electrode in the water: read each place, shore lead out, then in.",
    instrument="reference electrode and digital multimeter",
    example="""
kind: hull-potential
places: {shaft: -905, rudder: -880, strainer: -310}
with shore lead: {shaft: -860}
without anodes: {shaft: -340}
electrode: silver/silver chloride
water: sea
hull: fibreglass with inboard
metals: {shaft: stainless steel, strainer: bronze}
rested: 4 h
limit: {shift: 250 mV, source: "invented yard standard 12, corrosion"}
""",
    blank="kind: hull-potential\nplaces:\n  shaft:\n  rudder:\nelectrode:\nwater:\nhull:\nrested:",
    hazards=("electric shock",),
    source_ids=(
        "hull-potential-ranges",
        "hull-potential-metals",
        "hull-potential-shift",
        "electrode-offsets",
    ),
)  # fmt: skip
