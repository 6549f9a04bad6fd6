"""Advertised against found: on, inside and outside the tolerance, and what is missing on either side."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import hullnumber, identity, sources
from reportgen.blocks.vessel import BoatFacts, CapacityPlate, Engine, Vessel
from reportgen.identity import HullNumberLine, Line, SerialLine
from reportgen.units import Quantity

HULL = hullnumber.read("QZX12345D919", latest=datetime.date(2027, 6, 1))


def _q(text: str) -> Quantity:
    value, unit = text.split(" ", 1)
    return Quantity(Decimal(value), unit)


def _lines(
    advertised: BoatFacts | None, found: BoatFacts | None, hull: hullnumber.HullNumber | None = None
) -> dict[str, Line]:
    lines = identity.compare(Vessel(advertised=advertised, found=found), hull)
    assert len({line.what for line in lines}) == len(lines)
    return {line.what: line for line in lines}


@pytest.mark.parametrize(
    ("advertised", "found", "agrees"),
    [
        ("24 ft", "24 ft", True),
        ("24 ft", "23.5 ft", True),
        ("24 ft", "23.49 ft", False),
        ("24 ft", "24.5 ft", True),
        ("24 ft", "24.51 ft", False),
        ("24.0 ft", "24.05 ft", True),
        ("24.0 ft", "24.06 ft", False),
        ("7.3 m", "24 ft", True),  # 24 ft is 7.3152 m; half a foot is 0.1524 m
        ("7.16 m", "24 ft", False),  # 0.1552 m short
        ("24 ft", "7.163 m", True),  # 0.1522 m short
        ("24 ft", "7315 mm", True),
    ],
)
def test_lengths_agree_within_half_a_unit_of_the_last_digit(
    advertised: str, found: str, agrees: bool
) -> None:
    """The coarser of the two sets the tolerance, whichever side it stands on and in whatever unit."""
    line = _lines(BoatFacts(length=_q(advertised)), BoatFacts(length=_q(found)))["length"]
    assert (line.advertised, line.found, line.agrees) == (_q(advertised), _q(found), agrees)
    assert line.note == (identity.TOLERANCE if agrees and advertised != found else "")
    assert identity.same_quantity(_q(found), _q(advertised)) == agrees


@given(st.decimals(1, 99, places=1), st.decimals(1, 99, places=2), st.sampled_from(["ft", "m"]))
def test_agreeing_is_the_same_both_ways(one: Decimal, other: Decimal, unit: str) -> None:
    """Which of the two was advertised doesn't matter."""
    a, b = Quantity(one, "ft"), Quantity(other, unit)
    assert identity.same_quantity(a, b) == identity.same_quantity(b, a)
    if unit == "ft":
        assert identity.same_quantity(a, b) == (abs(one - other) <= Decimal("0.05"))


@pytest.mark.parametrize(
    ("advertised", "found", "agrees"),
    [("Reed 21", "reed  21", True), ("Reed 21", "Reed21", True), ("Reed 21", "Reed 22", False)],
)
def test_text_agrees_whatever_its_case_and_blanks(advertised: str, found: str, agrees: bool) -> None:
    """Only case and blanks are passed over."""
    assert _lines(BoatFacts(model=advertised), BoatFacts(model=found))["model"].agrees is agrees


@pytest.mark.parametrize(
    ("name", "advertised", "found", "agrees"),
    [
        ("hull_number", "QZX-12345-D919", "qzx12345d919", True),
        ("hull_number", "QZX12345D919", "QZX12346D919", False),
        ("registration", "XX 0001 ZZ", "XX-0001-ZZ", True),
        ("engine_serial", "K-7/3", "k73", True),
        ("maker", "Ash-Bay", "AshBay", False),
    ],
)
def test_numbers_agree_whatever_their_hyphens(name: str, advertised: str, found: str, agrees: bool) -> None:
    """Hyphens and slashes of a number say nothing; in a name they do."""
    (line,) = identity.compare(
        Vessel(advertised=BoatFacts(**{name: advertised}), found=BoatFacts(**{name: found}))
    )
    assert line.agrees is agrees


def test_missing_on_either_side_is_neither_agreed_nor_not() -> None:
    """What nobody found out isn't in order, and what nobody advertised isn't wrong."""
    lines = _lines(BoatFacts(built=2019), BoatFacts(beam=_q("8 ft")))
    assert [(x.what, x.agrees, x.note) for x in lines.values()] == [
        ("built", None, "not found out"),
        ("beam", None, "not advertised"),
    ]
    assert _lines(None, None) == {}


