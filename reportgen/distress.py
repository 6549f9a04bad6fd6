"""Which visual distress signals a recreational boat in the United States must carry, and which count."""

from __future__ import annotations

import datetime
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
    verdict_on,
)
from reportgen.blocks.safety import Signal
from reportgen.wording import all_of, later, say

WHAT = later("distress signals")
PYROTECHNICS = 3  # for day and for night, if pyrotechnics are chosen
LIFE_MONTHS = 42  # from making to the marked expiry, at most
SHORT_FT, OPEN_SAIL_FT = 16.0, 26.0
SOURCE = "cfr-33-175.115"
IN_FORCE = later("current to 2024")
CLAUSES = ("175.110", "175.115", "175.125", "175.130")
# first match wins; (words, good by day, good by night, pyrotechnic)
SORTS = (
    (("smoke",), True, False, True),
    (("orange flag", "distress flag"), True, False, False),
    (("electric", "electronic", "distress light"), False, True, False),
    (("flare", "meteor", "rocket", "parachute"), True, True, True),
)
# white flares and what fires a signal are none, whatever else their name says
NONE_OF_THEM = ("white", "pistol", "gun", "launcher")


@dataclass(frozen=True)
class Counted:
    """What one sort of signal counts for. day, night, counts: None where the notes do not tell."""

    count: int
    day: bool | None
    night: bool | None
    pyrotechnic: bool
    counts: bool | None
    why: str = ""


def latest_expiry(made: str, day: datetime.date) -> datetime.date | None:
    """Give the latest day that a pyrotechnic made then may be marked for.

    Source: 46 CFR 160.036-5 and 160.024-5: at most 42 months after making.
    """
    return last_day(made, day, months=LIFE_MONTHS)


def weigh(it: Signal, day: datetime.date) -> Counted:
    """Say what one sort of signal counts for on a day."""
    words = it.what.lower()
    other = any(w in words for w in NONE_OF_THEM)
    sort = None if other else next((s for s in SORTS if any(w in words for w in s[0])), None)
    by_day, by_night, pyrotechnic = (sort[1], sort[2], sort[3]) if sort else (None, None, True)
    if it.for_:
        by_day, by_night = it.for_ in ("day", "both"), it.for_ in ("night", "both")
    counts, why = _in_time(it, pyrotechnic, day)
    if by_day is None and counts is not False:
        counts, why = None, say("whether it is for day or night is not told")
    return Counted(it.count, by_day, by_night, pyrotechnic, counts, why)


def _in_time(it: Signal, pyrotechnic: bool, day: datetime.date) -> tuple[bool | None, str]:
    if it.serviceable is False:
        return False, say("it is noted as not serviceable")
    if not pyrotechnic:
        return True, ""
    marked, latest = last_day(it.expires, day), latest_expiry(it.made, day)
    ends = [end for end in (marked, latest) if end]
    if not ends:
        return None, say("when it expires is not noted")
    too_long = ""
    if marked and marked > min(ends):
        too_long = f"{say('marked for longer than 42 months from making')}; "
    if day > min(ends):
        expired = say("expired on {day}, so it is an extra only", day=said(min(ends)))
        return False, f"{too_long}{expired}"
    if marked is None:
        return None, say(
            "no expiry is noted; by its making it could be marked to {ends} at most", ends=said(min(ends))
        )
    return True, f"{too_long}{say('good to {day}', day=said(min(ends)))}"


def line(facts: Facts) -> Requirement:
    """Give the line of visual distress signals, judged on the report's day."""
    own = facts.aboard.distress_signals
    found = None if own is None else tuple(s for s in own if s.what.lower() != "none" and s.count)
    weighed = [weigh(s, facts.day) for s in found or ()]
    by_day, by_night, condition = _required(facts)
    met = None if found is None else _met(by_day, by_night, weighed)
    if by_day is False and by_night is False:
        met = True
    words = [condition]
    if found is None and not (by_day is False and by_night is False):
        words.append(say("Not judged: signals found aboard are not told."))
    words += [_one(w, s) for w, s in zip(weighed, found or (), strict=True)]
    return Requirement(
        what=say(WHAT),
        required=_in_words(by_day, by_night),
        found=_found(found),
        met=met,
        why=" ".join([*words, *_short(met, by_day, by_night, weighed)]),
        source_id=SOURCE,
        in_force=say(IN_FORCE),
        clauses=CLAUSES,
    )


