"""Moisture readings: never percent, compared with a dry place and with each other, and marked, not judged.

No outside check gives a number that passes or fails (rows MOI-1 to MOI-9 are rules in words); the marks are
checked against the published formula of the modified Z-score, computed by hand.
"""

from __future__ import annotations

import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.kinds.moisture import KIND, threshold
from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented yard standard 12"'


def fence(more: str = "", places: str = "{a: 14, b: 15, c: 13, d: 16, e: 48, f: 15}") -> str:
    """Give a fence with places."""
    return f"kind: moisture\nplaces: {places}\n{more}"


# MOI-9, R p: 20-40 on the topsides, 30-75 on the bottom are reported as relative, not judged, not converted.
def test_no_limit_is_published() -> None:
    """Readings alone are never within or outside, and no percent is printed."""
    found = assessed(fence(places="{topside low: 20, topside high: 40, bottom low: 30, bottom high: 75}"))
    assert found.outcome == "no limit applies"
    assert "no figure is published" in found.because
    assert found.chart is not None
    assert "%" not in found.chart.alt + str(found.chart.table) + "".join(s.unit for s in found.working)
    assert not KIND.limits
    assert KIND.no_source


# MOI-1, R p: a number of the meter is not percent moisture.
@pytest.mark.parametrize(
    "text",
    [
        fence(places="{a: 18 %}"),
        fence("reference: 12 %\n"),
        fence(f"limit: {{maximum: 20 %, {SOURCE}}}\n"),
        "kind: moisture\n| row | port (%) |\n|---|---|\n| upper | 14 |\n",
    ],
)
def test_percent_is_refused(text: str) -> None:
    """A reading, a reference, a limit or a column in % is a mistake that says why and what to write."""
    [said] = mistakes(text)
    assert "not percent of water" in said
    assert "without %" in said


def test_scale_told_in_percent_is_warned_of() -> None:
    """The words of the scale may not bring percent in by the back door."""
    [(found, _)] = assessed(fence("scale: 5 to 30 percent\n")).warnings
    assert "not percent of water" in found
    assert not assessed(fence("scale: relative, 0 to 100\n")).warnings


# outlier-modified-z: 0.6745 (x - median) / MAD > 3.5; by hand: median 15, distances 1 0 2 1 33 0, MAD 1.
def test_mark_by_the_published_formula() -> None:
    """What stands out is what the formula gives: above 15 + 3.5 / 0.6745 = 20.19."""
    assert threshold([14, 15, 13, 16, 48, 15]) == pytest.approx(15 + 3.5 / 0.6745)
    found = assessed(fence())
    assert "E stands out as high; a mark is no judgement." in found.says
    assert any("suggests moisture there, or a void" in s for s in found.suggests)


def test_places_of_a_grid_are_parted_by_semicolons() -> None:
    """A grid's place has a comma within: `low, aft and high, aft` would be four places."""
    rows = "| row | aft | fore |\n|---|---|---|\n| low | 14 | 80 |\n| high | 15 | 70 |\n| top | 13 | 14 |\n"
    said = assessed(f"kind: moisture\nscale: relative, 0 to 100\n{rows}").says
    assert "These stand out as high: low, fore; high, fore. A mark is no judgement." in said


@pytest.mark.parametrize(("reading", "marked"), [(20.1, False), (20.2, True)])
def test_edge_of_a_mark(reading: float, marked: bool) -> None:
    """Just under the figure nothing is said, just over it the place is named."""
    said = " ".join(assessed(fence(places=f"{{a: 14, b: 15, c: 13, d: 16, e: {reading}, f: 15}}")).says)
    assert ("E stands out" in said) == marked
    assert ("No reading stands out" in said) != marked


# MOI-2, R p: a wide area dry or moist, then a sudden high, is the finding.
@pytest.mark.parametrize("level", [10, 60])
def test_even_area_has_no_mark_wherever_it_lies(level: int) -> None:
    """An even area isn't marked, however high; a sudden high in it is, where most readings are alike too."""
    even = dict.fromkeys("abcdef", level)
    assert not assessed(fence(places=str(even).replace("'", ""))).suggests
    sudden = {**even, "b": level + 1, "g": level + 20}
    assert "G stands out" in " ".join(assessed(fence(places=str(sudden).replace("'", ""))).says)


@given(st.lists(st.integers(0, 100), min_size=5, max_size=30), st.integers(-50, 50), st.integers(1, 7))
def test_mark_does_not_depend_on_the_scale(values: list[int], shift: int, factor: int) -> None:
    """Whatever zero and step the meter's scale has, the same places stand out."""
    most, other = threshold(values), threshold([factor * v + shift for v in values])
    assert (most is None) == (other is None)
    if most is not None and other is not None:
        assert other == pytest.approx(factor * most + shift)
        assert most > statistics.median(values)


def test_few_readings_are_not_compared() -> None:
    """Four readings have no middle to speak of, and the page says so."""
    found = assessed(fence(places="{a: 14, b: 15, c: 13, d: 80}"))
    assert not found.suggests
    assert any("too few" in s for s in found.says)


def test_surveyors_own_figure_marks_from_the_reference() -> None:
    """`mark above` adds to the dry place's reading; equal to it isn't above it."""
    more = "reference: 12\nmark above: 3\n"
    said = " ".join(assessed(fence(more, "{a: 15, b: 16, c: 14}")).says)
    assert "B stands out" in said
    assert "A and B" not in said
    assert "the surveyor's own figure" in said


