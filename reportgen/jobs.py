"""Which repairs are still to come, in which visit to the yard, and what each of them takes."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen.blocks.repair import Part, Repair, StripDown
from reportgen.model import Cover, Finding
from reportgen.units import Span

REPAIR_VISIT, LATER_VISIT = "repair visit", "later visit"
VISITS = (REPAIR_VISIT, LATER_VISIT)
NEEDS_PRICE = ("stop", "settle", "schedule")
_NO_HOURS = Span(Decimal(0), Decimal(0), Decimal(0), "h")

Cell = tuple[str, str]  # a finding's id and a payer


@dataclass(frozen=True)
class Figure:
    """One figure of a repair or of a strip-down.

    group: labour, parts or fixed. what: name of the part, of the fixed cost, or of whose labour it is.
    span: hours [h] or money [currency]. times: rate [currency/h], count [-], or 1.
    rate: the key of the rate, empty if one stands for all. tax: on a fixed cost [%].
    by: who bears which share of it [-], by finding and payer; the shares add up to 1.
    """

    group: str
    what: str
    span: Span
    times: Decimal = Decimal(1)
    rate: str = ""
    tax: Decimal = Decimal(0)
    by: Mapping[Cell, Decimal] = field(default_factory=dict)


@dataclass(frozen=True)
class Job:
    """A finding that is still to cost money, or should have a price.

    figures: its own, without strip-downs. needs: strip-downs followed to the end, what comes first last.
    unpriced: whether some or all of it has no price. expired: whether a quote's last day is past.
    """

    finding: Finding
    visit: str
    figures: tuple[Figure, ...]
    needs: tuple[str, ...]
    unpriced: bool
    expired: bool

    @property
    def hours(self) -> Decimal:
        """Give its own likely hours [h]."""
        labour = self.finding.repair.labour if self.finding.repair else None
        return labour.likely if labour else Decimal(0)


@dataclass(frozen=True)
class Access:
    """A strip-down in one visit, paid once, with the jobs that need it. hours: of the strip-down [h]."""

    name: str
    visit: str
    jobs: tuple[Job, ...]
    figures: tuple[Figure, ...]
    hours: Span

    @property
    def payers(self) -> tuple[str, ...]:
        """Give the payers of the jobs that need it, each once."""
        return tuple(dict.fromkeys(payer for job in self.jobs for payer in paying(job.finding)))


def paying(finding: Finding) -> dict[str, Decimal]:
    """Give who pays a finding and how much of it [-]; `not agreed` is a payer of its own."""
    return {payer: share / 100 for payer, share in finding.payers.items() if share}


def rate_key(cover: Cover, trade: str) -> str | None:
    """Give the key of an hour's rate for a trade, None if the notes have no rate for it."""
    known = cover.rates.labour or {}
    return "" if "" in known else trade if trade in known else None


def followed(needs: Sequence[str], strip_downs: Mapping[str, StripDown]) -> tuple[str, ...]:
    """Give strip-downs with all that come before them, each once; unknown names are passed over."""
    found: dict[str, None] = {}
    waiting = list(needs)
    while waiting:
        name = waiting.pop(0)
        if name in strip_downs and name not in found:
            found[name] = None
            waiting.extend(strip_downs[name].also_needs)
    return tuple(found)


def expired(repair: Repair, counted_on: datetime.date) -> bool:
    """Say whether the quote behind a fixed cost has run out on that day; on its last day it still stands."""
    last = repair.quote.valid_until if repair.quote and repair.cost else None
    return last is not None and last < counted_on


def to_come(findings: Sequence[Finding], cover: Cover, counted_on: datetime.date) -> tuple[Job, ...]:
    """Give the jobs of findings open or reported done, in their order; checked ones cost no more."""
    waiting = [f for f in findings if f.state != "checked" and (f.repair or f.severity in NEEDS_PRICE)]
    return tuple(_job(finding, cover, counted_on) for finding in waiting)


def _job(finding: Finding, cover: Cover, counted_on: datetime.date) -> Job:
    repair = finding.repair or Repair()
    strip_downs = cover.strip_downs or {}
    needs = followed(repair.needs, strip_downs)
    shares = {(finding.id, payer): share for payer, share in paying(finding).items()}
    gone = expired(repair, counted_on)
    figures = _figures(finding.title or finding.id, repair, cover, shares, with_cost=not gone)
    open_price = bool(repair.unpriced) or not figures
    lacking = gone or _lacks_price(repair, cover)
    unopened = any(_unpriced_access(strip_downs[name], cover) for name in needs)
    unpriced = lacking or unopened or (open_price and finding.severity in NEEDS_PRICE)
    visit = REPAIR_VISIT if finding.settle_by == "repair" else LATER_VISIT
    return Job(finding, visit, figures, needs, unpriced, gone)


def _figures(
    title: str, work: Repair | StripDown, cover: Cover, by: Mapping[Cell, Decimal], with_cost: bool = True
) -> tuple[Figure, ...]:
    figures = []
    key = rate_key(cover, work.trade)
    if work.labour and key is not None:
        rate = (cover.rates.labour or {})[key]
        figures.append(Figure("labour", title, work.labour, rate, key, by=by))
    figures.extend(Figure("parts", p.what, p.each, Decimal(p.count), by=by) for p in work.parts if p.each)
    if work.cost and with_cost:
        figures.append(Figure("fixed", title, work.cost, tax=work.tax or Decimal(0), by=by))
    return tuple(figures)


def _lacks_price(work: Repair | StripDown, cover: Cover) -> bool:
    """Say whether a part has no price or hours have no rate."""
    parts: tuple[Part, ...] = work.parts
    return any(p.each is None for p in parts) or bool(work.labour and rate_key(cover, work.trade) is None)


def _unpriced_access(strip_down: StripDown, cover: Cover) -> bool:
    bare = not (strip_down.labour or strip_down.parts or strip_down.cost)
    return bare or _lacks_price(strip_down, cover)


def accesses(jobs: Sequence[Job], cover: Cover) -> tuple[Access, ...]:
    """Give each strip-down that the jobs of one visit need, once, in the order they are first needed."""
    needed: dict[str, list[Job]] = {}
    for job in jobs:
        for name in job.needs:
            needed.setdefault(name, []).append(job)
    return tuple(_access(name, tuple(sharing), cover) for name, sharing in needed.items())


def _access(name: str, jobs: tuple[Job, ...], cover: Cover) -> Access:
    strip_down = (cover.strip_downs or {})[name]
    figures = _figures(name, strip_down, cover, _sharing(jobs, cover.share_strip_downs))
    return Access(name, jobs[0].visit, jobs, figures, strip_down.labour or _NO_HOURS)


def _sharing(jobs: tuple[Job, ...], rule: str) -> dict[Cell, Decimal]:
    """Give who bears which share of a strip-down [-], by finding and payer.

    Each job bears it by its own likely hours, equally where no job has any or the rule says equal.
    Where the rule names a side and both sides need it, that side's jobs bear it alone.
    """
    payers = {payer for job in jobs for payer in paying(job.finding)}
    alone = rule in payers and payers >= {"seller", "buyer"} and len(jobs) > 1
    cells = {
        (job.finding.id, payer): (job, share)
        for job in jobs
        for payer, share in paying(job.finding).items()
        if not alone or payer == rule
    }
    equal = rule == "equal" or not any(job.hours for job, _ in cells.values())
    weights = {cell: share * (1 if equal else job.hours) for cell, (job, share) in cells.items()}
    whole = sum(weights.values())
    return {cell: weight / whole for cell, weight in weights.items()}
