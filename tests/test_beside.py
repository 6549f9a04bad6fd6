"""A value then and now is named so that it says what it is of: a cylinder, an engine, a series."""

from __future__ import annotations

import pytest

from reportgen import beside, racks, wording
from reportgen.kind import Kind
from reportgen.model import Reading


def _kind(name: str) -> Kind:
    kind = racks.get("kinds", name, "KIND")
    assert isinstance(kind, Kind)
    return kind


@pytest.mark.parametrize(
    ("kind", "series", "name", "called"),
    [
        ("compression", "", "3", "cylinder 3"),
        ("compression", "cylinders", "3", "cylinder 3"),
        ("compression", "wet", "3", "wet, cylinder 3"),
        ("leak_down", "", "4", "cylinder 4"),
        ("spark_plugs", "gap", "1", "gap, cylinder 1"),
        ("gearcase", "end", "end", "end"),
        ("moisture", "", "7", "7"),
    ],
)
def test_a_number_says_that_it_is_a_cylinder_s(kind: str, series: str, name: str, called: str) -> None:
    assert beside._called(_kind(kind), series, name) == called


@pytest.mark.parametrize(
    ("kind", "at", "told"),
    [
        ("compression", "port", "port engine"),
        ("compression", "main", "main"),
        ("moisture", "port", "port"),
        ("gearcase", "", ""),
    ],
)
def test_a_side_of_an_engine_s_reading_is_an_engine(kind: str, at: str, told: str) -> None:
    assert beside._place(Reading(at=at), _kind(kind)) == told


def test_a_side_is_said_in_the_reader_s_language() -> None:
    with wording.speaking("de"):
        assert beside._place(Reading(at="Starboard"), _kind("compression")) == "Motor Steuerbord"
