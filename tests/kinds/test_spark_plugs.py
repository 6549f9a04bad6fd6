"""Spark plugs: gap and resistance by the maker's figures in the note, evenness and colours told.

No check from outside exists for an outcome: every gap and resistance belongs to one engine and its plug. What
colours suggest is held against the pages that say so.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.blocks.vessel import Engine
from reportgen.kind import About, Assessment
from tests.kinds.noted import FOUR_STROKE, assessed, mistakes

LIMIT = 'limit: {within: [0.033 in, 0.037 in], source: "invented manual 2C"}\n'
FOUR = About(Engine(fuel="gasoline", strokes=4, cylinders=4))


def plugs(gaps: str, more: str = LIMIT, about: About = FOUR_STROKE) -> Assessment:
    """Give the assessment of plugs written in the fence."""
    return assessed(f"kind: spark-plugs\nplugs: {gaps}\n{more}", about)


@pytest.mark.parametrize(
    ("gap", "outcome"),
    [
        ("0.033", "within"),
        ("0.037", "within"),
        ("0.0331", "within"),
        ("0.0329", "outside"),
        ("0.0371", "outside"),
        ("0", "outside"),
        ("0.889 mm", "within"),
        ("0.99 mm", "outside"),
        ("not taken", "not taken"),
    ],
)
def test_gap_by_the_note(gap: str, outcome: str) -> None:
    """A gap equal to an end of the maker's range is within; a bridged one is outside."""
    assert plugs(f"{{1: {gap}}}").outcome == outcome


def test_without_the_note_no_limit_applies() -> None:
    """No gap is known to reportgen, and the reason says whose figure is missing."""
    found = plugs("{1: 0.035, 2: 0.090}", "")
    assert found.outcome == "no limit applies"
    assert "figure of the maker" in found.because


def test_cylinder_missing_is_never_within() -> None:
    """A cylinder that the engine has and the note leaves out is a gap; so is one in between."""
    assert plugs("{1: 0.035, 2: 0.035, 3: 0.035}", about=FOUR).outcome == "not taken"
    assert plugs("{1: 0.035, 3: 0.035}").outcome == "not taken"
    assert plugs("{1: 0.035, 3: 0.050}").outcome == "outside"
    assert plugs("{1: 0.035, 2: 0.035, 3: 0.035, 4: 0.036}", about=FOUR).outcome == "within"
    assert "cylinder 5 of an engine with 4" in plugs("{5: 0.035}", about=FOUR).warnings[0][0]


def test_reason_names_the_cylinder() -> None:
    """The sentence reads as a sentence, with one cylinder or more."""
    assert plugs("{1: 0.035, 2: 0.042}").because.startswith("Cylinder 2 reads 0.042 in;")
    assert plugs("{1: 0.041, 2: 0.042}").because.startswith("Cylinder 1 and cylinder 2 break a limit")


def test_evenness_is_told() -> None:
    """The range of the gaps stands in the working, and is judged by nobody."""
    found = plugs("{1: 0.034, 2: 0.037, 3: 0.035}")
    assert found.outcome == "within"
    assert (found.working[0].result, found.working[0].unit) == ("0.003", "in")
    assert "Gaps: from 0.034 in, cylinder 1, to 0.037 in, cylinder 2." in found.says
    assert "All gaps that were taken are 0.035 in." in plugs("{1: 0.035, 2: 0.035}").says


def test_resistance_has_its_own_limit() -> None:
    """In a table the resistance is held against its own figures and never against the gap's."""
    limit = 'limit: {maximum: {resistance: 7.5 kΩ}, within: {gap: [0.8 mm, 1 mm]}, source: "invented 2C"}\n'
    head = "| cylinder | gap (mm) | resistance (Ω) |\n|---|---|---|\n"
    text = f"kind: spark-plugs\n{limit}{head}"
    assert assessed(f"{text}| 1 | 0.9 | 7500 |\n").outcome == "within"
    worse = assessed(f"{text}| 1 | 0.9 | 7501 |\n")
    assert [j.outcome for j in worse.judged] == ["within", "within", "outside"]
    assert assessed(f"{text}| 1 | 0.9 | - |\n").outcome == "not taken"
    only_gap = f"kind: spark-plugs\n{LIMIT}{head}"
    assert assessed(f"{only_gap}| 1 | 0.9 | - |\n").outcome == "within"


# Source: two makers' manuals, spark plug inspection (plug-colour-manuals); a boating magazine for water.
@pytest.mark.parametrize(
    ("colour", "cause"),
    [
        ("sooty", "mixture too rich"),
        ("sooty, all over", "mixture too rich"),
        ("oily", "worn rings"),
        ("white", "lean mixture"),
        ("worn", "end of its life"),
        ("Water", "head gasket"),
    ],
)
def test_deposits_suggest(colour: str, cause: str) -> None:
    """What a manual says of a deposit is a suggestion with the way to confirm it, never the outcome."""
    found = plugs("{1: 0.035, 2: 0.035}", f'{LIMIT}colours: {{1: tan, 2: "{colour}"}}\n')
    assert found.outcome == "within"
    [said] = found.suggests
    assert said.startswith("Cylinder 2,")
    assert cause in said
    assert "to be confirmed by" in said


