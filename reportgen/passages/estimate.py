"""What is still to be spent on the boat, line by line, with strip-downs paid once and who pays."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from reportgen import prose, units
from reportgen.chart import Chart, Table
from reportgen.choices import QuoteCost
from reportgen.costshares import FindingCost, Share
from reportgen.edition import Edition
from reportgen.estimate import Estimate
from reportgen.passage import Passage, amount, day, reference, rich, sentence, span, steps, when
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    money = report.estimate
    if money is None:
        return None
    return {
        "currency": money.currency,
        "lines": [
            {
                "what": rich(line.what),
                "visit": line.visit,
                "hours": span(line.hours),
                **_three(line, money.currency),
            }
            for line in money.lines
        ],
        "total": _three(money, money.currency),
        "visits": [{"name": v.name, **_three(v, money.currency)} for v in money.by_visit],
        "mean": amount(money.mean, money.currency),
        "p10": units.whole_money(money.p10, money.currency),
        "p50": units.whole_money(money.p50, money.currency),
        "p80": units.whole_money(money.p80, money.currency),
        "p90": units.whole_money(money.p90, money.currency),
        "uncertain": money.uncertain,
        "unpriced": money.unpriced,
        "priced": money.priced,
        "unpriced_items": [reference(report, id) for id in money.unpriced_ids],
        "saved": amount(money.saved_by_doing_together, money.currency)
        if money.saved_by_doing_together
        else "",
        "strip_downs": [
            {
                "name": rich(s.name),
                "visit": s.visit,
                "hours": span(s.hours) if s.hours and s.hours.high else "",
                "needed_by": [reference(report, id) for id in s.needed_by],
                "shared": s.shared,
                "second": span(_second(report, s.name)),
                "overtime": _overtime(report, s.name),
                "charges": [rich(said) for said in s.charges],
                "parts": _parts(report, s.name),
                "twice": s.twice,
                **_three(s, money.currency),
            }
            for s in money.strip_downs
        ],
        "sharing": money.sharing,
        "expired": [reference(report, id) for id in money.expired],
        "by_payer": _payers(money),
        "by_finding": _breakdown(report, money),
        "by_trade": _trades(money),
        "spread": _spread(money),
        "deviation": amount(money.deviation, money.currency),
        "deviation_apart": amount(money.deviation_apart, money.currency),
        "items": [_item(report, cost, money.currency) for cost in money.by_finding if cost.lines],
        "payers": [_payer(report, share, money) for share in money.by_payer if share.high],
        "options": _options(report, money),
        "waits": [
            {
                "finding": reference(report, w.id),
                "cost": span(w.cost, money.currency),
                "until": when(w.until),
                "why": sentence(w.why),
                "counted": w.counted,
            }
            for w in money.waits
        ],
        "quotes": [_quote(report, quote, money.currency) for quote in money.quotes],
        "terms": [(rich(name), rich(said)) for name, said in money.terms],
        "working": steps(money.working),
    }


def _options(report: Report, money: Estimate) -> list[Mapping[str, Any]]:
    """Give the ways of each finding that offers more than one."""
    found: list[Mapping[str, Any]] = []
    for id in dict.fromkeys(option.id for option in money.options):
        ways = [
            {
                "way": option.way,
                "counted": option.counted,
                "unpriced": option.unpriced,
                "total": amount(option.total, money.currency),
                **_three(option, money.currency),
            }
            for option in money.options
            if option.id == id
        ]
        found.append({"finding": reference(report, id), "ways": ways})
    return found


def _quote(report: Report, quote: QuoteCost, currency: str) -> Mapping[str, Any]:
    return {
        "from": rich(quote.from_),
        "number": rich(quote.number),
        "on": day(quote.on),
        "until": day(quote.valid_until),
        "days_left": quote.days_left,
        "amount": amount(quote.amount, currency),
        "before_tax": amount(quote.before_tax, currency),
        "tax": f"{quote.tax} %" if quote.tax else "",
        "use": quote.use,
        "covers": [reference(report, id) for id in quote.covers],
        "unpriced": quote.unpriced,
        **_three(quote, currency),
    }


def _second(report: Report, name: str) -> units.Span | None:
    strip_down = (report.cover.strip_downs or {}).get(name)
    return strip_down.second_person if strip_down else None


def _overtime(report: Report, name: str) -> str:
    strip_down = (report.cover.strip_downs or {}).get(name)
    return f"{strip_down.overtime} %" if strip_down and strip_down.overtime else ""


def _parts(report: Report, name: str) -> list[Mapping[str, Any]]:
    """Give the parts that opening up destroys, which the strip-down pays."""
    strip_down = (report.cover.strip_downs or {}).get(name)
    parts = strip_down.parts if strip_down else ()
    return [
        {"what": rich(p.what), "count": p.count, "each": span(p.each, report.cover.currency)} for p in parts
    ]


def _three(of: Any, currency: str) -> Mapping[str, str]:
    return {name: amount(getattr(of, name), currency) for name in ("low", "likely", "high")}


def _payers(money: Estimate) -> Chart | None:
    if not money.by_payer:
        return None
    rows = tuple(
        _row(share.name, share, money.currency) for share in money.by_payer if share.high or share.unpriced
    )
    likely = ", ".join(f"{row['label']} {row['printed']}" for row in rows)
    return Chart(
        "breakdown",
        f"Cost to come by who pays, {money.currency}",
        f"Likely cost by payer: {likely}.",
        {"rows": rows, "unit": money.currency},
        _table("Who pays", tuple(s for s in money.by_payer if s.high or s.unpriced), money.currency),
    )


def _trades(money: Estimate) -> Chart | None:
    if not money.by_trade:
        return None
    rows = tuple(_row(share.name, share, money.currency) for share in money.by_trade)
    likely = ", ".join(f"{row['label']} {row['printed']}" for row in rows)
    return Chart(
        "breakdown",
        f"Cost to come by trade and kind of cost, {money.currency}",
        f"Likely cost: {likely}.{_left_out(money)}",
        {"rows": rows, "unit": money.currency},
        _table("Trade or kind of cost", money.by_trade, money.currency),
    )


def _left_out(money: Estimate) -> str:
    if not money.unpriced:
        return ""
    return f" {money.unpriced} {'item' if money.unpriced == 1 else 'items'} without a price left out."


def _spread(money: Estimate) -> Chart | None:
    """Give how the total is spread over the draws, None where nothing is uncertain."""
    if not money.steps:
        return None
    found = (("P10", money.p10), ("P50", money.p50), ("P90", money.p90))
    marks = [(name, value, units.whole_money(value, money.currency)) for name, value in found]
    said = ", ".join(f"{name} {printed}" for name, _, printed in marks)
    return Chart(
        "histogram",
        f"Where the total may lie, {money.currency}",
        f"How often each total came up in the simulation: {said}.{_left_out(money)}",
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
            ("From", "To", "Share of draws"),
            tuple(
                (
                    units.whole_money(low, money.currency),
                    units.whole_money(high, money.currency),
                    f"{share:.1f} %",
                )
                for low, high, share in money.steps
            ),
        ),
    )


def _item(report: Report, cost: FindingCost, currency: str) -> Mapping[str, Any]:
    """Give a finding's share of every line, which add up to its likely figure."""
    return {
        "finding": reference(report, cost.id),
        "hours": cost.hours,
        "lines": [{"what": rich(what), "amount": amount(share, currency)} for what, share in cost.lines],
        "likely": amount(cost.likely, currency),
        "mean": amount(cost.mean, currency),
        "deviation": amount(cost.deviation, currency),
    }


