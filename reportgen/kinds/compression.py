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
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from reportgen import altitude, cylinders, sources, units
from reportgen.block import key
from reportgen.chart import Chart, Table
from reportgen.cylinders import BANKS, ENGINE_TEMPERATURE, Banks, beside, called, printed
from reportgen.errors import listed
from reportgen.kind import About, Assessment, Cell, Cells, Judged, Kind, Limit, Limits, NoteLimit, Step, general, overall
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Measure

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
SIDES = {
    "minimum": "minimum",
    "maximum": "maximum",
    "spread": "maximum",
    "difference": "maximum",
    "lowest to highest": "minimum",
}
# Published beside the general rule and not used; which of them is right for an engine only its maker can say.
OTHERS = (
    ("lowest at least 70 % of the highest, and none under 100 psi", "compression-70-and-100-psi"),
    ("difference at most 15 % of the highest", "compression-15-percent"),
    ("difference at most 15 %, and none under 90 psi", "compression-15-percent-twin"),
    ("difference at most 10 %", "compression-10-percent"),
    ("difference at most 14 psi", "compression-14-psi"),
    ("variation at most 25 %, and none under 100 psi", "compression-25-percent"),
    ("none more than 20 % below the average of all", "compression-below-average"),
)
CONFIRM = "to be confirmed by a leak-down test or by opening up"
UNITS = ("psi", "kPa", "bar", "kg/cm²", "MPa")


@dataclass(frozen=True)
class Fields:
    """Keys of a compression reading: pressures by cylinder, dry and with oil, and what they depend on."""

    cylinders: tuple[Cell, ...] = key(Cells("pressure"), share="open", help="pressure by cylinder", default=())
    wet: tuple[Cell, ...] = key(
        Cells("pressure"), share="open", help="pressure by cylinder after a spoonful of oil", default=()
    )
    engine_temperature: str | Quantity | None = key(
        ENGINE_TEMPERATURE, share="open", help="warm, cold or a temperature"
    )
    altitude: Quantity | None = key(Measure("length"), share="open", help="height of the place above sea level")
    banks: Banks = key(BANKS, share="open", help="cylinders side by side, [[1, 3], [2, 4]]", default=())
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="the maker's figures with their source", default=()
    )


@dataclass(frozen=True)
class _Taken:
    """What was measured, ready to be judged: cells with the missing ones, values [unit], highest and lowest."""

    cells: tuple[Cell, ...]
    wet: Mapping[str, Cell]
    unit: str
    values: Mapping[str, float]
    odd: tuple[Cell, ...]
    extra: tuple[str, ...]

    @property
    def missing(self) -> tuple[str, ...]:
        return tuple(c.name for c in self.cells if c.quantity is None)

    @property
    def highest(self) -> float:
        return max(self.values.values(), default=0.0)

    @property
    def lowest(self) -> float:
        return min(self.values.values(), default=0.0)

    def of_highest(self, name: str) -> float | None:
        """Give a cylinder's share of the highest [%]; None where there is none, or the highest is zero."""
        return self.values[name] / self.highest * 100 if name in self.values and self.highest > 0 else None

    def below_general(self) -> tuple[str, ...]:
        """Give the cylinders below the general ratio of the highest."""
        shares = ((name, self.of_highest(name)) for name in self.values)
        return tuple(name for name, share in shares if share is not None and not GENERAL.keeps(share))


@dataclass(frozen=True)
class _Rules:
    """The limits that apply, why the general one doesn't, and what has to be said of them."""

    limits: tuple[Limit, ...]
    lacking: str = ""
    says: tuple[str, ...] = ()
    steps: tuple[Step, ...] = ()
    warnings: tuple[tuple[str, str], ...] = ()


def assess(reading: Reading, about: About) -> Assessment:
    """Judge a compression reading.

    reading: with this kind's Fields. about: engine (cylinders, fuel, strokes), boat type, altitude.
    Source: compression-75-chart where the note gives no maker's figure for evenness.
    """
    fields: Fields = reading.fields
    taken = _taken(reading, fields, about)
    rules = _rules(taken, fields, about)
    judged = tuple(_judge(limit, taken) for limit in rules.limits)
    outcome = overall(judged) if taken.values else "not taken"
    outside = tuple(c.name for c in taken.cells if any(c.name in j.where for j in judged))
    is_general = any(j.limit.origin == "general" for j in judged)
    return Assessment(
        outcome=outcome,
        because=_because(outcome, judged, taken, rules, reading),
        judged=judged,
        working=(*_working(taken, judged), *rules.steps, *_wet_steps(taken)),
        says=(*_says(taken), *rules.says, *_wet_says(taken, judged), *_prepared(fields, reading)),
        suggests=tuple(_suggests(taken, judged, fields.banks)),
        criteria=tuple(f"{words} ({sources.get(id)})" for words, id in OTHERS) if is_general else (),
        source_ids=_source_ids(taken, rules, fields, is_general),
        values=(("cylinders", taken.cells), *((("wet", tuple(taken.wet.values())),) if taken.wet else ())),
        chart=_chart(taken, judged, outside) if taken.values else None,
        warnings=(*_slips(taken, fields.banks), *rules.warnings),
    )


