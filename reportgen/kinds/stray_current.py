"""Gives the direct current in a bonding wire with one circuit on at a time, to find the one that leaks.

Method: boat afloat, bonding wire taken off, meter in series; first with everything off, then circuit by
circuit. Unit: mA of direct current; the sign gives the direction, the size is judged. Where `all off` is
given, the rise of each circuit is its change from there.

Limits: no standard was found. Two guides name about 1 mA, one of them for another place to measure; they are
listed, not judged. The note's figures are judged: `maximum` of the current, `difference` of the rise.

Source: stray-current-guides (shown).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity, figures
from reportgen.values import Measure, OneOf
from reportgen.wording import all_of, later_in, say, term

GUIDES = 1.0  # from which the guides ask to look for the cause [mA]
RISE = f", {later_in('name', 'rise over all off')}"
LIMIT_WORDS = {"maximum": "current", "difference": "current"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of stray current."""

    circuits: tuple[Cell, ...] = key(
        Cells("current", "mA"), share="open", help="current with one circuit on, by circuit", default=()
    )
    all_off: Quantity | None = key(Measure("current"), share="open", help="current with every circuit off")
    shore_lead: str = key(OneOf(("in", "out")), share="open", help="shore lead in or out", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the surveyor's figures with their source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge stray currents by the note's figures only. Source: none for a limit."""
    fields: Fields = reading.fields
    baseline = (Cell("all off", fields.all_off),) if fields.all_off else ()
    off = judging.things(baseline, unit="mA")
    signed = (*off, *judging.things(fields.circuits, unit="mA"))
    found = tuple(_size(t) for t in signed)
    rises = tuple(_rises(signed, off[0].value if off else None))
    own = limits.written(fields.limit)
    judged = (
        *judging.judge((li for li in own if li.word == "maximum"), found),
        *judging.judge((li for li in own if li.word == "difference"), rises),
    )
    asked = any(li.word == "difference" for li in own) and not off
    return judging.assessment(
        reading,
        (*found, *rises),
        judged,
        lacking=say("the report's difference needs the current with every circuit off")
        if asked
        else say("no standard gives a figure, and the report gives none"),
        working=(*judging.converted(fields.circuits, "mA"), *_working(signed, rises)),
        says=_says(fields, found),
        suggests=_suggests(rises),
        criteria=_criteria(),
        source_ids=KIND.source_ids,
        # what flows with all off comes first: without it a circuit's current says nothing of the circuit
        values=(("circuits", (*baseline, *fields.circuits)),),
        chart=_chart(found, rises, judged) if found else None,
    )


def _size(each: Thing) -> Thing:
    """Give a current without its direction."""
    if each.value is None or each.value >= 0:
        return each
    return replace(each, value=-each.value, printed=each.printed.removeprefix("-"))


def _rises(signed: Sequence[Thing], off: float | None) -> Iterator[Thing]:
    """Give the size of each circuit's change from everything off [mA]."""
    if off is None:
        return
    for each in signed[1:]:
        rise = None if each.value is None else abs(each.value - off)
        yield Thing(f"{each.name}{RISE}", rise, "mA", "", each.name, "", each.below)


def _chart(found: Sequence[Thing], rises: Sequence[Thing], judged: Sequence[Judged]) -> Chart:
    """Draw the size of each current, and beside it the rise where the one with all off is known."""
    series: list[tuple[str, Sequence[Thing]]] = [(say("size"), found)]
    if rises:
        # with all off there is nothing to rise from
        none = Thing("all off", 0.0, "mA")
        series.append((say("rise"), (none, *(replace(t, name=t.of) for t in rises))))
    shown = [replace(j, where=tuple(n.removesuffix(RISE) for n in j.where)) for j in judged]
    return plots.bars(say("Current in the bonding wire, mA"), say("Circuit on"), series, shown, "mA")


def _working(signed: Sequence[Thing], rises: Sequence[Thing]) -> Iterator[Step]:
    known = [t for t in signed if t.value is not None]
    if known:
        worst = max(known, key=lambda t: abs(t.value or 0.0))
        size = figures(abs(worst.value or 0.0), 4)
        yield Step(
            say("largest current, {name}", name=term(worst.name)),
            say("size without sign"),
            worst.words,
            size,
            "mA",
        )
    for each, rise in zip(signed[1:], rises, strict=False):
        if rise.value is not None:
            off = signed[0].printed
            text = f"{each.printed} - ({off})" if (signed[0].value or 0.0) < 0 else f"{each.printed} - {off}"
            yield Step(
                say("rise by {name}", name=term(each.name)),
                say("circuit on − all off, without sign"),
                text,
                rise.words,
                "",
            )


def _says(fields: Fields, found: Sequence[Thing]) -> Iterator[str]:
    if over := [t.name for t in found if t.value is not None and t.value > GUIDES]:
        yield say(
            "Above the 1 mA from which two guides ask to look for the cause: {names}.",
            names=all_of(map(term, over)),
        )
    if fields.all_off is None:
        yield say("The current with every circuit off is not stated, so that what each adds is not known.")
    if not fields.shore_lead:
        yield say("Not stated: whether the shore lead was in.")
    yield say("An anode's own protective current flows in the same wire and is part of the reading.")


def _suggests(rises: Sequence[Thing]) -> Iterator[str]:
    named = [t.of for t in rises if t.value is not None and t.value > GUIDES and not t.below]
    if named:
        yield say(
            "The rise with {named} suggests a leak of current in that wiring, such as wet "
            "connections in the bilge; to be confirmed by a marine electrician.",
            named=all_of(named),
        )


def _criteria() -> Iterator[str]:
    yield say("A magazine: anything near 1 mA between bonding wire and through-hull fitting is too much.")
    yield say(
        "A seller of propellers: below 1 mA at the battery with all off is usual, more is to be traced."
    )


KIND = Kind(
    name="stray-current",
    title="Stray current",
    measures="How much direct current flows in a bonding wire, circuit by circuit.",
    fields=Fields,
    units=("mA", "A"),
    limits=(),
    assess=assess,
    proves=("A rise with one circuit on shows that current leaves it by way of the bonding.",),
    proves_not=(
        "No current on that day does not show that a pump or switch that was dry then never leaks.",
        "It says nothing of alternating current in the water, which can kill and is tested otherwise.",
    ),
    limit_words=LIMIT_WORDS,
    how="Afloat, meter in series with the bonding wire: all off, then each circuit alone.",
    instrument="multimeter for direct current, mA range",
    example="""
kind: stray-current
circuits: {bilge pump: 3.4, cabin lights: 0.3, radio: not taken}
all off: 0.2 mA
shore lead: out
limit: {difference: 1 mA, source: "invented yard standard 12, corrosion"}
""",
    blank="kind: stray-current\ncircuits:\n  bilge pump:\n  cabin lights:\nall off:\nshore lead:",
    hazards=("electric shock",),
    source_ids=("stray-current-guides",),
    no_source="No standard was found that limits it; two guides name 1 mA and differ in where they measure.",
)
