"""The surveyor's own account, system by system."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose
from reportgen.edition import Edition
from reportgen.passage import Passage, text_block
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    groups: dict[str, list[Mapping[str, Any]]] = {}
    for piece in report.narrative:
        values = {"title": prose.plain(piece.title), "prose": text_block(piece.prose)}
        groups.setdefault(piece.system or "general", []).append(values)
    if not groups:
        return None
    return {"groups": [{"system": system, "pieces": pieces} for system, pieces in groups.items()]}


PASSAGE = Passage("narrative", "The surveyor's account", _build)
