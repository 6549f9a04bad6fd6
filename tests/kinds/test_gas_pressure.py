"""Gas pressure: no drop over ten minutes, on, inside and outside; a short time proves nothing."""

from __future__ import annotations

import pytest

from reportgen.kinds.gas_pressure import KIND
from tests.kinds.noted import assessed, mistakes


def outcome(start: str, end: str, held: str = "10 min") -> str:
    """Give the outcome of a test."""
    return assessed(f"kind: gas-pressure\nstart: {start}\nend: {end}\nheld: {held}\n").outcome


# Source: 46 CFR 58.16-30(j), October 2004: cylinder closed, the pressure should remain constant for at least
# ten minutes (section read; the number of minutes from memory).
@pytest.mark.parametrize(
    ("start", "end", "held", "said"),
    [
        ("104 psi", "104 psi", "10 min", "within"),
        ("104 psi", "103.9 psi", "10 min", "outside"),
        ("104 psi", "104 psi", "9.9 min", "outside"),
        ("104 psi", "104 psi", "600 s", "within"),
        ("7.1705 bar", "717.05 kPa", "15 min", "within"),
        ("30 mbar", "29 mbar", "15 min", "outside"),
    ],
)
def test_constant_for_ten_minutes(start: str, end: str, held: str, said: str) -> None:
    """Equal is constant, in whatever unit; any drop and any shorter time is not."""
    assert outcome(start, end, held) == said


def test_gap_is_never_within() -> None:
    """Without the end or the time nothing is within; a drop is outside all the same."""
    assert assessed("kind: gas-pressure\nstart: 104 psi\nheld: 12 min\n").outcome == "not taken"
    assert assessed("kind: gas-pressure\nstart: 104 psi\nend: 104 psi\n").outcome == "not taken"
    assert assessed("kind: gas-pressure\nstart: 104 psi\nend: 99 psi\n").outcome == "outside"
    assert assessed("kind: gas-pressure\nheld: 12 min\n").outcome == "not taken"


def test_note_replaces_the_time() -> None:
    """Another rule with its source is followed: five minutes are enough there."""
    limit = "limit: {minimum: {held: 5 min}, source: invented code of gas fitters}"
    assert (
        assessed(f"kind: gas-pressure\nstart: 30 mbar\nend: 30 mbar\nheld: 5 min\n{limit}\n").outcome
        == "within"
    )


def test_slips_are_told_and_not_judged() -> None:
    """A pressure that rises, or none at all, was misread."""
    for start, end in (("104 psi", "120 psi"), ("0 psi", "0 psi")):
        found = assessed(f"kind: gas-pressure\nstart: {start}\nend: {end}\nheld: 12 min\n")
        assert found.outcome == "not taken"
        assert found.warnings
    assert mistakes("kind: gas-pressure\nstart: 3 kn\n")


def test_a_leak_says_what_to_do_and_is_a_stop() -> None:
    """A licensed fitter, soapy water, no flame; unanswered it forbids using the boat."""
    found = assessed(KIND.example)
    assert found.outcome == "outside"
    assert "licensed gas fitter" in found.suggests[0]
    assert KIND.unanswered == "stop"
    assert found.criteria


def test_chart_draws_what_has_to_be_left() -> None:
    """Without a drop all of the start has to be left, and an end below it is marked."""
    chart = assessed("kind: gas-pressure\nstart: 30 mbar\nend: 22 mbar\nheld: 10 min\n").chart
    assert chart is not None
    assert [(line["value"], line["side"]) for line in chart.data["limits"]] == [(30.0, "minimum")]
    assert (chart.data["labels"], chart.data["outside"]) == (("start", "end"), ("end",))
