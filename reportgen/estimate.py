"""What putting the boat right will cost: strip-downs paid once, three figures each, and who bears them."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Context, Decimal, localcontext

from reportgen import bill, jobs, splitting, uncertainty, units
from reportgen.bill import Pick, Row, Terms
from reportgen.billwords import MoneyStep, working
from reportgen.block import shown
from reportgen.blocks.finding import SEVERITIES
from reportgen.jobs import VISITS, Access, Cell, Figure, Job
from reportgen.model import Cover, Finding
from reportgen.pricecheck import problems as problems
from reportgen.units import Span

PAYERS = ("seller", "buyer", "not agreed")
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
    "seller": "paid by the seller where both sides need it, else shared by the own likely hours of those repairs",
    "buyer": "paid by the buyer where both sides need it, else shared by the own likely hours of those repairs",
}

_Billed = tuple[tuple[str, Row], ...]  # visit and line


@dataclass(frozen=True)
class Line:
    """One printed line of the estimate; the lines add up to the total.

    group: labour, parts, supplies, tax, contingency or fixed. trade: of the rate, empty if one stands for all.
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

    needed_by: ids of the findings. hours: of the strip-down alone [h]. shared: whether several findings need it.
    low, likely, high: its labour, parts and fixed cost, before supplies, tax and contingency [currency].
    twice: whether the other visit pays for it again.
    """

    name: str = shown("work", "")
    visit: str = shown("work", "")
    needed_by: tuple[str, ...] = shown("work", ())
    hours: Span | None = shown("work")
    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))
    shared: bool = shown("work", False)
    twice: bool = shown("work", False)


@dataclass(frozen=True)
class FindingCost:
    """What one finding has in the estimate, its share of all lines included.

    low, likely, high: [currency]; None while nothing of it has a price. unpriced: whether some of it has none.
    paid: (payer, likely amount [currency]), adding up to likely.
    """

    id: str = shown("open", "")
    visit: str = shown("work", "")
    low: Decimal | None = shown("cost")
    likely: Decimal | None = shown("cost")
    high: Decimal | None = shown("cost")
    unpriced: bool = shown("open", False)
    paid: tuple[tuple[str, Decimal], ...] = shown("payer", ())


@dataclass(frozen=True)
class Share:
    """A part of the total by payer, visit or severity [currency]; unpriced: items that it leaves out."""

    name: str = shown("cost", "")
    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))
    unpriced: int = shown("open", 0)


@dataclass(frozen=True)
class Estimate:
    """The cost to come [currency]: findings open or reported done, checked ones left out.

    low, high: sums of all lows and all highs, which is not the likely range; p10 to p90 is.
    mean: of the three figures. p10, p50, p90: to three figures; likely itself if nothing is uncertain.
    unpriced: items that the total leaves out; priced: findings with an amount in it. Zero priced is no total.
    saved_by_doing_together: against the repairs priced one by one. sharing: the rule for strip-downs that
    repairs of different payers need, empty if there are none. twice: strip-downs paid in both visits.
    expired: ids of findings whose quote has run out and isn't used.
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
    working: tuple[MoneyStep, ...] = shown("rates", ())


