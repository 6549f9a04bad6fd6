"""The price credits by P50 and P80 of the seller's share: without contingency, and how they come about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from reportgen.estimate import Estimate, MoneyStep
from reportgen.material import added_up
from reportgen.ways import SELLER, ZERO, Plan, Sums, Way, see_to_the_end
from reportgen.wording import later, say

_DRAWN = {
    "credit p50": later("half of all draws of that share, without contingency, come to no more"),
    "credit p80": later("eight of ten draws of that share, without contingency, come to no more"),
}


def build(estimate: Estimate | None, plan: Plan, sums: Sums) -> tuple[Way, ...]:
    """Give the ways by P50 and P80 of the seller's share; none where that share has no spread.

    plan: the way by a credit of the likely cost. Source: common practice, no source.
    """
    p50, p80 = (estimate.seller_p50, estimate.seller_p80) if estimate else (None, None)
    if estimate is None or p50 is None or p80 is None or p50 == p80:
        return ()
    before, found = tuple(_likely(estimate, sums)), []
    for name, credit in (("credit p50", p50), ("credit p80", p80)):
        way = see_to_the_end(replace(plan, way=name, credit=credit), sums)
        drawn = MoneyStep(say("Credit"), say(_DRAWN[name]), "", sums.money(credit))
        found.append(replace(way, steps=(*before, drawn, *way.steps)))
    return tuple(found)


def bare_share(estimate: Estimate) -> Decimal | None:
    """Give the seller's likely share without contingency [currency]; None if it has none."""
    each = _contingency(estimate)
    return _share(estimate) - sum(each) if each else None


def _contingency(estimate: Estimate) -> tuple[Decimal, ...]:
    """Give the contingency in the seller's share of each finding that has some [currency]."""
    each = (dict(cost.paid_contingency).get(SELLER, ZERO) for cost in estimate.by_finding)
    return tuple(amount for amount in each if amount)


def _share(estimate: Estimate) -> Decimal:
    return next(share.likely for share in estimate.by_payer if share.name == SELLER)


def _likely(estimate: Estimate, sums: Sums) -> Iterator[MoneyStep]:
    """Give what the likely credit would be without contingency, to be set beside those that have none."""
    each, bare = _contingency(estimate), bare_share(estimate)
    if bare is None:
        return
    what, share = say("Contingency in the seller's share"), _share(estimate)
    yield added_up(what, say("of each finding, by its number"), each, sum(each, ZERO), sums.currency)
    formula = say("seller's likely share − contingency in it")
    less = f"{sums.money(share)} − {sums.money(share - bare)}"
    yield MoneyStep(say("Seller's share without it"), formula, less, sums.money(bare))
