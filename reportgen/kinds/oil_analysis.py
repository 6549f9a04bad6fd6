"""Judges what a laboratory found in an engine's oil, sample by sample, by the laboratory's own figures.

Method: a warm engine's oil drawn mid-stream when it is due for change, the laboratory's report copied into
the table: a row a sample, named by its date. Units: ppm, mg/kg, %, cSt at 100 °C, mg KOH/g, h.

The newest sample is judged; older ones show the trend, also per 100 h on oil, and are told where they are
beyond the same figures. The first sample is a baseline. What a laboratory did not measure gets no column.

Limits: the laboratory's by column. One maker's table for heavy-duty diesel engines (oil-heavy-duty, one
sample after a normal drain interval) only where the engine is told to be a diesel and `heavy duty` gives its
group, older or newer; the least viscosity only for 15W-40. An owners' guide (oil-owners-guide) is shown, not
judged.

A rise is called a jump from twice the figure before and 10 ppm: our choice, no source. That it suggests
coolant: oil-trend-standard; what other figures suggest: common practice, no source.

Source: oil-heavy-duty; oil-owners-guide; oil-trend-standard.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import bounds, judging, limits, plots, sources, units
from reportgen.block import key
from reportgen.cells import Cell, Column, Row, Shape, Table, Word
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import SWITCH, Limit, Limits, NoteLimit
from reportgen.model import Reading
from reportgen.oiltable import GLYCOL, GROUPS, SUGGESTS, TABLE, heavy_duty
from reportgen.values import OneOf, Text
from reportgen.wording import all_of, later, number, say, term

WEAR = ("iron", "copper", "lead", "tin", "aluminium", "chromium", "nickel")
COOLANT = ("sodium", "potassium", "boron")
METALS = (*WEAR, "silicon", *COOLANT)
SHARES = ("water", "fuel", "soot")
HOURS = "hours on oil"
COLUMNS = (
    Column(HOURS, "time", "hours that the oil has run", "h"),
    Column("engine hours", "time", "hours that the engine has run", "h"),
    *(Column(name, "concentration", f"{name} in the oil", "ppm") for name in METALS),
    *(Column(name, "concentration", f"{name} in the oil", "%") for name in SHARES),
    Column("viscosity", "viscosity", "viscosity at 100 °C", "cSt"),
    Column("base number", "base number", "what acid the oil can still take up", "mg KOH/g"),
    Column(GLYCOL, "", "negative or positive"),
)
NAMES = {c.name: (c.dimension, c.default) for c in COLUMNS if c.dimension not in ("", "time")}
NO_GLYCOL = "no glycol"
LIMIT_WORDS = {"minimum": "", "maximum": "", "within": "", NO_GLYCOL: SWITCH}
GUIDE, TREND = "oil-owners-guide", "oil-trend-standard"
# what of a single sample is drawn, the first that it has: title, columns, unit
SINGLE = (
    (later("Metals in the oil"), METALS, "ppm"),
    (later("What else is in the oil"), SHARES, "%"),
    (later("Viscosity at 100 °C"), ("viscosity",), "cSt"),
    (later("Base number"), ("base number",), "mg KOH/g"),
)
FRESH = 10.0  # hours on oil below which little has gathered: our choice [h]
JUMP, NOISE = 2.0, 10.0  # times the figure before, and the least [ppm] that is called a jump: our choice
PANELS = 6  # that a trend shows, so that it stays on a page: our choice
NEGATIVE = ("negative", "none", "no", "nil", "not detected")
POSITIVE = ("positive", "yes", "present", "detected", "trace")


@dataclass(frozen=True)
class Fields:
    """Keys of an oil analysis; the samples stand in the table."""

    oil: str = key(Text(), share="open", help="grade of the oil, such as 15W-40", default="")
    laboratory: str = key(Text(), share="open", help="who analysed it, and the report's number", default="")
    heavy_duty: str = key(
        OneOf(GROUPS),
        share="open",
        help="engine's group in the heavy-duty table, to be judged by it",
        default="",
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="the laboratory's figures by column", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge the newest sample. Source: oil-heavy-duty where the note asks for it and gives the group."""
    fields: Fields = reading.fields
    table, slips = _sensible(_in_order(reading.table or Table()))
    every = _things(table)
    found = _things(replace(table, rows=table.rows[-1:]))
    generals, lacking = _general(fields, about)
    asked = _asked(fields.limit, generals)
    judged, over_time = judging.judge(asked, found), judging.judge(asked, every)
    used = {j.limit.source_id for j in judged} - {""}
    made = judging.assessment(
        reading,
        found,
        judged,
        lacking=lacking,
        working=_rates(table),
        says=_says(table, found, over_time, TABLE in used),
        suggests=_suggests(table, found, judged),
        criteria=_criteria(about),
        source_ids=(*(GUIDE for _ in _criteria(about)), *((TREND,) if found else ())),
        chart=_chart(table, found, every, over_time),
        warnings=slips,
    )
    return _worded(replace(made, outcomes=judging.outcomes(every, over_time)))


