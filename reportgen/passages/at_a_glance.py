"""The report in a few sentences: how many findings, what they cost, what nobody looked at."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose, units
from reportgen.costshares import SeverityCost
from reportgen.edition import Edition
from reportgen.passage import Passage, day, pictures, rich
from reportgen.report import Report
from reportgen.wording import later, number, say, say_in, say_n

_PRICES = {"agreed": later("agreed"), "offered": later("offered"), "asking": later("asked")}
_STATED_FOR = {
    "as found": later("for the boat as found"),
    "after repair": later("for the boat after the repairs to come"),
}

_VERDICTS = {"above": later("{said}, above {limit}."), "not above": later("{said}, not above {limit}.")}


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    return {
        "counted": report.counted,
        "left_out": _left_out(report),
        "cost": _cost(report),
        "rather": _rather(report),
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


def _rather(report: Report) -> str:
    """Give what all repairs together will rather come to than the likely figures added up, if much more."""
    money = report.estimate
    return units.whole_money(money.rather, money.currency) if money and money.rather else ""


def _value(report: Report, edition: Edition) -> list[str]:
    """Say the value on the first screen of a reader who decides by it; that none was stated is said too."""
    found, code = report.valuation, report.cover.currency
    if not edition.relies or "value" not in edition.shows:
        return []
    if found is None:
        if report.follow_up is None:
            return [say("not stated in this report")]
        return [
            say(
                "not stated in this report; report {number} is the one to ask whether it stated one",
                number=report.follow_up.number,
            )
        ]
    said = (
        [say("market value {market}", market=units.whole_money(found.market, code))]
        if found.market is not None
        else []
    )
    if found.low is not None and found.high is not None:
        low, high = units.whole_money(found.low, code), units.whole_money(found.high, code)
        said.append(say("comparables between {low} and {high}", low=low, high=high))
    on = [say("as of {effective}", effective=day(found.effective))] if found.effective else []
    return [*said, *([say(_STATED_FOR[found.stated_for])] if found.stated_for else []), *on]


def _total(of: SeverityCost, code: str) -> str:
    """Say what the findings of one severity come to, for a reader who gets no single cost."""
    named = say_in("severity", of.severity)
    if not of.high and of.unpriced:
        return say("{severity} not known, {n} without a price yet", severity=named, n=of.unpriced)
    figures = [units.whole_money(value, code) for value in (of.low, of.likely, of.high)]
    said = figures[1]
    if of.low != of.high:
        said = say("{likely} likely, {low} to {high}", likely=figures[1], low=figures[0], high=figures[2])
    if not of.unpriced:
        return f"{named} {said}"
    return say_n(
        "{severity} {figures}, without {n} that has no price yet",
        "{severity} {figures}, without {n} that have no price yet",
        of.unpriced,
        severity=named,
        figures=said,
    )


def _material(report: Report) -> str:
    """Say shortly how the material findings stand to the price; the price's own passage has the sums."""
    found = report.settlement.material if report.settlement else None
    if found is None or not found.counted or found.threshold is None:
        return ""
    share = f"{number(f'{found.share:f}')} %"
    said = say("Material findings come to {share} of the price", share=share)
    if found.at_least:
        said = say("Material findings come to at least {share} of the price", share=share)
    limit = say("the contract's {threshold} %", threshold=number(f"{found.threshold:f}"))
    if found.verdict == "not known yet":
        return say("{said}; whether they pass {limit} is not known yet.", said=said, limit=limit)
    return say(_VERDICTS[found.verdict], said=said, limit=limit)


def _price(report: Report, edition: Edition) -> list[str]:
    """Say what the findings do to the price, and which day of the deal comes next."""
    deal = report.settlement
    if deal is None or not deal.ways or "settlement" not in edition.passages:
        return []
    price = units.whole_money(deal.price, deal.currency)
    low, high = (units.whole_money(end, deal.currency) for end in deal.buyer_between)
    said = [f"{say(_PRICES.get(deal.price_is, deal.price_is))} {price}"]
    if deal.agreed:
        own = units.whole_money(deal.ways[0].buyer_pays, deal.currency)
        said.append(say("as agreed the buyer pays {sum} in all, repairs and inspection included", sum=own))
    else:
        text = later(
            "with repairs at their likely cost the buyer pays between {low} and {high} in all, depending on "
            "how it is settled"
        )
        if low == high:
            text = later("with repairs at their likely cost the buyer pays {low} in all")
        said.append(say(text, low=low, high=high))
        if deal.not_agreed:
            left = units.whole_money(deal.not_agreed, deal.currency)
            said.append(say("{left} of repairs that nobody has agreed to pay is not in that", left=left))
    first = deal.next_day
    if first:
        what = say_in("day of the deal", f"{first.what[:1].lower()}{first.what[1:]}")
        said.append(f"{what}: {day(first.on)}, {first.says}")
    return said


def _covered(report: Report, edition: Edition) -> str:
    """Say in one line how the items of the checklist came out."""
    if report.coverage is None:
        return ""
    n = report.coverage.counts
    # an edition without sound findings gives no praise in numbers either
    found, held = later("found sound"), later("with a finding")
    if report.left_out.findings:
        held = later("with a finding, listed here or left out")
    if "sound" in edition.leaves_out:
        found = later("looked at without a finding in this edition")
    told = [(n.sound, say(found)), (n.findings, say(held)), (n.others, say("noted otherwise"))]
    told += [(n.not_inspected, say("not inspected")), (n.not_mentioned, say("not mentioned"))]
    said = [f"{n} {words}" for n, words in told if n or words != say("noted otherwise")]
    line = say("Of {items} checklist items: {said}.", items=n.items, said=", ".join(said))
    if n.not_inspected and report.not_inspected and n.not_inspected != len(report.not_inspected):
        # the line above counts parts as the surveyor names them
        line += f" {say('A part not inspected can stand for several of them, or for none.')}"
    return line


def _left_out(report: Report) -> str:
    """Say how many findings the edition leaves out, and of which severity."""
    counts = report.left_out.findings
    if not counts:
        return ""
    said = ", ".join(f"{n} {say_in('severity', severity)}" for severity, n in counts)
    return say_n(
        "{n} finding left out of this edition: {said}.",
        "{n} findings left out of this edition: {said}.",
        report.left_out.count,
        said=said,
    )


PASSAGE = Passage("at_a_glance", "At a glance", _build, floor=True)
