"""Gives how much of each anode is left, in percent of a new one.

Method: by eye, or better by weight against a new one, loose scale off. Unit: percent of the new anode that is
left, not that is gone.

Limits: when to replace is common practice without a standard: most guides say when half is gone, others when
40 % is left, so both are listed and neither is judged. The note's `minimum` is judged. That an anode is of
the wrong alloy for its water is said.

Source: anode-half-gone (shown), anode-alloy (shown).
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
from reportgen.units import figures
from reportgen.values import OneOf
from reportgen.wording import all_of, say, term

HALF, WORN = 50.0, 40.0  # shares left at which the guides ask for a new one [%]
FULL = 100.0
ALLOYS, WATERS = ("zinc", "aluminium", "magnesium"), ("sea", "brackish", "fresh")
LIMIT_WORDS = {"minimum": "share"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of anodes."""

    anodes: tuple[Cell, ...] = key(
        Cells("share", "%"), share="open", help="percent of the new anode left, by place", default=()
    )
    judged_by: str = key(OneOf(("eye", "weight")), share="open", help="how it was found", default="")
    alloy: str = key(OneOf(ALLOYS), share="open", help="alloy of the anodes", default="")
    water: str = key(OneOf(WATERS), share="open", help="water that the boat lies in", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="least share left, with its source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge what is left of anodes by the note's figure only. Source: none for a limit."""
    fields: Fields = reading.fields
    cells, slips = _sensible(fields.anodes)
    found = judging.things(cells, unit="%")
    judged = judging.judge(limits.written(fields.limit), found)
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say(
            "when to replace an anode is common practice, no standard was found, and the report gives none"
        ),
        working=_working(found),
        says=_says(fields, found),
        suggests=_suggests(found),
        criteria=_criteria(),
        source_ids=KIND.source_ids,
        values=(("anodes", fields.anodes),),
        chart=_chart(found, judged) if found else None,
        warnings=slips,
    )


def _chart(found: Sequence[Thing], judged: Sequence[Judged]) -> Chart:
    """Draw what is left beside a new anode's whole length, so that 40 % doesn't look like all of it."""
    drawn = plots.bars(say("Anode left, % of a new one"), say("Anode"), [(say("left"), found)], judged, "%")
    return replace(drawn, data={**drawn.data, "scale": (0, FULL)})


def _sensible(cells: Sequence[Cell]) -> tuple[tuple[Cell, ...], tuple[tuple[str, str], ...]]:
    """Take shares below nothing or above all out as not taken, and say so."""
    odd = [c for c in cells if c.quantity and not 0 <= c.quantity.value <= FULL]
    kept = tuple(
        replace(c, quantity=None, why=say("{value} can't be right", value=c.quantity)) if c in odd else c
        for c in cells
    )
    write = "write the percent that is left, 0 to 100"
    return kept, tuple((f"{c.name}: {c.quantity} can't be right", write) for c in odd)


def _working(found: Sequence[Thing]) -> Iterator[Step]:
    for each in found:
        if each.value is not None:
            gone = figures(FULL - each.value, 4)
            yield Step(
                say("gone of {name}", name=term(each.name)),
                say("100 − left"),
                f"100 - {each.printed}",
                gone,
                "%",
            )


def _says(fields: Fields, found: Sequence[Thing]) -> Iterator[str]:
    known = [t for t in found if t.value is not None]
    if low := [t.name for t in known if t.value is not None and t.value <= WORN]:
        yield say(
            "At or below 40 % left, where every guide read asks for a new one: {low}.",
            low=all_of(map(term, low)),
        )
    if half := [t.name for t in known if t.value is not None and WORN < t.value <= HALF]:
        yield say(
            "Half gone or more, where most guides read ask for a new one: {half}.",
            half=all_of(map(term, half)),
        )
    if fields.judged_by != "weight":
        yield (
            say("What is left is an estimate by eye.")
            if fields.judged_by
            else say("Not stated: by eye or by weight.")
        )
    if fields.alloy == "magnesium" and fields.water in ("sea", "brackish"):
        yield say("Magnesium is for fresh water only; in the sea it goes fast and can protect too much.")
    if fields.alloy == "zinc" and fields.water == "fresh":
        yield say("Zinc is for the sea; in fresh water guides ask for magnesium.")
    if missing := [
        n for n, v in ((say("the alloy"), fields.alloy), (say("the water"), fields.water)) if not v
    ]:
        yield say("Not stated: {missing}.", missing=all_of(missing))


def _suggests(found: Sequence[Thing]) -> Iterator[str]:
    unused = [t.name for t in found if t.value == FULL]
    if unused:
        yield say(
            "Nothing gone of {unused} suggests a new, painted or unconnected anode; to be "
            "confirmed by its date and by the resistance from anode to metal.",
            unused=all_of(map(term, unused)),
        )
    if spent := [t.name for t in found if t.value == 0]:
        yield say(
            "Nothing left of {spent} suggests that the metal near it has wasted instead; to be "
            "confirmed by a close look at it.",
            spent=all_of(map(term, spent)),
        )


def _criteria() -> Iterator[str]:
    yield say("Most guides of divers and sellers: replace when half is gone (common practice, no standard).")
    yield say("Others: replace when 40 % is left (common practice, no standard).")


KIND = Kind(
    name="anodes",
    title="Anodes",
    measures="How much of each anode is left to protect the metal round it.",
    fields=Fields,
    units=("%",),
    limits=(),
    assess=assess,
    proves=("An anode that wastes is connected and has worked.",),
    proves_not=(
        "It does not show since when: a fast anode and an old one look alike.",
        "An anode that has not wasted is no good sign: it may not be connected.",
    ),
    limit_words=LIMIT_WORDS,
    how="Ashore, brush each anode clean, compare it with a new one by eye or scale, and shake it.",
    instrument="eye, or a scale and the weight of a new one",
    example="""
kind: anodes
anodes: {shaft: 35 %, rudder: 60 %, trim tab: 100 %}
judged by: eye
alloy: zinc
water: sea
limit: {minimum: 50 %, source: "invented yard standard 12, anodes"}
""",
    blank="kind: anodes\nanodes:\n  shaft:\n  rudder:\n  hull:\njudged by:\nalloy:\nwater:",
    source_ids=("anode-half-gone", "anode-alloy"),
    no_source="When to replace one is common practice, no source; guides differ between half and 40 % left.",
)
