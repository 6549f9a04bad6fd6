"""Who pays what in each way to settle; what is material; the days left; money already spent."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, localcontext
from typing import NamedTuple

from reportgen import agreement, costshares, material, othercredits, splitting, units
from reportgen.agreement import problems as problems
from reportgen.block import shown
from reportgen.blocks.deal import Agreed, AgreedRepair, Sunk
from reportgen.blocks.finding import PAYERS
from reportgen.costshares import FindingCost
from reportgen.estimate import EXACT, Estimate, MoneyStep
from reportgen.material import Material, added_up
from reportgen.model import Cover, Finding
from reportgen.ways import (
    TITLES,
    ZERO,
    Plan,
    PriceStep,
    Sums,
    Three,
    Way,
    price_of,
    see_to_the_end,
    waterfall,
)
from reportgen.wording import later, say, say_in, say_n

_DATES = {
    "offer": "offer accepted",
    "notice_by": "last day to name defects",
    "acceptance_by": "last day to accept or refuse",
    "closing": "closing",
}
# deadlines: once past, they are lost; the day of the offer is no deadline
_REPAIRS_DONE, _HELD_UNTIL = "repairs done by", "last day of the holdback"
_SETTLED = later("of each finding by its number, without the buyer's share")
_LATE = {"last day to name defects", "last day to accept or refuse", "closing", _REPAIRS_DONE, _HELD_UNTIL}


@dataclass(frozen=True)
class DealDay:
    """A date of the deal. left: days from the day counted on, below zero once past [days]."""

    what: str = shown("price", "")
    on: datetime.date = shown("price", datetime.date.min)
    left: int = shown("price", 0)
    says: str = shown("price", "")


@dataclass(frozen=True)
class SunkCosts:
    """Money that the inspection has already cost [currency]; no part of any repair. by_payer: totals."""

    rows: tuple[Sunk, ...] = shown("price", ())
    by_payer: tuple[tuple[str, Decimal], ...] = shown("price", ())
    steps: tuple[MoneyStep, ...] = shown("price", ())


@dataclass(frozen=True)
class Settled:
    """What one agreed sum or repair settles. likely: cost of it that is not the buyer's [currency].

    amount: agreed, None for a repair [currency]. unpriced: ids that have no price, so no part of likely.
    """

    way: str = shown("price", "")
    covers: tuple[str, ...] = shown("price", ())
    likely: Decimal = shown("price", Decimal(0))
    amount: Decimal | None = shown("price")
    unpriced: tuple[str, ...] = shown("price", ())
    steps: tuple[MoneyStep, ...] = shown("price", ())


@dataclass(frozen=True)
class Settlement:
    """The ways to settle, compared.

    price: agreed, else offered, else asked; price_is says which [currency]. seller_share, buyer_share,
    not_agreed: of the likely cost to come [currency]. other_credits: by P50 and P80, where they say more.
    bare_share: the seller's without contingency, as those credits are [currency]; None without them.
    agreed: as the notes have it; settled: what each part of it settles; unsettled: ids that nothing settles.
    parts: from the asking price to the buyer's all-in cost, in the way that parts_way names.
    notice: what the dates say about the material findings.
    """

    currency: str = shown("open", "")
    counted_on: datetime.date = shown("open", datetime.date.min)
    price: Decimal = shown("price", Decimal(0))
    price_is: str = shown("price", "")
    deposit: Decimal | None = shown("price")
    seller_share: Decimal = shown("price", Decimal(0))
    buyer_share: Decimal = shown("price", Decimal(0))
    not_agreed: Decimal = shown("price", Decimal(0))
    ways: tuple[Way, ...] = shown("price", ())
    other_credits: tuple[Way, ...] = shown("price", ())
    bare_share: Decimal | None = shown("price")
    agreed: Agreed | None = shown("price")
    settled: tuple[Settled, ...] = shown("price", ())
    unsettled: tuple[str, ...] = shown("price", ())
    parts: tuple[PriceStep, ...] = shown("price", ())
    parts_way: str = shown("price", "")
    material: Material | None = shown("price")
    notice: str = shown("price", "")
    dates: tuple[DealDay, ...] = shown("price", ())
    sunk: SunkCosts = shown("price", SunkCosts())
    unpriced: int = shown("open", 0)

    @property
    def buyer_between(self) -> tuple[Decimal, Decimal]:
        """Give the least and the most that the buyer pays in all, by the way chosen [currency]."""
        pays = [way.buyer_pays for way in self.ways]
        return min(pays, default=self.price), max(pays, default=self.price)

    @property
    def deposit_released(self) -> bool:
        """Say whether the seller's cash at closing has the deposit in it, which another held until then."""
        held = ((way, way.held.amount if way.held else ZERO) for way in self.ways)
        return any(way.seller_at_closing + kept != way.cash_at_closing for way, kept in held)

    @property
    def next_day(self) -> DealDay | None:
        """Give the day of the deal that comes next, today's with it; None once all are past."""
        return min((d for d in self.dates if d.left >= 0), key=lambda d: d.left, default=None)


