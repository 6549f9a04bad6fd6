"""Holds measured values against limits and says the outcome in words, the same way for every kind."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from reportgen import units, wording
from reportgen.bounds import beside, bound, found_in, in_own_unit, short
from reportgen.cells import Cell, Table
from reportgen.chart import Chart
from reportgen.errors import listed
from reportgen.kind import Assessment, Judged, Kind, Step, overall
from reportgen.limits import Limit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.wording import all_of, say, say_in, say_n, term

LONGEST = 8  # characters of a number that is printed as it was written
# kinds whose values go by the steps of an engine's speed
BY_SPEED = ("charging", "exhaust-back-pressure", "fuel-pressure", "oil-pressure")


@dataclass(frozen=True)
class Thing:
    """One figure to be held against limits.

    name: what it belongs to. value: in `unit`, None when not taken. printed: the value as the report prints
    it. of: the column or key that limits name. why: reason when not taken. below: whether it lies below
    detection, `value` then being the least that can be detected. noted: as written, where that is in
    another unit. written: the number as written, where that is in `unit`; empty for what was worked out.
    """

    name: str
    value: float | None
    unit: str
    printed: str = ""
    of: str = ""
    why: str = ""
    below: bool = False
    noted: str = ""
    written: str = ""

    @property
    def words(self) -> str:
        """Give the value with its unit, or not taken."""
        if self.value is None:
            return say_in("outcome", "not taken")
        printed, one = self.printed or units.figures(self.value, 4), self.value == 1
        return f"{'<' * self.below}{printed} {units.in_words(self.unit, one)}".rstrip()


def thing(cell: Cell, of: str = "", unit: str = "") -> Thing:
    """Give a cell as a thing. unit: to compute in, else the cell's own."""
    if cell.quantity is None:
        return Thing(cell.name, None, unit, "", of or cell.name, cell.why)
    to = unit or cell.quantity.unit
    value = cell.quantity.to(to)
    own = to == cell.quantity.unit
    printed = wording.number(cell.quantity.value if own else units.as_sure(cell.quantity, to))
    noted = "" if own else cell.quantity.as_noted
    written = str(cell.quantity.value) if own else ""
    return Thing(cell.name, value, to, printed, of or cell.name, "", cell.below, noted, written)


def things(cells: Iterable[Cell], of: str = "", unit: str = "") -> tuple[Thing, ...]:
    """Give cells as things, shape (cells,)."""
    return tuple(thing(cell, of, unit) for cell in cells)


def single(name: str, quantity: units.Quantity | None, unit: str = "") -> Thing:
    """Give a single figure of the fence as a thing."""
    return thing(Cell(name, quantity), name, unit)


def of_table(table: Table | None) -> tuple[Thing, ...]:
    """Give every value of a table as a thing, column by column; `of` is the column's name."""
    if table is None:
        return ()
    columns = ((head, [row.cells[at] for row in table.rows]) for at, head in enumerate(table.heads))
    return tuple(thing(cell, head.name, head.unit) for head, cells in columns for cell in cells)


def hold(limit: Limit, all_things: Iterable[Thing]) -> Judged:
    """Hold all things that a limit is for against it; one breach is outside, else one gap is not taken.

    A value below detection is judged only where that decides: otherwise it counts as a gap.
    """
    concerned = [t for t in all_things if _concerns(limit, t)]
    known = [(t, units.convert(t.value, t.unit, limit.unit)) for t in concerned if t.value is not None]
    broken = tuple(t.name for t, value in known if _breaks(limit, t, value))
    gap = len(known) < len(concerned) or any(_undecided(limit, t, value) for t, value in known)
    outcome = "outside" if broken else "not taken" if gap or not known else "within"
    pick = min if limit.side == "minimum" else max
    worst = pick(known, key=lambda pair: pair[1], default=None)
    if worst is None:
        return Judged(limit, None, outcome, broken, limit.of)
    noted = as_noted(worst[0], limit.unit) or _in_other_unit(worst[0], limit.unit)
    return Judged(limit, worst[1], outcome, broken, worst[0].name, worst[0].below, noted)


