"""Judges the gaps of spark plugs by the maker's figures, and tells how even they are and what they look like.

Method: plugs out and laid in order, gap by wire gauge, resistance from terminal to centre electrode by
ohmmeter where it is asked for, colour of the insulator by eye and photo. Units: length for the gap (in, mm),
resistance (kΩ, Ω). In the fence `plugs` and `colours` by cylinder, or a table with gap, resistance, colour.

Limits: gap and resistance belong to one engine and its plug, so that only the maker's in the note are judged:
`minimum`, `maximum`, `within`, for the gap or by name for gap and resistance. Evenness is told, not judged.
Colours are words: what manuals say of them is shown as a suggestion. Those read are for four-stroke engines.

Source: plug-colour-manuals; plug-colour-boating (water). No source for a limit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from reportgen import cylinders, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Cells, Column, Shape, Table, Word, Words
from reportgen.chart import Chart
from reportgen.chart import Table as Printed
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step, overall
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.values import Text
from reportgen.wording import all_of, later, later_in, say, say_in, term

LIMIT_WORDS = {"minimum": "length", "maximum": "length", "within": "length"}
NAMES: dict[str, tuple[str, str | None]] = {"gap": ("length", "in"), "resistance": ("resistance", "kΩ")}
NORMAL = (
    later_in("colour", "tan"),
    later_in("colour", "light brown"),
    later_in("colour", "brown"),
    later_in("colour", "grey"),
    "gray",
)
# colour or deposit to what it suggests, and how that is confirmed; the first four by plug-colour-manuals
SIGNS: Mapping[str, tuple[str, str]] = {
    later_in("colour", "sooty"): (
        later("a mixture too rich, air that does not come in, weak ignition or poor compression"),
        later("looking at the air intake and by a compression test"),
    ),
    later_in("colour", "oily"): (
        later("oil or fuel in the chamber, as from worn rings, bores or valve guides, or too much choke"),
        later("compression and leak-down tests"),
    ),
    later_in("colour", "white"): (
        later(
            "running very hot: a lean mixture, air drawn in, wrong timing or a plug of the wrong heat range"
        ),
        later("looking at fuel supply, timing and cooling before the engine is run hard"),
    ),
    later_in("colour", "worn"): (
        later("a plug at the end of its life"),
        later("new plugs of the maker's type"),
    ),
    later_in("colour", "water"): (
        later("water in the cylinder, as from a head gasket or from the exhaust"),
        later("leak-down and cooling-pressure tests before the engine is run"),
    ),
}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of spark plugs."""

    plugs: tuple[Cell, ...] = key(
        Cells("length", "in"), share="open", help="gap by cylinder, without a table", default=()
    )
    colours: tuple[Word, ...] = key(
        Words(f"{listed((*NORMAL[:4], *SIGNS))} or other words", lambda text: ""),
        share="open",
        help="colour by cylinder, without a table",
        default=(),
    )
    plug: str = key(Text(), share="open", help="type marked on the plugs", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="the maker's figures with their source", default=()
    )


@dataclass(frozen=True)
class _Found:
    """What was found: gaps and resistances by cylinder, colours, and what is impossible as written."""

    gaps: tuple[Cell, ...]
    resistances: tuple[Cell, ...]
    colours: tuple[Word, ...]
    odd: tuple[Cell, ...]
    remarks: Mapping[str, str]


def assess(reading: Reading, about: About) -> Assessment:
    """Judge gaps and resistances by the note alone. Source: none for a limit."""
    fields: Fields = reading.fields
    count = about.engine.cylinders if about.engine else None
    found = _found(reading, count)
    gaps = judging.things(found.gaps, "gap", _unit(found.gaps, "in"))
    ohms = tuple(
        replace(t, name=f"{t.name}, resistance")
        for t in judging.things(found.resistances, "resistance", _unit(found.resistances, "kΩ"))
    )
    by_gap, by_ohms = _judged(fields, gaps, ohms)
    return judging.assessment(
        reading,
        (*gaps, *ohms, *(_seen(word) for word in found.colours)),
        (*by_gap, *by_ohms),
        reason=_reason((*by_gap, *by_ohms), found.colours),
        lacking=say(
            "gap and resistance belong to one engine and plug, and the report gives no figure of the maker"
        ),
        working=_working(found, gaps),
        says=_says(found, gaps, about),
        suggests=_suggests(found),
        source_ids=KIND.source_ids,
        values=tuple(
            (name, cells)
            for name, cells in (("plugs", found.gaps), (later_in("name", "resistances"), found.resistances))
            if cells
        ),
        chart=_chart(found, gaps, ohms, by_gap, by_ohms),
        warnings=_slips(reading, found, count),
    )


