"""Gives what was seen inside each cylinder by borescope, in words, with its photos; nothing is measured.

Method: plug or injector out, piston down, scope turned to walls, crown, valves and their seats. In the fence
`cylinders` by number with words, or a table with what was seen, a photo and a remark. What stands before the
first comma is counted: clean, light marks, scoring, rust, pitting, water, wash, carbon, damage or others.
Units: none.

Limits: none; what is seen has no number and nobody publishes a limit, so that no limit applies. A cylinder
that was not looked at is said.

Source: borescope-bulletin (read it together with a pressure test); borescope-yacht (what it can reveal, and
that it takes judgement). What words suggest is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from reportgen import cylinders, judging, plots
from reportgen.block import key
from reportgen.cells import Cell, Column, Shape, Table, Word, Words
from reportgen.chart import Chart
from reportgen.chart import Table as Printed
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Kind, Step
from reportgen.model import Reading
from reportgen.values import Text
from reportgen.wording import all_of, later, later_in, say, say_in, term

CLEAN = later_in("name", "clean")
LIGHT = later_in("name", "light marks")
ALL = later("Borescope of {taken} of {seen} cylinders: {told}.")
SOME = later("Borescope of {taken} of {seen} cylinders: {told}; not taken: {gaps}.")
# what was seen to what it suggests and how that is confirmed: common practice, no source
SIGNS: Mapping[str, str] = {
    later_in("name", "scoring"): later(
        "{cylinders}, scoring: suggests a piston, ring or pin that has rubbed, or a run without oil"
        " or cooling; to be confirmed by compression and leak-down tests."
    ),
    later_in("name", "rust"): later(
        "{cylinders}, rust: suggests water or damp that stood in the cylinder; to be confirmed by "
        "leak-down, and a look at exhaust and head gasket."
    ),
    later_in("name", "pitting"): later(
        "{cylinders}, pitting: suggests water that stood there long, or burning; to be confirmed by"
        " leak-down tests and a look after cleaning."
    ),
    later_in("name", "water"): later(
        "{cylinders}, water: suggests a leak from head gasket, exhaust or after-cooler; to be "
        "confirmed by leak-down and cooling-pressure tests before the engine is turned by its "
        "starter."
    ),
    later_in("name", "wash"): later(
        "{cylinders}, wash: suggests fuel that washes oil off the wall, or water that cleans the "
        "crown; to be confirmed by leak-down and fuel tests."
    ),
    later_in("name", "carbon"): later(
        "{cylinders}, carbon: suggests oil that gets in, or long running at low load; to be "
        "confirmed by compression test and oil analysis."
    ),
    later_in("name", "damage"): later(
        "{cylinders}, damage: suggests something loose that was in the cylinder, or a valve that "
        "was struck; to be confirmed by taking the head off."
    ),
}


@dataclass(frozen=True)
class Fields:
    """Keys of a look into the cylinders."""

    cylinders: tuple[Word, ...] = key(
        Words(f"{listed((CLEAN, LIGHT, *SIGNS))} or other words", lambda text: ""),
        share="open",
        help="what was seen by cylinder, without a table",
        default=(),
    )
    through: str = key(Text(), share="open", help="where the scope went in, such as plug holes", default="")
    reached: str = key(Text(), share="open", help="what the scope could show of each cylinder", default="")


def assess(reading: Reading, about: About) -> Assessment:
    """Give what was seen. Source: none for a limit."""
    fields: Fields = reading.fields
    table = reading.table or Table()
    count = about.engine.cylinders if about.engine else None
    seen = _complete(_seen(table) or fields.cylinders, count)
    taken = [word for word in seen if word.text]
    return judging.assessment(
        reading,
        tuple(_thing(word) for word in seen),
        (),
        lacking=say("what a borescope shows is words and photos, and nobody publishes a limit for them"),
        working=_working(seen),
        says=_says(taken, fields),
        suggests=_suggests(taken),
        source_ids=KIND.source_ids,
        chart=_chart(seen, table),
        warnings=_slips(reading, seen, count),
    )


def _seen(table: Table) -> tuple[Word, ...]:
    return tuple(Word(row.name, w.text, w.why) for row in table.rows for w in row.words)


def _complete(seen: Sequence[Word], count: int | None) -> tuple[Word, ...]:
    """Give the words in order of cylinder, with those that the engine has and nobody named as not taken."""
    if not seen:
        return ()
    named = {word.name: word for word in seen}
    order = cylinders.complete(tuple(Cell(name) for name in named), count)
    return tuple(named.get(cell.name, Word(cell.name)) for cell in order)


def _thing(word: Word) -> Thing:
    """Give a cylinder as a thing that was taken or not; it has no size that a limit could be for."""
    name = say("cylinder {name}", name=word.name) if re.match(r"\d", word.name) else word.name
    return Thing(name, 1.0 if word.text else None, "", word.text, "seen", word.why)


def _counts(taken: Sequence[Word]) -> dict[str, int]:
    """Give how many cylinders show each thing, clean ones first."""
    order = dict.fromkeys(sorted((w.gist for w in taken), key=lambda gist: gist != CLEAN))
    return {gist: sum(w.gist == gist for w in taken) for gist in order}


def _working(seen: Sequence[Word]) -> Iterator[Step]:
    taken = [word for word in seen if word.text]
    told = ", ".join(f"{term(gist)} {number}" for gist, number in _counts(taken).items())
    yield Step(
        say("cylinders by what was seen"),
        say("count"),
        told,
        say("{taken} of {seen}", taken=len(taken), seen=len(seen)),
    )


def _says(taken: Sequence[Word], fields: Fields) -> Iterator[str]:
    for word in taken:
        if word.gist != CLEAN:
            yield f"{_called([word.name])}: {word.text.rstrip('.')}."
    yield say(
        "A bulletin of a maker of aircraft engines asks that a borescope be used together "
        "with a pressure test of the cylinders, not instead of one."
    )
    if not fields.reached:
        yield say(
            "What the scope could show of each cylinder is not stated; valves and lower walls often hide."
        )
    if any(word.gist in SIGNS for word in taken):
        yield say("What such marks suggest is common practice, no source.")


def _called(names: Sequence[str]) -> str:
    words = cylinders.called(names)
    return f"{words[:1].upper()}{words[1:]}"


def _suggests(taken: Sequence[Word]) -> Iterator[str]:
    """Say what was seen suggests: common practice, no source."""
    for sign, text in SIGNS.items():
        if names := [word.name for word in taken if word.gist == sign]:
            yield say(text, cylinders=_called(names))


def _chart(seen: Sequence[Word], table: Table) -> Chart | None:
    taken = [word for word in seen if word.text]
    if not taken:
        return None
    counts = _counts(taken)
    gaps = [word.name for word in seen if not word.text]
    text = SOME if gaps else ALL
    told = ", ".join(f"{number} {term(gist)}" for gist, number in counts.items())
    return Chart(
        "counts",
        say("Cylinders by what was seen"),
        say(text, taken=len(taken), seen=len(seen), told=told, gaps=all_of(map(term, gaps))),
        {"rows": tuple({"label": term(gist), "count": number} for gist, number in counts.items())},
        _printed(seen, table),
    )


def _printed(seen: Sequence[Word], table: Table) -> Printed:
    remarks = {row.name: row.remark for row in table.rows if row.remark}
    rows = tuple(
        (
            w.name,
            w.text or say_in("outcome", plots.NOT_TAKEN),
            *((remarks.get(w.name, "-"),) if remarks else ()),
        )
        for w in seen
    )
    return Printed((say("Cylinder"), term("seen"), *((say("remark"),) if remarks else ())), rows)


def _slips(reading: Reading, seen: Sequence[Word], count: int | None) -> Iterator[tuple[str, str]]:
    if strange := cylinders.beyond((Cell(word.name) for word in seen), count):
        yield f"{cylinders.called(strange)} of an engine with {count}", "correct the numbers or the engine"
    if reading.table and reading.table.rows and reading.fields.cylinders:
        yield "cylinders beside a table", "keep one; where both are there, the table counts"


KIND = Kind(
    name="borescope",
    title="Borescope of the cylinders",
    measures="What could be seen of walls, pistons and valves inside each cylinder.",
    fields=Fields,
    units=(),
    limits=(),
    assess=assess,
    proves=("What was seen is there, and its photos show where and how much of it.",),
    proves_not=(
        "What was not seen is not proven sound: the scope shows a part of each cylinder, and no fine crack.",
        "It does not show how well a cylinder holds pressure, nor the bearings below.",
        "How bad a mark is takes the eye of a mechanic; light and distance change how it looks.",
    ),
    limit_words={},
    how="Engine cool and kept from starting, piston down, look at wall, crown and valves, and take photos.",
    instrument="borescope with camera",
    example="""
kind: borescope
at: main
through: plug holes
reached: walls to the lower third, crowns, exhaust valves
| cylinder | seen | remark |
|---|---|---|
| 1 | clean | |
| 2 | clean | |
| 3 | scoring, thrust side | catches a light from the side |
| 4 | not taken: plug would not turn | |
""",
    blank="""
kind: borescope
at:
through:
reached:
| cylinder | seen | photo | remark |
|---|---|---|---|
| 1 | | | |
| 2 | | | |
| 3 | | | |
| 4 | | | |
""",
    hazards=("moving parts", "hot parts"),
    source_ids=("borescope-bulletin", "borescope-yacht"),
    table=Shape(
        "cylinder",
        (Column("seen", "", f"words: {listed((CLEAN, LIGHT, *SIGNS))} or other words"),),
    ),
    of_engine=True,
    no_source="What a borescope shows is words and photos, and nobody publishes a limit for them.",
)
