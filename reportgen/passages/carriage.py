"""Safety equipment required against found, and the capacity plate, each line with its verdict in words."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from reportgen import sources
from reportgen.aboard import Requirement
from reportgen.edition import Edition
from reportgen.passage import Passage, day, reference
from reportgen.report import Report
from reportgen.wording import later_in, say, say_in

VERDICTS = {
    True: later_in("verdict", "met"),
    False: later_in("verdict", "not met"),
    None: later_in("verdict", "not judged"),
}
EQUIPMENT = "equipment"


def _build(report: Report, edition: Edition) -> Mapping[str, Any] | None:
    found = report.carriage
    if not found.lines and not found.says:
        return None
    return {
        "says": found.says,
        "how_read": "sources" in edition.passages,
        "counted_on": day(report.counted_on),
        "equipment": [_one(report, line) for line in found.lines if line.part == EQUIPMENT],
        "plate": [_one(report, line) for line in found.lines if line.part != EQUIPMENT],
    }


def _one(report: Report, line: Requirement) -> Mapping[str, Any]:
    source = sources.get(line.source_id)
    links = [reference(report, id) for id in line.answered_by]
    return {
        "what": line.what
        if line.part == EQUIPMENT
        else say_in("plate", line.what.removeprefix("capacity plate: ")),
        "required": str(line.required),
        "found": str(line.found),
        "met": line.met,
        "verdict": say_in("verdict", VERDICTS[line.met]),
        "why": _why(line),
        "source": source.clause or str(source),
        "in_force": line.in_force,
        "answered_by": [link for link in links if link["anchor"]],
    }


def _why(line: Requirement) -> str:
    """Give the reason without the verdict's own words, which stand before it on the page."""
    if line.met is not None:
        return line.why
    # a blank stands before the colon in French
    own = rf"{re.escape(say('Not judged'))}\s*: (\S)"
    return re.sub(own, lambda found: found[1].upper(), line.why, count=1)


PASSAGE = Passage("carriage", "Safety equipment and capacity plate", _build)
