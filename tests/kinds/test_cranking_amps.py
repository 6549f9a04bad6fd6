"""Cranking amperes: held to the note's amperes or share of the rating, since nobody publishes one.

The definition of the rating was read (row CCA-D: 30 s, -18 °C, 7.2 V); no share of it that condemns a battery
was found, so there is no outside limit to check. The share itself is checked by hand.
"""

from __future__ import annotations

import pytest

from reportgen.kind import Assessment
from tests.kinds.noted import assessed, mistakes


def measured(found: str, rated: str = "", limit: str = "") -> Assessment:
    """Give the assessment of batteries by name."""
    text = f"kind: cranking-amps\nbatteries: {{{found}}}\n" + (f"rated: {{{rated}}}\n" if rated else "")
    return assessed(text + (f"limit: {{{limit}, source: invented yard standard}}\n" if limit else ""))


@pytest.mark.parametrize(("found", "said"), [("480", "within"), ("479", "outside"), ("481", "within")])
def test_share_of_the_rating(found: str, said: str) -> None:
    """480 of 640 is 75 %, on the note's limit."""
    result = measured(f"start: {found}", "start: 640", "share: 75 %")
    assert result.outcome == said
    [step] = result.working[:1]
    assert (step.values, step.unit) == (f"{found} A / 640 A × 100", "%")


def test_amperes_by_themselves() -> None:
    """A limit in amperes needs no rating."""
    assert measured("start: 400", limit="minimum: 450 A").outcome == "outside"
    assert measured("start: 450", limit="minimum: 450 A").outcome == "within"


def test_without_a_limit_none_applies_but_the_share_is_shown() -> None:
    """No published figure: the share stands in the working only."""
    found = measured("start: 320", "start: 640")
    assert found.outcome == "no limit applies"
    assert [(s.result, s.unit) for s in found.working] == [("50", "%")]


def test_gap_in_found_or_rated_is_never_within() -> None:
    """A battery without its rating has no share; one breach is outside all the same."""
    assert measured("start: 600, house: 700", "start: 640", "share: 75 %").outcome == "not taken"
    assert (
        measured("start: 600, house: not taken", "start: 640, house: 700", "share: 75 %").outcome
        == "not taken"
    )
    assert measured("start: 300, house: 700", "start: 640", "share: 75 %").outcome == "outside"


def test_chart_shows_both_and_marks_what_is_outside() -> None:
    """Found beside rated, in pairs; a broken share marks its battery."""
    drawn = measured("start: 300, house: 690", "start: 640, house: 700", "share: 75 %").chart
    assert drawn is not None
    assert [s["name"] for s in drawn.data["series"]] == ["found", "rated"]
    assert drawn.data["outside"] == ("start",)
    assert "Outside: start." in drawn.alt


def test_what_is_not_told_and_nonsense() -> None:
    """Standard and charge are asked for; a voltage is no current."""
    assert len(measured("start: 300").says) == 2
    assert "is a unit of voltage" in mistakes("kind: cranking-amps\nbatteries: {start: 12 V}\n")[0]
