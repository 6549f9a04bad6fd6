"""Sets a reading beside the one that it repeats: values then and now, and their trend over the surveys."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from reportgen import cylinders, judging, past, plots, units
from reportgen.block import shown
from reportgen.cells import Cell
from reportgen.chart import Chart, Table
from reportgen.judging import broken
from reportgen.kind import Assessment, Judged, Kind
from reportgen.model import EARLIER, OldReading, Past, Reading, Survey, Values
from reportgen.wording import say, term

MOST_TOLD = 3  # changes that a finding tells of its retest [-]
ALL_CYLINDERS = "cylinders"  # series of a kind with one value a cylinder
MOST_LINES = 10  # values that one panel of a trend can hold and still be read [-]

Assessed = tuple[Reading, Assessment, Kind]


@dataclass(frozen=True)
class Beside:
    """One value, then and now, as printed; now - then in the unit of now, empty where one is missing.

    called: series and name as a reader is told them, such as `cylinder 3`.
    """

    series: str = shown("open", "")
    name: str = shown("open", "")
    then: str = shown("open", "")
    now: str = shown("open", "")
    change: str = shown("open", "")
    called: str = shown("open", "")


@dataclass(frozen=True)
class Compared:
    """A reading beside the one that it repeats.

    id: of this survey's reading. before: id of the other, with `earlier/` if an earlier report has it.
    at: where it was taken, as a reader is told it. past: all earlier days, (days,); empty if both are of
    this survey. then, now: outcomes. most: of the values that were outside then, else of all, those that
    changed most, at most three.
    chart: the values over the surveys, None where they are too many or of one day.
    """

    id: str = shown("open", "")
    before: str = shown("open", "")
    title: str = shown("open", "")
    kind_title: str = shown("open", "")
    at: str = shown("open", "")
    past: tuple[Past, ...] = shown("open", ())
    then: str = shown("open", "")
    now: str = shown("open", "")
    values: tuple[Beside, ...] = shown("open", ())
    most: tuple[Beside, ...] = shown("open", ())
    chart: Chart | None = shown("open")


def compare(survey: Survey, judged: Sequence[Assessed]) -> Iterator[Compared]:
    """Set each reading beside the one that it repeats: of the earlier report, or of this survey."""
    of_now = {reading.id: (reading, assessment) for reading, assessment, _ in judged}
    for reading, assessment, kind in judged:
        before = repeated(reading, survey)
        if isinstance(before, OldReading):
            yield _beside(
                reading, assessment, kind, EARLIER + before.id, before.past, max(survey.cover.inspected)
            )
        elif before is not None:
            then = of_now[before.id][1]
            held = Past(datetime.date.min, "", then.outcome, past.taken(before, then))
            yield _beside(reading, assessment, kind, before.id, (held,), None)


def repeated(reading: Reading, survey: Survey) -> OldReading | Reading | None:
    """Give the reading that one repeats: as `retest of` says, else the earlier one of its id and kind.

    Within a survey it is, without a word, the reading of the same kind and place that a finding rests on
    while its check names this one.
    """
    earlier, of = survey.earlier, reading.retest_of
    if of and not of.startswith(EARLIER):
        return next((r for r in survey.readings if of in (r.id, r.title) and r.id != reading.id), None)
    old = earlier.reading(of or reading.id) if earlier else None
    if old and old.kind == reading.kind:
        return old
    rested = {
        id
        for f in survey.findings
        if f.checked and reading.id in f.checked.evidence and reading.id not in f.evidence
        for id in f.evidence
    }
    alike = [r for r in survey.readings if r.id in rested and (r.kind, r.at) == (reading.kind, reading.at)]
    return alike[0] if alike else None


def _beside(
    reading: Reading,
    assessment: Assessment,
    kind: Kind,
    before: str,
    held: tuple[Past, ...],
    today: datetime.date | None,
) -> Compared:
    now = past.taken(reading, assessment)
    both = tuple(_lines(held[-1].values, now, kind))
    broke = _broke(held[-1].values, assessment.judged) if held[-1].outcome == "outside" else set()
    telling = [pair for pair in both if (pair[0].series, pair[0].name) in broke]
    over = None if today is None else _trend(kind, reading, held, now, assessment.judged, today)
    return Compared(
        id=reading.id,
        before=before,
        title=reading.title,
        kind_title=kind.title,
        at=judging.place(reading, kind),
        past=held if today else (),
        then=held[-1].outcome,
        now=assessment.outcome,
        values=tuple(line for line, _ in both),
        most=tuple(_most(telling or both)),
        chart=over,
    )


def _broke(then: Values, judged: Iterable[Judged]) -> set[tuple[str, str]]:
    """Give series and name of each value that was outside then, by the limits of today's reading."""
    # a drop or a spread is held against its own limit, never the values that it is made of
    asked = [(j.limit, j.limit.of or (j.limit.word in plots.DERIVED and j.limit.word)) for j in judged]
    return {
        (series, cell.name)
        for series, cells in then
        for cell in cells
        for limit, of in asked
        if cell.quantity
        and (not of or of in (series, cell.name))
        and units.alike(limit.unit, cell.quantity.unit)
        and not limit.keeps(cell.quantity.to(limit.unit))
    }


def _cells(values: Iterable[tuple[str, tuple[Cell, ...]]]) -> dict[tuple[str, str], Cell]:
    """Give values by series and name; of two alike the first stands."""
    found: dict[tuple[str, str], Cell] = {}
    for series, cells in values:
        for cell in cells:
            found.setdefault((series, cell.name), cell)
    return found


