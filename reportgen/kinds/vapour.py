"""Judges fuel or gas vapour in the spaces of a boat, in percent of the concentration that can explode.

Method: a meter for combustible gas held low in each space, where vapour heavier than air gathers, before the
blower has run and with nothing switched; the highest value counts. Units: % of the lower explosive limit.

General limit: 10 % of the lower explosive limit, above which a space counts as hazardous (vapour-osha). Any
vapour is named whatever the figure: in a boat with gasoline or cooking gas there should be none.

Source: vapour-osha; that there should be none: common practice, no source. The note's maximum replaces it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots
from reportgen.block import key
from reportgen.cells import Cell, Cells
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.values import Text, YesNo
from reportgen.wording import say

HAZARDOUS = general("maximum", 10.0, "%", "maximum", "vapour-osha")
LIMIT_WORDS = {"maximum": "share"}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of vapour."""

    spaces: tuple[Cell, ...] = key(
        Cells("share", "%"), share="open", help="percent of the lower explosive limit by space", default=()
    )
    gas: str = key(Text(), share="open", help="what the meter was set to", default="")
    blower_run: bool | None = key(YesNo(), share="open", help="whether the blower had run before")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="another limit with its source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge vapour by space. Source: vapour-osha where the note gives no figure."""
    fields: Fields = reading.fields
    found, slips = _found(fields.spaces)
    judged = judging.judge(limits.applying(fields.limit, (HAZARDOUS,)), found)
    return judging.assessment(
        reading,
        found,
        judged,
        says=_says(fields),
        suggests=_suggests(found),
        values=(("spaces", fields.spaces),),
        chart=_chart(found, judged),
        warnings=slips,
    )


def _found(cells: Sequence[Cell]) -> tuple[tuple[Thing, ...], tuple[tuple[str, str], ...]]:
    """Give the spaces as things; a value below zero is a meter that was not zeroed, and not taken."""
    found, slips = [], []
    for each in judging.things(cells, unit="%"):
        if each.value is not None and each.value < 0:
            slips.append((f"{each.name}: {each.words} can't be right", "write the value or not taken"))
            found.append(replace(each, value=None, why=say("{value} can't be right", value=each.words)))
        else:
            found.append(each)
    return tuple(found), tuple(slips)


def _says(fields: Fields) -> Iterator[str]:
    if not fields.gas:
        yield say("What gas the meter was set to is not stated.")
    if fields.blower_run:
        yield say("The blower had run before, so that a low value shows little.")
    elif fields.blower_run is None:
        yield say("Whether the blower had run before is not stated.")


def _suggests(found: Sequence[Thing]) -> Iterator[str]:
    """Say that any vapour has a source. Common practice, no source."""
    there = [t.name for t in found if t.value]
    if there:
        yield say(
            "Any vapour suggests a leak or spilt fuel nearby; switch nothing, let air in, and "
            "have it traced before anything is started."
        )


def _chart(found: Sequence[Thing], judged: Sequence[Judged]) -> Chart | None:
    if not found:
        return None
    return plots.bars(
        say("Vapour, % of the explosive limit"),
        say("Space"),
        [(say("found"), found)],
        judged,
        "%",
        say("Vapour"),
    )


KIND = Kind(
    name="vapour",
    title="Fuel or gas vapour",
    measures="How near the air in each space is to what can explode.",
    fields=Fields,
    units=("%",),
    limits=(HAZARDOUS,),
    limits_for="They are shares of the lower explosive limit; with gasoline or cooking gas aboard the "
    "meter should show nothing at all.",
    assess=assess,
    proves=("It shows whether vapour was in the places measured at that time.",),
    proves_not=(
        "No vapour is no promise: a leak may show only under pressure, when warm, or after filling.",
        "It does not replace a fixed vapour detector, nor smelling the bilge before each start.",
    ),
    limit_words=LIMIT_WORDS,
    how="Before the blower is run and before anything is switched: probe held low in each space, slowly, and "
    "the highest value noted; leave at once if the meter alarms.",
    instrument="combustible gas meter",
    example="""
kind: vapour
spaces: {engine space: 3 %, tank space: 18 %, cabin bilge: 0 %}
gas: gasoline
blower run: no
""",
    blank="kind: vapour\nspaces:\n  engine space:\n  tank space:\ngas:\nblower run:",
    hazards=("explosion",),
    unanswered="stop",
    source_ids=("vapour-osha",),
)