def _taken(reading: Reading, fields: Fields, about: About) -> _Taken:
    count = about.engine.cylinders if about.engine else None
    cells, odd = cylinders.sensible(fields.cylinders, 0, None)
    wet, odd_wet = cylinders.sensible(fields.wet, 0, None)
    unit = cylinders.unit_of(cells, reading.unit, "pressure", "psi")
    cells = cylinders.complete(cells, count)
    extra = cylinders.extra(cells, count)
    return _Taken(cells, cylinders.by_name(wet), unit, cylinders.values_in(cells, unit), (*odd, *odd_wet), extra)


# what is held against a limit, by cylinder: (value, highest), both in the unit of comparing
_AMOUNTS: Mapping[str, Callable[[float, float], float]] = {
    "minimum": lambda value, _: value,
    "maximum": lambda value, _: value,
    "difference": lambda value, highest: highest - value,
    "spread": lambda value, highest: (highest - value) / highest * 100,
    "lowest to highest": lambda value, highest: value / highest * 100,
}


def _judge(limit: Limit, taken: _Taken) -> Judged:
    """Hold every cylinder against a limit; one breach is outside, else one gap is not taken."""
    unit = taken.unit if limit.unit == "%" else limit.unit
    values = cylinders.values_in(taken.cells, unit)
    highest = max(values.values(), default=0.0)
    if limit.unit == "%" and highest <= 0:
        return Judged(limit, None, "not taken")
    amounts = {name: _AMOUNTS[limit.word](value, highest) for name, value in values.items()}
    worst = (min if limit.side == "minimum" else max)(amounts.values(), default=None)
    where = tuple(name for name, amount in amounts.items() if not limit.keeps(amount))
    outcome = "outside" if where else "not taken" if taken.missing or worst is None else "within"
    return Judged(limit, worst, outcome, where)


def _rules(taken: _Taken, fields: Fields, about: About) -> _Rules:
    """Give the limits that apply: the note's word by word, and the general one for what they leave open."""
    written, warnings = _written(fields.limit)
    says: list[str] = []
    lacking = ""
    even = [w for w in written if w.word in EVENNESS]
    if len(taken.cells) < 2:
        written = [w for w in written if w.word not in EVENNESS]
        lacking = "evenness needs two cylinders, and a floor needs the engine maker's figure"
    elif even:
        says.append(f"The note's figure for {listed([w.word for w in even], 'and')} stands in place of the general one.")
    else:
        lacking, assumed = _why_not_general(about)
        written = written if lacking else [*written, GENERAL]
        says += assumed
    if lacking and written:
        says.append(f"No limit on evenness applies: {lacking}.")
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


def _why_not_general(about: About) -> tuple[str, tuple[str, ...]]:
    """Say why the general rule does not apply (empty if it does), and what was assumed to apply it."""
    engine, boat = about.engine, about.boat_type
    fuel = (engine.fuel if engine else "") or next((f for f in ("gasoline", "diesel") if f in boat), "")
    strokes = engine.strokes if engine else None
    if fuel == "diesel":
        return "a diesel is judged only by its maker's figures, and the note gives none for this", ()
    if strokes == 2:
        return "a two-stroke is judged only by its maker's figures, and the note gives none for this", ()
    # an auxiliary outboard on such a boat may be a two-stroke
    inboard = boat in ("gasoline sterndrive", "gasoline inboard") and "outboard" not in (engine.name if engine else "")
    if fuel and strokes is None and inboard:
        return "", (f"Taken as a four-stroke, as engines of a {boat} are; the note does not say.",)
    unknown = [word for word, told in (("fuel", fuel), ("strokes", strokes)) if not told]
    if unknown:
        words = listed(unknown, "and")
        return f"the note does not say the engine's {words} (write {words} under engines) nor the maker's figure", ()
    return "", ()


def _floors(limits: Iterable[Limit], taken: _Taken, fields: Fields, about: About) -> _Rules:
    """Correct each floor for altitude in the working; judge it so only where the note says yes."""
    wishes = [n.words["corrected for altitude"] for n in fields.limit if "corrected for altitude" in n.words]
    height = fields.altitude or about.altitude
    done = [_floor(each, taken, height, wishes) if each.word == "minimum" else _Rules((each,)) for each in limits]
    stays = (altitude.RATIOS_STAY,) if height else ()
    return _Rules(
        limits=tuple(limit for rule in done for limit in rule.limits),
        says=(*(said for rule in done for said in rule.says), *stays),
        steps=tuple(step for rule in done for step in rule.steps),
        warnings=tuple(warning for rule in done for warning in rule.warnings),
    )


