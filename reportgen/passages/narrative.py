"""The account of whoever inspected, in his or her own words, system by system."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose
from reportgen.edition import Edition
from reportgen.passage import Passage, text_block
from reportgen.report import Report
from reportgen.wording import later, say

# whose words they are, where it was no surveyor who wrote them
_OTHERS = {"owner": later("The owner's account"), "mechanic": later("The mechanic's account")}


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    groups: dict[str, list[Mapping[str, Any]]] = {}
    for piece in report.narrative:
        values = {"title": prose.plain(piece.title), "prose": text_block(piece.prose)}
        groups.setdefault(piece.system or "general", []).append(values)
    if not groups:
        return None
    other = _OTHERS.get(report.cover.people.surveyor.role)
    return {
        "heading": say(other) if other else "",
        "groups": [{"system": system, "pieces": pieces} for system, pieces in groups.items()],
    }


PASSAGE = Passage("narrative", "The surveyor's account", _build)
