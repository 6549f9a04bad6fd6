"""What is wrong with the value in the notes: weights, dates, signs, and figures that do not fit together."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from decimal import Decimal

from reportgen import ages, salesgrid, units
from reportgen.blocks.value import BETTER, Adjustment, Comparable, Value
from reportgen.errors import Place, Problems
from reportgen.model import Cover


def problems(cover: Cover, counted_on: datetime.date, problems: Problems) -> None:
    """Note what can't be right about the value and the comparables.

    counted_on: the day of the report; nothing can have been sold after it.
    """
    effective = cover.value.effective_date if cover.value else None
    for sale in cover.comparables:
        _price(sale, cover, problems)
        _dates(sale, effective, counted_on, problems)
        for each in sale.adjust:
            _adjustment(each, cover, problems)
    _weights(cover.comparables, problems)
    _twice(cover.comparables, problems)
    if cover.comparables and cover.value is None:
        found = "comparables, but nothing says which type of value they are for"
        write = "add value: with type, definition, definition source, effective date; shown as not stated"
        problems.warn(cover.comparables[0].place.at("comparables"), found, write)
    if cover.value:
        _stated(cover.value, cover, problems)


def _price(sale: Comparable, cover: Cover, problems: Problems) -> None:
    if sale.price == 0:
        problems.error(sale.place.at("price"), "a price of nothing", "write what was paid, or leave it out")
    code = sale.currency.strip().upper()
    if code and cover.currency and code != cover.currency:
        found = f"{sale.currency!r} is not the survey's currency"
        problems.error(sale.place.at("currency"), found, f"write the price in {cover.currency}")
    adjusted = salesgrid.adjust(sale, cover.currency, None) if cover.currency else None
    if adjusted and min((step.running for step in adjusted.steps), default=adjusted.adjusted) <= 0:
        found = f"the adjustments leave {units.money(adjusted.adjusted, cover.currency)} of the price"
        problems.error(sale.place.at("adjust"), found, "look at their amounts, or leave the comparable out")


def _dates(
    sale: Comparable, effective: datetime.date | None, counted_on: datetime.date, problems: Problems
) -> None:
    if not (sale.sold or sale.sold_in or sale.listed) and not _written(
        sale.place, "sold", "sold in", "listed"
    ):
        found = f"{sale.what or 'a comparable'} has no sold"
        write = (
            "write sold: the day, sold in: the month, or listed: when it was advertised; shown as not stated"
        )
        problems.warn(sale.place.at("sold"), found, write)
    for name, on in (("sold", sale.sold), ("sold in", ages.day(sale.sold_in)), ("listed", sale.listed)):
        if on and on > counted_on:
            found = f"{on} lies after {counted_on}, the day of the report"
            problems.error(sale.place.at(name), found, "write the day it happened")
        elif on and effective and on > effective:
            found = f"{on} lies after the effective date {effective}"
            problems.warn(sale.place.at(name), found, "look at both dates: nobody knew of it on that day")


def _adjustment(each: Adjustment, cover: Cover, problems: Problems) -> None:
    if each.amount is not None and each.share is not None:
        found = "an adjustment with an amount and a share"
        problems.error(each.place.at("share"), found, "keep one of them")
    elif each.amount is None and each.share is None and not _written(each.place, "amount", "share"):
        found = "an adjustment without an amount or a share"
        problems.error(each.place.at("amount"), found, "write amount: -1500, or share: -3 %")
    name, change = ("share", each.share) if each.share is not None else ("amount", each.amount)
    if not change or not each.comparable_is or (change < 0) is (each.comparable_is == BETTER):
        return
    better = each.comparable_is == BETTER
    way = "goes down" if better else "goes up"
    right = f"{-change:f} %" if name == "share" else f"{-change:f}"
    found = f"the comparable is {each.comparable_is}, so its price {way}, but {change:f} is written"
    problems.error(each.place.at(name), found, f"write {name}: {right}; never adjust the boat surveyed")


def _written(place: Place, *names: str) -> bool:
    """Say whether one of the keys stands in the notes; a wrong value of it is told already."""
    return any(name in names for name, _, _ in place.inside)


def _weights(sales: Sequence[Comparable], problems: Problems) -> None:
    weights = [sale.weight for sale in sales if sale.weight is not None]
    if not weights:
        return
    bare = next((sale for sale in sales if sale.weight is None), None)
    if bare:
        found = f"{bare.what or 'a comparable'} has no weight, others have one"
        problems.error(bare.place.at("weight"), found, "write a weight for each, or for none")
    elif sum(weights) != 100:
        found = f"the weights add up to {sum(weights, Decimal(0)):f} %"
        problems.error(sales[0].place.at("weight"), found, "write weights that add up to 100 %")


def _twice(sales: Sequence[Comparable], problems: Problems) -> None:
    seen: set[tuple[object, ...]] = set()
    for sale in sales:
        same = (sale.what, sale.price, sale.sold, sale.sold_in, sale.listed)
        if same in seen:
            found = f"{sale.what} stands here twice, with one price and date"
            problems.warn(sale.place.at("what"), found, "keep one of them, or tell them apart")
        seen.add(same)


def _stated(value: Value, cover: Cover, problems: Problems) -> None:
    if value.market is None and value.replacement is None and not cover.comparables:
        write = "write market:, or comparables:; without them the report says nothing of value"
        problems.warn(value.place.at("market"), "a value without any figure", write)
    if value.market is not None and value.replacement is not None and value.replacement < value.market:
        found = f"the replacement value {value.replacement} is below the market value {value.market}"
        problems.warn(value.place.at("replacement"), found, "look at both figures")
    sales = [salesgrid.adjust(s, cover.currency, None) for s in cover.comparables] if cover.currency else []
    grid = salesgrid.reconcile([s for s in sales if s], cover.currency)
    if not grid or value.market is None or value.reasoning or grid.low <= value.market <= grid.high:
        return
    found = f"the market value {value.market} lies outside the comparables' {grid.low} to {grid.high}"
    problems.warn(value.place.at("market"), found, "say why under reasoning:")