def _found(reading: Reading, count: int | None) -> _Found:
    """Take values from the table, else from the fence, with cylinders that are missing as not taken."""
    fields: Fields = reading.fields
    table = reading.table or Table()
    gaps, odd = cylinders.sensible(_column(table, "gap") or fields.plugs, 0.0, None)
    ohms, odd_ohms = cylinders.sensible(_column(table, "resistance"), 0.0, None)
    told = tuple(Word(row.name, w.text, w.why) for row in table.rows for w in row.words)
    return _Found(
        cylinders.complete(gaps, count) if gaps else (),
        cylinders.complete(ohms, count) if ohms else (),
        told or fields.colours,
        (*odd, *odd_ohms),
        {row.name: row.remark for row in table.rows if row.remark},
    )


def _column(table: Table, name: str) -> tuple[Cell, ...]:
    """Give a column by cylinder; where it is there for two engines, by engine and cylinder."""
    return tuple(
        replace(cell, name=f"{head.of} {row.name}".strip())
        for head, cells in table.columns(name)
        for row, cell in zip(table.rows, cells, strict=True)
    )


def _unit(cells: Sequence[Cell], other: str) -> str:
    return next((c.quantity.unit for c in cells if c.quantity), other)


def _judged(
    fields: Fields, gaps: Sequence[Thing], ohms: Sequence[Thing]
) -> tuple[tuple[Judged, ...], tuple[Judged, ...]]:
    """Hold gaps and resistances each against their own limits; one without a name is for the gap."""
    own = limits.written(fields.limit)
    for_ohms = [li for li in own if li.of == "resistance"]
    for_gaps = [li for li in own if li.of != "resistance"]
    return judging.judge(for_gaps, gaps), judging.judge(for_ohms, ohms)


def _reason(judged: Sequence[Judged], colours: Sequence[Word]) -> str:
    """Give the outcome's sentence with cylinders named as such, empty where the usual one will do.

    Where the figures are kept by a plug that looks odd, it says that only they have limits.
    """
    outcome = overall(tuple(judged))
    if outcome not in ("outside", "within"):
        return ""
    told = [
        replace(j, name=_cylinder(j.name), where=tuple(_cylinder(n) for n in j.where))
        for j in judged
        if j.outcome == outcome
    ]
    said = "; ".join(dict.fromkeys(judging.sentences(told)))
    odd = [word.name for word in colours if word.text and word.gist not in NORMAL]
    if outcome == "within" and odd:
        only = later("Only the gap has a limit, not the look of {cylinders}: {said}.")
        if any(j.limit.of == "resistance" for j in judged):
            only = later("Only gap and resistance have limits, not the look of {cylinders}: {said}.")
        return say(only, cylinders=cylinders.called(odd), said=said)
    return f"{said[:1].upper()}{said[1:]}."


def _cylinder(name: str) -> str:
    return say("cylinder {name}", name=term(name)) if name[:1].isdigit() else name


def _seen(word: Word) -> Thing:
    """Give a colour as a thing that was taken or not; it has no size that a limit could be for."""
    name = f"{word.name}, {later_in('name', 'colour')}"
    return Thing(name, 1.0 if word.text else None, "", word.text, "colour", word.why)


