"""What is still to be spent on the boat, line by line, with strip-downs paid once and who pays."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from reportgen import costcharts, units
from reportgen.choices import QuoteCost
from reportgen.edition import Edition
from reportgen.estimate import Estimate
from reportgen.passage import Passage, amount, between_two, day, mixed, reference, rich, sentence, span
from reportgen.report import Report
from reportgen.wording import number, say_in


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    money = report.estimate
    if money is None:
        return None
    return {
        "currency": money.currency,
        # where there is a page of sums, the lines stand there
        "lines": [] if money.working else costcharts.lines(money),
        "total": _three(money, money.currency),
        "visits": [
            {"what": say_in("visit", v.name), "hours": "", "visit": "", **_three(v, money.currency)}
            for v in money.by_visit
        ],
        "rather": units.whole_money(money.rather, money.currency) if money.rather else "",
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
                "visit": say_in("visit", s.visit),
                "hours": span(s.hours) if s.hours and s.hours.high else "",
                "needed_by": [reference(report, id) for id in s.needed_by],
                "shared": s.shared,
                "second": span(_second(report, s.name)),
                "overtime": _overtime(report, s.name),
                "charges": [mixed(said) for said in s.charges],
                "parts": _parts(report, s.name),
                "twice": s.twice,
                **_three(s, money.currency),
            }
            for s in money.strip_downs
        ],
        "page": f"{costcharts.PAGE}.html" if money.working else "",
        "sharing": money.sharing,
        "expired": [reference(report, id) for id in money.expired],
        "payers": [
            {
                "name": say_in("share of", share.name),
                # nothing priced is no sum of zero
                "likely": amount(share.likely, money.currency) if share.high else "",
                "unpriced": share.unpriced,
            }
            for share in money.by_payer
            if (share.high or share.unpriced) and between_two(report)
        ],
        "by_finding": costcharts.by_finding(report, money),
        "crossed": any(_crossed(c.low, c.likely, c.high) for c in money.by_finding),
        "options": _options(report, money),
        "waits": [
            {
                "finding": reference(report, w.id),
                "cost": span(w.cost, money.currency),
                "until": day(w.until) if isinstance(w.until, datetime.date) else rich(w.until or ""),
                "why": sentence(w.why),
                "counted": w.counted,
            }
            for w in money.waits
        ],
        "quotes": [_quote(report, quote, money.currency) for quote in money.quotes],
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
        "tax": f"{number(quote.tax)} %" if quote.tax else "",
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
    return f"{number(strip_down.overtime)} %" if strip_down and strip_down.overtime else ""


def _crossed(*three: Decimal | None) -> bool:
    """Say whether low, likely and high do not rise, so that the table has them otherwise."""
    told = [each for each in three if each is not None]
    return told != sorted(told)


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


PASSAGE = Passage("estimate", "Cost to come", _build)
