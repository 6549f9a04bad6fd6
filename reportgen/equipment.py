"""Life jackets, sound signals, flame control and cut-off switch by United States rules."""

from __future__ import annotations

import datetime

from reportgen import units
from reportgen.aboard import Facts, Requirement, none_found, none_required, not_judged, not_noted, noted
from reportgen.wording import later, number, say, say_in, say_n, term

JACKETS, THROWABLE, EXEMPT_CRAFT = "cfr-33-175.15", "cfr-33-175.15", "cfr-33-175.17"
SOUND = "colreg-rule-33"
FLAME, CUT_OFF = "cfr-46-25.35-1", "usc-46-4312"
THROWABLE_FT, CUT_OFF_FT = 16.0, 26.0
WHISTLE_M, BELL_M, GONG_M = 12.0, 20.0, 100.0
CHILD_YEARS = 13  # from this age on the federal rule on wearing is out
THRUST_LBF, THRUST_HP = 115.0, 3.0  # 115 lbf is commonly equated to about 3 hp
USE_RULE = datetime.date(2021, 4, 1)
FITTED_FROM, FITTED_YEAR = "2020-01", 2021  # month of building; model year that was surely built after it
_READ = later("current to October 2024")
_NO_CARRIAGE = ("sailboard", "racing shell")

# persons by the capacity plate, or aboard
_ENOUGH = {
    True: later("Persons allowed by the capacity plate: {persons}; wearable ones found: {found}."),
    False: later("Persons aboard: {persons}; wearable ones found: {found}."),
}
_SHORT = {
    True: later(
        "Persons allowed by the capacity plate: {persons}; wearable ones found: {found}, {short} short."
    ),
    False: later("Persons aboard: {persons}; wearable ones found: {found}, {short} short."),
}


def life_jackets(facts: Facts) -> Requirement:
    """Give the line of wearable life jackets: one for each person aboard; a throwable makes up for none."""
    found, persons = facts.aboard.wearable_life_jackets, facts.persons
    free = facts.aboard.craft in _NO_CARRIAGE
    required: int | str = 0 if free else say("one for each person") if persons is None else persons
    if free:
        met: bool | None = True
        why = say("A sailboard or racing shell is exempt.")
    elif persons is None or found is None:
        met = None
        missing = say("persons aboard") if persons is None else say("wearable life jackets found aboard")
        why = say("Not judged: {missing} are not told.", missing=missing)
    else:
        met = found >= persons
        text = _ENOUGH[facts.by_plate] if met else _SHORT[facts.by_plate]
        why = say(text, persons=persons, found=found, short=persons - found)
        if facts.by_plate and not met:
            enough = say_n("That suffices for {n} person.", "That suffices for {n} persons.", found)
            why += f" {enough}"
    child = say("Under way a child under {child_years} on deck must wear one.", child_years=CHILD_YEARS)
    return Requirement(
        say("wearable life jackets"),
        required,
        not_noted() if found is None else found,
        met,
        say("{why} {child} Whether each fits and is approved is for the eye.", why=why, child=child),
        EXEMPT_CRAFT if free else JACKETS,
        say(_READ),
        clauses=("175.15",),
    )


def must_wear(age: int, on_deck: bool, under_way: bool) -> bool:
    """Say whether the federal rule has a child wear a life jacket.

    age: in years, 13 itself is out. Source: 33 CFR 175.15(c).
    """
    return age < CHILD_YEARS and on_deck and under_way


def throwable(facts: Facts) -> Requirement:
    """Give the line of the throwable device: one in addition from 16 ft on."""
    found, long = facts.aboard.throwable_device, facts.from_ft(THROWABLE_FT)
    exempt = facts.aboard.craft in (*_NO_CARRIAGE, "canoe", "kayak")
    required: int | str = 0 if exempt or long is False else 1 if long else not_judged()
    if exempt:
        why, met = say("A {craft} is exempt.", craft=say_in("craft", facts.aboard.craft)), True
    elif long is None:
        why, met = say("Not judged: the length found is not told, and the rule begins at 16 ft."), None
    elif not long:
        why, met = say("None is required under 16 ft."), True
    elif found is None:
        why, met = say("Not judged: throwable devices found aboard are not told."), None
    else:
        why, met = say("A boat of 16 ft or more carries one besides the wearable ones."), found >= 1
    shown = not_noted() if found is None else found
    source = EXEMPT_CRAFT if exempt else THROWABLE
    in_force = say(_READ)
    return Requirement(
        say("throwable device"), required, shown, met, why, source, in_force, clauses=("175.15",)
    )


def sound_signals(facts: Facts) -> Requirement:
    """Give the line of sound signals by length [m]: some means, whistle, bell too, gong too."""
    found = facts.aboard.sound_signals
    aboard = set(found or ()) - {"none"}
    whistle = bool(aboard & {"whistle", "horn"})
    required, met, why = not_judged(), None, say("Not judged: the length found is not told.")
    if facts.from_m(GONG_M):
        required, met = say("whistle, bell and gong"), whistle and {"bell", "gong"} <= aboard
    elif facts.from_m(BELL_M):
        required, met = say("whistle and bell"), whistle and "bell" in aboard
    elif facts.from_m(WHISTLE_M):
        required, met = term("whistle"), whistle
    elif facts.length_m is not None:
        required, met = say("some means of making an efficient sound signal"), bool(aboard)
    if facts.length_m is not None:
        why = say("By length, {length}.", length=_length(facts, facts.length_m))
        if facts.from_m(WHISTLE_M):
            horn = say("A horn counts as a whistle; whether it meets the rules' annex III is not judged.")
            why += f" {horn} {say('An older inland text asked for a bell from 12 m.')}"
    if found is None:
        met, why = None, say("Not judged: sound signals found aboard are not told.")
    shown = not_noted() if found is None else ", ".join(map(term, sorted(aboard))) or none_found()
    in_force = say("as amended")
    return Requirement(
        say("sound signals"), required, shown, met, why, SOUND, in_force, clauses=(say("Rule 33"), "83.33")
    )