def test_only_the_gap_has_a_limit() -> None:
    """Within above a plug with water is of the gap alone, and the sentence says so; so with resistance."""
    colours = "colours: {1: tan, 2: water}\n"
    said = plugs("{1: 0.035, 2: 0.036}", f"{LIMIT}{colours}").because
    assert said.startswith("Only the gap has a limit, not the look of cylinder 2: cylinder 1 reads 0.035 in")
    assert "Only" not in plugs("{1: 0.035, 2: 0.050}", f"{LIMIT}{colours}").because
    assert "Only" not in plugs("{1: 0.035}", f"{LIMIT}colours: {{1: tan}}\n").because
    limit = 'limit: {maximum: {resistance: 7.5 kΩ}, source: "invented 2C"}\n'
    table = "| cylinder | resistance (kΩ) | colour |\n|---|---|---|\n| 1 | 5 | oily |\n"
    assert assessed(f"kind: spark-plugs\n{limit}{table}").because.startswith("Only gap and resistance have")


def test_colours_are_counted_in_the_working() -> None:
    """Each number stands before its colour, and the sum says what it is of."""
    found = plugs("{1: 0.035, 2: 0.035}", "colours: {1: tan, 2: not taken}\n")
    assert ("1 tan", "1 of 2 looked at") in [(s.values, s.result) for s in found.working]


@pytest.mark.parametrize("colour", ["tan", "light brown", "grey", "gray", "brown"])
def test_normal_colours_suggest_nothing(colour: str) -> None:
    """The colours that manuals call normal are told as such."""
    found = plugs("{1: 0.035}", f"{LIMIT}colours: {{1: {colour}}}\n")
    assert not found.suggests
    assert "Cylinder 1: a colour that manuals call normal." in found.says


def test_other_words_stay_as_written() -> None:
    """A colour that is not explained is printed, and said not to be."""
    found = plugs("{1: 0.035}", "colours: {1: violet speckles}\n")
    assert "Not explained here: violet speckles on 1." in found.says
    assert found.chart is not None
    assert found.chart.table.rows == (("1", "0.035", "violet speckles"),)


def test_colours_alone_are_a_reading() -> None:
    """Plugs that were only looked at are counted by colour, and no limit applies."""
    found = assessed('kind: spark-plugs\ncolours: {1: tan, 2: "oily, black", 3: oily, 4: not taken}\n')
    assert found.outcome == "no limit applies"
    assert found.chart is not None
    rows = [(row["label"], row["count"]) for row in found.chart.data["rows"]]
    assert rows == [("tan", 1), ("oily", 2)]
    assert found.chart.table.rows[3] == ("4", "not taken")


@pytest.mark.parametrize(("strokes", "said"), [(4, False), (2, True), (None, True)])
def test_colours_are_for_four_strokes(strokes: int | None, said: bool) -> None:
    """For a two-stroke, or an engine that isn't described, the page says what the manuals are for."""
    about = About(Engine(fuel="gasoline", strokes=strokes))
    found = plugs("{1: 0.035}", "colours: {1: tan}\n", about)
    assert any("two-stroke" in s for s in found.says) is said


def test_table_beside_the_fence_is_told() -> None:
    """With both, the table is judged and the writer is told."""
    table = "| cylinder | gap (in) |\n|---|---|\n| 1 | 0.050 |\n"
    found = plugs("{1: 0.035}", f"{LIMIT}{table}")
    assert found.outcome == "outside"
    assert "beside a table" in found.warnings[0][0]


def test_impossible_figures_are_not_judged() -> None:
    """A gap below nothing is not taken, and the writer is told."""
    found = plugs("{1: -0.035}")
    assert found.outcome == "not taken"
    assert "1: -0.035 in can't be right" in found.warnings[0][0]


def test_nonsense_is_told() -> None:
    """A unit of pressure for a gap, or a limit of a thing that isn't read, is a mistake of the writer."""
    assert "unit of pressure" in mistakes("kind: spark-plugs\nplugs: {1: 3 psi}\n")[0]
    assert mistakes('kind: spark-plugs\nlimit: {maximum: {torque: 3 mm}, source: "invented 1"}\n')


@given(gaps=st.lists(st.integers(20, 50), min_size=1, max_size=8))
def test_millimetres_give_the_same(gaps: list[int]) -> None:
    """Gaps in millimetres are judged as in inches."""
    inches = ", ".join(f"{n}: {gap / 1000} in" for n, gap in enumerate(gaps, 1))
    metric = ", ".join(f"{n}: {gap * 0.0254:.6f} mm" for n, gap in enumerate(gaps, 1))
    outcome = "within" if all(33 <= gap <= 37 for gap in gaps) else "outside"
    assert plugs(f"{{{inches}}}").outcome == plugs(f"{{{metric}}}").outcome == outcome


def test_chart_has_the_maker_s_lines() -> None:
    """Bars of the gaps with both ends of the range; remarks stand in the table."""
    head = "| cylinder | gap (in) | colour | remark |\n|---|---|---|---|\n"
    table = f"{head}| 1 | 0.05 | tan | |\n| 2 | - | - | lost |\n"
    chart = assessed(f"kind: spark-plugs\n{LIMIT}{table}").chart
    assert chart is not None
    assert [line["value"] for line in chart.data["limits"]] == [0.033, 0.037]
    assert chart.data["outside"] == ("1",)
    assert chart.table.rows == (
        ("1", "0.05, outside", "tan", "-"), ("2", "not taken", "not taken", "lost"),
    )  # fmt: skip