def _in_order(table: Table) -> Table:
    """Put samples in the order of their dates where all have one; else they stay as written."""
    if not all(row.date for row in table.rows):
        return table
    return replace(table, rows=tuple(sorted(table.rows, key=lambda row: row.date or "")))


def _things(table: Table) -> tuple[Thing, ...]:
    values = (t for t in judging.of_table(table) if t.of in NAMES)
    return (*values, *(_glycol(row, w) for row in table.rows for w in row.words))


def _glycol(row: Row, found: Word) -> Thing:
    """Give glycol as one where it was found and none where it wasn't; another word is no result."""
    name = f"{row.name}, {found.name}"
    if found.gist in NEGATIVE or found.gist in POSITIVE:
        return Thing(name, float(found.gist in POSITIVE), "", found.text, GLYCOL)
    given = repr(found.text)
    why = say("{given} is neither negative nor positive", given=given) if found.text else found.why
    return Thing(name, None, "", "", GLYCOL, why)


def _sensible(table: Table) -> tuple[Table, tuple[tuple[str, str], ...]]:
    """Make not taken what no oil holds, less than nothing or more than all, and tell each."""
    told: list[tuple[str, str]] = []

    def kept(cell: Cell) -> Cell:
        each = judging.thing(cell)
        whole = {"ppm": 1e6, "mg/kg": 1e6, "%": 100.0}.get(each.unit, 1e6)
        if each.value is None or 0 <= each.value <= whole:
            return cell
        told.append((f"{cell.name}: {each.words} can't be right", "write the value or not taken"))
        return Cell(cell.name, None, say("{value} can't be right", value=each.words))

    rows = tuple(replace(row, cells=tuple(kept(c) for c in row.cells)) for row in table.rows)
    told += [
        (f"{row.name}, {w.name}: {w.text!r} is neither negative nor positive", "write negative or positive")
        for row in rows
        for w in row.words
        if w.text and w.gist not in (*NEGATIVE, *POSITIVE)
    ]
    return replace(table, rows=rows), tuple(told)


def _general(fields: Fields, about: About) -> tuple[tuple[Limit, ...], str]:
    """Give the published table's limits where the note asks for it and its conditions hold."""
    if not fields.heavy_duty:
        return (
            (),
            say(
                "the report gives none of the laboratory's figures, and normal ones differ by engine and oil"
            ),
        )
    fuel = about.engine.fuel if about.engine else ""
    if fuel != "diesel":
        return (), (
            say(
                "the heavy-duty table is for diesel engines, and it is told to run on {fuel}", fuel=term(fuel)
            )
            if fuel
            else say("the heavy-duty table is for diesel engines, and what it runs on is not told")
        )
    return heavy_duty(fields.heavy_duty, fields.oil), ""


def _asked(notes: Sequence[NoteLimit], generals: Sequence[Limit]) -> tuple[Limit, ...]:
    """Give the limits to judge by; `no glycol: yes` of the note is one, and replaces the table's."""
    own = next((note for note in notes if NO_GLYCOL in note.words), None)
    if own is None:
        return limits.applying(notes, generals)
    kept = limits.applying(notes, [g for g in generals if g.of != GLYCOL])
    free = Limit(GLYCOL, 0.0, "", "maximum", own.source, "", "note", GLYCOL)
    return (*kept, free) if own.words[NO_GLYCOL] else kept


def _columns(table: Table, names: Sequence[str]) -> Iterator[tuple[str, str, list[tuple[Row, Thing]]]]:
    """Give each column with values: its title, its engine, and the samples that have one."""
    for name in names:
        for head, cells in table.columns(name):
            taken = [
                (row, judging.thing(c, name, head.unit))
                for row, c in zip(table.rows, cells, strict=True)
                if c.quantity
            ]
            if taken:
                yield head.title, head.of, taken


