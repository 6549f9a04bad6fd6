"""What the estimate goes by and how it is shared: rates, findings, payers, trades, where it may lie."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import costcharts
from reportgen.costshares import FindingCost, Share
from reportgen.edition import Edition
from reportgen.estimate import Estimate
from reportgen.passage import Passage, amount, between_two, mixed, reference
from reportgen.report import Report
from reportgen.wording import say, say_in


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    money = report.estimate
    if money is None or not money.working:
        return None
    return {
        "unpriced": money.unpriced,
        "priced": money.priced,
        "uncertain": money.uncertain,
        "sharing": money.sharing,
        "by_payer": costcharts.by_payer(money) if between_two(report) else None,
        "by_trade": costcharts.by_trade(money),
        "spread": costcharts.spread(money),
        "items": [_item(report, cost, money.currency) for cost in money.by_finding if cost.lines],
        "payers": [_payer(report, share, money) for share in _payers(report, money)],
        "lines": costcharts.lines(money),
        "total": {name: amount(getattr(money, name), money.currency) for name in ("low", "likely", "high")},
        "visits": len(money.by_visit),
        "terms": [(mixed(name), mixed(said)) for name, said in money.terms],
    }


def _item(report: Report, cost: FindingCost, currency: str) -> Mapping[str, Any]:
    """Give a finding's share of every line, which add up to its likely figure."""
    title = next((f.finding.title for f in report.findings if f.finding.id == cost.id), "")
    # a fixed cost bears its finding's name, which stands before it already
    own = {title: say("fixed cost"), say("{what}, tax", what=title): say("tax on it")}
    return {
        "finding": reference(report, cost.id),
        "hours": cost.hours,
        "lines": [
            {"what": mixed(own.get(what, what)), "amount": amount(share, currency)}
            for what, share in cost.lines
        ],
        "likely": amount(cost.likely, currency),
        "mean": amount(cost.mean, currency),
        "deviation": amount(cost.deviation, currency) if cost.deviation else "",
    }


def _payers(report: Report, money: Estimate) -> list[Share]:
    return [share for share in money.by_payer if share.high] if between_two(report) else []


def _payer(report: Report, share: Share, money: Estimate) -> Mapping[str, Any]:
    """Give what a payer has in each finding, which add up to the payer's likely figure."""
    paid = [
        {"finding": reference(report, cost.id), "amount": amount(own, money.currency)}
        for cost in money.by_finding
        for payer, own in cost.paid
        if payer == share.name and own
    ]
    return {
        "name": say_in("share of", share.name),
        "paid": paid,
        "likely": amount(share.likely, money.currency),
    }


PASSAGE = Passage("workings", "Cost to come: rates, shares and spread", _build, page=costcharts.PAGE)
