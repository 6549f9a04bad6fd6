"""The one rule that turns hours, parts and fixed costs into the lines of a yard's bill."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from reportgen import uncertainty
from reportgen.jobs import Cell, Figure
from reportgen.model import Cover
from reportgen.units import Span

Pick = Callable[[Span], Decimal]
Rounding = Callable[[Decimal], Decimal]


@dataclass(frozen=True)
class Terms:
    """What comes on top of labour and parts, as fractions [-]; cap: once per visit [currency].

    Numbers are Decimal for the printed bill and float for the draws, so that both go by the same rule.
    """

    supplies: Any
    cap: Any
    parts_tax: Any
    labour_tax: Any
    contingency: Any


def terms(cover: Cover) -> Terms:
    """Give the survey's terms; without a cap it is endless."""
    rates = cover.rates
    cap = Decimal("Infinity") if rates.supplies_cap is None else rates.supplies_cap
    shares = (rates.parts_tax / 100, rates.labour_tax / 100, rates.contingency / 100)
    return Terms(rates.supplies / 100, cap, *shares)


def _floats(terms: Terms) -> Terms:
    shares = (float(terms.parts_tax), float(terms.labour_tax), float(terms.contingency))
    return Terms(float(terms.supplies), float(terms.cap), *shares)


def supplies(labour: Any, terms: Terms, least: Callable[[Any, Any], Any] = min) -> Any:
    """Give the share of labour for supplies, not above the cap [currency]; least: numpy's for arrays."""
    return least(labour * terms.supplies, terms.cap)


def tax(labour: Any, parts: Any, on_supplies: Any, terms: Terms) -> Any:
    """Give the tax on parts and supplies and the tax on labour, in one sum [currency]."""
    return (parts + on_supplies) * terms.parts_tax + labour * terms.labour_tax


def contingency(labour: Any, parts: Any, terms: Terms) -> Any:
    """Give the share of labour and parts, before tax and supplies [currency]."""
    return (labour + parts) * terms.contingency


@dataclass(frozen=True)
class Row:
    """One line of a bill at one of low, likely, high or mean.

    group: labour, parts, supplies, tax, contingency or fixed. rate: key of the hour's rate.
    amount: as printed [currency]. hours: of labour [h]. bases: what each finding and payer
    has in it, unrounded.
    figure: the one fixed cost that it stands for or taxes.
    """

    group: str
    what: str
    rate: str
    amount: Decimal
    hours: Decimal | None = None
    bases: Mapping[Cell, Decimal] = field(default_factory=dict)
    figure: Figure | None = None


def _add(*sums: tuple[Mapping[Cell, Decimal], Decimal]) -> dict[Cell, Decimal]:
    """Add bases up, each times a factor."""
    total: dict[Cell, Decimal] = {}
    for bases, factor in sums:
        for cell, base in bases.items():
            total[cell] = total.get(cell, Decimal(0)) + base * factor
    return total


def rows(figures: Sequence[Figure], terms: Terms, pick: Pick, printed: Rounding) -> tuple[Row, ...]:
    """Give the bill of one visit to the yard, line by line.

    pick: low, likely, high or mean of a figure. printed: how a line is rounded.
    The lines are the same ones in the same order for every pick.
    """
    work = [*_labour(figures, pick, printed), *_parts(figures, pick, printed)]
    return (*work, *_on_top(work, terms, printed), *_fixed(figures, pick, printed))


def _labour(figures: Sequence[Figure], pick: Pick, printed: Rounding) -> list[Row]:
    found = []
    for rate in dict.fromkeys(f.rate for f in figures if f.group == "labour"):
        own = [f for f in figures if f.group == "labour" and f.rate == rate]
        hours = sum((pick(f.span) for f in own), Decimal(0))
        bases = _add(*((f.by, pick(f.span) * f.times) for f in own))
        what = f"Labour, {rate}" if rate else "Labour"
        found.append(Row("labour", what, rate, printed(hours * own[0].times), hours, bases))
    return found


def _parts(figures: Sequence[Figure], pick: Pick, printed: Rounding) -> list[Row]:
    own = [f for f in figures if f.group == "parts"]
    if not own:
        return []
    amount = sum((pick(f.span) * f.times for f in own), Decimal(0))
    bases = _add(*((f.by, pick(f.span) * f.times) for f in own))
    return [Row("parts", "Parts", "", printed(amount), None, bases)]