def _lines(then: Values, now: Values, kind: Kind) -> Iterator[tuple[Beside, float]]:
    """Give every value of both days once, today's first, with the share by which it changed [-]."""
    old, new = _cells(then), _cells(now)
    several = len({series for series, _ in (*new, *old)}) > 1
    for series, name in dict.fromkeys((*new, *old)):
        a, b = old.get((series, name)), new.get((series, name))
        unit = b.quantity.unit if b and b.quantity else ""
        change, share = _change(a, b)
        called = _called(kind, series if several else "", name)
        yield Beside(series, name, _printed(a, unit), _printed(b, unit), change, called), share


def _called(kind: Kind, series: str, name: str) -> str:
    """Name a value for a reader, whom a bare number tells nothing; series: empty where there is but one."""
    own = cylinders.told(kind.name, name)
    return own if series in ("", name, ALL_CYLINDERS) else f"{term(series)}, {own}"


def _most(lines: Sequence[tuple[Beside, float]]) -> Iterator[Beside]:
    """Give the values that changed most; one that changed less than half as much is not among them."""
    ordered = sorted(lines, key=lambda pair: -pair[1])[:MOST_TOLD]
    for line, share in ordered:
        if share > 0 and share >= ordered[0][1] / 2:
            yield line


def _printed(cell: Cell | None, unit: str) -> str:
    if cell is None or cell.quantity is None:
        return say(plots.NOT_TAKEN)
    quantity = cell.quantity
    if unit and unit != quantity.unit and units.alike(unit, quantity.unit):
        return f"{'<' * cell.below}{units.figures(quantity.to(unit), 4)} {unit}"
    return f"{'<' * cell.below}{quantity}"


def _change(then: Cell | None, now: Cell | None) -> tuple[str, float]:
    """Give now - then as printed and as a share of the greater; nothing where one of them is no value."""
    if not (then and now and then.quantity and now.quantity) or then.below or now.below:
        return "", 0.0
    unit = now.quantity.unit
    if not units.alike(unit, then.quantity.unit):
        return "", 0.0
    old, new = then.quantity.to(unit), now.quantity.to(unit)
    change, most = new - old, max(abs(old), abs(new))
    if abs(change) <= 1e-9 * most:
        return say("no change"), 0.0
    sign = "+" if change > 0 else "\N{MINUS SIGN}"
    size = units.figures(abs(change), 3)
    if unit == "%":  # from 31 to 11 % is 20 points, but 65 % less
        unit = say("point") if size == "1" else say("points")
    return f"{sign}{size} {unit}".rstrip(), abs(change) / most


def _trend(
    kind: Kind,
    reading: Reading,
    held: Sequence[Past],
    now: Values,
    judged: Sequence[Judged],
    today: datetime.date,
) -> Chart | None:
    """Draw the values of a reading over the surveys, a panel a series; None where that can't be read."""
    days = [(p.on, _cells(p.values)) for p in held if p.on < today] + [(today, _cells(now))]
    panels = [p for p in (_panel(series, cells, days, tuple(judged)) for series, cells in now) if p]
    if len(days) < 2 or not panels or reading.table is not None:
        return None
    at = judging.place(reading, kind)
    named = f"{say(kind.title)}, {at}" if at else say(kind.title)
    title = say("{title}, over {days} surveys", title=named, days=len(days))
    head = (
        say("Survey of"),
        *(f"{term(series)} {term(c.name)}".strip() for series, cells in now for c in cells),
    )
    outside = set(broken(judged))

    def shown(found: Mapping[tuple[str, str], Cell], series: str, name: str, last: bool) -> str:
        # earlier values were held against the limits of their own day
        return plots.marked(_printed(found.get((series, name)), ""), last and name in outside)

    rows = tuple(
        (day.isoformat(), *(shown(found, s, c.name, day == today) for s, cells in now for c in cells))
        for day, found in days
    )
    first, last = days[0][0].isoformat(), today.isoformat()
    alt = say(
        "{title}, {first} to {last}; the values stand in the table below.",
        title=title,
        first=first,
        last=last,
    )
    data = {"x_kind": "date", "x_name": say("Day of the survey"), "panels": tuple(panels)}
    return Chart("trend", title, alt, data, Table(head, rows))


def _panel(
    series: str,
    cells: Sequence[Cell],
    days: Sequence[tuple[datetime.date, Mapping[tuple[str, str], Cell]]],
    judged: Sequence[Judged],
) -> Mapping[str, object] | None:
    """Give one series over the days; None if it was never taken twice, mixes units or holds too much."""
    quantities = [
        c.quantity
        for _, found in days
        for cell in cells
        if (c := found.get((series, cell.name))) and c.quantity
    ]
    unit = quantities[-1].unit if quantities else ""
    mixed = any(not units.alike(unit, q.unit) for q in quantities)
    twice = sum(any((series, c.name) in f for c in cells) for _, f in days) > 1
    if not quantities or mixed or not twice or len(cells) > MOST_LINES:
        return None

    def point(day: datetime.date, cell: Cell | None) -> tuple[str, float | None, str, bool]:
        value = cell.quantity.to(unit) if cell and cell.quantity else None
        printed = say(plots.NOT_TAKEN) if value is None else units.figures(value, 4)
        return day.isoformat(), value, printed, bool(cell and cell.below)

    outside = broken(judged)
    lines = [
        plots.line(j.limit, unit)
        for j in judged
        if j.limit.of in ("", series)
        and units.alike(j.limit.unit, unit)
        and j.limit.word not in plots.DERIVED
    ]
    return {
        "name": term(series),
        "unit": unit,
        "series": tuple(
            {"name": term(c.name), "points": tuple(point(day, f.get((series, c.name))) for day, f in days)}
            for c in cells
        ),
        "limits": tuple(line for n, line in enumerate(lines) if line not in lines[:n]),
        "outside": tuple((term(c.name), days[-1][0].isoformat()) for c in cells if c.name in outside),
    }
