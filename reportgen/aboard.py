"""What the rules on safety equipment ask about a boat, and a line of required against found."""

from __future__ import annotations

import calendar
import datetime
from dataclasses import dataclass

from reportgen import units, wording
from reportgen.block import shown
from reportgen.blocks.safety import UNDATED, Capacity, SafetyEquipment
from reportgen.hullnumber import HullNumber
from reportgen.model import Cover
from reportgen.wording import later, say, say_in

_BY_TYPE = {
    "outboard runabout": "outboard",
    "gasoline sterndrive": "sterndrive",
    "gasoline inboard": "inboard",
    "diesel inboard cruiser": "inboard",
}
_WITHOUT_ENGINE = ("sail alone", "oars or paddles")
_MANUAL_CRAFT = ("canoe", "kayak", "rowing boat", "racing shell", "sailboard")


@dataclass(frozen=True)
class Requirement:
    """One line: what a rule requires of this boat and what was found.

    required, found: a number, or words where a number would not say it.
    met: None where it could not be judged; `why` then says what is missing.
    source_id: id in sources.yaml. in_force: since when the rule stands, and to which day.
    part: equipment, or capacity for the builder's plate. clauses: by which a finding's `standard` answers it.
    answered_by: ids of the findings that do.
    """

    what: str = shown("open", "")
    required: int | str = shown("open", "")
    found: int | str = shown("open", "")
    met: bool | None = shown("open")
    why: str = shown("open", "")
    source_id: str = shown("open", "")
    in_force: str = shown("open", "")
    part: str = shown("open", "equipment")
    clauses: tuple[str, ...] = shown("open", ())
    answered_by: tuple[str, ...] = shown("open", ())


@dataclass(frozen=True)
class Facts:
    """The facts of a boat that rules turn on; None or empty where the notes do not tell.

    length_ft, length_m: length over all as found [ft], [m]. model_year: as found, else by the hull number.
    built_by: "YYYY-MM" of certification in the hull number. propulsion: one of PROPULSION.
    gasoline: whether any engine or generator burns it. engines: whether any engine is noted.
    power_hp: of all engines together [hp].
    persons: aboard, else of the capacity plate. day: that the report counts on. length: as the notes have it.
    """

    aboard: SafetyEquipment
    capacity: Capacity
    day: datetime.date
    length_ft: float | None = None
    length_m: float | None = None
    model_year: int | None = None
    built_by: str = ""
    propulsion: str = ""
    gasoline: bool | None = None
    engines: bool = False
    gasoline_generator: bool = False
    power_hp: float | None = None
    persons: int | None = None
    by_plate: bool = False
    waters: str = ""
    length: str = ""

    @property
    def machinery(self) -> bool | None:
        """Say whether the boat has propulsion machinery; None if the notes do not tell."""
        if self.propulsion:
            return self.propulsion not in _WITHOUT_ENGINE
        return True if self.engines else None

    @property
    def manual(self) -> bool:
        """Say whether the boat is rowed or paddled."""
        return self.propulsion == "oars or paddles"

    @property
    def gasoline_inside(self) -> bool | None:
        """Say whether a gasoline engine other than an outboard is aboard; None if that is not told."""
        if self.gasoline_generator:
            return True
        if self.gasoline is False or self.propulsion in ("outboard", *_WITHOUT_ENGINE):
            return False
        return True if self.gasoline and self.propulsion else None

    def from_ft(self, limit: float) -> bool | None:
        """Say whether the boat is `limit` [ft] long or more; None where the length is not known."""
        return None if self.length_ft is None else units.within(self.length_ft, limit, "minimum")

    def from_m(self, limit: float) -> bool | None:
        """Say whether the boat is `limit` [m] long or more; None where the length is not known."""
        return None if self.length_m is None else units.within(self.length_m, limit, "minimum")


def facts(cover: Cover, hull: HullNumber | None, day: datetime.date) -> Facts:
    """Gather the facts of a boat from its cover note and its hull number, on a day."""
    found, own = cover.found, cover.safety_equipment or SafetyEquipment()
    propulsion = own.propulsion or _propulsion(cover)
    plate = found.capacity_plate.persons if found.capacity_plate else None
    return Facts(
        aboard=own,
        capacity=cover.capacity or Capacity(),
        day=day,
        length_ft=found.length.to("ft") if found.length else None,
        length_m=found.length.to("m") if found.length else None,
        model_year=found.built or (hull.model_year if hull else None),
        built_by=(hull.certified or "") if hull else "",
        propulsion=propulsion,
        engines=bool(found.engines or found.engine or found.engine_power),
        gasoline=_gasoline(cover, propulsion),
        gasoline_generator=any(g.fuel == "gasoline" for g in found.generators),
        power_hp=_power_hp(cover),
        persons=own.persons if own.persons is not None else plate,
        by_plate=own.persons is None and plate is not None,
        waters=cover.vessel.waters,
        length=found.length.as_noted if found.length else "",
    )


