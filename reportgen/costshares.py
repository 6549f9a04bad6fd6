"""Who bears what of an estimate: the printed lines shared to findings, payers, visits and severities."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reportgen import jobs, splitting
from reportgen.bill import Row
from reportgen.block import shown
from reportgen.charges import plain
from reportgen.jobs import Figure, Job
from reportgen.wording import later, say, term

PAYERS = ("seller", "buyer", "not agreed")
# what each finding and payer has [currency], at low, likely and high
Amounts = Mapping[str, Mapping[str, Mapping[str, Decimal]]]


@dataclass(frozen=True)
class FindingCost:
    """What one finding has in the estimate, its share of all lines included.

    low, likely, high: [currency]; None while nothing of it has a price. With a cap on supplies a finding's
    share of them may fall as others rise, so low may lie above high. unpriced: whether some has no price.
    paid: (payer, likely amount [currency]), adding up to likely; paid_low and paid_high to low and high.
    mean, deviation: of its three figures [currency].
    paid_contingency: (payer, what of paid is contingency and tax on it [currency]).
    lines: (line, its likely share of it [currency]), adding up to likely.
    hours: its own and its share of those of strip-downs, likely, in words.
    """

    id: str = shown("open", "")
    visit: str = shown("work", "")
    low: Decimal | None = shown("cost")
    likely: Decimal | None = shown("cost")
    high: Decimal | None = shown("cost")
    unpriced: bool = shown("open", False)
    paid: tuple[tuple[str, Decimal], ...] = shown("payer", ())
    paid_low: tuple[tuple[str, Decimal], ...] = shown("payer", ())
    paid_high: tuple[tuple[str, Decimal], ...] = shown("payer", ())
    paid_contingency: tuple[tuple[str, Decimal], ...] = shown("payer", ())
    mean: Decimal | None = shown("cost")
    deviation: Decimal | None = shown("cost")
    lines: tuple[tuple[str, Decimal], ...] = shown("cost", ())
    hours: str = shown("work", "")


@dataclass(frozen=True)
class Share:
    """A part of the total by payer, visit or severity [currency]; unpriced: items that it leaves out."""

    name: str = shown("cost", "")
    low: Decimal = shown("cost", Decimal(0))
    likely: Decimal = shown("cost", Decimal(0))
    high: Decimal = shown("cost", Decimal(0))
    unpriced: int = shown("open", 0)


@dataclass(frozen=True)
class SeverityCost:
    """What the findings of one severity come to [currency]; unpriced: items that it leaves out."""

    severity: str = shown("cost totals", "")
    low: Decimal = shown("cost totals", Decimal(0))
    likely: Decimal = shown("cost totals", Decimal(0))
    high: Decimal = shown("cost totals", Decimal(0))
    unpriced: int = shown("cost totals", 0)


def totals(by_severity: Iterable[Share]) -> tuple[SeverityCost, ...]:
    """Give the cost by severity as a reader may get it who gets no single cost."""
    return tuple(SeverityCost(s.name, s.low, s.likely, s.high, s.unpriced) for s in by_severity)


def in_order(low: Decimal, likely: Decimal, high: Decimal) -> tuple[Decimal, Decimal, Decimal]:
    """Give three figures as a reader is told them: low, likely, high, and never one beyond the next.

    A cap on supplies can turn a share's figures round. Where that is all that tells them apart, below 1 % of
    the likely one, it stands for all three. All [currency].
    """
    least, most = min(low, likely, high), max(low, likely, high)
    if (low, high) != (least, most) and (most - least) * 100 < likely:
        return likely, likely, likely
    return least, likely, most


def share_out(rows: Sequence[Row], decimals: int) -> dict[str, dict[str, Decimal]]:
    """Share every printed line to the findings, and each finding's sum to who pays it; all to the cent.

    Gives amounts [currency] by finding and payer that add up to the lines.
    """
    amounts: dict[str, Decimal] = {}
    for row in rows:
        for id, share in splitting.split(row.amount, jobs.of_findings(row.bases), decimals).items():
            amounts[id] = amounts.get(id, Decimal(0)) + share
    exact = _by_payer(rows)
    return {id: splitting.split(amount, exact[id], decimals) for id, amount in amounts.items()}


def _by_payer(rows: Sequence[Row]) -> dict[str, dict[str, Decimal]]:
    """Give each payer's part of a finding by all lines, unrounded; a payer alone has any part, so 1."""
    exact: dict[str, dict[str, Decimal]] = {}
    for id, payer in (cell for row in rows for cell in row.bases):
        exact.setdefault(id, {})[payer] = Decimal(0)
    several = {id for id, own in exact.items() if len(own) > 1}
    for row in rows if several else ():
        whole = sum(row.bases.values()) or Decimal(1)
        for (id, payer), base in row.bases.items():
            if id in several:
                exact[id][payer] += row.amount * base / whole
    return exact


