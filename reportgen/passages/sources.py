"""The published sources that limits and factors rest on and how each was read, and who publishes cautions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.measured import PAGE
from reportgen.passage import Passage
from reportgen.report import Report
from reportgen.wording import say


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    elsewhere = {id for caution in report.cautions for id in caution.source_ids}
    # on the same page each measurement lists its own already
    if "measurements" in edition.passages:
        elsewhere |= {source.id for each in report.measurements for source in each.sources}
    shown = [s for s in report.sources if s.id not in elsewhere]
    cautions = [{"hazard": c.name, "source": c.source} for c in report.cautions]
    if not shown and not cautions:
        return None
    read = [{"id": s.id, "text": str(s), "read": say(s.read)} for s in shown]
    return {"sources": read, "cautions": cautions}


PASSAGE = Passage("sources", "Sources", _build, page=PAGE)
