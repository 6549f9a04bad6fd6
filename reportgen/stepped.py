"""Judges one quantity at the steps of an engine's speed by the maker's figures, engines side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from reportgen import judging, limits, plots, units
from reportgen.cells import Cell, Table
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import Assessment, Judged
from reportgen.limits import NoteLimit
from reportgen.model import Reading
from reportgen.wording import all_of, later, say

LACKING = later("the report gives none of the maker's figures, and no general one fits all engines")


def things(cells: Iterable[Cell], table: Table | None) -> tuple[Thing, ...]:
    """Give the values by name and those of the table as things; `of` is the step that limits name."""
    rows = {cell.name: row.name for row in (table.rows if table else ()) for cell in row.cells}
    return (
        *judging.things(cells),
        *(replace(t, of=rows[t.name]) for t in judging.of_table(table)),
    )


def assess(
    reading: Reading,
    cells: tuple[Cell, ...],
    notes: tuple[NoteLimit, ...],
    of: str,
    unit: str,
    title: str,
    *,
    apart: Sequence[str] = (),
    says: Iterable[str] = (),
    suggests: Mapping[str, str] | None = None,
    criteria: Iterable[str] = (),
    source_ids: Iterable[str] = (),
) -> Assessment:
    """Judge a quantity at the steps of engine speed by the note alone.

    of: the table's column; a limit for it is one for all steps. unit: to fall back on for a chart. title: of
    the chart, without the unit. apart: steps that a limit for all does not concern, such as a suction.
    suggests: side of a limit that is broken to what that suggests.
    """
    found, slips = sensible(things(cells, reading.table))
    asked = tuple(replace(li, of="") if li.of == of else li for li in limits.written(notes))
    usual = [t for t in found if t.of not in apart]
    others = [t for t in found if t.of in apart]
    by_all, by_name = judging.judge(asked, usual), judging.judge([li for li in asked if li.of], others)
    judged = (*by_all, *by_name)
    broken = {j.limit.side for j in judged if j.outcome == "outside"}
    made = judging.assessment(
        reading,
        found,
        judged,
        lacking=say(LACKING),
        working=judging.converted([c for c in cells if c.name not in apart], _unit(usual, unit)),
        says=(*_aside(usual, others), *says),
        suggests=tuple(text for side, text in (suggests or {}).items() if side in broken),
        criteria=criteria,
        source_ids=source_ids,
        values=((f"{of}s", cells),) if cells else (),
        chart=_chart(title, reading.table, of, usual or others, judged, unit),
        warnings=(*slips, *judging.strangers(asked, [t.of for t in found])),
    )
    return replace(made, outcomes=(*judging.outcomes(usual, by_all), *judging.outcomes(others, by_name)))


def _aside(usual: Sequence[Thing], others: Sequence[Thing]) -> Iterator[str]:
    """Say what was taken apart from the steps that the chart shows."""
    taken = [f"{each.name} {each.words}" for each in others if each.value is not None]
    if usual and taken:
        yield say("Taken apart: {taken}.", taken=all_of(taken))


def sensible(found: Sequence[Thing]) -> tuple[tuple[Thing, ...], tuple[tuple[str, str], ...]]:
    """Make values below zero not taken, and tell each; none of these quantities can be."""
    odd = [t for t in found if t.value is not None and t.value < 0]
    kept = tuple(replace(t, value=None, why=f"{t.words} can't be right") if t in odd else t for t in found)
    return kept, tuple((f"{t.name}: {t.words} can't be right", "write the value or not taken") for t in odd)


def _unit(found: Sequence[Thing], unit: str) -> str:
    """Give the unit of the first value that measures what `unit` does."""
    return next((t.unit for t in found if t.value is not None and units.alike(t.unit, unit)), unit)


def _chart(
    title: str,
    table: Table | None,
    column: str,
    found: Sequence[Thing],
    judged: Sequence[Judged],
    unit: str,
) -> Chart | None:
    """Give a curve where every step is a number, so that none such as idle is left out.

    Else bars, or each step in its own band where the limits are for steps.
    """
    if table and len(table.rows) > 1 and all(row.number is not None for row in table.rows):
        return plots.curve(title, "rpm", table, (column,), judged, found)
    own = _unit(found, unit)
    named = f"{title}, {own}"
    if any(each.limit.of for each in judged):
        return plots.band(named, say("Step"), found, judged, own)
    return plots.bars(named, say("Step"), [(say("found"), found)], judged, own) if found else None
