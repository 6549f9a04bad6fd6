"""Every reading with what came out; one outside its limits with its chart and the limit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import coverage, measured, prose
from reportgen.edition import Edition
from reportgen.passage import Passage
from reportgen.report import JudgedReading, Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    """Give the readings in the order of the notes; `page` is where all of them stand in full."""
    if not report.readings:
        return None
    return {
        "readings": [_one(measured.shown(report, j)) for j in report.readings if not j.blank],
        # where the reader finds among the parts not inspected why, nothing is left to say here
        "blank": [
            _name(judged)
            for judged in report.readings
            if judged.blank and not coverage.left_out(judged.reading, report.not_inspected)
        ],
        "page": f"{measured.PAGE}.html",
    }


def _one(reading: Mapping[str, Any]) -> Mapping[str, Any]:
    full = reading["outcome"] == "outside"
    chart = reading["chart"]
    return {**reading, "full": full, "chart": chart if full else None, "has_chart": chart is not None}


def _name(judged: JudgedReading) -> Mapping[str, str]:
    return {"id": judged.reading.id, "title": prose.plain(judged.reading.title)}


PASSAGE = Passage("readings", "Readings", _build)
