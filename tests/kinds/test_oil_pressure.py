"""Oil pressure by steps: the maker's figures only; no published one fits all engines, so none is checked."""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import FOUR_STROKE, assessed, mistakes

NOTE = 'limit: {minimum: {idle: 10 psi, 3000: 40 psi}, source: "invented manual 4A"}\n'


def named(values: str, limit: str = NOTE) -> Assessment:
    """Give what a reading by name comes out as."""
    return assessed(f"kind: oil-pressure\nunit: psi\npressures: {values}\n{limit}")


def twins(rows: str, limit: str = NOTE) -> Assessment:
    """Give what a table of two engines comes out as."""
    head = "| rpm | port pressure (psi) | starboard pressure (psi) |\n|---|---|---|\n"
    return assessed(f"kind: oil-pressure\n{limit}{head}{rows}", FOUR_STROKE, ("port", "starboard"))


@pytest.mark.parametrize(
    ("idle", "outcome"), [("10", "within"), ("10.1", "within"), ("9.99", "outside"), ("69 kPa", "within")]
)
def test_limit_of_a_step(idle: str, outcome: str) -> None:
    """A figure is for its step: equal to it is within, 69 kPa is 10.01 psi, and 3000 rpm has its own."""
    assert named(f"{{idle: {idle}, 3000: 40}}").outcome == outcome


def test_maker_is_the_only_source() -> None:
    """Without the maker's figure no limit applies, and the reason says why."""
    found = named("{idle: 3}", "")
    assert found.outcome == "no limit applies"
    assert "maker's figures" in found.because


def test_steps_without_a_figure_have_no_limit() -> None:
    """A step that the maker gives no figure for has none, beside one that is within."""
    found = named("{idle: 12, 1500: 22}")
    assert dict(found.outcomes) == {"idle": "within", "1500": "no limit applies"}


def test_a_figure_for_all_steps() -> None:
    """A figure without a step is for every one, by the column's name as well."""
    for word in ("20 psi", "{pressure: 20 psi}"):
        limit = f'limit: {{minimum: {word}, source: "invented manual 4A"}}\n'
        assert [j.where for j in named("{idle: 12, 3000: 52}", limit).judged] == [("idle",)]


def test_each_engine_by_its_step() -> None:
    """Both engines are held to the step's figure, and the one that breaks it is named."""
    found = twins("| idle | 14 | 8 |\n| 3000 | 52 | 44 |\n")
    assert found.outcome == "outside"
    assert found.because.startswith("Idle, starboard pressure reads 8 psi")
    assert dict(found.outcomes) == {
        "idle, port pressure": "within",
        "3000, port pressure": "within",
        "idle, starboard pressure": "outside",
        "3000, starboard pressure": "within",
    }


def test_gap_is_never_within() -> None:
    """A step not taken leaves the reading not taken; a limit for a step that isn't there is told."""
    assert twins("| idle | 14 | 12 |\n| 3000 | 52 | |\n").outcome == "not taken"
    assert twins("| idle | 14 | 9 |\n| 3000 | 52 | |\n").outcome == "outside"
    found = named("{idle: 12}")
    assert "3000" in found.warnings[0][0]


def test_below_zero_is_a_slip() -> None:
    """A gauge does not read below zero: not taken, and told."""
    found = named("{idle: -12, 3000: 50}")
    assert found.outcome == "not taken"
    assert "can't be right" in found.warnings[0][0]


def test_chart_shows_both_engines_on_one_scale() -> None:
    """Numbers along the axis make a curve with a line an engine; a step such as idle makes bands."""
    chart = twins("| 700 | 14 | 12 |\n| 3000 | 52 | 44 |\n", "").chart
    assert chart is not None
    [panel] = chart.data["panels"]
    assert (chart.form, panel["unit"]) == ("curve", "psi")
    assert [(s["name"], [p[:2] for p in s["points"]]) for s in panel["series"]] == [
        ("port", [(700.0, 14.0), (3000.0, 52.0)]),
        ("starboard", [(700.0, 12.0), (3000.0, 44.0)]),
    ]
    chart = named("{idle: 14, 3000: 80 kPa}").chart
    assert chart is not None
    assert chart.form == "band"
    assert [(r["label"], r["low"]) for r in chart.data["rows"]] == [("idle", 10.0), ("3000", 40.0)]


def test_says_what_makes_cold_oil_read_high() -> None:
    """Cold oil reads high, so that its heat is asked for; low pressure suggests, never diagnoses."""
    found = named("{idle: 6}")
    assert any("cold oil reads high" in s for s in found.says)
    assert "suggests" in found.suggests[0]
    assert not named("{idle: 14, 3000: 50}").suggests


def test_nonsense_is_told() -> None:
    """A unit that is no pressure and a column that isn't known are mistakes with their places."""
    assert "lumens" in mistakes("kind: oil-pressure\npressures: {idle: 12 lumens}\n")[0]
    assert (
        "note.md:6:" in mistakes("kind: oil-pressure\n| rpm | presure (psi) |\n|---|---|\n| 700 | 9 |\n")[0]
    )


def test_step_of_speed_stands_with_its_unit() -> None:
    """A bare number that names a step is told as a speed; a step by name stays as it is."""
    found = assessed(
        "kind: oil-pressure\nunit: bar\npressures: {idle: 0.9, 1600: 4.1}\n"
        "limit: {minimum: {idle: 1.2, 1600: 4.2}, source: invented manual 4A}"
    )
    assert "1600 rpm reads 4.1 bar" in found.because
    assert "Idle reads 0.9 bar" in found.because
