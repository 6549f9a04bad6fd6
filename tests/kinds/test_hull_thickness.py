"""Hull thickness: wastage against the published figures for steel, over-nominal plate, lists and grids."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.kind import About
from reportgen.kinds.hull_thickness import KIND, OVER_NOMINAL
from reportgen.plates import wastage
from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented insurer\'s guide 7"'
STEEL = "kind: hull-thickness\nmetal: steel\noriginal is: drawing\n"


def listed_plate(rows: str, more: str = "", unit: str = "in") -> str:
    """Give a fence with a list, rows as `place original measured` parted by semicolons."""
    lines = "\n".join("| " + " | ".join(r.split()) + " |" for r in rows.split(";"))
    return f"{STEEL}{more}| place | original ({unit}) | measured ({unit}) |\n|---|---|---|\n{lines}\n"


# UT-1, UT-2, UT-3, UT-5, UT-6, UT-7, R k: wastage against 25 % (UT-R1, R p, para 2-2a and E-10 of the
# bulletin that reprints NVIC 7-68).
@pytest.mark.parametrize(
    ("original", "measured", "unit", "percent", "outcome"),
    [
        (0.25, 0.2, "in", 20.0, "within"),
        (0.25, 0.1875, "in", 25.0, "within"),
        (0.25, 0.187, "in", 25.2, "outside"),
        (0.3125, 0.23, "in", 26.4, "outside"),
        (6.0, 4.6, "mm", 23.3, "within"),
        (6.0, 4.4, "mm", 26.7, "outside"),
    ],
)
def test_wastage_of_steel(original: float, measured: float, unit: str, percent: float, outcome: str) -> None:
    """The row's percent stands in the working, and its verdict is the outcome; equal to 25 % is within."""
    found = assessed(listed_plate(f"bow {original} {measured}", unit=unit))
    assert found.outcome == outcome
    assert wastage(original, measured) == pytest.approx(percent, abs=0.05)
    assert found.working[0].result == f"{percent:g}"
    assert [(j.limit.value, j.limit.source_id) for j in found.judged] == [(25.0, "nvic-7-68")]


# UT-R3, R k: 0.25 in worn to 0.21 is 16 %, over the reduced limit of 15 % (E-12).
@pytest.mark.parametrize(
    ("light", "measured", "outcome"),
    [("yes", 0.21, "outside"), ("yes", 0.2125, "within"), ("yes", 0.2124, "outside"), ("no", 0.21, "within")],
)
def test_light_scantlings(light: str, measured: float, outcome: str) -> None:
    """15 % holds only where the note says that she was built light."""
    more = f"light scantlings: {light}\n"
    assert assessed(listed_plate(f"deck 0.25 {measured}", more)).outcome == outcome


# UT-R4, R p: E-11, 3/16 in plate may be 14 % over when new; a true 0.205 worn to 0.160 is 22 % down, but only
# 14.7 % against nominal.
def test_over_nominal_plate_hides_wastage() -> None:
    """Against nominal the loss reads low: the page says so and works out what it may be."""
    light = "light scantlings: yes\n"
    true = assessed(listed_plate("deck 0.205 0.160", light))
    assert (true.working[0].result, true.outcome) == ("22", "outside")
    text = listed_plate("deck 0.1875 0.160", light).replace("original is: drawing", "original is: nominal")
    nominal = assessed(text)
    assert (nominal.working[0].result, nominal.outcome) == ("14.7", "within")
    [worse] = [s for s in nominal.working if "14 % over" in s.step]
    assert worse.result == "25.1"
    assert abs(0.1875 * (1 + OVER_NOMINAL / 100) - 0.213) < 0.001
    assert any("14 % thicker" in s and "deck could be outside" in s for s in nominal.says)
    assert not any("14 % thicker" in s for s in true.says)
    enough = assessed(text.replace("0.160", "0.184"))
    assert not any("could be outside" in s for s in enough.says)