def _payer(report: Report, share: Share, money: Estimate) -> Mapping[str, Any]:
    """Give what a payer has in each finding, which add up to the payer's likely figure."""
    paid = [
        {"finding": reference(report, cost.id), "amount": amount(own, money.currency)}
        for cost in money.by_finding
        for payer, own in cost.paid
        if payer == share.name and own
    ]
    return {"name": share.name, "paid": paid, "likely": amount(share.likely, money.currency)}


def _breakdown(report: Report, money: Estimate) -> Chart | None:
    costs = {cost.id: cost for cost in money.by_finding}
    listed = [(f, costs[f.finding.id]) for f in report.findings if f.finding.id in costs]
    rows = tuple(_row(f"{f.ref}. {prose.plain(f.finding.title)}", cost, money.currency) for f, cost in listed)
    if not rows:
        return None
    total = units.money(money.likely, money.currency)
    return Chart(
        "breakdown",
        f"Cost to come by finding, {money.currency}",
        f"Likely cost of each finding with its range; likely total {total}. The figures stand in the table.",
        {"rows": rows, "unit": money.currency},
        Table(
            ("Finding", "Low", "Likely", "High"),
            tuple(
                (str(row["label"]), *_cells(cost, money.currency))
                for row, (_, cost) in zip(rows, listed, strict=True)
            ),
        ),
    )


def _row(label: str, of: FindingCost | Share, currency: str) -> Mapping[str, Any]:
    printed = "not priced" if of.likely is None else units.whole_money(of.likely, currency)
    return {
        "label": label,
        "low": _plain(of.low),
        "likely": _plain(of.likely),
        "high": _plain(of.high),
        "printed": printed,
        "group": "",
    }


def _plain(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _cells(of: FindingCost | Share, currency: str) -> tuple[str, str, str]:
    return tuple(amount(v, currency) or "not priced" for v in (of.low, of.likely, of.high))  # type: ignore[return-value]


def _table(head: str, shares: tuple[Share, ...], currency: str) -> Table:
    return Table((head, "Low", "Likely", "High"), tuple((s.name, *_cells(s, currency)) for s in shares))


PASSAGE = Passage("estimate", "Cost to come", _build)
