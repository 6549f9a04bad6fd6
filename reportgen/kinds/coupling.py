"""Judges how far the faces of a shaft coupling stand askew, from feeler gaps at four places round it.

Method: boat afloat a day or two, tanks filled, rig set up; coupling bolts out, faces brought together, gap
by feeler at top, starboard, bottom and port. Repeated with the shaft's half turned: gaps that change at a
place come from run-out of face or shaft, not from misalignment. Units: length (in, mm ...).

General limit: largest minus smallest gap at most 0.001 in per inch of coupling diameter (coupling-per-inch);
`diameter` must be told. Fixed figures of others are listed, not judged. Judged as found; where it was not
taken afloat the page says what that means.

Source: coupling-per-inch; coupling-fixed and army-tm-55-1905-220-14 (shown, and for how it is taken).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from reportgen import cylinders, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.chart import Chart
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure, OneOf, YesNo
from reportgen.wording import later_in, say, say_in, term

PER_INCH = general(
    "difference", 0.001, "in", "maximum", "coupling-per-inch", "each inch of coupling diameter"
)
PLACES = 4  # gaps that the rule asks for
UNNAMED = (
    later_in("name", "place not named 1"),
    later_in("name", "place not named 2"),
    later_in("name", "place not named 3"),
)
ENDS = ("top", "bottom")  # of the flange
LEAST_AFLOAT = 24.0  # hours in the water before alignment is taken, by an engine supplier [h]
FEELER = 0.001  # step of a usual feeler gauge, below which a change says nothing: common practice [in]
RANGE = later_in("name", "largest minus smallest gap")
_TURNED = "gaps at the same places with the shaft's half turned by {}°"
LIMIT_WORDS = {"difference": "length"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of a shaft coupling."""

    gaps: tuple[Cell, ...] = key(
        Cells("length", "in"), share="open", help="feeler gap by place round the coupling", default=()
    )
    turned_90: tuple[Cell, ...] = key(
        Cells("length", "in"), share="open", name="turned 90", help=_TURNED.format(90), default=()
    )
    turned_180: tuple[Cell, ...] = key(
        Cells("length", "in"), share="open", name="turned 180", help=_TURNED.format(180), default=()
    )
    turned_270: tuple[Cell, ...] = key(
        Cells("length", "in"), share="open", name="turned 270", help=_TURNED.format(270), default=()
    )
    diameter: Quantity | None = key(Measure("length"), share="open", help="diameter of the coupling")
    state: str = key(OneOf(("afloat", "ashore", "in slings")), share="open", help="of the boat", default="")
    afloat_for: Quantity | None = key(
        Measure("time", "h"), share="open", name="afloat for", help="time in the water before it was taken"
    )
    laden: bool | None = key(YesNo(), share="open", help="whether tanks and gear were as in use")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, by_name=False),
        share="open",
        help="the maker's figure with its source",
        default=(),
    )


def allowed(diameter: float) -> float:
    """Give the largest difference of gaps [in] by a diameter [in]. Source: coupling-per-inch."""
    return PER_INCH.value * diameter


def assess(reading: Reading, about: About) -> Assessment:
    """Judge the difference of the gaps by the note, else by the diameter. Source: coupling-per-inch."""
    fields: Fields = reading.fields
    cells, odd = cylinders.sensible(_all_places(fields.gaps), 0.0, None)
    turned, odd_turned = _turned(fields)
    gaps = judging.things(cells, "gap", _unit(cells))
    across = fields.diameter.to("in") if fields.diameter and fields.diameter.value > 0 else None
    wide = (_range(gaps),) if gaps else ()
    judged = _judged(fields, gaps, wide, across)
    return judging.assessment(
        reading,
        (*gaps, *(t for t in wide if t.value is not None and _settled(gaps, judged))),
        judged,
        lacking=say("the coupling's diameter is not stated, and the report gives no figure of its maker"),
        working=_working(fields, gaps, wide, across, judged),
        says=(*_shape(gaps), *_conditions(fields), *_run_out(cells, turned)),
        suggests=_suggests(cells, turned, judged),
        criteria=_criteria(),
        source_ids=KIND.source_ids,
        values=(("gaps", cells), *((f"turned {degrees}", found) for degrees, found in turned.items())),
        chart=_chart(gaps, turned, judged) if gaps else None,
        warnings=_slips(fields, (*odd, *odd_turned), cells, turned),
    )


