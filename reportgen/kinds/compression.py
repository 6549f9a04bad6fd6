"""Judges cylinder compression by evenness between cylinders and by the maker's floor.

Method: cranking pressure of each cylinder by gauge, engine warm, throttle open, all plugs out, 4 to 5
strokes each (compression-preparation). Units: psi, kPa, bar, kg/cm², MPa; computed in the block's unit,
compared unrounded in the limit's unit.

Evenness is one question that publishers ask in three ways: spread = (highest - lowest) / highest,
difference = highest - lowest, lowest to highest = lowest / highest. A maker's figure for any of the three
therefore replaces the general rule (lowest at least 75 % of highest), which is never judged on top of it.
The general rule holds for four-stroke gasoline engines of two or more cylinders; for others, and for an
absolute floor, only the maker's figure counts. A floor or ceiling is no evenness: a note that gives only
a minimum is still judged by the general rule too.

A floor stated for sea level is corrected for altitude (reportgen.altitude) in the working, and judged as
corrected only where the note says `corrected for altitude: yes`. A ceiling is never corrected.

Source: compression-75-chart; what a rise with oil and low neighbours suggest: compression-wet-test,
compression-neighbours.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from reportgen import altitude, cylinders, sources, units
from reportgen.block import key
from reportgen.blocks.vessel import Engine
from reportgen.cells import Cell, Cells
from reportgen.cranking import Pressures, chart, judge, sentences, wet_working, working
from reportgen.cylinders import BANKS, ENGINE_TEMPERATURE, Banks, called
from reportgen.cylindersigns import suggestions
from reportgen.errors import listed
from reportgen.judging import outcomes, things
from reportgen.kind import About, Assessment, Judged, Kind, Step, overall
from reportgen.limits import SIDES, Limit, Limits, NoteLimit, general
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure
from reportgen.wording import all_of, later, say, say_in, term

GENERAL = general("lowest to highest", 75.0, "%", "minimum", "compression-75-chart")
WET_RISE = general("rise with oil", 10.0, "%", "minimum", "compression-wet-test")  # suggests, never judges
EVENNESS = ("spread", "difference", "lowest to highest")
LIMIT_WORDS = {
    "minimum": "pressure",
    "maximum": "pressure",
    "spread": "share",
    "difference": "pressure",
    "lowest to highest": "share",
    "corrected for altitude": "yes or no",
}
# Published beside the general rule and not used; which of them is right for an engine only its maker can say.
OTHERS = (
    (later("lowest at least 70 % of the highest, and none under 100 psi"), "compression-70-and-100-psi"),
    (later("difference at most 15 % of the highest"), "compression-15-percent"),
    (later("difference at most 15 %, and none under 90 psi"), "compression-15-percent-twin"),
    (later("difference at most 10 %"), "compression-10-percent"),
    (later("difference at most 14 psi"), "compression-14-psi"),
    (later("variation at most 25 %, and none under 100 psi"), "compression-25-percent"),
    (later("none more than 20 % below the average of all"), "compression-below-average"),
)
# what is not told so that the general rule can't apply, by whether fuel and strokes are
UNKNOWN = {
    (False, False): later("the report gives neither the maker's figure nor the engine's fuel and strokes"),
    (False, True): later("the report gives neither the maker's figure nor the engine's fuel"),
    (True, False): later("the report gives neither the maker's figure nor the engine's strokes"),
    (True, True): "",
}
OTHER_IDS = tuple(id for _, id in OTHERS)


EXAMPLE = """
kind: compression
unit: psi
cylinders: {1: 161, 2: 158, 3: 112, 4: 163}
wet: {3: 131}
engine temperature: warm
conditions: throttle open, all plugs out
altitude: 2000 ft
banks: [[1, 2, 3, 4]]
limit: {minimum: 120, source: invented manual 4A}
"""


@dataclass(frozen=True)
class Fields:
    """Keys of a compression reading: pressures by cylinder, dry and with oil, and what they depend on."""

    cylinders: tuple[Cell, ...] = key(
        Cells("pressure"), share="open", help="pressure by cylinder", default=()
    )
    wet: tuple[Cell, ...] = key(
        Cells("pressure"), share="open", help="pressure by cylinder after a spoonful of oil", default=()
    )
    engine_temperature: str | Quantity | None = key(
        ENGINE_TEMPERATURE, share="open", help="warm, cold or a temperature"
    )
    altitude: Quantity | None = key(
        Measure("length"), share="open", help="height of the place above sea level"
    )
    banks: Banks = key(BANKS, share="open", help="cylinders side by side, [[1, 3], [2, 4]]", default=())
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, by_name=False),
        share="open",
        help="the maker's figures with their source",
        default=(),
    )


@dataclass(frozen=True)
class _Rules:
    """The limits that apply, why the general one doesn't, and what has to be said of them.

    besides: what belongs beside the outcome itself, such as what a floor would be at this height.
    """

    limits: tuple[Limit, ...]
    lacking: str = ""
    says: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    warnings: tuple[tuple[str, str], ...] = ()
    besides: tuple[str, ...] = ()


def assess(reading: Reading, about: About) -> Assessment:
    """Judge a compression reading.

    reading: with this kind's Fields. about: engine (cylinders, fuel, strokes), boat type, altitude.
    Source: compression-75-chart where the note gives no maker's figure for evenness.
    """
    fields: Fields = reading.fields
    taken = _taken(reading, fields, about)
    rules = _rules(taken, fields, about)
    judged = tuple(judge(limit, taken) for limit in rules.limits)
    outcome = overall(judged) if taken.values else "not taken"
    is_general = any(j.limit.origin == "general" for j in judged)
    return Assessment(
        outcome=outcome,
        because=" ".join((_because(outcome, judged, taken, rules, reading), *rules.besides)),
        judged=judged,
        working=(*working(taken, judged), *rules.steps, *wet_working(taken, WET_RISE)),
        says=(*_says(taken), *rules.says, *_prepared(fields, reading)),
        suggests=tuple(suggestions(taken, judged, fields.banks, _fuel(about) == "diesel", GENERAL, WET_RISE)),
        criteria=tuple(f"{say(words)} ({sources.get(id)})" for words, id in OTHERS) if is_general else (),
        source_ids=_source_ids(taken, rules, fields, is_general),
        values=(("cylinders", taken.cells), *((("wet", tuple(taken.wet.values())),) if taken.wet else ())),
        chart=chart(taken, judged) if taken.values else None,
        outcomes=outcomes(things(taken.cells), judged),
        warnings=(*_slips(taken, fields.banks), *rules.warnings),
    )


def _taken(reading: Reading, fields: Fields, about: About) -> Pressures:
    count = about.engine.cylinders if about.engine else None
    cells, odd = cylinders.sensible(fields.cylinders, 0, None)
    wet, odd_wet = cylinders.sensible(fields.wet, 0, None)
    unit = cylinders.unit_of(cells, reading.unit, "pressure", "psi")
    cells = cylinders.complete(cells, count)
    extra = cylinders.beyond(cells, count)
    return Pressures(cells, cylinders.by_name(wet), unit, (*odd, *odd_wet), extra)


def _rules(taken: Pressures, fields: Fields, about: About) -> _Rules:
    """Give the limits that apply: the note's word by word, and the general one for what they leave open."""
    written, warnings = _written(fields.limit)
    says: list[str] = []
    lacking = ""
    even = [w for w in written if w.word in EVENNESS]
    if len(taken.cells) < 2:
        written = [w for w in written if w.word not in EVENNESS]
        lacking = say("evenness needs two cylinders, and a floor needs the engine maker's figure")
    elif even:
        says.append(
            say(
                "The figure given for {words} replaces the general one.",
                words=all_of(term(w.word) for w in even),
            )
        )
    else:
        lacking, assumed = _why_not_general(about)
        written = written if lacking else [*written, GENERAL]
        says += assumed
    if lacking and written:
        says.append(say("No limit on evenness applies: {lacking}.", lacking=lacking))
    floor = _floors(written, taken, fields, about)
    return dataclasses.replace(
        floor, lacking=lacking, says=(*says, *floor.says), warnings=(*warnings, *floor.warnings)
    )


