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
    with_cautions = {id for caution in report.cautions for id in caution.source_ids}
    shown = [s for s in report.sources if s.id not in with_cautions]
    cautions = [{"hazard": c.hazard, "source": c.source} for c in report.cautions]
    if not shown and not cautions:
        return None
    read = [{"id": s.id, "text": str(s), "read": say(s.read)} for s in shown]
    return {"sources": read, "cautions": cautions}


PASSAGE = Passage("sources", "Sources", _build, page=PAGE)
