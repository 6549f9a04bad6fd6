"""Rig tension: shares of breaking load, pairs compared, and only the maker's figures of the note judged.

No outside check for a limit exists: what is published holds for its maker's own masts. Shares and
differences are computed by hand; units by NIST SP 811.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.kinds.rig_tension import KIND
from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented mast manual 4"'
HEAD = "| wire | tension (kN) | breaking load (kN) |\n|---|---|---|\n"


def fence(rows: str, limit: str = "", head: str = HEAD) -> str:
    """Give a fence with its table."""
    line = f"limit: {{{limit}, {SOURCE}}}\n" if limit else ""
    return f"kind: rig-tension\nwire: 1x19\n{line}{head}{rows}\n"


PAIR = "| cap shroud port | 5 | 25 |\n| cap shroud starboard | 4 | 25 |"


def test_no_general_limit() -> None:
    """Without the maker's figure nothing is judged; what others ask is shown as not used."""
    found = assessed(fence(PAIR))
    assert found.outcome == "no limit applies"
    assert not found.judged
    assert "not used" in found.criteria[0]
    assert "common practice, no source" in found.criteria[1]


def test_share_and_difference_by_hand() -> None:
    """5 of 25 kN is 20 %, 4 of 25 is 16 %; 4 is 20 % less than 5."""
    steps = {s.step: s.result for s in assessed(fence(PAIR)).working}
    assert steps == {
        "cap shroud port, share of breaking load": "20",
        "cap shroud starboard, share of breaking load": "16",
        "cap shroud, difference of the pair": "20",
    }


@pytest.mark.parametrize(
    ("limit", "outcome"),
    [
        ("maximum: 20 %", "within"),
        ("maximum: 19.9 %", "outside"),
        ("minimum: 16 %", "within"),
        ("minimum: 16.1 %", "outside"),
        ("within: [16 %, 20 %]", "within"),
        ("within: [17 %, 20 %]", "outside"),
        ("maximum: {cap shroud: 19 %}", "outside"),
        ("maximum: {cap shroud starboard: 19 %}", "within"),
        ("difference: 20 %", "within"),
        ("difference: 19.9 %", "outside"),
        ("most force: 5 kN", "within"),
        ("most force: 4.99 kN", "outside"),
        ("most force: 1125 lbf", "within"),  # 5.0042 kN
        ("most force: 1124 lbf", "outside"),  # 4.9998 kN
        ("least force: {cap shroud: 4.1 kN}", "outside"),
    ],
)
def test_makers_figure_is_judged(limit: str, outcome: str) -> None:
    """On the limit is within, just over it is outside, for all wires or by name, in force or share."""
    assert assessed(fence(PAIR, limit)).outcome == outcome


@given(st.floats(0.1, 20), st.floats(0.1, 20))
def test_difference_has_no_side(one: float, other: float) -> None:
    """A pair differs alike whichever side is tighter, and never by more than all of it."""
    rows = "| s port | {:.3f} | 99 |\n| s starboard | {:.3f} | 99 |"
    limit = "difference: 30 %"
    there, back = (assessed(fence(rows.format(a, b), limit)) for a, b in ((one, other), (other, one)))
    [mine], [yours] = there.judged, back.judged
    assert mine.value == pytest.approx(yours.value)
    assert mine.value is not None
    assert 0 <= mine.value <= 100


def test_share_as_read() -> None:
    """A gauge that reads percent needs no breaking load."""
    head = "| wire | share (%) |\n|---|---|\n"
    rows = "| cap shroud port | 20 |\n| cap shroud starboard | 16 |"
    assert assessed(fence(rows, "maximum: 19 %", head)).outcome == "outside"
    assert assessed(fence(rows, "difference: 20 %", head)).outcome == "within"


def test_pounds_of_mass_are_refused() -> None:
    """A gauge's lb is a force; the message says what to write."""
    [said] = mistakes("kind: rig-tension\n| wire | tension (lb) |\n|---|---|\n| backstay | 900 |\n")
    assert "unit of mass" in said
    assert "lbf" in said


def test_gap_is_never_within() -> None:
    """A wire not taken, or a share without its breaking load, leaves the whole not taken."""
    gap = "| cap shroud port | 5 | 25 |\n| cap shroud starboard | - | 25 |"
    assert assessed(fence(gap, "maximum: 25 %")).outcome == "not taken"
    assert assessed(fence(gap, "most force: 9 kN")).outcome == "not taken"
    assert assessed(fence(gap, "difference: 50 %")).outcome == "not taken"
    assert assessed(fence(gap, "maximum: 10 %")).outcome == "outside"
    bare = "| backstay | 5 | - |"
    unknown = assessed(fence(bare, "maximum: 25 %"))
    assert unknown.outcome == "not taken"
    assert "Not taken: backstay, its breaking load is not stated." in unknown.says
    assert assessed(fence(bare, "most force: 9 kN")).outcome == "within"


