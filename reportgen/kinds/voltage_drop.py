"""Judges how much voltage is lost between source and device, measured under load or computed from the wire.

Method: everything in the circuit switched on, voltage lost in both legs together, from the source to the
device and back; or the loss read off between two voltmeters. Units: V, mV; A; ft, m (there and back).

Limits (drop-share): 3 % of the system's voltage for the circuits that `critical` names, which should be panel
feeders, bilge blowers, electronics and navigation lights; 10 % for all others. A measured loss is judged;
where none was taken but wire, length and current are told, the computed one is, and its name says so. Beside
each stands the wire that would be thick enough. The note's own maximum for all replaces both; one by a
circuit's name stands beside them.

Source: drop-share; wire-drop-formula, wire-gauge-table, wire-sae, wire-iec-60228 (reportgen.wires).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots, units, wires
from reportgen.block import key
from reportgen.cells import Cell, Cells, Column, Row, Shape, Table
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import ListOf, Measure, Text
from reportgen.wording import number, say

CRITICAL, OTHER = "critical circuits", "other circuits"
THREE = general("maximum", 3.0, "%", "maximum", "drop-share", CRITICAL)
TEN = general("maximum", 10.0, "%", "maximum", "drop-share", OTHER)
LIMIT_WORDS = {"maximum": "share"}
COLUMNS = (
    Column("drop", "voltage", "voltage lost under load, both legs", "V"),
    Column("current", "current", "current that flows", "A"),
    Column("length", "length", "length of the wire there and back"),
    Column("wire", "", "size: 12 AWG, 12 SAE, 2/0 or 2.5 mm²"),
)


@dataclass(frozen=True)
class Fields:
    """Keys of a voltage-drop reading."""

    circuits: tuple[Cell, ...] = key(
        Cells("voltage", "V"), share="open", help="voltage lost under load, by circuit", default=()
    )
    system: Quantity | None = key(
        Measure("voltage", "V"), share="open", help="voltage of the system, 12 V if not said"
    )
    critical: tuple[str, ...] = key(
        ListOf(Text()),
        share="open",
        help="circuits held to 3 %: navigation lights, blower and others",
        default=(),
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="another share, for all or by circuit", default=()
    )


@dataclass(frozen=True)
class _Circuit:
    """One circuit: its loss as measured, and what its wire would lose by the formula [V]."""

    name: str
    measured: float | None
    computed: float | None
    why: str = ""
    current: float | None = None
    length: float | None = None
    wire: wires.Wire | None = None


def assess(reading: Reading, about: About) -> Assessment:
    """Judge voltage drops. Source: drop-share where the note gives no figure."""
    fields: Fields = reading.fields
    volts = fields.system.to("V") if fields.system and fields.system.value > 0 else 12.0
    circuits, slips = _circuits(fields, reading.table)
    found = tuple(_thing(each, volts, fields.critical) for each in circuits)
    judged = judging.judge(limits.applying(fields.limit, (THREE, TEN)), found)
    return judging.assessment(
        reading,
        found,
        judged,
        working=tuple(step for each in circuits for step in _steps(each, volts, fields.critical)),
        says=_says(fields, circuits),
        suggests=_suggests(circuits),
        source_ids=_source_ids(circuits),
        values=(("circuits", fields.circuits),) if fields.circuits else (),
        chart=_chart(found, judged),
        warnings=(*slips, *_strangers(fields.critical, circuits)),
    )


def _circuits(
    fields: Fields, table: Table | None
) -> tuple[tuple[_Circuit, ...], tuple[tuple[str, str], ...]]:
    """Give every circuit of fence and table, and a slip for each value that can't be."""
    by_name = tuple(_Circuit(c.name, _volts(c), None, c.why) for c in fields.circuits)
    rows = table.rows if table else ()
    found = (*by_name, *(_row(row, table) for row in rows if table))
    write = "write the loss, or not taken"
    slips = [
        (f"{c.name}: a loss of {units.figures(c.measured, 4)} V can't be right", write)
        for c in found
        if c.measured is not None and c.measured < 0
    ]
    slips += [
        (f"{row.name}: {word.text!r} is no wire", advice)
        for row in rows
        for word in row.words
        if (advice := wires.advice(word.text))
    ]
    kept = (replace(c, measured=None) if c.measured is not None and c.measured < 0 else c for c in found)
    return tuple(kept), tuple(slips)


def _volts(cell: Cell) -> float | None:
    return None if cell.quantity is None else cell.quantity.to("V")


def _row(row: Row, table: Table) -> _Circuit:
    cells = {head.name: cell for head, cell in zip(table.heads, row.cells, strict=True)}

    def value(name: str, unit: str) -> float | None:
        cell = cells.get(name)
        return cell.quantity.to(unit) if cell and cell.quantity else None

    current, length = value("current", "A"), value("length", "ft")
    wire = next((wires.read(w.text) for w in row.words if w.name == "wire" and w.text), None)
    known = current is not None and length is not None and wire is not None
    computed = wires.drop(current, length, wire) if known and current and length and wire else None
    why = cells["drop"].why if "drop" in cells else ""
    return _Circuit(row.name, value("drop", "V"), computed, why, current, length, wire)


def _thing(each: _Circuit, volts: float, critical: Sequence[str]) -> Thing:
    """Give a circuit's loss as a share of the system's voltage [%], the measured one first."""
    of = CRITICAL if each.name in critical else OTHER
    loss = each.computed if each.measured is None else each.measured
    if loss is None:
        return Thing(each.name, None, "%", "", of, each.why)
    share = loss / volts * 100
    name = each.name if each.measured is not None else say("{name}, computed", name=each.name)
    return Thing(name, share, "%", units.figures(share, 3), of)