def _hours(table: Table, row: Row, of: str) -> float | None:
    """Give a sample's hours on oil [h], the engine's own where it has a column of its own."""
    found = {head.of: cells[table.rows.index(row)] for head, cells in table.columns(HOURS)}
    cell = found.get(of) or found.get("")
    hours = cell.quantity.to("h") if cell and cell.quantity else 0.0
    return hours if hours > 0 else None


def _rates(table: Table) -> Iterator[Step]:
    """Give the wear metals of the two newest samples per 100 h on oil."""
    for title, of, taken in _columns(table, WEAR):
        for row, each in taken[-2:]:
            hours = _hours(table, row, of)
            if hours and each.value is not None and not each.below:
                yield Step(
                    say("{title} of {name} per 100 h on oil", title=term(title), name=term(row.name)),
                    say("found / hours on oil × 100 h"),
                    f"{each.words} / {units.figures(hours, 4)} h × 100 h",
                    units.figures(each.value / hours * 100.0, 3),
                    each.unit,
                )


def _says(table: Table, found: Sequence[Thing], judged: Sequence[Judged], by_table: bool) -> Iterator[str]:
    earlier = [name for name in judging.broken(judged) if name not in {t.name for t in found}]
    if earlier:
        yield say("Earlier samples beyond the same figures: {earlier}.", earlier=all_of(map(term, earlier)))
    if len(table.rows) == 1:
        yield say(
            "One sample is a baseline and shows no trend; wear is told by the trend of one engine and oil."
        )
    elif not all(row.date for row in table.rows):
        yield say("Not every sample is named by its date; the last row is taken as the newest.")
    newest = table.rows[-1].name if table.rows else say("the sample")
    hours = [_hours(table, row, head.of) for row in table.rows[-1:] for head, _ in table.columns(HOURS)]
    if not hours or None in hours:
        yield say(
            "Hours on oil are not stated for {newest}, so that metals can't be compared between samples.",
            newest=newest,
        )
    elif min(h for h in hours if h) < FRESH:
        yield say(
            "The oil of {newest} ran for less than {fresh} h: little has gathered; a baseline only.",
            newest=newest,
            fresh=number(f"{FRESH:g}"),
        )
    if by_table:
        yield say(
            "The published table is for one sample after a normal drain interval in one maker's "
            "heavy-duty engines; whether it fits this engine is the surveyor's word."
        )
    yield say("One sample is no verdict: before an engine is opened, a second one is drawn.")


def _jumps(table: Table) -> Iterator[str]:
    """Give what rose to twice or more from the sample before to the newest, with its figures."""
    for title, _, taken in _columns(table, COOLANT):
        if len(taken) < 2 or taken[-1][0] != table.rows[-1]:
            continue
        before, now = taken[-2][1], taken[-1][1]
        if before.value is None or now.value is None or now.below:
            continue
        in_ppm = units.convert(now.value, now.unit, "ppm")
        if in_ppm >= NOISE and in_ppm >= JUMP * units.convert(before.value, before.unit, "ppm"):
            yield say("{name} from {before} to {now}", name=term(title), before=before.words, now=now.words)


def _suggests(table: Table, found: Sequence[Thing], judged: Sequence[Judged]) -> Iterator[str]:
    if jumps := list(_jumps(table)):
        yield say(
            "A jump of {jumps} suggests coolant or sea water in the oil; to be confirmed by a "
            "second sample and a pressure test of the cooling system.",
            jumps=all_of(jumps),
        )
    if any(t.of == GLYCOL and t.value for t in found):
        yield say(
            "Glycol suggests coolant in the oil; to be confirmed by a second sample and a pressure test of "
            "the cooling system before the engine is run."
        )
    broken = {j.limit.of for j in judged if j.outcome == "outside" and j.limit.side == "maximum"}
    yield from (say(text) for name, text in SUGGESTS.items() if name in broken)


def _criteria(about: About) -> Iterator[str]:
    if about.engine is None or about.engine.fuel in ("", "diesel"):
        yield say(
            "owners' guide: iron about 100 ppm; lead, copper and aluminium about 50 ppm; soot not"
            " over 3 %; water under 0.1 %; fuel under 0.5 %; no glycol ({source})",
            source=sources.get(GUIDE),
        )


