"""The safety cautions that go with what was found and measured; no edition may leave them out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.cautions import Caution
from reportgen.edition import Edition
from reportgen.measured import PAGE
from reportgen.passage import Passage, reference
from reportgen.report import Report
from reportgen.wording import say_in


def _build(report: Report, edition: Edition) -> Mapping[str, Any]:
    return {"cautions": [_one(report, caution) for caution in report.cautions], "page": f"{PAGE}.html"}


def _one(report: Report, caution: Caution) -> Mapping[str, Any]:
    return {
        "hazard": say_in("hazard", caution.hazard),
        "text": caution.text,
        "do": caution.do,
        "who": caution.who,
        "because": [reference(report, id) for id in caution.findings],
        "goes_with": [
            say_in("boat", b) for b in caution.because if b not in (*caution.findings, "every report")
        ],
    }


PASSAGE = Passage("cautions", "Cautions", _build, floor=True)