class _Cost(NamedTuple):
    """What one finding costs each payer, at low, likely and high [currency]; open: of no agreed payer."""

    id: str
    seller: Three
    buyer: Three
    open: Three


def build(
    estimate: Estimate | None,
    cover: Cover,
    findings: Sequence[Finding],
    counted_on: datetime.date | None = None,
) -> Settlement | None:
    """Give the ways to settle; None without a price.

    counted_on: the day that days are counted from, else the cover note's. Source: common practice, no source.
    In every way buyer_pays − seller_receives is what the repairs and the buyer's inspection cost.
    """
    price, price_is = price_of(cover)
    if price is None or not cover.price:
        return None
    with localcontext(EXACT):
        costs = _costs(estimate)
        sums = _sums(price, costs, estimate, cover)
        plans = _plans(costs, sums, cover, findings)
        credits = othercredits.build(estimate, plans[-1], sums)
        dates = deal_days(cover, counted_on or cover.counted_on)
        found = material.judge(price, cover.price.material_threshold, cover.currency, estimate, findings)
        return Settlement(
            currency=cover.currency,
            counted_on=counted_on or cover.counted_on,
            price=price,
            price_is=price_is,
            deposit=cover.price.deposit,
            seller_share=_all(c.seller for c in costs).likely + _zero(cover),
            buyer_share=sums.buyer.likely,
            not_agreed=_all(c.open for c in costs).likely + _zero(cover),
            ways=tuple(see_to_the_end(plan, sums) for plan in plans),
            other_credits=credits,
            bare_share=othercredits.bare_share(estimate) if estimate and credits else None,
            agreed=cover.settlement,
            settled=_settled(cover, findings, estimate),
            unsettled=_unsettled(cover, findings, costs),
            parts=waterfall(plans[0], sums, cover.price.asking, price_is),
            parts_way=say(TITLES[plans[0].way]),
            material=found,
            notice=_notice(found, dates),
            dates=dates,
            sunk=sunk_costs(cover),
            unpriced=sums.unpriced,
        )


def _costs(estimate: Estimate | None) -> tuple[_Cost, ...]:
    """Give what each priced finding costs each payer."""

    def three(cost: FindingCost, payer: str) -> Three:
        every = (cost.paid_low, cost.paid, cost.paid_high)
        return Three(*(dict(paid).get(payer, ZERO) for paid in every))

    return tuple(
        _Cost(cost.id, *(three(cost, payer) for payer in costshares.PAYERS))
        for cost in (estimate.by_finding if estimate else ())
    )


def _all(costs: Iterable[Three]) -> Three:
    found = Three()
    for cost in costs:
        found = found.plus(cost)
    return found