def _steps(each: _Circuit, volts: float, critical: Sequence[str]) -> Iterator[Step]:
    system = units.figures(volts, 4)
    if each.measured is not None:
        lost = units.figures(each.measured, 4)
        share = units.figures(each.measured / volts * 100, 3)
        yield Step(
            say("{name}, measured", name=each.name),
            say("loss / system × 100"),
            f"{lost} / {system} × 100",
            share,
            "%",
        )
    if each.computed is None or each.wire is None:
        return
    current, length = units.figures(each.current or 0.0, 4), units.figures(each.length or 0.0, 4)
    if each.wire.ohm_km:
        rule = say("current × length × resistance of the cable at 20 °C")
        metres = units.figures(units.convert(each.length or 0.0, "ft", "m"), 4)
        numbers = f"{current} A × {metres} m × {number(each.wire.ohm_km)} Ω/km"
    else:
        rule = say("K × current × length there and back / circular mils")
        area = units.figures(each.wire.area, 5)
        numbers = f"{number('10.75')} × {current} A × {length} ft / {area} ({each.wire.name})"
    yield Step(say("{name}, computed", name=each.name), rule, numbers, units.figures(each.computed, 3), "V")
    allowed = (3.0 if each.name in critical else 10.0) / 100 * volts
    size = wires.size_for(each.current or 0.0, each.length or 0.0, allowed, bool(each.wire.ohm_km))
    said = say("for a loss of {loss} V", loss=units.figures(allowed, 3))
    yield Step(
        say("{name}, thick enough", name=each.name),
        say("thinnest usual wire that loses no more"),
        said,
        size or say("none"),
    )


def _says(fields: Fields, circuits: Sequence[_Circuit]) -> Iterator[str]:
    if fields.system is None:
        yield say("The system's voltage is not stated; taken as 12 V.")
    if circuits and not fields.critical:
        yield say(
            "No circuit is named as critical; all are held to 10 %, where panel feeders, blowers,"
            " electronics and navigation lights are asked to keep 3 %."
        )
    if any(c.measured is None and c.computed is not None for c in circuits):
        yield say("A computed loss is that of sound wire alone: joints, switches and fuses come on top.")


def _suggests(circuits: Sequence[_Circuit]) -> Iterator[str]:
    """Say what a loss far above the wire's own suggests. Common practice, no source."""
    worse = [c.name for c in circuits if c.measured and c.computed and c.measured > 1.5 * c.computed]
    for name in worse:
        yield say(
            "{name} loses much more than its wire alone would: suggests a poor joint, "
            "terminal or switch; to be found with the circuit on, joint by joint.",
            name=f"{name[:1].upper()}{name[1:]}",
        )


def _source_ids(circuits: Sequence[_Circuit]) -> tuple[str, ...]:
    computed = [c for c in circuits if c.computed is not None and c.wire]
    ids = {"wire-iec-60228" if c.wire.ohm_km else "wire-drop-formula" for c in computed if c.wire}
    ids |= {"wire-gauge-table" for c in computed if c.wire and c.wire.name.endswith("AWG")}
    ids |= {"wire-sae" for c in computed if c.wire and c.wire.name.endswith("SAE")}
    return tuple(sorted(ids))


def _strangers(critical: Sequence[str], circuits: Sequence[_Circuit]) -> Iterator[tuple[str, str]]:
    known = {c.name for c in circuits}
    for name in critical:
        if name not in known:
            yield f"critical names {name!r}, which is no circuit here", "use the circuits' own names"


def _chart(found: Sequence[Thing], judged: Sequence[Judged]) -> Chart | None:
    """Give a band a circuit, since two shares are allowed."""
    if not found:
        return None
    return plots.band(
        say("Voltage lost, % of the system"), say("Circuit"), found, judged, "%", say("Voltage lost")
    )


KIND = Kind(
    name="voltage-drop",
    title="Voltage drop",
    measures="How much of the system's voltage is lost on the way to a device and back.",
    fields=Fields,
    units=("V", "mV"),
    limits=(THREE, TEN),
    assess=assess,
    proves=(
        "It shows whether wire, joints and switches of a circuit carry its current without losing too much.",
    ),
    proves_not=(
        "It does not show whether the fuse protects the wire; a thin wire can keep its limit and be hot.",
        "A circuit measured without its full load shows less than it loses in use.",
    ),
    limit_words=LIMIT_WORDS,
    how="Everything in the circuit on, meter from the source to the device, plus and minus side added; or "
    "current, length there and back and wire size, and the loss is computed.",
    instrument="digital voltmeter",
    example="""
kind: voltage-drop
circuits: {bow light: 0.31, sounder: not taken}
system: 12 V
critical: [bow light, blower]

| circuit | drop (V) | current (A) | length (ft) | wire |
|---|---|---|---|---|
| blower | 0.62 | 6.5 | 24 | 14 AWG |
| cabin lights | - | 4 | 38 | 16 AWG |
""",
    blank="""
kind: voltage-drop
system:
critical:

| circuit | drop (V) | current (A) | length (ft) | wire |
|---|---|---|---|---|
| bow light | | | | |
| bilge pump | | | | |
| blower | | | | |
""",
    hazards=("fire",),
    source_ids=("drop-share", "wire-drop-formula", "wire-gauge-table", "wire-iec-60228", "wire-sae"),
    table=Shape("circuit", COLUMNS),
)