def test_year_is_compared_as_a_number() -> None:
    """A year off by one doesn't agree."""
    assert _lines(BoatFacts(built=2019), BoatFacts(built=2019))["built"].agrees is True
    assert _lines(BoatFacts(built=2020), BoatFacts(built=2019))["built"].agrees is False


def _filled(block: type, number: int) -> object:
    """Give a block with every plain fact filled in."""
    values: dict[str, object] = {}
    for field in dataclasses.fields(block):
        type_ = field.metadata.get("type")
        if type_ is None or field.name in ("engines", "drives", "gearboxes", "generators", "capacity_plate"):
            continue
        dimension = getattr(type_, "dimension", "")
        unit = {"length": "m", "mass": "kg", "power": "hp", "time": "h"}.get(dimension)
        whole = type(type_).__name__ == "Whole"
        values[field.name] = (
            Quantity(Decimal(number), unit) if unit else number if whole else f"word {number}"
        )
    return block(**values)


def test_every_fact_of_boat_and_engine_gets_a_line_with_its_own_category() -> None:
    """A fact is compared as soon as its key exists, and hidden by the category that the key has."""
    engine = Engine(**{**vars(_filled(Engine, 2)), "name": "port"})
    other = dataclasses.replace(engine, name="starboard")
    facts = dataclasses.replace(
        _filled(BoatFacts, 2),  # type: ignore[type-var]
        engines=(engine, other), drives=(engine,), gearboxes=(other,), generators=(Engine(hours=_q("9 h")),),
        capacity_plate=CapacityPlate(6, _q("900 lb"), _q("300 hp")),
    )  # fmt: skip
    lines = _lines(facts, facts)
    shares = {
        line.what: {
            f.metadata["share"] for f in dataclasses.fields(line) if f.name in ("advertised", "found")
        }
        for line in lines.values()
    }
    for field in dataclasses.fields(BoatFacts):
        if field.name not in ("engines", "drives", "gearboxes", "generators", "capacity_plate"):
            assert shares[field.name.replace("_", " ")] == {field.metadata["share"]}
    for field in dataclasses.fields(Engine):
        if "type" in field.metadata and field.name != "name":
            for label in ("port", "starboard"):
                assert shares[f"{label} engine: {field.name}"] == {field.metadata["share"]}
    assert shares["generator: hours"] == {"open"}
    assert {"capacity plate: persons", "capacity plate: load", "capacity plate: power"} <= set(lines)
    assert all(line.agrees for line in lines.values() if line.what.startswith("port"))


def test_lines_hide_numbers_by_category() -> None:
    """Hull and serial numbers never stand in an open field, notes included."""
    lines = _lines(
        BoatFacts(hull_number=HULL.text, registration="XX 0001 ZZ"),
        BoatFacts(hull_number=HULL.text, registration="XX 0001 ZZ", engines=(Engine(serial="K7-3391"),)),
        HULL,
    )
    assert isinstance(lines["hull number"], HullNumberLine)
    assert isinstance(lines["registration"], SerialLine)
    assert isinstance(lines["engine serial"], SerialLine)
    for line in lines.values():
        for field in dataclasses.fields(line):
            if field.metadata["share"] == "open":
                text = str(getattr(line, field.name))
                assert not any(hidden in text for hidden in ("12345", "0001", "3391"))


# ---- engines


def test_the_only_engine_stands_for_the_boat() -> None:
    """One engine's hours, power and serial number are held against the listing's figures, once."""
    engine = Engine(name="main", maker="Invented", hours=_q("412 h"), power=_q("201 kW"), serial="K7")
    lines = _lines(
        BoatFacts(engine_hours=_q("310 h"), engine_power=_q("270 hp"), engine_serial="K-7"),
        BoatFacts(engines=(engine,)),
    )
    assert {what: line.agrees for what, line in lines.items()} == {
        "engine power": True,
        "engine serial": True,
        "engine hours": False,
        "main engine: maker": None,
    }
    assert lines["engine hours"].found == _q("412 h")


def test_an_engine_that_contradicts_the_boats_own_key_is_shown() -> None:
    """Two hours noted for one engine both stand on the page."""
    lines = _lines(None, BoatFacts(engine_hours=_q("412 h"), engines=(Engine(hours=_q("415 h")),)))
    assert [(x.what, str(x.found)) for x in lines.values()] == [
        ("engine hours", "412 h"),
        ("engine: hours", "415 h"),
    ]