def as_noted(each: Thing, unit: str) -> str:
    """Give a value as it was written in the unit it is held against, empty for what was worked out."""
    # a share that was computed from two gauges may have any number of digits
    own = unit and each.unit == unit and 0 < len(each.written) <= LONGEST
    if not own or float(each.written) != each.value:
        return ""
    one = each.value == 1
    return f"{'<' * each.below}{wording.number(each.written)} {units.in_words(unit, one)}"


def _in_other_unit(each: Thing, unit: str) -> str:
    """Give a thing as it was written, empty where that is in the unit it is held against anyway."""
    noted = each.noted or (each.words if each.unit != unit else "")
    return "" if noted.endswith(f" {unit}") else noted


def _concerns(limit: Limit, each: Thing) -> bool:
    if limit.of not in ("", each.of, each.name):
        return False
    return each.value is None or units.alike(each.unit, limit.unit)


def _breaks(limit: Limit, each: Thing, value: float) -> bool:
    # below detection: certainly under a minimum that lies above what can be detected, never over a maximum
    return not limit.keeps(value) and not (each.below and limit.side == "maximum")


def _undecided(limit: Limit, each: Thing, value: float) -> bool:
    if not each.below:
        return False
    return limit.keeps(value) if limit.side == "minimum" else not limit.keeps(value)


def _hidden(judged: Judged) -> bool:
    """Say whether the value that decides lies below detection in such a way that nothing is shown."""
    kept = judged.value is not None and judged.limit.keeps(judged.value)
    return judged.below and kept == (judged.limit.side == "minimum")


def judge(limits: Iterable[Limit], all_things: Sequence[Thing]) -> tuple[Judged, ...]:
    """Hold things against every limit that is for one of them; a limit for none of them is left out."""
    concerned = (limit for limit in limits if any(_concerns(limit, t) for t in all_things))
    return tuple(hold(limit, all_things) for limit in concerned)


def place(reading: Reading, kind: Kind) -> str:
    """Give where a reading was taken; the note names an engine by its side alone, a page says engine."""
    bare = kind.of_engine and reading.at.lower() in ("port", "starboard")
    return say("{side} engine", side=term(reading.at.lower())) if bare else reading.at


def cells_of(worked_out: Thing) -> tuple[Cell, ...]:
    """Give a figure that was worked out, such as a drop, as a cell among the values; none if it has none."""
    if worked_out.value is None:
        return ()
    plain = Decimal(f"{worked_out.value:.4g}")
    return (Cell(worked_out.name, Quantity(Decimal(f"{plain:f}"), worked_out.unit)),)


def broken(judged: Iterable[Judged]) -> tuple[str, ...]:
    """Give every thing that breaks a limit, each once."""
    return tuple(dict.fromkeys(name for each in judged for name in each.where))


def outcomes(all_things: Iterable[Thing], judged: Sequence[Judged]) -> tuple[tuple[str, str], ...]:
    """Give the outcome of each thing by itself: outside where it breaks any limit that is for it."""
    outside = set(broken(judged))
    return tuple((t.name, _outcome(t, outside, judged)) for t in all_things)


def _outcome(each: Thing, outside: set[str], judged: Iterable[Judged]) -> str:
    if each.value is None:
        return "not taken"
    if each.name in outside:
        return "outside"
    concerned = [j.limit for j in judged if _concerns(j.limit, each)]
    if any(_undecided(limit, each, units.convert(each.value, each.unit, limit.unit)) for limit in concerned):
        return "not taken"
    return "within" if concerned else "no limit applies"


def sentence(judged: Judged) -> str:
    """Say what was held against a limit, which things broke it, and who asks for it."""
    limit = judged.limit
    if judged.value is None:
        return say("{name} was not taken", name=term(judged.name) or say("nothing"))
    asked = say("{bound} is asked by {source}", bound=bound(limit), source=short(limit))
    if len(judged.where) > 1:
        where, found = all_of(map(term, judged.where)), found_in(judged)
        return say(
            "{names} break a limit, the worst with {found} ({asked})", names=where, found=found, asked=asked
        )
    return f"{_reads(judged)}; {asked}"


