"""Judges whether wires carry their current and whether their fuses protect them, by the rule for small boats.

Method: wire size and insulation read off the jacket, fuse or breaker read off the device, distance along the
wire from the source to it by tape. Units: A; in, mm; °C, °F.

General limits, for circuits under 50 V: a fuse or breaker of at most 150 % of what the wire may carry; one
that stands at most 7 in along the wire from its source, 40 in where it runs in a sheath or enclosure all the
way; a current of at most what the wire may carry. What a wire may carry: the rule's table by gauge and
insulation, for 30 °C; in an engine space times a factor, of which 0.85 for 105 °C was read and the others are
from memory. A wire to the SAE standard is judged as the gauge of its number; metric wire by the next smaller
gauge, by area.

Source: conductor-table, conductor-engine-space, overcurrent-cfr. The rule is for builders of gasoline boats
with inboard engines; it is used here as a yardstick, and the page says so. Starter cables are free of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from reportgen import judging, limits, plots, sources, units, wires
from reportgen.block import key
from reportgen.cells import Column, Row, Shape, Table
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import ListOf, Measure, Text
from reportgen.wires import Wire
from reportgen.wording import say, term

FUSE, LOAD, BARE, SHEATHED = "fuse", "load", "distance", "distance in a sheath"
MOST_FUSE = general("maximum", 150.0, "%", "maximum", "overcurrent-cfr", FUSE)
MOST_LOAD = general("maximum", 100.0, "%", "maximum", "conductor-table", LOAD)
NEAR = general("maximum", 7.0, "in", "maximum", "overcurrent-cfr", BARE)
NEAR_SHEATHED = general("maximum", 40.0, "in", "maximum", "overcurrent-cfr", SHEATHED)
# insulation rated for [°C], the columns of the table
INSULATIONS = (60, 75, 80, 90, 105, 125, 200)
# gauge to what it may carry at 30 °C by insulation [A]; of 4 and 00 only the 105 °C figures were read
TABLE: Mapping[str, tuple[int, ...]] = {
    "18": (10, 10, 15, 20, 20, 25, 25),
    "16": (15, 15, 20, 25, 25, 30, 35),
    "14": (20, 20, 25, 30, 35, 40, 45),
    "12": (25, 25, 35, 40, 45, 50, 55),
    "10": (40, 40, 50, 55, 60, 70, 70),
    "8": (55, 65, 70, 70, 80, 90, 100),
    "6": (80, 95, 100, 100, 120, 125, 135),
    "4": (105, 125, 130, 135, 160, 170, 180),
    "3": (120, 145, 150, 155, 180, 195, 210),
    "2": (140, 170, 175, 180, 210, 225, 240),
    "1": (165, 195, 210, 210, 245, 265, 280),
    "0": (195, 230, 245, 245, 285, 305, 325),
    "00": (225, 265, 285, 285, 330, 355, 370),
    "000": (260, 310, 330, 330, 385, 410, 430),
    "0000": (300, 360, 385, 385, 445, 475, 510),
}
# insulation to the factor for 50 °C; 0.85 was read, the others are from memory
ENGINE_SPACE = dict(zip(INSULATIONS, (0.58, 0.75, 0.78, 0.82, 0.85, 0.89, 1.0), strict=True))
LIMIT_WORDS = {"maximum": ""}
NAMES: dict[str, tuple[str, str | None]] = {
    FUSE: ("share", None),
    LOAD: ("share", None),
    BARE: ("length", "in"),
    SHEATHED: ("length", "in"),
}
COLUMNS = (
    Column("wire", "", "size: 12 AWG, 12 SAE, 2/0 or 2.5 mm²"),
    Column("insulation", "temperature", "what the insulation is rated for", "°C"),
    Column("load", "current", "current that flows", "A"),
    Column("fuse", "current", "rating of fuse or breaker", "A"),
    Column("distance", "length", "along the wire from its source to the fuse", "in"),
)


@dataclass(frozen=True)
class Fields:
    """Keys of a check of conductors and overcurrent protection, beside its table."""

    system: Quantity | None = key(
        Measure("voltage", "V"), share="open", help="voltage of the system, 12 V if not said"
    )
    engine_space: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="circuits whose wire runs through the engine space", default=()
    )
    sheathed: tuple[str, ...] = key(
        ListOf(Text()), share="open", help="circuits in a sheath all the way to the fuse", default=()
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="other figures with their source", default=()
    )


def gauge_of(wire: Wire) -> str:
    """Give the gauge that a wire is judged as, the next smaller one for metric; empty if it is too thin."""
    if wire.number:
        return wire.number
    fits = [n for n in wires.NUMBERS if units.within(wire.area, wires.awg_area(n), "minimum")]
    return fits[-1] if fits else ""


def carries(gauge: str, insulation: float, engine_space: bool = False) -> float | None:
    """Give what a gauge may carry with an insulation rated for so much [°C], [A]; None beyond the table.

    An insulation between two columns counts as the lower. Source: conductor-table, conductor-engine-space.
    """
    column = max((at for at, rated in enumerate(INSULATIONS) if rated <= insulation + 1e-6), default=None)
    if gauge not in TABLE or column is None:
        return None
    factor = ENGINE_SPACE[INSULATIONS[column]] if engine_space else 1.0
    return TABLE[gauge][column] * factor


def assess(reading: Reading, about: About) -> Assessment:
    """Judge wires and fuses. Source: conductor-table, overcurrent-cfr where the note gives no figure."""
    fields: Fields = reading.fields
    table = reading.table or Table()
    low = fields.system is None or fields.system.to("V") < 50.0
    made = [_circuit(row, table, fields) for row in table.rows]
    found = tuple(thing for things, _ in made for thing in things)
    generals = (MOST_FUSE, MOST_LOAD, NEAR, NEAR_SHEATHED) if low else ()
    judged = judging.judge(limits.applying(fields.limit, generals), found)
    return judging.assessment(
        reading,
        found,
        judged,
        lacking="" if low else say("the rule's figures are for circuits under 50 V"),
        working=tuple(step for _, steps in made for step in steps),
        says=_says(fields, table),
        criteria=(say("72 in from a battery ({source})", source=sources.get("overcurrent-council")),)
        if found
        else (),
        source_ids=("overcurrent-council", *(("conductor-engine-space",) if fields.engine_space else ())),
        chart=_chart(found, judged),
        warnings=_slips(fields, table),
    )


def _circuit(row: Row, table: Table, fields: Fields) -> tuple[tuple[Thing, ...], tuple[Step, ...]]:
    """Give what is judged of one circuit, and how it comes about."""
    cells = {head.name: cell.quantity for head, cell in zip(table.heads, row.cells, strict=True)}
    wire = next((wires.read(w.text) for w in row.words if w.name == "wire" and w.text), None)
    hot = row.name in fields.engine_space
    insulation = cells.get("insulation")
    most = carries(gauge_of(wire), insulation.to("°C"), hot) if wire and insulation else None
    steps: list[Step] = []
    if wire and insulation and most is not None:
        cooler, hotter = (
            say("table by gauge and insulation"),
            say("table by gauge and insulation, times the factor for an engine space"),
        )
        rule = hotter if hot else cooler
        numbers = say(
            "{wire} as {gauge} AWG, {insulation}",
            wire=wire.name,
            gauge=gauge_of(wire),
            insulation=insulation,
        )
        steps.append(
            Step(say("{name}, may carry", name=term(row.name)), rule, numbers, units.figures(most, 4), "A")
        )
    things: list[Thing] = []
    for of in (FUSE, LOAD):
        if of in cells:
            thing, step = _share(row.name, of, cells[of], most)
            things.append(thing)
            steps += [step] if step else []
    if "distance" in cells:
        of = SHEATHED if row.name in fields.sheathed else BARE
        quantity = cells["distance"]
        value = quantity.to("in") if quantity else None
        printed = "" if value is None else units.figures(value, 4)
        things.append(Thing(f"{row.name}, distance", value, "in", printed, of))
    return tuple(things), tuple(steps)


def _share(name: str, of: str, amperes: Quantity | None, most: float | None) -> tuple[Thing, Step | None]:
    """Give fuse or load as a share of what the wire may carry [%]; not taken where one is missing."""
    label = f"{name}, {of}"
    if amperes is None or not most:
        return Thing(label, None, "%", "", of), None
    share = amperes.to("A") / most * 100
    printed = units.figures(share, 3)
    numbers = f"{amperes} / {units.figures(most, 4)} A × 100"
    return Thing(label, share, "%", printed, of), Step(
        f"{term(name)}, {term(of)}", say("{of} / may carry × 100", of=term(of)), numbers, printed, "%"
    )


def _says(fields: Fields, table: Table) -> Iterator[str]:
    yield say("The rule is for builders of gasoline boats, here a yardstick. Starter cables are free of it.")
    if fields.system is None:
        yield say("The system's voltage is not stated; taken as under 50 V.")
    if fields.engine_space:
        yield say(
            "Of the factors for an engine space only 0.85 for 105 °C was read; the others are from memory."
        )
    if table.rows and not fields.engine_space:
        yield say("No circuit is said to run through the engine space, where a wire may carry less.")
    if any(w.name == "wire" and "mm" in w.text for r in table.rows for w in r.words):
        yield say("Metric wire is judged as the next smaller gauge; the rule itself knows gauges only.")


def _slips(fields: Fields, table: Table) -> Iterator[tuple[str, str]]:
    known = {row.name for row in table.rows}
    for row in table.rows:
        for word in row.words:
            if word.name == "wire" and (advice := wires.advice(word.text)):
                yield f"{row.name}: {word.text!r} is no wire", advice
    for where, names in (("engine space", fields.engine_space), ("sheathed", fields.sheathed)):
        for name in names:
            if name not in known:
                yield f"{where} names {name!r}, which is no circuit here", "use the circuits' own names"


def _chart(found: Sequence[Thing], judged: Sequence[Judged]) -> Chart | None:
    """Give fuses and loads as shares in their bands; distances are left to the table below."""
    shares = [t for t in found if t.unit == "%"]
    if not shares:
        return None
    of_shares = [j for j in judged if j.limit.unit == "%"]
    return plots.band(
        say("Fuse and load, % of what the wire may carry"), say("Circuit"), shares, of_shares, "%"
    )


KIND = Kind(
    name="conductor",
    title="Wires and fuses",
    measures="Whether each wire may carry its current, and whether its fuse is small and near enough.",
    fields=Fields,
    units=("A", "in", "mm"),
    limits=(MOST_FUSE, MOST_LOAD, NEAR, NEAR_SHEATHED),
    limits_for="Shares are of what the wire may carry; distances are along the wire from its source "
    "of power.",
    assess=assess,
    proves=("It shows whether size, insulation, fuse and its place agree with the rule's table.",),
    proves_not=(
        "It does not show chafe, corroded joints, a poor crimp or a wire bundled with many others.",
        "Marking can be wrong or gone; a wire without marking is not judged.",
    ),
    limit_words=LIMIT_WORDS,
    how="Batteries switched off; size and temperature read off the jacket, rating off fuse or breaker, "
    "distance along the wire by tape.",
    instrument="tape, lamp and wire gauge",
    example="""
kind: conductor
system: 12 V
engine space: [bilge blower]
sheathed: [panel feed]

| circuit | wire | insulation (°C) | load (A) | fuse (A) | distance (in) |
|---|---|---|---|---|---|
| bilge blower | 14 AWG | 105 | 6.5 | 50 | 6 |
| panel feed | 6 AWG | 105 | 62 | 100 | 31 |
| sounder | 16 AWG | 105 | 1.2 | 5 | 12 |
""",
    blank="""
kind: conductor
system:
engine space:
sheathed:

| circuit | wire | insulation (°C) | load (A) | fuse (A) | distance (in) |
|---|---|---|---|---|---|
| panel feed | | | | | |
| bilge pump | | | | | |
| bilge blower | | | | | |
""",
    hazards=("fire", "electric shock"),
    source_ids=("conductor-table", "conductor-engine-space", "overcurrent-cfr", "overcurrent-council"),
    table=Shape("circuit", COLUMNS),
)
