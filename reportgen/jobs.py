"""Which repairs are still to come, in which visit to the yard, and what each of them takes."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import partial

from reportgen import charges, units
from reportgen.blocks.quotes import YardQuote
from reportgen.blocks.repair import Charge, Part, Repair, StripDown
from reportgen.model import Cover, Finding
from reportgen.units import Span
from reportgen.wording import say

REPAIR_VISIT, LATER_VISIT = "repair visit", "later visit"
VISITS = (REPAIR_VISIT, LATER_VISIT)
PERSONS = ("", "second person")
NEEDS_PRICE = ("stop", "settle", "schedule")
_NO_HOURS = Span(Decimal(0), Decimal(0), Decimal(0), "h")

Cell = tuple[str, str]  # a finding's id and a payer


@dataclass(frozen=True)
class Figure:
    """One figure of a repair, of a strip-down or of a visit.

    group: labour, parts or fixed. what: name of the part, of the fixed cost, or of whose labour it is.
    span: hours [h], days, or money [currency]. times: rate [currency/h], [currency/day], count [-], or 1.
    rate: the key of the rate, empty if one stands for all. person: empty, or "second person".
    overtime: share of the hours [-]; surcharge: on those hours [-]. tax: on a fixed cost [%].
    least: not less than that [currency]. reserve: contingency [-]. how: what a charge goes by, in words.
    of: the strip-down that it belongs to, empty for a repair's own. quote: whether it is a yard's quote.
    by: who bears which share of it [-], by finding and payer; the shares add up to 1.
    """

    group: str
    what: str
    span: Span
    times: Decimal = Decimal(1)
    rate: str = ""
    person: str = ""
    overtime: Decimal = Decimal(0)
    surcharge: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    least: Decimal = Decimal(0)
    reserve: Decimal = Decimal(0)
    how: str = ""
    of: str = ""
    quote: bool = False
    by: Mapping[Cell, Decimal] = field(default_factory=dict)

    @property
    def fixed(self) -> bool:
        """Say whether it has no spread."""
        return self.span.fixed or max(self.span.high * self.times, self.least) == self.least


@dataclass(frozen=True)
class Job:
    """A finding that is still to cost money, or should have a price.

    repair: the work that counts. figures: its own, without strip-downs. needs: strip-downs followed to the
    end, what comes first last. reserve: its contingency [-].
    unpriced: whether some or all of it has no price. expired: whether a quote's last day is past.
    quoted: whether a quote stands in the place of its own figures.
    """

    finding: Finding
    repair: Repair
    visit: str
    figures: tuple[Figure, ...]
    needs: tuple[str, ...]
    reserve: Decimal
    unpriced: bool
    expired: bool
    quoted: bool = False

    @property
    def hours(self) -> Decimal:
        """Give its own likely hours, of both persons [h]."""
        both = (self.repair.labour, self.repair.second_person)
        return sum((span.likely for span in both if span), Decimal(0))


@dataclass(frozen=True)
class Access:
    """A strip-down in one visit, paid once, with the jobs that need it. hours: of its first person [h]."""

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


def of_findings(by: Mapping[Cell, Decimal]) -> dict[str, Decimal]:
    """Add up by finding what stands by finding and payer [-] or [currency]."""
    found: dict[str, Decimal] = {}
    for (id, _), share in by.items():
        found[id] = found.get(id, Decimal(0)) + share
    return found


def rate_key(cover: Cover, trade: str, person: str = "") -> str | None:
    """Give the key of an hour's rate for a trade, None if the notes have no rate for it.

    person: empty, or "second person", whose hour has a rate of its own.
    """
    known = _hourly(cover, person)
    return "" if "" in known else trade if trade in known else None


def rate(cover: Cover, trade: str, person: str = "") -> Decimal | None:
    """Give an hour's rate for a trade [currency/h], None if the notes have none."""
    key = rate_key(cover, trade, person)
    return None if key is None else _hourly(cover, person)[key]


def _hourly(cover: Cover, person: str) -> Mapping[str, Decimal]:
    return (cover.rates.second_person if person else cover.rates.labour) or {}


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


def run_out(last: datetime.date | None, counted_on: datetime.date) -> bool:
    """Say whether a quote has run out on that day; on its last day it still stands."""
    return last is not None and last < counted_on


def expired(repair: Repair, counted_on: datetime.date) -> bool:
    """Say whether the quote behind a fixed cost has run out on that day."""
    return bool(repair.quote and repair.cost) and run_out(
        repair.quote.valid_until if repair.quote else None, counted_on
    )


def ways(finding: Finding) -> tuple[str, ...]:
    """Give the ways that a finding offers: repair, replace, wait."""
    offered = (("repair", finding.repair), ("replace", finding.replace), ("wait", finding.wait))
    return tuple(name for name, given in offered if given)


