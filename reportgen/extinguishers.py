"""How many portable fire extinguishers a boat in the United States must carry, and which count."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

from reportgen.aboard import (
    Facts,
    Requirement,
    judged,
    last_day,
    none_found,
    none_required,
    not_judged,
    not_noted,
    said,
    times,
    verdict_on,
    year_of,
)
from reportgen.blocks.safety import UNDATED, Extinguisher
from reportgen.wording import all_of, later, number, one_of, say

WHAT = later("fire extinguishers")
# 33 CFR 175 subpart E as amended; before that day 46 CFR 25.30-20 counted in B-I and B-II
NEW_RULE = datetime.date(2022, 4, 20)
LIFE_YEARS = 12  # of a disposable one, from the day of making
LARGEST_FT = 65.0  # included; above it the rule goes by gross tonnage
# (length below [ft], 5-B or B-I needed without and with a fixed system); a 20-B or B-II stands for two
BANDS = ((26.0, 1, 0), (40.0, 2, 1), (float("inf"), 3, 2))
OLDEST_OF_TABLE, LAST_OF_OLD_TYPES = 1953, 2017  # model years
NEW, OLD = "cfr-33-175.320", "cfr-46-25.30-20"
OLDER_BOATS, OLDEST_BOATS = "cfr-33-175.380", "cfr-33-175.390"
IN_FORCE = later("in force from 20 April 2022, current to April 2026")
IN_FORCE_OLD = later("in force until 19 April 2022; read second-hand")
CLAUSES = ("175.320", "175.380", "175.390", "25.30-20")


@dataclass(frozen=True)
class Counted:
    """What one sort of extinguisher counts for.

    each: 5-B or B-I units that one stands for. counts: None where a fact is missing.
    why: a clause of a sentence.
    """

    count: int
    each: int
    counts: bool | None
    why: str


def needed(length_ft: float, fixed_system: bool) -> int:
    """Give how many 5-B units a boat of up to 65 ft needs [-].

    Source: 33 CFR 175.320, table 1. Bands begin at 26 and 40 ft.
    """
    return next(n_fixed if fixed_system else n for below, n, n_fixed in BANDS if length_ft < below - 1e-9)


def in_words(count: int, small: str = "5-B", large: str = "20-B") -> str:
    """Give a number of 5-B units as the table words it."""
    mixed = {2: times(1, large), 3: f"{times(1, large)} + {times(1, small)}"}
    own = [times(count, small), *([mixed[count]] if count in mixed else [])]
    return one_of(own) if count else none_required()


def serviceable(it: Extinguisher) -> bool:
    """Say whether nothing that was noted makes it unserviceable.

    Source: Coast Guard release on the rule: gauge in range, pin firmly in place, nozzle clean, no significant
    corrosion or damage.
    """
    return not _unserviceable(it)


def _unserviceable(it: Extinguisher) -> str:
    bad = {
        say("it is noted as not serviceable"): it.serviceable is False,
        say("it has its needle out of range"): it.gauge == "out of range",
        say("it has no lock pin firmly in place"): it.pin is False,
        say("it has a blocked nozzle"): it.nozzle == "blocked",
        say("it has significant corrosion or damage"): it.corrosion == "significant",
    }
    return all_of([words for words, so in bad.items() if so])


def expires(made: str, day: datetime.date) -> datetime.date | None:
    """Give the last day of a disposable extinguisher's twelve years; a stamped year counts to 31 December.

    made: as stamped. day: settles the century of a stamp of two digits. None without a date.
    Source: Coast Guard releases on the rule of 20 April 2022.
    """
    return last_day(made, day, years=LIFE_YEARS)


def size_of(rating: str) -> tuple[int, bool] | None:
    """Give (5-B units that a rating stands for, whether it is a B-I or B-II); None where it can't be read.

    A 10-B counts as one 5-B only; below 5-B counts for nothing. A bare 34B is no rating of these rules.
    """
    text = rating.upper().replace(" ", "")
    new = re.search(r"(?<![\d.])(\d{1,3})(-B(?!-?I)|B:?C)", text)
    if new:
        number = int(new[1])
        return (2 if number >= 20 else 1 if number >= 5 else 0), False
    old = re.search(r"B-?(II|I)(?![I\d])", text)
    return ((2 if old[1] == "II" else 1), True) if old else None


def weigh(it: Extinguisher, facts: Facts) -> Counted:
    """Say what one sort of extinguisher counts for on this boat on that day."""
    size = size_of(it.rating)
    if size is None:
        untold = say("its rating is not noted")
        told = say("its rating cannot be read as 5-B, 10-B, 20-B, B-I or B-II")
        return Counted(it.count, 2, None, told if it.rating else untold)
    each, old_type = size
    if not each:
        return Counted(it.count, 0, False, say("less than 5-B counts for nothing"))
    bad = _unserviceable(it)
    if bad:
        return Counted(it.count, each, False, bad)
    if facts.day < NEW_RULE:
        return Counted(it.count, each, True, "")
    if old_type:
        return _of_old_type(it, each, facts)
    return _in_time(it, each, facts)


def _of_old_type(it: Extinguisher, each: int, facts: Facts) -> Counted:
    """Weigh a B-I or B-II: it may stay aboard older boats only."""
    year = facts.model_year
    if year is None:
        return Counted(
            it.count, each, None, say("a B-I or B-II may stay to model year 2017; the year is not told")
        )
    if year > LAST_OF_OLD_TYPES:
        return Counted(it.count, each, False, say("from model year 2018 a B-I or B-II does not count"))
    if year < OLDEST_OF_TABLE:
        return Counted(it.count, each, True, say("an older approved type may stay while in good condition"))
    if it.made == UNDATED:
        return Counted(it.count, each, True, say("a B-I or B-II without a date may stay while serviceable"))
    return _in_time(it, each, facts)


def _in_time(it: Extinguisher, each: int, facts: Facts) -> Counted:
    if it.sort == "rechargeable":
        return Counted(it.count, each, True, say("rechargeable ones have no twelve-year life"))
    end = expires(it.made, facts.day)
    if end is None:
        told = say("when it was made is not noted, so its twelve years cannot be told")
        if it.made == UNDATED:
            told = say("it bears no date, so its twelve years cannot be told")
        return Counted(it.count, each, None, told)
    if it.made and year_of(it.made, facts.day) > facts.day.year:
        return Counted(it.count, each, None, say("it is noted as made after the day of this report"))
    past = facts.day > end
    text = later("its twelve years ended on {day}") if past else later("its twelve years end on {day}")
    if not it.sort:
        held = later(
            "its twelve years end on {day}, to which it is held since it is not noted as rechargeable"
        )
        ended = later(
            "its twelve years ended on {day}, to which it is held since it is not noted as rechargeable"
        )
        text = ended if past else held
    return Counted(it.count, each, not past, say(text, day=said(end)))


def line(facts: Facts) -> Requirement:
    """Give the line of portable fire extinguishers, judged on the report's day."""
    new = facts.day >= NEW_RULE
    own = facts.aboard
    found = None if own.fire_extinguishers is None else tuple(
        e for e in own.fire_extinguishers if e.rating.lower() != "none" and e.count
    )  # fmt: skip
    weighed = [weigh(e, facts) for e in found or ()]
    number, condition = _required(facts)
    small, large = ("5-B", "20-B") if new else ("B-I", "B-II")
    sure = sum(w.count * w.each for w in weighed if w.counts)
    possible = sum(w.count * w.each for w in weighed if w.counts is not False)
    met = None if number is None else judged(number, sure, possible)
    if found is None and number:
        met = None
    if met is False and sure < (number or 0) and _exempt_unknown(facts):
        met, condition = None, _exempt_unknown(facts)
    return Requirement(
        what=say(WHAT),
        required=not_judged() if number is None else in_words(number, small, large),
        found=_found(found),
        met=met,
        why=_why(number, condition, found, weighed, facts),
        source_id=_source(facts) if new else OLD,
        in_force=say(IN_FORCE) if new else say(IN_FORCE_OLD),
        clauses=CLAUSES,
    )


