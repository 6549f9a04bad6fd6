"""What ventilation the engine and fuel spaces of a gasoline boat in the United States need."""

from __future__ import annotations

import math
from collections.abc import Iterator

from reportgen import units
from reportgen.aboard import Facts, Requirement, none_required, not_judged, not_noted, noted
from reportgen.blocks.safety import Ventilation
from reportgen.units import Quantity
from reportgen.wording import later, number, say

VENTILATION, OLD_VENTILATION = "cfr-33-175.201", "cfr-46-25.40-1"
IN_FORCE = later("current to 2026")
BLOWER, NATURAL = "cfr-33-183.610", "cfr-33-183.630"
VENTILATED_AFTER = 1980  # built after 31 July 1980
NEEDS_DUCTS_AFTER = 1940  # construction after 25 April 1940
DUCTS = 2  # one intake, one exhaust
SMALL_FT3, LARGE_FT3 = 34.0, 100.0  # net volumes where the blower's formulas change
LEAST_OPENING_IN2 = 3.0  # each opening is larger than this
OPEN_IN2_PER_FT3 = 15.0  # of open area, to count as open to the atmosphere


def blower_cfm(volume_ft3: float) -> tuple[float, float]:
    """Give the rated capacity and the installed output [ft³/min] that a blower needs.

    volume_ft3: net volume of the engine space and what is open to it [ft³].
    Source: 33 CFR 183.610, table, as quoted on a sailors' forum; above 100 also in a worked example.
    """
    if volume_ft3 < SMALL_FT3 * (1 - 1e-9):
        return 50.0, 20.0
    if volume_ft3 <= LARGE_FT3:
        return 1.5 * volume_ft3, 0.6 * volume_ft3
    return volume_ft3 / 2.0 + 100.0, 0.2 * volume_ft3 + 40.0


def opening_in2(volume_ft3: float) -> float:
    """Give the area [sq in] that supply and exhaust openings need, each, for a net volume; 0 for 5 or less.

    volume_ft3: net volume [ft³]. Source: 33 CFR 183.630(d): 5 ln(V / 5).
    """
    return max(0.0, 5.0 * math.log(volume_ft3 / 5.0)) if volume_ft3 > 0 else 0.0


def is_open(volume_ft3: float, open_in2: float) -> bool:
    """Say whether a space is open to the atmosphere: 15 sq in of opening for each cubic foot, or more.

    volume_ft3: net volume [ft³]. open_in2: open area [sq in]. Source: 33 CFR 183.605.
    """
    return units.within(open_in2, OPEN_IN2_PER_FT3 * volume_ft3, "minimum")


def _ventilation_found(own: Ventilation) -> str:
    said = [
        noted(own.open, say("spaces open to the atmosphere"), say("closed spaces")),
        noted(own.natural, say("natural ventilation"), say("no natural ventilation")),
        say("{ducts} ducts", ducts=own.ducts) if own.ducts is not None else "",
        noted(own.powered, say("blower"), say("no blower")),
        noted(own.works, say("works"), say("does not work")),
    ]
    return ", ".join(words for words in said if words and words != not_noted()) or not_noted()


def _built_after(facts: Facts, year: int) -> bool | None:
    """Say whether the boat was built after the summer of a year; None in the year itself or without one."""
    if facts.built_by:
        return facts.built_by > f"{year}-07"
    if facts.model_year is None or facts.model_year == year:
        return None
    # model year 1981 began to be built in summer 1980, on either side of the day
    return None if facts.model_year == year + 1 else facts.model_year > year


def line(facts: Facts) -> Requirement:
    """Give the line of ventilation of engine and fuel spaces of gasoline boats."""
    own = facts.aboard.ventilation or Ventilation()
    after = _built_after(facts, VENTILATED_AFTER)
    required, met, why = not_judged(), None, ""
    if facts.gasoline is False:
        required, met, why = none_required(), True, say("The rule is for boats with a gasoline engine.")
    elif facts.gasoline is None:
        why = say("Not judged: the engines' fuel is not told.")
    elif own.works is False and (own.powered or own.natural):
        required, met, why = say("working ventilation"), False, say("What is fitted does not work.")
    elif own.open:
        required, met, why = none_required(), True, say("Spaces open to the atmosphere need no ventilation.")
    elif after is None:
        why = say("Not judged: whether it was built after 31 July 1980, when the rule changes, is not told.")
    elif after:
        required, met, why = _powered(facts, own)
    else:
        required, met, why = _ducts(facts, own)
    source = VENTILATION if after is not False else OLD_VENTILATION
    return Requirement(
        "ventilation", required, _ventilation_found(own), met, why, source, say(IN_FORCE),
        clauses=("175.201", "183.610", "183.620", "25.40-1"),
    )  # fmt: skip


