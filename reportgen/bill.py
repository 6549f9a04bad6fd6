"""The one rule that turns hours, parts and fixed costs into the lines of a yard's bill."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from reportgen import uncertainty
from reportgen.charges import plain
from reportgen.jobs import Cell, Figure
from reportgen.model import Cover
from reportgen.units import Span
from reportgen.wording import say, term

Pick = Callable[[Span], Decimal]
Rounding = Callable[[Decimal], Decimal]
_ZERO = Decimal(0)


@dataclass(frozen=True)
class Terms:
    """What comes on top of labour and parts, as fractions [-]; cap: once per visit [currency].

    Numbers are Decimal for the printed bill and float for the draws, so that both go by the same rule.
    """

    supplies: Any
    cap: Any
    parts_tax: Any
    labour_tax: Any
    reserve_tax: Any


def terms(cover: Cover) -> Terms:
    """Give the survey's terms; without a cap it is endless, a tax on every line is on contingency too."""
    rates = cover.rates
    cap = Decimal("Infinity") if rates.supplies_cap is None else rates.supplies_cap
    shares = (rates.parts_tax, rates.labour_tax, Decimal(0)) if rates.tax is None else (rates.tax,) * 3
    return Terms(rates.supplies / 100, cap, *(share / 100 for share in shares))


def _floats(terms: Terms) -> Terms:
    shares = (float(terms.parts_tax), float(terms.labour_tax), float(terms.reserve_tax))
    return Terms(float(terms.supplies), float(terms.cap), *shares)


def supplies(labour: Any, terms: Terms, least: Callable[[Any, Any], Any] = min) -> Any:
    """Give the share of labour for supplies, not above the cap [currency]; least: numpy's for arrays."""
    return least(labour * terms.supplies, terms.cap)


def tax(labour: Any, parts: Any, on_supplies: Any, terms: Terms) -> Any:
    """Give the tax on parts and supplies and the tax on labour, in one sum [currency]."""
    return (parts + on_supplies) * terms.parts_tax + labour * terms.labour_tax


@dataclass(frozen=True)
class Row:
    """One line of a bill at one of low, likely, high or mean.

    group: labour, parts, supplies, tax, contingency or fixed. rule: what it is worked out by.
    rate: key of the hour's rate. amount: as printed [currency]. hours: of labour [h].
    times: rate [currency/h], surcharge or share [-]. on: what the share is taken of, as printed [currency].
    bases: what each finding and payer has in it, unrounded. figure: the fixed cost it stands for or taxes.
    person: as a figure of labour has it. only: whether it is the one line of contingency.
    """

    group: str
    rule: str
    what: str
    amount: Decimal
    bases: Mapping[Cell, Decimal] = field(default_factory=dict)
    rate: str = ""
    hours: Decimal | None = None
    times: Decimal = Decimal(0)
    on: tuple[Decimal, ...] = ()
    figure: Figure | None = None
    person: str = ""
    only: bool = False


def amount(figure: Figure, pick: Pick) -> Decimal:
    """Give what a figure comes to at low, likely, high or mean, before overtime and tax [currency]."""
    return max(pick(figure.span) * figure.times, figure.least)


def _add(*sums: tuple[Mapping[Cell, Decimal], Decimal]) -> dict[Cell, Decimal]:
    """Add bases up, each times a factor."""
    total: dict[Cell, Decimal] = {}
    for bases, factor in sums:
        for cell, base in bases.items():
            total[cell] = total.get(cell, _ZERO) + base * factor
    return total


def rows(figures: Sequence[Figure], terms: Terms, pick: Pick, printed: Rounding) -> tuple[Row, ...]:
    """Give the bill of one visit to the yard, line by line.

    pick: low, likely, high or mean of a figure. printed: how a line is rounded.
    The lines are the same ones in the same order for every pick.
    """
    work = _work(figures, pick, printed)
    reserves = _reserves(figures, terms, pick, printed)
    return (*work, *_on_top(work, terms, printed), *reserves, *_fixed(figures, pick, printed))


def _work(figures: Sequence[Figure], pick: Pick, printed: Rounding) -> list[Row]:
    return [*_labour(figures, pick, printed), *_parts(figures, pick, printed)]