@pytest.mark.parametrize(
    ("port", "starboard", "agrees"),
    [
        ("310 h", "310 h", True),
        ("310 h", "512 h", False),
        (None, "512 h", False),
        (None, "310 h", None),
        (None, None, None),
    ],
)
def test_one_figure_of_hours_is_held_against_each_engine(
    port: str | None, starboard: str | None, agrees: bool | None
) -> None:
    """One engine that differs is enough to disagree; one that isn't known leaves it open."""
    engines = tuple(
        Engine(name=n, hours=_q(h) if h else None) for n, h in (("port", port), ("starboard", starboard))
    )
    lines = _lines(BoatFacts(engine_hours=_q("310 h")), BoatFacts(engines=engines))
    assert lines["engine hours"].agrees is agrees
    assert ("port engine: hours" in lines) == (port is not None)


@pytest.mark.parametrize(("serial", "agrees"), [("A1", True), ("B-2", True), ("C3", False)])
def test_a_serial_number_of_one_of_several_engines_agrees(serial: str, agrees: bool) -> None:
    """A listing that names one of two serial numbers isn't wrong."""
    engines = (Engine(name="port", serial="A1"), Engine(name="starboard", serial="B2"))
    assert (
        _lines(BoatFacts(engine_serial=serial), BoatFacts(engines=engines))["engine serial"].agrees is agrees
    )


@pytest.mark.parametrize(
    ("power", "agrees"),
    [("300 hp", True), ("300.5 hp", True), ("300.6 hp", False), ("224 kW", True), ("150 hp", False)],
)
def test_power_of_a_listing_is_held_against_all_engines_together(power: str, agrees: bool) -> None:
    """Two of 150 hp are 300 hp, which is 223.7 kW."""
    engines = (Engine(name="port", power=_q("150 hp")), Engine(name="starboard", power=_q("150 hp")))
    line = _lines(BoatFacts(engine_power=_q(power)), BoatFacts(engines=engines))["engine power"]
    assert line.agrees is agrees
    assert line.note == "all engines found together"


def test_power_of_several_engines_is_open_while_one_is_unknown() -> None:
    """A part of the total is never held against the whole."""
    engines = (Engine(name="port", power=_q("150 hp")), Engine(name="starboard"))
    line = _lines(BoatFacts(engine_power=_q("300 hp")), BoatFacts(engines=engines))["engine power"]
    assert (line.found, line.agrees, line.note) == (None, None, "not found out")


def test_engines_are_matched_by_name_else_by_order() -> None:
    """`port` and `Port engine` are one; those without names stand in order; one not found is told."""
    listed = (Engine(name="Starboard engine", hours=_q("10 h")), Engine(name="port", hours=_q("20 h")))
    aboard = (Engine(name="port", hours=_q("20 h")), Engine(name="starboard", hours=_q("11 h")))
    lines = _lines(BoatFacts(engines=listed), BoatFacts(engines=aboard))
    assert [(x.what, x.agrees) for x in lines.values()] == [
        ("port engine: hours", True),
        ("starboard engine: hours", False),
    ]
    unnamed = tuple(dataclasses.replace(e, name="") for e in listed)
    lines = _lines(BoatFacts(engines=unnamed), BoatFacts(engines=unnamed))
    assert [(x.what, x.agrees) for x in lines.values()] == [
        ("engine 1: hours", True),
        ("engine 2: hours", True),
    ]
    lines = _lines(BoatFacts(engines=listed), BoatFacts(engines=aboard[:1]))
    assert lines["Starboard engine: hours"].note == "not found out"


def test_serial_numbers_of_engines_agree_whatever_their_hyphens() -> None:
    """A number's hyphen says nothing; in a maker's name it does, also within an engine's lines."""
    listed, aboard = (
        Engine(name="port", serial="K-7", maker="Ash-Bay"),
        Engine(name="port", serial="k7", maker="AshBay"),
    )
    other = Engine(name="starboard", serial="B2")
    lines = _lines(BoatFacts(engines=(listed, other)), BoatFacts(engines=(aboard, other)))
    assert lines["port engine: serial"].agrees is True
    assert lines["port engine: maker"].agrees is False


def test_each_machine_is_called_by_what_it_is() -> None:
    """A name that says so already is not doubled, and a number stands behind the word."""
    named = (Engine(name="Main engine", hours=_q("1 h")), Engine(hours=_q("2 h")))
    found = _lines(None, BoatFacts(engines=named, drives=(Engine(name="port", hours=_q("3 h")),)))
    assert list(found) == ["Main engine: hours", "engine 2: hours", "port drive: hours"]


# ---- capacity plate