@dataclass(frozen=True)
class _Visit:
    """One visit to the yard: its jobs, its strip-downs, and all their figures."""

    name: str
    jobs: tuple[Job, ...]
    accesses: tuple[Access, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        own = tuple(f for job in self.jobs for f in job.figures)
        return (*own, *(f for access in self.accesses for f in access.figures))


def build(
    findings: Sequence[Finding], cover: Cover, counted_on: datetime.date | None = None
) -> Estimate | None:
    """Give the cost to come; None without a currency, or if no finding has a repair and none lacks a price.

    counted_on: the day that quotes are held against; else the cover note's.
    Source: the rule is common practice of yards, its shares are the notes' own; mean and variance see uncertainty.
    """
    with localcontext(EXACT):
        waiting = jobs.to_come(findings, cover, counted_on or cover.counted_on)
        if not cover.currency or not (waiting or any(f.repair for f in findings)):
            return None
        return _estimate(waiting, cover)


def _estimate(waiting: tuple[Job, ...], cover: Cover) -> Estimate:
    visits, terms, decimals = _visits(waiting, cover), bill.terms(cover), units.decimals(cover.currency)
    billed = {name: _billed(visits, terms, pick, decimals) for name, pick in PICKS.items()}
    totals = {name: _cents(bill.total([row for _, row in rows]), decimals) for name, rows in billed.items()}
    cells = {name: _shared_out(billed[name], decimals) for name in ("low", "likely", "high")}
    costs = tuple(_finding_cost(job, cells, decimals) for job in waiting)
    unpriced = tuple(job.finding.id for job in waiting if job.unpriced)
    apart, together = _apart(visits, terms, cover), _together(visits, terms)
    plain = Estimate(
        currency=cover.currency,
        lines=_lines(billed),
        strip_downs=_strip_downs(visits, decimals),
        **totals,
        unpriced=len(unpriced),
        unpriced_ids=unpriced,
        priced=sum(cost.likely is not None for cost in costs),
        saved_by_doing_together=max(_cents(apart - together, decimals), _cents(Decimal(0), decimals)),
        by_finding=costs,
        by_payer=_by_payer(waiting, cells, decimals),
        by_visit=_grouped({job.finding.id: job.visit for job in waiting}, costs, VISITS, decimals),
        by_severity=_grouped({job.finding.id: job.finding.severity for job in waiting}, costs, SEVERITIES, decimals),
        sharing=_sharing(visits, cover.share_strip_downs),
        twice=_twice(visits),
        expired=tuple(job.finding.id for job in waiting if job.expired),
    )
    spread = _with_spread(plain, visits, terms, billed["likely"], decimals)
    steps = tuple(
        step
        for visit in visits
        for step in working(
            cover,
            visit.figures,
            [row for name, row in billed["likely"] if name == visit.name],
            visit.name if len(visits) > 1 else "",
        )
    )
    return replace(spread, working=(*steps, *summary(spread, apart, together)))


def _cents(amount: Decimal, decimals: int) -> Decimal:
    return splitting.rounded(amount, decimals)


def _visits(waiting: Sequence[Job], cover: Cover) -> tuple[_Visit, ...]:
    found = []
    for name in VISITS:
        own = tuple(job for job in waiting if job.visit == name)
        if own:
            found.append(_Visit(name, own, jobs.accesses(own, cover)))
    return tuple(found)


def _billed(visits: Sequence[_Visit], terms: Terms, pick: Pick, decimals: int) -> _Billed:
    return tuple(
        (visit.name, row)
        for visit in visits
        for row in bill.rows(visit.figures, terms, pick, lambda amount: _cents(amount, decimals))
    )


def _lines(billed: Mapping[str, _Billed]) -> tuple[Line, ...]:
    lines = []
    for (visit, low), (_, likely), (_, high) in zip(billed["low"], billed["likely"], billed["high"], strict=True):
        hours = None
        if low.hours is not None and likely.hours is not None and high.hours is not None:
            hours = Span(low.hours, likely.hours, high.hours, "h")
        lines.append(
            Line(likely.what, likely.group, likely.rate, visit, low.amount, likely.amount, high.amount, hours)
        )
    return tuple(lines)


def _shared_out(billed: _Billed, decimals: int) -> dict[Cell, Decimal]:
    """Share every printed line to the findings, and each finding's sum to who pays it; all to the cent."""
    amounts: dict[str, Decimal] = {}
    exact: dict[str, dict[Cell, Decimal]] = {}
    for _, row in billed:
        bases: dict[str, Decimal] = {}
        whole = sum(row.bases.values()) or Decimal(1)
        for cell, base in row.bases.items():
            bases[cell[0]] = bases.get(cell[0], Decimal(0)) + base
            own = exact.setdefault(cell[0], {})
            own[cell] = own.get(cell, Decimal(0)) + row.amount * base / whole
        for id, share in splitting.split(row.amount, bases, decimals).items():
            amounts[id] = amounts.get(id, Decimal(0)) + share
    shared: dict[Cell, Decimal] = {}
    for id, amount in amounts.items():
        shared |= splitting.split(amount, exact[id], decimals)
    return shared


def _finding_cost(job: Job, cells: Mapping[str, Mapping[Cell, Decimal]], decimals: int) -> FindingCost:
    id = job.finding.id
    own = {name: {payer: a for (of, payer), a in shared.items() if of == id} for name, shared in cells.items()}
    # an item without a price that bears no strip-down has no amount, which is not an amount of zero
    if not own["likely"] or (job.unpriced and not any(any(amounts.values()) for amounts in own.values())):
        return FindingCost(id, job.visit, unpriced=job.unpriced)
    low, likely, high = (_cents(sum(own[n].values(), Decimal(0)), decimals) for n in ("low", "likely", "high"))
    return FindingCost(id, job.visit, low, likely, high, job.unpriced, tuple(own["likely"].items()))


def _share(name: str, amounts: Sequence[Sequence[Decimal]], unpriced: int, decimals: int) -> Share:
    low, likely, high = (_cents(sum(figures, Decimal(0)), decimals) for figures in amounts)
    return Share(name, low, likely, high, unpriced)


def _by_payer(
    waiting: Sequence[Job], cells: Mapping[str, Mapping[Cell, Decimal]], decimals: int
) -> tuple[Share, ...]:
    found = []
    for payer in PAYERS:
        amounts = [[a for (_, who), a in shared.items() if who == payer] for shared in cells.values()]
        unpriced = sum(job.unpriced and payer in jobs.paying(job.finding) for job in waiting)
        found.append(_share(payer, amounts, unpriced, decimals))
    return tuple(found)


def _grouped(
    group_of: Mapping[str, str], costs: Sequence[FindingCost], order: Sequence[str], decimals: int
) -> tuple[Share, ...]:
    """Add the findings' costs up by visit or severity; groups without a finding are left out."""
    found = []
    for group in (g for g in order if g in group_of.values()):
        own = [cost for cost in costs if group_of[cost.id] == group]
        amounts = [[a for cost in own if (a := figure(cost)) is not None] for figure in _FIGURES]
        found.append(_share(group, amounts, sum(cost.unpriced for cost in own), decimals))
    return tuple(found)


_FIGURES: tuple[Callable[[FindingCost], Decimal | None], ...] = (
    lambda cost: cost.low,
    lambda cost: cost.likely,
    lambda cost: cost.high,
)


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
            *(_access_cost(access, PICKS[name], decimals) for name in ("low", "likely", "high")),
            shared=len(access.jobs) > 1,
            twice=access.name in twice,
        )
        for visit in visits
        for access in visit.accesses
    )


