"""The published sources that limits and factors rest on, and how each was read; a caution names its own."""

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
    if not shown:
        return None
    return {"sources": [{"id": s.id, "text": str(s), "read": say(s.read)} for s in shown]}


PASSAGE = Passage("sources", "Sources", _build, page=PAGE)
