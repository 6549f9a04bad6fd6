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

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells, Word, Words
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step, overall
from reportgen.limits import Limit, Limits, NoteLimit, between, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, OneOf

# hull to the range of protection, most negative first [mV against silver/silver chloride in sea water]
RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "fibreglass with inboard": (-1000.0, -750.0),
        "fibreglass with aluminium drive": (-1050.0, -900.0),
        "aluminium": (-1100.0, -900.0),
        "steel": (-1050.0, -800.0),
        "wood": (-600.0, -550.0),
    }
)
# metal to the least negative voltage at which it is protected [mV, the same electrode and water]
METALS: Mapping[str, float] = MappingProxyType(
    {"aluminium": -900.0, "mild steel": -800.0, "stainless steel": -750.0, "bronze": -550.0}
)
RANGES_FROM = "hull-potential-ranges"
SHIFT = general("shift", 200.0, "mV", "minimum", "hull-potential-shift")
ELECTRODES = ("silver/silver chloride", "copper/copper sulphate", "zinc", "other")
WATERS = ("sea", "brackish", "fresh")
# what to add to a reading to get that against silver/silver chloride, from memory [mV]
OFFSETS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"copper/copper sulphate": (50.0, 60.0), "zinc": (-1030.0, -1030.0)}
)
HULL_OF_TYPE = {
    "gasoline inboard": "fibreglass with inboard",
    "diesel inboard cruiser": "fibreglass with inboard",
    "gasoline sterndrive": "fibreglass with aluminium drive",
}
TOO_MUCH = {
    "aluminium": "Too negative harms as well: aluminium is eaten by the alkali that forms on it.",
    "fibreglass with aluminium drive": "Too negative harms as well: the alkali that forms eats the drive.",
    "wood": "Too negative harms as well: the alkali that forms eats the timber round the fastenings.",
}
LEAST, MOST, SWAPPED = 2.0, 2000.0, 200.0  # sizes that no metal shows, and a positive one [mV]: our choice
OWN, IN = ", shift from its own voltage", ", shore lead in"
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
    water: str = key(OneOf(WATERS), share="open", help="water that the boat lay in", default="")
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


def hull_of(fields: Fields, about: About) -> str:
    """Give the hull as the ranges name it, from the reading or the cover note, empty where neither tells."""
    material = about.material.replace("aluminum", "aluminium")
    named = [m for m in ("aluminium", "steel", "wood") if m in material]
    if fields.hull or len(named) == 1:
        return fields.hull or named[0]
    glass = any(word in material for word in ("fibreglass", "fiberglass", "grp", "frp"))
    return HULL_OF_TYPE.get(about.boat_type, "") if glass and not named else ""


def assess(reading: Reading, about: About) -> Assessment:
    """Judge potentials from both sides. Source: hull-potential-ranges, hull-potential-shift."""
    fields: Fields = reading.fields
    hull = hull_of(fields, about)
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
        chart=plots.band(f"Voltage against {fields.electrode or 'the electrode'}, mV", "Place", found,
                         [j for j in judged if j.limit.word != "shift"], "mV")
        if found
        else None,
        warnings=(*slips, *more, *rest),
    )  # fmt: skip


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
        kept.append(replace(cell, quantity=None, why=f"{cell.quantity} can't be right"))
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
    if missing := [n for n, v in (("the electrode", fields.electrode), ("the water", fields.water)) if not v]:
        return shift, f"the note does not name {listed(missing, 'and')}"
    if fields.electrode != "silver/silver chloride" or fields.water != "sea":
        used = f"{fields.electrode} in {fields.water} water"
        return shift, f"the published ranges are for silver/silver chloride in sea water, not for {used}"
    if not hull:
        return shift, "the note does not say what hull and drive it is, and the ranges go by these"
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
        asked = f"{units.figures(limit.value, 4)} {limit.unit} ({judging.short(limit)})"
        values = {t.name: t.words for t in (*found, *shifts)}
        named = listed([f"{name.removesuffix(OWN)} with {values[name]}" for name in each.where], "and")
        if not each.where:
            continue
        if limit.word == "shift":
            said.append(f"too little shift by its anodes at {named}, and at least {asked} is asked")
        elif limit.side == "minimum":
            said.append(f"too negative at {named}, beyond {asked}")
        else:
            said.append(f"too little protection at {named}, not as far negative as {asked}")
    text = "; ".join(said)
    return f"{text[:1].upper()}{text[1:]}." if text else ""


