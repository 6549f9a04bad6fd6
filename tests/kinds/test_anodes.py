"""Anodes: percent left, judged by the note's figure only.

No outside check exists: no standard says when an anode is to be replaced; the guides that were read differ
(half gone, or 40 % left), and both are listed as common practice.
"""

from __future__ import annotations

import pytest

from tests.kinds.noted import assessed, mistakes

LIMIT = 'limit: {minimum: 50 %, source: "invented yard standard 12"}\n'


@pytest.mark.parametrize(
    ("left", "result"), [("50 %", "within"), ("51", "within"), ("49.9 %", "outside"), ("0", "outside")]
)
def test_note_limit(left: str, result: str) -> None:
    """Percent left is held to the note's minimum; equal to it is within; a bare number is percent."""
    assert assessed(f"kind: anodes\nanodes: {{shaft: {left}}}\n{LIMIT}").outcome == result
    assert assessed(f"kind: anodes\nanodes: {{shaft: {left}}}\n").outcome == "no limit applies"


@pytest.mark.parametrize(
    ("left", "said"),
    [("51", ""), ("50", "Half gone"), ("41", "Half gone"), ("40", "At or below 40 %"), ("0", "At or below")],
)
def test_what_the_guides_say_is_told(left: str, said: str) -> None:
    """Where the guides read ask for a new anode the page says so, and judges nothing."""
    found = assessed(f"kind: anodes\nanodes: {{shaft: {left}}}\n")
    told = [s for s in found.says if s.endswith("shaft.")]
    assert [s.startswith(said) for s in told] == ([True] if said else [])
    assert not found.judged
    assert all("no standard" in c for c in found.criteria)


@pytest.mark.parametrize(("left", "word"), [("100", "unconnected"), ("0", "wasted instead"), ("60", "")])
def test_nothing_gone_and_nothing_left_are_suspect(left: str, word: str) -> None:
    """Both ends suggest something, each with how to confirm it."""
    found = assessed(f"kind: anodes\nanodes: {{shaft: {left}}}\n")
    assert [word in s and "to be confirmed" in s for s in found.suggests] == ([True] if word else [])


@pytest.mark.parametrize(
    ("alloy", "water", "warned"),
    [
        ("magnesium", "sea", True),
        ("magnesium", "fresh", False),
        ("zinc", "fresh", True),
        ("zinc", "sea", False),
    ],
)
def test_wrong_alloy_for_the_water(alloy: str, water: str, warned: bool) -> None:
    """Magnesium in the sea and zinc in fresh water are told."""
    found = assessed(f"kind: anodes\nanodes: {{a: 60}}\nalloy: {alloy}\nwater: {water}\n")
    assert any(s.startswith(("Magnesium", "Zinc")) for s in found.says) == warned


def test_gap_slip_and_unit() -> None:
    """A gap is never within; more than a whole anode or less than none is no value; mm are no percent."""
    assert assessed(f"kind: anodes\nanodes: {{a: 60, b: not taken}}\n{LIMIT}").outcome == "not taken"
    assert assessed(f"kind: anodes\nanodes: {{a: 30, b: not taken}}\n{LIMIT}").outcome == "outside"
    for odd in ("101", "-1"):
        found = assessed(f"kind: anodes\nanodes: {{a: 60, b: {odd}}}\n{LIMIT}")
        assert found.outcome == "not taken"
        assert found.warnings[0][0] == f"b: {odd} % can't be right"
    assert mistakes("kind: anodes\nanodes: {a: 30 mm}\n")


def test_working_and_chart() -> None:
    """What is gone stands in the working, what is left in the bars with the note's line."""
    found = assessed(f"kind: anodes\nanodes: {{a: 35, b: 60}}\n{LIMIT}")
    assert [(s.step, s.result) for s in found.working[:2]] == [("gone of a", "65"), ("gone of b", "40")]
    assert found.chart is not None
    assert found.chart.data["outside"] == ("a",)
    assert [line["value"] for line in found.chart.data["limits"]] == [50.0]