def _length(facts: Facts, metres: float) -> str:
    """Give a boat's length as noted, and in metres [m], in which the rule counts, where it is in feet."""
    counted = f"{number(f'{metres:.4g}')} m"
    return counted if facts.length.endswith(" m") or not facts.length else f"{facts.length} ({counted})"


def flame_control(facts: Facts) -> Requirement:
    """Give the line of backfire flame control: for every gasoline engine but an outboard."""
    found, inside = facts.aboard.flame_control, facts.gasoline_inside
    required, met = not_judged(), None
    if inside is False:
        required, met = none_required(), True
        why = (
            say("No gasoline engine is aboard.")
            if facts.gasoline is False
            else say("Outboard engines are excepted.")
            if facts.propulsion == "outboard"
            else say("None is driven so.")
        )  # fmt: skip
    elif inside is None:
        why = say("Not judged: whether a gasoline engine stands in the boat is not told.")
    else:
        required, met = say("one on each gasoline engine"), found
        why = say("Every gasoline engine installed after 25 April 1940 needs one, outboards excepted.")
        if found is None:
            why = say("Not judged: whether flame control is fitted is not told.")
    shown = noted(found, say("fitted"), say("missing"))
    in_force = say("read second-hand")
    return Requirement(say("flame control"), required, shown, met, why, FLAME, in_force, clauses=("25.35-1",))


def _covered(facts: Facts) -> bool | None:
    """Say whether the boat has 115 lbf of static thrust or more; None if that is not told."""
    if facts.machinery is False:
        return False
    if facts.aboard.static_thrust:
        return units.within(facts.aboard.static_thrust.to("lbf"), THRUST_LBF, "minimum")
    return None if facts.power_hp is None else units.within(facts.power_hp, THRUST_HP, "minimum")


def _must_be_fitted(facts: Facts) -> bool | None:
    """Say whether the builder had to fit a switch; None for boats on either side of the day."""
    if facts.built_by:
        return facts.built_by >= FITTED_FROM
    if facts.model_year is None or facts.model_year == FITTED_YEAR - 1:
        return None
    return facts.model_year >= FITTED_YEAR


def cut_off(facts: Facts) -> Requirement:
    """Give the line of the engine cut-off switch and its link."""
    own = facts.aboard
    required, met, why = _cut_off(facts)
    found = ", ".join(
        (
            noted(own.cut_off_switch, say("switch fitted"), say("no switch")),
            noted(own.cut_off_link, say("link"), say("no link")),
        )
    )
    if own.cut_off_switch is None and own.cut_off_link is None:
        found = not_noted()
    in_force = say("fitted by builders from 1 January 2020, link used from 1 April 2021")
    return Requirement(
        say("engine cut-off switch"), required, found.replace(not_noted() + ", ", ""),
        met, why, CUT_OFF, in_force,
        clauses=("4312",),
    )  # fmt: skip


def _cut_off(facts: Facts) -> tuple[str, bool | None, str]:
    long, covered = facts.from_ft(CUT_OFF_FT), _covered(facts)
    if long or covered is False:
        return (
            none_required(),
            True,
            say("The law covers boats under 26 ft with 115 lbf of static thrust or more."),
        )
    if long is None:
        return not_judged(), None, say("Not judged: the length found is not told, and the law ends at 26 ft.")
    if covered is None:
        return not_judged(), None, say("Not judged: neither static thrust nor the engines' power is told.")
    return _switch(facts, _must_be_fitted(facts))


def _switch(facts: Facts, due: bool | None) -> tuple[str, bool | None, str]:
    """Judge a covered boat. due: whether its builder had to fit a switch."""
    own, required = facts.aboard, say("switch with its link")
    if own.helm == "enclosed cabin" and due is False:
        return (
            none_required(),
            True,
            say("With the main helm in an enclosed cabin the link need not be used."),
        )
    if own.cut_off_switch is None:
        return required, None, say("Not judged: whether a cut-off switch is fitted is not told.")
    if not own.cut_off_switch:
        return _without_switch(due, required)
    if facts.day < USE_RULE and not due:
        return none_required(), True, say("A link had not to be used before 1 April 2021.")
    used = say("The link must be used on plane or above displacement speed, not while docking slowly.")
    if own.cut_off_link is None:
        return required, None, say("Not judged: whether its link is aboard is not told. {used}", used=used)
    return required, own.cut_off_link, used


def _without_switch(due: bool | None, required: str) -> tuple[str, bool | None, str]:
    if due:
        return required, False, say("Builders must fit one since January 2020.")
    if due is None:
        return (
            not_judged(),
            None,
            say("Not judged: whether it was built since builders must fit one is not told."),
        )
    return none_required(), True, say("Built before builders had to fit one, and none is fitted.")


def link_must_be_used(facts: Facts, on_plane: bool) -> bool:
    """Say whether the operator must use the link at that moment.

    on_plane: on plane or above displacement speed. Source: 46 USC 4312(b).
    """
    covered = bool(_covered(facts)) and facts.from_ft(CUT_OFF_FT) is False and facts.day >= USE_RULE
    fitted = facts.aboard.cut_off_switch or _must_be_fitted(facts)
    return covered and on_plane and bool(fitted) and facts.aboard.helm != "enclosed cabin"