@pytest.mark.parametrize(
    ("powers", "agrees"),
    [
        (("300 hp",), True),
        (("300.1 hp",), False),
        (("150 hp", "150 hp"), True),
        (("150 hp", "151 hp"), False),
        (("224 kW",), True),  # 300.4 hp, and half a kilowatt is 0.67 hp
        (("225 kW",), False),  # 301.7 hp
        (("150 hp", None), None),
        (("310 hp", None), False),
    ],
)
def test_engines_against_the_capacity_plate(powers: tuple[str | None, ...], agrees: bool | None) -> None:
    """A total on the plate's figure keeps it; a part already above it is told; an unknown part stays open."""
    engines = tuple(Engine(name=f"e{n}", power=_q(p) if p else None) for n, p in enumerate(powers))
    lines = _lines(None, BoatFacts(engines=engines, capacity_plate=CapacityPlate(power=_q("300 hp"))))
    line = lines["power against capacity plate"]
    assert line.agrees is agrees
    assert ("above it" in line.note) == (agrees is False)
    assert ("local law" in line.note) == (agrees is False)
    assert "183" in sources.get(line.source_id).clause


def test_the_boats_own_power_serves_where_no_engine_is_listed() -> None:
    """Without any power there is nothing to hold against the plate."""
    plate = CapacityPlate(power=_q("300 hp"))
    lines = _lines(None, BoatFacts(engine_power=_q("310 hp"), capacity_plate=plate))
    assert lines["power against capacity plate"].agrees is False
    assert "power against capacity plate" not in _lines(None, BoatFacts(capacity_plate=plate))


def test_a_plate_noted_on_one_side_alone_has_its_lines() -> None:
    """What the listing doesn't tell of the plate is not advertised, and the other way round not found out."""
    plate = CapacityPlate(persons=6, load=_q("900 lb"))
    seen, said = _lines(None, BoatFacts(capacity_plate=plate)), _lines(BoatFacts(capacity_plate=plate), None)
    assert {what: line.note for what, line in seen.items()} == {
        "capacity plate: persons": "not advertised",
        "capacity plate: load": "not advertised",
    }
    assert {line.note for line in said.values()} == {"not found out"}
    assert seen["capacity plate: persons"].found == said["capacity plate: persons"].advertised == 6


def test_part_of_the_power_keeps_the_plate_open_in_words() -> None:
    """The note says what was added up; whole and kept, it ends there."""
    plate = CapacityPlate(power=_q("300 hp"))
    known, unknown = Engine(name="port", power=_q("150 hp")), Engine(name="starboard")
    part = _lines(None, BoatFacts(engines=(known, unknown), capacity_plate=plate))
    assert part["power against capacity plate"].note == (
        "The plate states at most 300 hp; the engines found come to 150 hp, "
        "without those whose power isn't known."
    )
    whole = _lines(None, BoatFacts(engines=(known,), capacity_plate=plate))["power against capacity plate"]
    assert whole.note == "The plate states at most 300 hp; the engines found come to 150 hp."
    assert (whole.advertised, whole.found) == (None, _q("150 hp"))


# ---- model year


@pytest.mark.parametrize(
    ("advertised", "found", "agrees", "said"),
    [
        (2019, 2019, True, ""),
        (2019, None, True, ""),
        (2020, 2019, False, "advertised: 2020"),
        (2019, 2018, False, "noted aboard: 2018"),
        (None, 2018, False, "noted aboard: 2018"),
        (None, None, None, "not advertised"),
    ],
)
def test_model_year_of_the_hull_number(
    advertised: int | None, found: int | None, agrees: bool | None, said: str
) -> None:
    """It is held against the year advertised and the year noted; either can disagree."""
    assert HULL.model_year == 2019
    line = _lines(BoatFacts(built=advertised), BoatFacts(built=found), HULL)["model year in the hull number"]
    assert (line.advertised, line.found, line.agrees) == (advertised, 2019, agrees)
    assert line.note.startswith(said)
    assert bool(line.note) == bool(said)


def test_a_hull_number_without_model_year_settles_nothing() -> None:
    """A number that can't be read neither agrees nor disagrees."""
    unread = hullnumber.read("no number", latest=datetime.date(2027, 6, 1))
    line = _lines(BoatFacts(built=2019), None, unread)["model year in the hull number"]
    assert (line.found, line.agrees) == (None, None)
    assert "no model year" in line.note


def test_hours_of_each_engine_stand_beside_the_advertised_ones() -> None:
    """A listing's one figure against two engines: a bare no would leave the reader to look for them."""
    engines = (
        Engine("port", hours=Quantity(Decimal(1184), "h")),
        Engine("stbd", hours=Quantity(Decimal(1196), "h")),
    )
    vessel = Vessel(
        advertised=BoatFacts(engine_hours=Quantity(Decimal(900), "h")), found=BoatFacts(engines=engines)
    )
    line = {line.what: line for line in identity.compare(vessel, None)}["engine hours"]
    assert (line.found, line.note) == ("1184 h, 1196 h", "held against each engine found")
