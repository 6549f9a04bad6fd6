"""Cylinders: gaps are found, names are kept, neighbours are those that stand side by side."""

from __future__ import annotations

from decimal import Decimal

import pytest

from reportgen import cylinders
from reportgen.bounds import beside
from reportgen.cells import Cell
from reportgen.limits import Limit
from reportgen.units import Quantity


def cell(name: str, value: str = "150", unit: str = "psi") -> Cell:
    """Give one value."""
    return Cell(name, Quantity(Decimal(value), unit))


@pytest.mark.parametrize(
    ("written", "count", "missing"),
    [
        (["1", "2", "3"], None, []),
        (["1", "4"], None, ["2", "3"]),
        (["1", "2"], 4, ["3", "4"]),
        (["1", "2", "5"], 4, ["3", "4"]),
        ([], 2, ["1", "2"]),
        ([], None, []),
        (["port", "starboard"], 2, []),
        (["port"], 3, ["not named 1", "not named 2"]),
        (["1", "2"], 10**9, [str(n) for n in range(3, 65)]),
    ],
)
def test_gaps(written: list[str], count: int | None, missing: list[str]) -> None:
    """A gap in 1..n is missing, n being the engine's number, else the highest written; 64 at most."""
    found = cylinders.complete([cell(n) for n in written], count)
    assert [c.name for c in found if c.quantity is None] == missing
    assert {c.name for c in found if c.quantity} == set(written)


def test_order_is_by_number() -> None:
    """Cylinder 10 comes after 9, however they were written."""
    found = cylinders.complete([cell(str(n)) for n in (10, 9, 1, 2, 3, 4, 5, 6, 7, 8)], None)
    assert [c.name for c in found] == [str(n) for n in range(1, 11)]


@pytest.mark.parametrize(
    ("name", "number"), [("1", 1), ("08", 8), ("64", 64), ("65", None), ("0", None), ("a", None)]
)
def test_number(name: str, number: int | None) -> None:
    """A name is a number from 1 to 64."""
    assert cylinders.number(name) == number


def test_side_by_side_is_the_order_in_the_bank() -> None:
    """1 and 2 of a vee stand in different banks; the firing order plays no part."""
    assert cylinders.side_by_side((("1", "3", "5"), ("2", "4", "6")), ["1", "2", "3", "6"]) == (("1", "3"),)


@pytest.mark.parametrize(
    ("value", "limit", "side", "printed"),
    [
        (75.0, 75.0, "minimum", "75"),
        (74.9999, 75.0, "minimum", "74.9999"),
        (15.00001, 15.0, "maximum", "15.00001"),
        (62.79, 75.0, "minimum", "62.8"),
        (1034.2, 1000.0, "minimum", "1034"),
    ],
)
def test_printed_beside_its_limit(value: float, limit: float, side: str, printed: str) -> None:
    """A value is printed with as many figures as show on which side of its limit it lies."""
    assert beside(value, Limit("x", limit, "%", side, "a source")) == printed


def test_printed() -> None:
    """A value stands as written; converted or computed it has four figures; a gap is a word."""
    assert cylinders.printed(cell("1", "150.0"), "psi") == "150.0"
    assert cylinders.printed(cell("1", "1034", "kPa"), "psi") == "150"
    assert cylinders.printed(cell("1", "12.3456789123", "%"), "%") == "12.35"
    assert cylinders.printed(Cell("1"), "psi") == "not taken"


def test_impossible_values_become_not_taken() -> None:
    """A value out of range is told of and counts as not taken."""
    kept, odd = cylinders.sensible([cell("1", "-1"), cell("2", "0"), Cell("3"), cell("4", "101")], 0, 100)
    assert [c.name for c in odd] == ["1", "4"]
    assert [c.name for c in kept if c.quantity] == ["2"]
    assert "can't be right" in kept[0].why
