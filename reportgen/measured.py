"""Gives a reading as plain values for a page: what was found, by which limit, and the working."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any, TypeVar

from reportgen import prose
from reportgen.judging import beside
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.passage import pictures, reference, rich, steps, text_block
from reportgen.report import JudgedReading, Report
from reportgen.units import figures

T = TypeVar("T")
PAGE = "measurements"  # the appendix that holds every reading in full


def shown(report: Report, judged: JudgedReading) -> Mapping[str, Any]:
    """Give all that a page may say of a reading, as texts, lists and its chart."""
    reading, found = judged.reading, judged.assessment
    return {
        "id": reading.id,
        "title": prose.plain(reading.title),
        "kind": judged.kind_title,
        "kind_name": reading.kind,
        "at": reading.at,
        "engine": judged.of_engine,
        "outcome": found.outcome,
        "because": _because(found.outcome, found.because),
        "chart": found.chart,
        "limits": [_group(same) for same in by_source([j.limit for j in found.judged], found.judged)],
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
    }


def _because(outcome: str, because: str) -> str:
    """Give the reason without the outcome's own words, which stand before it on the page."""
    head, colon, rest = because.partition(": ")
    said = rest if colon and head.lower() == outcome else because
    return f"{said[:1].upper()}{said[1:]}"


def by_source(limits: Sequence[Limit], things: Sequence[T]) -> list[list[T]]:
    """Give things in runs whose limits have one source, so that a page names it once for all of them."""
    pairs = zip(limits, things, strict=True)
    runs = groupby(pairs, key=lambda pair: (pair[0].source, pair[0].origin))
    return [[thing for _, thing in run] for _, run in runs]


def named(limit: Limit) -> str:
    """Give what a limit is for and its word, once where both are one."""
    return limit.word if limit.of in ("", limit.word) else f"{limit.of}, {limit.word}"


def _group(judged: Sequence[Judged]) -> Mapping[str, Any]:
    first = judged[0].limit
    source = {"source": first.source, "from_note": first.origin == "note"}
    return source | {"limits": [_limit(each) for each in judged]}


def _limit(judged: Judged) -> Mapping[str, Any]:
    limit = judged.limit
    return {
        "name": named(limit),
        "side": "at least" if limit.side == "minimum" else "at most",
        "value": f"{figures(limit.value, 4)} {limit.unit}".rstrip(),
        "found": ""
        if judged.value is None
        else f"{'<' * judged.below}{beside(judged.value, limit)} {limit.unit}".rstrip(),
        "outcome": judged.outcome,
        "where": ", ".join(judged.where),
    }
