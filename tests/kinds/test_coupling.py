"""Shaft coupling: the rule per inch of diameter, afloat or not, run-out told apart."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.kind import Assessment
from reportgen.kinds.coupling import allowed
from tests.kinds.noted import assessed, mistakes

PLACES = ("top", "starboard", "bottom", "port")


def felt(gaps: list[float | str], diameter: str = "4 in", more: str = "") -> Assessment:
    """Give the assessment of gaps [in] at four places round a coupling."""
    told = ", ".join(f"{place}: {gap}" for place, gap in zip(PLACES, gaps, strict=False))
    across = f"diameter: {diameter}\n" if diameter else ""
    return assessed(f"kind: coupling\ngaps: {{{told}}}\n{across}{more}")


# Source: an owners' association's alignment page, closing sentence (rows CPL-2 to CPL-4, R k).
@pytest.mark.parametrize(("diameter", "most"), [(4, 0.004), (5, 0.005), (6, 0.006)])
def test_rule_per_inch(diameter: float, most: float) -> None:
    """A thousandth of an inch for each inch of the coupling."""
    assert allowed(diameter) == pytest.approx(most)


# Source: the same rule (rows CPLC-1 to CPLC-4, R k).
@pytest.mark.parametrize(
    ("diameter", "gaps", "spread", "outcome"),
    [
        ("4 in", [0.003, 0.005, 0.004, 0.006], "0.003", "within"),
        ("4 in", [0.002, 0.007, 0.003, 0.005], "0.005", "outside"),
        ("5 in", [0.004, 0.008, 0.005, 0.004], "0.004", "within"),
        ("3 in", [0.002, 0.006, 0.004, 0.003], "0.004", "outside"),
        # on, just inside, just outside
        ("4 in", [0.002, 0.006, 0.003, 0.005], "0.004", "within"),
        ("4 in", [0.002, 0.00599, 0.003, 0.005], "0.00399", "within"),
        ("4 in", [0.002, 0.00601, 0.003, 0.005], "0.00401", "outside"),
    ],
)
def test_largest_minus_smallest(diameter: str, gaps: list[float | str], spread: str, outcome: str) -> None:
    """The difference of the gaps is held against the diameter; one equal to it is within."""
    found = felt(gaps, diameter)
    assert found.outcome == outcome
    assert (found.working[0].result, found.working[0].unit) == (spread, "in")


@given(gaps=st.lists(st.integers(0, 20), min_size=4, max_size=4), turn=st.integers(0, 3))
def test_where_the_places_begin_does_not_matter(gaps: list[int], turn: int) -> None:
    """Naming the places from another one on changes nothing, and millimetres neither."""
    around = gaps[turn:] + gaps[:turn]
    first = felt([g / 1000 for g in gaps])
    metric = felt([f"{g * 0.0254:.6f} mm" for g in around], "101.6 mm")
    assert first.outcome == metric.outcome
    assert first.outcome == ("within" if max(gaps) - min(gaps) <= 4 else "outside")


# Source: an engine supplier, a how-to page, TM 55-1905-220-14 (rows CPL-A and CPL-B, R p).
def test_fixed_figures_are_listed_and_not_judged() -> None:
    """0.003, 0.004 and 0.002 in, and the figures for a hull that hogs, stand beside the outcome."""
    found = felt([0.002, 0.007, 0.003, 0.005], "6 in")
    assert found.outcome == "within"
    told = " ".join(found.criteria)
    assert all(figure in told for figure in ("0.003 in", "0.004 in", "0.002 in", "0.005 to 0.007 in"))


def test_without_diameter_no_limit_applies() -> None:
    """The rule needs the diameter, and the reason says that it is missing."""
    found = felt([0.002, 0.007, 0.003, 0.005], "")
    assert found.outcome == "no limit applies"
    assert "diameter is not stated" in found.because


def test_note_limit_replaces_the_rule() -> None:
    """A maker's figure is the only one judged, with or without a diameter."""
    limit = 'limit: {difference: 0.05 mm, source: "invented gearbox manual 6"}\n'
    for across in ("6 in", ""):
        found = felt([0.002, 0.005, 0.003, 0.002], across, limit)
        assert [(j.limit.origin, j.outcome) for j in found.judged] == [("note", "outside")]