@pytest.mark.parametrize(
    ("limit", "outcome"),
    [
        ("maximum: 48", "within"),
        ("maximum: 47.9", "outside"),
        ("difference: 36", "within"),
        ("difference: 35.9", "outside"),
    ],
)
def test_note_limit_is_judged(limit: str, outcome: str) -> None:
    """Only the note's own figure is judged: of a reading, or of its difference from the dry place."""
    found = assessed(fence(f"reference: 12\nlimit: {{{limit}, {SOURCE}}}\n"))
    assert found.outcome == outcome
    assert [j.limit.origin for j in found.judged] == ["note"]
    over = ", over the reference" if "difference" in limit else ""
    assert dict(found.outcomes)[f"a{over}"] == "within"
    assert dict(found.outcomes)[f"e{over}"] == outcome
    assert found.chart is not None
    assert [line["value"] for line in found.chart.data["limits"]] == [
        float(limit.split()[-1]) + (12 if over else 0)
    ]
    assert found.chart.data["outside"] == (("e",) if outcome == "outside" else ())


def test_difference_needs_the_reference() -> None:
    """Without a dry place there is nothing to differ from, and the reason is given."""
    found = assessed(fence(f"limit: {{difference: 20, {SOURCE}}}\n"))
    assert found.outcome == "no limit applies"
    assert "dry reference place" in found.because


def test_gap_is_never_within() -> None:
    """A place not taken leaves the whole not taken; a breach elsewhere is outside all the same."""
    limit = f"limit: {{maximum: 50, {SOURCE}}}\n"
    assert assessed(fence(limit, "{a: 14, b: not taken}")).outcome == "not taken"
    assert assessed(fence(limit, "{a: 51, b: not taken}")).outcome == "outside"
    below = assessed(fence(limit, "{a: 14, b: -3}"))
    assert below.outcome == "not taken"
    assert below.warnings[0][0] == "b: -3 scale units can't be right"


def test_grid_marks_its_cells() -> None:
    """The chart has the reference, the outline, the cells outside and those that stand out."""
    chart = assessed(KIND.example).chart
    assert chart is not None
    assert chart.form == "grid"
    assert chart.data["outline"] == "transom"
    assert chart.data["outside"] == (("middle", "centre"),)
    assert chart.data["marked"] == (("middle", "centre"),)
    assert chart.data["reference"] == {"label": "topsides, port", "value": 12.0}
    assert chart.data["values"][2] == (17.0, 22.0, None)


# MOI-5 and MOI-6, R p: a cored panel's reading doesn't tell skin from core; only a sample or a hole proves.
def test_cored_panel_asks_for_a_sample() -> None:
    """What a high place means in a cored panel is said with how to confirm it."""
    assert any("core sample" in s for s in assessed(fence("cored: yes\n")).suggests)
    assert not any("core sample" in s for s in assessed(fence("cored: no\n")).suggests)


# MOI-7, R p: not just after haul-out, not on a wet deck.
def test_what_the_note_lacks_is_said() -> None:
    """Meter, scale, coating, hours ashore and reference are asked for, and a damp surface is told."""
    said = " ".join(assessed(fence("surface: damp\n")).says)
    assert (
        "Not stated: the meter, its scale, the coating, the hours ashore and a dry reference place." in said
    )
    assert "damp" in said


# Source: surveyors' articles, UK and US (row MOI-3, printed): what else reads high.
@pytest.mark.parametrize(
    "other",
    [
        "bilge water",
        "condensation",
        "a tank",
        "a cable",
        "metal behind the laminate",
        "copper in the paint",
        "salt",
    ],
)
def test_other_causes_are_named(other: str) -> None:
    """A marked place is never told to be wet without the other causes beside it."""
    [said] = [s for s in assessed(fence()).suggests if "suggests moisture there" in s]
    assert other in said


def test_working_gives_middle_edge_and_distance_from_the_reference() -> None:
    """Median of 13 to 16 and 48 is 15 with a middle distance of 1: the edge is 15 + 3.5 / 0.6745 = 20.19."""
    more = "reference: 12\n"
    steps = [(s.step, s.values, s.result) for s in assessed(fence(more)).working]
    assert steps == [
        ("middle reading", "13, 14, 15, 15, 16, 48", "15"),
        ("reading above which one stands out", "15 + 3.5 x 1 / 0.6745", "20.19"),
        ("e above the reference", "48 - 12", "36"),
    ]
    assert not assessed(fence(places="{a: not taken}")).working
    assert [s.step for s in assessed(fence(places="{a: 14, b: 15}")).working] == ["middle reading"]


def test_reading_at_a_dry_place_is_told_beside_the_others() -> None:
    """Readings without a limit mean little without the dry one that they are compared with."""
    assert "with the 12 of a dry place" in assessed(fence("reference: 12\n")).because
    assert "dry place" not in assessed(fence()).because


@pytest.mark.parametrize(("mark", "least"), [("15", "24.38"), ("10", "22")])
def test_the_lower_of_two_marks_counts_and_is_told(mark: str, least: str) -> None:
    """Where readings stand apart by themselves, and by the surveyor's figure, the lower one marks."""
    rows = "".join(f"| {n} | {value} |\n" for n, value in enumerate((12, 13, 13, 13, 14, 19, 21, 33, 46)))
    note = f"kind: moisture\nreference: 12\nmark above: {mark}\n| row | port |\n|---|---|\n{rows}"
    told = " ".join(assessed(note).says)
    assert f"Marked is what reads above {least}, the lower of two: 24.38 by" in told
