"""Holds the pressures of an engine's cylinders and what follows from them: evenness and rise with oil.

Spread = (highest - lowest) / highest, lowest to highest = lowest / highest, both in percent of the
highest cylinder; difference = highest - lowest. A cylinder that was not taken is left out of all of
them and told of, never taken as zero.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from reportgen import cylinders, units
from reportgen.bounds import asked, beside, found_in, short
from reportgen.cells import Cell
from reportgen.chart import Chart, Table
from reportgen.cylinders import called, printed
from reportgen.judging import as_noted, broken, thing
from reportgen.kind import Judged, Step
from reportgen.limits import Limit
from reportgen.wording import later, number, say, say_in, say_n, term


@dataclass(frozen=True)
class Pressures:
    """What was measured.

    cells: one a cylinder, shape (cylinders,), missing ones among them as not taken.
    wet: after a spoonful of oil, by cylinder. unit: that everything is computed in.
    odd: cells as written whose value can't be. extra: cylinders that the engine doesn't have.
    """

    cells: tuple[Cell, ...]
    wet: Mapping[str, Cell]
    unit: str
    odd: tuple[Cell, ...] = ()
    extra: tuple[str, ...] = ()

    @cached_property
    def values(self) -> Mapping[str, float]:
        """Give what was taken, by cylinder [unit]."""
        return cylinders.values_in(self.cells, self.unit)

    @property
    def missing(self) -> tuple[str, ...]:
        """Give the cylinders that were not taken."""
        return tuple(c.name for c in self.cells if c.quantity is None)

    @cached_property
    def highest(self) -> float:
        """Give the highest pressure [unit], 0 if none was taken."""
        return max(self.values.values(), default=0.0)

    @property
    def lowest(self) -> float:
        """Give the lowest pressure [unit], 0 if none was taken."""
        return min(self.values.values(), default=0.0)

    @property
    def shares(self) -> Mapping[str, float]:
        """Give each cylinder's part of the highest [%]; empty where the highest is zero."""
        values, highest = self.values, self.highest
        return {name: value / highest * 100 for name, value in values.items()} if highest > 0 else {}

    @property
    def rises(self) -> Mapping[str, float]:
        """Give the rise with oil [%] of each cylinder taken both dry and wet, and not zero when dry."""
        wet, dry = cylinders.values_in(self.wet.values(), self.unit), self.values
        return {
            name: (wet[name] - dry[name]) / dry[name] * 100 for name in dry if name in wet and dry[name] > 0
        }


# what is held against a limit: from (value, highest), both in the unit of comparing
_AMOUNTS: Mapping[str, Callable[[float, float], float]] = {
    "minimum": lambda value, _: value,
    "maximum": lambda value, _: value,
    "difference": lambda value, highest: highest - value,
    "spread": lambda value, highest: (highest - value) / highest * 100,
    "lowest to highest": lambda value, highest: value / highest * 100,
}


def judge(limit: Limit, taken: Pressures) -> Judged:
    """Hold every cylinder against a limit; one breach is outside, else one gap is not taken.

    limit: its word is minimum, maximum [pressure], difference [pressure], spread or lowest to highest [%].
    A share is not taken where every cylinder reads zero: there is no ratio then.
    """
    values = cylinders.values_in(taken.cells, taken.unit if limit.unit == "%" else limit.unit)
    highest = max(values.values(), default=0.0)
    if limit.unit == "%" and highest <= 0:
        return Judged(limit, None, "not taken")
    amounts = {name: _AMOUNTS[limit.word](value, highest) for name, value in values.items()}
    worst = (min if limit.side == "minimum" else max)(amounts.values(), default=None)
    where = tuple(name for name, amount in amounts.items() if not limit.keeps(amount))
    outcome = "outside" if where else "not taken" if taken.missing or worst is None else "within"
    # a share of the highest is of no cylinder alone, and no note has it
    cells = taken.cells if limit.word in ("minimum", "maximum") else ()
    noted = (as_noted(thing(c, "", limit.unit), limit.unit) for c in cells if amounts.get(c.name) == worst)
    return Judged(limit, worst, outcome, where, noted=next(noted, ""))