def _sums(price: Decimal, costs: Sequence[_Cost], estimate: Estimate | None, cover: Cover) -> Sums:
    zero = _zero(cover)
    return Sums(
        price=price,
        buyer=_all([Three(zero, zero, zero), *(c.buyer for c in costs)]),
        sunk=dict(sunk_costs(cover).by_payer).get("buyer", zero),
        deposit=(cover.price.deposit if cover.price else None) or zero,
        with_holder=bool(cover.price and cover.price.deposit_held_by),
        unpriced=estimate.unpriced if estimate else 0,
        currency=cover.currency,
    )


def _zero(cover: Cover) -> Decimal:
    return splitting.rounded(Decimal(0), units.decimals(cover.currency))


def _plans(costs: Sequence[_Cost], sums: Sums, cover: Cover, findings: Sequence[Finding]) -> tuple[Plan, ...]:
    """Give the ways in their order: as agreed, or else mixed, then each way for all findings alike.

    What was agreed stands in the place of a mix by the findings' words, which was only a proposal.

    The way for all alike that is proposed for a holdback holds the high figure of the seller's share,
    which no case of the estimate passes.
    """
    zero = sums.price - sums.price
    seller = _all([Three(zero, zero, zero), *(c.seller for c in costs)])
    open_ = _all(c.open for c in costs).likely
    held = min(max(seller), sums.price)
    alike = (
        Plan("repair", by_seller=seller, open=open_),
        *([Plan("holdback", by_holder=seller, held=held, open=open_)] if held else []),
        Plan("as it is", by_buyer=seller, open=open_),
        Plan("credit", by_buyer=seller, credit=seller.likely, open=open_),
    )
    first = tuple(_agreed_plan(costs, cover, findings)) or tuple(_mixed_plan(costs, findings))
    return (*first, *alike)


def _agreed_plan(costs: Sequence[_Cost], cover: Cover, findings: Sequence[Finding]) -> Iterator[Plan]:
    """Give the way that was agreed: its sums, and the cost of what each of them settles."""
    agreed = cover.settlement
    if agreed is None:
        return
    ways = agreement.by_finding(agreed, findings)
    # what an entry settles, it settles whole: also the part that no payer was agreed for
    own = [c._replace(seller=c.seller.plus(c.open), open=Three()) if c.id in ways else c for c in costs]
    credits = [credit.amount for credit in agreed.credit if credit.amount is not None]
    plan = replace(_by_way("agreed", own, ways), credit=sum(credits, ZERO) if credits else None)
    held = agreed.holdback
    if held and held.amount is not None:
        work = plan.by_holder or Three()
        plan = replace(plan, held=held.amount, by_holder=work, overrun=held.overrun, underrun=held.underrun)
    yield plan


def _mixed_plan(costs: Sequence[_Cost], findings: Sequence[Finding]) -> Iterator[Plan]:
    """Give each finding its own way, at the estimate; none where all are settled alike."""
    ways = {f.id: f.settle_by for f in findings if f.settle_by}
    if len({ways.get(c.id, "") for c in costs if any(c.seller)}) < 2:
        return
    plan = _by_way("mixed", costs, ways)
    credit = _all(c.seller for c in costs if ways.get(c.id) == agreement.CREDIT).likely
    held = None if plan.by_holder is None else max(plan.by_holder)
    yield replace(plan, credit=credit if agreement.CREDIT in ways.values() else None, held=held)


def _by_way(way: str, costs: Sequence[_Cost], ways: Mapping[str, str]) -> Plan:
    """Give who does the seller's share of the repairs, each finding by its own way."""

    def of(*names: str) -> Three | None:
        own = [c.seller for c in costs if ways.get(c.id, "") in names and any(c.seller)]
        return _all(own) if own else None

    undecided = of("") or Three()
    return Plan(
        way,
        by_seller=of(agreement.REPAIR),
        by_buyer=of(agreement.CREDIT, agreement.AS_IT_IS),
        by_holder=of(agreement.HOLDBACK),
        open=_all(c.open for c in costs).likely,
        undecided=undecided.likely,
    )


