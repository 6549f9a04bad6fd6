"""Scales: round numbers within the ends, not too many, printed with the decimals that they need."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.scales import ticks


@pytest.mark.parametrize(
    ("low", "high", "texts"),
    [
        (0, 152, ["0", "50", "100", "150"]),
        (0, 0.011, ["0.000", "0.005", "0.010"]),
        (-1080, -690, ["\N{MINUS SIGN}1000", "\N{MINUS SIGN}900", "\N{MINUS SIGN}800", "\N{MINUS SIGN}700"]),
        (-0.3, 0.3, ["\N{MINUS SIGN}0.2", "0.0", "0.2"]),
        (12.1, 12.9, ["12.2", "12.4", "12.6", "12.8"]),
        (0, 5, ["0", "2", "4"]),
    ],
)
def test_round_numbers(low: float, high: float, texts: list[str]) -> None:
    """Steps of 1, 2 or 5, with as many decimals as the step has."""
    assert [text for _, text in ticks(low, high, 5)] == texts


def test_no_scale_no_numbers() -> None:
    """Ends alike, the wrong way round or without end give none."""
    assert ticks(3, 3) == ticks(4, 3) == ticks(0, float("inf")) == ticks(0, 1, 0) == ()


@given(st.floats(-1e3, 1e3), st.floats(1e-3, 1e6), st.integers(1, 9))
def test_within_the_ends_and_not_too_many(low: float, width: float, most: int) -> None:
    """Property: within the ends to rounding, rising by one step, at most as many as asked."""
    found = [value for value, _ in ticks(low, low + width, most)]
    slack = width * 1e-6 + 1e-9
    assert len(found) <= most
    assert all(low - slack <= value <= low + width + slack for value in found)
    steps = [b - a for a, b in itertools.pairwise(found)]
    assert all(step == pytest.approx(steps[0], rel=1e-6) for step in steps)