# UT-R5, R p: E-11 a, plate of 0.200 to 0.590 in may be at most 0.016 in under nominal.
def test_thinner_when_new_is_said() -> None:
    """By a nominal thickness plate that was new and thin looks wasted: 0.25 in less 0.016 in is 6.4 %."""
    text = listed_plate("deck 0.25 0.234").replace("original is: drawing", "original is: nominal")
    found = assessed(text)
    assert (found.working[0].result, found.outcome) == ("6.4", "within")
    assert any("0.016 in thinner than nominal" in s for s in found.says)


# UT-R2, R p: guidance, no pass or fail, both ways; UT-R6, R p: check the gauge on the vessel.
def test_guidance_is_said() -> None:
    """That judgement goes both ways stands beside every outcome by the published figure, and only there."""
    for measured in (4.0, 5.9):
        found = assessed(listed_plate(f"bow 6 {measured}", unit="mm"))
        assert any("guidance" in s and "more may be" in s and "less may" in s for s in found.says)
        assert any("gauge was checked" in s for s in found.says)
    own = assessed(listed_plate("bow 6 5.9", f"limit: {{wastage: 20 %, {SOURCE}}}\n", "mm"))
    assert not any("guidance" in s for s in own.says)


@pytest.mark.parametrize(
    ("metal", "about", "outcome"),
    [
        ("steel", About(), "outside"),
        ("", About(material="steel, multi-chine"), "outside"),
        ("", About(material="steel hull, aluminium house"), "no limit applies"),
        ("", About(), "no limit applies"),
        ("aluminium", About(material="steel"), "no limit applies"),
        ("", About(material="welded aluminum"), "no limit applies"),
    ],
)
def test_published_figure_is_for_steel(metal: str, about: About, outcome: str) -> None:
    """The circular is for steel hulls: aluminium, or a metal not told, takes the note's figure only."""
    text = listed_plate("bow 6 4", unit="mm").replace("metal: steel\n", f"metal: {metal}\n" if metal else "")
    found = assessed(text, about)
    assert found.outcome == outcome
    assert ("steel" in found.because) == (outcome == "no limit applies")
    limit = f"limit: {{wastage: 30 %, {SOURCE}}}\n| place"
    assert assessed(text.replace("| place", limit), about).outcome == "outside"


@pytest.mark.parametrize(
    ("limit", "outcome"),
    [
        ("wastage: 10 %", "within"),
        ("wastage: 9.9 %", "outside"),
        ("minimum: 5.4 mm", "within"),
        ("minimum: 5.41 mm", "outside"),
        ("wastage: {bow: 9 %}", "outside"),
        ("wastage: {stern: 1 %}", "within"),
        ("minimum: {stern: 5.95 mm}", "outside"),
    ],
)
def test_note_limit(limit: str, outcome: str) -> None:
    """Wastage or thickness, for all or by the row's name; the published figure stays for the others."""
    rows = "bow 6 5.4;stern 6 5.94"
    found = assessed(listed_plate(rows, f"limit: {{{limit}, {SOURCE}}}\n", "mm"))
    assert found.outcome == outcome
    assert any(j.limit.origin == "note" for j in found.judged)
    assert found.chart is not None
    assert found.chart.data["outside"] == (
        () if outcome == "within" else ("stern",) if "stern" in limit else ("bow",)
    )


def test_original_of_the_fence_and_of_the_row() -> None:
    """A row without an original takes the fence's; without any the loss of that place is not taken."""
    rows = "bow 5 4;stern - 4"
    found = assessed(listed_plate(rows, "original: 0.25 in\n", "mm"))
    assert found.outcome == "outside"
    assert dict(found.outcomes) == {"bow": "within", "stern": "outside"}
    less = assessed(listed_plate(rows, unit="mm"))
    assert less.outcome == "not taken"
    assert any("stern, its original thickness is not known" in s for s in less.says)
    none = assessed(listed_plate("bow - 4;stern - 5", unit="mm"))
    assert none.outcome == "no limit applies"
    assert "original thickness is not stated" in none.because
    bound = listed_plate("bow - 4;stern - 5", f"limit: {{minimum: 4.5 mm, {SOURCE}}}\n", "mm")
    assert assessed(bound).outcome == "outside"


