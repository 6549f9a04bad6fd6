"""Holds what was advertised of the boat against what was found aboard, line by line."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from reportgen import units
from reportgen.block import named, shown
from reportgen.blocks.vessel import BoatFacts, Engine, Vessel
from reportgen.hullnumber import HullNumber
from reportgen.units import Quantity
from reportgen.wording import later, say

Value = str | int | Quantity | None
PLATE_SOURCE = "capacity-plate-power"
NOT_FOUND_OUT = later("not found out")
NOT_ADVERTISED = later("not advertised")
EACH_ENGINE = later("held against each engine found")
ALL_ENGINES = later("all engines found together")
ABOVE_PLATE = later(
    "In the United States the figure is the builder's, by federal rules for outboard "
    "boats with a single hull under 20 ft. Whether more power may be used is for local "
    "law, and an insurer or a lender may ask: have it settled before the boat changes "
    "hands."
)
TOLERANCE = later("the difference is within half a unit of the last digit written")
_NUMBERS = (
    "hull_number",
    "second_hull_number",
    "registration",
    "engine_serial",
    "serial",
)  # compared by letters and digits alone
_GROUPS = {"engines": "engine", "drives": "drive", "gearboxes": "gearbox", "generators": "generator"}


@dataclass(frozen=True)
class Line:
    """One fact of the boat. advertised, found: as written, None if not given.

    agrees: None where one of the two is missing. note: what the reader has to know, may be empty.
    source_id: id in sources.yaml of what the note rests on, empty if on nothing published.
    """

    what: str = shown("open", "")
    advertised: Value = shown("open")
    found: Value = shown("open")
    agrees: bool | None = shown("open")
    note: str = shown("open", "")
    source_id: str = shown("open", "")


@dataclass(frozen=True)
class HullNumberLine(Line):
    """The line of the hull number, whose digits a public edition masks."""

    advertised: Value = shown("hull number")
    found: Value = shown("hull number")


@dataclass(frozen=True)
class SerialLine(Line):
    """A line of a serial or registration number, which a public edition masks."""

    advertised: Value = shown("serial")
    found: Value = shown("serial")


@dataclass(frozen=True)
class HailingLine(Line):
    """A line that tells whose boat it is, such as the hailing port."""

    advertised: Value = shown("identity")
    found: Value = shown("identity")


_LINES: dict[str, type[Line]] = {
    "open": Line,
    "hull number": HullNumberLine,
    "serial": SerialLine,
    "identity": HailingLine,
}


def compare(vessel: Vessel, hull: HullNumber | None = None) -> tuple[Line, ...]:
    """Give a line for each fact that was advertised or found, in the order of the vessel's keys.

    hull: the hull number as found and read, None if there is none.
    Quantities agree if they differ by no more than half a unit of the last digit written, of the coarser
    of the two; text whatever its case and blanks; numbers of papers and plates whatever their hyphens too.
    """
    advertised, found = vessel.advertised or BoatFacts(), vessel.found or BoatFacts()
    return (
        *_facts(advertised, found),
        *(line for group in _GROUPS for line in _group(group, advertised, found)),
        *_plate(advertised, found),
        *_model_year(advertised, found, hull),
    )


def same_quantity(one: Quantity, other: Quantity) -> bool:
    """Say whether two quantities agree within half a unit of the last digit of the coarser one."""
    slack = max(_half_digit(one, one.unit), _half_digit(other, one.unit))
    return units.within(abs(float(one.value) - other.to(one.unit)), slack, "maximum")


def _half_digit(quantity: Quantity, unit: str) -> float:
    """Give half a unit of a quantity's last written digit [unit]."""
    exponent = quantity.value.as_tuple().exponent
    half = 0.5 * 10.0 ** (exponent if isinstance(exponent, int) else 0)
    return units.convert(half, quantity.unit, unit)


def _line(what: str, advertised: Value, found: Value, share: str = "open", number: bool = False) -> Line:
    """Give the line of one fact, judged."""
    agrees, note = _judged(advertised, found, number)
    return _LINES[share](what, advertised, found, agrees, note)


