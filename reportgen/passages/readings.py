"""Every reading with its chart, the limit it was held against, and the working step by step."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen import prose
from reportgen.edition import Edition
from reportgen.kind import Judged
from reportgen.passage import Passage, pictures, reference, rich, steps, text_block
from reportgen.report import JudgedReading, Report
from reportgen.units import figures


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    if not report.readings:
        return None
    shown = [_one(report, judged) for judged in report.readings]
    # what a kind proves is told once, with its first reading
    first = {reading["kind"]: reading["id"] for reading in reversed(shown)}
    return {"readings": [{**reading, "first": reading["id"] in first.values()} for reading in shown]}


def _one(report: Report, judged: JudgedReading) -> Mapping[str, Any]:
    reading, found = judged.reading, judged.assessment
    return {
        "id": reading.id,
        "title": prose.plain(reading.title),
        "kind": judged.kind_title,
        "at": reading.at,
        "outcome": found.outcome,
        "because": _because(found.outcome, found.because),
        "chart": found.chart,
        "limits": [_limit(j) for j in found.judged],
        "says": found.says,
        "suggests": found.suggests,
        "criteria": found.criteria,
        "working": steps(found.working),
        "conditions": rich(reading.conditions),
        "with": [rich(w) for w in reading.with_],
        "by": reading.by,
        "not_taken": rich(reading.not_taken),
        "gaps": [
            {"series": s, "name": c.name, "why": rich(c.why)}
            for s, cells in found.values
            for c in cells
            if c.why
        ],
        "prose": text_block(reading.prose),
        "photos": pictures(reading.photos),
        "answered_by": [reference(report, id) for id in judged.answered_by],
        "measures": judged.measures,
        "proves": judged.proves,
        "proves_not": judged.proves_not,
    }


def _because(outcome: str, because: str) -> str:
    """Give the reason without the outcome's own words, which stand before it on the page."""
    head, colon, rest = because.partition(": ")
    said = rest if colon and head.lower() == outcome else because
    return f"{said[:1].upper()}{said[1:]}"


def _limit(judged: Judged) -> Mapping[str, Any]:
    limit = judged.limit
    return {
        "word": limit.word,
        "side": "at least" if limit.side == "minimum" else "at most",
        "value": figures(limit.value, 4),
        "unit": limit.unit,
        "source": limit.source,
        "from_note": limit.origin == "note",
        "found": "" if judged.value is None else figures(judged.value, 4),
        "outcome": judged.outcome,
        "where": ", ".join(judged.where),
    }


PASSAGE = Passage("readings", "Readings", _build)
