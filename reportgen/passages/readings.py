"""Every reading with what came out; one outside its limits with its chart and the limit."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import measured
from reportgen.edition import Edition
from reportgen.passage import Passage
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    """Give the readings in the order of the notes; `page` is where all of them stand in full."""
    if not report.readings:
        return None
    return {
        "readings": [_one(measured.shown(report, judged)) for judged in report.readings],
        "page": f"{measured.PAGE}.html",
    }


def _one(reading: Mapping[str, Any]) -> Mapping[str, Any]:
    full = reading["outcome"] == "outside"
    chart = reading["chart"]
    return {**reading, "full": full, "chart": chart if full else None, "has_chart": chart is not None}


PASSAGE = Passage("readings", "Readings", _build)