def way(finding: Finding) -> str:
    """Give the way that counts: the one named, else the first that is offered and does something."""
    return finding.counted or ("replace" if finding.replace and not finding.repair else "repair")


def to_come(findings: Sequence[Finding], cover: Cover, counted_on: datetime.date) -> tuple[Job, ...]:
    """Give the jobs of findings open or reported done, in their order; checked ones cost no more.

    A finding that waits costs nothing now and is no job.
    """
    coming = [f for f in findings if f.state != "checked" and way(f) != "wait"]
    asked = [f for f in coming if ways(f) or f.severity in NEEDS_PRICE]
    return _held(_quoted(tuple(_job(finding, cover, counted_on) for finding in asked), cover, counted_on))


def _held(found: tuple[Job, ...]) -> tuple[Job, ...]:
    """Let a job that another finding's price holds too have a price where that one has, and still costs."""
    open_price = {job.finding.id: job.unpriced for job in found}
    return tuple(
        replace(job, unpriced=any(open_price.get(id, True) for id in job.repair.in_price_of))
        if job.repair.in_price_of and not job.quoted
        else job
        for job in found
    )


def _quoted(found: tuple[Job, ...], cover: Cover, counted_on: datetime.date) -> tuple[Job, ...]:
    """Put standing quotes in the place of what they cover; of two for one finding the first counts."""
    for quote in (q for q in cover.quotes if q.use == "instead"):
        covered = [job for job in found if job.finding.id in quote.covers and not job.quoted]
        if not covered:
            continue
        if run_out(quote.valid_until, counted_on):
            changed = {job.finding.id: replace(job, expired=True) for job in covered}
        else:
            figure = _quote_figure(quote, covered, cover)
            bare = [replace(job, figures=(), needs=(), unpriced=False, quoted=True) for job in covered]
            # the whole stands with the first that it covers, borne by all
            bare[0] = replace(bare[0], figures=(figure,))
            changed = {job.finding.id: replace(job, expired=False) for job in bare}
        found = tuple(changed.get(job.finding.id, job) for job in found)
    return found


def _quote_figure(quote: YardQuote, covered: Sequence[Job], cover: Cover) -> Figure:
    """Give a quote as a fixed cost, borne in proportion to the jobs' own likely figures, else equally."""
    own = {job.finding.id: sum((f.span.likely * f.times for f in job.figures), Decimal(0)) for job in covered}
    weights = own if all(own.values()) else dict.fromkeys(own, Decimal(1))
    whole = sum(weights.values())
    by = {
        (job.finding.id, payer): share * weights[job.finding.id] / whole
        for job in covered
        for payer, share in paying(job.finding).items()
    }
    amount = quote.amount or Decimal(0)
    what = say("Quote of {day}", day=quote.on) if quote.on else say("Quote")
    what = say("Quote {number}", number=quote.number) if quote.number else what
    return Figure(
        "fixed", what, Span(amount, amount, amount), tax=tax_on(quote.tax, cover), by=by, quote=True
    )


def _job(finding: Finding, cover: Cover, counted_on: datetime.date) -> Job:
    repair = (finding.replace if way(finding) == "replace" else finding.repair) or Repair()
    strip_downs = cover.strip_downs or {}
    needs = followed(repair.needs, strip_downs)
    shares = {(finding.id, payer): share for payer, share in paying(finding).items()}
    gone = expired(repair, counted_on)
    reserve = contingency(cover, repair.confidence or finding.confidence)
    title = finding.title or finding.id
    figures = _figures(title, repair, cover, _Bears(shares, reserve), with_cost=not gone)
    open_price = bool(repair.unpriced) or not figures
    lacking = gone or _lacks_price(repair, cover)
    unopened = any(_unpriced_access(strip_downs[name], cover) for name in needs)
    unpriced = lacking or unopened or (open_price and finding.severity in NEEDS_PRICE)
    visit = REPAIR_VISIT if finding.settle_by == "repair" else LATER_VISIT
    return Job(finding, repair, visit, figures, needs, reserve, unpriced, gone)


def contingency(cover: Cover, confidence: str) -> Decimal:
    """Give the share of labour and parts kept ready for a repair of such confidence [-]."""
    own = getattr(cover.rates.contingency_by_confidence, confidence, None) if confidence else None
    return (cover.rates.contingency if own is None else Decimal(own)) / 100


@dataclass(frozen=True)
class _Bears:
    """Who bears a piece of work, with its contingency [-]; of: the strip-down, empty for a repair."""

    by: Mapping[Cell, Decimal]
    reserve: Decimal
    of: str = ""


