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
    shown = [measured.shown(report, judged) for judged in report.readings]
    return {
        "readings": [{**reading, "full": reading["outcome"] == "outside"} for reading in shown],
        "page": f"{measured.PAGE}.html",
    }


PASSAGE = Passage("readings", "Readings", _build)
