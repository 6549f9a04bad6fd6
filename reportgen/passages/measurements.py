"""How each measurement of the report is taken, what it shows and what not, and the published limits used."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage
from reportgen.report import Measurement, Report
from reportgen.units import figures


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    if not report.measurements:
        return None
    return {"measurements": [_one(report, each) for each in report.measurements]}


def _one(report: Report, each: Measurement) -> Mapping[str, Any]:
    return {
        "anchor": f"kind-{each.kind}",
        "title": each.title,
        "measures": each.measures,
        "how": each.how,
        "instrument": each.instrument,
        "proves": each.proves,
        "proves_not": each.proves_not,
        "limits": [
            {
                "of": limit.of,
                "word": limit.word,
                "side": "at least" if limit.side == "minimum" else "at most",
                "value": f"{figures(limit.value, 4)} {limit.unit}".rstrip(),
                "source": limit.source,
            }
            for limit in each.limits
        ],
        "no_source": each.no_source,
        "noted": _noted(report, each.kind),
        "sources": [{"title": str(source), "read": source.read} for source in each.sources],
    }


def _noted(report: Report, kind: str) -> list[str]:
    """Give the sources that the notes themselves name for this measurement, each once."""
    found = [
        judged.limit.source
        for reading in report.readings
        if reading.reading.kind == kind
        for judged in reading.assessment.judged
        if judged.limit.origin == "note"
    ]
    return list(dict.fromkeys(found))


PASSAGE = Passage("measurements", "Measurements and their limits", _build, page="measurements")
