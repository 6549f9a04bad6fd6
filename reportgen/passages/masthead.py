"""The head of the page: which boat, which report, when and how it was inspected, by whom."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.errors import listed
from reportgen.passage import NOT_STATED, Passage, day, days, rich, sentence
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    cover, found = report.cover, report.cover.found
    surveyor = cover.people.surveyor
    maker = " ".join(w for w in (found.maker, found.model) if w)
    facts = [maker, f"built {found.built}" if found.built else "", str(found.length or ""), cover.vessel.type]
    circumstances = [
        listed(dict.fromkeys(state for c in cover.conditions for state in c.state), "and"),
        listed(dict.fromkeys(f"at {c.place}" for c in cover.conditions if c.place), "and"),
        *([c.weather for c in cover.conditions] if len(cover.conditions) == 1 else []),
    ]
    trials = [c.sea_trial for c in cover.conditions if c.sea_trial]
    return {
        "boat": cover.vessel.name or maker or cover.vessel.type,
        "facts": [f for f in facts if f],
        "title": "Owner's statement" if surveyor.role == "owner" else edition.titled(report),
        "kind": cover.survey,
        "number": cover.number,
        "version": cover.version,
        "status": cover.status,
        "inspected": days(cover.inspected),
        "circumstances": [c for c in circumstances if c],
        "sea_trial": rich("; ".join(trials)),
        "reported": day(cover.reported),
        "age_days": report.age_days,
        "counted_on": day(report.counted_on),
        "surveyor": surveyor.name or NOT_STATED,
        "role": surveyor.role,
        "credentials": rich(surveyor.credentials),
        "made_for": rich(cover.made_for),
        "reader": edition.reader,
        "relies": edition.relies,
        "relied_until": day(cover.not_to_be_relied_on_after),
        "replaced": _replaced(report),
        "follows": _follows(report),
        "addendum": sentence(cover.scope) if cover.status == "addendum" else "",
        "changes": [rich(c) for c in cover.changes],
        "release": _release(report) if edition.public else None,
        "draft": edition.public and cover.release is None,
    }


def _release(report: Report) -> Mapping[str, str] | None:
    release = report.cover.release
    return None if release is None else {"by": release.by, "to": release.to, "on": day(release.on)}


def _replaced(report: Report) -> Mapping[str, Any] | None:
    by = report.cover.replaced_by
    if by is None:
        return None
    on = {"number": by.number, "version": by.version, "on": day(by.on)}
    return on | {"why": sentence(by.why), "where": rich(by.where)}


def _follows(report: Report) -> Mapping[str, Any] | None:
    follow = report.follow_up
    if follow is None:
        return None
    told = {"number": follow.number, "version": follow.version, "inspected": days(follow.inspected)}
    return told | {"revision": follow.revision}


PASSAGE = Passage("masthead", "", _build, in_contents=False, floor=True)
