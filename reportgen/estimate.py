"""What putting the boat right will cost: strip-downs paid once, three figures each, and who bears them."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Context, Decimal, localcontext
from functools import partial

from reportgen import bill, billwords, costshares, jobs, rateswords, splitting, uncertainty, units
from reportgen.bill import Pick, Row, Terms
from reportgen.billwords import MoneyStep as MoneyStep
from reportgen.block import shown
from reportgen.blocks.finding import SEVERITIES
from reportgen.costshares import FindingCost, Share
from reportgen.jobs import VISITS, Access, Figure, Job
from reportgen.model import Cover, Finding
from reportgen.pricecheck import problems as problems
from reportgen.units import Span

# wide enough that sums of the largest figures that notes may hold stay exact
EXACT = Context(prec=60)
PICKS: Mapping[str, Pick] = {
    "low": lambda span: span.low,
    "likely": lambda span: span.likely,
    "high": lambda span: span.high,
    "mean": uncertainty.mean,
}
_RULES = {
    "hours": "shared by the own likely hours of those repairs, equally where there are none",
    "equal": "shared equally by those repairs",
    "seller": "paid by the seller where both sides need it, else shared by the likely hours of the repairs",
    "buyer": "paid by the buyer where both sides need it, else shared by the likely hours of the repairs",
}

_DRAWN = (
    f"{uncertainty.DRAWS:,} draws: each figure from the Beta distribution on low to high with that mean and "
    "the variance ((high − low) / 6)², independent, a strip-down once a visit, the whole rule on each draw"
)
_MEAN = "(low + 4 × likely + high) / 6 of each figure, put through the same lines"
_SAVED = "repairs priced one by one − total together, unrounded"

_Billed = tuple[tuple[str, Row], ...]  # visit and line


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
    mean: of the three figures. p10, p50, p90: to three figures; likely itself if nothing is uncertain.
    unpriced: items that the total leaves out; priced: findings with an amount in it. Zero priced is no total.
    saved_by_doing_together: against the repairs priced one by one. sharing: the rule for strip-downs that
    repairs of different payers need, empty if there are none. twice: strip-downs paid in both visits.
    expired: ids of findings whose quote has run out and isn't used.
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
    p90: Decimal = shown("cost", Decimal(0))
    uncertain: bool = shown("cost", False)
    unpriced: int = shown("open", 0)
    unpriced_ids: tuple[str, ...] = shown("open", ())
    priced: int = shown("open", 0)
    saved_by_doing_together: Decimal = shown("cost", Decimal(0))
    by_finding: tuple[FindingCost, ...] = shown("cost", ())
    by_payer: tuple[Share, ...] = shown("payer", ())
    by_visit: tuple[Share, ...] = shown("cost", ())
    by_severity: tuple[Share, ...] = shown("cost", ())
    sharing: str = shown("payer", "")
    twice: tuple[str, ...] = shown("work", ())
    expired: tuple[str, ...] = shown("cost", ())
    seller_p50: Decimal | None = shown("payer")
    seller_p80: Decimal | None = shown("payer")
    terms: tuple[tuple[str, str], ...] = shown("rates", ())
    working: tuple[MoneyStep, ...] = shown("rates", ())


@dataclass(frozen=True)
class _Visit:
    """One visit to the yard: its jobs, its strip-downs, what comes once with it, and all their figures."""

    name: str
    jobs: tuple[Job, ...]
    accesses: tuple[Access, ...]
    once: tuple[Figure, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        own = tuple(f for job in self.jobs for f in job.figures)
        return (*own, *(f for access in self.accesses for f in access.figures), *self.once)


def build(
    findings: Sequence[Finding], cover: Cover, counted_on: datetime.date | None = None
) -> Estimate | None:
    """Give the cost to come; None without a currency, or if no finding has a repair and none lacks a price.

    counted_on: the day that quotes are held against; else the cover note's.
    Source: common practice of yards for the rule, the notes for its shares, uncertainty for mean and spread.
    """
    with localcontext(EXACT):
        waiting = jobs.to_come(findings, cover, counted_on or cover.counted_on)
        if not cover.currency or not (waiting or any(f.repair for f in findings)):
            return None
        return _estimate(waiting, cover)


def _estimate(waiting: tuple[Job, ...], cover: Cover) -> Estimate:
    visits, terms, decimals = _visits(waiting, cover), bill.terms(cover), units.decimals(cover.currency)
    billed = {name: _billed(visits, terms, pick, decimals) for name, pick in PICKS.items()}
    found = Estimate(
        currency=cover.currency,
        lines=_lines(billed),
        strip_downs=_strip_downs(visits, decimals),
        low=_sum(billed["low"], decimals),
        likely=_sum(billed["likely"], decimals),
        high=_sum(billed["high"], decimals),
        mean=_sum(billed["mean"], decimals),
        unpriced_ids=tuple(job.finding.id for job in waiting if job.unpriced),
        sharing=_sharing(visits, cover.share_strip_downs),
        twice=_twice(visits),
        expired=tuple(job.finding.id for job in waiting if job.expired),
        terms=rateswords.terms(cover),
    )
    shared = _with_shares(found, waiting, billed, decimals)
    spread = _with_spread(shared, visits, terms, billed["likely"], decimals)
    return _with_working(spread, visits, billed["likely"], cover)


def _with_shares(
    found: Estimate, waiting: tuple[Job, ...], billed: Mapping[str, _Billed], decimals: int
) -> Estimate:
    """Add who bears what."""
    amounts = {
        name: costshares.share_out([row for _, row in billed[name]], decimals)
        for name in ("low", "likely", "high")
    }
    costs = costshares.by_finding(waiting, amounts, decimals)
    severities = [job.finding.severity for job in waiting]
    return replace(
        found,
        unpriced=len(found.unpriced_ids),
        priced=sum(cost.likely is not None for cost in costs),
        by_finding=costs,
        by_payer=costshares.by_payer(waiting, amounts, decimals),
        by_visit=costshares.by_group([job.visit for job in waiting], costs, VISITS, decimals),
        by_severity=costshares.by_group(severities, costs, SEVERITIES, decimals),
    )


def _sum(billed: _Billed, decimals: int) -> Decimal:
    return _cents(bill.total([row for _, row in billed]), decimals)


def _cents(amount: Decimal, decimals: int) -> Decimal:
    return splitting.rounded(amount, decimals)


def _visits(waiting: Sequence[Job], cover: Cover) -> tuple[_Visit, ...]:
    found = []
    for name in VISITS:
        own = tuple(job for job in waiting if job.visit == name)
        if own:
            found.append(_visit(name, own, cover))
    return tuple(found)


def _visit(name: str, own: tuple[Job, ...], cover: Cover) -> _Visit:
    return _Visit(name, own, jobs.accesses(own, cover), jobs.each_visit(own, cover))


def _billed(visits: Sequence[_Visit], terms: Terms, pick: Pick, decimals: int) -> _Billed:
    return tuple(
        (visit.name, row)
        for visit in visits
        for row in bill.rows(visit.figures, terms, pick, lambda amount: _cents(amount, decimals))
    )


def _lines(billed: Mapping[str, _Billed]) -> tuple[Line, ...]:
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


def _twice(visits: Sequence[_Visit]) -> tuple[str, ...]:
    names = [access.name for visit in visits for access in visit.accesses]
    return tuple(name for name in dict.fromkeys(names) if names.count(name) > 1)


def _strip_downs(visits: Sequence[_Visit], decimals: int) -> tuple[StripDownCost, ...]:
    twice = _twice(visits)
    return tuple(
        StripDownCost(
            access.name,
            access.visit,
            tuple(job.finding.id for job in access.jobs),
            access.hours,
            charges=tuple(f"{f.what}: {f.how}" for f in access.figures if f.how),
            low=_access_cost(access, PICKS["low"], decimals),
            likely=_access_cost(access, PICKS["likely"], decimals),
            high=_access_cost(access, PICKS["high"], decimals),
            shared=len(access.jobs) > 1,
            twice=access.name in twice,
        )
        for visit in visits
        for access in visit.accesses
    )


def _access_cost(access: Access, pick: Pick, decimals: int) -> Decimal:
    amounts = (
        bill.amount(f, pick) * (1 + f.overtime * f.surcharge) * (1 + f.tax / 100) for f in access.figures
    )
    return sum((_cents(amount, decimals) for amount in amounts), _cents(Decimal(0), decimals))


def _sharing(visits: Sequence[_Visit], rule: str) -> str:
    """Say how strip-downs are shared that repairs of different payers need; empty if there are none."""
    names = dict.fromkeys(a.name for visit in visits for a in visit.accesses if len(a.payers) > 1)
    for figure in (f for visit in visits for f in visit.once):
        if len({payer for (_, payer), share in figure.by.items() if share}) > 1:
            names[figure.what] = None
    if not names:
        return ""
    who = "A strip-down or a charge that repairs of different payers need"
    return f"{who} ({', '.join(names)}) is {_RULES[rule]}."


def _exact(figures: Sequence[Figure], terms: Terms) -> Decimal:
    """Give the unrounded likely total of one visit [currency]."""
    return bill.total(bill.rows(figures, terms, PICKS["likely"], lambda amount: amount))


def _apart(visits: Sequence[_Visit], terms: Terms, cover: Cover) -> Decimal:
    """Give the unrounded likely sum of the repairs one by one, each with its own strip-downs [currency]."""
    alone = (_visit(v.name, (job,), cover) for v in visits for job in v.jobs)
    return sum((_exact(visit.figures, terms) for visit in alone), Decimal(0))


def _with_working(found: Estimate, visits: Sequence[_Visit], likely: _Billed, cover: Cover) -> Estimate:
    """Add the saving and the working: the lines of each visit, the total, the mean, the percentiles."""
    steps: list[MoneyStep] = []
    for visit in visits:
        own = [row for name, row in likely if name == visit.name]
        steps.extend(billwords.working(cover, visit.figures, own, visit.name if len(visits) > 1 else ""))
    terms, money = bill.terms(cover), partial(units.money, currency=found.currency)
    apart = _apart(visits, terms, cover)
    together = sum((_exact(visit.figures, terms) for visit in visits), Decimal(0))
    saved = _cents(max(apart - together, Decimal(0)), units.decimals(found.currency))
    what = "Total of what has a price" if found.unpriced else "Total"
    lines = " + ".join(money(line.likely) for line in found.lines)
    steps.append(MoneyStep(what, "the printed lines added up", lines, money(found.likely)))
    steps.append(
        MoneyStep("Saved by doing it together", _SAVED, f"{money(apart)} − {money(together)}", money(saved))
    )
    if found.uncertain:
        spread = ", ".join(money(amount) for amount in (found.p10, found.p50, found.p90))
        steps.append(MoneyStep("Mean", _MEAN, "", money(found.mean)))
        steps.append(MoneyStep("P10, P50, P90", _DRAWN, "", spread))
    return replace(found, saved_by_doing_together=saved, working=tuple(steps))


def _with_spread(
    plain: Estimate, visits: Sequence[_Visit], terms: Terms, likely: _Billed, decimals: int
) -> Estimate:
    """Add the percentiles; where nothing is uncertain they are the likely figure itself."""
    spread = bill.spread([visit.figures for visit in visits], terms, "seller")
    p10, p50, p90 = spread.whole or (plain.likely,) * 3
    side: tuple[Decimal, ...] | tuple[None, None] = (None, None)
    if any(payer == "seller" for _, row in likely for _, payer in row.bases):
        side = spread.side or (_seller_likely(likely),) * 2
    side50, side80 = (None if amount is None else _cents(amount, decimals) for amount in side)
    return replace(
        plain,
        p10=_cents(p10, decimals),
        p50=_cents(p50, decimals),
        p90=_cents(p90, decimals),
        uncertain=spread.whole is not None,
        seller_p50=side50,
        seller_p80=side80,
    )


def _seller_likely(likely: _Billed) -> Decimal:
    """Give the seller's share of the likely lines without contingency, unrounded [currency]."""
    share = Decimal(0)
    for _, row in likely:
        whole = sum(row.bases.values())
        if whole and row.group != "contingency":
            share += row.amount * sum(b for (_, payer), b in row.bases.items() if payer == "seller") / whole
    return share
