"""What the boat is worth: as the surveyor states it, by comparable sales, and against the cost to come."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal, localcontext

from reportgen import salesgrid, sources, splitting, units, valuewords
from reportgen.block import shown
from reportgen.blocks.value import AFTER_REPAIR, AS_FOUND, Value
from reportgen.estimate import EXACT, Estimate
from reportgen.model import Cover
from reportgen.salesgrid import AdjustedSale, Grid
from reportgen.settlement import Settlement
from reportgen.valuecheck import problems as problems
from reportgen.wording import number, say

_SALES = ("appraisal-adjust-comparable", "appraisal-order", "appraisal-comparables")
_CONTENTS = "appraisal-report-contents"


@dataclass(frozen=True)
class ValueStep:
    """One step of the working: what it finds, the rule, the numbers put in, the printed result."""

    step: str = shown("value", "")
    formula: str = shown("value", "")
    values: str = shown("value", "")
    result: str = shown("value", "")


@dataclass(frozen=True)
class Content:
    """Something that an appraisal report has to state. missing: the parts of it that the notes don't."""

    what: str = shown("value", "")
    missing: tuple[str, ...] = shown("value", ())


@dataclass(frozen=True)
class AllIn:
    """What the buyer pays in all in one way to settle [currency]; above: that less the value."""

    title: str = shown("cost", "")
    buyer_pays: Decimal = shown("cost", Decimal(0))
    above: Decimal = shown("cost", Decimal(0))
    says: str = shown("cost", "")


@dataclass(frozen=True)
class CostToCome:
    """The cost to come against the value.

    cost: likely [currency]. share: of the value [%], to two decimals. unpriced: items that it leaves out.
    left: the value less the cost, None where the value is for the boat as found [currency].
    all_in: by way to settle, where the value is for the boat after the repairs.
    """

    cost: Decimal = shown("cost", Decimal(0))
    share: Decimal = shown("cost", Decimal(0))
    unpriced: int = shown("open", 0)
    left: Decimal | None = shown("cost")
    says: tuple[str, ...] = shown("cost", ())
    steps: tuple[ValueStep, ...] = shown("cost", ())
    all_in: tuple[AllIn, ...] = shown("cost", ())


@dataclass(frozen=True)
class Valuation:
    """An opinion of value on one day.

    low, likely, high: lowest, mean by weight and highest of the adjusted comparables, None without any.
    market, replacement: as the surveyor states them; value: market, else likely [all in the currency].
    value_is: which of the two. effective: day the value is for, None if not stated; view: current, past or
    prospective. stated_for: as found, after repair, or empty if not said. gross_limit: [%].
    working: of the mean. compared: sentences; against_price: one on the price, empty if there is none.
    contents: what an appraisal report states.
    """

    currency: str = shown("open", "")
    low: Decimal | None = shown("value")
    likely: Decimal | None = shown("value")
    high: Decimal | None = shown("value")
    comparables: tuple[AdjustedSale, ...] = shown("value", ())
    equal_weights: bool = shown("value", True)
    working: tuple[ValueStep, ...] = shown("value", ())
    market: Decimal | None = shown("value")
    replacement: Decimal | None = shown("value")
    value: Decimal | None = shown("value")
    value_is: str = shown("value", "")
    type: str = shown("value", "")
    definition: str = shown("value", "")
    definition_source: str = shown("value", "")
    effective: datetime.date | None = shown("value")
    view: str = shown("value", "")
    stated_for: str = shown("value", "")
    intended_use: str = shown("value", "")
    intended_users: str = shown("value", "")
    interest: str = shown("value", "")
    method: str = shown("value", "")
    reasoning: str = shown("value", "")
    assumptions: tuple[str, ...] = shown("value", ())
    gross_limit: Decimal | None = shown("value")
    compared: tuple[str, ...] = shown("value", ())
    against_price: str = shown("price", "")
    contents: tuple[Content, ...] = shown("value", ())
    cost_to_come: CostToCome | None = shown("cost")
    sources: tuple[str, ...] = shown("value", ())


def build(
    cover: Cover,
    estimate: Estimate | None = None,
    settlement: Settlement | None = None,
    counted_on: datetime.date | None = None,
) -> Valuation | None:
    """Give the value; None where the notes have neither comparables nor a stated value.

    counted_on: the day that the ages of comparables count from if no effective date is stated.
    Source: appraisal-adjust-comparable, appraisal-order, appraisal-report-contents.
    """
    said = cover.value or Value()
    grid = _grid(cover, said, counted_on or cover.counted_on) if cover.currency else None
    if grid is None and said.market is None and said.replacement is None:
        return None
    value = said.market if said.market is not None else grid.likely if grid else None
    return Valuation(
        currency=cover.currency,
        low=grid.low if grid else None,
        likely=grid.likely if grid else None,
        high=grid.high if grid else None,
        comparables=grid.comparables if grid else (),
        equal_weights=grid.equal if grid else True,
        working=_working(grid, cover.currency) if grid else (),
        market=said.market,
        replacement=said.replacement,
        value=value,
        value_is="" if value is None else "stated" if said.market is not None else "of the comparables",
        type=said.type,
        definition=said.definition,
        definition_source=said.definition_source,
        effective=said.effective_date,
        view=_view(said.effective_date, cover),
        stated_for=said.stated_for,
        intended_use=said.intended_use or cover.made_for,
        intended_users=said.intended_users or cover.made_for,
        interest=said.interest,
        method=said.method or (say("comparison with sales of like boats") if grid else ""),
        reasoning=said.reasoning,
        assumptions=said.assumptions,
        gross_limit=said.gross_limit,
        compared=valuewords.compared(said, grid, cover.currency),
        against_price=valuewords.against_price(value, said.stated_for, settlement, cover.currency),
        contents=_contents(said, cover, bool(grid)),
        cost_to_come=_cost_to_come(value, said.stated_for, estimate, settlement, cover.currency),
        sources=tuple(str(sources.get(id)) for id in (*(_SALES if grid else ()), _CONTENTS)),
    )


