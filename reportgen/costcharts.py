"""Gives the costs to come as charts with their tables: by finding, payer and trade, and how totals spread."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from reportgen import costshares, prose, units
from reportgen.chart import Chart, Table
from reportgen.costshares import FindingCost, Share
from reportgen.estimate import Estimate
from reportgen.passage import amount, mixed, span
from reportgen.report import Report
from reportgen.wording import number, say, say_in, say_n

PAGE = "sums"  # the appendix that holds how the sums were worked out


def lines(money: Estimate) -> list[Mapping[str, Any]]:
    """Give each line of the yard's bill with its three figures, as printed."""
    return [
        {
            "what": mixed(line.what),
            "visit": say_in("visit", line.visit),
            "hours": span(line.hours),
            **{name: amount(getattr(line, name), money.currency) for name in ("low", "likely", "high")},
        }
        for line in money.lines
    ]


def by_payer(money: Estimate) -> Chart | None:
    """Give what each payer has to pay; None without payers."""
    if not money.by_payer:
        return None
    rows = tuple(
        _row(say_in("share of", share.name), share, money.currency)
        for share in money.by_payer
        if share.high or share.unpriced
    )
    likely = ", ".join(f"{row['label']} {row['printed']}" for row in rows)
    return Chart(
        "breakdown",
        say("Cost to come by who pays, {currency}", currency=money.currency),
        say("Likely cost by payer: {likely}.", likely=likely),
        {"rows": rows, "unit": money.currency},
        _table(
            say("Who pays"),
            tuple(
                replace(s, name=say_in("share of", s.name)) for s in money.by_payer if s.high or s.unpriced
            ),
            money.currency,
        ),
    )


def by_finding(report: Report, money: Estimate) -> Chart | None:
    """Give each finding with its range as a line over the bar; None without findings."""
    # one whose price another holds has no figure of its own, and none is missing
    costs = [c for c in money.by_finding if c.likely is not None or c.unpriced]
    found = {f.finding.id: f for f in report.findings}
    listed = [(found[c.id], c) for c in costs if c.id in found]
    rows = tuple(_row(f"{f.ref}. {prose.plain(f.finding.title)}", cost, money.currency) for f, cost in listed)
    if not rows:
        return None
    total = units.money(money.likely, money.currency)
    return Chart(
        "breakdown",
        say("Cost to come by finding, {currency}", currency=money.currency),
        say(
            "Likely cost of each finding with its range; likely total {total}. The figures stand "
            "in the table.",
            total=total,
        ),
        {"rows": rows, "unit": money.currency},
        Table(
            (say("Finding"), say("Low"), say("Likely"), say("High")),
            tuple(
                (str(row["label"]), *_cells(cost, money.currency))
                for row, (_, cost) in zip(rows, listed, strict=True)
            ),
        ),
    )


def by_trade(money: Estimate) -> Chart | None:
    """Give labour by trade and the other kinds of line; None where the edition hides them."""
    if not money.by_trade:
        return None
    rows = tuple(_row(share.name, share, money.currency) for share in money.by_trade)
    likely = ", ".join(f"{row['label']} {row['printed']}" for row in rows)
    return Chart(
        "breakdown",
        say("Cost to come by trade and kind of cost, {currency}", currency=money.currency),
        " ".join(filter(None, (say("Likely cost: {likely}.", likely=likely), _left_out(money)))),
        {"rows": rows, "unit": money.currency},
        _table(say("Trade or kind of cost"), money.by_trade, money.currency),
    )


def _left_out(money: Estimate) -> str:
    if not money.unpriced:
        return ""
    return say_n("{n} item without a price left out.", "{n} items without a price left out.", money.unpriced)


def spread(money: Estimate) -> Chart | None:
    """Give how the total is spread over the draws, None where nothing is uncertain."""
    if not money.steps:
        return None
    found = ((say("likely"), money.likely), ("P10", money.p10), ("P50", money.p50), ("P90", money.p90))
    marks = [(name, value, units.whole_money(value, money.currency)) for name, value in found]
    said = ", ".join(f"{name} {printed}" for name, _, printed in marks)
    return Chart(
        "histogram",
        say("Where the total may lie, {currency}", currency=money.currency),
        " ".join(
            filter(
                None,
                (say("How often each total came up in the simulation: {said}.", said=said), _left_out(money)),
            )
        ),
        {
            "steps": tuple(
                {"low": float(low), "high": float(high), "share": float(share)}
                for low, high, share in money.steps
            ),
            "unit": money.currency,
            "marks": tuple(
                {"value": float(value), "label": f"{name} {printed}"} for name, value, printed in marks
            ),
        },
        Table(
            (say("Total"), say("Share of draws")),
            tuple(
                (
                    say(
                        "{low} to {high}",
                        low=units.whole_money(low, money.currency),
                        high=units.whole_money(high, money.currency),
                    ),
                    f"{number(f'{share:.1f}')} %",
                )
                for low, high, share in money.steps
            ),
        ),
    )


def _row(label: str, of: FindingCost | Share, currency: str) -> Mapping[str, Any]:
    low, likely, high = (None if value is None else float(value) for value in _three(of))
    printed = say("not priced") if likely is None else units.whole_money(of.likely or Decimal(0), currency)
    return {"label": label, "low": low, "likely": likely, "high": high, "printed": printed, "group": ""}


def _three(of: FindingCost | Share) -> tuple[Decimal | None, Decimal | None, Decimal | None]:
    if isinstance(of, Share) and of.unpriced and not of.high:
        return None, None, None  # what nobody has priced yet is not free of charge
    if of.low is None or of.likely is None or of.high is None:
        return of.low, of.likely, of.high
    return costshares.in_order(of.low, of.likely, of.high)


def _cells(of: FindingCost | Share, currency: str) -> tuple[str, str, str]:
    return tuple(amount(v, currency) or say("not priced") for v in _three(of))  # type: ignore[return-value]


def _table(head: str, shares: tuple[Share, ...], currency: str) -> Table:
    return Table(
        (head, say("Low"), say("Likely"), say("High")), tuple((s.name, *_cells(s, currency)) for s in shares)
    )
