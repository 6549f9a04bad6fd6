"""The safety cautions that go with what was found and measured; no edition may leave them out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.blocks.vessel import FUELS
from reportgen.boats import TYPES
from reportgen.cautions import ALWAYS, Caution, of_every_test
from reportgen.edition import Edition
from reportgen.measured import PAGE
from reportgen.passage import Passage, reference
from reportgen.report import Report
from reportgen.wording import say


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    return {"cautions": [_one(report, caution) for caution in report.cautions], "page": f"{PAGE}.html"}


def _one(report: Report, caution: Caution) -> Mapping[str, Any]:
    return {
        "hazard": caution.name,
        "text": caution.text,
        "do": caution.do,
        "who": caution.who,
        "because": [reference(report, id) for id in caution.findings],
        "concerns": _concerned(caution),
    }


def _concerned(caution: Caution) -> list[str]:
    """Name what calls for a caution beside findings: each test, or all, the type of boat and its fuel."""
    named = [b for b in caution.because if b not in (*caution.findings, ALWAYS)]
    tests = [name for name in named if name not in (*TYPES, *FUELS)]
    told = [say("every test in this report")] if tests and of_every_test(caution) else tests
    typed = [say("every boat of this type")] if set(TYPES) & set(named) else []
    burning = [say("every boat with this fuel")] if set(FUELS) & set(named) else []
    return [*told, *typed, *burning]


PASSAGE = Passage("cautions", "Cautions", _build, floor=True)
