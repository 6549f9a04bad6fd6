"""Every finding of the earlier report with what became of it; each repeated reading beside the old one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose
from reportgen.beside import Compared
from reportgen.edition import Edition
from reportgen.followup import Account
from reportgen.passage import Passage, day, days, reference, rich
from reportgen.report import Report
from reportgen.wording import say_in


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    follow = report.follow_up
    if follow is None and not report.compared:
        return None
    return {
        "number": follow.number if follow else "",
        "inspected": days(follow.inspected) if follow else "",
        "accounts": [_account(report, a) for a in follow.accounts] if follow else [],
        "compared": [_compared(report, c) for c in report.compared],
    }


def _account(report: Report, account: Account) -> Mapping[str, Any]:
    listed = any(f.finding.id == account.id for f in report.findings)
    return {
        "anchor": account.id if listed else "",
        "ref": str(account.ref),
        "title": prose.plain(account.title),
        "severity": account.severity,
        "state": account.state,
        "since": day(account.since),
        "became": account.became,
        "by": account.by,
        "why": prose.plain(account.why),
        "on": day(account.on),
        "instead": [reference(report, id) for id in account.instead if id],
        "changes": [
            {"key": c.key, "then": _told(c.key, c.then), "now": _told(c.key, c.now)} for c in account.changes
        ],
    }


def _told(key: str, words: str) -> str:
    """Give what a note said under a key; words of ours in the reader's language."""
    return say_in(key, words) if key in ("severity", "basis") else prose.plain(words)


def _compared(report: Report, compared: Compared) -> Mapping[str, Any]:
    before = compared.past[-1] if compared.past else None
    # readings of one survey have no day of their own: their conditions say when they were taken
    taken = {j.reading.id: rich(j.reading.conditions) for j in report.readings}
    return {
        "id": compared.id,
        "title": prose.plain(compared.title),
        "kind": compared.kind_title,
        "at": compared.at,
        "on": day(before.on) if before else "",
        "number": before.number if before else "",
        "then": compared.then,
        "now": compared.now,
        "then_taken": "" if before else taken.get(compared.before, ""),
        "now_taken": taken.get(compared.id, ""),
        "values": [
            {"name": b.called, "then": b.then, "now": b.now, "change": b.change} for b in compared.values
        ],
        "chart": compared.chart,
    }


PASSAGE = Passage("then_and_now", "Then and now", _build, page="then-and-now")
