"""A sheet on which the owner says of each recommendation what was done: empty boxes, dates, names."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose
from reportgen.edition import Edition
from reportgen.passage import Passage, day, days, not_stated, rich, sentence, when
from reportgen.report import ListedFinding, Report
from reportgen.wording import all_of, say, say_in

NAME = "closing_out"
ASKED = ("stop", "settle", "schedule")


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    """Give every recommendation that no check has closed; None in an edition that does not list the sheet."""
    waiting = [f for f in report.findings if f.finding.severity in ASKED and f.state != "checked"]
    if NAME not in edition.passages or not waiting:
        return None
    closed = [f for f in report.findings if f.finding.severity in ASKED and f.state == "checked"]
    return {
        "about": _about(report),
        "surveyor": report.cover.people.surveyor.name or not_stated(),
        "contact": report.cover.people.surveyor.contact,
        "items": [_item(f) for f in waiting],
        "closed": [_closed(f) for f in closed],
        "unlisted": all_of(f"{n} {say_in('severity', severity)}" for severity, n in report.left_out.findings),
        "counted_on": day(report.counted_on),
    }


def _about(report: Report) -> list[Mapping[str, str]]:
    cover = report.cover
    found = cover.found
    facts = {
        say("Boat"): cover.vessel.name or cover.vessel.type,
        say("Hull number"): report.hull_number.text if report.hull_number else "",
        say("Registration"): found.registration,
        say("Report"): say(
            "{number}, version {version}, {status}",
            number=cover.number,
            version=cover.version,
            status=say_in("status", cover.status),
        ),
        say("Inspected"): days(cover.inspected),
    }
    return [{"name": name, "value": value} for name, value in facts.items() if value]


def _item(entry: ListedFinding) -> Mapping[str, Any]:
    finding, done = entry.finding, entry.finding.reported_done
    return {
        "id": finding.id,
        "ref": str(entry.ref),
        "title": prose.plain(finding.title),
        "severity": finding.severity,
        "where": rich(finding.where),
        "action": sentence(finding.action) or not_stated(),
        # the date alone: such a sheet is filled in on a later day
        "by_when": when(finding.by_when),
        "standard": rich(finding.standard),
        "forbids": [rich(f) for f in finding.forbids],
        "since": day(finding.first_reported),
        "done": None
        if done is None
        else {"by": done.by, "on": day(done.on), "how": sentence(done.how), "invoice": done.invoice},
    }


def _closed(entry: ListedFinding) -> Mapping[str, str]:
    check = entry.finding.checked
    return {
        "id": entry.finding.id,
        "ref": str(entry.ref),
        "title": prose.plain(entry.finding.title),
        "on": day(check.on) if check else "",
        "by": check.by if check else "",
    }


PASSAGE = Passage(NAME, "Closing-out sheet", _build, page="closing-out")
