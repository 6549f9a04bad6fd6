"""What safety equipment was found aboard, and the facts that the rules on it and on capacity ask for."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from reportgen.block import Block, key
from reportgen.errors import Place
from reportgen.units import Quantity
from reportgen.values import Context, Custom, ListOf, Measure, OneOf, Text, Whole, YesNo, wrong
from reportgen.yamltext import Node

PROPULSION = ("outboard", "sterndrive", "inboard", "jet", "sail alone", "oars or paddles")
CRAFT = (
    "canoe",
    "kayak",
    "rowing boat",
    "open sailboat",
    "sailboard",
    "racing shell",
    "inflatable",
    "multihull",
)
SOUNDS = ("none", "whistle", "horn", "bell", "gong")
UNDATED = "none"
_STAMP = re.compile(
    r"\d{2}|\d{4}|\d{4}-(0[1-9]|1[0-2])|\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])", re.ASCII
)


def _stamp(node: Node, context: Context) -> str | None:
    """Read a date as stamped: 14, 2014, 2014-05, 2014-05-31, or none where the thing bears no date."""
    text = Text().read(node, context)
    if text is not None and text != UNDATED and not _STAMP.fullmatch(text):
        wrong(
            node, context, "write what is stamped: 2014, 14, 2014-05 or 2014-05-31; none if there is no date"
        )
        return None
    return text


STAMP = Custom("year, month or date as stamped, or none", _stamp, (Text(),))


@dataclass(frozen=True)
class Extinguisher:
    """Portable extinguishers of one sort. made, serviced: as stamped, a bare year or two digits included."""

    rating: str = key(Text(), share="open", help="rating on the label: 5-B, 10-B:C, 20-B, B-I", default="")
    count: int = key(Whole(), share="open", help="how many of them, one if left out", default=1)
    made: str = key(STAMP, share="open", help="when made, as stamped on the bottle", default="")
    serviced: str = key(STAMP, share="open", help="when last serviced, by its label", default="")
    sort: str = key(
        OneOf(("disposable", "rechargeable")), share="open", help="disposable or rechargeable", default=""
    )
    gauge: str = key(
        OneOf(("in range", "out of range", "no gauge")), share="open", help="where the needle is", default=""
    )
    pin: bool | None = key(YesNo(), share="open", help="whether the lock pin is firmly in place")
    nozzle: str = key(OneOf(("clear", "blocked")), share="open", help="clear or blocked", default="")
    corrosion: str = key(
        OneOf(("none", "slight", "significant")), share="open", help="corrosion or damage", default=""
    )
    serviceable: bool | None = key(YesNo(), share="open", help="whether it is in good, serviceable condition")


@dataclass(frozen=True)
class Signal:
    """Visual distress signals of one sort."""

    what: str = key(
        Text(),
        share="open",
        help="what it is: hand flare, orange smoke, orange flag, electric light",
        default="",
    )
    count: int = key(Whole(), share="open", help="how many of them, one if left out", default=1)
    made: str = key(STAMP, share="open", help="when made, as marked", default="")
    expires: str = key(STAMP, share="open", help="last day it is good for, as marked", default="")
    for_: str = key(
        OneOf(("day", "night", "both")), share="open", help="day, night or both, as approved", default=""
    )
    serviceable: bool | None = key(YesNo(), share="open", help="whether it is in serviceable condition")


@dataclass(frozen=True)
class Ventilation:
    """How engine and fuel spaces are ventilated."""

    open: bool | None = key(
        YesNo(), share="open", help="whether engine and fuel spaces are open to the atmosphere"
    )
    natural: bool | None = key(YesNo(), share="open", help="whether there is natural ventilation")
    ducts: int | None = key(Whole(), share="open", help="ventilator ducts, intake and exhaust together")
    powered: bool | None = key(YesNo(), share="open", help="whether there is an exhaust blower")
    works: bool | None = key(YesNo(), share="open", help="whether the ventilation works")
    net_volume: Quantity | None = key(
        Measure("volume"), share="open", help="net volume of the engine space and what is open to it"
    )
    open_area: Quantity | None = key(
        Measure("area"), share="open", help="area of the space that is open to the atmosphere"
    )
    blower_rating: Quantity | None = key(Measure("flow"), share="open", help="rated capacity of the blowers")
    blower_output: Quantity | None = key(
        Measure("flow"), share="open", help="what the blowers move as installed, engine off"
    )
    supply_opening: Quantity | None = key(
        Measure("area"), share="open", help="area of the natural supply openings"
    )
    exhaust_opening: Quantity | None = key(
        Measure("area"), share="open", help="area of the natural exhaust openings"
    )


@dataclass(frozen=True)
class SafetyEquipment:
    """What was found aboard. None: nobody noted it, which is not the same as none found."""

    persons: int | None = key(
        Whole(), share="open", help="persons aboard, if not the capacity plate's number"
    )
    use: str = key(
        OneOf(("recreational", "commercial")), share="open", help="what the boat is used for", default=""
    )
    craft: str = key(OneOf(CRAFT), share="open", help="craft that the rules treat apart", default="")
    propulsion: str = key(
        OneOf(PROPULSION), share="open", help="what drives it, where the type does not tell", default=""
    )
    static_thrust: Quantity | None = key(
        Measure("force"), share="open", help="static thrust, where the engine's power is not known"
    )
    wearable_life_jackets: int | None = key(Whole(), share="open", help="wearable life jackets aboard")
    throwable_device: int | None = key(Whole(), share="open", help="throwable flotation devices aboard")
    fire_extinguishers: tuple[Extinguisher, ...] | None = key(
        ListOf(Block(Extinguisher, "an extinguisher", "rating")),
        share="open",
        help="portable extinguishers, or none",
    )
    fixed_extinguishing_system: bool | None = key(
        YesNo(), share="open", help="whether the engine space has a fixed system"
    )
    traps_vapour: bool | None = key(
        YesNo(),
        share="open",
        help="whether gas or vapour can gather: built-in tank, closed stowage or living space, double bottom",
    )
    distress_signals: tuple[Signal, ...] | None = key(
        ListOf(Block(Signal, "a distress signal", "what")),
        share="open",
        help="visual distress signals, or none",
    )
    night_use: bool | None = key(YesNo(), share="open", help="whether it is used between sunset and sunrise")
    sound_signals: tuple[str, ...] | None = key(
        ListOf(OneOf(SOUNDS)), share="open", help="sound signals aboard"
    )
    ventilation: Ventilation | None = key(
        Block(Ventilation, "the ventilation"), share="open", help="how engine and fuel spaces are ventilated"
    )
    flame_control: bool | None = key(
        YesNo(), share="open", help="whether every gasoline engine has a backfire flame control"
    )
    cut_off_switch: bool | None = key(
        YesNo(), name="cut-off switch", share="open", help="whether an engine cut-off switch is fitted"
    )
    cut_off_link: bool | None = key(
        YesNo(), name="cut-off link", share="open", help="whether its lanyard or link is aboard"
    )
    helm: str = key(
        OneOf(("open", "enclosed cabin")), share="open", help="where the main helm is", default=""
    )
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Capacity:
    """What the builders' rules on capacity are worked out from. Lengths and weights with their unit."""

    transom_width: Quantity | None = key(Measure("length"), share="open", help="width of the transom")
    transom_height: Quantity | None = key(Measure("length"), share="open", help="height of the transom")
    remote_steering: bool | None = key(YesNo(), share="open", help="whether it is steered by a remote wheel")
    flat_bottom: bool | None = key(YesNo(), share="open", help="whether the bottom is flat with hard chines")
    boat_weight: Quantity | None = key(Measure("mass"), share="open", help="weight of the boat")
    largest_displacement: Quantity | None = key(
        Measure("mass"), share="open", help="weight of water displaced when loaded to where water comes in"
    )
    persons_load: Quantity | None = key(
        Measure("mass"), share="open", help="weight of persons on the capacity plate"
    )
    persons_load_by_weight: Quantity | None = key(
        Measure("mass"), share="open", help="persons' weight by the weight rule"
    )
    stability_load: Quantity | None = key(
        Measure("mass"), share="open", help="weight A of the stability test"
    )
    place: Place = field(default=Place())