def _on_top(work: Sequence[Row], terms: Terms, printed: Rounding) -> list[Row]:
    """Give supplies, tax and contingency, each from the lines as printed, so that a reader can check them."""
    labour = sum((r.amount for r in work if r.group == "labour"), Decimal(0))
    parts = sum((r.amount for r in work if r.group == "parts"), Decimal(0))
    on_labour = _add(*((r.bases, Decimal(1)) for r in work if r.group == "labour"))
    on_parts = _add(*((r.bases, Decimal(1)) for r in work if r.group == "parts"))
    extra = printed(supplies(labour, terms))
    # the share that supplies are of labour once the cap has cut them
    share = extra / labour if labour else Decimal(0)
    taxed = _add((on_parts, terms.parts_tax), (on_labour, share * terms.parts_tax + terms.labour_tax))
    on_work = _add((on_labour, terms.contingency), (on_parts, terms.contingency))
    found = []
    if on_labour and terms.supplies:
        found.append(Row("supplies", "Supplies", "", extra, None, _add((on_labour, share))))
    if (on_parts or on_labour) and (terms.parts_tax or terms.labour_tax):
        found.append(Row("tax", "Tax", "", printed(tax(labour, parts, extra, terms)), None, taxed))
    if (on_parts or on_labour) and terms.contingency:
        found.append(
            Row("contingency", "Contingency", "", printed(contingency(labour, parts, terms)), None, on_work)
        )
    return found


def _fixed(figures: Sequence[Figure], pick: Pick, printed: Rounding) -> list[Row]:
    found = []
    for figure in (f for f in figures if f.group == "fixed"):
        cost = pick(figure.span)
        found.append(Row("fixed", figure.what, "", printed(cost), None, _add((figure.by, cost)), figure))
        if figure.tax:
            on_it = cost * figure.tax / 100
            bases = _add((figure.by, on_it))
            found.append(Row("tax", f"Tax on {figure.what}", "", printed(on_it), None, bases, figure))
    return found


def total(rows: Sequence[Row]) -> Decimal:
    """Give the sum of the lines [currency]."""
    return sum((row.amount for row in rows), Decimal(0))


@dataclass(frozen=True)
class Spread:
    """Where sums lie by chance, to three figures [currency]; None for a sum that has no spread.

    whole: P10, P50 and P90 of the total. side: P50 and P80 of one payer's share without contingency.
    """

    whole: tuple[Decimal, ...] | None = None
    side: tuple[Decimal, ...] | None = None


def spread(visits: Sequence[Sequence[Figure]], terms: Terms, payer: str) -> Spread:
    """Give the spread of the total and of one payer's share.

    The whole rule, cap included, is applied to each draw; a part is drawn once and counted so many times.
    """
    if all(figure.span.fixed for figures in visits for figure in figures):
        return Spread()
    chance, plain = uncertainty.rng(), _floats(terms)
    drawn = [_drawn(figures, plain, payer, chance) for figures in visits]
    whole, side = sum(total for total, _ in drawn), sum(own for _, own in drawn)
    return Spread(uncertainty.percentiles(whole, (10, 50, 90)), uncertainty.percentiles(side, (50, 80)))


def _drawn(figures: Sequence[Figure], terms: Terms, payer: str, chance: Any) -> tuple[Any, Any]:
    """Give one visit's total, and the payer's share of it without contingency, for each draw."""
    import numpy as np

    sums: dict[str, Any] = {"labour": 0.0, "parts": 0.0, "fixed": 0.0}
    side = dict(sums)
    for figure in figures:
        amount = uncertainty.draws(figure.span, figure.times * (1 + figure.tax / 100), chance)
        sums[figure.group] = sums[figure.group] + amount
        share = float(sum(s for (_, who), s in figure.by.items() if who == payer))
        if share:
            side[figure.group] = side[figure.group] + amount * share
    labour, parts, fixed = sums.values()
    extra = supplies(labour, terms, np.minimum)
    own = extra * (side["labour"] / np.maximum(labour, 1e-9))
    whole = labour + parts + fixed + extra + tax(labour, parts, extra, terms)
    mine = sum(side.values()) + own + tax(side["labour"], side["parts"], own, terms)
    return whole + contingency(labour, parts, terms), mine
