"""What putting the boat right will cost: strip-downs paid once, three figures each, and who bears them."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Context, Decimal, localcontext
from functools import partial

from reportgen import (
    bill,
    billwords,
    choices,
    costshares,
    deviations,
    jobs,
    rateswords,
    splitting,
    units,
    visits,
)
from reportgen.bill import Pick, Row, Terms
from reportgen.billwords import MoneyStep as MoneyStep
from reportgen.block import shown
from reportgen.blocks.finding import SEVERITIES
from reportgen.choices import OptionCost, QuoteCost, WaitCost
from reportgen.costshares import FindingCost, Share
from reportgen.deviations import Deviations
from reportgen.jobs import VISITS, Access, Job
from reportgen.model import Cover, Finding
from reportgen.pricecheck import problems as problems
from reportgen.units import Span
from reportgen.visits import Billed, Visit
from reportgen.wording import say

# wide enough that sums of the largest figures that notes may hold stay exact
EXACT = Context(prec=60)


@dataclass(frozen=True)
class Line:
    """One printed line of the estimate; the lines add up to the total.

    group: labour, parts, supplies, tax, contingency or fixed. trade: of the rate, empty if one is for all.
    visit: "repair visit" or "later visit". low, likely, high: [currency]. hours: of labour [h].
    """

    what: str = shown("cost", "")
    group: str = shown("cost", "")
    trade: str = shown("cost", "")
    visit: str = shown("cost", "")
    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))
    hours: Span | None = shown("work")


@dataclass(frozen=True)
class StripDownCost:
    """A strip-down in one visit, paid once there.

    needed_by: ids of the findings. hours: of its first person [h]. charges: of the yard, in words.
    shared: whether several need it.
    low, likely, high: its labour, parts and fixed cost, before supplies, tax and contingency [currency].
    twice: whether the other visit pays for it again.
    """

    name: str = shown("work", "")
    visit: str = shown("work", "")
    needed_by: tuple[str, ...] = shown("work", ())
    hours: Span | None = shown("work")
    charges: tuple[str, ...] = shown("cost", ())
    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))
    shared: bool = shown("work", False)
    twice: bool = shown("work", False)


@dataclass(frozen=True)
class Estimate:
    """The cost to come [currency]: findings open or reported done, checked ones left out.

    low, high: sums of all lows and all highs, which is not the likely range; p10 to p90 is.
    mean: of the three figures. p10 to p90: to three figures; likely itself if nothing is uncertain.
    deviation: of the total by adding variances; apart: as if findings shared no strip-down; drawn: of the
    simulation, to three figures. steps: (from, to [currency], share of the draws [%]).
    by_trade: labour of each trade, then parts and what else the lines are of.
    unpriced: items that the total leaves out; priced: findings with an amount in it. Zero priced is no total.
    saved_by_doing_together: against the repairs priced one by one. sharing: the rule for strip-downs that
    repairs of different payers need, empty if there are none. twice: strip-downs paid in both visits.
    expired: ids of findings whose quote has run out and isn't used.
    options, waits, quotes: what else could be done, and what others ask for it.
    terms: rates, shares and taxes that it goes by, each with its name, in words.
    seller_p50, seller_p80: the seller's share without contingency, None if the seller has none.
    """

    currency: str = shown("open", "")
    lines: tuple[Line, ...] = shown("cost", ())
    strip_downs: tuple[StripDownCost, ...] = shown("work", ())
    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))
    mean: Decimal = shown("cost", Decimal(0))
    p10: Decimal = shown("cost", Decimal(0))
    p50: Decimal = shown("cost", Decimal(0))
    p80: Decimal = shown("cost", Decimal(0))
    p90: Decimal = shown("cost", Decimal(0))
    uncertain: bool = shown("cost", False)
    deviation: Decimal = shown("cost", Decimal(0))
    deviation_apart: Decimal = shown("cost", Decimal(0))
    deviation_drawn: Decimal = shown("cost", Decimal(0))
    steps: tuple[tuple[Decimal, Decimal, Decimal], ...] = shown("cost", ())
    unpriced: int = shown("open", 0)
    unpriced_ids: tuple[str, ...] = shown("open", ())
    priced: int = shown("open", 0)
    saved_by_doing_together: Decimal = shown("cost", Decimal(0))
    by_finding: tuple[FindingCost, ...] = shown("cost", ())
    by_payer: tuple[Share, ...] = shown("payer", ())
    by_trade: tuple[Share, ...] = shown("cost", ())
    by_visit: tuple[Share, ...] = shown("cost", ())
    by_severity: tuple[Share, ...] = shown("cost", ())
    sharing: str = shown("payer", "")
    twice: tuple[str, ...] = shown("work", ())
    expired: tuple[str, ...] = shown("cost", ())
    seller_p50: Decimal | None = shown("payer")
    seller_p80: Decimal | None = shown("payer")
    options: tuple[OptionCost, ...] = shown("cost", ())
    waits: tuple[WaitCost, ...] = shown("work", ())
    quotes: tuple[QuoteCost, ...] = shown("cost", ())
    terms: tuple[tuple[str, str], ...] = shown("rates", ())
    working: tuple[MoneyStep, ...] = shown("rates", ())

    @property
    def rather(self) -> Decimal | None:
        """Give P50 where all together come to over 1 % more than the likely figures added up [currency]."""
        return self.p50 if self.likely and self.p50 * 100 > self.likely * 101 else None


def build(
    findings: Sequence[Finding], cover: Cover, counted_on: datetime.date | None = None
) -> Estimate | None:
    """Give the cost to come; None without a currency, or if no finding has a repair and none lacks a price.

    counted_on: the day that quotes are held against; else the cover note's.
    Source: common practice of yards for the rule, the notes for its shares, uncertainty for mean and spread.
    """
    with localcontext(EXACT):
        day = counted_on or cover.counted_on
        waiting = jobs.to_come(findings, cover, day)
        if not cover.currency or not (waiting or any(jobs.ways(f) for f in findings)):
            return None
        return replace(
            _estimate(waiting, cover),
            options=choices.options(findings, cover, day),
            waits=choices.waits(findings),
            quotes=choices.quotes(findings, cover, day),
        )


def _estimate(waiting: tuple[Job, ...], cover: Cover) -> Estimate:
    coming, terms, decimals = visits.of(waiting, cover), bill.terms(cover), units.decimals(cover.currency)
    billed = {name: visits.billed(coming, terms, pick, decimals) for name, pick in visits.PICKS.items()}
    found = Estimate(
        currency=cover.currency,
        lines=_lines(billed),
        strip_downs=_strip_downs(coming, decimals),
        low=visits.total(billed["low"], decimals),
        likely=visits.total(billed["likely"], decimals),
        high=visits.total(billed["high"], decimals),
        mean=visits.total(billed["mean"], decimals),
        unpriced_ids=tuple(job.finding.id for job in waiting if job.unpriced),
        sharing=_sharing(coming, cover.share_strip_downs),
        twice=_twice(coming),
        expired=tuple(job.finding.id for job in waiting if job.expired),
        terms=rateswords.terms(cover),
    )
    added = deviations.of(coming, terms)
    shared = _with_shares(found, waiting, billed, coming, added, cover)
    spread = _with_spread(shared, coming, terms, billed["likely"], added, decimals)
    return _with_working(spread, coming, billed["likely"], cover)


def _with_shares(
    found: Estimate,
    waiting: tuple[Job, ...],
    billed: Mapping[str, Billed],
    coming: Sequence[Visit],
    added: Deviations,
    cover: Cover,
) -> Estimate:
    """Add who bears what."""
    decimals = units.decimals(cover.currency)
    amounts = {
        name: costshares.share_out([row for _, row in billed[name]], decimals)
        for name in ("low", "likely", "high")
    }
    costs = _described(costshares.by_finding(waiting, amounts, decimals), billed, coming, added, decimals)
    severities = [job.finding.severity for job in waiting]
    return replace(
        found,
        unpriced=len(found.unpriced_ids),
        priced=sum(cost.likely is not None for cost in costs),
        by_finding=costs,
        by_payer=costshares.by_payer(waiting, amounts, decimals),
        by_trade=costshares.by_trade(billed),
        by_visit=costshares.by_group([job.visit for job in waiting], costs, VISITS, decimals),
        by_severity=costshares.by_group(severities, costs, SEVERITIES, decimals),
    )


def _described(
    costs: Sequence[FindingCost],
    billed: Mapping[str, Billed],
    coming: Sequence[Visit],
    added: Deviations,
    decimals: int,
) -> tuple[FindingCost, ...]:
    """Add each finding's mean and deviation, its share of every line, and its hours."""
    means = costshares.share_out([row for _, row in billed["mean"]], decimals)
    likely = [row for _, row in billed["likely"]]
    lines = costshares.by_line(likely, decimals)
    kept = costshares.share_out([row for row in likely if row.group == "contingency"], decimals)
    hours = costshares.hours(figure for visit in coming for figure in visit.figures)
    return tuple(
        cost
        if cost.likely is None
        else replace(
            cost,
            mean=_cents(sum(means.get(cost.id, {}).values(), Decimal(0)), decimals),
            deviation=_cents(added.by_finding.get(cost.id, Decimal(0)), decimals),
            paid_contingency=tuple(kept.get(cost.id, {}).items()),
            lines=tuple(lines.get(cost.id, ())),
            hours=hours.get(cost.id, ""),
        )
        for cost in costs
    )


