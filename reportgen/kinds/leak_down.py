"""Shows what share of the air each cylinder loses, judged only by the maker's figure.

Method: each cylinder at top dead centre gets air at a known supply pressure through a restrictor; what is
lost is read as percent, or the pressure that the cylinder holds is read on a second gauge:
percent lost = (supply - held) / supply. Units: %, or psi, kPa, bar for the pair of gauges.

No standards body publishes a limit for marine engines. The bands that the trade uses differ from source
to source: they are shown and not judged. The aircraft circular's 60 of 80 psi is named as from another
field and not applied.

Source: leak-down-study-page for where the air comes out; bands: leak-down-trade-enthusiast,
leak-down-trade-boating, leak-down-study-page, and one that is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from reportgen import cylinders, sources, units
from reportgen.block import key
from reportgen.bounds import beside
from reportgen.cells import Cell, Cells
from reportgen.chart import Chart, Table
from reportgen.cylinders import ENGINE_TEMPERATURE, called, printed
from reportgen.errors import listed
from reportgen.judging import outcomes, things
from reportgen.kind import About, Assessment, Judged, Kind, Step, overall
from reportgen.limits import Limit, Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import ListOf, MapOf, Measure, OneOf
from reportgen.wording import later, number, say, say_n

LIMIT_WORDS = {"maximum": "share"}
# where the air is heard or seen, and what that suggests; Source: leak-down-study-page
ESCAPES = {
    "intake": later("an inlet valve that does not seal"),
    "exhaust": later("an exhaust valve that does not seal"),
    "oil filler": later("worn rings or bore"),
    "coolant": later("the head gasket or a crack"),
    "next cylinder": later("the head gasket between the two"),
}
# Used by the trade, never judged; each with its source, empty for common practice without one.
BANDS = (
    (later("under 5 % good, 8 to 10 % a concern on a tight engine"), "leak-down-trade-enthusiast"),
    (later("10 to 15 % generally acceptable"), "leak-down-trade-boating"),
    (later("loss should not exceed 10 to 20 %"), "leak-down-study-page"),
    (later("0 to 10 % good, 10 to 20 % fair, 20 to 30 % poor, over 30 % in need of repair"), ""),
)
AIRCRAFT = later(
    "another field, not applied: an aircraft engine's cylinder that holds less than 60 of 80 psi comes off"
)
# where the air comes out, as a sentence names it
SEEN = {
    "intake": later("air at the intake"),
    "exhaust": later("air at the exhaust"),
    "oil filler": later("air at the oil filler"),
    "coolant": later("bubbles in the coolant"),
    "next cylinder": later("air in the next cylinder"),
}


EXAMPLE = """
kind: leak-down
unit: psi
supply: 100
held: {1: 94, 2: 71, 3: 93, 4: 95}
escapes: {2: exhaust}
engine temperature: warm
conditions: pistons held at top dead centre
limit: {maximum: 20 %, source: invented manual 7B}
"""


@dataclass(frozen=True)
class Fields:
    """Keys of a leak-down reading: percent lost by cylinder, or pressure held at the supply's pressure."""

    cylinders: tuple[Cell, ...] = key(
        Cells("share"), share="open", help="percent lost by cylinder", default=()
    )
    held: tuple[Cell, ...] = key(
        Cells("pressure"), share="open", help="pressure held by cylinder, instead of percent", default=()
    )
    supply: Quantity | None = key(Measure("pressure"), share="open", help="pressure of the air supplied")
    escapes: Mapping[str, tuple[str, ...]] | None = key(
        MapOf(ListOf(OneOf(tuple(ESCAPES))), "cylinder"), share="open", help="where the air comes out"
    )
    engine_temperature: str | Quantity | None = key(
        ENGINE_TEMPERATURE, share="open", help="warm, cold or a temperature"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, by_name=False),
        share="open",
        help="the maker's figure with its source",
        default=(),
    )


@dataclass(frozen=True)
class _Lost:
    """Percent lost by cylinder with the missing ones, the steps that led there, and slips of the note."""

    cells: tuple[Cell, ...]
    steps: tuple[Step, ...]
    slips: tuple[tuple[str, str], ...]

    @property
    def values(self) -> Mapping[str, float]:
        return cylinders.values_in(self.cells, "%")

    @property
    def missing(self) -> tuple[str, ...]:
        return tuple(c.name for c in self.cells if c.quantity is None)


def assess(reading: Reading, about: About) -> Assessment:
    """Show a leak-down reading and judge it by the note's maximum, if it has one.

    reading: with this kind's Fields. about: engine, for the number of cylinders.
    Source: the note's own for a limit; there is no general one.
    """
    fields: Fields = reading.fields
    lost = _lost(fields, about)
    limits, slips = _limits(fields.limit)
    judged = tuple(_judge(limit, lost) for limit in limits)
    outcome = overall(judged) if lost.values else "not taken"
    return Assessment(
        outcome=outcome,
        because=_because(outcome, judged, lost, reading, fields),
        judged=judged,
        working=(*lost.steps, *_working(lost, judged)),
        says=tuple(_says(lost, fields, reading)),
        suggests=tuple(_suggests(fields.escapes or {})),
        criteria=tuple(_criteria()),
        source_ids=KIND.source_ids,
        values=(("cylinders", lost.cells), *((("held", fields.held),) if fields.held else ())),
        chart=_chart(lost, judged) if lost.values else None,
        outcomes=outcomes(things(lost.cells), judged),
        warnings=(*lost.slips, *slips, *_stray(fields.escapes or {}, lost)),
    )


