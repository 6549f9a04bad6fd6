"""Fuel pressure by steps: the maker's figures only; no published one fits all engines, so none is checked."""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import assessed, mistakes

NOTE = (
    'limit: {within: {key on: [36 psi, 42 psi]}, maximum: {suction: 4 inHg}, source: "invented manual 4A"}\n'
)


def noted(values: str, limit: str = NOTE) -> Assessment:
    """Give what a reading comes out as."""
    return assessed(f"kind: fuel-pressure\nunit: psi\npressures: {values}\n{limit}")


@pytest.mark.parametrize(
    ("pressure", "outcome"),
    [("36", "within"), ("35.9", "outside"), ("42", "within"), ("42.1", "outside"), ("260 kPa", "within")],
)
def test_range_of_a_step(pressure: str, outcome: str) -> None:
    """Both ends of the maker's range are within it; 260 kPa is 37.7 psi."""
    assert noted(f"{{key on: {pressure}, suction: 1 inHg}}").outcome == outcome


@pytest.mark.parametrize(("suction", "outcome"), [("4 inHg", "within"), ("4.1 inHg", "outside")])
def test_suction_by_name(suction: str, outcome: str) -> None:
    """Suction is held to its own figure, and much of it suggests a clogged filter."""
    found = noted(f"{{key on: 38, suction: {suction}}}")
    assert found.outcome == outcome
    assert bool(found.suggests) == (outcome == "outside")


def test_a_figure_for_all_steps_is_not_for_suction() -> None:
    """A least pressure asks nothing of suction or of what stayed after switching off."""
    limit = 'limit: {minimum: 34 psi, source: "invented manual 4A"}\n'
    found = noted("{key on: 38, load: 35, suction: 2 inHg, held: 20}", limit)
    assert found.outcome == "within"
    assert dict(found.outcomes) == {
        "key on": "within",
        "load": "within",
        "suction": "no limit applies",
        "held": "no limit applies",
    }
    assert noted("{key on: 38, load: 33, suction: 2 inHg}", limit).judged[0].where == ("load",)


def test_maker_is_the_only_source() -> None:
    """Without the maker's figure no limit applies."""
    assert noted("{key on: 38}", "").outcome == "no limit applies"


def test_gap_is_never_within() -> None:
    """A step not taken that has a figure leaves it not taken; a breach beside it is outside."""
    assert noted("{key on: not taken, suction: 1 inHg}").outcome == "not taken"
    assert noted("{key on: 38, suction: not taken}").outcome == "not taken"
    assert noted("{key on: 30, suction: not taken}").outcome == "outside"


def test_chart_leaves_suction_out() -> None:
    """Suction is no pressure of the pump's and has no place on its scale; it is told in words."""
    found = noted("{key on: 38, idle: 36, suction: 1 inHg}")
    assert "Taken apart: suction 1 inHg." in found.says
    chart = found.chart
    assert chart is not None
    assert [r["label"] for r in chart.data["rows"]] == ["key on", "idle"]
    assert chart.data["unit"] == "psi"


def test_what_stayed_has_its_time() -> None:
    """The minutes after which the rest was read are said."""
    found = noted("{key on: 38, held: 30}", "held after: 10\n")
    assert any("10 min after switching off" in s for s in found.says)


def test_nonsense_is_told() -> None:
    """A unit that is no pressure is a mistake, and so is a limit without its source."""
    assert "volts" in mistakes("kind: fuel-pressure\npressures: {idle: 12 volts}\n")[0]
    assert "source" in mistakes("kind: fuel-pressure\npressures: {idle: 3 psi}\nlimit: {minimum: 2 psi}\n")[0]