def _all_places(gaps: Sequence[Cell]) -> tuple[Cell, ...]:
    """Give the gaps with as many unnamed places as are missing of four."""
    lacking = max(0, PLACES - len(gaps)) if gaps else 0
    return (*gaps, *(Cell(name) for name in UNNAMED[:lacking]))


def _turned(fields: Fields) -> tuple[dict[str, tuple[Cell, ...]], tuple[Cell, ...]]:
    """Give the gaps by degrees turned [°], impossible ones as not taken, and these as written."""
    found: dict[str, tuple[Cell, ...]] = {}
    odd: list[Cell] = []
    for degrees in ("90", "180", "270"):
        kept, wrong = cylinders.sensible(getattr(fields, f"turned_{degrees}"), 0.0, None)
        odd += wrong
        if kept:
            found[degrees] = kept
    return found, tuple(odd)


def _unit(cells: Sequence[Cell]) -> str:
    return next((c.quantity.unit for c in cells if c.quantity), "in")


def _range(gaps: Sequence[Thing]) -> Thing:
    """Give the largest minus the smallest gap, of those taken: it can only grow by one that is missing."""
    values = [t.value for t in gaps if t.value is not None]
    wide = max(values) - min(values) if len(values) > 1 else None
    return Thing(RANGE, wide, gaps[0].unit, "" if wide is None else units.figures(wide, 4), RANGE)


def _judged(
    fields: Fields, gaps: Sequence[Thing], wide: tuple[Thing, ...], across: float | None
) -> tuple[Judged, ...]:
    """Hold the difference against its limits; a place not taken leaves it open unless it is broken."""
    generals = (replace(PER_INCH, value=allowed(across), of=""),) if across else ()
    missing = (replace(t, of=RANGE) for t in gaps if t.value is None)
    # of the difference, so that no single gap is held against it
    own = (replace(limit, of=RANGE) for limit in limits.applying(fields.limit, generals))
    return judging.judge(own, (*wide, *missing))


def _settled(gaps: Sequence[Thing], judged: Sequence[Judged]) -> bool:
    """Say whether the difference is settled: every place was taken, or those that were break a limit."""
    return all(t.value is not None for t in gaps) or bool(judging.broken(judged))


def _working(
    fields: Fields,
    gaps: Sequence[Thing],
    wide: tuple[Thing, ...],
    across: float | None,
    judged: Sequence[Judged],
) -> Iterator[Step]:
    yield from judging.converted(fields.gaps, gaps[0].unit if gaps else "in")
    taken = [t for t in gaps if t.value is not None]
    for each in (t for t in wide if t.value is not None):
        high, low = max(taken, key=_value), min(taken, key=_value)
        values = f"{_place(high.name)} {high.printed} − {_place(low.name)} {low.printed}"
        yield Step(term(RANGE), say("largest gap − smallest gap"), values, each.printed, each.unit)
    if across and any(j.limit.origin == "general" for j in judged):
        yield from judging.converted((Cell("diameter", fields.diameter),), "in")
        values = f"{units.figures(PER_INCH.value)} × {units.figures(across, 4)}"
        result = units.figures(allowed(across), 4)
        yield Step(say("allowed by the diameter"), say("0.001 in per inch × diameter"), values, result, "in")


def _place(name: str) -> str:
    """Give a place on the flange in the reader's language; elsewhere the bottom is the boat's."""
    return say_in("place on the flange", name) if name in ENDS else term(name)


def _value(each: Thing) -> float:
    return each.value or 0.0


