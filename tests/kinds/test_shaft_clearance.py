"""Shaft bearing clearance: the chart at its diameters and between, tight and worn told apart."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.errors import Problems
from reportgen.kind import Assessment
from reportgen.kinds.shaft_clearance import clearance
from tests.kinds.noted import FOUR_STROKE, assessed, kind_named, mistakes, noted


def measured(gap: str, shaft: str = "2 in", more: str = "") -> Assessment:
    """Give the assessment of one bearing on a shaft."""
    return assessed(f"kind: shaft-clearance\nbearings: {{strut: {gap}}}\nshaft: {shaft}\n{more}")


# Source: chart quoted in an owner's post (rows SHB-1, SHB-3, R p); 2 in by the rule of row SHBC-2, R k.
@pytest.mark.parametrize(
    ("shaft", "low", "high"), [(1.5, 0.004, 0.009), (2.0, 0.005, 0.010), (2.5, 0.005, 0.011)]
)
def test_chart_at_its_diameters(shaft: float, low: float, high: float) -> None:
    """At a printed diameter the printed figures come out."""
    assert clearance(shaft) == pytest.approx((low, high))


# Source: the same chart, read as a rule (rows SHBC-1 to SHBC-5, R k).
@pytest.mark.parametrize(
    ("shaft", "gap", "outcome", "said"),
    [
        ("2 in", "0.045 in", "outside", "Worn, over the most: strut."),
        ("2 in", "0.009 in", "within", ""),
        ("1.5 in", "0.009 in", "within", ""),
        ("2.5 in", "0.004 in", "outside", "Tight, under the least: strut."),
        ("2 in", "0.0625 in", "outside", "Worn, over the most: strut."),
        # on, just inside and just outside both ends
        ("2 in", "0.005 in", "within", ""),
        ("2 in", "0.00501 in", "within", ""),
        ("2 in", "0.00499 in", "outside", "Tight, under the least: strut."),
        ("2 in", "0.010 in", "within", ""),
        ("2 in", "0.01001 in", "outside", "Worn, over the most: strut."),
    ],
)
def test_verdicts(shaft: str, gap: str, outcome: str, said: str) -> None:
    """Worn and tight are different statements; a gap equal to an end is within."""
    found = measured(gap, shaft)
    assert found.outcome == outcome
    assert [s for s in found.says if s.startswith(("Worn", "Tight"))] == ([said] if said else [])


def test_between_the_diameters_is_linear_and_said() -> None:
    """For 1.75 in the figures lie half-way between those of 1.5 and 2 in, and the page says how."""
    assert clearance(1.75) == pytest.approx((0.0045, 0.0095))
    found = measured("0.0096 in", "1.75 in")
    assert found.outcome == "outside"
    assert any("linear between those it prints" in s for s in found.says)
    assert not any("linear" in s for s in measured("0.0096 in", "2 in").says)


@pytest.mark.parametrize("shaft", ["1 in", "1.49 in", "2.51 in", "4 in", "30 mm"])
def test_beyond_the_chart_no_limit_applies(shaft: str) -> None:
    """The chart is not stretched, and the reason names the shaft."""
    found = measured("0.006 in", shaft)
    assert found.outcome == "no limit applies"
    assert shaft in found.because


# Source: a bearing maker's technician quoted by a buyer; posts (rows SHB-N1, R p; SHB-N3, R k).
def test_other_figures_are_listed_and_not_judged() -> None:
    """Figures for new bearings and rules of thumb are criteria; none of them decides."""
    found = measured("0.009 in", "1.25 in")
    assert not found.judged
    assert any("0.003 to 0.008 in for a new bearing on a shaft of 1 in" in c for c in found.criteria)
    assert any("here 0.00375 in" in c for c in found.criteria)
    assert any("1/32 in" in c and "1 mm" in c for c in found.criteria)


def test_second_hand_is_said() -> None:
    """The page says that the chart is known second-hand, and so does its source."""
    assert any("second-hand" in s for s in measured("0.009 in").says)


def test_note_limit_replaces_the_chart() -> None:
    """The bearing maker's figure is the only one of its word; the chart's least still applies."""
    more = 'limit: {maximum: 1 mm, source: "invented bearing sheet 2"}\n'
    found = measured("0.9 mm", "2 in", more)
    assert [(j.limit.word, j.limit.origin) for j in found.judged] == [
        ("maximum", "note"), ("minimum", "general"),
    ]  # fmt: skip
    assert found.outcome == "within"
    bare = assessed(f"kind: shaft-clearance\nbearings: {{log: 0.002 in}}\n{more}")
    assert bare.outcome == "within"
    assert any("not stated, so that a bearing that is too tight was not looked for" in s for s in bare.says)
    thin = measured("0.9 mm", "1 in", more)
    assert any("not one of the chart's, so that a bearing that is too tight" in s for s in thin.says)
    assert not any("too tight" in s for s in found.says)
    by_name = 'limit: {within: {aft: [0.1 mm, 1 mm]}, source: "invented bearing sheet 2"}\n'
    assert "aft" in measured("0.2 mm", "2 in", by_name).warnings[0][0]


def test_gap_is_never_within() -> None:
    """A bearing not taken leaves the whole not taken; no diameter, no general limit."""
    start = "kind: shaft-clearance\n"
    assert assessed(f"{start}bearings: {{a: 0.006, b: not taken}}\nshaft: 2 in\n").outcome == "not taken"
    assert assessed(f"{start}bearings: {{a: 0.03, b: not taken}}\nshaft: 2 in\n").outcome == "outside"
    found = assessed(f"{start}bearings: {{a: 0.006}}\n")
    assert found.outcome == "no limit applies"
    assert "diameter is not stated" in found.because


def test_impossible_figures_are_not_judged() -> None:
    """Less than no gap is not taken, a shaft of nothing is no shaft, and the writer is told."""
    found = measured("-0.006 in")
    assert found.outcome == "not taken"
    assert "can't be right" in found.warnings[0][0]
    nothing = measured("0.006 in", "0 in")
    assert nothing.outcome == "no limit applies"
    assert "shaft: 0 in" in nothing.warnings[0][0]


def test_unit_of_the_fence_is_for_the_shaft_too() -> None:
    """With `unit: mm` a bare 50 is no shaft of 50 in; without one a bare number has to name its unit."""
    found = assessed("kind: shaft-clearance\nunit: mm\nbearings: {a: 0.2}\nshaft: 50.8\n")
    assert [j.limit.value for j in found.judged] == pytest.approx([0.005, 0.010])
    assert "has no unit" in mistakes("kind: shaft-clearance\nbearings: {a: 0.2}\nshaft: 2\n")[0]


def test_nonsense_unit() -> None:
    """A gap in psi is told to the writer."""
    assert "unit of pressure" in mistakes("kind: shaft-clearance\nbearings: {a: 3 psi}\n")[0]


@given(thou=st.integers(0, 40), shaft=st.integers(30, 80))
def test_millimetres_give_the_same(thou: int, shaft: int) -> None:
    """A gap and a shaft in millimetres are judged as in inches."""
    inches, metric = thou / 1000, f"{thou * 0.0254:.6f} mm"
    text = "kind: shaft-clearance\nbearings: {{a: {}}}\nshaft: {}\n"
    problems = Problems()
    assess = kind_named("shaft-clearance").assess
    found = [
        assess(noted(text.format(gap, wide), problems), FOUR_STROKE).outcome
        for gap, wide in ((f"{inches} in", f"{shaft / 32} in"), (metric, f"{shaft / 32 * 25.4:.6f} mm"))
    ]
    assert found[0] == found[1]


def test_chart_shows_each_bearing_in_its_band() -> None:
    """The band runs from the least to the most of the chart, and a bearing outside is marked."""
    found = assessed("kind: shaft-clearance\nbearings: {log: 0.006, strut: 0.02}\nshaft: 2 in\n")
    assert found.chart is not None
    rows = [(r["label"], r["value"], r["low"], r["high"], r["outside"]) for r in found.chart.data["rows"]]
    assert rows == [("log", 0.006, 0.005, 0.01, False), ("strut", 0.02, 0.005, 0.01, True)]
