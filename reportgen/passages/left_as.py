"""How the boat was left: what the surveyor closed, took off or tagged, so that nobody undoes it unawares."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from reportgen.edition import Edition
from reportgen.passage import Passage, day, sentence
from reportgen.report import Report


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    # what an earlier day says may have been undone by the survey itself since
    said = [each for each in report.cover.conditions if each.left][-1:]
    if not said:
        return None
    last = sorted(report.cover.inspected)[-1:]
    on = said[0].on or (last[0] if last else None)
    return {"day": day(on), "left": [sentence(each) for each in said[0].left]}


# who works aboard, or lends the boat's keys, must know it, whichever edition they got
PASSAGE = Passage("left_as", "How the boat was left", _build, in_contents=False, floor=True)
