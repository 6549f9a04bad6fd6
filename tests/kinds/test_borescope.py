"""Borescope: words by cylinder, counted and printed; no limit, and what was not looked at is said.

No check from outside exists: what is seen has no number, and no page read gives a limit for it.
"""

from __future__ import annotations

import pytest

from reportgen.blocks.vessel import Engine
from reportgen.errors import Problems
from reportgen.kind import About, Assessment
from tests.kinds.noted import FOUR_STROKE, assessed, mistakes, noted

FOUR = About(Engine(fuel="gasoline", strokes=4, cylinders=4))


def looked(words: str, about: About = FOUR_STROKE) -> Assessment:
    """Give the assessment of cylinders written in the fence."""
    return assessed(f"kind: borescope\ncylinders: {words}\n", about)


@pytest.mark.parametrize("seen", ["clean", "scoring", "water", "hole in the crown"])
def test_no_limit_applies_whatever_was_seen(seen: str) -> None:
    """A word is never within: even clean passes nothing, and even a hole is left to the findings."""
    found = looked(f"{{1: {seen}}}")
    assert found.outcome == "no limit applies"
    assert not found.judged
    assert "nobody publishes a limit" in found.because


def test_cylinders_not_looked_at_are_said() -> None:
    """Those of the engine that nobody named are told, and nothing seen at all is not taken."""
    found = looked("{1: clean, 3: not taken, 4: clean}", FOUR)
    assert [s for s in found.says if s.startswith("Not taken")] == [
        "Not taken: cylinder 2.", "Not taken: cylinder 3.",
    ]  # fmt: skip
    assert dict(found.outcomes)["cylinder 2"] == "not taken"
    assert looked("{1: -, 2: not taken}").outcome == "not taken"
    assert "cylinder 5 of an engine with 4" in looked("{5: clean}", FOUR).warnings[0][0]


def test_why_not_is_kept() -> None:
    """The reason why a cylinder was not looked at stands on the page, from the fence and from a table."""
    assert "Not taken: cylinder 2, plug stuck." in looked('{1: clean, 2: "not taken: plug stuck"}').says
    table = "| cylinder | seen |\n|---|---|\n| 1 | clean |\n| 2 | not taken: plug stuck |\n"
    assert "Not taken: cylinder 2, plug stuck." in assessed(f"kind: borescope\n{table}").says


def test_words_are_counted_by_what_stands_before_the_comma() -> None:
    """Two scorings in different places are two scorings; clean stands first, upper case does not matter."""
    found = looked('{1: "scoring, thrust side", 2: clean, 3: Scoring, 4: -}')
    assert found.chart is not None
    rows = [(row["label"], row["count"]) for row in found.chart.data["rows"]]
    assert rows == [("clean", 1), ("scoring", 2)]
    assert found.chart.alt == "Borescope of 3 of 4 cylinders: 1 clean, 2 scoring; not taken: 4."
    assert found.working[0].result == "3 of 4"
    assert "Cylinder 1: scoring, thrust side." in found.says


@pytest.mark.parametrize("sign", ["scoring", "rust", "pitting", "water", "wash", "carbon", "damage"])
def test_what_is_seen_is_a_suggestion(sign: str) -> None:
    """Each sign suggests something and how to confirm it; a clean cylinder suggests nothing."""
    [said] = looked(f"{{1: clean, 2: {sign}}}").suggests
    assert said.startswith(f"Cylinder 2, {sign}: suggests ")
    assert "to be confirmed by" in said
    assert not looked("{1: clean}").suggests
    assert any("common practice, no source" in s for s in looked(f"{{1: {sign}}}").says)


# Source: a service bulletin for aircraft engines, one sentence, second-hand (borescope-bulletin).
def test_pressure_test_is_asked_for() -> None:
    """The page says that a look is used together with a pressure test."""
    assert any("together with a pressure test" in s for s in looked("{1: clean}").says)


def test_what_could_be_reached_is_asked_for() -> None:
    """Unless the note says what the scope could show, the page says that it is not stated."""
    assert any("is not stated" in s for s in looked("{1: clean}").says)
    told = assessed("kind: borescope\ncylinders: {1: clean}\nreached: walls and crowns\n")
    assert not any("is not stated" in s for s in told.says)


def test_table_with_remarks_and_the_fence_beside_it() -> None:
    """A table's remarks are printed; with both, the table counts and the writer is told."""
    table = "| cylinder | seen | remark |\n|---|---|---|\n| 2 | rust, ring of it | old |\n| 1 | clean | |\n"
    found = assessed(f"kind: borescope\ncylinders: {{1: scoring}}\n{table}")
    assert found.chart is not None
    assert found.chart.table.header == ("Cylinder", "seen", "remark")
    assert found.chart.table.rows == (("1", "clean", "-"), ("2", "rust, ring of it", "old"))
    assert "beside a table" in found.warnings[0][0]


def test_words_of_a_table_reach_its_rows() -> None:
    """A column of words is kept with its row: text, or why there is none."""
    table = "| cylinder | seen |\n|---|---|\n| 1 | clean |\n| 2 | not taken: plug stuck |\n| 3 | - |\n"
    reading = noted(f"kind: borescope\n{table}", Problems())
    assert reading.table is not None
    words = [(row.name, *((w.name, w.text, w.why) for w in row.words)) for row in reading.table.rows]
    assert words == [
        ("1", ("seen", "clean", "")), ("2", ("seen", "", "plug stuck")), ("3", ("seen", "", "")),
    ]  # fmt: skip


def test_nonsense_is_told() -> None:
    """A column that isn't read, or a limit, is a mistake of the writer."""
    assert "unknown column" in mistakes("kind: borescope\n| cylinder | depth |\n|---|---|\n| 1 | 3 |\n")[0]
    assert mistakes('kind: borescope\nlimit: {maximum: 3 mm, source: "invented 1"}\n')