def working(taken: Pressures, judged: tuple[Judged, ...]) -> Iterator[Step]:
    """Give the steps from the pressures as written to the ratios [%], printed to the figures that decide."""
    unit = taken.unit
    for cell in (*taken.cells, *taken.wet.values()):
        if cell.quantity and cell.quantity.unit != unit:
            wet = "wet, " if taken.wet.get(cell.name) is cell else ""
            yield Step(
                say("cylinder {name}, {wet}in {unit}", name=cell.name, wet=wet, unit=unit),
                "",
                str(cell.quantity),
                printed(cell, unit),
                unit,
            )
    if not taken.values:
        return
    every = ", ".join(printed(c, unit) for c in taken.cells if c.quantity)
    high, low = units.figures(taken.highest, 4), units.figures(taken.lowest, 4)
    yield Step(say("highest"), say("highest of the cylinders"), every, high, unit)
    yield Step(say("lowest"), say("lowest of the cylinders"), every, low, unit)
    if any(j.limit.word == "difference" for j in judged) and len(taken.cells) > 1:
        yield Step(
            say("difference"),
            say("highest − lowest"),
            f"{high} - {low}",
            _found(judged, "difference", taken),
            unit,
        )
    if taken.highest <= 0 or len(taken.cells) < 2:
        return
    spread, ratio = _found(judged, "spread", taken), _found(judged, "lowest to highest", taken)
    rule = say("(highest − lowest) / highest × 100")
    yield Step(say("spread"), rule, f"({high} - {low}) / {high} × 100", spread, "%")
    yield Step(say("lowest to highest"), say("lowest / highest × 100"), f"{low} / {high} × 100", ratio, "%")
    cells = cylinders.by_name(taken.cells)
    names = list(taken.shares)
    yield Step(
        say("each cylinder of the highest, {names}", names=", ".join(names)),
        say("cylinder / highest × 100"),
        ", ".join(f"{printed(cells[name], unit)} / {high}" for name in names),
        ", ".join(_percent(taken.shares, name) for name in names),
        "%",
    )


def _found(judged: tuple[Judged, ...], word: str, taken: Pressures) -> str:
    """Print a figure of evenness so that it lies on the same side of its limit as the unrounded one."""
    value = _AMOUNTS[word](taken.lowest, taken.highest)
    own = [j.limit for j in judged if j.limit.word == word and j.limit.unit in ("%", taken.unit)]
    return beside(value, own[0]) if own else units.figures(value, 3)


def wet_working(taken: Pressures, limit: Limit) -> Iterator[Step]:
    """Give a step for each rise with oil [%]. limit: the rise that is published as telling [%]."""
    cells = cylinders.by_name(taken.cells)
    for name, rise in taken.rises.items():
        dry, wet = printed(cells[name], taken.unit), printed(taken.wet[name], taken.unit)
        step = say("cylinder {name}, rise with oil", name=name)
        yield Step(
            step, say("(wet − dry) / dry × 100"), f"({wet} - {dry}) / {dry} × 100", beside(rise, limit), "%"
        )


_ASKED = {
    "minimum": later("the lowest reads {value}, at least {bound} is asked by {source}"),
    "maximum": later("the highest reads {value}, at most {bound} is asked by {source}"),
    "difference": later("highest and lowest differ by {value}, at most {bound} is asked by {source}"),
    "spread": later("the spread is {value}, at most {bound} is asked by {source}"),
    "lowest to highest": later("lowest to highest is {value}, at least {bound} is asked by {source}"),
}


def sentences(judged: Iterable[Judged]) -> str:
    """Say in words what was held against each limit, which cylinders broke it, and who asks for it."""
    said, last = [], ""
    for each in judged:
        source = short(each.limit)
        said.append(_sentence(each, say("the same source") if source == last else source))
        last = source
    return "; ".join(said)


