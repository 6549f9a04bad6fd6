"""Battery fastening: an inch under the pull that the rule asks for; a weak pull proves nothing.

Not computed: BAT-M7 (a fuel fitting within 12 in of a battery must be shielded), for no distance to fuel is
measured here; the page says that the test is silent on it.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from reportgen.kinds.battery_fastening import KIND, needed
from reportgen.units import Quantity
from tests.kinds.noted import assessed, mistakes


def outcome(moved: str, pull: str = "90 lbf", held: str = "1 min", more: str = "weight: 60 lb") -> str:
    """Give the outcome of a pull aft and up."""
    return assessed(
        f"kind: battery-fastening\nmoved: {{aft: {moved}, up: 0 in}}\npull: {pull}\nheld: {held}\n{more}\n"
    ).outcome


# Source: 33 CFR 183.420(a), read as section text: 90 pounds or twice the battery weight, whichever is less.
@pytest.mark.parametrize(
    ("weight", "pull"), [("40", 80), ("45", 90), ("60", 90)], ids=["BAT-M2", "edge", "BAT-M3"]
)
def test_pull_that_is_asked(weight: str, pull: float) -> None:
    """A light battery needs twice its weight, a heavy one 90."""
    assert needed(Quantity(Decimal(weight), "lb")) == pull
    assert needed(None) == 90


# Source: the same, not more than one inch in any direction (rows BAT-M1, BAT-M4; edges computed).
@pytest.mark.parametrize(
    ("moved", "said"),
    [
        ("0.8 in", "within"),
        ("1 in", "within"),
        ("1.01 in", "outside"),
        ("1.25 in", "outside"),
        ("25.4 mm", "within"),
    ],
)
def test_one_inch(moved: str, said: str) -> None:
    """On the inch is within, in whatever unit."""
    assert outcome(moved) == said


@pytest.mark.parametrize(("pull", "held"), [("60 lbf", "1 min"), ("90 lbf", "30 s"), ("400 N", "1 min")])
def test_weak_or_short_pull_proves_nothing(pull: str, held: str) -> None:
    """Little movement under too little pull is not within; too much is outside all the same."""
    assert outcome("0.2 in", pull, held) == "not taken"
    assert outcome("1.4 in", pull, held) == "outside"


def test_light_battery_needs_less() -> None:
    """80 lbf are enough for 40 lb, and 79 are not."""
    assert outcome("0.2 in", "80 lbf", more="weight: 40 lb") == "within"
    assert outcome("0.2 in", "79 lbf", more="weight: 40 lb") == "not taken"


# Source: 33 CFR 183.420(g) (row BAT-M5).
def test_spring_terminal_is_outside() -> None:
    """A terminal held by a spring alone breaks the rule, however firm the battery."""
    assert outcome("0 in", more="weight: 60 lb\nspring terminals: yes") == "outside"
    assert outcome("0 in", more="weight: 60 lb\nspring terminals: no") == "within"


def test_gap_and_nonsense() -> None:
    """A direction not taken is never within; a force in pounds of weight is refused."""
    assert outcome("not taken") == "not taken"
    assert "is a unit of mass" in mistakes("kind: battery-fastening\nmoved: {up: 0 in}\npull: 90 lb\n")[0]


def test_note_replaces_each_word() -> None:
    """A maker who allows less movement is followed."""
    limit = "weight: 60 lb\nlimit: {maximum: {moved: 10 mm}, source: invented box maker}"
    assert outcome("0.5 in", more=limit) == "outside"
    assert outcome("0.3 in", more=limit) == "within"


def test_fuel_beside_the_battery_is_not_proved() -> None:
    """Row BAT-M7, 33 CFR 183.420, is out of reach of a pull, and the page says so."""
    assert any("fuel fittings near it" in s for s in KIND.proves_not)


def test_chart_is_in_the_unit_that_was_read() -> None:
    """Movements read in millimetres are drawn and listed in them, though the rule is in inches."""
    found = assessed("kind: battery-fastening\nmoved: {up: 3 mm, aft: 31 mm}\npull: 410 N\nheld: 1 min")
    assert found.chart is not None
    assert found.chart.title == "Movement under the pull, mm"
    assert found.chart.table.rows == (("up", "3"), ("aft", "31, outside"))
    assert [round(line["value"], 1) for line in found.chart.data["limits"]] == [25.4]
    assert "31 mm (1.2 in)" in found.because


@pytest.mark.parametrize(("spring", "told"), [("no", False), ("yes", True)])
def test_sentence_tells_of_a_spring_only_where_there_is_one(spring: str, told: bool) -> None:
    """Zero springs of zero allowed is no news; a terminal that a spring alone holds is."""
    pulled = "kind: battery-fastening\nmoved: {up: 3 mm}\npull: 410 N\nheld: 1 min\nspring terminals: "
    found = assessed(pulled + spring)
    assert (found.outcome == "outside", "spring" in found.because.casefold()) == (told, told)
    assert [j.outcome for j in found.judged if j.limit.of == "spring terminals"] == (
        ["outside"] if told else ["within"]
    )


@pytest.mark.parametrize("moved", ["0.8 in", "1.25 in"])
def test_movement_is_called_so(moved: str) -> None:
    """A bare direction does not read anything: what reads so much is the movement that way."""
    found = assessed(f"kind: battery-fastening\nmoved: {{aft: {moved}}}\npull: 90 lbf\nheld: 1 min\n")
    assert found.because.startswith(f"Movement aft reads {moved}")


def test_movements_over_the_inch_are_all_named() -> None:
    """Where two directions break the limit both are called movements."""
    found = assessed("kind: battery-fastening\nmoved: {aft: 2 in, up: 3 in}\npull: 90 lbf\nheld: 1 min\n")
    assert found.because.startswith("Movement aft and movement up break a limit")
