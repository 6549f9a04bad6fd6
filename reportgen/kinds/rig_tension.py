"""Gives how hard each stay and shroud is pulled, and whether port and starboard of a pair agree.

Method: gauge on each wire, boat afloat and upright, no sail, little wind. Units: force
(N, kN, lbf, kgf) or percent of the wire's breaking load. Where the table gives tension and breaking load the
share is their quotient; breaking loads are the note's, from the wire's maker: the one table found in the open
gives metric wires the loads of thicker inch wires, so that it is not used. The difference of a pair is
(higher - lower) / higher; two rows whose names differ only by port and starboard are a pair.

Limits: figures belong to one mast or boat, so that only the maker's in the note are judged: `minimum`,
`maximum`, `within` in percent of breaking load, `least force`, `most force`, and `difference` of a pair; each
for all wires or by name, a pair by its name without the side.

Source: rig-tension-spar-maker (shown, not judged); rig-tension-even (no allowance given).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from reportgen import judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Column, Head, Row, Shape, Table
from reportgen.chart import Chart
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limit, Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Text
from reportgen.wording import all_of, later_in, say, term

SIDES = (later_in("name", "port"), later_in("name", "starboard"))
PAIR = f", {later_in('name', 'port against starboard')}"
SHARES = ("minimum", "maximum")  # limit words of a share; `within` becomes one of each
FORCES = ("least force", "most force")
LIMIT_WORDS = {
    "minimum": "share",
    "maximum": "share",
    "within": "share",
    "difference": "share",
    "least force": "force",
    "most force": "force",
}


@dataclass(frozen=True)
class Fields:
    """Keys of a reading of rig tension; the wires stand in the table."""

    wire: str = key(Text(), share="open", help="kind of wire or rod, such as 1x19 stainless", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the mast or boat maker's figures, with source", default=()
    )


@dataclass(frozen=True)
class Wire:
    """One wire as measured: its row's name, the pair it is of, its side, force and share of breaking load."""

    name: str
    pair: str
    side: str
    force: Thing
    share: Thing


def assess(reading: Reading, about: About) -> Assessment:
    """Judge tensions by the note's figures only. Source: none for a limit."""
    fields: Fields = reading.fields
    table, slips = _sensible(reading.table)
    wires = tuple(_wire(row, table) for row in table.rows)
    own = limits.written(fields.limit)
    shares = tuple(w.share for w in wires)
    pairs = tuple(_pairs(wires))
    judged = (
        *judging.judge((li for li in own if li.word in SHARES), shares),
        *judging.judge((li for li in own if li.word in FORCES), tuple(w.force for w in wires)),
        *judging.judge((li for li in own if li.word == "difference"), pairs),
    )
    shown = tuple(w.force if w.force.value is not None else w.share for w in wires)
    asked = any(li.word in SHARES for li in own)
    unshared = [w.share for w in wires if asked and w.share.value is None and w.force.value is not None]
    return judging.assessment(
        reading,
        (*shown, *unshared, *(p for p in pairs if p.value is not None)),
        judged,
        lacking=say("tension belongs to one mast and boat, and the report gives no figure of its maker"),
        working=_working(table, wires, pairs),
        says=_says(wires, pairs, fields),
        suggests=_suggests(pairs, judged),
        criteria=_criteria(),
        source_ids=KIND.source_ids,
        chart=_chart(table, wires, judged),
        warnings=(*slips, *_strangers(own, wires)),
    )


def _strangers(own: Sequence[Limit], wires: Sequence[Wire]) -> Iterator[tuple[str, str]]:
    known = {"", *(w.name for w in wires), *(w.pair for w in wires)}
    if strange := list(dict.fromkeys(li.of for li in own if li.of not in known)):
        yield f"limit names {listed(strange, 'and')}, which the table has not", "use the names of the wires"


def _cell(row: Row, name: str, table: Table) -> Cell | None:
    return next((c for c, h in zip(row.cells, table.heads, strict=True) if h.name == name), None)


def _sensible(table: Table | None) -> tuple[Table, tuple[tuple[str, str], ...]]:
    """Take impossible figures out as not taken: below zero, no breaking load, as much as breaks the wire."""
    if table is None:
        return Table(), ()
    slips: list[tuple[str, str]] = []

    def kept(row: Row, cell: Cell, name: str) -> Cell:
        if cell.quantity is None or _possible(row, cell.quantity, name, table):
            return cell
        slips.append((f"{cell.name}: {cell.quantity} can't be right", "write the figure or not taken"))
        return replace(cell, quantity=None, why=say("{value} can't be right", value=cell.quantity))

    rows = tuple(
        replace(
            row,
            cells=tuple(kept(row, c, h.name) for c, h in zip(row.cells, table.heads, strict=True)),
        )
        for row in table.rows
    )
    return replace(table, rows=rows), tuple(slips)


def _possible(row: Row, quantity: Quantity, name: str, table: Table) -> bool:
    if name == "breaking load":
        return quantity.value > 0
    if name == "share":
        return 0 <= quantity.value < 100
    breaking = _cell(row, "breaking load", table)
    most = breaking.quantity.to("N") if breaking and breaking.quantity else float("inf")
    return quantity.value >= 0 and (most <= 0 or quantity.to("N") < most)


