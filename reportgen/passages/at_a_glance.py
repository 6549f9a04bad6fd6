"""The report in a few sentences: how many findings, what they cost, what nobody looked at."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose, units
from reportgen.edition import Edition
from reportgen.passage import Passage, pictures, rich
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    return {
        "counted": report.counted,
        "left_out": _left_out(report),
        "cost": _cost(report),
        "unpriced": money.unpriced if (money := report.estimate) else 0,
        "material": _material(report),
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
    counts = [f"{n} {severity}" for severity, n in report.left_out.findings]
    return ", ".join(counts)


PASSAGE = Passage("at_a_glance", "At a glance", _build, floor=True)
