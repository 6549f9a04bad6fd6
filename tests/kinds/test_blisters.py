"""Blisters: density by area, sizes and depths, judged by the note alone.

No outside check with a number exists: rows BLI-1 to BLI-5 are rules in words, and no size classes are
published (BLI-4: common practice). Not computed: BLI-2 and BLI-3 (why blisters form, and that gel-coat
thickness governs when), causes and no measure. Densities are computed by hand.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import units
from reportgen.kinds.blisters import KIND, density
from tests.kinds.noted import assessed, mistakes

HEAD = """| area | looked at (m²) | blisters | largest (mm) | gel coat | first ply | laminate |
|---|---|---|---|---|---|---|
"""
SOURCE = 'source: "invented contract 7"'


def counted(rows: str, limit: str = "", head: str = HEAD) -> str:
    """Give a fence with its table."""
    line = f"limit: {{maximum: {{{limit}}}, {SOURCE}}}\n" if limit else ""
    return f"kind: blisters\n{line}{head}{rows}\n"


# BLI-4, C: no published size classes; sizes and depths are told and judged by nobody but the note.
def test_no_limit_is_published() -> None:
    """Many large and deep blisters are not judged where the note gives no figure."""
    found = assessed(counted("| bottom | 1 | 400 | 50 | 1 | 2 | 3 |"))
    assert found.outcome == "no limit applies"
    assert "is published" in found.because
    assert "Of 6 opened: 1 gel coat, 2 first ply and 3 laminate." in found.says


@pytest.mark.parametrize(
    ("row", "result"),
    [("| a | 2 | 14 | 8 | - | - | - |", "7"), ("| a | 1.5 | 24 | 8 | - | - | - |", "16")],
)
def test_density_by_hand(row: str, result: str) -> None:
    """14 in 2 m² are 7 per m², 24 in 1.5 m² are 16; the step shows the figures."""
    [step] = assessed(counted(row)).working
    assert (step.result, step.unit) == (result, "per m²")


@given(st.integers(0, 10000), st.floats(0.01, 1000))
def test_density_in_feet_agrees(count: int, area: float) -> None:
    """Counted per m² or per ft², the density is the same."""
    in_feet = count / units.convert(area, "m²", "ft²")
    assert units.convert(in_feet, "per ft²", "per m²") == pytest.approx(density(count, area))


@pytest.mark.parametrize(
    ("limit", "outcome"),
    [
        ("density: 7", "within"),
        ("density: 6.99", "outside"),
        ("density: 0.651 per ft²", "within"),  # 7.007 per m²
        ("density: 0.65 per ft²", "outside"),  # 6.997 per m²
        ("largest: 8 mm", "within"),
        ("largest: 7.9", "outside"),
        ("largest: 0.3 in", "outside"),
        ("blisters: 14", "within"),
        ("blisters: 13", "outside"),
        ("laminate: 0", "within"),
        ("first ply: 0", "outside"),
    ],
)
def test_note_limit_by_column(limit: str, outcome: str) -> None:
    """A figure of the note is held against its column, on the limit and just over it, in other units too."""
    found = assessed(counted("| a | 2 | 14 | 8 | 3 | 1 | 0 |", limit))
    assert found.outcome == outcome
    assert [j.limit.origin for j in found.judged] == ["note"]


def test_limit_of_an_unknown_column() -> None:
    """A limit for a column that isn't there is a mistake with the columns to write."""
    [said] = mistakes(counted("| a | 2 | 14 | 8 | 3 | 1 | 0 |", "depth: 3 mm"))
    assert "density" in said


def test_gap_is_never_within() -> None:
    """An area without its size has no density; none found needs neither size nor depth."""
    assert assessed(counted("| a | - | 14 | 8 | - | - | - |", "density: 100")).outcome == "not taken"
    assert assessed(counted("| a | 2 | 14 | - | - | - | - |", "largest: 10")).outcome == "not taken"
    assert assessed(counted("| a | 2 | 14 | 8 | - | - | - |", "laminate: 0")).outcome == "not taken"
    clean = counted(
        "| a | 2 | 14 | 8 | 1 | 0 | 0 |\n| b | 2 | 0 | - | - | - | - |", "largest: 10, laminate: 0"
    )
    assert assessed(clean).outcome == "within"
    alike = counted("| a | 2 | 0 | - | - | - | - |\n| a, aft | 2 | 9 | - | 1 | 0 | 0 |", "largest: 10")
    assert assessed(alike).outcome == "not taken"


@pytest.mark.parametrize(
    "row",
    ["| a | 0 | 14 | 8 | - | - | - |", "| a | 2 | -3 | 8 | - | - | - |", "| a | 2 | 1.5 | 8 | - | - | - |"],
)
def test_impossible_figures_are_not_judged(row: str) -> None:
    """No area, fewer than none, half a blister: not taken, with a word to the writer."""
    found = assessed(counted(row, "density: 100"))
    assert found.outcome == "not taken"
    assert "can't be right" in found.warnings[0][0]


def test_more_opened_than_counted() -> None:
    """Depths that do not add up are told."""
    [(found, _)] = assessed(counted("| a | 2 | 3 | 8 | 3 | 1 | 0 |")).warnings
    assert found == "a: more blisters opened than counted"


# BLI-5, R p: structural damage is rare; depth matters more than number. BLI-1, R p: three kinds of cause.
def test_what_depth_suggests() -> None:
    """Shallow ones bring the published word that damage is rare; deep ones a look by a laminator."""
    [shallow] = assessed(counted("| a | 2 | 3 | 8 | 3 | 0 | 0 |")).suggests
    assert "rare" in shallow
    [deep] = assessed(counted("| a | 2 | 3 | 8 | 1 | 1 | 1 |")).suggests
    assert "into the laminate at a suggest" in deep
    assert not assessed(counted("| a | 2 | 0 | - | - | - | - |")).suggests
    assert any("left-in material, stress and slow breakdown" in s for s in KIND.proves_not)


def test_chart_shows_density_with_its_line() -> None:
    """Bars are densities with the note's line; the table has every column, what is outside marked."""
    chart = assessed(KIND.example).chart
    assert chart is not None
    assert chart.data["series"][0]["values"] == (7.0, 16.0, 0.0)
    assert [line["value"] for line in chart.data["limits"]] == [10.0]
    assert chart.data["outside"] == ("bottom port, aft",)
    assert chart.table.header[-1] == "density (per m²)"
    assert chart.table.rows[1][-1] == "16, outside"
