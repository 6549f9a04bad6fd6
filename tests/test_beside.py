"""A value then and now is named so that it says what it is of: a cylinder, an engine, a series."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from reportgen import beside, judging, racks, wording
from reportgen.cells import Cell
from reportgen.kind import Assessment, Judged, Kind
from reportgen.limits import Limit
from reportgen.model import Past, Reading, Values
from reportgen.units import Quantity


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
    assert judging.place(Reading(at=at), _kind(kind)) == told


def test_a_side_is_said_in_the_reader_s_language() -> None:
    with wording.speaking("de"):
        assert judging.place(Reading(at="Starboard"), _kind("compression")) == "Motor Steuerbord"


def test_a_retest_tells_the_value_that_was_outside() -> None:
    """Of a gearcase that lost pressure the drop is told, not the minutes, which were within on both days."""
    limit = Limit("drop", 5.0, "kPa", "maximum", "an invented manual", "", "note", "drop")
    least = Limit("least held", 5.0, "min", "minimum", "an invented manual", "", "note", "held")
    judged = (Judged(limit, 0.0, "within"), Judged(least, 15.0, "within"))

    def values(end: str, held: str, drop: str) -> Values:
        written = {"end": (end, "kPa"), "held": (held, "min"), "drop": (drop, "kPa")}
        return (("test", tuple(Cell(n, Quantity(Decimal(v), u)) for n, (v, u) in written.items())),)

    reading, now = Reading(kind="gearcase"), Assessment("within", "", judged, values=values("100", "15", "0"))
    for outcome, told in (("outside", ["drop"]), ("within", ["held", "drop"])):
        held = Past(date(2026, 8, 18), "", outcome, values("68", "5", "32"))
        found = beside._beside(reading, now, _kind("gearcase"), "earlier", (held,), None)
        assert sorted(line.name for line in found.most) == sorted(told)