def _figures(
    title: str, work: Repair | StripDown, cover: Cover, bears: _Bears, with_cost: bool = True
) -> tuple[Figure, ...]:
    figures = [f for person in PERSONS for f in _hours(title, work, cover, person, bears)]
    figures.extend(
        Figure("parts", p.what, p.each, Decimal(p.count), reserve=bears.reserve, of=bears.of, by=bears.by)
        for p in work.parts
        if p.each
    )
    if work.cost and with_cost:
        tax = tax_on(work.tax, cover)
        figures.append(Figure("fixed", title, work.cost, tax=tax, of=bears.of, by=bears.by))
    return (*figures, *_charged(work.charges, cover, bears))


def _hours(
    title: str, work: Repair | StripDown, cover: Cover, person: str, bears: _Bears
) -> tuple[Figure, ...]:
    """Give the labour of one person, if there is any and it has a rate."""
    hours, key = work.second_person if person else work.labour, rate_key(cover, work.trade, person)
    if not hours or key is None:
        return ()
    share, surcharge = (work.overtime or Decimal(0)) / 100, (cover.rates.overtime or Decimal(0)) / 100
    return (
        Figure(
            "labour",
            title,
            hours,
            _hourly(cover, person)[key],
            key,
            person,
            overtime=share,
            surcharge=surcharge,
            reserve=bears.reserve,
            of=bears.of,
            by=bears.by,
        ),
    )


def _charged(yard: Sequence[Charge], cover: Cover, bears: _Bears) -> tuple[Figure, ...]:
    figures = []
    for charge in yard:
        found = charged(charge, cover)
        if found:
            tax, figure = tax_on(charge.tax, cover), (found.span, found.times)
            figures.append(
                Figure(
                    "fixed",
                    charge.what,
                    *figure,
                    tax=tax,
                    least=found.least,
                    how=found.how,
                    of=bears.of,
                    by=bears.by,
                )
            )
    return tuple(figures)


def charged(charge: Charge, cover: Cover) -> charges.Basis | None:
    """Give what a charge is made of, or None while something that it needs is unknown."""
    return charges.basis(charge, length_of(cover), partial(units.money, currency=cover.currency))


def length_of(cover: Cover) -> units.Quantity | None:
    """Give the boat's length as found, else as advertised."""
    advertised = cover.vessel.advertised
    return cover.found.length or (advertised.length if advertised else None)


def tax_on(own: Decimal | None, cover: Cover) -> Decimal:
    """Give the tax on a fixed cost or a charge [%]: its own, else the one on every line, else none."""
    return own if own is not None else cover.rates.tax or Decimal(0)


def _lacks_price(work: Repair | StripDown, cover: Cover) -> bool:
    """Say whether a part has no price, hours have no rate, or a charge can't be worked out."""
    parts: tuple[Part, ...] = work.parts
    unrated = any(
        (work.second_person if person else work.labour) and rate_key(cover, work.trade, person) is None
        for person in PERSONS
    )
    return unrated or any(p.each is None for p in parts) or any(not charged(c, cover) for c in work.charges)


def is_bare(work: Repair | StripDown) -> bool:
    """Say whether a piece of work has nothing that could cost money."""
    return not (work.labour or work.second_person or work.parts or work.cost or work.charges)


def _unpriced_access(strip_down: StripDown, cover: Cover) -> bool:
    return is_bare(strip_down) or _lacks_price(strip_down, cover)


def each_visit(jobs: Sequence[Job], cover: Cover) -> tuple[Figure, ...]:
    """Give the charges that come once with a visit, borne by its jobs as a strip-down of theirs would be."""
    working = tuple(job for job in jobs if job.figures or job.needs or job.quoted)
    if not working or not cover.each_visit:
        return ()
    return _charged(cover.each_visit, cover, _Bears(_sharing(working, cover.share_strip_downs), Decimal(0)))


def accesses(jobs: Sequence[Job], cover: Cover) -> tuple[Access, ...]:
    """Give each strip-down that the jobs of one visit need, once, in the order they are first needed."""
    needed: dict[str, list[Job]] = {}
    for job in jobs:
        for name in job.needs:
            needed.setdefault(name, []).append(job)
    return tuple(_access(name, tuple(sharing), cover) for name, sharing in needed.items())


def _access(name: str, jobs: tuple[Job, ...], cover: Cover) -> Access:
    strip_down = (cover.strip_downs or {})[name]
    # the least sure of the repairs sets the contingency, so that leaving one out never raises it
    reserve = max(job.reserve for job in jobs)
    bears = _Bears(_sharing(jobs, cover.share_strip_downs), reserve, name)
    figures = _figures(name, strip_down, cover, bears)
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