def _labour(figures: Sequence[Figure], pick: Pick, printed: Rounding) -> list[Row]:
    """Give a line for each rate of an hour, then one for what its overtime costs on top."""
    found, labour = [], [f for f in figures if f.group == "labour"]
    for person, rate in dict.fromkeys((f.person, f.rate) for f in labour):
        own = [f for f in labour if (f.person, f.rate) == (person, rate)]
        what, overtime = _who(person, rate)
        hours = sum((pick(f.span) for f in own), Decimal(0))
        bases = _add(*((f.by, amount(f, pick)) for f in own))
        times = own[0].times
        cost = printed(hours * times)
        found.append(Row("labour", "labour", what, cost, bases, rate, hours, times, person=person))
        late = [f for f in own if f.overtime and f.surcharge]
        if late:
            over = sum((pick(f.span) * f.overtime for f in late), Decimal(0))
            bases = _add(*((f.by, amount(f, pick) * f.overtime * f.surcharge) for f in late))
            on_top = times * late[0].surcharge
            extra = printed(over * on_top)
            found.append(Row("labour", "overtime", overtime, extra, bases, rate, over, on_top, person=person))
    return found


def _who(person: str, rate: str) -> tuple[str, str]:
    """Name the line of one rate of an hour, and that of its overtime."""
    trade = term(rate)
    if person and rate:
        over = say("Overtime, second person, {trade}", trade=trade)
        return say("Second person, {trade}", trade=trade), over
    if person:
        return say("Second person"), say("Overtime, second person")
    if rate:
        return say("Labour, {trade}", trade=trade), say("Overtime, labour, {trade}", trade=trade)
    return say("Labour"), say("Overtime, labour")


def _parts(figures: Sequence[Figure], pick: Pick, printed: Rounding) -> list[Row]:
    own = [f for f in figures if f.group == "parts"]
    if not own:
        return []
    total = sum((amount(f, pick) for f in own), Decimal(0))
    bases = _add(*((f.by, amount(f, pick)) for f in own))
    return [Row("parts", "parts", say("Parts"), printed(total), bases)]


def _on_top(work: Sequence[Row], terms: Terms, printed: Rounding) -> list[Row]:
    """Give supplies and tax, each from the lines as printed, so that a reader can check them."""
    labour, parts = _sum_of(work, "labour"), _sum_of(work, "parts")
    on_labour = _add(*((r.bases, Decimal(1)) for r in work if r.group == "labour"))
    on_parts = _add(*((r.bases, Decimal(1)) for r in work if r.group == "parts"))
    extra = printed(supplies(labour, terms))
    # the share that supplies are of labour once the cap has cut them
    share = extra / labour if labour else Decimal(0)
    taxed = _add((on_parts, terms.parts_tax), (on_labour, share * terms.parts_tax + terms.labour_tax))
    found = []
    if on_labour and terms.supplies:
        found.append(Row("supplies", "supplies", say("Supplies"), extra, _add((on_labour, share))))
    if (on_parts or on_labour) and (terms.parts_tax or terms.labour_tax):
        found.append(Row("tax", "tax", say("Tax"), printed(tax(labour, parts, extra, terms)), taxed))
    return found


def _sum_of(rows: Sequence[Row], group: str) -> Decimal:
    return sum((row.amount for row in rows if row.group == group), Decimal(0))


def _reserves(figures: Sequence[Figure], terms: Terms, pick: Pick, printed: Rounding) -> list[Row]:
    """Give a line of contingency for each share that repairs have, then the tax on them all."""
    own = [f for f in figures if f.group in ("labour", "parts")]
    shares, found = dict.fromkeys(f.reserve for f in own), []
    for share in (s for s in shares if s):
        work = _work([f for f in own if f.reserve == share], pick, printed)
        on = (_sum_of(work, "labour"), _sum_of(work, "parts"))
        only = len(shares) == 1
        apart = say("Contingency, {share} %", share=plain(share * 100))
        what = say("Contingency") if only else apart
        bases = _add(*((row.bases, share) for row in work))
        kept = printed(sum(on) * share)
        found.append(Row("contingency", "contingency", what, kept, bases, times=share, on=on, only=only))
    if found and terms.reserve_tax:
        whole = _sum_of(found, "contingency")
        bases = _add(*((row.bases, terms.reserve_tax) for row in found))
        taxed, what = printed(whole * terms.reserve_tax), say("Tax on contingency")
        kind = ("contingency", "tax on contingency")
        found.append(Row(*kind, what, taxed, bases, times=terms.reserve_tax, on=(whole,)))
    return found