def by_line(rows: Sequence[Row], decimals: int) -> dict[str, list[tuple[str, Decimal]]]:
    """Give each finding's share of every line that it has one of [currency], as share_out adds them up."""
    found: dict[str, list[tuple[str, Decimal]]] = {}
    for row in rows:
        for id, share in splitting.split(row.amount, jobs.of_findings(row.bases), decimals).items():
            if share:
                found.setdefault(id, []).append((row.what, share))
    return found


def hours(figures: Iterable[Figure]) -> dict[str, str]:
    """Say how each finding's likely hours come about: `1.5 h + 0.6522 × 2 h drive off`."""
    said: dict[str, list[str]] = {}
    for figure in (f for f in figures if f.group == "labour" and f.span.likely):
        name = f" {figure.of}" if figure.of else ""
        who = f" {figure.person}" if figure.person else ""
        for id, share in jobs.of_findings(figure.by).items():
            own = "" if share == 1 and not figure.of else f"{plain(share)} × "
            if share:
                said.setdefault(id, []).append(f"{own}{plain(figure.span.likely)} h{name}{who}")
    return {id: " + ".join(each) for id, each in said.items()}


def _finding_cost(job: Job, amounts: Amounts, decimals: int) -> FindingCost:
    id = job.finding.id
    own = [cells.get(id, {}) for cells in amounts.values()]
    nothing = not any(any(payers.values()) for payers in own)
    # an item without a price that bears no strip-down has no amount, which is not an amount of zero
    if not any(own) or (nothing and (job.unpriced or not job.figures)):
        return FindingCost(id, job.visit, unpriced=job.unpriced)
    low, likely, high = (splitting.rounded(sum(payers.values(), Decimal(0)), decimals) for payers in own)
    paid_low, paid, paid_high = (tuple(payers.items()) for payers in own)
    return FindingCost(
        id,
        job.visit,
        low,
        likely,
        high,
        job.unpriced,
        paid=paid,
        paid_low=paid_low,
        paid_high=paid_high,
    )


def _share(name: str, amounts: Sequence[Sequence[Decimal]], unpriced: int, decimals: int) -> Share:
    low, likely, high = (splitting.rounded(sum(figures, Decimal(0)), decimals) for figures in amounts)
    return Share(name, low, likely, high, unpriced)


def by_finding(waiting: Sequence[Job], amounts: Amounts, decimals: int) -> tuple[FindingCost, ...]:
    """Give what each finding has in the total [currency], in the order of the jobs."""
    return tuple(_finding_cost(job, amounts, decimals) for job in waiting)


def by_payer(waiting: Sequence[Job], amounts: Amounts, decimals: int) -> tuple[Share, ...]:
    """Give what each payer has in the total [currency]: seller, buyer, not agreed, all three in any case."""
    found = []
    for payer in PAYERS:
        own = [[paid.get(payer, Decimal(0)) for paid in cells.values()] for cells in amounts.values()]
        unpriced = sum(job.unpriced and payer in jobs.paying(job.finding) for job in waiting)
        found.append(_share(payer, own, unpriced, decimals))
    return tuple(found)


def by_group(
    groups: Sequence[str], costs: Sequence[FindingCost], order: Sequence[str], decimals: int
) -> tuple[Share, ...]:
    """Add the findings' costs up [currency]; groups: visit or severity of each; empty ones are left out."""
    found = []
    for group in (g for g in order if g in groups):
        own = [cost for cost, of in zip(costs, groups, strict=True) if of == group]
        amounts = [[a for cost in own if (a := figure(cost)) is not None] for figure in _FIGURES]
        found.append(_share(group, amounts, sum(cost.unpriced for cost in own), decimals))
    return tuple(found)


_FIGURES: tuple[Callable[[FindingCost], Decimal | None], ...] = (
    lambda cost: cost.low,
    lambda cost: cost.likely,
    lambda cost: cost.high,
)


# the kinds of line beside labour
_KINDS = {
    "parts": later("parts"),
    "supplies": later("supplies"),
    "tax": later("tax"),
    "contingency": later("contingency"),
    "fixed": later("fixed costs, charges and quotes"),
}


def by_trade(billed: Mapping[str, Sequence[tuple[str, Row]]]) -> tuple[Share, ...]:
    """Give labour by trade, then the other kinds of line; together they are the total [currency].

    billed: (visit, line) at low, likely and high, the same lines in the same order.
    """
    groups: dict[tuple[bool, str], list[tuple[Decimal, ...]]] = {}
    for rows in zip(*(billed[pick] for pick in ("low", "likely", "high")), strict=True):
        row = rows[1][1]
        # labour of both visits stands before all else
        key = (row.group != "labour", _kind(row))
        groups.setdefault(key, []).append(tuple(each.amount for _, each in rows))
    found = []
    for of in sorted(groups, key=lambda of: of[0]):
        low, likely, high = (sum(amounts, Decimal(0)) for amounts in zip(*groups[of], strict=True))
        found.append(Share(of[1], low, likely, high))
    return tuple(found)


def _kind(row: Row) -> str:
    if row.group != "labour":
        return say(_KINDS[row.group])
    if row.rate:
        return say("labour, {trade}", trade=term(row.rate))
    return say("labour, second person") if row.person else say("labour")