def _judged(advertised: Value, found: Value, number: bool) -> tuple[bool | None, str]:
    if found is None:
        return None, say(NOT_FOUND_OUT)
    if advertised is None:
        return None, say(NOT_ADVERTISED)
    if isinstance(advertised, Quantity) and isinstance(found, Quantity):
        alike = same_quantity(advertised, found)
        exact = advertised == found
        return alike, say(TOLERANCE) if alike and not exact else ""
    return _plain(advertised, number) == _plain(found, number), ""


def _plain(value: Value, number: bool) -> str:
    text = str(value).casefold()
    return re.sub(r"[\W_]", "", text) if number else "".join(text.split())


def _given(facts: object, name: str) -> Value:
    """Give a fact, None for one that the notes leave out."""
    value: Value = getattr(facts, name)
    return None if value == "" else value


def _fields(block: type) -> Iterator[tuple[str, str, str]]:
    """Give (field, its key, its category) of a block's plain facts."""
    for field in dataclasses.fields(block):
        if "type" in field.metadata and field.name not in (*_GROUPS, "capacity_plate", "name"):
            yield field.name, named(field), field.metadata["share"]


def _facts(advertised: BoatFacts, found: BoatFacts) -> Iterator[Line]:
    for name, what, share in _fields(BoatFacts):
        of_engine = name.removeprefix("engine_") if name.startswith("engine_") else ""
        said, seen = _own(advertised, name, of_engine), _own(found, name, of_engine)
        if said is None and seen is None:
            continue
        if of_engine and seen is None and len(found.engines) > 1:
            yield _of_several(_line(what, said, None, share), of_engine, found.engines)
        else:
            yield _line(what, said, seen, share, name in _NUMBERS)


def _own(facts: BoatFacts, name: str, of_engine: str) -> Value:
    """Give a fact by the boat's own key, else that of its only engine."""
    given = _given(facts, name)
    if given is None and of_engine and len(facts.engines) == 1:
        return _given(facts.engines[0], of_engine)
    return given


def _of_several(line: Line, name: str, engines: tuple[Engine, ...]) -> Line:
    """Hold one figure of a listing against several engines: their total power, else each of them."""
    if name == "power" and isinstance(line.advertised, Quantity):
        total = _total(engines, line.advertised.unit)
        if total is None:
            return line
        alike = same_quantity(line.advertised, total)
        return dataclasses.replace(line, found=_rounded(total), agrees=alike, note=say(ALL_ENGINES))
    outcomes = {_judged(line.advertised, _given(engine, name), name in _NUMBERS)[0] for engine in engines}
    # a serial number names one engine, so one that fits is enough; hours are said of them all
    decided = (True, None, False) if name in _NUMBERS else (False, None, True)
    agrees = next(outcome for outcome in decided if outcome in outcomes)
    if agrees is None:
        return line
    given = ", ".join(str(value) for engine in engines if (value := _given(engine, name)) not in (None, ""))
    # a serial stands, masked or not, in the list of engines alone
    found = line.found if name in _NUMBERS or not given else given
    return dataclasses.replace(line, found=found, agrees=agrees, note=say(EACH_ENGINE))


def _group(group: str, advertised: BoatFacts, found: BoatFacts) -> Iterator[Line]:
    """Give the lines of each engine or drive; those of a listing are matched by name, else by order."""
    pairs = list(_pairs(getattr(advertised, group), getattr(found, group)))
    for number, (one, other) in enumerate(pairs, 1):
        word = _GROUPS[group]
        name = (other and other.name) or (one and one.name) or (str(number) if len(pairs) > 1 else "")
        # a drive may bear the same name as its engine, so each says what it is
        label = (
            name if word in name.lower() else f"{word} {name}" if name.isdigit() else f"{name} {word}".strip()
        )
        for field, what, share in _fields(Engine):
            said, seen = _given(one or Engine(), field), _given(other or Engine(), field)
            if (said is not None or seen is not None) and not (
                group == "engines" and _told_above(field, said, seen, advertised, found)
            ):
                yield _line(f"{label}: {what}", said, seen, share, field in _NUMBERS)


def _told_above(field: str, said: Value, seen: Value, advertised: BoatFacts, found: BoatFacts) -> bool:
    """Say whether the boat's own lines already show a fact of its only engine."""
    own = f"engine_{field}"
    if own not in BoatFacts.__dataclass_fields__ or max(len(advertised.engines), len(found.engines)) > 1:
        return False
    return said in (None, _own(advertised, own, field)) and seen in (None, _own(found, own, field))


