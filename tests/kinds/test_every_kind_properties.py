"""Three promises of every kind, on its example with its values scaled at random.

Other units change no outcome, a gap never makes a reading better, and the order in which things are written
changes nothing. `test_every_kind_holds.py` tries the first two on the example as it stands, value by value.
"""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen import units
from reportgen.kind import Assessment
from reportgen.model import Reading
from reportgen.units import Quantity
from tests.kinds.altered import (
    ABOUT,
    DIESEL,
    KINDS,
    SAME,
    every_quantity,
    example,
    own,
    places,
    reordered,
    with_a_gap,
    with_own,
    without,
    written_in,
)

EXAMPLES = {file: example(file) for file in KINDS}
ABOUTS = st.sampled_from([ABOUT, DIESEL])
FACTORS = st.sampled_from([Decimal(f) for f in ("0", "0.3", "0.7", "0.9", "0.99", "1", "1.05", "1.6", "4")])
# words of limits that hold things against each other: without the other there is nothing to hold
RELATIVE = {"lowest to highest", "spread", "difference"}
# kinds whose last row is judged, so that one that was not taken leaves the whole not taken
NEWEST = {"oil_analysis"}
FEW = settings(max_examples=15)


def scaled(file: str, data: st.DataObject) -> Reading:
    """Give a kind's example with each value and condition times a factor of its own; its limits stay."""
    one = data.draw(FACTORS, "a factor for all")
    each = data.draw(st.booleans(), "factors differ")

    def change(quantity: Quantity) -> Quantity:
        return Quantity(quantity.value * (data.draw(FACTORS) if each else one), quantity.unit)

    return every_quantity(EXAMPLES[file], change, frozenset({"limit"}))


def pairs(found: Assessment, ordered: bool = True) -> list[Any]:
    """Give each limit that was judged with its outcome and what broke it."""
    told = [
        (j.limit.word, j.limit.of, j.limit.origin, j.outcome, j.where if ordered else sorted(j.where))
        for j in found.judged
    ]
    return told if ordered else sorted(told, key=str)


@pytest.mark.parametrize("file", KINDS)
@FEW
@given(st.data(), ABOUTS)
def test_units_never_change_an_outcome(file: str, data: st.DataObject, about: Any) -> None:
    """Each value, condition and limit in a unit of its own: the same outcomes by the same limits."""
    plain, assess = scaled(file, data), KINDS[file].assess

    def change(quantity: Quantity) -> Quantity:
        return written_in(quantity, data.draw(st.sampled_from(SAME[quantity.unit])))

    # a difference of temperatures is no temperature: a limit of it keeps its unit
    apart = any("difference" in note.words for note in own(plain).get("limit", ()))
    other = every_quantity(plain, change, frozenset({"limit"} if apart else ()))
    if other.table is not None:
        heads = tuple(
            dataclasses.replace(h, unit=data.draw(st.sampled_from(SAME[h.unit])) if h.unit else "")
            for h in other.table.heads
        )
        other = dataclasses.replace(other, table=dataclasses.replace(other.table, heads=heads))
    if data.draw(st.booleans(), "without unit of the fence"):
        other = dataclasses.replace(other, unit="")
    before, after = assess(plain, about), assess(other, about)
    assert after.outcome == before.outcome
    assert pairs(after) == pairs(before)
    assert after.outcomes == before.outcomes
    for one, same in zip(before.judged, after.judged, strict=True):
        if one.value is not None and same.value is not None:
            back = units.convert(same.value, same.limit.unit, one.limit.unit)
            if one.limit.word == "difference":  # degrees of difference have no zero to shift
                back -= units.convert(0.0, same.limit.unit, one.limit.unit)
            assert back == pytest.approx(one.value, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("file", KINDS)
@FEW
@given(st.data(), ABOUTS)
def test_gap_never_turns_outside_into_within(file: str, data: st.DataObject, about: Any) -> None:
    """Some of the values not taken: what was outside is never within, nor a value that is gone."""
    reading, assess = scaled(file, data), KINDS[file].assess
    before = assess(reading, about)
    standing = list(places(reading))
    less = reading
    for place in data.draw(st.lists(st.sampled_from(standing), unique=True) if standing else st.just([])):
        less, _ = without(less, place)
    after = assess(less, about)
    assert (before.outcome, after.outcome) != ("outside", "within")
    sure = {n for j in before.judged for n in j.where if j.limit.word not in RELATIVE or n == j.limit.of}
    assert not [n for n, outcome in after.outcomes if outcome == "within" and n in sure]
    more = with_a_gap(reading, "one more")
    if more is not None and before.outcome == "outside":
        assert assess(more, about).outcome in ("outside", *(["not taken"] if file in NEWEST else []))


@pytest.mark.parametrize("file", KINDS)
@FEW
@given(st.data(), ABOUTS)
def test_condition_not_told_never_turns_outside_into_within(
    file: str, data: st.DataObject, about: Any
) -> None:
    """Without a figure of the fence, no reading gets better, or the page says what it lacks."""
    reading, assess = scaled(file, data), KINDS[file].assess
    told = [name for name, value in own(reading).items() if isinstance(value, Quantity)]
    left_out = data.draw(st.lists(st.sampled_from(told), unique=True) if told else st.just([]))
    before = assess(reading, about)
    after = assess(with_own(reading, **dict.fromkeys(left_out)), about)
    if (before.outcome, after.outcome) == ("outside", "within"):
        assert [s for s in after.says if "not stated" in s and s not in before.says]


@pytest.mark.parametrize("file", KINDS)
@FEW
@given(st.data(), ABOUTS)
def test_order_changes_nothing(file: str, data: st.DataObject, about: Any) -> None:
    """Values and rows written in another order come out the same, each by its name."""
    plain, assess = scaled(file, data), KINDS[file].assess
    other = reordered(plain, lambda things: list(data.draw(st.permutations(things))))
    before, after = assess(plain, about), assess(other, about)
    assert after.outcome == before.outcome
    assert pairs(after, ordered=False) == pairs(before, ordered=False)
    assert dict(after.outcomes) == dict(before.outcomes)
