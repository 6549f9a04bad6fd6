"""What must not be done with the boat, and why; no edition may leave this out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.findings import Lifted, UseLimit
from reportgen.passage import Passage, day, reference, rich
from reportgen.report import Report


def _limit(report: Report, limit: UseLimit) -> Mapping[str, Any]:
    return {
        "what": rich(limit.what),
        "because": [
            {**reference(report, id), "awaiting": id in limit.awaiting_check} for id in limit.because
        ],
    }


def _lifted(report: Report, limit: Lifted) -> Mapping[str, Any]:
    return {
        "what": rich(limit.what),
        "because": reference(report, limit.because),
        "on": day(limit.on),
        "still": [reference(report, id) for id in limit.still],
    }


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    return {
        "headline": report.headline,
        "limits": [_limit(report, u) for u in report.use_limits],
        "lifted": [_lifted(report, u) for u in report.lifted],
    }


PASSAGE = Passage("use_limits", "Must not be done until put right and checked", _build, floor=True)