def _propulsion(cover: Cover) -> str:
    """Give what drives a boat, where no key says it: by a craft without an engine, else by its type."""
    craft = cover.safety_equipment.craft if cover.safety_equipment else ""
    if craft in _MANUAL_CRAFT and not cover.found.engines:
        return "sail alone" if craft == "sailboard" else "oars or paddles"
    return _BY_TYPE.get(cover.vessel.type, "")


def _gasoline(cover: Cover, propulsion: str) -> bool | None:
    """Say whether any engine burns gasoline; an outboard's fuel is not guessed from its being one."""
    every = (*cover.found.engines, *cover.found.generators)
    if propulsion in _WITHOUT_ENGINE and not every:
        return False
    fuels = [engine.fuel for engine in every]
    if "gasoline" in fuels or cover.vessel.type.startswith("gasoline"):
        return True
    if cover.vessel.type.startswith("diesel"):
        return False
    return False if fuels and all(fuels) else None


def _power_hp(cover: Cover) -> float | None:
    """Add up the engines' power [hp]; None where one of them is not known."""
    found = cover.found
    powers = [e.power for e in found.engines] or [found.engine_power]
    known = [p.to("hp") for p in powers if p is not None]
    return sum(known) if len(known) == len(powers) else None


def noted(value: int | bool | None, yes: str, no: str) -> str:
    """Give the words for yes and no, or say that nobody noted it."""
    return not_noted() if value is None else yes if value else no


def not_noted() -> str:
    """Give the words for what nobody noted."""
    return say("not noted")


def not_judged() -> str:
    """Give the words for what could not be held against a rule."""
    return say_in("verdict", "not judged")


def none_required() -> str:
    """Give the word where a rule asks for nothing."""
    return say_in("required", "none")


def none_found() -> str:
    """Give the word where nothing is aboard."""
    return say_in("found", "none")


def verdict_on(counts: bool | None, thing: str, why: str) -> str:
    """Say whether a thing that was found counts, with the reason, if there is one."""
    if why:
        texts = {
            True: later("{thing} counts: {why}."),
            False: later("{thing} does not count: {why}."),
            None: later("{thing} may count or not: {why}."),
        }
        return say(texts[counts], thing=thing, why=why)
    texts = {
        True: later("{thing} counts."),
        False: later("{thing} does not count."),
        None: later("{thing} may count or not."),
    }
    return say(texts[counts], thing=thing)


def judged(required: int, sure: int, possible: int) -> bool | None:
    """Say whether a number is reached: by what counts for sure, or not even by what may count."""
    return True if sure >= required else False if possible < required else None


def year_of(stamp: str, day: datetime.date) -> int:
    """Give the year of a stamp; two digits are of the latest century that does not lie ahead."""
    if len(stamp) != 2:
        return int(stamp[:4])
    year = day.year - day.year % 100 + int(stamp)
    return year if year <= day.year else year - 100


def last_day(stamp: str, day: datetime.date, years: int = 0, months: int = 0) -> datetime.date | None:
    """Give the last day of a stamp moved on by years and months; None where there is no date.

    A year alone counts to its 31 December, a month to its end.
    day: the day of the report, which settles the century of a year of two digits.
    """
    if not stamp or stamp == UNDATED:
        return None
    given = stamp.split("-") if len(stamp) > 4 else []
    month = int(given[1]) if given else 12
    count = (year_of(stamp, day) + years) * 12 + month - 1 + months
    year, month = count // 12, count % 12 + 1
    end = calendar.monthrange(year, month)[1]
    return datetime.date(year, month, min(int(given[2]), end) if len(given) == 3 else end)


def said(date: datetime.date) -> str:
    """Print a date as 5 March 2026."""
    return wording.day(date)


def times(count: int, thing: str) -> str:
    """Print a number of things, such as `2 x 5-B`."""
    return f"{count} x {thing}"