def _shape(gaps: Sequence[Thing]) -> Iterator[str]:
    taken = [t for t in gaps if t.value is not None]
    if len(taken) > 1 and _value(max(taken, key=_value)) > _value(min(taken, key=_value)):
        high, low = max(taken, key=_value), min(taken, key=_value)
        yield say(
            "Widest at {widest} with {high}, narrowest at {narrowest} with {low}.",
            widest=_place(high.name),
            high=high.words,
            narrowest=_place(low.name),
            low=low.words,
        )


def _conditions(fields: Fields) -> Iterator[str]:
    """Say how far it holds for the boat in use. Source: army-tm-55-1905-220-14, coupling-fixed."""
    hours = fields.afloat_for.to("h") if fields.afloat_for else None
    if fields.state == "ashore":
        yield say(
            "Taken ashore and judged as found; the guides ask for it afloat, 24 to 48 hours after "
            "launching, as a hull changes its shape when it floats, so that afloat the gaps can be "
            "others."
        )
    elif fields.state == "in slings":
        yield say(
            "Taken in slings and judged as found; the guides ask for it afloat, 24 to 48 hours after "
            "launching, as a hull changes its shape when it floats, so that afloat the gaps can be "
            "others."
        )
    elif not fields.state:
        yield say(
            "Whether the boat was afloat is not stated; the guides ask for it afloat, 24 to 48 hours "
            "after launching."
        )
    elif hours is None:
        yield say(
            "How long the boat had been afloat is not stated; the guides ask for it afloat, 24 to 48 "
            "hours after launching."
        )
    elif hours < LEAST_AFLOAT:
        yield say(
            "The boat had been afloat for {time}; the guides ask for it afloat, 24 to 48 hours after "
            "launching.",
            time=fields.afloat_for,
        )
    if fields.laden is False:
        yield say("Tanks and load were not as in use; the guides ask for full tanks and the usual load.")
    elif fields.laden is None:
        yield say("Tanks and load are not told; the guides ask for full tanks and the usual load.")


def _moved(cells: Sequence[Cell], turned: Mapping[str, Sequence[Cell]]) -> tuple[str, float] | None:
    """Give the place where the gap changes most as the shaft's half is turned, and by how much [in]."""
    changes = []
    for place in cells:
        same = [c for found in turned.values() for c in found if c.name == place.name]
        values = [c.quantity.to("in") for c in (place, *same) if c.quantity]
        if place.quantity and len(values) > 1:
            changes.append((place.name, max(values) - min(values)))
    return max(changes, key=lambda pair: pair[1], default=None)


def _run_out(cells: Sequence[Cell], turned: Mapping[str, Sequence[Cell]]) -> Iterator[str]:
    moved = _moved(cells, turned)
    if moved is None:
        yield say(
            "The gaps were not taken again with the shaft's half turned, so that run-out of a "
            "face or of the shaft is not told from misalignment."
        )
        return
    unit = next((c.quantity.unit for c in cells if c.quantity), "in")
    change = f"{units.figures(units.convert(moved[1], 'in', unit), 3)} {unit}"
    yield say(
        "With the shaft's half turned, the gap at one place changes by up to {change}, at {place}.",
        change=change,
        place=term(moved[0]),
    )


def _shows_run_out(cells: Sequence[Cell], turned: Mapping[str, Sequence[Cell]]) -> bool:
    moved = _moved(cells, turned)
    return moved is not None and not units.within(moved[1], FEELER, "maximum")


def _suggests(
    cells: Sequence[Cell], turned: Mapping[str, Sequence[Cell]], judged: Sequence[Judged]
) -> Iterator[str]:
    """Say what the gaps suggest. Source: coupling-per-inch, for what turning tells."""
    if _shows_run_out(cells, turned):
        yield say(
            "A gap that changes as the shaft's half turns, by more than a feeler's step of 0.001 "
            "in, suggests run-out of the face or a bent shaft rather than misalignment; to be "
            "confirmed by a dial indicator."
        )
    elif judging.broken(judged):
        yield say(
            "Faces that stand askew suggest an engine out of line with its shaft, by mounts, by "
            "the hull's shape or by a worn bearing; to be confirmed afloat, before any mount is "
            "moved."
        )