def _cents(amount: Decimal, decimals: int) -> Decimal:
    return splitting.rounded(amount, decimals)


def _lines(billed: Mapping[str, Billed]) -> tuple[Line, ...]:
    lines = []
    for (visit, low), (_, likely), (_, high) in zip(
        *(billed[n] for n in ("low", "likely", "high")), strict=True
    ):
        amounts = (low.amount, likely.amount, high.amount)
        lines.append(Line(likely.what, likely.group, likely.rate, visit, *amounts, _hours(low, likely, high)))
    return tuple(lines)


def _hours(low: Row, likely: Row, high: Row) -> Span | None:
    if low.hours is None or likely.hours is None or high.hours is None:
        return None
    return Span(low.hours, likely.hours, high.hours, "h")


def _twice(coming: Sequence[Visit]) -> tuple[str, ...]:
    names = [access.name for visit in coming for access in visit.accesses]
    return tuple(name for name in dict.fromkeys(names) if names.count(name) > 1)


def _strip_downs(coming: Sequence[Visit], decimals: int) -> tuple[StripDownCost, ...]:
    twice = _twice(coming)
    return tuple(
        StripDownCost(
            access.name,
            access.visit,
            tuple(job.finding.id for job in access.jobs),
            access.hours,
            charges=tuple(f"{f.what}: {f.how}" for f in access.figures if f.how),
            low=_access_cost(access, visits.PICKS["low"], decimals),
            likely=_access_cost(access, visits.PICKS["likely"], decimals),
            high=_access_cost(access, visits.PICKS["high"], decimals),
            shared=len(access.jobs) > 1,
            twice=access.name in twice,
        )
        for visit in coming
        for access in visit.accesses
    )


