"""Every finding, worst first, with its evidence, risk, action, cost and what has been done about it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import costcharts, prose, units
from reportgen.beside import Compared
from reportgen.chart import Chart, Table
from reportgen.edition import Edition
from reportgen.model import Finding
from reportgen.passage import (
    NOT_STATED,
    SEVERITY_MEANS,
    Passage,
    between_two,
    day,
    deadline,
    not_stated,
    pictures,
    reference,
    rich,
    sentence,
    span,
    text_block,
    titled,
)
from reportgen.report import ListedFinding, Report
from reportgen.wording import all_of, later, number, say, say_in, term

_SURE = {
    "measured": later("Measured"),
    "seen": later("Seen"),
    "suspected": later("Suspected until opened up"),
    "told": later("Told by others, not seen by the surveyor"),
}

_WAYS = {
    "repair": later("settled by repair before closing"),
    "credit": later("settled by a price credit"),
    "holdback": later("settled by money held back until repaired"),
    "as it is": later("taken as it is"),
}


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    groups, refs = [], [f.ref for f in report.findings]
    for severity, means in SEVERITY_MEANS.items():
        inside = [_one(report, f) for f in report.findings if f.finding.severity == severity]
        if inside:
            groups.append({"severity": severity, "means": say(means), "findings": inside})
    return {
        "groups": groups,
        "chart": _chart(report, edition),
        "costs": report.estimate is not None,
        "between_two": between_two(report),
        "renumbered": _renumbered(report) if list(refs) != sorted(refs) else "",
        "left_out": dict(report.left_out.findings),
    }


def _renumbered(report: Report) -> str:
    """Say why the numbers do not run in order on this page."""
    if report.estimate and report.estimate.unpriced_ids:
        return say(
            "Within a severity the earliest date comes first, then what has no price yet, then the dearest. "
            "Numbers are the same in every edition and follow no cost."
        )
    if report.estimate:
        return say(
            "Within a severity the earliest date comes first, then the dearest. Numbers are the same in "
            "every edition and follow no cost."
        )
    return say("A finding of the earlier report keeps its number from there, so numbers do not run in order.")


def _opens(report: Report, listed: ListedFinding) -> str:
    """Give where the page of sums tells what a finding's cost is made of, or nothing if it doesn't."""
    money = report.estimate
    told = money and money.working and money.priced
    lines = [c.lines for c in money.by_finding if c.id == listed.finding.id] if money and told else []
    return f"{costcharts.PAGE}.html#of-{listed.ref}" if any(lines) else ""


def _chart(report: Report, edition: Edition) -> Chart | None:
    severities = [f.finding.severity for f in report.findings if f.state != "checked"]
    told = [s for s in SEVERITY_MEANS if s not in edition.leaves_out or s in severities]
    checked = [f for f in report.findings if f.state == "checked"]
    rows = [(s, severities.count(s)) for s in told]
    if checked:  # a nought would read as if nothing had been looked at
        rows.append(("checked", len(checked)))
    if not report.findings:
        return None
    return Chart(
        "counts",
        say("Findings by severity"),
        f"{report.counted}",
        {"rows": tuple({"label": _counted(s), "count": n, "means": s} for s, n in rows)},
        Table((say("Severity"), say("Findings")), tuple((_counted(s), str(n)) for s, n in rows)),
    )


def _counted(word: str) -> str:
    """Give the word of a row: a severity, or what is checked and needs nothing more."""
    return say_in("state" if word == "checked" else "severity", word)


def _one(report: Report, listed: ListedFinding) -> Mapping[str, Any]:
    finding = listed.finding
    worded = finding.severity != "sound"
    return {
        "id": finding.id,
        "ref": listed.ref,
        "title": titled(finding.title),
        "severity": finding.severity,
        "state": listed.state,
        "by_tool": finding.by_tool,
        "system": finding.system,
        "where": rich(finding.where),
        "forbids": [rich(f) for f in finding.forbids],
        "risk": sentence(finding.risk) or (not_stated() if _must(finding) else ""),
        "action": sentence(finding.action) or (not_stated() if _must(finding) else ""),
        "by_when": deadline(finding.by_when, listed.days_left),
        "done_when": sentence(finding.done_when),
        "look_again": rich(finding.look_again),
        "basis": say_in("basis", finding.basis) or (not_stated() if worded else ""),
        "standard": rich(finding.standard),
        "sure": say(_SURE.get(finding.confidence, NOT_STATED if worded else "")),
        "confidence": finding.confidence,
        "first_reported": day(finding.first_reported),
        "known": _yes_no(finding.known_before_offer),
        "advertised": _yes_no(finding.advertised_as_working),
        "normal": _yes_no(finding.normal_for_age),
        "evidence": [reference(report, e) for e in finding.evidence],
        "prose": text_block(finding.prose),
        "photos": pictures(finding.photos),
        "repair": _repair(report, listed),
        "pays": _pays(finding),
        "settle_by": say(_WAYS.get(finding.settle_by, "")),
        "taken_over": finding.taken_over,
        "since": day(finding.first_reported) if report.follow_up and worded else "",
        "before": pictures(finding.photos_before),
        "again": _again(finding),
        "was": _was(finding),
        "done": _done(finding),
        "checked": _checked(report, listed),
    }


def _must(finding: Finding) -> bool:
    return finding.severity in ("stop", "settle", "schedule")


def _yes_no(value: bool | None) -> str:
    return "" if value is None else say("yes") if value else say("no")


def _pays(finding: Finding) -> str:
    if not finding.pays:
        return ""
    if len(finding.pays) == 1:
        return say_in("paid by", f"the {next(iter(finding.pays))}")
    return all_of(
        f"{say_in('paid by', f'the {payer}')} {number(f'{share.normalize():f}')} %"
        for payer, share in finding.pays.items()
    )


def _repair(report: Report, listed: ListedFinding) -> Mapping[str, Any] | None:
    repair, code, cost = listed.finding.repair, report.cover.currency, listed.cost
    if repair is None and cost is None and not (listed.unpriced and report.estimate):
        return None
    values: dict[str, Any] = dict.fromkeys(("low", "likely", "high", "opens", "labour", "trade", "why"), "")
    values |= {
        "held": (),
        "fixed": False,
        "needs": (),
        "parts": (),
        "quote": None,
        "unpriced": listed.unpriced,
    }
    if cost:
        values |= {
            "low": units.whole_money(cost.low, code),
            "likely": units.whole_money(cost.likely, code),
            "opens": _opens(report, listed),
            "high": units.whole_money(cost.high, code),
            "fixed": cost.low == cost.high,
        }
    if repair:
        values |= {
            "why": rich(repair.unpriced),
            "needs": [rich(n) for n in repair.needs],
            "labour": span(repair.labour),
            "trade": term(repair.trade),
            "parts": [
                {
                    "what": rich(p.what),
                    "number": rich(p.number),
                    "count": p.count,
                    "each": span(p.each, code),
                }
                for p in repair.parts
            ],
            "quote": _quote(report, listed),
            "held": [reference(report, id) for id in repair.in_price_of],
        }
    return values


def _quote(report: Report, listed: ListedFinding) -> Mapping[str, str] | None:
    quote = listed.finding.repair.quote if listed.finding.repair else None
    return (
        None if quote is None else {"from": quote.from_, "on": day(quote.on), "until": day(quote.valid_until)}
    )


def _done(finding: Finding) -> Mapping[str, Any] | None:
    done = finding.reported_done
    return (
        None
        if done is None
        else {
            "by": say_in("by whom", done.by),
            "on": day(done.on),
            "how": sentence(done.how),
            "invoice": done.invoice,
            "photos": pictures(done.photos),
        }
    )


def _checked(report: Report, listed: ListedFinding) -> Mapping[str, Any] | None:
    check = listed.finding.checked
    return (
        None
        if check is None
        else {
            "by": say_in("by whom", check.by),
            "on": day(check.on),
            "how": sentence(check.how),
            "evidence": [reference(report, e) for e in check.evidence],
            "retests": [_retest(c) for c in report.compared if c.id in check.evidence],
            "photos": pictures(check.photos),
            "same_hand": listed.same_hand,
        }
    )


def _retest(compared: Compared) -> Mapping[str, Any]:
    """Give a retest beside the reading that it repeats: outcomes, and the values that changed most."""
    return {
        "title": prose.plain(compared.title),
        "anchor": compared.id,
        "then": compared.then,
        "now": compared.now,
        "values": [{"name": b.called, "then": b.then, "now": b.now} for b in compared.most],
    }


def _again(finding: Finding) -> Mapping[str, Any] | None:
    look = finding.looked_at_again
    if look is None:
        return None
    return {
        "by": say_in("by whom", look.by),
        "on": day(look.on),
        "result": sentence(look.result),
        "how": sentence(look.how),
    }


def _was(finding: Finding) -> Mapping[str, Any] | None:
    was = finding.severity_was
    return None if was is None else {"severity": was.severity, "why": sentence(was.why), "on": day(was.on)}


PASSAGE = Passage("findings", "Findings, worst first", _build, floor=True)
