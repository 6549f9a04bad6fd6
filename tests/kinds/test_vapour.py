"""Vapour: ten percent of what can explode, on, inside and outside; any vapour is named."""

from __future__ import annotations

import pytest

from reportgen.kinds.vapour import KIND
from tests.kinds.noted import assessed, mistakes


# Source: OSHA, 29 CFR 1910.146(b), hazardous atmosphere: flammable gas in excess of 10 percent of its lower
# flammable limit (quoted in three pages, read 2026-11-25): ten itself is not in excess.
@pytest.mark.parametrize(
    ("share", "said"), [("0", "within"), ("9.9", "within"), ("10", "within"), ("10.1", "outside")]
)
def test_ten_percent(share: str, said: str) -> None:
    """On the limit is within; just above is outside."""
    assert assessed(f"kind: vapour\nspaces: {{bilge: {share} %}}\n").outcome == said


def test_any_vapour_is_named() -> None:
    """Within the limit is not in order: 3 % still has a source."""
    found = assessed("kind: vapour\nspaces: {bilge: 3 %}\n")
    assert found.outcome == "within"
    assert "suggests a leak" in found.suggests[0]
    assert not assessed("kind: vapour\nspaces: {bilge: 0 %}\n").suggests


def test_gap_and_slip() -> None:
    """A space not taken, and a meter below zero, are never within."""
    assert assessed("kind: vapour\nspaces: {bilge: 0 %, tank: not taken}\n").outcome == "not taken"
    found = assessed("kind: vapour\nspaces: {bilge: -2 %}\n")
    assert found.outcome == "not taken"
    assert found.warnings[0][0] == "bilge: -2 % can't be right"
    assert mistakes("kind: vapour\nspaces: {bilge: 3 psi}\n")


def test_blower_is_asked_for() -> None:
    """A low value after the blower has run shows little, and that is said."""
    assert "shows little" in " ".join(assessed("kind: vapour\nspaces: {bilge: 0 %}\nblower run: yes\n").says)
    assert "not stated" in " ".join(assessed("kind: vapour\nspaces: {bilge: 0 %}\n").says)


def test_note_limit_and_stop() -> None:
    """The note's figure replaces the general one; unanswered it forbids using the boat."""
    limit = "limit: {maximum: 1 %, source: invented yard rule}"
    found = assessed(f"kind: vapour\nspaces: {{bilge: 3 %}}\n{limit}\n")
    assert [(j.limit.value, j.outcome) for j in found.judged] == [(1.0, "outside")]
    assert KIND.unanswered == "stop"


def test_gas_and_blower_are_said_where_they_are_not_told() -> None:
    """What the meter was set to and whether the blower ran decide what a figure is worth."""
    bare = assessed("kind: vapour\nspaces: {bilge: 0 %}\n").says
    assert "What gas the meter was set to is not stated." in bare
    assert "Whether the blower had run before is not stated." in bare
    told = assessed("kind: vapour\nspaces: {bilge: 0 %}\ngas: petrol\nblower run: no\n").says
    assert not [s for s in told if "not stated" in s or "shows little" in s]