def clause(judged: Judged) -> str:
    """Say what was held against a limit without its source, for several limits of one source."""
    return f"{_reads(judged)}, {bound(judged.limit)}"


def _reads(judged: Judged) -> str:
    lowest = judged.limit.side == "minimum"
    name = term(judged.name) or (say("the lowest") if lowest else say("the highest"))
    return say("{name} reads {found}", name=name, found=found_in(judged))


def sentences(all_judged: Sequence[Judged]) -> Iterator[str]:
    """Say each judged limit; those in a row that one source asks for name it once, at their end."""
    for source, group in itertools.groupby(all_judged, lambda j: short(j.limit)):
        some = tuple(group)
        if len(some) == 1 or any(len(j.where) > 1 or j.value is None for j in some):
            yield from (sentence(j) for j in some)
            continue
        row = f"{term(some[0].name).rpartition(', ')[0]}, "
        yield clause(some[0])
        yield from (clause(j).removeprefix(row) for j in some[1:])
        both = len(some) == 2
        asked = say("both are asked by {source}", source=source)
        yield asked if both else say("all are asked by {source}", source=source)


def because(
    outcome: str, judged: Iterable[Judged], all_things: Iterable[Thing], reading: Reading, lacking: str
) -> str:
    """Give the one sentence that says why a reading has its outcome.

    lacking: what is missing so that no limit applies, without a full stop.
    """
    missing = [t.name for t in all_things if t.value is None]
    taken = any(t.value is not None for t in all_things)
    if not taken:
        why = reading.not_taken.rstrip(".")
        return say("Not taken: {why}.", why=why) if why else say("No value was taken.")
    if outcome == "no limit applies":
        lacking = lacking or say("the report gives none and none is published")
        return say("No limit applies: {why}.", why=lacking)
    if outcome == "not taken":
        hidden = next((j for j in judged if _hidden(j)), None)
        if hidden and not missing:
            value, unit = beside(hidden.value or 0.0, hidden.limit), hidden.limit.unit
            return say(
                "Not all is judged: {name} reads <{value}, which does not show whether it is {bound}.",
                name=term(hidden.name),
                value=f"{value} {unit}".rstrip(),
                bound=bound(hidden.limit),
            )
        named = all_of(map(term, missing)) if missing else say("what a limit needs")
        return say_n(
            "Not all is judged: {names} was not taken.",
            "Not all is judged: {names} were not taken.",
            max(1, len(missing)),
            names=named,
        )
    said = "; ".join(dict.fromkeys(sentences([j for j in judged if j.outcome == outcome])))
    if re.match(r"\d{4}-\d\d-\d\d\b", said):  # a sample is named by its day
        return say("On {said}.", said=said)
    # a step of the table is named by its number, and no sentence begins with one
    return f"{said[:1].upper()}{said[1:]}." if not said[:1].isdigit() else say("At {said}.", said=said)


def at_speed(kind: str, name: str) -> str:
    """Give a step's name with the unit of engine speed [rpm] where it is a bare number of it."""
    return f"{name} rpm" if kind in BY_SPEED and name.replace(",", "").isdigit() else name


def _at_speed(judged: Judged, reading: Reading) -> Judged:
    """Give what was held against a limit, with the unit of the speed [rpm] by which its row is named."""
    table = reading.table
    rpm = table is not None and table.first.casefold() == "rpm"
    bare = {row.name for row in table.rows if row.name.replace(",", "").isdigit()} if table and rpm else set()

    def told(name: str) -> str:
        speed, comma, of = name.partition(", ")
        return f"{speed} rpm{comma}{of}" if speed in bare else at_speed(reading.kind, name)

    return replace(judged, name=told(judged.name), where=tuple(map(told, judged.where)))


