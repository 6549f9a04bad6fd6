"""The boat: what was advertised beside what was found, its engines, drives and capacity plate."""

from __future__ import annotations

from dataclasses import dataclass, field

from reportgen.block import Block, key
from reportgen.boats import TYPES
from reportgen.errors import Place
from reportgen.units import Quantity
from reportgen.values import ListOf, Measure, OneOf, Text, Whole

WATERS = ("inland", "coastal", "offshore")
FUELS = ("gasoline", "diesel")


@dataclass(frozen=True)
class Engine:
    """An engine, drive, gearbox or generator. strokes: 2 or 4. hours: running hours [h]."""

    name: str = key(Text(), share="open", help="what it is called in the notes", default="")
    maker: str = key(Text(), share="open", help="maker", default="")
    model: str = key(Text(), share="open", help="model", default="")
    serial: str = key(Text(), share="serial", help="serial number", default="")
    power: Quantity | None = key(Measure("power"), share="open", help="power: hp or kW")
    hours: Quantity | None = key(Measure("time", "h"), share="open", help="running hours")
    built: int | None = key(Whole(1900), share="open", help="year built")
    cylinders: int | None = key(Whole(1), share="open", help="number of cylinders")
    fuel: str = key(OneOf(FUELS), share="open", help="gasoline or diesel", default="")
    strokes: int | None = key(Whole(2), share="open", help="2 or 4")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class CapacityPlate:
    """What the maker's plate states."""

    persons: int | None = key(Whole(), share="open", help="persons")
    load: Quantity | None = key(Measure("mass"), share="open", help="load: lb or kg")
    power: Quantity | None = key(Measure("power"), share="open", help="largest engine: hp or kW")


@dataclass(frozen=True)
class BoatFacts:
    """The facts of a boat, as advertised or as found. length, beam, draft with their unit."""

    maker: str = key(Text(), share="open", help="builder", default="")
    model: str = key(Text(), share="open", help="model", default="")
    built: int | None = key(Whole(1900), share="open", help="model year")
    length: Quantity | None = key(Measure("length"), share="open", help="length over all")
    beam: Quantity | None = key(Measure("length"), share="open", help="beam")
    draft: Quantity | None = key(Measure("length"), share="open", help="draft")
    displacement: Quantity | None = key(Measure("mass"), share="open", help="displacement")
    material: str = key(Text(), share="open", help="hull material", default="")
    hull_number: str = key(
        Text(), share="hull number", help="hull identification number as on the boat", default=""
    )
    second_hull_number: str = key(
        Text(),
        share="hull number",
        help="the same number as read at its second place, often hidden",
        default="",
    )
    registration: str = key(Text(), share="serial", help="registration or document number", default="")
    hailing_port: str = key(Text(), share="identity", help="hailing port", default="")
    engine: str = key(Text(), share="open", help="engine in words", default="")
    engine_power: Quantity | None = key(Measure("power"), share="open", help="engine power")
    engine_serial: str = key(Text(), share="serial", help="engine serial number", default="")
    engine_hours: Quantity | None = key(Measure("time", "h"), share="open", help="engine hours")
    capacity_plate: CapacityPlate | None = key(
        Block(CapacityPlate, "the capacity plate"), share="open", help="plate"
    )
    engines: tuple[Engine, ...] = key(
        ListOf(Block(Engine, "an engine")), share="open", help="engines", default=()
    )
    drives: tuple[Engine, ...] = key(
        ListOf(Block(Engine, "a drive")), share="open", help="drives", default=()
    )
    gearboxes: tuple[Engine, ...] = key(
        ListOf(Block(Engine, "a gearbox")), share="open", help="gearboxes", default=()
    )
    generators: tuple[Engine, ...] = key(
        ListOf(Block(Engine, "a generator")), share="open", help="generators", default=()
    )
    trailer: str = key(Text(), share="open", help="trailer in words", default="")


@dataclass(frozen=True)
class Vessel:
    """The boat of the survey."""

    name: str = key(Text(), share="open", help="the boat's name", default="")
    type: str = key(OneOf(TYPES), need="must", share="open", help="type of boat", default="")
    waters: str = key(
        OneOf(WATERS), share="open", help="where it is used; the Great Lakes count as coastal", default=""
    )
    advertised: BoatFacts | None = key(
        Block(BoatFacts, "advertised"), share="open", help="what the listing says"
    )
    found: BoatFacts | None = key(Block(BoatFacts, "found"), share="open", help="what was found aboard")
