"""The published sources that limits, factors and cautions rest on, and how each was read."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    if not report.sources:
        return None
    return {"sources": [{"id": s.id, "text": str(s), "read": s.read} for s in report.sources]}


PASSAGE = Passage("sources", "Sources", _build)