GRID = f"""{STEEL}original: 6 mm
| strake | frame 2 | frame 6 |
|---|---|---|
| port | 5.5 | {{0}} |
| starboard | 5.7 | 5.6 |
"""


@pytest.mark.parametrize(
    ("value", "outcome"),
    [("4.5", "within"), ("4.49", "outside"), ("-", "not taken"), ("0", "not taken"), ("<1", "not taken")],
)
def test_grid_is_a_map_of_thickness(value: str, outcome: str) -> None:
    """A grid takes the fence's original; the map frames what is outside and shows the original beside it."""
    found = assessed(GRID.format(value))
    assert found.outcome == outcome
    assert found.chart is not None
    assert found.chart.form == "grid"
    assert found.chart.data["outside"] == ((("port", "frame 6"),) if outcome == "outside" else ())
    assert found.chart.data["reference"] == {"label": "original", "value": 6.0}
    assert bool(found.warnings) == (value == "0")


def test_inches_and_millimetres_come_out_alike() -> None:
    """A grid in thousandths of an inch with the original in mm is judged by the same percent."""
    thou = GRID.format("177").replace("frame 6", "frame 6 (thou)")
    thou = thou.replace("5.6 |", "220 |")
    assert assessed(thou).outcome == "outside"  # 4.496 mm
    assert assessed(thou.replace("177", "178")).outcome == "within"  # 4.521 mm


def test_double_echo_is_not_judged() -> None:
    """Twice the plate is a double echo, told to the writer, never a plate in good order."""
    found = assessed(GRID.format("11.2"))
    assert found.outcome == "not taken"
    assert "double echo" in found.warnings[0][0]
    thicker = assessed(GRID.format("6.3"))
    assert thicker.outcome == "within"
    assert any("Thicker than the original" in s and "frame 6" in s for s in thicker.says)


def test_mistakes_are_told() -> None:
    """A unit of something else, an original below zero, a limit for no row, an original by itself."""
    assert mistakes(listed_plate("bow 6 5", unit="psi"))
    odd = assessed(GRID.format("5").replace("original: 6", "original: -6"))
    assert odd.outcome == "no limit applies"
    assert odd.warnings[0][0] == "original: -6 mm can't be right"
    strange = f"limit: {{wastage: {{sternn: 9 %}}, {SOURCE}}}\n"
    assert "sternn" in assessed(listed_plate("bow 6 5", strange, "mm")).warnings[0][0]
    lone = assessed(listed_plate("bow 6 5", unit="mm").replace("measured", "mesured"))
    assert "without a column measured" in lone.warnings[0][0]


@given(st.integers(1, 900), st.integers(1, 900))
def test_wastage_is_the_share_gone(original: int, measured: int) -> None:
    """What is gone and what is left make up the whole."""
    assert wastage(original, measured) + 100 * measured / original == pytest.approx(100)


def test_unanswered_stops() -> None:
    """An outside reading that no finding answers forbids use until a surveyor has judged it."""
    assert KIND.unanswered == "stop"


@pytest.mark.parametrize(
    ("light", "measured", "said"),
    [
        ("", "4.2", ("not stated: taken as not", "16 % at deck would be outside")),
        ("light scantlings: no\n", "4.2", ("The surveyor says", "16 % at deck would be outside")),
        ("light scantlings: no\n", "4.6", ("The surveyor says",)),
        ("light scantlings: yes\n", "4.2", ()),
    ],
)
def test_which_figure_counts_is_said(light: str, measured: str, said: tuple[str, ...]) -> None:
    """Why 25 % and not 15 % counts is told, and where the other one would be broken."""
    told = " ".join(assessed(listed_plate(f"deck 5 {measured}", light, "mm")).says)
    assert all(words in told for words in said)
    assert ("would be outside" in told) == any("would be" in words for words in said)
    assert ("The surveyor says" in told or "not stated: taken" in told) == bool(said)
