"""What the seller answered to the usual questions; "not known" is a full answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage, rich
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    answers = report.cover.disclosure
    if not answers:
        return None
    return {"answers": [{"topic": rich(topic), "answer": rich(answer)} for topic, answer in answers.items()]}


PASSAGE = Passage("disclosure", "What the seller has stated", _build)