def _access_cost(access: Access, pick: Pick, decimals: int) -> Decimal:
    amounts = (pick(f.span) * f.times * (1 + f.tax / 100) for f in access.figures)
    return sum((_cents(amount, decimals) for amount in amounts), _cents(Decimal(0), decimals))


def _sharing(visits: Sequence[_Visit], rule: str) -> str:
    """Say how strip-downs are shared that repairs of different payers need; empty if there are none."""
    names = dict.fromkeys(a.name for visit in visits for a in visit.accesses if len(a.payers) > 1)
    if not names:
        return ""
    return f"A strip-down that repairs of different payers need ({', '.join(names)}) is {_RULES[rule]}."


def _exact(figures: Sequence[Figure], terms: Terms) -> Decimal:
    """Give the unrounded likely total of one visit [currency]."""
    return bill.total(bill.rows(figures, terms, PICKS["likely"], lambda amount: amount))


def _together(visits: Sequence[_Visit], terms: Terms) -> Decimal:
    return sum((_exact(visit.figures, terms) for visit in visits), Decimal(0))


def _apart(visits: Sequence[_Visit], terms: Terms, cover: Cover) -> Decimal:
    """Give the unrounded likely sum of the repairs priced one by one, each with its own strip-downs [currency]."""
    alone = (_Visit(v.name, (job,), jobs.accesses((job,), cover)) for v in visits for job in v.jobs)
    return sum((_exact(visit.figures, terms) for visit in alone), Decimal(0))


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