def _working(found: _Found, gaps: Sequence[Thing]) -> Iterator[Step]:
    taken = [t for t in gaps if t.value is not None]
    if taken:
        yield from judging.converted(found.gaps, taken[0].unit)
    if len(taken) > 1:
        high, low = max(taken, key=_value), min(taken, key=_value)
        values = f"{high.printed} - {low.printed}"
        result = units.figures(_value(high) - _value(low), 4)
        yield Step(
            say("largest minus smallest gap"), say("largest gap − smallest gap"), values, result, high.unit
        )
    if told := [word for word in found.colours if word.text]:
        counts = {word.gist: sum(w.gist == word.gist for w in told) for word in told}
        values = ", ".join(f"{number} {say_in('colour', gist)}" for gist, number in counts.items())
        share = say("{some} of {all} looked at", some=len(told), all=len(found.colours))
        yield Step(say("plugs by colour"), say("count"), values, share)


def _value(each: Thing) -> float:
    return each.value or 0.0


def _says(found: _Found, gaps: Sequence[Thing], about: About) -> Iterator[str]:
    taken = [t for t in gaps if t.value is not None]
    if len(taken) > 1:
        high, low = max(taken, key=_value), min(taken, key=_value)
        if _value(high) > _value(low):
            yield say(
                "Gaps: from {low}, cylinder {first}, to {high}, cylinder {last}.",
                low=low.words,
                first=low.name,
                high=high.words,
                last=high.name,
            )
        else:
            yield say("All gaps that were taken are {gap}.", gap=high.words)
    told = [word for word in found.colours if word.text]
    if normal := [word.name for word in told if word.gist in NORMAL]:
        yield say("{cylinders}: a colour that manuals call normal.", cylinders=_of(normal))
    others = [word for word in told if word.gist not in (*NORMAL, *SIGNS)]
    if others:
        named = all_of(say("{colour} on {name}", colour=word.text, name=word.name) for word in others)
        yield say("Not explained here: {named}.", named=named)
    if told and (about.engine is None or about.engine.strokes != 4):
        yield say(
            "What is said of colours is for four-stroke engines; a two-stroke burns oil and its "
            "plugs are darker (common practice, no source)."
        )


def _of(names: Sequence[str]) -> str:
    words = cylinders.called(names)
    return f"{words[:1].upper()}{words[1:]}"


def _suggests(found: _Found) -> Iterator[str]:
    """Say what deposits suggest. Source: plug-colour-manuals, plug-colour-boating."""
    for sign, (cause, confirmed) in SIGNS.items():
        names = [word.name for word in found.colours if word.gist == sign]
        if names:
            yield say(
                "{cylinders}, {sign}: suggests {cause}; to be confirmed by {confirmed}.",
                cylinders=_of(names),
                sign=say_in("colour", sign),
                cause=say(cause),
                confirmed=say(confirmed),
            )


def _chart(
    found: _Found,
    gaps: Sequence[Thing],
    ohms: Sequence[Thing],
    by_gap: Sequence[Judged],
    by_ohms: Sequence[Judged],
) -> Chart | None:
    if any(t.value is not None for t in gaps):
        chart = _bars(say("Spark plug gap"), "gap", gaps, by_gap)
    elif any(t.value is not None for t in ohms):
        chart = _bars(say("Spark plug resistance"), "resistance", ohms, by_ohms)
    else:
        return _counts(found)
    return replace(chart, table=_printed(found, {*judging.broken(by_gap), *judging.broken(by_ohms)}))


def _bars(title: str, name: str, found: Sequence[Thing], judged: Sequence[Judged]) -> Chart:
    # all bars are of the one measure, so that a limit by its name is a line for all of them
    lines = [replace(j, limit=replace(j.limit, of="")) for j in judged]
    unit = next(t.unit for t in found if t.value is not None)
    return plots.bars(f"{title}, {unit}", say("Cylinder"), [(term(name), found)], lines, unit, title)


def _counts(found: _Found) -> Chart | None:
    told = [word for word in found.colours if word.text]
    if not told:
        return None
    counts = {word.gist: sum(w.gist == word.gist for w in told) for word in told}
    words = ", ".join(f"{number} {say_in('colour', gist)}" for gist, number in counts.items())
    rows = tuple({"label": say_in("colour", gist), "count": number} for gist, number in counts.items())
    title, alt = say("Spark plugs by colour"), say("Spark plugs by colour: {counts}.", counts=words)
    return Chart("counts", title, alt, {"rows": rows}, _printed(found, set()))