def _fixed(figures: Sequence[Figure], pick: Pick, printed: Rounding) -> list[Row]:
    found = []
    for figure in (f for f in figures if f.group == "fixed"):
        cost = amount(figure, pick)
        bases = _add((figure.by, cost))
        found.append(Row("fixed", "fixed", figure.what, printed(cost), bases, figure=figure))
        if figure.tax:
            share, on = figure.tax / 100, (printed(cost),)
            bases, taxed = _add((figure.by, cost * share)), printed(on[0] * share)
            what = say("{what}, tax", what=figure.what)
            found.append(Row("tax", "tax on fixed", what, taxed, bases, times=share, on=on, figure=figure))
    return found


def total(rows: Sequence[Row]) -> Decimal:
    """Give the sum of the lines [currency]."""
    return sum((row.amount for row in rows), Decimal(0))


def exact(figures: Sequence[Figure], terms: Terms, pick: Pick) -> Decimal:
    """Give what the lines of one visit would add up to if none were rounded [currency]."""
    sums = dict.fromkeys(("labour", "parts", "fixed"), Decimal(0))
    reserve = Decimal(0)
    for figure in figures:
        cost = amount(figure, pick) * _on_it(figure)
        sums[figure.group] += cost
        reserve += cost * figure.reserve
    return Decimal(_whole(sums, supplies(sums["labour"], terms), reserve, terms))


def _on_it(figure: Figure) -> Decimal:
    """Give the factor by which overtime and its own tax raise a figure [-]."""
    return (1 + figure.tax / 100) * (1 + figure.overtime * figure.surcharge)


def _whole(sums: Mapping[str, Any], extra: Any, reserve: Any, terms: Terms) -> Any:
    """Give the unrounded total of one visit; sums: by group, extra: supplies, reserve: untaxed [currency]."""
    labour, parts, fixed = sums["labour"], sums["parts"], sums["fixed"]
    taxed = tax(labour, parts, extra, terms)
    return labour + parts + fixed + extra + taxed + reserve * (1 + terms.reserve_tax)


@dataclass(frozen=True)
class Spread:
    """Where sums lie by chance, to three figures [currency]; None for a sum that has no spread.

    whole: P10, P50, P80 and P90 of the total. side: P50 and P80 of one payer's share without contingency.
    deviation: of the drawn totals [currency]. steps: (from, to [currency], share of the draws [%]).
    """

    whole: tuple[Decimal, ...] | None = None
    side: tuple[Decimal, ...] | None = None
    deviation: Decimal = Decimal(0)
    steps: tuple[tuple[Decimal, Decimal, Decimal], ...] = ()


def spread(visits: Sequence[Sequence[Figure]], terms: Terms, payer: str) -> Spread:
    """Give the spread of the total and of one payer's share.

    The whole rule, cap included, is applied to each draw; a part is drawn once and counted so many times.
    """
    if all(figure.fixed for figures in visits for figure in figures):
        return Spread()
    turn, plain = uncertainty.turns(), _floats(terms)
    drawn = [_drawn(figures, plain, payer, turn) for figures in visits]
    whole, side = sum(total for total, _ in drawn), sum(own for _, own in drawn)
    found = uncertainty.percentiles(whole, (10, 50, 80, 90))
    own = uncertainty.percentiles(side, (50, 80))
    if found is None:
        return Spread(side=own)
    return Spread(found, own, uncertainty.deviation(whole), uncertainty.steps(whole))


def _drawn(figures: Sequence[Figure], terms: Terms, payer: str, turn: Iterator[int]) -> tuple[Any, Any]:
    """Give one visit's total, and the payer's share of it without contingency, for each draw."""
    import numpy as np

    sums: dict[str, Any] = {"labour": 0.0, "parts": 0.0, "fixed": 0.0}
    side = dict(sums)
    reserve: Any = 0.0
    for figure in figures:
        amount = uncertainty.draws(figure.span, figure.times, turn)
        if figure.least:
            amount = np.maximum(amount, float(figure.least))
        if figure.tax or figure.overtime:  # a figure is twenty thousand draws: what changes nothing is left
            amount = amount * float(_on_it(figure))
        sums[figure.group] = sums[figure.group] + amount
        if figure.reserve:
            reserve = reserve + amount * float(figure.reserve)
        share = float(sum(s for (_, who), s in figure.by.items() if who == payer))
        if share:
            side[figure.group] = side[figure.group] + (amount if share == 1 else amount * share)
    extra = supplies(sums["labour"], terms, np.minimum)
    own = extra * (side["labour"] / np.maximum(sums["labour"], 1e-9))
    return _whole(sums, extra, reserve, terms), _whole(side, own, 0.0, terms)