def _access_cost(access: Access, pick: Pick, decimals: int) -> Decimal:
    amounts = (
        bill.amount(f, pick) * (1 + f.overtime * f.surcharge) * (1 + f.tax / 100) for f in access.figures
    )
    return sum((_cents(amount, decimals) for amount in amounts), _cents(Decimal(0), decimals))


def _sharing(coming: Sequence[Visit], rule: str) -> str:
    """Say how strip-downs are shared that repairs of different payers need; empty if there are none."""
    names = dict.fromkeys(a.name for visit in coming for a in visit.accesses if len(a.payers) > 1)
    for figure in (f for visit in coming for f in visit.once):
        if len({payer for (_, payer), share in figure.by.items() if share}) > 1:
            names[figure.what] = None
    if not names:
        return ""
    return billwords.sharing(tuple(names), rule)


def _with_working(found: Estimate, coming: Sequence[Visit], likely: Billed, cover: Cover) -> Estimate:
    """Add the saving and the working: the lines of each visit, the total, the mean, the percentiles."""
    steps: list[MoneyStep] = []
    for visit in coming:
        own = [row for name, row in likely if name == visit.name]
        steps.extend(billwords.working(cover, visit.figures, own, visit.name if len(coming) > 1 else ""))
    terms, money = bill.terms(cover), partial(units.money, currency=found.currency)
    what = say("Total of what has a price") if found.unpriced else say("Total")
    lines = " + ".join(money(line.likely) for line in found.lines)
    steps.append(MoneyStep(what, say("the printed lines added up"), lines, money(found.likely)))
    alone, decimals = visits.alone(coming, terms, cover), units.decimals(found.currency)
    together = sum((visits.exact(visit.figures, terms) for visit in coming), Decimal(0))
    saved = _cents(max(sum(alone.values()) - together, Decimal(0)), decimals)
    # to the cent so that they and the saving come out beside the total, whose lines are rounded one by one
    by_number = {cost.id: alone[cost.id] for cost in found.by_finding if cost.id in alone}
    each = splitting.split(found.likely + saved, by_number, decimals)
    steps.extend(billwords.saving(tuple(each.values()), found.likely, money))
    if found.uncertain:
        drawn = (found.p10, found.p50, found.p80, found.p90)
        spread = ", ".join(_round(amount, found.currency) for amount in drawn)
        steps.append(MoneyStep(say("Mean"), say(billwords.MEAN), "", money(found.mean)))
        values = _values(found, money)
        steps.append(MoneyStep(say("Deviation"), say(billwords.ADDED), values, money(found.deviation)))
        steps.append(MoneyStep("P10, P50, P80, P90", billwords.drawn(), "", spread))
    return replace(found, saved_by_doing_together=saved, working=tuple(steps))