def _printed(found: _Found, outside: set[str]) -> Printed:
    """Give a row a cylinder with whatever was taken of it; what lies outside is marked by word."""
    gaps, ohms = cylinders.by_name(found.gaps), cylinders.by_name(found.resistances)
    told = {word.name: word.text for word in found.colours}
    names = dict.fromkeys((*gaps, *ohms, *told))
    unit, ohm = _unit(found.gaps, "in"), _unit(found.resistances, "kΩ")

    def row(name: str) -> Iterator[str]:
        yield name
        if gaps:
            yield plots.marked(cylinders.printed(gaps.get(name), unit), name in outside)
        if ohms:
            yield plots.marked(cylinders.printed(ohms.get(name), ohm), f"{name}, resistance" in outside)
        if told:
            text = told.get(name)
            yield say_in("colour", text) if text else say_in("outcome", "not taken")
        if found.remarks:
            yield found.remarks.get(name, "-")

    heads = (
        say("Cylinder"),
        *((say("gap ({unit})", unit=unit),) if gaps else ()),
        *((say("resistance ({ohm})", ohm=ohm),) if ohms else ()),
        *((say("colour"),) if told else ()),
        *((say("remark"),) if found.remarks else ()),
    )
    return Printed(heads, tuple(tuple(row(name)) for name in names))


def _slips(reading: Reading, found: _Found, count: int | None) -> Iterator[tuple[str, str]]:
    for cell in found.odd:
        yield f"{cell.name}: {cell.quantity} can't be right", "write the figure or not taken"
    if strange := cylinders.beyond((*found.gaps, *found.resistances), count):
        yield f"{cylinders.called(strange)} of an engine with {count}", "correct the numbers or the engine"
    fields: Fields = reading.fields
    if reading.table and reading.table.rows and (fields.plugs or fields.colours):
        yield "plugs or colours beside a table", "keep one; where both give a value, the table is judged"


KIND = Kind(
    name="spark-plugs",
    title="Spark plugs",
    measures="The gap of each spark plug, how even the gaps are, and what each plug looks like.",
    fields=Fields,
    units=("in", "mm", "thou", "kΩ", "Ω"),
    limits=(),
    assess=assess,
    proves=(
        "What the plugs were like that were in the engine on the day.",
        "One that looks unlike the others points to its cylinder.",
    ),
    proves_not=(
        "A colour does not say why; it is read together with compression and leak-down.",
        "New or cleaned plugs show nothing of how the engine ran before.",
        "A plug looks as the engine ran last, which may have been a long idle at the dock.",
    ),
    limit_words=LIMIT_WORDS,
    how="Let the engine cool, take the plugs out in order, measure each gap, and photograph them in a row.",
    instrument="wire gauge, ohmmeter where resistance is asked for",
    example="""
kind: spark-plugs
at: main
plug: invented type N4
limit: {within: {gap: [0.033 in, 0.037 in], resistance: [3 kΩ, 7.5 kΩ]}, source: "invented manual 2C"}
| cylinder | gap (in) | resistance (kΩ) | colour | remark |
|---|---|---|---|---|
| 1 | 0.035 | 4.9 | tan | |
| 2 | 0.036 | 5.2 | tan | |
| 3 | 0.042 | 5.0 | oily, black | thread oily too |
| 4 | 0.035 | 5.1 | light brown | |
""",
    blank="""
kind: spark-plugs
at:
plug:
| cylinder | gap (in) | resistance (kΩ) | colour |
|---|---|---|---|
| 1 | | | |
| 2 | | | |
| 3 | | | |
| 4 | | | |
""",
    hazards=("hot parts",),
    source_ids=("plug-colour-manuals", "plug-colour-boating"),
    table=Shape(
        "cylinder",
        (
            Column("gap", "length", "of the electrodes", "in"),
            Column("resistance", "resistance", "from terminal to centre electrode", "kΩ"),
            Column("colour", "", f"of the insulator: {listed((*NORMAL[:4], *SIGNS))} or other words"),
        ),
    ),
    of_engine=True,
    no_source="Gap and resistance belong to one engine and its plug, so that only its maker's figures count.",
)