def _chart(
    table: Table, found: Sequence[Thing], every: Sequence[Thing], judged: Sequence[Judged]
) -> Chart | None:
    """Give the trend over dates, what is outside first; of a single sample the metals in their bands."""
    if len(table.rows) > 1 and all(row.date for row in table.rows):
        outside = {t.of for t in every if t.name in judging.broken(judged)}
        drawn = [n for n in NAMES if any(t.of == n and t.value is not None for t in every)]
        drawn = sorted(drawn, key=lambda name: name not in outside)[:PANELS]
        return plots.trend(
            say("Oil samples"), say("date"), table, sorted(drawn, key=list(NAMES).index), judged, every
        )
    for title, names, unit in SINGLE:
        drawn_alike = [t for t in found if t.of in names]
        if any(t.value is not None for t in drawn_alike):
            chart = plots.band(f"{say(title)}, {unit}", say("Found"), drawn_alike, judged, unit)
            return replace(chart, table=plots.printed_table(table, judged))
    return None


def _worded(made: Assessment) -> Assessment:
    """Say of glycol that it was found or not, instead of counting it."""
    because, working = made.because, list(made.working)
    for each in (j for j in made.judged if j.limit.word == GLYCOL and j.value is not None):
        kept = each.outcome != "outside"
        names = all_of(map(term, each.where or (each.name,)))
        words = say("{names}: none found", names=names) if kept else say("{names}: found", names=names)
        source = bounds.short(each.limit)
        asked = say("{result}; {source} allows none", result=words, source=source)
        because = because.replace(judging.sentence(each), asked)
        usual, row = judging.clause(each), f"{term(each.name).rpartition(', ')[0]}, "
        for said, glycol in ((usual, words), (usual.removeprefix(row), words.removeprefix(row))):
            because = because.replace(said, say("{result}, none allowed", result=glycol))
        name, result = term(each.name), say("kept") if kept else say("not kept")
        step = Step(say("{name} against the limit", name=name), say("none allowed"), words, result)
        usual = say("{name} against the {word}", name=name, word=term(GLYCOL))
        working = [step if s.step == usual else s for s in working]
    return replace(made, because=because, working=tuple(working))


KIND = Kind(
    name="oil-analysis",
    title="Oil analysis",
    measures="What metals, water, fuel and soot a laboratory found in the engine's oil.",
    fields=Fields,
    units=("ppm", "mg/kg", "%"),
    limits=tuple(dict.fromkeys((*heavy_duty("older", "15W-40"), *heavy_duty("newer")))),
    limits_for="They are for heavy-duty diesel engines, older ones first; the viscosity is for 15W-40.",
    assess=assess,
    proves=(
        "Samples of one engine and one oil over years show whether wear, dirt or coolant is on the rise.",
    ),
    proves_not=(
        "One sample does not show which part wears, nor a break that is about to come.",
        "Oil that was just changed shows next to nothing.",
    ),
    limit_words=LIMIT_WORDS,
    how="Run warm, draw mid-stream into the laboratory's bottle before the oil is changed, label with "
    "engine, oil and hours on it.",
    instrument="oil laboratory",
    example="""
kind: oil-analysis
oil: 15W-40
laboratory: invented laboratory, report 7
limit: {maximum: {iron: 110 ppm, sodium: 40 ppm}, no glycol: yes, source: invented laboratory sheet 2}

| sample | hours on oil | iron (ppm) | copper (ppm) | sodium (ppm) | water (%) | glycol |
|---|---|---|---|---|---|---|
| 2024-04-12 | 160 | 64 | 11 | 6 | <0.05 | negative |
| 2025-04-20 | 140 | 71 | 14 | 9 | <0.05 | negative |
| 2026-05-03 | 120 | 118 | 15 | 37 | 0.08 | negative |
""",
    blank="""
kind: oil-analysis
oil:
laboratory:

| sample | hours on oil | iron (ppm) | copper (ppm) | lead (ppm) | aluminium (ppm) | sodium (ppm) | glycol |
|---|---|---|---|---|---|---|---|
| newest | | | | | | | |
""",
    hazards=("hot parts",),
    source_ids=(TABLE, GUIDE, TREND),
    table=Shape("sample", COLUMNS),
    of_engine=True,
)