def _round(drawn: Decimal, currency: str) -> str:
    """Print a drawn sum, of three figures, without decimals that nobody drew."""
    whole = drawn == drawn.to_integral_value()
    return units.whole_money(drawn, currency) if whole else units.money(drawn, currency)


def _values(found: Estimate, money: Callable[[Decimal], str]) -> str:
    """Say what the deviation would be without shared strip-downs, and what the draws give."""
    apart, drawn = money(found.deviation_apart), _round(found.deviation_drawn, found.currency)
    return say(
        "{apart} if the findings had nothing in common; {drawn} by the draws", apart=apart, drawn=drawn
    )


def _with_spread(
    plain: Estimate,
    coming: Sequence[Visit],
    terms: Terms,
    likely: Billed,
    added: Deviations,
    decimals: int,
) -> Estimate:
    """Add the percentiles; where nothing is uncertain they are the likely figure itself."""
    spread = bill.spread([visit.figures for visit in coming], terms, "seller")
    p10, p50, p80, p90 = spread.whole or (plain.likely,) * 4
    side: tuple[Decimal, ...] | tuple[None, None] = (None, None)
    if any(payer == "seller" for _, row in likely for _, payer in row.bases):
        side = spread.side or (_seller_likely(likely),) * 2
    side50, side80 = (None if amount is None else _cents(amount, decimals) for amount in side)
    return replace(
        plain,
        p10=_cents(p10, decimals),
        p50=_cents(p50, decimals),
        p80=_cents(p80, decimals),
        p90=_cents(p90, decimals),
        uncertain=spread.whole is not None,
        deviation=_cents(added.together, decimals),
        deviation_apart=_cents(added.apart, decimals),
        deviation_drawn=_cents(spread.deviation, decimals),
        steps=spread.steps,
        seller_p50=side50,
        seller_p80=side80,
    )


def _seller_likely(likely: Billed) -> Decimal:
    """Give the seller's share of the likely lines without contingency, unrounded [currency]."""
    share = Decimal(0)
    for _, row in likely:
        whole = sum(row.bases.values())
        if whole and row.group != "contingency":
            share += row.amount * sum(b for (_, payer), b in row.bases.items() if payer == "seller") / whole
    return share
