"""Every measurement in full: its readings, how it is taken, what it shows and what not, and its limits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from reportgen import measured
from reportgen.bounds import bound
from reportgen.edition import Edition
from reportgen.limits import Limit
from reportgen.passage import Passage
from reportgen.report import Measurement, Report
from reportgen.wording import say


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    if not report.measurements:
        return None
    return {"measurements": [_one(report, each) for each in report.measurements]}


def _one(report: Report, each: Measurement) -> Mapping[str, Any]:
    readings = [measured.shown(report, j) for j in report.readings if j.reading.kind == each.kind]
    return {
        "readings": readings,
        "beside": _side_by_side(readings),
        "anchor": f"kind-{each.kind}",
        "title": say(each.title),
        "measures": say(each.measures),
        "how": say(each.how),
        "instrument": say(each.instrument),
        "proves": [say(text) for text in each.proves],
        "proves_not": [say(text) for text in each.proves_not],
        "limits": [
            {"source": measured.asked_by(same[0]), "limits": [_limit(limit) for limit in same]}
            for same in measured.by_source(each.limits, each.limits)
        ],
        "limits_for": say(each.limits_for),
        "no_source": say(each.no_source),
        "noted": _noted(report, each.kind),
        "sources": [{"title": str(source), "read": say(source.read)} for source in each.sources],
    }


def _limit(limit: Limit) -> Mapping[str, str]:
    return {"name": measured.named(limit), "bound": bound(limit)}


def _side_by_side(readings: Sequence[Mapping[str, Any]]) -> bool:
    """Say whether the charts are of one form and of several engines or places, so that they compare."""
    drawn = [r for r in readings if r["chart"] and r["at"]]
    return len({r["at"] for r in drawn}) > 1 and len({r["chart"].form for r in drawn}) == 1


def _noted(report: Report, kind: str) -> list[str]:
    """Give the sources that the notes themselves name for this measurement, each once."""
    found = [
        judged.limit.source
        for reading in report.readings
        if reading.reading.kind == kind
        for judged in reading.assessment.judged
        if judged.limit.origin == "note"
    ]
    return list(dict.fromkeys(found))


PASSAGE = Passage("measurements", "Measurements in full, with their limits", _build, page=measured.PAGE)
