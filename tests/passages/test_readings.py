"""Readings with the limit each was held against, its source, the gaps and the working."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from reportgen import measured
from reportgen.blocks.note import NotInspected
from reportgen.cells import Cell
from reportgen.editions import buyer
from reportgen.kind import Assessment, Judged, Step
from reportgen.limits import Limit
from reportgen.model import Finding, Gap, Reading
from reportgen.passages import readings
from reportgen.report import JudgedReading, ListedFinding, Report
from reportgen.units import Quantity

LIMIT = Limit("spread", 12.345678, "%", "maximum", "a manual", "", "note")
FOUND = Assessment(
    outcome="outside",
    because="Spread is above.",
    judged=(Judged(LIMIT, 40.00004, "outside", ("3", "4")), Judged(LIMIT, None, "not taken")),
    working=(Step("Spread", "(high - low) / high", "150, 90", "40", "%"),),
    values=(
        ("cylinders", (Cell("1", Quantity(Decimal(150), "psi")), Cell("2", None, "plug seized"), Cell("3"))),
    ),
)


def _shown(**keys: Any) -> dict[str, Any]:
    judged = JudgedReading(
        Reading(id="r", title="Cold *test*", at="main"), "Compression", assessment=FOUND, **keys
    )
    report = Report(findings=(ListedFinding(1, Finding(id="a", title="Low")),), readings=(judged,))
    values: dict[str, Any] = dict(readings.PASSAGE.build(report, buyer.EDITION) or {})["readings"][0]
    return values


def test_limit_says_where_it_is_from() -> None:
    """Side, value and what was found to four figures, the unit, the source, and which values broke it."""
    [group] = _shown()["limits"]
    first, second = group["limits"]
    assert (first["bound"], first["found"], first["where"]) == (
        "at most 12.35 %",
        "40 %",
        "at 3, 4",
    )
    assert (group["from_note"], group["source"]) == (True, "a manual")
    assert second["found"] == ""


def test_value_below_detection_keeps_its_sign() -> None:
    """What lies below detection is never printed as if it had been found."""
    hidden = Judged(LIMIT, 20.0, "not taken", (), "lead", True)
    shown = measured.shown(
        Report(), JudgedReading(Reading(id="r"), "Oil", assessment=Assessment(judged=(hidden,)))
    )
    assert shown["limits"][0]["limits"][0]["found"] == "<20 %"


def test_value_not_taken_is_named_with_its_reason() -> None:
    """A gap is told with its reason, never as a figure."""
    gaps = _shown()["gaps"]
    assert {"series": "cylinders", "name": "2", "why": "plug seized"} in gaps
    assert all(g["name"] != "1" for g in gaps)


def test_answers_link_to_findings_and_working_is_whole() -> None:
    """What answers it, and each step."""
    shown = _shown(answered_by=("a",))
    assert shown["answered_by"] == [{"anchor": "a", "ref": "1", "title": "Low"}]
    [step] = shown["working"]
    assert [step[k] for k in ("step", "formula", "values", "result", "unit")] == [
        *("Spread", "(high \N{MINUS SIGN} low) / high", "150, 90", "40", "%"),
    ]
    assert shown["title"] == "Cold test"


def test_what_the_tool_lists_answers_nothing() -> None:
    """A reading that only the tool listed as a finding is not told as answered by it."""
    by_tool = ListedFinding(9, Finding(id="tool", title="Low", by_tool=True))
    judged = JudgedReading(Reading(id="r"), "Compression", answered_by=("tool",))
    shown = measured.shown(Report(findings=(by_tool,)), judged)
    assert shown["answered_by"] == []
    assert [link["ref"] for link in shown["listed_as"]] == ["9"]


def test_survey_without_readings_has_no_such_part() -> None:
    """Nothing to say, no heading."""
    assert readings.PASSAGE.build(Report(), buyer.EDITION) is None


def test_what_is_listed_as_not_inspected_is_not_asked_for_twice() -> None:
    """What nobody filled in is named, but for a reading whose why stands among the parts not inspected."""
    every = tuple(JudgedReading(Reading(id=t, title=t), "Compression") for t in ("Leak-down", "Oil pressure"))
    values = readings.PASSAGE.build(Report(readings=every), buyer.EDITION) or {}
    assert [r["id"] for r in values["blank"]] == ["Leak-down", "Oil pressure"]
    gap = Gap("leak-down", entry=NotInspected(why="the gauge broke"))
    told = readings.PASSAGE.build(Report(readings=every, not_inspected=(gap,)), buyer.EDITION) or {}
    assert [r["id"] for r in told["blank"]] == ["Oil pressure"]
