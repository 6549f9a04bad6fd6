"""Works out by the builders' rules what a capacity plate may state: persons, weight and engine power."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from reportgen import identity, units
from reportgen.aboard import Facts, Requirement, not_judged, not_noted
from reportgen.blocks.vessel import CapacityPlate
from reportgen.units import Quantity
from reportgen.wording import later, number, say, say_in, say_n

PART = "capacity"
CLAUSES = ("183.53", "183.33", "183.35", "183.37", "183.41", "183.43")
SCOPE_FT = 20.0  # single hulls below it
PERSON_LB, ALLOWANCE_LB = 141.0, 32.0
STABILITY_SHARE, STABILITY_LB = 0.6, 550.0
TRANSOM_IN = 20.0
# (factor up to, hp); factor = length x transom width in feet, to the nearest whole number
SMALL_FACTORS = ((35, 3.0), (39, 5.0), (42, 7.5), (45, 10.0), (52, 15.0))
PERSONS, MANUAL_PERSONS, POWER = "cfr-33-183.41", "cfr-33-183.43", "cfr-33-183.53"
WEIGHT = {"outboard": "cfr-33-183.35", "inboard": "cfr-33-183.33", "manual": "cfr-33-183.37"}
FROM_MEMORY = later("The rule's formula is from memory.")
IN_FORCE = later("a rule for builders, edition of 2001")
NOT_FOR = ("canoe", "kayak", "open sailboat", "sailboard", "racing shell", "inflatable", "multihull")


def persons(load_lb: float) -> int:
    """Give the whole number of persons that a persons' weight [lb] stands for; half rounds up.

    Source: 33 CFR 183.41(b): (weight + 32) / 141.
    """
    return math.floor((load_lb + ALLOWANCE_LB) / PERSON_LB + 0.5 + 1e-9)


def persons_load_lb(by_weight_lb: float, stability_lb: float | None) -> float | None:
    """Give the persons' weight [lb]: the lesser of weight rule and stability test, needless from 550 lb.

    stability_lb: weight A of the test [lb]; None if it was not made, and the result None if it is needed.
    Source: Coast Guard boatbuilder's handbook: A / 0.6, compared unrounded (it prints 546 for 546.67).
    """
    if by_weight_lb >= STABILITY_LB:
        return by_weight_lb
    return None if stability_lb is None else min(by_weight_lb, stability_lb / STABILITY_SHARE)


def manual_persons_load_lb(weight_lb: float, small_outboard: bool) -> float:
    """Give the persons' weight [lb] of a boat that is rowed: 90 % of capacity, less 25 lb with up to 2 hp.

    Source: 33 CFR 183.43(a).
    """
    return 0.9 * weight_lb - (25.0 if small_outboard else 0.0)


def weight_lb(propulsion: str, displacement_lb: float, boat_lb: float) -> float:
    """Give the maximum weight capacity [lb] by what drives the boat.

    propulsion: outboard, inboard (sterndrives too) or manual. displacement_lb, boat_lb: weights [lb].
    Source: 33 CFR 183.35 read as quoted; 183.33 and 183.37 from memory.
    """
    if propulsion == "outboard":
        return (displacement_lb - boat_lb) / 5.0
    if propulsion == "inboard":
        return max(displacement_lb / 5.0, displacement_lb / 1.4 - boat_lb)
    return 0.3 * (displacement_lb - boat_lb)


def power_hp(
    length_ft: float, transom_ft: float, remote_steering: bool, transom_in: float, flat_bottom: bool
) -> float:
    """Give the largest engine [hp] of a single-hulled outboard boat under 20 ft.

    length_ft, transom_ft: length and width of the transom [ft]. transom_in: its height [in].
    flat_bottom: flat with hard chines. Above factor 52 the result is raised to the next multiple of 5.
    Source: 33 CFR 183.53 and its table; the third of the formulas (0.8 F - 25) from memory.
    """
    factor = length_ft * transom_ft
    whole = math.floor(factor + 0.5 + 1e-9)
    if whole <= SMALL_FACTORS[-1][0]:
        step = next(n for n, (most, _) in enumerate(SMALL_FACTORS) if whole <= most)
        return SMALL_FACTORS[max(0, step - flat_bottom)][1]
    if remote_steering and units.within(transom_in, TRANSOM_IN, "minimum"):
        power = 2.0 * factor - 90.0
    else:
        power = 0.5 * factor - 15.0 if flat_bottom else 0.8 * factor - 25.0
    return 5.0 * math.ceil(power / 5.0 - 1e-9)


def lines(
    facts: Facts, plate: CapacityPlate | None, compared: Iterable[identity.Line]
) -> tuple[Requirement, ...]:
    """Give what the plate states against what the rules give, and the engines against the plate.

    compared: advertised against found, which holds the line of the engines' power.
    """
    return (*_plate(facts, plate), *_engines(plate, compared))


def _plate(facts: Facts, plate: CapacityPlate | None) -> Iterator[Requirement]:
    if plate is None or not any((plate.persons, plate.load, plate.power)):
        return
    out = _out_of_scope(facts)
    if out:
        why = say("Not judged: {out}.", out=out)
        yield _line("plate's figures", not_judged(), stated(plate), None, why, POWER)
        return
    if plate.persons:
        yield _persons(facts, plate.persons)
    if plate.load:
        yield _weight(facts, plate.load)
    if plate.power:
        yield _power(facts, plate.power)


def stated(plate: CapacityPlate) -> str:
    """Give what a plate states in a line: persons, load and power, as far as it does."""
    persons = say_n("{n} person", "{n} persons", plate.persons) if plate.persons else ""
    return ", ".join(words for words in (persons, str(plate.load or ""), str(plate.power or "")) if words)


def _line(
    what: str, required: int | str, found: int | str, met: bool | None, why: str, source: str
) -> Requirement:
    return Requirement(
        f"capacity plate: {what}", required, found, met, why, source, say(IN_FORCE), PART, CLAUSES
    )


def _out_of_scope(facts: Facts) -> str:
    if facts.length_ft is None:
        return say("the length found is not told, and the rules end at 20 ft")
    if facts.from_ft(SCOPE_FT):
        return say(
            "the builders' rules are for boats under 20 ft, and this one has {length_ft} ft",
            length_ft=number(f"{facts.length_ft:.4g}"),
        )
    if facts.aboard.craft in NOT_FOR:
        return say("the builders' rules are not for a {craft}", craft=say_in("craft", facts.aboard.craft))
    if not facts.propulsion:
        return say("what drives the boat is not told")
    return say("the builders' rules are not for sailboats") if facts.propulsion == "sail alone" else ""


def _persons(facts: Facts, stated: int) -> Requirement:
    """Hold the number of persons against the weight of persons: noted, or worked out."""
    own = facts.capacity
    load, how = _persons_load(facts)
    if own.persons_load:
        load, how = (
            own.persons_load.to("lb"),
            say("The plate gives {persons_load} for persons", persons_load=own.persons_load),
        )
    if load is None:
        why = say("Not judged: neither the plate's weight of persons nor what it is worked out from is told.")
        return _line("persons", not_judged(), stated, None, why, PERSONS)
    most = persons(load)
    why = say(
        "{how}: ({load} + 32) / 141 = {load_2}, half rounding up.",
        how=how,
        load=number(f"{load:.1f}"),
        load_2=number(f"{(load + ALLOWANCE_LB) / PERSON_LB:.3f}"),
    )
    source = MANUAL_PERSONS if facts.manual else PERSONS
    return _line("persons", say("at most {most}", most=most), stated, stated <= most, why, source)


def _persons_load(facts: Facts) -> tuple[float | None, str]:
    own = facts.capacity
    if facts.manual:
        weight = _weight_lb(facts)
        if weight is None:
            return None, ""
        small = facts.power_hp is not None and 0.0 < facts.power_hp <= 2.0
        load = manual_persons_load_lb(weight, small)
        text = later("90 % of the weight capacity is {load} lb")
        if small:
            text = later("90 % of the weight capacity, less 25 lb is {load} lb")
        return load, say(text, load=number(f"{load:.1f}"))
    if own.persons_load_by_weight is None:
        return None, ""
    stability = own.stability_load.to("lb") if own.stability_load else None
    worked = persons_load_lb(own.persons_load_by_weight.to("lb"), stability)
    return worked, say(
        "By weight rule and stability test {worked} lb", worked=number(f"{worked:.1f}")
    ) if worked is not None else ""


def _weight_lb(facts: Facts) -> float | None:
    own = facts.capacity
    if own.largest_displacement is None or own.boat_weight is None:
        return None
    drive = _drive(facts)
    return weight_lb(drive, own.largest_displacement.to("lb"), own.boat_weight.to("lb"))


def _drive(facts: Facts) -> str:
    return "manual" if facts.manual else "outboard" if facts.propulsion == "outboard" else "inboard"


def _weight(facts: Facts, stated: Quantity) -> Requirement:
    most, drive = _weight_lb(facts), _drive(facts)
    if most is None:
        why = say("Not judged: boat's weight or largest displacement is not told.")
        return _line("weight", not_judged(), str(stated), None, why, WEIGHT[drive])
    formula = {
        "outboard": say("(displacement − boat) / 5"),
        "inboard": say("the greater of displacement / 5 and displacement / 1.4 − boat"),
        "manual": say("3/10 of (displacement − boat)"),
    }[drive]
    met = units.within(stated.to("lb"), most, "maximum")
    given = f"{formula[:1].upper()}{formula[1:]}"
    why = say("{formula} gives {most} lb.", formula=given, most=number(f"{most:.1f}"))
    if drive != "outboard":
        why += f" {say(FROM_MEMORY)}"
    return _line(
        "weight", say("at most {most} lb", most=number(f"{most:.0f}")), str(stated), met, why, WEIGHT[drive]
    )


def _power(facts: Facts, stated: Quantity) -> Requirement:
    own = facts.capacity
    if facts.propulsion != "outboard":
        why = say("Not judged: the rule on engine power is for outboard boats.")
        return _line("power", not_judged(), str(stated), None, why, POWER)
    width = own.transom_width.to("ft") if own.transom_width else None
    if width is None or facts.length_ft is None:
        return _line(
            "power",
            not_judged(),
            str(stated),
            None,
            say("Not judged: the transom's width is not told."),
            POWER,
        )
    # each missing fact is tried both ways: if the result is the same, it is not needed
    steering = (own.remote_steering,) if own.remote_steering is not None else (True, False)
    heights = (own.transom_height.to("in"),) if own.transom_height else (TRANSOM_IN, 0.0)
    bottoms = (own.flat_bottom,) if own.flat_bottom is not None else (True, False)
    results = {power_hp(facts.length_ft, width, s, h, b) for s in steering for h in heights for b in bottoms}
    factor = say(
        "{length_ft} ft × {width} ft = factor {length_ft_2}",
        length_ft=number(f"{facts.length_ft:.4g}"),
        width=number(f"{width:.4g}"),
        length_ft_2=number(f"{facts.length_ft * width:.4g}"),
    )
    verdicts = {units.within(stated.to("hp"), result, "maximum") for result in results}
    if len(results) > 1 and len(verdicts) > 1:
        why = say(
            "Not judged: {factor}; steering, height of the transom or form of the bottom are not told.",
            factor=factor,
        )
        return _line("power", not_judged(), str(stated), None, why, POWER)
    most = f" {say('or')} ".join(number(f"{r:g}") for r in sorted(results))
    why = say("{factor}. The builder may have shown more by a test where the rules allow one.", factor=factor)
    return _line("power", say("at most {most} hp", most=most), str(stated), verdicts.pop(), why, POWER)


def _engines(plate: CapacityPlate | None, compared: Iterable[identity.Line]) -> Iterator[Requirement]:
    if plate is None or plate.power is None:
        return
    own = next((line for line in compared if line.source_id == identity.PLATE_SOURCE), None)
    yield Requirement(
        what=say("engines against capacity plate"),
        required=say("at most {power}", power=plate.power),
        found=not_noted() if own is None else str(own.found),
        met=own.agrees if own else None,
        why=own.note if own else say("Not judged: the engines' power is not told."),
        source_id=identity.PLATE_SOURCE,
        in_force=say(IN_FORCE),
        part=PART,
        clauses=CLAUSES,
    )
