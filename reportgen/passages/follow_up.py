"""What became of the earlier report's findings, shortly: put right, still open, not looked at again, new."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from reportgen import prose
from reportgen.edition import Edition
from reportgen.followup import BECAME, Account, FollowUp
from reportgen.passage import Passage, day, days, reference, sentence
from reportgen.report import Report
from reportgen.wording import say_in


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    follow = report.follow_up
    if follow is None:
        return None
    groups = [
        {
            "became": became,
            "accounts": [_account(report, follow, a) for a in follow.accounts if a.became == became],
        }
        for became in BECAME
    ]
    return {
        "number": follow.number,
        "inspected": days(follow.inspected),
        "revision": follow.revision,
        "edition": say_in("edition", follow.edition),
        "left_out": _left_out(follow),
        "first": day(_first(follow)),
        # an addendum's scope stands in the head of the page
        "scope": "" if report.cover.status == "addendum" else sentence(report.cover.scope),
        "groups": [g for g in groups if g["accounts"]],
        "new": [reference(report, id) for id in follow.new if id],
        "compared": [
            {"title": prose.plain(c.title), "anchor": c.id, "then": c.then, "now": c.now}
            for c in report.compared
            if c.past
        ],
    }


def _left_out(follow: FollowUp) -> str:
    return ", ".join(f"{n} {say_in('severity', severity)}" for severity, n in follow.left_out)


def _first(follow: FollowUp) -> datetime.date | None:
    return follow.reported or follow.last_day


def _account(report: Report, follow: FollowUp, account: Account) -> Mapping[str, Any]:
    listed = next((f.finding for f in report.findings if f.finding.id == account.id), None)
    was = listed.severity_was if listed else None
    return {
        "anchor": account.id if listed else "",
        "lowered": sentence(was.why) if was and account.now != account.severity else "",
        "ref": str(account.ref),
        "title": prose.plain(account.title),
        "severity": account.severity,
        "now": account.now if account.now != account.severity else "",
        "since": day(account.since),
        "longer": account.since != _first(follow),
        "by": account.by,
        "why": sentence(account.why),
        "on": day(account.on),
        "instead": [reference(report, id) for id in account.instead if id],
    }


PASSAGE = Passage("follow_up", "Since the earlier report", _build)