def _required(facts: Facts) -> tuple[bool | None, bool | None, str]:
    """Give whether day and night signals are required, None where that is not told, and why."""
    if facts.waters == "inland":
        words = say(
            "None is required by federal rules on inland waters under two nautical miles wide; on the Great "
            "Lakes and water joined widely to the sea they are."
        )
        return False, False, words
    missing = "" if facts.waters else say("Not judged unless both are aboard: the waters are not told.")
    free = _free_by_day(facts)
    if free is None:
        untold = say("The length found is not told, and the rule turns on 16 ft.")
        return None, None, _sentences(missing, untold)
    if not free:
        unknown = None if missing else True
        both = say("A boat of 16 ft or more carries both on coastal waters.")
        return unknown, unknown, _sentences(missing, both)
    if facts.aboard.night_use is None:
        untold = say("Whether it is used at night is not told.")
        return False, None, _sentences(missing, free, untold)
    return False, facts.aboard.night_use and (None if missing else True), _sentences(missing, free)


def _sentences(*said: str) -> str:
    return " ".join(filter(None, said))


def _free_by_day(facts: Facts) -> str | None:
    """Say why no day signal is required; empty where one is, None where the length is missing."""
    if facts.manual:
        return say("A boat that is rowed or paddled carries night signals only, and only at night.")
    long = facts.from_ft(SHORT_FT)
    if long is None:
        return None
    if not long:
        return say("A boat under 16 ft carries night signals only, and only at night.")
    if facts.aboard.craft == "open sailboat" and facts.machinery is False and not facts.from_ft(OPEN_SAIL_FT):
        return say(
            "An open sailboat under 26 ft without an engine carries night signals only, and only at night."
        )
    return ""


def _reached(weighed: list[Counted], by: str) -> bool | None:
    """Say whether the signals suffice by day or by night: three pyrotechnics, or one flag or light."""
    fit = [w for w in weighed if getattr(w, by) is not False]
    sure = [w for w in fit if w.counts and getattr(w, by)]
    possible = [w for w in fit if w.counts is not False]
    if any(not w.pyrotechnic for w in sure):
        return True
    if any(not w.pyrotechnic for w in possible):
        return None
    return judged(PYROTECHNICS, sum(w.count for w in sure), sum(w.count for w in possible))


def _met(by_day: bool | None, by_night: bool | None, weighed: list[Counted]) -> bool | None:
    asked = [(by_day, _reached(weighed, "day")), (by_night, _reached(weighed, "night"))]
    if any(required and reached is False for required, reached in asked):
        return False
    return True if all(required is False or reached for required, reached in asked) else None


def _in_words(by_day: bool | None, by_night: bool | None) -> str:
    if by_day is False and by_night is False:
        return none_required()
    if by_day is None:
        return not_judged()
    night = (
        say("3 for night") if by_night else say("3 for night if used at night") if by_night is None else ""
    )
    return all_of([words for words in (say("3 for day") if by_day else "", night) if words])


def _found(found: tuple[Signal, ...] | None) -> str:
    if found is None:
        return not_noted()
    return ", ".join(_signal(s) for s in found) or none_found()


def _signal(it: Signal) -> str:
    signal = f"{it.count} x {it.what or say('signal')}"
    return say("{signal}, marked to {date}", signal=signal, date=it.expires) if it.expires else signal


def _one(weighed: Counted, it: Signal) -> str:
    return verdict_on(weighed.counts, _signal(it), weighed.why)


def _short(met: bool | None, by_day: bool | None, by_night: bool | None, weighed: list[Counted]) -> list[str]:
    """Say by how many pyrotechnics each part falls short."""
    if met is not False:
        return []
    words = []
    day, night = later("Short by {n} for day."), later("Short by {n} for night.")
    for required, by, text in ((by_day, "day", day), (by_night, "night", night)):
        have = sum(w.count for w in weighed if w.counts and getattr(w, by))
        if required and _reached(weighed, by) is False:
            words.append(say(text, n=PYROTECHNICS - have))
    return words