def _grid(cover: Cover, said: Value, counted_on: datetime.date) -> Grid | None:
    as_of = said.effective_date or counted_on
    sales = (salesgrid.adjust(s, cover.currency, as_of, said.gross_limit) for s in cover.comparables)
    return salesgrid.reconcile([s for s in sales if s], cover.currency)


def _working(grid: Grid, currency: str) -> tuple[ValueStep, ...]:
    prices = ", ".join(units.money(sale.adjusted, currency) for sale in grid.comparables)
    mean = say("Mean of equal weights") if grid.equal else say("Mean by weight")
    return (
        ValueStep(say("Lowest"), say("lowest adjusted price"), prices, units.money(grid.low, currency)),
        ValueStep(mean, grid.formula, grid.values, units.money(grid.likely, currency)),
        ValueStep(say("Highest"), say("highest adjusted price"), prices, units.money(grid.high, currency)),
    )


def _view(effective: datetime.date | None, cover: Cover) -> str:
    """Say how the day of the value lies to inspection and report. Source: appraisal-report-contents."""
    if effective is None or not cover.inspected:
        return ""
    if effective > cover.counted_on:
        return "prospective"
    return "past" if effective < min(cover.inspected) else "current"


def _contents(said: Value, cover: Cover, compared: bool) -> tuple[Content, ...]:
    """Give what an appraisal report has to state, with what is missing. Source: appraisal-report-contents."""
    client, found = cover.people.client, cover.found
    rows: tuple[tuple[str, dict[str, object]], ...] = (
        (
            say("client and intended users"),
            {
                say("client"): client and client.name,
                say("intended users"): said.intended_users or cover.made_for,
            },
        ),
        (say("intended use"), {say("intended use"): said.intended_use or cover.made_for}),
        (
            say("which boat it is"),
            {say("hull or registration number"): found.hull_number or found.registration},
        ),
        (say("interest valued"), {say("interest"): said.interest}),
        (
            say("type of value"),
            {
                say("type"): said.type,
                say("definition"): said.definition,
                say("source of the definition"): said.definition_source,
            },
        ),
        (
            say("dates"),
            {say("effective date"): said.effective_date, say("date of the report"): cover.reported},
        ),
        (say("scope of work"), {say("scope"): cover.scope}),
        (
            say("method and reasoning"),
            {say("method"): compared or said.method, say("reasoning"): said.reasoning},
        ),
        (
            say("signed certification"),
            {say("certification"): cover.certification, say("signature"): cover.signed},
        ),
    )
    return tuple(
        Content(what, tuple(part for part, stated in parts.items() if not stated)) for what, parts in rows
    )


def _cost_to_come(
    value: Decimal | None, stated_for: str, estimate: Estimate | None, deal: Settlement | None, code: str
) -> CostToCome | None:
    """Hold the likely cost to come against the value; None without either.

    A value as found already allows for what was seen; one after the repairs does not.
    Source: common practice, no source.
    """
    if not value or estimate is None or not (estimate.priced or estimate.unpriced):
        return None
    cost, unpriced = estimate.likely, estimate.unpriced
    if not estimate.priced:
        said = say("No item has a price yet, so the cost to come can't be held against the value.")
        return CostToCome(cost=cost, unpriced=unpriced, says=(said,))
    with localcontext(EXACT):
        share = units.half_up(cost * 100 / value, 2)
        left = None if stated_for == AS_FOUND else splitting.rounded(value - cost, units.decimals(code))
    all_in = _all_in(value, deal, code) if stated_for == AFTER_REPAIR else ()
    part = say("{share} % of {value}", share=number(f"{share:f}"), value=units.money(value, code))
    says = valuewords.cost_says(part, cost, left, stated_for, unpriced, code)
    return CostToCome(
        cost=cost,
        share=share,
        unpriced=unpriced,
        left=left,
        says=(*says, *valuewords.not_agreed(deal, code)) if all_in else says,
        steps=_cost_steps(value, cost, share, left, code),
        all_in=all_in,
    )


def _cost_steps(
    value: Decimal, cost: Decimal, share: Decimal, left: Decimal | None, code: str
) -> tuple[ValueStep, ...]:
    worth, money = units.money(value, code), units.money(cost, code)
    part = number(f"{share:f}")
    steps = [
        ValueStep(say("Share of the value"), say("cost to come / value"), f"{money} / {worth}", f"{part} %")
    ]
    if left is not None:
        of = (say("Value less cost to come"), say("value − likely cost to come"), f"{worth} − {money}")
        steps.append(ValueStep(*of, units.money(left, code)))
    return tuple(steps)


def _all_in(value: Decimal, deal: Settlement | None, code: str) -> tuple[AllIn, ...]:
    return tuple(
        AllIn(
            way.title,
            way.buyer_pays,
            way.buyer_pays - value,
            valuewords.all_in(way.buyer_pays, value, code),
        )
        for way in (deal.ways if deal else ())
    )
