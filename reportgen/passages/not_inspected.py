"""What was not inspected and why, what could hide there, and which tests were not made."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import NOT_STATED, Passage, rich
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    # an edition without sound findings gives no praise in a list either
    listed = "sound" not in edition.leaves_out
    sound = [item for item, _, outcome in report.items if outcome == "sound" and listed]
    others = [
        {"item": rich(item), "outcome": outcome} for item, _, outcome in report.items if outcome != "sound"
    ]
    return {
        "gaps": [
            {
                "part": rich(gap.part),
                "why": rich(gap.entry.why) or NOT_STATED,
                "could_hide": rich(gap.entry.could_hide),
                "would_take": rich(gap.entry.would_take),
                "by": rich(gap.entry.by),
            }
            for gap in report.not_inspected
        ],
        "tests": _tests(report),
        "sound": [rich(item) for item in sound],
        "others": others,
    }


def _tests(report: Report) -> list[Mapping[str, Any]]:
    tests = report.cover.tests_not_made or {}
    if isinstance(tests, Mapping):
        return [{"test": rich(test), "why": rich(why)} for test, why in tests.items()]
    return [{"test": rich(test), "why": ""} for test in tests]


PASSAGE = Passage("not_inspected", "Not inspected", _build, floor=True)
