"""What is still to be spent on the boat, line by line, with strip-downs paid once and who pays."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from reportgen import prose, units
from reportgen.chart import Chart, Table
from reportgen.costshares import FindingCost, Share
from reportgen.edition import Edition
from reportgen.estimate import Estimate
from reportgen.passage import Passage, amount, reference, rich, span, steps
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
        "working": steps(money.working),
    }


def _parts(report: Report, name: str) -> list[Mapping[str, Any]]:
    """Give the parts that opening up destroys, which the strip-down pays."""
    strip_down = (report.cover.strip_downs or {}).get(name)
    parts = strip_down.parts if strip_down else ()
    return [
        {
            "what": rich(p.what),
            "number": rich(p.number),
            "count": p.count,
            "each": span(p.each, report.cover.currency),
        }
        for p in parts
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