def _floor(limit: Limit, taken: _Taken, height: Quantity | None, wishes: list[bool]) -> _Rules:
    wanted = any(wishes)
    if height is None:
        warning = ("corrected for altitude, but no altitude", "write altitude: with the height of the place")
        return _Rules((limit,), warnings=(warning,) if wanted else ())
    if wishes and not wanted:
        return _Rules((limit,), says=("The note says that the floor is not to be corrected for altitude.",))
    known = altitude.correction(height)
    if known.factor is None:
        warning = (known.remark, "write the maker's figure for that height")
        return _Rules((limit,), says=(known.remark,), warnings=(warning,) if wanted else ())
    factor = units.figures(known.factor, 4)
    source = f"{limit.source}, times {factor} for altitude"
    corrected = dataclasses.replace(limit, value=limit.value * known.factor, source=source)
    at = f"{units.figures(corrected.value, 4)} {limit.unit}"
    stated = f"{units.figures(limit.value, 6)} {limit.unit}"
    steps = (
        Step("altitude factor", "published table, straight line between whole thousands of feet", str(height), factor),
        Step("floor at this height", "floor × factor", f"{stated} × {factor}", *at.split(" ")),
    )
    says = tuple(filter(None, (altitude.METHOD, known.remark)))
    if wanted:
        return _Rules((corrected,), says=says, steps=steps)
    broken = _judge(limit, taken).where
    if not broken or _judge(corrected, taken).where:
        return _Rules((limit,), says=says, steps=steps)
    found = f"{called(broken)} under the floor of {stated} and kept only by the altitude's {at}"
    write = "if the maker states the floor for sea level, add corrected for altitude: yes to limit"
    only = f"Corrected for altitude the floor is {at}, and every cylinder taken keeps it; judged as stated, {stated}."
    return _Rules((limit,), says=(*says, only), steps=steps, warnings=((found, write),))


def _because(
    outcome: str, judged: Iterable[Judged], taken: _Taken, rules: _Rules, reading: Reading
) -> str:
    if outcome == "no limit applies":
        return f"No limit applies: {rules.lacking}."
    if not taken.values:
        return f"Not taken: {reading.not_taken}." if reading.not_taken else "No cylinder was taken."
    if outcome == "not taken" and not taken.missing:
        return "Every cylinder reads zero, so no ratio can be formed."
    if outcome == "not taken":
        return f"Not taken on {called(taken.missing)}, so not every limit could be judged; those taken keep them."
    said = "; ".join(_sentence(j) for j in judged if j.outcome == outcome)
    return f"{said[:1].upper()}{said[1:]}."


def _sentence(judged: Judged) -> str:
    limit, value = judged.limit, judged.value or 0.0
    bound = f"at {'least' if limit.side == 'minimum' else 'most'} {units.figures(limit.value, 4)} {limit.unit}"
    what = {
        "minimum": "the lowest reads",
        "maximum": "the highest reads",
        "difference": "highest and lowest differ by",
        "spread": "the spread is",
        "lowest to highest": "lowest to highest is",
    }[limit.word]
    where = f" ({called(judged.where)})" if judged.where else ""
    return f"{what} {beside(value, limit)} {limit.unit}{where}, {bound} is asked by {_short(limit)}"


def _short(limit: Limit) -> str:
    if limit.origin == "general":
        return "a general rule"
    return limit.source if len(limit.source) <= 60 else f"{limit.source[:57].rstrip()}..."


def _says(taken: _Taken) -> Iterator[str]:
    for cell in taken.cells:
        if cell.quantity is None:
            yield f"Not taken: {called([cell.name])}{f', {cell.why}' if cell.why else ''}."
    if taken.extra:
        yield f"Measured, but the engine is noted with fewer cylinders: {called(taken.extra)}."


def _prepared(fields: Fields, reading: Reading) -> tuple[str, ...]:
    return cylinders.prepared(fields.engine_temperature, reading.conditions, "makers' figures")


def _slips(taken: _Taken, banks: Banks) -> Iterator[tuple[str, str]]:
    for cell in taken.odd:
        yield f"{called([cell.name])}: {cell.quantity} can't be right", "write the pressure above zero, or not taken"
    if taken.extra:
        yield f"{called(taken.extra)} beyond the engine's number", "correct cylinders: here or under engines"
    if names := cylinders.strangers(banks, taken.cells):
        yield f"banks name {listed(names, 'and')}", "use the names of cylinders:"
    if names := tuple(name for name in taken.wet if name not in cylinders.by_name(taken.cells)):
        yield f"wet names {listed(names, 'and')}", "use the names of cylinders:"
    if taken.values and taken.highest <= 0:
        yield "every cylinder reads zero", "check gauge, throttle and cranking, and measure again"