def _lost(fields: Fields, about: About) -> _Lost:
    """Give percent lost by cylinder, as written or from the pair of gauges."""
    count = about.engine.cylinders if about.engine else None
    written, steps, slips = _from_gauges(fields)
    twice = tuple(c.name for c in fields.cylinders if c.name in cylinders.by_name(written))
    if twice:
        slips += ((f"{called(twice)} both as percent and as held", "keep one of the two; percent was used"),)
    named = cylinders.by_name((*written, *fields.cylinders))
    cells, odd = cylinders.sensible(named.values(), 0, 100)
    for cell in odd:
        slips += ((f"{called([cell.name])}: a loss of {cell.quantity} can't be", "write 0 to 100 %"),)
    cells = cylinders.complete(cells, count)
    beyond = cylinders.beyond(cells, count)
    if beyond:
        slips += (
            (f"{called(beyond)} beyond the engine's number", "correct cylinders: here or under engines"),
        )
    return _Lost(cells, tuple(s for s in steps if s.step not in map(_lost_step, twice)), slips)


def _lost_step(name: str) -> str:
    return say("cylinder {name}, lost", name=name)


def _from_gauges(fields: Fields) -> tuple[tuple[Cell, ...], tuple[Step, ...], tuple[tuple[str, str], ...]]:
    """Give percent lost from supply and held pressure, unrounded; not taken where the supply isn't known."""
    if not fields.held:
        return (), (), ()
    supply = fields.supply
    if supply is None or supply.value <= 0:
        blank = tuple(Cell(c.name, None, c.why or say("no supply pressure")) for c in fields.held)
        return blank, (), (("held pressures without supply pressure", "write supply: 100 psi"),)
    cells, steps = [], []
    for cell in fields.held:
        if cell.quantity is None:
            cells.append(cell)
            continue
        same = cell.quantity.unit == supply.unit
        held = cell.quantity.value if same else Decimal(repr(cell.quantity.to(supply.unit)))
        share = (supply.value - held) / supply.value * 100
        percent = Quantity(Decimal(f"{share.normalize():f}"), "%")  # 7 and not 7.00
        cells.append(Cell(cell.name, percent))
        text = printed(cell, supply.unit)
        steps.append(
            Step(
                _lost_step(cell.name),
                say("(supply − held) / supply × 100"),
                f"({number(supply.value)} - {text}) / {number(supply.value)} × 100",
                units.figures(float(percent.value), 4),
                "%",
            )
        )
    return tuple(cells), tuple(steps), ()


def _limits(notes: Iterable[NoteLimit]) -> tuple[list[Limit], list[tuple[str, str]]]:
    """Give the note's limits, and a warning for each that every engine would keep or break."""
    kept, warnings = [], []
    for note in notes:
        for word, quantity in note.words.items():
            if isinstance(quantity, Quantity) and 0 < quantity.value < 100:
                value = float(quantity.value)
                kept.append(Limit(word, value, quantity.unit, "maximum", note.source, "", "note"))
            else:
                found = f"a {word} of {quantity} can't be a limit, so it was not used"
                warnings.append((found, "write the figure of the maker's manual"))
    return kept, warnings


def _judge(limit: Limit, lost: _Lost) -> Judged:
    """Hold every cylinder against a maximum [%]; one breach is outside, else one gap is not taken."""
    where = tuple(name for name, value in lost.values.items() if not limit.keeps(value))
    worst = max(lost.values.values(), default=None)
    outcome = "outside" if where else "not taken" if lost.missing or worst is None else "within"
    return Judged(limit, worst, outcome, where)


def _working(lost: _Lost, judged: Iterable[Judged]) -> Iterator[Step]:
    if lost.values:
        every = ", ".join(printed(c, "%") for c in lost.cells if c.quantity)
        worst = max(lost.values.values())
        text = next((beside(worst, j.limit) for j in judged), units.figures(worst, 4))
        yield Step(say("most lost"), say("highest of the cylinders"), every, text, "%")


def _because(outcome: str, judged: Iterable[Judged], lost: _Lost, reading: Reading, fields: Fields) -> str:
    if outcome == "no limit applies":
        return say(
            "No limit applies: no standards body publishes one, and the report gives no maker's figure."
        )
    if not lost.values:
        if reading.not_taken:
            return say("Not taken: {why}.", why=reading.not_taken)
        return say("The supply pressure is not stated.") if fields.held else say("No cylinder was taken.")
    if outcome == "not taken":
        return say(
            "Not taken on {missing}, so not all is judged; those taken keep the limit.",
            missing=called(lost.missing),
        )
    said = "; ".join(_sentence(j) for j in judged if j.outcome == outcome)
    return f"{said[:1].upper()}{said[1:]}."


