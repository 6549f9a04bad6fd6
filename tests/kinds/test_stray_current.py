"""Stray current: sizes and rises, judged by the note's figures only.

No outside check exists: no standard that limits stray direct current was found, only two guides that name
about 1 mA and measure in different places. The arithmetic is a difference and is checked by hand.
"""

from __future__ import annotations

import pytest

from tests.kinds.noted import assessed, mistakes

SOURCE = 'source: "invented yard standard 12"'


def outcome(values: str, more: str) -> str:
    """Give the outcome of currents in mA."""
    return assessed(f"kind: stray-current\ncircuits: {values}\n{more}").outcome


def test_without_a_figure_no_limit_applies() -> None:
    """A large current is shown with what the guides say, and not judged."""
    found = assessed("kind: stray-current\ncircuits: {pump: 40}\nall off: 0.1 mA\n")
    assert found.outcome == "no limit applies"
    assert not found.judged
    assert any("1 mA" in s and "pump" in s for s in found.says)
    assert len(found.criteria) == 2


@pytest.mark.parametrize(
    ("limit", "result"),
    [
        ("maximum: 3 mA", "within"),
        ("maximum: 2.99 mA", "outside"),
        ("difference: 2.5 mA", "within"),
        ("difference: 2.49 mA", "outside"),
    ],
)
@pytest.mark.parametrize("sign", ["", "-"])
def test_note_limit(limit: str, result: str, sign: str) -> None:
    """Size and rise are judged without their sign; equal to the figure is within."""
    more = f"all off: {sign}0.5 mA\nlimit: {{{limit}, {SOURCE}}}\n"
    assert outcome(f"{{pump: {sign}3}}", more) == result
    assert outcome(f"{{pump: {sign}0.003 A}}", more) == result


def test_rise_counts_the_direction() -> None:
    """From 0.5 one way to 2 the other way is a rise of 2.5."""
    found = assessed("kind: stray-current\ncircuits: {pump: -2}\nall off: 0.5 mA\n")
    assert {s.step: s.result for s in found.working}["rise by pump"] == "2.5 mA"
    assert dict(found.outcomes) == {
        "all off": "no limit applies",
        "pump": "no limit applies",
        "pump, rise over all off": "no limit applies",
    }


def test_difference_needs_all_off() -> None:
    """Without it no limit applies, and the reason is given."""
    found = assessed(f"kind: stray-current\ncircuits: {{a: 3}}\nlimit: {{difference: 1 mA, {SOURCE}}}\n")
    assert found.outcome == "no limit applies"
    assert "every circuit off" in found.because


@pytest.mark.parametrize(("value", "named"), [("1.2", False), ("1.21", True), ("not taken", False)])
def test_leak_is_suggested_by_the_rise(value: str, named: bool) -> None:
    """A circuit that adds more than 1 mA is named, as a suggestion with how to confirm it."""
    found = assessed(f"kind: stray-current\ncircuits: {{a: {value}, b: 0.2}}\nall off: 0.2 mA\n")
    assert any("rise with a suggests" in s and "to be confirmed" in s for s in found.suggests) == named


def test_gap_and_unit() -> None:
    """A gap is never within; ohms are no current; a bare number of all off has to name its unit."""
    limit = f"limit: {{maximum: 5 mA, {SOURCE}}}\n"
    assert outcome("{a: 1, b: not taken}", limit) == "not taken"
    assert outcome("{a: 6, b: not taken}", limit) == "outside"
    assert outcome("{a: <0.1}", limit) == "within"
    assert mistakes("kind: stray-current\ncircuits: {a: 3 Ω}\n")
    assert "has no unit" in mistakes("kind: stray-current\ncircuits: {a: 3}\nall off: 1\n")[0]


def test_chart_has_all_off_and_each_circuit() -> None:
    """Sizes as bars, with the note's maximum as a line."""
    limit = f"limit: {{maximum: 5 mA, {SOURCE}}}\n"
    chart = assessed(f"kind: stray-current\ncircuits: {{a: -6, b: 1}}\nall off: 0.2 mA\n{limit}").chart
    assert chart is not None
    assert chart.data["labels"] == ("all off", "a", "b")
    assert chart.data["printed"][0] == ("0.2", "6", "1")
    assert chart.data["outside"] == ("a",)


def test_chart_shows_the_rise_that_breaks_its_limit() -> None:
    """Where the rise is judged it stands beside the size, marked; a difference is no line among values."""
    limit = f"limit: {{difference: 1 mA, {SOURCE}}}\n"
    chart = assessed(f"kind: stray-current\ncircuits: {{a: 3, b: 1}}\nall off: 0.5 mA\n{limit}").chart
    assert chart is not None
    assert [s["values"] for s in chart.data["series"]] == [(0.5, 3.0, 1.0), (0.0, 2.5, 0.5)]
    assert chart.data["outside"] == ("a",)
    assert not chart.data["limits"]
    assert "Outside: a." in chart.alt
    less = "kind: stray-current\ncircuits: {a: 3, b: not taken}\nall off: 0.5 mA\n"
    gap = assessed(less).chart
    assert gap is not None
    assert "not taken: b." in gap.alt


def test_what_flows_with_all_off_is_told_beside_the_circuits() -> None:
    """A circuit that adds nothing reads the same as all off: the line of values has to tell both."""
    ((_, cells),) = assessed("kind: stray-current\ncircuits: {pump: 0.2}\nall off: 0.2 mA\n").values
    assert [(c.name, str(c.quantity)) for c in cells] == [("all off", "0.2 mA"), ("pump", "0.2 mA")]