def _powered(facts: Facts, own: Ventilation) -> tuple[str, bool | None, str]:
    """Judge a boat built after 31 July 1980."""
    inside = facts.gasoline_inside
    if inside is False:
        if own.natural and own.works:
            return (
                say("natural ventilation"),
                True,
                say("With outboard power, closed fuel spaces need it at most."),
            )
        missing = say("whether a closed space holds a fuel tank that needs it, and whether it is ventilated")
        return (
            not_judged(),
            None,
            say("Not judged: with outboard power the report does not tell {missing}.", missing=missing),
        )
    if inside is None:
        return (
            not_judged(),
            None,
            say("Not judged: whether the engine is inside or outboard is not told."),
        )
    required = say("working blower and natural ventilation")
    if own.powered is False or own.natural is False:
        return required, False, say("A closed space with a gasoline engine needs both.")
    untold = [
        words
        for words, value in (
            (say("a blower"), own.powered),
            (say("natural ventilation"), own.natural),
            (say("whether it works"), own.works),
        )
        if value is None
    ]
    if untold:
        return (
            required,
            None,
            say("Not judged: the report does not tell of {untold}.", untold=", ".join(untold)),
        )
    return required, True, say("Both were found and work; their capacity is the builder's matter.")


def _ducts(facts: Facts, own: Ventilation) -> tuple[str, bool | None, str]:
    """Judge a boat of the older rule: two ducts with cowls from 25 April 1940 on."""
    required = say("{ducts} ventilator ducts, one intake and one exhaust", ducts=DUCTS)
    if facts.model_year is not None and facts.model_year < NEEDS_DUCTS_AFTER:
        return none_required(), True, say("It was built before 25 April 1940.")
    if own.ducts is None:
        met = False if own.natural is False else None
        why = (
            say("No natural ventilation was found.")
            if met is False
            else say("Not judged: ducts are not counted.")
        )
        return required, met, why
    return required, own.ducts >= DUCTS, say("A decked gasoline boat of its years needs at least two ducts.")


def capacity(facts: Facts) -> tuple[Requirement, ...]:
    """Give the lines that a space's net volume allows: blower rating and output, and natural openings."""
    own = facts.aboard.ventilation or Ventilation()
    if own.net_volume is None or facts.gasoline is False:
        return ()
    return tuple(_by_volume(own, own.net_volume.to("ft³")))


def _by_volume(own: Ventilation, volume_ft3: float) -> Iterator[Requirement]:
    is_free = own.open or (own.open_area is not None and is_open(volume_ft3, own.open_area.to("in²")))
    if is_free:
        why = say(
            "Open to the atmosphere, at a net volume of {volume_ft3} ft³.",
            volume_ft3=number(f"{volume_ft3:.4g}"),
        )
        yield _volume_line(
            say("blower and openings by volume"), none_required(), not_noted(), True, why, NATURAL
        )
        return
    rating, output = blower_cfm(volume_ft3)
    for what, needed, found in (
        (say("blower rating"), rating, own.blower_rating),
        (say("blower output"), output, own.blower_output),
    ):
        value = None if found is None else found.to("ft³/min")
        met = None if value is None else units.within(value, needed, "minimum")
        yield _volume_line(
            what,
            say("{needed} ft³/min", needed=number(f"{needed:.4g}")),
            _shown(found),
            met,
            _said(volume_ft3, met),
            BLOWER,
        )
    area = opening_in2(volume_ft3)
    words = (
        say("{area} sq in", area=number(f"{area:.4g}"))
        if area > LEAST_OPENING_IN2
        else say("more than 3 sq in")
    )
    for what, opening in (
        (say("supply opening"), own.supply_opening),
        (say("exhaust opening"), own.exhaust_opening),
    ):
        met = None
        if opening is not None:
            found_in2 = opening.to("in²")
            met = units.within(found_in2, area, "minimum") and found_in2 > LEAST_OPENING_IN2
        yield _volume_line(what, words, _shown(opening), met, _said(volume_ft3, met), NATURAL)


def _shown(found: Quantity | None) -> str:
    return not_noted() if found is None else str(found)


def _said(volume_ft3: float, met: bool | None) -> str:
    worked = say("Worked out from a net volume of {volume_ft3} ft³.", volume_ft3=number(f"{volume_ft3:.4g}"))
    return f"{say('Not judged: what is fitted is not told.')} {worked}" if met is None else worked


def _volume_line(
    what: str, required: str, found: str, met: bool | None, why: str, source: str
) -> Requirement:
    return Requirement(
        what, required, found, met, why, source, say(IN_FORCE), clauses=("175.201", "183.610", "183.630")
    )