def _pairs(
    listed: tuple[Engine, ...], aboard: tuple[Engine, ...]
) -> Iterator[tuple[Engine | None, Engine | None]]:
    rest = list(listed)
    by_order = len(listed) == len(aboard) and not all(e.name for e in listed)
    for position, engine in enumerate(aboard):
        same = [e for e in rest if e.name and _engine_name(e) == _engine_name(engine)]
        match = listed[position] if by_order else same[0] if same else None
        rest = [e for e in rest if e is not match]
        yield match, engine
    for engine in rest:
        yield engine, None


def _engine_name(engine: Engine) -> str:
    return _plain(engine.name, False).removesuffix("engine")


def _total(engines: tuple[Engine, ...], unit: str) -> Quantity | None:
    """Add up the engines' power in a unit, unrounded; None while one of them isn't known."""
    powers = [engine.power for engine in engines]
    if not powers or any(power is None for power in powers):
        return None
    return Quantity(_sum([power for power in powers if power is not None], unit), unit)


def _sum(powers: list[Quantity], unit: str) -> Decimal:
    return sum((p.value if p.unit == unit else Decimal(repr(p.to(unit))) for p in powers), Decimal(0))


def _rounded(quantity: Quantity) -> Quantity:
    """Give a computed quantity to four figures, one that needs no rounding as it is."""
    short = Decimal(f"{quantity.value:.4g}")
    return quantity if short == quantity.value else Quantity(Decimal(f"{short:f}"), quantity.unit)


def _plate(advertised: BoatFacts, found: BoatFacts) -> Iterator[Line]:
    said, seen = advertised.capacity_plate, found.capacity_plate
    for name in ("persons", "load", "power"):
        one, other = (_given(plate, name) if plate else None for plate in (said, seen))
        if one is not None or other is not None:
            yield _line(f"capacity plate: {name}", one, other)
    if seen and seen.power:
        yield from _against_plate(seen.power, found)


def _against_plate(plate: Quantity, found: BoatFacts) -> Iterator[Line]:
    """Hold the engines' power together against the figure on the plate.

    A power in another unit than the plate's may be over by half a unit of its last digit: 224 kW is 300 hp.
    Source: 33 CFR 183.53 and its scope; what follows from more power is local law.
    """
    powers = [e.power for e in found.engines if e.power] or [p for p in (found.engine_power,) if p]
    if not powers:
        return
    complete = len(powers) >= len(found.engines)
    total = Quantity(_sum(powers, plate.unit), plate.unit)
    slack = sum(_half_digit(p, plate.unit) for p in powers if p.unit != plate.unit)
    above = not units.within(float(total.value), float(plate.value) + slack, "maximum")
    text = later("The plate states at most {plate}; the engines found come to {total}.")
    if above:
        text = later(
            "The plate states at most {plate}; the engines found come to {total}, which is above it."
        )
    elif not complete:
        text = later(
            "The plate states at most {plate}; the engines found come to {total}, without those whose power "
            "isn't known."
        )
    note = say(text, plate=plate, total=_rounded(total))
    note += f" {say(ABOVE_PLATE)}" if above else ""
    agrees = False if above else True if complete else None
    yield Line("power against capacity plate", None, _rounded(total), agrees, note, PLATE_SOURCE)


def _model_year(advertised: BoatFacts, found: BoatFacts, hull: HullNumber | None) -> Iterator[Line]:
    """Hold the model year in the hull number against the years advertised and found."""
    if hull is None:
        return
    what = say("model year in the hull number")
    if hull.model_year is None:
        yield Line(
            what, advertised.built, None, None, say("the hull number gives no model year that can be read")
        )
        return
    years = {say("advertised"): advertised.built, say("noted aboard"): found.built}
    apart = [f"{words}: {year}" for words, year in years.items() if year and year != hull.model_year]
    note = (
        say("{apart}; ask whether the year built or the model year is meant", apart=", ".join(apart))
        if apart
        else ""
    )
    agrees = False if apart else True if any(years.values()) else None
    yield Line(
        what, advertised.built, hull.model_year, agrees, note or ("" if agrees else say(NOT_ADVERTISED))
    )