def _wire(row: Row, table: Table) -> Wire:
    """Give a row as a wire; its share is as read, else force by breaking load, else a gap."""
    words = row.name.split()
    side = next((w.lower() for w in words if w.lower() in SIDES), "")
    pair = " ".join(w for w in words if w.lower() not in SIDES) if side else row.name
    force, share = _cell(row, "tension", table), _cell(row, "share", table)
    breaking = _cell(row, "breaking load", table)
    pulled = judging.thing(force or Cell(row.name), pair)
    pulled = replace(pulled, name=row.name)
    if share and share.quantity:
        return Wire(row.name, pair, side, pulled, replace(judging.thing(share, pair, "%"), name=row.name))
    if force and force.quantity and breaking and breaking.quantity:
        value = 100 * force.quantity.to("N") / breaking.quantity.to("N")
        return Wire(row.name, pair, side, pulled, Thing(row.name, value, "%", units.figures(value, 3), pair))
    why = (
        say("its breaking load is not stated")
        if pulled.value is not None
        else (share or Cell()).why or pulled.why
    )
    return Wire(row.name, pair, side, pulled, Thing(row.name, None, "%", "", pair, why))


def _pairs(wires: Sequence[Wire]) -> Iterator[Thing]:
    """Give the difference of each pair [% of the higher]; a gap where a side was not taken."""
    for port in wires:
        other = next(
            (w for w in wires if port.side == "port" and w.pair == port.pair and w.side == SIDES[1]), None
        )
        if other is None:
            continue
        both = _alike(port, other)
        if both is None:
            yield Thing(f"{port.pair}{PAIR}", None, "%", "", port.pair, say("one side was not taken"))
        else:
            high = max(both)
            share = 100 * (high - min(both)) / high if high else 0.0
            yield Thing(f"{port.pair}{PAIR}", share, "%", "", port.pair)


def _alike(port: Wire, other: Wire) -> tuple[float, float] | None:
    """Give both sides in one unit: as force [N], else as share of breaking load [%]."""
    if port.force.value is not None and other.force.value is not None:
        return (
            units.convert(port.force.value, port.force.unit, "N"),
            units.convert(other.force.value, other.force.unit, "N"),
        )
    if port.share.value is not None and other.share.value is not None:
        return port.share.value, other.share.value
    return None


def _working(table: Table, wires: Sequence[Wire], pairs: Sequence[Thing]) -> Iterator[Step]:
    for row, wire in zip(table.rows, wires, strict=True):
        breaking = _cell(row, "breaking load", table)
        read = _cell(row, "share", table)
        computed = wire.share.value is not None and not (read and read.quantity)
        if computed and breaking and wire.share.value is not None:
            values = f"{wire.force.words} / {breaking.quantity}"
            result = units.figures(wire.share.value, 3)
            yield Step(
                say("{name}, share of breaking load", name=wire.name),
                say("tension / breaking load"),
                values,
                result,
                "%",
            )
    for pair in pairs:
        if pair.value is None:
            continue
        told = {w.side: w for w in wires if w.pair == pair.of and w.side}
        forces = all(w.force.value is not None for w in told.values())
        values = ", ".join(
            f"{term(side)} {(w.force if forces else w.share).words}" for side, w in told.items()
        )
        result = units.figures(pair.value, 3)
        yield Step(
            say("{pair}, difference of the pair", pair=pair.of),
            say("(higher − lower) / higher"),
            values,
            result,
            "%",
        )


def _says(wires: Sequence[Wire], pairs: Sequence[Thing], fields: Fields) -> Iterator[str]:
    known = [p for p in pairs if p.value is not None]
    if known:
        worst = max(known, key=lambda p: p.value or 0.0)
        yield say(
            "The pair that differs most is {pair}, by {value} %; opposing shrouds are tuned alike, "
            "and no allowance is published.",
            pair=worst.of,
            value=units.figures(worst.value or 0.0, 3),
        )
    paired = {p.of for p in pairs}
    if alone := [w.name for w in wires if w.side and w.pair not in paired]:
        yield say("Without its other side in the table: {alone}.", alone=all_of(alone))
    if slack := [w.name for w in wires if w.force.value == 0 or w.share.value == 0]:
        yield say("Slack: {slack}.", slack=all_of(slack))
    if not fields.wire:
        yield say("The kind of wire is not stated.")


def _suggests(pairs: Sequence[Thing], judged: Sequence[Judged]) -> Iterator[str]:
    uneven = [n.removesuffix(PAIR) for j in judged if j.limit.word == "difference" for n in j.where]
    if uneven:
        yield say(
            "A pair that differs, as {uneven}, suggests a mast out of line or a fitting that gave"
            " way; to be confirmed by sighting up the mast and by a rigger.",
            uneven=all_of(uneven),
        )