def _settled(cover: Cover, findings: Sequence[Finding], estimate: Estimate | None) -> tuple[Settled, ...]:
    """Give what each entry of the agreement settles, with the likely cost of that."""
    if cover.settlement is None:
        return ()
    costs = {cost.id: cost for cost in estimate.by_finding} if estimate else {}
    found = []
    for one in agreement.covered(cover.settlement, findings):
        own = [costs[id] for id in one.ids if id in costs]
        each = [agreement.not_buyers(cost, "paid") for cost in own]
        likely = sum(each, _zero(cover))
        amount = None if isinstance(one.entry, AgreedRepair) else one.entry.amount
        unpriced = tuple(cost.id for cost in own if cost.unpriced)
        step = added_up(say("Likely cost of what it settles"), say(_SETTLED), each, likely, cover.currency)
        if own and len(unpriced) == len(own) and not likely:
            # what nobody has priced yet is not free of charge
            step = replace(step, values=say("nothing priced"), result=say("no price yet"))
        found.append(Settled(one.way, one.ids, likely, amount, unpriced, (step,)))
    return tuple(found)


def _unsettled(cover: Cover, findings: Sequence[Finding], costs: Sequence[_Cost]) -> tuple[str, ...]:
    """Give the findings with a cost of the seller's, or of nobody's, that the agreement leaves open."""
    if cover.settlement is None:
        return ()
    ways = agreement.by_finding(cover.settlement, findings)
    priced = {c.id for c in costs if any(c.seller) or any(c.open)}
    return tuple(f.id for f in findings if f.id in priced and f.id not in ways)


def _notice(found: Material | None, dates: Sequence[DealDay]) -> str:
    """Say until when material findings can be named, and plainly if that day is past."""
    last = next((day for day in dates if day.what == _DATES["notice_by"]), None)
    if found is None or not found.counted or last is None:
        return ""
    if last.left < 0:
        return say(
            "The last day to name them to the seller is past: it was {days} ago.", days=_days(-last.left)
        )
    if last.left == 0:
        return say("Today is the last day to name them to the seller.")
    return say_n(
        "{n} day is left to name them to the seller.",
        "{n} days are left to name them to the seller.",
        last.left,
    )


def deal_days(cover: Cover, counted_on: datetime.date) -> tuple[DealDay, ...]:
    """Give the dates of the deal in the order of days, each with the days left."""
    known = [(getattr(cover.dates, name, None), what) for name, what in _DATES.items()]
    agreed = cover.settlement
    due = [repair.by for repair in agreed.repair] if agreed else []
    known += [(on, _REPAIRS_DONE) for on in dict.fromkeys(due) if isinstance(on, datetime.date)]
    known += [(agreed.holdback.until, _HELD_UNTIL)] if agreed and agreed.holdback else []
    days = sorted(((on, what) for on, what in known if on), key=lambda day: day[0])
    return tuple(
        DealDay(what, on, (on - counted_on).days, _left((on - counted_on).days, what)) for on, what in days
    )


def _days(count: int) -> str:
    return say_n("{n} day", "{n} days", count)


def _left(days: int, what: str) -> str:
    if days >= 0:
        return say("{days} left", days=_days(days)) if days else say("today")
    return (
        say("past, by {days}", days=_days(-days)) if what in _LATE else say("{days} ago", days=_days(-days))
    )


def sunk_costs(cover: Cover) -> SunkCosts:
    """Give what the inspection has already cost, with the total of each payer [currency]."""
    found, steps = [], []
    for payer in PAYERS:
        own = [s.amount for s in cover.inspection_cost if s.paid_by == payer and s.amount]
        if own:
            found.append((payer, sum(own, _zero(cover))))
            what = say("Spent by {who}", who=say_in("paid by", f"the {payer}"))
            steps.append(added_up(what, say("the amounts listed"), own, found[-1][1], cover.currency))
    return SunkCosts(cover.inspection_cost, tuple(found), tuple(steps))