def _written(notes: Iterable[NoteLimit]) -> tuple[list[Limit], list[tuple[str, str]]]:
    """Give the note's limits, and a warning for each that no reading could break or keep."""
    kept, warnings = [], []
    for note in notes:
        for word, quantity in note.words.items():
            if not isinstance(quantity, Quantity):
                continue
            value = float(quantity.value)
            least = value >= 0 if word in ("spread", "difference") else value > 0
            if least and (quantity.unit != "%" or value < 100 or (word, value) == ("lowest to highest", 100)):
                kept.append(Limit(word, value, quantity.unit, SIDES[word], note.source, "", "note"))
            else:
                found = f"a {word} of {quantity} can't be a limit, so it was not used"
                warnings.append((found, "write the figure of the maker's manual"))
    return kept, warnings


def _fuel(about: About) -> str:
    """Give the engine's fuel as noted, else as the boat's type tells; empty if neither does."""
    noted = about.engine.fuel if about.engine else ""
    return noted or next((f for f in ("gasoline", "diesel") if f in about.boat_type), "")


def _why_not_general(about: About) -> tuple[str, tuple[str, ...]]:
    """Say why the general rule does not apply (empty if it does), and what was assumed to apply it."""
    engine, boat = about.engine or Engine(), about.boat_type
    fuel = _fuel(about)
    if fuel == "diesel":
        return say("a diesel is judged only by its maker's figures, and the report gives none for it"), ()
    if engine.strokes == 2:
        return say("a two-stroke is judged only by its maker's figures, and the report gives none for it"), ()
    # an auxiliary outboard on such a boat may be a two-stroke
    inboard = boat in ("gasoline sterndrive", "gasoline inboard") and "outboard" not in engine.name.lower()
    if fuel and engine.strokes is None and inboard:
        return "", (
            say(
                "Taken as a four-stroke, as engines of a {boat} are; the report does not say.",
                boat=say_in("boat", boat),
            ),
        )
    return say(UNKNOWN[bool(fuel), engine.strokes is not None]), ()


