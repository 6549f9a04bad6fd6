"""Fuel tank: pressure, time and drop by the rule for builders, on, inside and outside each.

Not computed, for a pressure test sees none of it: FUEL-1 (a tank shifts at most 1/4 in), FUEL-2 (openings at
its top), FUEL-3 and FUEL-4 (what a vent must hold and not spill), FUEL-6 (foam as the only support of a metal
tank), FUEL-7 (tests of new tanks by size), FUEL-8 (bore of a vent line): builders' rules of 33 CFR 183.510 to
183.550 and a handbook, for a surveyor's eye and a finding.
"""

from __future__ import annotations

import pytest

from reportgen.kinds.fuel_tank import KIND, minutes
from tests.kinds.noted import assessed, mistakes


def outcome(start: str = "3 psi", end: str = "", held: str = "5 min", more: str = "") -> str:
    """Give the outcome of a test that holds its pressure if no end is given."""
    return assessed(f"kind: fuel-tank\nstart: {start}\nend: {end or start}\nheld: {held}\n{more}").outcome


# Source: US Coast Guard, boatbuilder's handbook, laboratory examination 11, (c): five minutes, and one minute
# for each 10-gallon increment, or fraction thereof, greater than 50 gallons. Read 2026-11-25.
@pytest.mark.parametrize(
    ("gallons", "least"), [(None, 5), (20, 5), (50, 5), (50.1, 6), (60, 6), (60.1, 7), (75, 8), (200, 20)]
)
def test_time_by_size(gallons: float | None, least: float) -> None:
    """A part of ten gallons counts as ten."""
    assert minutes(gallons) == least


def test_litres_are_converted_without_a_minute_too_many() -> None:
    """227.12 L are 60 US gallons: six minutes, not seven for a rounding."""
    assert outcome(held="6 min", more="capacity: 227.124707 L") == "within"
    assert outcome(held="5.9 min", more="capacity: 227.124707 L") == "outside"


# Source: the same, (a): the greater of 3 psig and one and a half times the head.
@pytest.mark.parametrize(
    ("start", "head", "said"),
    [
        ("3 psi", "", "within"),
        ("2.99 psi", "", "outside"),
        ("3 psi", "head: 2 psi", "within"),
        ("3.2 psi", "head: 2.2 psi", "outside"),
        ("3.3 psi", "head: 2.2 psi", "within"),
        ("20.69 kPa", "", "within"),
    ],
)
def test_pressure_by_head(start: str, head: str, said: str) -> None:
    """A low head changes nothing, a high one asks for more."""
    assert outcome(start, more=head) == said


# Source: the same, (d): a pressure drop measured at the end of the time is due to leakage.
@pytest.mark.parametrize(
    ("end", "said"), [("3.2 psi", "within"), ("3.19 psi", "outside"), ("22.06322334 kPa", "within")]
)
def test_any_drop_is_a_leak(end: str, said: str) -> None:
    """However small; the same pressure in another unit is none."""
    assert outcome("3.2 psi", end) == said


def test_short_time_proves_nothing() -> None:
    """Four minutes without a drop are outside, not within."""
    assert outcome(held="4 min") == "outside"


def test_missing_figure_is_never_within() -> None:
    """Without the end, or without the time, it is not taken; a drop is outside whatever the time."""
    assert assessed("kind: fuel-tank\nstart: 3 psi\nheld: 9 min\n").outcome == "not taken"
    assert assessed("kind: fuel-tank\nstart: 3 psi\nend: 3 psi\n").outcome == "not taken"
    assert assessed("kind: fuel-tank\nstart: 3 psi\nend: 2 psi\n").outcome == "outside"


def test_rising_or_no_pressure_is_told() -> None:
    """Pressure that rises by itself was misread: not judged, and told."""
    found = assessed("kind: fuel-tank\nstart: 3 psi\nend: 4 psi\nheld: 9 min\n")
    assert found.outcome == "not taken"
    assert "doesn't rise" in found.warnings[0][1]
    assert (
        "nothing was under pressure" in assessed("kind: fuel-tank\nstart: 0 psi\nend: 0 psi\n").warnings[0][0]
    )
    assert "unit of" in mistakes("kind: fuel-tank\nstart: 3 ft\n")[0]


def test_note_replaces_each_word() -> None:
    """A maker who asks for ten minutes is followed; the pressure stays by the rule."""
    limit = "limit: {minimum: {held: 10 min}, source: invented tank label}"
    found = assessed(f"kind: fuel-tank\nstart: 3 psi\nend: 3 psi\nheld: 6 min\n{limit}\n")
    assert found.outcome == "outside"
    assert [(j.limit.of, j.limit.origin) for j in found.judged if j.outcome == "outside"] == [
        ("held", "note")
    ]


def test_yardstick_is_said_and_gas_is_a_stop() -> None:
    """The page says that the rule is for builders; unanswered it forbids using the boat."""
    assert "for builders" in assessed(KIND.example).says[0]
    assert KIND.unanswered == "stop"


@pytest.mark.parametrize(("end", "odd"), [("3.99", False), ("3.999", True)])
def test_rise_of_a_twentieth_still_counts_as_read(end: str, odd: bool) -> None:
    """Just 5 % above the start is no slip, and no computer's rounding decides: 3.8 x 1.05 = 3.99."""
    assert bool(assessed(f"kind: fuel-tank\nstart: 3.8 psi\nend: {end} psi\nheld: 8 min\n").warnings) is odd
