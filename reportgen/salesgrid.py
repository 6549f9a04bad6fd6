"""Adjusts the prices of comparable sales step by step and draws one figure from them, with its range."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, localcontext

from reportgen import ages, splitting, units
from reportgen.block import shown
from reportgen.blocks.value import ORDER, Adjustment, Comparable
from reportgen.estimate import EXACT
from reportgen.wording import number, say, say_n

# steps about the sale itself; the rest are about the boat, where one of the two is the better one
_OF_THE_SALE = ORDER[:5]


@dataclass(frozen=True)
class GridStep:
    """One adjustment of a comparable.

    of: what it is about. share: of the running total before it [%], None for an amount.
    amount: with its sign [currency]. running: total after it [currency]. formula, values: its working.
    """

    of: str = shown("value", "")
    why: str = shown("value", "")
    says: str = shown("value", "")
    share: Decimal | None = shown("value")
    amount: Decimal = shown("value", Decimal(0))
    running: Decimal = shown("value", Decimal(0))
    formula: str = shown("value", "")
    values: str = shown("value", "")


@dataclass(frozen=True)
class AdjustedSale:
    """A comparable with its price adjusted to the boat surveyed.

    price, adjusted: before and after [currency]. net: sum of the steps [currency].
    net_share, gross_share: of the price, with signs and without them [%], to two decimals.
    sold_in: month or year of the sale, where its day is not known; counted from its first day.
    months: whole ones from sale or listing to the effective date, None where not known; age: in words.
    asked: whether the price is only asked. over: whether the gross share passes the one stated in the notes.
    weight: as written [%], None where all weigh the same.
    """

    what: str = shown("value", "")
    where: str = shown("value", "")
    source: str = shown("value", "")
    price: Decimal = shown("value", Decimal(0))
    sold: datetime.date | None = shown("value")
    sold_in: str = shown("value", "")
    listed: datetime.date | None = shown("value")
    asked: bool = shown("value", False)
    months: int | None = shown("value")
    age: str = shown("value", "")
    steps: tuple[GridStep, ...] = shown("value", ())
    adjusted: Decimal = shown("value", Decimal(0))
    net: Decimal = shown("value", Decimal(0))
    net_share: Decimal = shown("value", Decimal(0))
    gross_share: Decimal = shown("value", Decimal(0))
    over: bool = shown("value", False)
    weight: Decimal | None = shown("value")


@dataclass(frozen=True)
class Grid:
    """The comparables adjusted, and what follows from them.

    low, high: lowest and highest adjusted price [currency]. likely: their mean by weight [currency].
    equal: whether all weigh the same. formula, values: the working of the mean.
    """

    comparables: tuple[AdjustedSale, ...]
    low: Decimal
    likely: Decimal
    high: Decimal
    equal: bool
    formula: str
    values: str


def in_order(adjustments: Sequence[Adjustment]) -> tuple[Adjustment, ...]:
    """Give adjustments in the order they are made; those about the same thing as written.

    Source: appraisal-order.
    """
    return tuple(sorted(adjustments, key=lambda each: ORDER.index(each.of) if each.of in ORDER else 0))


def adjust(
    sale: Comparable, currency: str, as_of: datetime.date | None, gross_limit: Decimal | None = None
) -> AdjustedSale | None:
    """Give a comparable with its price adjusted; None without a price.

    Amounts and shares act on the running total, each result rounded half up to the currency's decimals.
    as_of: day the value is for. gross_limit: gross adjustment that is pointed out above it [%].
    Source: appraisal-adjust-comparable, appraisal-order.
    """
    if not sale.price:
        return None
    with localcontext(EXACT):
        steps = _steps(sale, currency)
        adjusted = steps[-1].running if steps else sale.price
        gross = sum((abs(step.amount) for step in steps), Decimal(0))
        on = sale.sold or ages.day(sale.sold_in) or sale.listed
        old = months(on, as_of) if on and as_of else None
        return AdjustedSale(
            what=sale.what,
            where=sale.where,
            source=sale.source,
            price=sale.price,
            sold=sale.sold,
            sold_in="" if sale.sold else sale.sold_in,
            listed=sale.listed,
            asked=not (sale.sold or sale.sold_in) and sale.listed is not None,
            months=old,
            age=_age(old),
            steps=steps,
            adjusted=adjusted,
            net=adjusted - sale.price,
            net_share=units.half_up((adjusted - sale.price) * 100 / sale.price, 2),
            gross_share=units.half_up(gross * 100 / sale.price, 2),
            # compared as products, so that no division rounds the border
            over=gross_limit is not None and gross * 100 > gross_limit * sale.price,
            weight=sale.weight,
        )


def _steps(sale: Comparable, currency: str) -> tuple[GridStep, ...]:
    running, steps = sale.price or Decimal(0), []
    for each in in_order(sale.adjust):
        step = _step(each, running, currency)
        steps.append(step)
        running = step.running
    return tuple(steps)


def _step(each: Adjustment, running: Decimal, currency: str) -> GridStep:
    places = units.decimals(currency)
    before = units.money(running, currency)
    if each.share is not None:
        change = splitting.rounded(running * each.share / 100, places)
        formula, values = say("running total × share"), f"{before} × {signed(each.share, '%')}"
    else:
        change = splitting.rounded(each.amount or Decimal(0), places)
        sign = "−" if change < 0 else "+"
        values = f"{before} {sign} {units.money(abs(change), currency)}"
        formula = say("running total + amount")
    says = _says(each.of, change)
    return GridStep(each.of, each.why, says, each.share, change, running + change, formula, values)


def _says(of: str, change: Decimal) -> str:
    """Say which way a step goes: a better comparable is adjusted down, never the boat surveyed up."""
    if not change:
        return say("nothing to adjust")
    if of in _OF_THE_SALE:
        return say("added") if change > 0 else say("taken off")
    return say("comparable poorer, added") if change > 0 else say("comparable better, taken off")


def signed(value: Decimal, unit: str) -> str:
    """Print a number with its sign: `−$1,500.00` in a currency, `−3 %` for a share [%]."""
    sign = "−" if value < 0 else "+"
    printed = f"{number(f'{abs(value):f}')} %" if unit == "%" else units.money(abs(value), unit)
    return f"{sign}{printed}"


def months(start: datetime.date, end: datetime.date) -> int:
    """Give the whole months from one day to another; below zero where the end lies before the start."""
    if end < start:
        return -months(end, start)
    return (end.year - start.year) * 12 + end.month - start.month - (end.day < start.day)


def _age(old: int | None) -> str:
    if old is None:
        return ""
    if not old:
        return say("within a month of")
    after = say_n("{n} month after", "{n} months after", -old)
    return say_n("{n} month before", "{n} months before", old) if old > 0 else after


def reconcile(sales: Sequence[AdjustedSale], currency: str) -> Grid | None:
    """Give lowest, mean and highest of the adjusted prices [currency]; None without a comparable.

    The mean goes by the weights where every comparable has one and they add up to 100 %, else all weigh the
    same; it is rounded half up to the currency's decimals. Source: appraisal-adjust-comparable.
    """
    if not sales:
        return None
    weights = [sale.weight for sale in sales if sale.weight is not None]
    equal = len(weights) != len(sales) or sum(weights) != 100
    prices = [sale.adjusted for sale in sales]
    printed = [units.money(price, currency) for price in prices]
    with localcontext(EXACT):
        if equal:
            mean = sum(prices, Decimal(0)) / len(prices)
            formula = say("adjusted prices added up / their number")
            values = f"({' + '.join(printed)}) / {len(prices)}"
        else:
            mean = sum((p * w for p, w in zip(prices, weights, strict=True)), Decimal(0)) / 100
            formula = say("each adjusted price × its weight, added up")
            values = " + ".join(f"{p} × {w:f} %" for p, w in zip(printed, weights, strict=True))
        likely = splitting.rounded(mean, units.decimals(currency))
    return Grid(tuple(sales), min(prices), likely, max(prices), equal, formula, values)