def _criteria() -> tuple[str, ...]:
    """Give published figures that are not judged. Source: coupling-fixed, army-tm-55-1905-220-14."""
    return (
        say("A supplier of marine engines: 0.003 in, for solid and for flexible couplings."),
        say(
            "A maker of marine gearboxes, second-hand: 0.003 in at any point, with faces true "
            "within 0.002 in."
        ),
        say("A how-to page: 0.004 in."),
        say("US Army TM 55-1905-220-14: a feeler of 0.002 in."),
        say(
            "The same for a boat that hogs: 0.005 to 0.007 in may be left at the bottom while the"
            " top keeps 0.002 in."
        ),
        say(
            "Run-out of the shaft, in owners' talk: 0.001 to 0.003 in is called acceptable; no "
            "limit was found."
        ),
    )


def _chart(gaps: Sequence[Thing], turned: Mapping[str, Sequence[Cell]], judged: Sequence[Judged]) -> Chart:
    """Draw the gaps as found, and beside them the ones half a turn on, or another turn where that lacks."""
    unit = gaps[0].unit
    beside = next((d for d in ("180", "90", "270") if d in turned), "")
    shown = [replace(t, name=_place(t.name)) for t in gaps]
    series = [(say("as found"), shown)]
    if beside:
        others = judging.things(turned[beside], "gap", unit)
        series.append(
            (say("at {degrees}°", degrees=beside), [replace(t, name=_place(t.name)) for t in others])
        )
    chart = plots.bars(say("Coupling gaps, {unit}", unit=unit), say("Place"), series, (), unit)
    return replace(chart, alt=plots.said(say("Gaps as found"), shown, judged))


def _slips(
    fields: Fields,
    odd: Sequence[Cell],
    cells: Sequence[Cell],
    turned: Mapping[str, Sequence[Cell]],
) -> Iterator[tuple[str, str]]:
    for cell in odd:
        yield f"{cell.name}: {cell.quantity} can't be right", "write the gap or not taken"
    if fields.diameter and fields.diameter.value <= 0:
        yield f"diameter: {fields.diameter} can't be right", "write the coupling's diameter, such as 5 in"
    names = {c.name for c in cells}
    strange = [c.name for found in turned.values() for c in found if c.name not in names]
    if strange:
        yield f"{listed(dict.fromkeys(strange), 'and')} is no place of gaps:", "use the same places"


KIND = Kind(
    name="coupling",
    title="Shaft coupling",
    measures="How evenly the faces of a shaft coupling meet, by the gap at four places round it.",
    fields=Fields,
    units=("in", "mm", "thou"),
    limits=(PER_INCH,),
    assess=assess,
    proves=(
        "How far the faces stood askew as the boat lay on that day.",
        "Taken again with the shaft's half turned, it tells run-out from misalignment.",
    ),
    proves_not=(
        "It does not show whether the shafts' centres are offset while the faces stand parallel.",
        "Ashore it does not show how the coupling stands afloat.",
        "It does not say why: mounts, hull shape, a bent shaft or a worn bearing all do it.",
    ),
    limit_words=LIMIT_WORDS,
    how="Afloat, bolts out and faces together, feel the gap at four places; turn the shaft's half, repeat.",
    instrument="feeler gauge",
    example="""
kind: coupling
at: main
gaps: {top: 0.003, starboard: 0.005, bottom: 0.008, port: 0.006}
turned 180: {top: 0.003, starboard: 0.006, bottom: 0.008, port: 0.005}
diameter: 5.5 in
state: afloat
afloat for: 50 h
laden: yes
limit: {difference: 0.004 in, source: "invented gearbox manual 6"}
""",
    blank="""
kind: coupling
at:
gaps:
  top:
  starboard:
  bottom:
  port:
diameter:
state:
afloat for:
laden:
""",
    hazards=("moving parts",),
    source_ids=("coupling-per-inch", "coupling-fixed", "army-tm-55-1905-220-14"),
    of_engine=True,
)