def _between(judged: Sequence[Judged]) -> str:
    """Say that all lies between two limits, empty where there are others or fewer."""
    edges = [j.limit for j in judged if j.limit.word != "shift"]
    if len(edges) != 2 or len(judged) != 2 or {li.side for li in edges} != {"minimum", "maximum"}:
        return ""
    if edges[0].of or edges[1].of or judging.short(edges[0]) != judging.short(edges[1]):
        return ""
    low, high = sorted(edges, key=lambda li: li.side, reverse=True)
    both = f"{units.figures(low.value, 4)} {low.unit} and {units.figures(high.value, 4)} {high.unit}"
    return f"Every place lies between {both} ({judging.short(low)})."


def _working(fields: Fields, found: Sequence[Thing], shifts: Sequence[Thing]) -> Iterator[Step]:
    yield from judging.converted((*fields.places, *fields.with_shore_lead), "mV")
    values = {t.name: t for t in found}
    own = {t.name: t for t in judging.things(fields.without_anodes, unit="mV")}
    for each in shifts:
        if each.value is not None:
            text = f"{own[each.of].printed} - ({values[each.of].printed})"
            yield Step(f"shift of {each.of}", "without anodes - with anodes", text, each.words, "")
    for each in found:
        before = values.get(each.name.removesuffix(IN))
        if before is None or before is each or each.value is None or before.value is None:
            continue
        change = units.figures(each.value - before.value, 4)
        text = f"{each.printed} - ({before.printed})"
        yield Step(f"change of {before.name} by the shore lead", "lead in - lead out", text, change, "mV")
    for each in found if fields.electrode in OFFSETS and fields.water in ("sea", "") else ():
        if each.value is not None:
            low, high = (each.value + offset for offset in OFFSETS[fields.electrode])
            both = dict.fromkeys((units.figures(low, 4), units.figures(high, 4)))
            text = " or ".join(f"{each.printed} + ({o:g})" for o in dict.fromkeys(OFFSETS[fields.electrode]))
            step = f"{each.name} as silver/silver chloride might show it, from memory"
            yield Step(step, "reading + offset", text, " to ".join(both), "mV")


def _says(fields: Fields, hull: str, over: Sequence[str], found: Sequence[Thing]) -> Iterator[str]:
    if hull in TOO_MUCH:
        yield TOO_MUCH[hull]
    elif over:
        yield "Too negative is no gain: it uses up anodes, and harms aluminium and wood where they are near."
    if hull and not fields.hull:
        yield f"Taken as {hull}, from the cover note."
    if fields.electrode in OFFSETS:
        yield "The offset of that electrode is from memory; the value it gives is shown and not judged."
    if fields.water == "fresh":
        yield "In fresh water the same metal reads much less negative than in the sea."
    metals = {w.name: w.text for w in fields.metals if w.text}
    if fields.electrode == "silver/silver chloride" and fields.water == "sea":
        for each in found:
            if each.value is not None and (metal := metals.get(each.name.removesuffix(IN))):
                kept = each.value <= METALS[metal]
                asked = f"protected from {units.figures(METALS[metal], 4)} mV on"
                yield f"{metal.capitalize()} is said to be {asked}: {each.name} is{'' if kept else ' not'}."
    told = {
        "the electrode": fields.electrode,
        "the water": fields.water,
        "how long the boat lay at rest": fields.rested,
        "readings with the shore lead in": fields.with_shore_lead,
    }
    if missing := [name for name, value in told.items() if not value]:
        yield f"Not stated: {listed(missing, 'and')}."


def _suggests(found: Sequence[Thing], judged: Sequence[Judged], over: Sequence[str]) -> Iterator[str]:
    under = {name for j in judged if j.limit.word in ("maximum", "shift") for name in j.where}
    if under:
        yield (
            "Too little protection suggests anodes used up, of the wrong alloy or not connected, or a stray "
            "current; to be confirmed by their state, the bonding and a stray current test."
        )
    if over:
        yield "Too much protection suggests too many anodes or a wrong alloy; to be confirmed by their count."
    values = {t.name: t.value for t in found}
    if any(v is not None and values.get(n + IN) not in (None, v) for n, v in values.items()):
        yield (
            "A change with the shore lead in suggests a current through its earth wire; to be confirmed by a "
            "test of the galvanic isolator or transformer, by a marine electrician."
        )


def _criteria(fields: Fields) -> Iterator[str]:
    least = listed([f"{name} {units.figures(v, 4)} mV" for name, v in METALS.items()], "and")
    yield f"Metals are said to be protected from these voltages on, in sea water against silver: {least}."
    yield "Another guide gives fibreglass with an inboard -550 to -1100 mV, wider than the range used here."
    if not fields.without_anodes:
        yield "A metal is said to be protected where anodes shift it by 200 mV or more from its own voltage."


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