def _sentence(judged: Judged) -> str:
    limit = judged.limit
    value, asked = beside(judged.value or 0.0, limit), _bound(judged)
    if not judged.where:
        return say(
            "most lost is {value} %, at most {asked} is asked by {source}",
            value=value,
            asked=asked,
            source=limit.source,
        )
    return say(
        "most lost is {value} % ({cylinders}), at most {asked} is asked by {source}",
        value=value,
        cylinders=called(judged.where),
        asked=asked,
        source=limit.source,
    )


def _bound(judged: Judged) -> str:
    return f"{units.figures(judged.limit.value, 4)} %"


def _says(lost: _Lost, fields: Fields, reading: Reading) -> Iterator[str]:
    for cell in lost.cells:
        if cell.quantity is None:
            name = called([cell.name])
            yield say("Not taken: {why}.", why=f"{name}, {cell.why}" if cell.why else name)
    if fields.supply is None and lost.values:
        yield say(
            "The supply pressure is not stated; percentages at different pressures compare only roughly."
        )
    # common practice, no source
    asks = say("The trade takes it on a warm engine, each piston held at the top of its compression stroke")
    yield from cylinders.prepared(
        fields.engine_temperature, reading.conditions, say("the trade's figures"), asks
    )


def _suggests(escapes: Mapping[str, tuple[str, ...]]) -> Iterator[str]:
    """Say what the way out of the air suggests. Source: leak-down-study-page."""
    for name, ways in escapes.items():
        for way in ways:
            yield say(
                "Cylinder {name}, {seen}: suggests {cause}; to be confirmed by opening up.",
                name=name,
                seen=say(SEEN[way]),
                cause=say(ESCAPES[way]),
            )


def _criteria() -> Iterator[str]:
    for words, id in BANDS:
        yield f"{say(words)} ({sources.get(id) if id else say('common practice, no source')})"
    yield f"{say(AIRCRAFT)} ({sources.get('leak-down-aircraft')})"


def _stray(escapes: Mapping[str, tuple[str, ...]], lost: _Lost) -> Iterator[tuple[str, str]]:
    names = tuple(name for name in escapes if name not in cylinders.by_name(lost.cells))
    if names:
        yield f"escapes name {listed(names, 'and')}", "use the names of cylinders: or held:"


def _chart(lost: _Lost, judged: Iterable[Judged]) -> Chart:
    outside = tuple(dict.fromkeys(name for j in judged for name in j.where))
    shown = {c.name: c for c in lost.cells}
    lines = [
        (
            j.limit.value,
            say("maximum {value}, {source}", value=_bound(j), source=j.limit.source),
            "maximum",
            j.limit.source,
        )
        for j in judged
    ]
    values = lost.values.values()
    low, high = units.figures(min(values), 4), units.figures(max(values), 4)
    said = (
        say("Outside: {outside}.", outside=called(outside))
        if outside
        else say("None outside.")
        if judged
        else say("No limit applies.")
    )
    alt = say_n(
        "Leak-down, {n} cylinder: {low} to {high} % lost. {said}",
        "Leak-down, {n} cylinders: {low} to {high} % lost. {said}",
        len(shown),
        low=low,
        high=high,
        said=said,
    )
    if lost.missing:
        alt = f"{alt} {say('Not taken: {why}.', why=called(lost.missing))}"
    header = (say("Cylinder"), say("lost (%)"))
    table = Table(header, tuple((c.name, printed(c, "%")) for c in lost.cells))
    title = say("Air lost by each cylinder, %")
    return cylinders.bars(title, alt, "%", [(say("lost"), shown)], lines, outside, table)


KIND = Kind(
    name="leak-down",
    title="Leak-down",
    measures="What share of the air put into each cylinder at rest is lost, and where it comes out.",
    fields=Fields,
    units=("%", "psi", "kPa", "bar"),
    limits=(),
    assess=assess,
    proves=(
        "It shows how much each cylinder leaks at rest with its valves closed.",
        "Where the air comes out tells valves, rings and head gasket apart, as compression alone can't.",
    ),
    proves_not=(
        "It says nothing of bearings, valve timing, cooling, exhaust, ignition or fuel.",
        "It looks at one piston position only; wear elsewhere in the bore stays unseen.",
        "Testers differ in restrictor and pressure: percentages from two testers compare only roughly.",
        "A low loss is no proof of a sound engine.",
    ),
    limit_words=LIMIT_WORDS,
    how="Piston held at top dead centre, air at a known pressure through the plug hole; listen at intake, "
    "exhaust, oil filler and coolant.",
    instrument="leak-down tester",
    example=EXAMPLE,
    blank="kind: leak-down\nunit: psi\nsupply:\nheld:\nescapes:\nengine temperature:\nconditions:",
    of_engine=True,
    extra=True,
    hazards=("moving parts",),
    source_ids=(
        "leak-down-aircraft",
        "leak-down-study-page",
        "leak-down-trade-boating",
        "leak-down-trade-enthusiast",
    ),
)
