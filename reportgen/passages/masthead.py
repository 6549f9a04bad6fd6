"""The head of the page: which boat, which report, when and how it was inspected, by whom."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from reportgen.edition import Edition
from reportgen.passage import Passage, day, days, not_stated, rich, sentence
from reportgen.report import Report
from reportgen.wording import all_of, say, say_in


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    cover, found = report.cover, report.cover.found
    surveyor = cover.people.surveyor
    maker = " ".join(w for w in (found.maker, found.model) if w)
    facts = [
        maker,
        say("built {built}", built=found.built) if found.built else "",
        str(found.length or ""),
        say_in("boat", cover.vessel.type),
    ]
    circumstances = [
        all_of(
            say_in("where the boat is", s)
            for s in dict.fromkeys(s for c in cover.conditions for s in c.state)
        ),
        all_of(dict.fromkeys(say("at {place}", place=c.place) for c in cover.conditions if c.place)),
        *([c.weather for c in cover.conditions] if len(cover.conditions) == 1 else []),
    ]
    trials = [(c.sea_trial, day(c.on)) for c in cover.conditions if c.sea_trial]
    told = [f"{on}: {trial}" if on and len(trials) > 1 else trial for trial, on in trials]
    return {
        "boat": cover.vessel.name or maker or cover.vessel.type,
        "facts": [f for f in facts if f],
        "title": say("Owner's statement") if surveyor.role == "owner" else edition.titled(report),
        "kind": say_in("survey", cover.survey),
        "number": cover.number,
        "version": cover.version,
        "status": say_in("status", cover.status),
        "inspected": days(cover.inspected),
        "circumstances": [c for c in circumstances if c],
        "sea_trial": _unstopped("; ".join(told)),
        "reported": day(cover.reported),
        "age_days": report.age_days,
        "counted_on": day(report.counted_on),
        "surveyor": surveyor.name or not_stated(),
        "role": surveyor.role,
        "firm": rich(surveyor.firm),
        "credentials": rich(surveyor.credentials),
        "made_for": _unstopped(cover.made_for),
        "reader": say(edition.reader),
        "relies": edition.relies,
        "relied_until": day(cover.not_to_be_relied_on_after),
        "replaced": _replaced(report),
        "follows": _follows(report),
        "addendum": sentence(cover.scope) if cover.status == "addendum" else "",
        "changes": [rich(c) for c in cover.changes],
        "release": _release(report) if edition.public else None,
        "draft": edition.public and cover.release is None,
    }


def _unstopped(text: str) -> Markup:
    """Give words of the writer's that the page ends with a stop of its own."""
    return rich(text.strip().removesuffix("."))


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
