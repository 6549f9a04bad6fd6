"""Charging by steps and the standing draw: the maker's figures only.

No published limit fits all batteries and regulators, so none is checked; what figures suggest is common
practice without a source.
"""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import assessed, mistakes

RANGE = 'limit: {within: {voltage: [13.8 V, 14.6 V]}, source: "invented manual 4A"}\n'
DRAW = 'limit: {maximum: {standing draw: 50 mA}, source: "invented manual 4A"}\n'
HEAD = "| rpm | voltage (V) | current (A) |\n|---|---|---|\n"


def stepped(rows: str, keys: str = RANGE) -> Assessment:
    """Give what a table of steps comes out as."""
    return assessed(f"kind: charging\n{keys}{HEAD}{rows}")


def named(values: str, limit: str) -> Assessment:
    """Give what values by step come out as."""
    return assessed(f"kind: charging\nvoltages: {values}\n{limit}")


@pytest.mark.parametrize(
    ("volts", "outcome"), [("13.8", "within"), ("13.79", "outside"), ("14.6", "within"), ("14.61", "outside")]
)
def test_both_ends_are_within(volts: str, outcome: str) -> None:
    """The maker's range holds at every step, its ends belong to it, and current has no limit of its own."""
    assert stepped(f"| 700 | 14.0 | 12 |\n| 2000 | {volts} | 41 |").outcome == outcome
    assert stepped(f"| 700 | 14.0 | 900 |\n| 2000 | {volts} | 41 |").outcome == outcome


def test_least_voltage_by_step() -> None:
    """A least voltage is asked of every step, and too little suggests belt, joint or alternator."""
    limit = 'limit: {minimum: 13.8 V, source: "invented manual 4A"}\n'
    assert named("{idle: 13.8, cruise: 14.1}", limit).outcome == "within"
    low = named("{idle: 13.9, cruise: 13.7}", limit)
    assert low.outcome == "outside"
    assert low.judged[0].where == ("cruise",)
    assert "belt" in " ".join(low.suggests)


def test_too_much_suggests_the_regulator() -> None:
    """Too high a voltage is dangerous in its own way, and said so."""
    assert "explosive gas" in " ".join(stepped("| 2000 | 15.2 | 20 |").suggests)


@pytest.mark.parametrize(
    ("draw", "outcome"),
    [("50 mA", "within"), ("0.05 A", "within"), ("51 mA", "outside"), ("not taken", "not taken")],
)
def test_standing_draw(draw: str, outcome: str) -> None:
    """The draw with everything off is held to its own figure, in whichever unit."""
    found = assessed(f"kind: charging\nstanding draw: {draw}\n{DRAW}")
    assert found.outcome == outcome
    assert ("fuse by fuse" in " ".join(found.suggests)) == (outcome == "outside")


def test_a_draw_that_is_asked_for_and_missing_is_not_taken() -> None:
    """A limit for the draw without a figure leaves the reading not taken, never within."""
    limit = (
        'limit: {within: {voltage: [13.8 V, 14.6 V]}, maximum: {standing draw: 50 mA}, source: "invented"}\n'
    )
    assert stepped("| 700 | 14.0 | 12 |", limit).outcome == "not taken"


def test_maker_is_the_only_source() -> None:
    """Without the maker's figure no limit applies, and what is not known about the battery is said."""
    found = stepped("| 700 | 14.0 | 12 |", "")
    assert found.outcome == "no limit applies"
    assert "maker's figures" in found.because
    assert any("kind of battery" in s for s in found.says)


def test_a_gap_is_never_within() -> None:
    """A step not taken leaves the reading not taken; a breach beside it is outside."""
    assert stepped("| 700 | 14.0 | 12 |\n| 2000 | not taken | 41 |").outcome == "not taken"
    assert stepped("| 700 | 12.9 | 12 |\n| 2000 | not taken | 41 |").outcome == "outside"


def test_chart_is_a_curve_where_steps_are_numbers() -> None:
    """Steps by number give a curve of voltage and current, steps by name bands of the voltage."""
    curve = stepped("| 700 | 14.0 | 12 |\n| 2000 | 14.1 | 41 |").chart
    assert curve is not None
    assert curve.form == "curve"
    band = named("{idle: 13.9, cruise: 14.2}", RANGE).chart
    assert band is not None
    assert band.form == "band"


def test_nonsense_is_told() -> None:
    """A voltage below zero can't be right, a unit of something else is a mistake."""
    found = stepped("| 700 | -14 | 12 |")
    assert found.outcome == "not taken"
    assert any("can't be right" in wrong for wrong, _ in found.warnings)
    assert "psi" in mistakes("kind: charging\nvoltages: {idle: 13 psi}\n")[0]
