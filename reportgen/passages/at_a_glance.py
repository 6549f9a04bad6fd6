"""The report in a few sentences: how many findings, what they cost, what nobody looked at."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose, units
from reportgen.costshares import SeverityCost
from reportgen.edition import Edition
from reportgen.passage import Passage, day, pictures, rich
from reportgen.report import Report

_PRICES = {"agreed": "agreed", "offered": "offered", "asking": "asked"}
_STATED_FOR = {"as found": "for the boat as found", "after repair": "for the boat after the repairs to come"}


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    return {
        "counted": report.counted,
        "left_out": _left_out(report),
        "cost": _cost(report),
        "unpriced": money.unpriced if (money := report.estimate) else 0,
        "totals": [] if report.estimate else [_total(t, report.cover.currency) for t in report.cost_totals],
        "material": _material(report),
        "price": _price(report, edition),
        "value": _value(report, edition),
        "jobs": len(report.work_list.ids) if report.work_list and not report.estimate else 0,
        "covered": _covered(report, edition),
        "gaps": [prose.plain(g.part) for g in report.not_inspected],
        "disclosed": bool(report.cover.disclosure),
        "photos": pictures(report.photos),
        "scope": rich(report.cover.scope),
    }


def _cost(report: Report) -> Mapping[str, str] | None:
    money = report.estimate
    if money is None or not money.priced:
        return None
    code = money.currency
    figures = {"low": money.low, "likely": money.likely, "high": money.high}
    return {name: units.whole_money(value, code) for name, value in figures.items()}


def _value(report: Report, edition: Edition) -> list[str]:
    """Say the value on the first screen of a reader who decides by it; that none was stated is said too."""
    found, code = report.valuation, report.cover.currency
    if not edition.relies or "value" not in edition.shows:
        return []
    if found is None:
        follow = report.follow_up
        before = f"; report {follow.number} is the one to ask whether it stated one" if follow else ""
        return [f"not stated in this report{before}"]
    said = [f"market value {units.whole_money(found.market, code)}"] if found.market is not None else []
    if found.low is not None and found.high is not None:
        low, high = units.whole_money(found.low, code), units.whole_money(found.high, code)
        said.append(f"comparables between {low} and {high}")
    on = [f"as of {day(found.effective)}"] if found.effective else []
    return [*said, *([_STATED_FOR[found.stated_for]] if found.stated_for else []), *on]


def _total(of: SeverityCost, code: str) -> str:
    """Say what the findings of one severity come to, for a reader who gets no single cost."""
    if not of.high and of.unpriced:
        return f"{of.severity} not known, {of.unpriced} without a price yet"
    figures = [units.whole_money(value, code) for value in (of.low, of.likely, of.high)]
    said = figures[1] if of.low == of.high else f"{figures[1]} likely, {figures[0]} to {figures[2]}"
    without = "" if not of.unpriced else f", without {of.unpriced} that {_has(of.unpriced)} no price yet"
    return f"{of.severity} {said}{without}"


def _has(number: int) -> str:
    return "has" if number == 1 else "have"


def _material(report: Report) -> str:
    """Say shortly how the material findings stand to the price; the price's own passage has the sums."""
    found = report.settlement.material if report.settlement else None
    if found is None or not found.counted or found.threshold is None:
        return ""
    said = f"Material findings come to {'at least ' if found.at_least else ''}{found.share:f} % of the price"
    limit = f"the contract's {found.threshold:f} %"
    if found.verdict == "not known yet":
        return f"{said}; whether they pass {limit} is not known yet."
    return f"{said}, {found.verdict} {limit}."


def _price(report: Report, edition: Edition) -> list[str]:
    """Say what the findings do to the price, and which day of the deal comes next."""
    deal = report.settlement
    if deal is None or not deal.ways or "settlement" not in edition.passages:
        return []
    price = units.whole_money(deal.price, deal.currency)
    low, high = (units.whole_money(end, deal.currency) for end in deal.buyer_between)
    said = [f"{_PRICES.get(deal.price_is, deal.price_is)} {price}"]
    if deal.agreed:
        own = units.whole_money(deal.ways[0].buyer_pays, deal.currency)
        said.append(f"as agreed the buyer pays {own} in all, repairs and inspection included")
    else:
        ways = f"between {low} and {high}, by the way it is settled" if low != high else low
        said.append(f"with repairs and inspection the buyer pays {ways}")
    first = deal.next_day
    if first:
        said.append(f"{first.what[:1].lower()}{first.what[1:]}: {day(first.on)}, {first.says}")
    return said


def _covered(report: Report, edition: Edition) -> str:
    """Say in one line how the items of the checklist came out."""
    if report.coverage is None:
        return ""
    n = report.coverage.counts
    # an edition without sound findings gives no praise in numbers either
    sound = "with nothing noted" if "sound" in edition.leaves_out else "found sound"
    told = [(n.sound, sound), (n.findings, "with a finding"), (n.others, "noted otherwise")]
    told += [(n.not_inspected, "not inspected"), (n.not_mentioned, "not mentioned")]
    said = [f"{number} {words}" for number, words in told if number or words != "noted otherwise"]
    return f"Of {n.items} checklist items: {', '.join(said)}."


def _left_out(report: Report) -> str:
    """Say how many findings the edition leaves out, and of which severity."""
    counts = report.left_out.findings
    if not counts:
        return ""
    total = report.left_out.count
    said = ", ".join(f"{n} {severity}" for severity, n in counts)
    return f"{total} {'finding' if total == 1 else 'findings'} left out of this edition: {said}."


PASSAGE = Passage("at_a_glance", "At a glance", _build, floor=True)
