"""Cooling: the maker's figures by column, differences without a zero to shift, and the rise of the raw water.

No published limit fits all engines, so there is none to check against; the arithmetic of differences is
checked against the definition of the scales (NIST SP 811: a degree Fahrenheit is 5/9 of a degree Celsius).
"""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import assessed

SOURCE = "source: invented manual 4A"


def cooled(limit: str, head: str, *rows: str, more: str = "") -> Assessment:
    """Give the assessment of a table with a limit's words."""
    text = f"kind: cooling\n{more}\n" + (f"limit: {{{limit}, {SOURCE}}}\n" if limit else "")
    columns = head.count("|") - 1
    return assessed("\n".join((text, head, "|" + "---|" * columns, *rows)))


@pytest.mark.parametrize(("degrees", "outcome"), [("85", "within"), ("85.1", "outside"), ("84.9", "within")])
def test_maximum_by_column(degrees: str, outcome: str) -> None:
    """The maker's figure itself is kept; beyond it is outside and named with its step."""
    found = cooled("maximum: {coolant: 85 °C}", "| rpm | coolant (°C) |", f"| 3000 | {degrees} |")
    assert found.outcome == outcome
    assert found.judged[0].where == (("3000, coolant",) if outcome == "outside" else ())


@pytest.mark.parametrize(("fahrenheit", "outcome"), [("54", "within"), ("55", "outside")])
def test_difference_has_no_zero_to_shift(fahrenheit: str, outcome: str) -> None:
    """8 °C of difference are 14.4 °F, not 46.4 °F: port at 40 °F, starboard 14 or 15 °F above."""
    row = f"| 900 | 40 | {fahrenheit} |"
    found = cooled("difference: {elbow: 8 °C}", "| rpm | port elbow (°F) | starboard elbow (°F) |", row)
    assert found.outcome == outcome
    [judged] = found.judged
    assert judged.limit.value == pytest.approx(14.4)
    assert judged.limit.unit == "°F"


def test_difference_is_not_held_against_values() -> None:
    """A limit of the difference is for the difference only, and a maximum for the values only."""
    head = "| rpm | port elbow (°C) | starboard elbow (°C) |"
    limit = "difference: {elbow: 8 °C}, maximum: {elbow: 60 °C}"
    found = cooled(limit, head, "| 900 | 50 | 55 |")
    assert [(j.limit.word, j.value, j.outcome) for j in found.judged] == [
        ("maximum", 55.0, "within"),
        ("difference", 5.0, "within"),
    ]


def test_gap_on_one_side() -> None:
    """With one engine's figure missing nothing is within; the step with both is still judged."""
    head = "| rpm | port elbow (°C) | starboard elbow (°C) |"
    both = "maximum: {elbow: 60 °C}, difference: {elbow: 8 °C}"
    assert cooled(both, head, "| 900 | 50 | - |", "| 2000 | 50 | 52 |").outcome == "not taken"
    assert cooled(both, head, "| 900 | 50 | - |", "| 2000 | 50 | 59 |").outcome == "outside"
    assert cooled("difference: {elbow: 8 °C}", head, "| 900 | 50 | - |").outcome == "not taken"


def test_rise_of_the_raw_water() -> None:
    """Out less in, for each step that has both."""
    head = "| rpm | raw water in (°C) | raw water out (°C) |"
    steps = cooled("", head, "| 900 | 18 | 24 |", "| 2000 | 18 | - |").working
    assert [(s.step, s.values, s.result, s.unit) for s in steps] == [
        ("rise of the raw water at 900", "24 °C - 18 °C", "6", "°C")
    ]


def test_without_the_makers_figures_nothing_is_judged() -> None:
    """No limit applies, whatever the temperature, and the thermostat is told, not judged."""
    found = cooled("", "| rpm | coolant (°C) |", "| 3000 | 99 |", more="thermostat: 71 °C")
    assert found.outcome == "no limit applies"
    assert "The thermostat is marked to open at 71 °C." in found.says
    assert not found.suggests


@pytest.mark.parametrize(
    ("limit", "value", "word"),
    [
        ("maximum: {elbow: 60 °C}", "elbow (°C) | 61", "raw water"),
        ("minimum: {coolant: 65 °C}", "coolant (°C) | 60", "thermostat"),
        ("minimum: {flow: 20 L/min}", "flow (L/min) | 15", "impeller"),
    ],
)
def test_what_it_suggests(limit: str, value: str, word: str) -> None:
    """Too hot, too cool and too little water suggest their own causes."""
    column, figure = value.split(" | ")
    found = cooled(limit, f"| rpm | {column} |", f"| 2000 | {figure} |")
    assert word in " ".join(found.suggests)


def test_chart_by_rpm_or_by_place() -> None:
    """Numbered steps give curves; a table by place gives bars of the temperatures."""
    assert cooled("", "| rpm | coolant (°C) |", "| 900 | 70 |").chart.form == "curve"  # type: ignore[union-attr]
    drawn = cooled("", "| rpm | coolant (°C) |", "| idle | 70 |").chart
    assert drawn is not None
    assert (drawn.form, drawn.data["labels"]) == ("bars", ("idle, coolant",))
