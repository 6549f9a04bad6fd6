"""Carbon monoxide: by how long people stay, by the ceiling in the open air, and never praised by one look."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.kinds.carbon_monoxide import KIND, allowed
from tests.kinds.noted import assessed, mistakes


def outcome(lines: str) -> str:
    """Give the outcome of a fence with these lines."""
    return assessed(f"kind: carbon-monoxide\nunit: ppm\n{lines}\n").outcome


# Source: WHO, Air Quality Guidelines for Europe, second edition, as quoted in table 1 of a journal article
# (read 2026-11-25): mg/m3 100, 60, 30, 10 for 15, 30, 60, 480 minutes, given there as 90, 50, 25, 10 ppm.
@pytest.mark.parametrize(("minutes", "ppm"), [(15, 90), (30, 50), (60, 25), (480, 10)])
def test_guideline_by_stay(minutes: float, ppm: float) -> None:
    """On the row's own time its figure holds; a minute more takes the next, stricter row."""
    assert allowed(minutes) == ppm
    assert allowed(minutes + 1) <= ppm
    assert outcome(f"spaces: {{cabin: {ppm}}}\nstay: {minutes} min") == "within"
    assert outcome(f"spaces: {{cabin: {ppm + 0.1}}}\nstay: {minutes} min") == "outside"


# Independent check: 1 ppm of CO is 28.01 g/mol / 24.45 L/mol = 1.1456 mg/m3 at 25 C and 1 atm (molar volume
# of an ideal gas). The printed ppm are rounded to 5 or 10, up by at most 15 %.
@pytest.mark.parametrize(("mg", "ppm"), [(100, 90), (60, 50), (30, 25), (10, 10)])
def test_printed_ppm_agree_with_the_gas_law(mg: float, ppm: float) -> None:
    """The figures in ppm and in mg/m3 are the same concentration to their rounding."""
    assert mg / (28.01 / 24.45) == pytest.approx(ppm, rel=0.15)


# Source: NIOSH 1972, abstract: no level shall exceed a ceiling of 200 ppm.
@pytest.mark.parametrize(("ppm", "said"), [(199, "within"), (200, "within"), (200.5, "outside")])
def test_open_air_is_held_to_the_ceiling(ppm: float, said: str) -> None:
    """The ceiling itself is within; the guideline for spaces is not applied outside."""
    assert outcome(f"open air: {{stern: {ppm}}}") == said


def test_night_is_assumed() -> None:
    """Where the stay isn't told, eight hours are taken and said."""
    found = assessed("kind: carbon-monoxide\nspaces: {cabin: 12}\n")
    assert found.outcome == "outside"
    assert any("eight hours" in said for said in found.says)
    assert found.suggests


def test_note_limit_for_one_place() -> None:
    """A named place is held to both its own limit and, where that is not for all, the general one."""
    limit = "limit: {maximum: {stern: 50}, source: invented rule 5}"
    found = assessed(f"kind: carbon-monoxide\nunit: ppm\nopen air: {{stern: 60, bow: 60}}\n{limit}\n")
    assert [(j.limit.value, j.outcome, j.where) for j in found.judged] == [
        (50.0, "outside", ("stern",)),
        (200.0, "within", ()),
    ]


def test_danger_is_said() -> None:
    """1,200 ppm is named as what it is. Source: co-niosh-danger."""
    said = assessed("kind: carbon-monoxide\nopen air: {platform: 1200}\n").says
    assert "1,200 ppm and more is immediately dangerous to life." in said
    assert not any("1,200" in s for s in assessed("kind: carbon-monoxide\nopen air: {platform: 1199}\n").says)


def test_percent_and_parts_are_one() -> None:
    """0.02 % is 200 ppm."""
    assert outcome("open air: {stern: 0.02 %}") == "within"
    assert outcome("open air: {stern: 0.0201 %}") == "outside"
    assert "is a unit of" in mistakes("kind: carbon-monoxide\nspaces: {cabin: 3 psi}\n")[0]


def test_value_below_zero_is_a_gap() -> None:
    """A meter that reads under zero was not zeroed: told, and not judged."""
    found = assessed("kind: carbon-monoxide\nunit: ppm\nspaces: {cabin: -3, saloon: 2}\n")
    assert found.outcome == "not taken"
    assert found.warnings == (("cabin: -3 ppm can't be right", "write the value or not taken"),)


@given(st.lists(st.integers(0, 400), min_size=1, max_size=5))
def test_gap_never_makes_it_within(values: list[int]) -> None:
    """Property: with one more space not taken nothing is within, and outside stays outside."""
    cells = ", ".join(f"s{n}: {v}" for n, v in enumerate(values))
    whole, gap = outcome(f"spaces: {{{cells}}}"), outcome(f"spaces: {{{cells}, x: not taken}}")
    assert (whole, gap) in {("within", "not taken"), ("outside", "outside")}


def test_unanswered_is_a_stop() -> None:
    """Decided for gas: an outside reading that no finding answers forbids using the boat."""
    assert KIND.unanswered == "stop"