def _source(facts: Facts) -> str:
    year = facts.model_year
    if year is None or year > LAST_OF_OLD_TYPES:
        return NEW
    return OLDER_BOATS if year >= OLDEST_OF_TABLE else OLDEST_BOATS


def _required(facts: Facts) -> tuple[int | None, str]:
    """Give the 5-B units that this boat needs, None where that cannot be told, and the reason in words."""
    if facts.machinery is False:
        return 0, say("None is required of a boat without propulsion machinery.")
    if facts.length_ft is None:
        return None, say("Not judged: the length found is not told.")
    if facts.length_ft > LARGEST_FT + 1e-9:
        return None, say("Not judged: above 65 ft the rule goes by gross tonnage, which is not judged here.")
    small = facts.length_ft < BANDS[0][0] - 1e-9
    if small and facts.propulsion == "outboard" and facts.aboard.traps_vapour is False:
        return 0, say(
            "None is required under 26 ft with outboard power where nothing can trap gas or vapour."
        )
    fixed = facts.aboard.fixed_extinguishing_system
    system = {
        True: say("with a fixed system in the engine space"),
        False: say("without a fixed system in the engine space"),
        None: say("no fixed system being noted, which would lower the number"),
    }[fixed]
    return (
        needed(facts.length_ft, bool(fixed)),
        say("At {length_ft} ft, {system}.", length_ft=number(f"{facts.length_ft:.4g}"), system=system),
    )


def _exempt_unknown(facts: Facts) -> str:
    """Say which missing fact could free this boat, or nothing."""
    small = facts.length_ft is not None and facts.length_ft < BANDS[0][0] - 1e-9
    if facts.machinery is None:
        return say("Not judged: whether the boat has propulsion machinery is not told.")
    if small and facts.propulsion in ("", "outboard") and facts.aboard.traps_vapour is None:
        return say(
            "Not judged: whether gas or vapour can be trapped aboard is not told; the rule turns on it."
        )
    return ""


def _found(found: tuple[Extinguisher, ...] | None) -> str:
    if found is None:
        return not_noted()
    return ", ".join(_in_words(e) for e in found) or none_found()


def _in_words(it: Extinguisher) -> str:
    words = f"{it.count} x {it.rating or say('no rating noted')}"
    if it.made and it.made != UNDATED:
        words = say("{extinguisher}, made {date}", extinguisher=words, date=it.made)
    if it.serviced and it.serviced != UNDATED:
        words = say("{extinguisher}, serviced {date}", extinguisher=words, date=it.serviced)
    return words


def _why(
    number: int | None,
    condition: str,
    found: tuple[Extinguisher, ...] | None,
    weighed: list[Counted],
    facts: Facts,
) -> str:
    words = [condition]
    if number and found is None:
        words.append(say("Not judged: extinguishers found aboard are not told."))
    for one, it in zip(weighed, found or (), strict=True):
        words.append(verdict_on(one.counts, _in_words(it), one.why))
    if any(w.counts for w in weighed) and not all(e.serviceable or e.gauge for e in found or ()):
        words.append(say("What is not noted as bad is taken as good and serviceable."))
    if facts.day >= NEW_RULE and number and (facts.model_year or LAST_OF_OLD_TYPES) <= LAST_OF_OLD_TYPES:
        words.append(say("A replacement must be a 5-B or 20-B."))
    return " ".join(words)
