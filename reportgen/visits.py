"""What each visit to the yard is made of, and its bill at low, likely, high and mean."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportgen import bill, jobs, splitting, uncertainty, units
from reportgen.bill import Pick, Row, Terms
from reportgen.jobs import VISITS, Access, Figure, Job
from reportgen.model import Cover

PICKS: Mapping[str, Pick] = {
    "low": lambda span: span.low,
    "likely": lambda span: span.likely,
    "high": lambda span: span.high,
    "mean": uncertainty.mean,
}
Billed = tuple[tuple[str, Row], ...]  # visit and line


@dataclass(frozen=True)
class Visit:
    """One visit to the yard: its jobs, its strip-downs, what comes once with it, and all their figures."""

    name: str
    jobs: tuple[Job, ...]
    accesses: tuple[Access, ...]
    once: tuple[Figure, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        """Give every figure of it."""
        own = tuple(f for job in self.jobs for f in job.figures)
        return (*own, *(f for access in self.accesses for f in access.figures), *self.once)


def of(waiting: Sequence[Job], cover: Cover) -> tuple[Visit, ...]:
    """Give the visits that have jobs, in their order."""
    by_name = ((name, tuple(job for job in waiting if job.visit == name)) for name in VISITS)
    return tuple(visit(name, own, cover) for name, own in by_name if own)


def visit(name: str, own: tuple[Job, ...], cover: Cover) -> Visit:
    """Give one visit with the strip-downs that its jobs need, each once."""
    return Visit(name, own, jobs.accesses(own, cover), jobs.each_visit(own, cover))


def billed(visits: Sequence[Visit], terms: Terms, pick: Pick, decimals: int) -> Billed:
    """Give the lines of all visits, rounded as they are printed."""
    return tuple(
        (visit.name, row)
        for visit in visits
        for row in bill.rows(visit.figures, terms, pick, lambda amount: splitting.rounded(amount, decimals))
    )


def total(billed: Billed, decimals: int) -> Decimal:
    """Give the sum of the printed lines [currency]."""
    return splitting.rounded(bill.total([row for _, row in billed]), decimals)


def three(waiting: Sequence[Job], cover: Cover) -> tuple[Decimal, Decimal, Decimal]:
    """Give what some jobs come to together by themselves: low, likely, high [currency]."""
    visits, terms, decimals = of(waiting, cover), bill.terms(cover), units.decimals(cover.currency)
    low, likely, high = (
        total(billed(visits, terms, PICKS[name], decimals), decimals) for name in ("low", "likely", "high")
    )
    return low, likely, high


def exact(figures: Sequence[Figure], terms: Terms) -> Decimal:
    """Give the unrounded likely total of one visit [currency]."""
    return bill.exact(figures, terms, PICKS["likely"])


def alone(visits: Sequence[Visit], terms: Terms, cover: Cover) -> dict[str, Decimal]:
    """Give the unrounded likely cost of each repair by itself, with its own strip-downs [currency], by id."""
    single = ((job, visit(v.name, (job,), cover)) for v in visits for job in v.jobs)
    return {job.finding.id: exact(own.figures, terms) for job, own in single}