@pytest.mark.parametrize("row", ["| a | -1 | 25 |", "| a | 25 | 25 |", "| a | 5 | 0 |"])
def test_impossible_figures_are_not_judged(row: str) -> None:
    """Below zero, as much as breaks the wire, no breaking load: not taken, with a word to the writer."""
    found = assessed(fence(row, "maximum: 99 %"))
    assert found.outcome == "not taken"
    assert "can't be right" in found.warnings[0][0]


def test_limit_for_a_wire_that_is_not_there() -> None:
    """A mistyped wire in the limit is told, not passed over."""
    [(found, _)] = assessed(fence(PAIR, "maximum: {backstya: 20 %}")).warnings
    assert found == "limit names backstya, which the table has not"
    assert not assessed(fence(PAIR, "maximum: {cap shroud: 20 %, cap shroud port: 20 %}")).warnings


def test_lonely_and_slack_wires_are_told() -> None:
    """A side without the other and a wire without tension are named."""
    said = assessed(fence("| cap shroud port | 5 | 25 |\n| running backstay | 0 | 25 |")).says
    assert "Without its other side in the table: cap shroud port." in said
    assert "Slack: running backstay." in said


def test_uneven_pair_suggests_a_look() -> None:
    """A pair over the note's difference brings a suggestion, never a diagnosis."""
    [said] = assessed(fence(PAIR, "difference: 10 %")).suggests
    assert "to be confirmed" in said
    assert not assessed(fence(PAIR, "difference: 30 %")).suggests


def test_chart_is_in_percent_where_known() -> None:
    """Bars are shares where all are known, else forces; the table marks what is outside in its column."""
    chart = assessed(fence(PAIR, "maximum: 18 %")).chart
    assert chart is not None
    assert chart.data["unit"] == "%"
    assert chart.data["series"][0]["values"] == (20.0, 16.0)
    assert [line["value"] for line in chart.data["limits"]] == [18.0]
    assert chart.table.rows[0][-1] == "20, outside"
    forces = assessed(fence("| backstay | 5 | - |", "most force: 4 kN")).chart
    assert forces is not None
    assert forces.data["unit"] == "kN"
    assert forces.table.rows[0][1] == "5, outside"


def test_limits_by_wire_are_drawn_as_bands() -> None:
    """Where each wire has its own figures its row has its own band."""
    chart = assessed(fence(f"{PAIR}\n| backstay | 6 | 30 |", "within: {cap shroud: [15 %, 19 %]}")).chart
    assert chart is not None
    assert chart.form == "band"
    edges = [(r["label"], r["low"], r["high"], r["outside"]) for r in chart.data["rows"]]
    assert edges == [
        ("cap shroud port", 15.0, 19.0, True),
        ("cap shroud starboard", 15.0, 19.0, False),
        ("backstay", None, None, False),
    ]


def test_caution_is_asked_for() -> None:
    """Taking the reading brings the caution on masts."""
    assert KIND.hazards == ("dismasting",)


def test_worst_pair_is_named() -> None:
    """4 is 20 % under 5, and 3.0 is 3.23 % under 3.1."""
    rows = f"| lower port | 3.1 | 25 |\n| lower starboard | 3.0 | 25 |\n{PAIR}"
    [said] = [s for s in assessed(fence(rows)).says if "differs most" in s]
    assert said.startswith("The pair that differs most is cap shroud, by 20 %;")
    assert not [s for s in assessed(fence("| backstay | 5 | 25 |")).says if "differs most" in s]


def test_a_share_is_missed_only_where_one_is_asked_for() -> None:
    """A wire without breaking load has a force; its share is a gap where a limit of shares is noted."""
    bare = "| backstay | 5 | - |"
    assert [n for n, _ in assessed(fence(bare, "most force: 9 kN")).outcomes] == ["backstay"]
    assert len(assessed(fence(bare, "maximum: 25 %")).outcomes) == 2
    assert len(assessed(fence("| backstay | 5 | 25 |", "maximum: 25 %")).outcomes) == 1


def test_pair_is_shown_in_forces_where_both_are_known() -> None:
    """Else its shares are what was compared."""
    [step] = [s for s in assessed(fence(PAIR)).working if "difference" in s.step]
    assert step.values == "port 5 kN, starboard 4 kN"
    shares = "| wire | share (%) |\n|---|---|\n"
    rows = "| cap shroud port | 20 |\n| cap shroud starboard | 16 |"
    [step] = [s for s in assessed(fence(rows, head=shares)).working if "difference" in s.step]
    assert (step.values, step.result) == ("port 20 %, starboard 16 %", "20")