def steps(judged: Iterable[Judged]) -> Iterator[Step]:
    """Give a step of the working for each limit: the value that decides, beside the figure it is held to."""
    for each in judged:
        limit = each.limit
        if each.value is None:
            continue
        sign, against = ("≥", "<") if limit.side == "minimum" else ("≤", ">")
        # "drop against the drop" would tell nobody anything
        own = limit.word in (each.name, f"least {each.name}", f"most {each.name}")
        word = say("limit") if own else term(limit.word)
        what = say("{name} against the {word}", name=term(each.name) or say("reading"), word=word)
        value = in_own_unit(each)
        hidden, kept = _hidden(each), limit.keeps(each.value)
        found = sign if kept or hidden else against
        values = f"{value} {found} {units.figures(limit.value, 4)} {units.in_words(limit.unit)}"
        result = say("not shown") if hidden else say("kept") if kept else say("not kept")
        rule = say("reading {sign} {word}", sign=sign, word=word)
        yield Step(what, rule, values.rstrip(), result)


def converted(cells: Iterable[Cell], unit: str) -> Iterator[Step]:
    """Give a step for each value that was written in another unit than it is computed in."""
    for cell in cells:
        if cell.quantity and cell.quantity.unit != unit:
            digits = 4 if len(cell.quantity.value.as_tuple().digits) > 2 else 3  # of 8 mm no 0.3150 in
            printed = units.figures(cell.quantity.to(unit), digits)
            what = say("{name} in {unit}", name=term(cell.name), unit=unit)
            yield Step(what, "", cell.quantity.as_noted, printed, unit)


def gaps(all_things: Iterable[Thing]) -> Iterator[str]:
    """Say of each thing that was not taken that it was not, and why."""
    for each in all_things:
        if each.value is None:
            name = term(each.name)
            yield say("Not taken: {why}.", why=f"{name}, {each.why}" if each.why else name)


def assessment(
    reading: Reading,
    all_things: Sequence[Thing],
    judged: Sequence[Judged],
    *,
    lacking: str = "",
    reason: str = "",
    working: Iterable[Step] = (),
    says: Iterable[str] = (),
    suggests: Iterable[str] = (),
    criteria: Iterable[str] = (),
    source_ids: Iterable[str] = (),
    values: tuple[tuple[str, tuple[Cell, ...]], ...] = (),
    chart: Chart | None = None,
    warnings: Iterable[tuple[str, str]] = (),
) -> Assessment:
    """Put an assessment together; a reading of which nothing was taken is not taken, whatever it lacks.

    all_things: what was to be measured, gaps included. reason: the outcome's sentence where a kind has
    better words than the usual ones. working: the kind's own steps, before those of the limits.
    """
    taken = any(t.value is not None for t in all_things)
    outcome = overall(tuple(judged)) if taken else "not taken"
    # a step of engine speed is named by a bare number, which says of nothing what it is
    told = tuple(_at_speed(each, reading) for each in judged)
    said = because(outcome, told, all_things, reading, lacking)
    own = reason if reason and taken else said
    return Assessment(
        outcome=outcome,
        because=own,
        judged=tuple(judged),
        working=(*working, *steps(told)) if taken else (),
        says=(*gaps(all_things), *says) if taken else (),
        suggests=tuple(suggests) if taken else (),
        criteria=tuple(criteria),
        source_ids=tuple(sorted({*source_ids, *(j.limit.source_id for j in judged if j.limit.source_id)})),
        values=values,
        chart=chart if taken else None,
        outcomes=outcomes(all_things, judged),
        warnings=tuple(warnings),
    )


def strangers(all_limits: Iterable[Limit], known: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Warn of limits that are for a name that nothing measured has: (found, what to write)."""
    names = {"", *known}
    if strange := list(dict.fromkeys(limit.of for limit in all_limits if limit.of not in names)):
        yield (
            f"limit names {listed(strange, 'and')}, which was not measured here",
            "use the names as measured",
        )


def with_unit(all_things: Iterable[Thing], unit: str) -> tuple[Thing, ...]:
    """Give things in one unit of their dimension, for a chart with one scale."""
    return tuple(t if t.value is None or t.unit == unit else _in_unit(t, unit, t.value) for t in all_things)


def _in_unit(thing: Thing, unit: str, noted: float) -> Thing:
    value = units.convert(noted, thing.unit, unit)
    return replace(thing, value=value, unit=unit, printed=units.figures(value, 4))