def test_place_missing_is_never_within() -> None:
    """Four places are asked for; three leave it open, unless they break the limit already."""
    assert felt([0.003, 0.004, 0.003, "not taken"]).outcome == "not taken"
    assert felt([0.003, 0.004, 0.003]).outcome == "not taken"
    assert felt([0.003, 0.009, 0.003]).outcome == "outside"
    assert felt([0.003]).outcome == "not taken"
    assert felt(["not taken"] * 4).outcome == "not taken"


# Source: TM 55-1905-220-14, an engine supplier, an owners' association (row CPL-C, R p).
@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("state: ashore\n", "Taken ashore and judged as found"),
        ("state: in slings\n", "Taken in slings and judged as found"),
        ("", "Whether the boat was afloat is not stated"),
        ("state: afloat\n", "How long the boat had been afloat is not stated"),
        ("state: afloat\nafloat for: 23 h\n", "afloat for 23 h"),
    ],
)
def test_conditions_are_told(more: str, said: str) -> None:
    """It is judged as found, and what is not as the guides ask is said."""
    found = felt([0.003, 0.005, 0.004, 0.006], more=more)
    assert found.outcome == "within"
    assert any(said in s for s in found.says)
    assert any("Tanks and load" in s for s in found.says)


def test_as_the_guides_ask_says_nothing_of_conditions() -> None:
    """Afloat a day and laden: no caveat."""
    found = felt([0.003, 0.005, 0.004, 0.006], more="state: afloat\nafloat for: 1 days\nladen: yes\n")
    assert not [s for s in found.says if "the guides ask" in s]


def test_run_out_is_told_from_misalignment() -> None:
    """Gaps that follow the turning shaft suggest run-out; gaps that stay suggest misalignment."""
    gaps: list[float | str] = [0.002, 0.005, 0.008, 0.005]
    stays = felt(gaps, more="turned 180: {top: 0.002, starboard: 0.006, bottom: 0.008, port: 0.005}\n")
    follows = felt(gaps, more="turned 180: {top: 0.008, starboard: 0.005, bottom: 0.002, port: 0.005}\n")
    assert stays.outcome == follows.outcome == "outside"
    assert "out of line" in stays.suggests[0]
    assert "run-out" in follows.suggests[0]
    assert any("by up to 0.006 in, at top" in s for s in follows.says)
    assert any("not taken again" in s for s in felt(gaps).says)


def test_impossible_figures_are_not_judged() -> None:
    """A gap below nothing is not taken, a coupling of nothing has no rule, strange places are told."""
    found = felt([0.003, -0.005, 0.004, 0.006])
    assert found.outcome == "not taken"
    assert "starboard: -0.005 in" in found.warnings[0][0]
    assert felt([0.003, 0.005, 0.004, 0.006], "0 in").warnings[0][0].startswith("diameter")
    assert "aft" in felt([0.003, 0.004, 0.004, 0.004], more="turned 90: {aft: 0.003}\n").warnings[0][0]


def test_nonsense_unit() -> None:
    """A gap in psi is told to the writer."""
    assert "unit of pressure" in mistakes("kind: coupling\ngaps: {top: 3 psi}\n")[0]


def test_chart_shows_both_turns() -> None:
    """The bars stand in pairs, as found and turned."""
    found = felt([0.002, 0.005, 0.008, 0.005], more="turned 90: {top: 0.003, bottom: 0.007}\n")
    assert found.chart is not None
    series = [(s["name"], s["values"]) for s in found.chart.data["series"]]
    assert series == [
        ("as found", (0.002, 0.005, 0.008, 0.005)), ("at 90°", (0.003, None, 0.007, None)),
    ]  # fmt: skip
    assert found.chart.alt.endswith("Outside: largest minus smallest gap.")