def _criteria() -> tuple[str, ...]:
    """Give published figures that are not judged, as they hold for other masts. Source: as named in them."""
    return (
        say(
            "For one type of its rigs a maker of masts allows 20 % of breaking load in the "
            "backstay, 25 % in the cap shrouds; not used, as it is for its own masts."
        ),
        say("15 % of the breaking load is widely told among sailors: common practice, no source."),
    )


def _for_all(judged: Sequence[Judged], words: Sequence[str]) -> tuple[Judged, ...]:
    return tuple(j for j in judged if j.limit.word in words)


def _chart(table: Table, wires: Sequence[Wire], judged: Sequence[Judged]) -> Chart | None:
    shares, forces = [w.share for w in wires], [w.force for w in wires]
    known = sum(s.value is not None for s in shares), sum(f.value is not None for f in forces)
    if not any(known):
        return None
    if known[0] >= known[1]:
        drawn = _for_all(judged, SHARES)
        chart = _drawn(say("Rig tension, % of breaking load"), shares, drawn, "%")
    else:
        unit = next(f.unit for f in forces if f.value is not None)
        drawn = _for_all(judged, FORCES)
        chart = _drawn(say("Rig tension, {unit}", unit=unit), forces, drawn, unit)
    return replace(chart, table=plots.printed_table(_with_shares(table, wires), _by_row(judged)))


def _drawn(title: str, found: Sequence[Thing], judged: Sequence[Judged], unit: str) -> Chart:
    """Give bars, or where wires have limits of their own each wire in the band that they leave."""
    if any(j.limit.of for j in judged):
        return plots.band(title, say("Wire"), found, judged, unit)
    return plots.bars(title, say("Wire"), [(say("tension"), found)], judged, unit)


def _by_row(judged: Sequence[Judged]) -> tuple[Judged, ...]:
    """Give what broke a limit by the name of the cell it is printed in."""
    return tuple(
        replace(
            j,
            where=tuple(f"{name}, {'tension' if j.limit.word in FORCES else 'share'}" for name in j.where),
        )
        for j in judged
        if j.limit.word != "difference"
    )


def _with_shares(table: Table, wires: Sequence[Wire]) -> Table:
    """Give the table with the share of each wire as its last column, whether read or computed."""
    at = [n for n, head in enumerate(table.heads) if head.name != "share"]
    heads = (*(table.heads[n] for n in at), Head(say("share of breaking load"), "share", "", "%"))
    rows = []
    for row, wire in zip(table.rows, wires, strict=True):
        share = wire.share
        noted = _cell(row, "share", table)
        figure = units.plain_figures(share.value, 3) if share.value is not None else ""
        computed = Quantity(Decimal(figure), "%") if figure else None
        cell = Cell(f"{row.name}, share", noted.quantity if noted and noted.quantity else computed)
        kept = (_renamed(row, table, n) for n in at)
        rows.append(replace(row, cells=(*kept, cell)))
    return replace(table, heads=heads, rows=tuple(rows))


def _renamed(row: Row, table: Table, at: int) -> Cell:
    return replace(row.cells[at], name=f"{row.name}, {table.heads[at].name}")


KIND = Kind(
    name="rig-tension",
    title="Rig tension",
    measures="How hard each stay and shroud is pulled, and how far port and starboard differ.",
    fields=Fields,
    units=("kN", "N", "lbf", "kgf", "%"),
    limits=(),
    assess=assess,
    proves=(
        "How hard each wire was pulled on the day, and whether a pair is even.",
        "Later readings can be compared with these: a wire that has gone slack shows.",
    ),
    proves_not=(
        "It does not say whether a wire or fitting is sound: cracks do not change the tension.",
        "It does not say what the rig takes under sail.",
        "A share of breaking load is of new wire; what is left of an old one is not known.",
    ),
    limit_words=LIMIT_WORDS,
    how="Afloat, upright, without sail and in little wind, set the gauge on each wire at the same height.",
    instrument="rig tension gauge that fits the wire",
    example="""
kind: rig-tension
wire: 1x19 stainless, 6 mm and 7 mm
limit: {maximum: {backstay: 20 %, cap shroud: 25 %}, difference: 10 %, source: "invented mast manual 4"}
| wire | tension (kN) | breaking load (kN) |
|---|---|---|
| cap shroud port | 5.2 | 29 |
| cap shroud starboard | 4.4 | 29 |
| lower shroud port | 3.1 | 29 |
| lower shroud starboard | 3.0 | 29 |
| backstay | 6.1 | 35 |
""",
    blank="""
kind: rig-tension
wire:
| wire | tension (kN) | breaking load (kN) | share (%) |
|---|---|---|---|
| cap shroud port | | | |
| cap shroud starboard | | | |
| lower shroud port | | | |
| lower shroud starboard | | | |
| forestay | | | |
| backstay | | | |
""",
    hazards=("dismasting",),
    source_ids=("rig-tension-spar-maker", "rig-tension-even"),
    table=Shape(
        "wire",
        (
            Column("tension", "force", "as the gauge reads", "kN"),
            Column("breaking load", "force", "of the wire, from its maker", "kN"),
            Column("share", "share", "percent of breaking load, where read so", "%"),
        ),
    ),
    no_source="Tension belongs to one mast and boat; published figures are a maker's for its own masts.",
)
