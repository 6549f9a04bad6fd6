"""Bonding: the figure to investigate from, what is only listed, leads taken off, fuel fills of plastic."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented yard standard 12"'


def outcome(values: str, more: str = "") -> str:
    """Give the outcome of resistances in ohm."""
    return assessed(f"kind: bonding\nplaces: {values}\n{more}").outcome


# BOND-1, R k: 0.35 ohm is to be investigated; the sentence on continuity says more than 0.2 ohm.
@pytest.mark.parametrize(
    ("value", "result"),
    [("0.35", "outside"), ("0.2", "within"), ("0.19", "within"), ("0.201", "outside"), ("0", "within")],
)
def test_figure_to_investigate_from(value: str, result: str) -> None:
    """More than 0.2 ohm is outside; equal to it is within; in milliohm it comes out the same."""
    assert outcome(f"{{strut: {value}}}") == result
    assert outcome(f"{{strut: {float(value) * 1000:g}}}", "unit: mΩ\n") == result


# BOND-2, M recalled, later read second-hand in two magazines: 1 ohm is listed, not judged.
def test_one_ohm_is_listed_not_judged() -> None:
    """Half an ohm is outside by the figure that was read, though the voluntary one would allow it."""
    found = assessed("kind: bonding\nplaces: {strut: 0.5}\n")
    assert found.outcome == "outside"
    assert [(j.limit.value, j.limit.source_id) for j in found.judged] == [(0.2, "bonding-0.2-ohm")]
    assert any("1 Ω" in c and "second-hand" in c for c in found.criteria)
    assert any("from memory" in c for c in found.criteria)


def test_note_limit_replaces_the_general_one() -> None:
    """For all places, or for the one that it names; the others keep the general figure."""
    assert outcome("{strut: 0.5}", f"limit: {{maximum: 1 Ω, {SOURCE}}}\n") == "within"
    one = f"limit: {{maximum: {{strut: 1 Ω}}, {SOURCE}}}\n"
    assert outcome("{strut: 0.5, shaft: 0.1}", one) == "within"
    assert outcome("{strut: 0.5, shaft: 0.5}", one) == "outside"
    assert outcome("{strut: 1.1, shaft: 0.1}", one) == "outside"


def test_leads_are_taken_off() -> None:
    """0.25 ohm with leads of 0.05 is 0.2, and the working says so; less than the leads can't be."""
    found = assessed("kind: bonding\nplaces: {strut: 0.25}\nleads: 50 mΩ\n")
    assert found.outcome == "within"
    assert (found.working[0].values, found.working[0].result) == ("0.25 - 0.05", "0.2 Ω")
    assert outcome("{strut: 0.26}", "leads: 0.05 Ω\n") == "outside"
    odd = assessed("kind: bonding\nplaces: {strut: 0.02, shaft: 0.1}\nleads: 0.05 Ω\n")
    assert odd.outcome == "not taken"
    assert odd.warnings[0][0] == "strut: 0.02 Ω can't be right"


@given(st.integers(0, 500), st.integers(0, 200))
def test_leads_never_make_it_worse(value: int, leads: int) -> None:
    """Taking the leads off never turns within into outside."""
    plain = outcome(f"{{a: {value} mΩ}}")
    less = outcome(f"{{a: {value} mΩ}}", f"leads: {leads} mΩ\n")
    assert (less == "outside") <= (plain == "outside")


# Source: the safety notice of February 2005, read second-hand: plastic-bodied fills are not to be bonded.
def test_plastic_fill_should_not_be_bonded() -> None:
    """It isn't asked to be low, and what is dangerous about it is said first."""
    found = assessed("kind: bonding\nplaces: {strut: 0.1, deck fill: 40}\nplastic fills: deck fill\n")
    assert found.outcome == "within"
    assert dict(found.outcomes) == {"strut": "within", "deck fill": "no limit applies"}
    assert "should not be bonded, and deck fill is such" in found.says[0]
    assert outcome("{strut: 0.1, deck fill: 40}") == "outside"
    alone = assessed("kind: bonding\nplaces: {deck fill: 0.1}\nplastic fills: deck fill\n")
    assert alone.outcome == "no limit applies"
    strange = assessed("kind: bonding\nplaces: {strut: 0.1}\nplastic fills: fill\n")
    assert "which places has not" in strange.warnings[0][0]


def test_gap_slip_and_unit() -> None:
    """A gap is never within, a value below zero is none, volts are no ohms."""
    assert outcome("{a: 0.1, b: not taken}") == "not taken"
    assert outcome("{a: 0.3, b: not taken}") == "outside"
    assert outcome("{a: 0.1, b: -1}") == "not taken"
    assert mistakes("kind: bonding\nplaces: {a: 0.1 V}\n")


def test_chart_has_bars_with_the_limit() -> None:
    """One bar a place, the limit as a line, what breaks it named."""
    chart = assessed("kind: bonding\nplaces: {a: 0.1, b: 0.4}\n").chart
    assert chart is not None
    assert (chart.form, chart.data["outside"]) == ("bars", ("b",))
    assert [line["value"] for line in chart.data["limits"]] == [0.2]
