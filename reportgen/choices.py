"""What else could be done: other ways to put a finding right, waiting, and quotes beside the estimate."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportgen import jobs, splitting, units, visits
from reportgen.block import shown
from reportgen.blocks.quotes import YardQuote
from reportgen.jobs import Job
from reportgen.model import Cover, Finding
from reportgen.units import Span

IN_THE_TOTAL, BESIDE, EXPIRED = "in the total", "beside", "expired"


@dataclass(frozen=True)
class OptionCost:
    """One way to deal with a finding that offers more than one.

    way: repair, replace or wait. counted: whether it is the one in the total. low, likely, high: what it
    adds to the total, shared strip-downs taken into account [currency]. total: likely total with it.
    unpriced: whether some or all of it has no price.
    """

    id: str = shown("open", "")
    way: str = shown("cost", "")
    counted: bool = shown("cost", False)
    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))
    total: Decimal = shown("cost", Decimal(0))
    unpriced: bool = shown("cost", False)


@dataclass(frozen=True)
class WaitCost:
    """What a finding is likely to cost if it waits [currency]; stated beside the total, never in it.

    cost: None where the notes give no figure. counted: whether waiting is what the total goes by.
    """

    id: str = shown("open", "")
    cost: Span | None = shown("cost")
    until: datetime.date | str | None = shown("work")
    why: str = shown("work", "")
    counted: bool = shown("cost", False)


@dataclass(frozen=True)
class QuoteCost:
    """A quote with the findings it covers.

    before_tax: [currency]. tax: [%]. amount: with its tax [currency]. days_left: to its last day.
    use: in the total, beside, or expired.
    low, likely, high: what these findings come to without it, with the strip-downs that they need
    [currency]; None where nothing of them has a price. unpriced: findings that the estimate leaves out.
    """

    from_: str = shown("people", "")
    number: str = shown("cost", "")
    on: datetime.date | None = shown("cost")
    valid_until: datetime.date | None = shown("cost")
    days_left: int | None = shown("cost")
    before_tax: Decimal = shown("cost", Decimal(0))
    tax: Decimal = shown("cost", Decimal(0))
    amount: Decimal = shown("cost", Decimal(0))
    use: str = shown("cost", "")
    covers: tuple[str, ...] = shown("open", ())
    low: Decimal | None = shown("cost")
    likely: Decimal | None = shown("cost")
    high: Decimal | None = shown("cost")
    unpriced: int = shown("cost", 0)


def options(findings: Sequence[Finding], cover: Cover, counted_on: datetime.date) -> tuple[OptionCost, ...]:
    """Give every way of each finding that offers more than one and is still to come."""
    asked = [f for f in findings if f.state != "checked" and len(jobs.ways(f)) > 1]
    return tuple(cost for finding in asked for cost in _of(finding, findings, cover, counted_on))


def _of(
    finding: Finding, findings: Sequence[Finding], cover: Cover, counted_on: datetime.date
) -> tuple[OptionCost, ...]:
    others = [f for f in findings if f is not finding]
    without = visits.three(jobs.to_come(others, cover, counted_on), cover)
    found = []
    for way in jobs.ways(finding):
        counted = [dataclasses.replace(f, counted=way) if f is finding else f for f in findings]
        waiting = jobs.to_come(counted, cover, counted_on)
        whole = visits.three(waiting, cover)
        # a quote for several stays whole when one of them goes, and a line is rounded once
        low, likely, high = (max(sum_ - rest, Decimal(0)) for sum_, rest in zip(whole, without, strict=True))
        unpriced = any(job.unpriced for job in waiting if job.finding.id == finding.id)
        mine = way == jobs.way(finding)
        found.append(OptionCost(finding.id, way, mine, low, likely, high, whole[1], unpriced))
    return tuple(found)


def waits(findings: Sequence[Finding]) -> tuple[WaitCost, ...]:
    """Give what waiting is likely to cost, for each finding whose note says so."""
    return tuple(
        WaitCost(f.id, f.wait.cost, f.wait.until, f.wait.why, jobs.way(f) == "wait")
        for f in findings
        if f.wait and f.state != "checked"
    )


def quotes(findings: Sequence[Finding], cover: Cover, counted_on: datetime.date) -> tuple[QuoteCost, ...]:
    """Give every quote for findings still to come, with their own estimate beside it."""
    if not cover.quotes:
        return ()
    plain = jobs.to_come(findings, dataclasses.replace(cover, quotes=()), counted_on)
    found = (_quote(quote, plain, cover, counted_on) for quote in cover.quotes)
    return tuple(quote for quote in found if quote.covers)


def _quote(quote: YardQuote, plain: Sequence[Job], cover: Cover, counted_on: datetime.date) -> QuoteCost:
    covered = [job for job in plain if job.finding.id in quote.covers]
    priced = any(job.figures or job.needs for job in covered)
    low, likely, high = visits.three(covered, cover) if priced else (None, None, None)
    gone = jobs.run_out(quote.valid_until, counted_on)
    return QuoteCost(
        quote.from_,
        quote.number,
        quote.on,
        quote.valid_until,
        (quote.valid_until - counted_on).days if quote.valid_until else None,
        quote.amount or Decimal(0),
        jobs.tax_on(quote.tax, cover),
        with_tax(quote, cover),
        EXPIRED if gone else BESIDE if quote.use == "beside" else IN_THE_TOTAL,
        tuple(job.finding.id for job in covered),
        low,
        likely,
        high,
        sum(job.unpriced for job in covered),
    )


def with_tax(quote: YardQuote, cover: Cover) -> Decimal:
    """Give a quote's amount with its tax, each to the cent [currency]."""
    decimals, amount = units.decimals(cover.currency), quote.amount or Decimal(0)
    return amount + splitting.rounded(amount * jobs.tax_on(quote.tax, cover) / 100, decimals)