def _floors(limits: Iterable[Limit], taken: Pressures, fields: Fields, about: About) -> _Rules:
    """Correct each floor for altitude in the working; judge it so only where the note says yes."""
    wishes = [n.words["corrected for altitude"] for n in fields.limit if "corrected for altitude" in n.words]
    height = fields.altitude or about.altitude
    done = [
        _floor(each, taken, height, wishes) if each.word == "minimum" else _Rules((each,)) for each in limits
    ]
    stays = (say(altitude.RATIOS_STAY),) if height else ()
    return _Rules(
        limits=tuple(limit for rule in done for limit in rule.limits),
        says=(*(said for rule in done for said in rule.says), *stays),
        steps=tuple(step for rule in done for step in rule.steps),
        warnings=tuple(warning for rule in done for warning in rule.warnings),
        besides=tuple(said for rule in done for said in rule.besides),
    )


def _floor(limit: Limit, taken: Pressures, height: Quantity | None, wishes: list[bool]) -> _Rules:
    wanted = any(wishes)
    if height is None:
        warning = ("corrected for altitude, but no altitude", "write altitude: with the height of the place")
        return _Rules((limit,), warnings=(warning,) if wanted else ())
    if wishes and not wanted:
        return _Rules(
            (limit,), says=(say("The report says that the floor is not to be corrected for altitude."),)
        )
    floor = altitude.floor(limit, height)
    if floor.corrected is None:
        warning = (floor.says[0], "write the maker's figure for that height")
        return _Rules((limit,), says=floor.says, warnings=(warning,) if wanted else ())
    if wanted:
        return _Rules((floor.corrected,), says=floor.says, steps=floor.steps)
    under = judge(limit, taken).where
    stated, at = (f"{units.figures(each.value, 4)} {each.unit}" for each in (limit, floor.corrected))
    if not under or judge(floor.corrected, taken).where:
        both = say(
            "The floor of {stated} counts as stated, also when it is measured again; "
            "at {height} it would become {at}.",
            stated=stated,
            height=height,
            at=at,
        )
        return _Rules((limit,), says=floor.says, steps=floor.steps, besides=(both,))
    found = f"{called(under)} under the floor of {stated} and kept only by the altitude's {at}"
    write = "if the maker states the floor for sea level, add corrected for altitude: yes to limit"
    only = say("Corrected for altitude the floor is {at}, which all taken keep; judged as stated.", at=at)
    return _Rules((limit,), "", floor.says, floor.steps, ((found, write),), (only,))


def _because(
    outcome: str, judged: Iterable[Judged], taken: Pressures, rules: _Rules, reading: Reading
) -> str:
    if outcome == "no limit applies":
        return say("No limit applies: {why}.", why=rules.lacking)
    if not taken.values:
        why = reading.not_taken
        return say("Not taken: {why}.", why=why) if why else say("No cylinder was taken.")
    if outcome == "not taken" and not taken.missing:
        return say("Every cylinder reads zero, so no ratio can be formed.")
    if outcome == "not taken":
        return say(
            "Not taken on {cylinders}, so not all is judged; those taken keep the limits.",
            cylinders=called(taken.missing),
        )
    said = sentences(j for j in judged if j.outcome == outcome)
    return f"{said[:1].upper()}{said[1:]}."