def _sentence(judged: Judged, source: str) -> str:
    limit = judged.limit
    found, where = found_in(judged), called(judged.where) if judged.where else ""
    if where:  # a value in the reader's units ends in brackets already
        found = f"{found}, {where}" if found.endswith(")") else f"{found} ({where})"
    return say(
        _ASKED[limit.word],
        value=found,
        bound=asked(limit),
        source=source,
    )


def chart(taken: Pressures, judged: tuple[Judged, ...]) -> Chart:
    """Give the pressures as bars with every limit that applies, and the same numbers as a table.

    A share or difference is drawn where it lies below the highest cylinder [the reading's unit].
    """
    dry, outside = cylinders.by_name(taken.cells), broken(judged)
    series = [(say_in("compression", "dry"), dry)]
    series += [(say_in("compression", "wet"), taken.wet)] if taken.wet else []
    limits = [line for j in judged if (line := _line(j.limit, taken)) is not None]
    alt = say_n(
        "Compression, {n} cylinder: {taken}",
        "Compression, {n} cylinders: {taken}",
        len(dry),
        taken=_range(taken),
    )
    said = (
        say("Outside: {outside}.", outside=called(outside))
        if outside
        else say("None outside.")
        if judged
        else say("No limit applies.")
    )
    missing = f" {say('Not taken: {cylinders}.', cylinders=called(taken.missing))}" if taken.missing else ""
    title = say("Cylinder compression, {unit}", unit=taken.unit)
    return cylinders.bars(
        title, f"{alt}. {said}{missing}", taken.unit, series, limits, outside, _table(taken)
    )


def _range(taken: Pressures) -> str:
    low, high = units.figures(taken.lowest, 4), units.figures(taken.highest, 4)
    shares = taken.shares
    if len(shares) < 2:
        return say("{low} to {high} {unit}", low=low, high=high, unit=taken.unit)
    ratio = units.figures(min(shares.values()), 3)
    text = later("{low} to {high} {unit}, lowest to highest {ratio} %")
    return say(text, low=low, high=high, unit=taken.unit, ratio=ratio)


def _line(limit: Limit, taken: Pressures) -> tuple[float, str, str, str] | None:
    """Give where a limit is drawn [the reading's unit], its label, the side to keep to, its source."""
    if limit.unit == "%" and taken.highest <= 0:
        return None
    value = units.convert(limit.value, limit.unit, taken.unit) if limit.unit != "%" else 0.0
    source = short(limit).removeprefix("a ")
    printed_limit = asked(limit)
    if limit.word in ("minimum", "maximum"):
        return value, f"{term(limit.word)} {printed_limit}, {source}", limit.side, source
    at = {
        "difference": taken.highest - value,
        "spread": taken.highest * (1 - limit.value / 100),
        "lowest to highest": taken.highest * limit.value / 100,
    }[limit.word]
    of_highest = later("{limit} of the highest")
    below = later("{limit} below the highest")
    words = say(of_highest if limit.word == "lowest to highest" else below, limit=printed_limit)
    return at, f"{words}, {units.figures(at, 4)} {taken.unit}, {source}", "minimum", source


def _table(taken: Pressures) -> Table:
    unit, shares, rises = taken.unit, taken.shares, taken.rises
    header = (say("Cylinder"), say("dry ({unit})", unit=unit), say("of highest (%)"))
    rows = [(c.name, printed(c, unit), _percent(shares, c.name)) for c in taken.cells]
    if not taken.wet:
        return Table(header, tuple(rows))
    # oil goes into the low cylinders alone, so the others lack nothing
    wet = [
        (printed(taken.wet[c.name], unit) if c.name in taken.wet else "-", _percent(rises, c.name))
        for c in taken.cells
    ]
    return Table(
        (*header, say("wet ({unit})", unit=unit), say("rise (%)")),
        tuple((*a, *b) for a, b in zip(rows, wet, strict=True)),
    )


def _percent(shares: Mapping[str, float], name: str) -> str:
    """Print a cylinder's share with one decimal, so that a row of them is alike; "-" where it has none."""
    return number(f"{shares[name]:.1f}") if name in shares else "-"
