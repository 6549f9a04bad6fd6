"""What has to be put right, by when, on what it rests and how far it is: a table for who decides by it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose
from reportgen.edition import Edition
from reportgen.model import Finding
from reportgen.passage import Passage, day, deadline, not_stated, rich
from reportgen.report import ListedFinding, Report
from reportgen.wording import say

ASKED = ("stop", "settle", "schedule")  # watch and sound ask for no work


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    asked = [f for f in report.findings if f.finding.severity in ASKED]
    return {
        "rows": [_row(f) for f in asked if f.state != "checked"],
        "done": [_row(f) for f in asked if f.state == "checked"],
        "reported": any(f.state == "reported done" for f in asked),
    }


def _row(listed: ListedFinding) -> Mapping[str, Any]:
    finding = listed.finding
    return {
        "anchor": finding.id,
        "ref": listed.ref,
        "title": prose.plain(finding.title),
        "severity": finding.severity,
        "by_when": deadline(finding.by_when, listed.days_left) or _before(finding) or not_stated(),
        "basis": finding.basis or not_stated(),
        "standard": rich(finding.standard),
        "first_reported": day(finding.first_reported),
        "state": listed.state,
        "on": _on(listed),
        "same_hand": listed.same_hand,
    }


def _before(finding: Finding) -> str:
    """Give what a stop forbids: without a date of its own, that is by when it has to be put right."""
    forbidden = "; ".join(prose.plain(f) for f in finding.forbids)
    return f"{say('Must not be done:')} {forbidden}" if forbidden else ""


def _on(listed: ListedFinding) -> str:
    """Give the day on which it was checked, or else was said to be done."""
    step = listed.finding.checked or listed.finding.reported_done
    return day(step.on) if step else ""


PASSAGE = Passage("to_put_right", "What has to be put right, and by when", _build)