def _says(taken: Pressures) -> Iterator[str]:
    for cell in taken.cells:
        if cell.quantity is None:
            name = called([cell.name])
            yield say("Not taken: {why}.", why=f"{name}, {cell.why}" if cell.why else name)
    if taken.extra:
        yield say(
            "Measured, but the engine is noted with fewer cylinders: {cylinders}.",
            cylinders=called(taken.extra),
        )


def _prepared(fields: Fields, reading: Reading) -> tuple[str, ...]:
    """Say how far the readings compare with others. Source: compression-preparation."""
    asks = say("The manuals ask for a warm engine, throttle open, all plugs out and 4 to 5 strokes each")
    cold = any("cold" in limit.source.lower() for limit in fields.limit)
    if fields.engine_temperature == "cold" and cold:
        return (say("Taken on a cold engine, as the limit's source asks."),)
    return cylinders.prepared(fields.engine_temperature, reading.conditions, say("makers' figures"), asks)


def _slips(taken: Pressures, banks: Banks) -> Iterator[tuple[str, str]]:
    for cell in taken.odd:
        yield f"{called([cell.name])}: {cell.quantity} can't be right", "write the pressure or not taken"
    if taken.extra:
        yield f"{called(taken.extra)} beyond the engine's number", "correct cylinders: here or under engines"
    if names := cylinders.strangers(banks, taken.cells):
        yield f"banks name {listed(names, 'and')}", "use the names of cylinders:"
    if names := tuple(name for name in taken.wet if name not in cylinders.by_name(taken.cells)):
        yield f"wet names {listed(names, 'and')}", "use the names of cylinders:"
    if taken.values and taken.highest <= 0:
        yield "every cylinder reads zero", "check gauge, throttle and cranking, and measure again"


def _source_ids(taken: Pressures, rules: _Rules, fields: Fields, is_general: bool) -> tuple[str, ...]:
    used = {
        GENERAL.source_id: is_general,
        WET_RISE.source_id: bool(taken.wet),
        "compression-neighbours": bool(fields.banks),
        "compression-preparation": True,
        **dict.fromkeys(OTHER_IDS, is_general),
        **dict.fromkeys(altitude.SOURCE_IDS, bool(rules.steps)),
    }
    return tuple(sorted(id for id, wanted in used.items() if wanted))


KIND = Kind(
    name="compression",
    title="Compression",
    measures="How well each cylinder holds pressure while the starter turns the engine.",
    fields=Fields,
    units=("psi", "kPa", "bar", "kg/cm²", "MPa"),
    limits=(GENERAL,),
    limits_for="They are for four-stroke gasoline engines of two or more cylinders, and for no "
    "diesel or two-stroke.",
    assess=assess,
    proves=(
        "It shows how well rings, valves and head gasket together seal each cylinder at cranking speed.",
        "Cylinders that read alike point to even wear; one far below the others points to a fault in it.",
    ),
    proves_not=(
        "It says nothing of bearings, oil pressure, cooling, exhaust, ignition or fuel.",
        (
            "It can't tell a leaking valve from worn rings: that takes a leak-down test, or oil in the "
            "cylinder (never in a diesel)."
        ),
        "Cylinders worn alike read even: a good ratio alone does not prove a sound engine.",
        "Gauge, starter speed, throttle and engine heat move every reading: compare within one test first.",
    ),
    limit_words=LIMIT_WORDS,
    how="Engine warm, all plugs out, ignition and fuel off, throttle held open, 4 to 5 strokes a cylinder; "
    "a low cylinder again after a spoonful of oil, never in a diesel.",
    instrument="compression gauge",
    example=EXAMPLE,
    blank="kind: compression\nunit: psi\ncylinders:\nwet:\nengine temperature:\nconditions:",
    of_engine=True,
    hazards=("moving parts", "fire"),
    source_ids=(
        "compression-neighbours",
        "compression-preparation",
        GENERAL.source_id,
        WET_RISE.source_id,
        *OTHER_IDS,
        *altitude.SOURCE_IDS,
    ),
)
