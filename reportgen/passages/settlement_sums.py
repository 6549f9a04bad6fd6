"""Every sum of the price talk with its working, way by way, on a page of its own beside the report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage, steps
from reportgen.report import Report
from reportgen.settlement import Settlement


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    deal = report.settlement
    if deal is None or "settlement" not in edition.passages:
        return None
    return {"ways": _ways(deal), "others": _others(deal)}


def _ways(deal: Settlement) -> list[Mapping[str, Any]]:
    return [
        {
            "anchor": f"way-{way.way.replace(' ', '-')}",
            "title": way.title,
            "steps": steps(way.steps),
            "range": steps(way.range_steps),
        }
        for way in (*deal.ways, *deal.other_credits)
    ]


def _others(deal: Settlement) -> list[Mapping[str, Any]]:
    """Give the sums that belong to no way: what was agreed, the material share, the money spent."""
    found = [
        *((f"Agreed: {one.way}", one.steps) for one in deal.settled),
        ("Material defects", deal.material.steps if deal.material else ()),
        ("Already spent on the inspection", deal.sunk.steps),
    ]
    return [{"title": title, "steps": steps(working)} for title, working in found if working]


PASSAGE = Passage("settlement_sums", "The price talk, sum by sum", _build, page="sums")
