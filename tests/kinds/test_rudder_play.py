"""Rudder play: only the note's figure is judged, a quarter of an inch is a remark; it concerns the steering.

No check from outside exists for an outcome: no standard gives a limit of play at a rudder's stock.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.kind import Assessment
from tests.kinds.noted import assessed, kind_named, mistakes

LIMIT = 'limit: {maximum: {at stock: 1.5 mm}, source: "invented yard standard 9"}\n'


def pushed(play: str, more: str = "", column: str = "at stock (mm)") -> Assessment:
    """Give the assessment of one rudder's play."""
    return assessed(f"kind: rudder-play\n{more}| rudder | {column} |\n|---|---|\n| port | {play} |\n")


@pytest.mark.parametrize("play", ["0", "6.35", "40"])
def test_nobody_publishes_a_limit(play: str) -> None:
    """Whatever the play, without the note's figure no limit applies."""
    found = pushed(play)
    assert found.outcome == "no limit applies"
    assert not found.judged
    assert "any standard" in found.because


@pytest.mark.parametrize(
    ("play", "outcome"), [("1.5", "within"), ("1.49", "within"), ("1.51", "outside"), ("-", "not taken")]
)
def test_the_note_is_judged(play: str, outcome: str) -> None:
    """A value equal to the note's figure is within; none taken is not taken."""
    assert pushed(play, LIMIT).outcome == outcome


# Source: a yacht forum's thread (row RUD-2, R p): a quarter of an inch called excessive.
@pytest.mark.parametrize(
    ("play", "column", "told"),
    [
        ("0.25", "at stock (in)", True),
        ("0.249", "at stock (in)", False),
        ("6.35", "at stock (mm)", True),
        ("6.34", "at stock (mm)", False),
        ("20", "at tip (mm)", False),
    ],
)
def test_quarter_inch_is_a_remark(play: str, column: str, told: bool) -> None:
    """At the stock, from 1/4 in on, the page tells what correspondents said, and that it is no limit."""
    found = pushed(play, column=column)
    assert found.outcome == "no limit applies"
    assert any("not a limit" in s for s in found.says) is told
    assert bool(found.suggests) is told


# Source: a bearing engineer's post (topic 9, read, no case printed): 0.002 to 0.003 in per inch of stock.
def test_new_bearing_is_a_criterion_for_this_stock() -> None:
    """For a stock of 2 in a new plain bearing would have 0.004 to 0.006 in."""
    assert any("0.004 to 0.006 in" in c for c in pushed("1", "stock: 2 in\n").criteria)
    assert any("0.004 to 0.006 in" in c for c in pushed("1", "stock: 50.8 mm\n").criteria)


def test_outside_concerns_the_steering() -> None:
    """An outside reading that no finding answers stops the use of the boat."""
    assert kind_named("rudder-play").unanswered == "stop"
    assert "loss of steering" in kind_named("rudder-play").hazards


def test_gap_is_never_within() -> None:
    """One rudder not taken leaves the whole not taken; a column without a limit does not."""
    head = f"kind: rudder-play\n{LIMIT}| rudder | at stock (mm) | at tip (mm) |\n|---|---|---|\n"
    assert assessed(f"{head}| port | 1 | 3 |\n| starboard | - | 4 |\n").outcome == "not taken"
    assert assessed(f"{head}| port | 1 | - |\n| starboard | 1.2 | 4 |\n").outcome == "within"
    assert assessed(f"{head}| port | 2 | 3 |\n| starboard | - | 4 |\n").outcome == "outside"


def test_impossible_figures_are_not_judged() -> None:
    """Play below nothing is not taken, a stock of nothing is told."""
    found = pushed("-1", LIMIT)
    assert found.outcome == "not taken"
    assert "-1 mm can't be right" in found.warnings[0][0]
    assert pushed("1", "stock: 0 mm\n").warnings[0][0].startswith("stock")


def test_nonsense_is_told() -> None:
    """A unit of pressure, or a limit of a column that isn't read, is a mistake of the writer."""
    table = "| rudder | at stock (psi) |\n|---|---|\n| port | 1 |\n"
    assert "unit of pressure" in mistakes(f"kind: rudder-play\n{table}")[0]
    assert mistakes('kind: rudder-play\nlimit: {maximum: {heel: 3 mm}, source: "invented 1"}\n')


@given(tenths=st.integers(0, 40))
def test_inches_give_the_same(tenths: int) -> None:
    """Play in inches is judged as in millimetres."""
    metric = pushed(f"{tenths / 10}", LIMIT).outcome
    inches = pushed(f"{tenths / 254:.9f}", LIMIT, "at stock (in)").outcome
    assert metric == ("within" if tenths <= 15 else "outside")
    assert inches == metric or tenths == 15  # nine decimals of an inch can't stand exactly on the limit


def test_chart_has_a_band_for_the_limit() -> None:
    """The limit's band is drawn for its own column only."""
    head = f"kind: rudder-play\n{LIMIT}| rudder | at stock (mm) | at tip (mm) |\n|---|---|---|\n"
    chart = assessed(f"{head}| port | 2 | 3 |\n").chart
    assert chart is not None
    rows = [(r["label"], r["value"], r["high"], r["outside"]) for r in chart.data["rows"]]
    assert rows == [("port, at stock", 2.0, 1.5, True), ("port, at tip", 3.0, None, False)]
