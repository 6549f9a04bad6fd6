"""Two promises of every kind: a gap never makes a reading better, and another unit never changes the outcome.

They are tried on each kind's own example, value by value, so that a new kind is tried without a line more;
`test_every_kind_properties.py` tries them at values by chance.
"""

from __future__ import annotations

import dataclasses

import pytest

from reportgen import units
from reportgen.units import Quantity
from tests.kinds.altered import ABOUT, KINDS, every_quantity, example, own, places, without, written_in

# of the units of a dimension, the one that a value is tried in beside its own
OTHER = {
    unit: next(u for u in table if u != unit)
    for table in units.UNITS.values()
    for unit in table
    if len(table) > 1 and unit != "%"  # a share may be of anything
}


@pytest.mark.parametrize("file", KINDS)
def test_gap_never_makes_it_better(file: str) -> None:
    """Without one of its values a reading is never within, unless no limit was held against that value."""
    reading, assess = example(file), KINDS[file].assess
    before = assess(reading, ABOUT)
    judged = {name for name, outcome in before.outcomes if outcome in ("within", "outside")}
    tried = 0
    for place in places(reading):
        less, name = without(reading, place)
        after = assess(less, ABOUT)
        assert not (before.outcome == "outside" and after.outcome == "within"), (file, name)
        if name in judged:
            assert after.outcome != "within", (file, name)
        tried += 1
    assert tried or not any(True for _ in places(reading))


def _elsewhere(quantity: Quantity) -> Quantity:
    return written_in(quantity, OTHER.get(quantity.unit, quantity.unit))


@pytest.mark.parametrize("file", KINDS)
def test_units_never_change_the_outcome(file: str) -> None:
    """The example with its values, or its values and limits, in other units comes out the same."""
    reading, assess = example(file), KINDS[file].assess
    before = assess(reading, ABOUT)
    # a difference of temperatures is no temperature: a limit of it keeps its unit
    apart = any("difference" in n.words for n in own(reading).get("limit", ()))
    for keep in (frozenset({"limit"} if apart else ()), frozenset({"limit"})):
        other = dataclasses.replace(every_quantity(reading, _elsewhere, keep), unit="")
        if other.table is not None:
            heads = tuple(dataclasses.replace(h, unit=OTHER.get(h.unit, h.unit)) for h in other.table.heads)
            other = dataclasses.replace(other, table=dataclasses.replace(other.table, heads=heads))
        after = assess(other, ABOUT)
        assert after.outcome == before.outcome
        assert [j.outcome for j in after.judged] == [j.outcome for j in before.judged]
        assert dict(after.outcomes) == dict(before.outcomes)
