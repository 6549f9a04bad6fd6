"""Judges an engine's coolant by what strips, a refractometer or a laboratory found in it.

Method: a sample from the header tank or a drain, engine cold; strips within their date, the refractometer set
to zero with clean water and read on the scale of the glycol that `coolant` names. Single figures, one sample
a reading. Units: pH, %, °C or °F, ppm, mg/kg, µS/cm, mS/cm.

Limits: only the laboratory's, or those of the maker of coolant or engine, by name of the figure; coolants of
different chemistry have different ones, and none is published here. That chloride suggests sea water, metals
corrosion, and low pH spent coolant: common practice, no source.

Source: none. A figure that a limit is for and that was not taken is never within.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, plots
from reportgen.block import key
from reportgen.cells import Cell, read_cell
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Context, Custom, Measure, Text
from reportgen.wording import all_of, later_in, say, term
from reportgen.yamltext import Node

INHIBITORS = ("nitrite", "molybdate", "phosphate", "silicon")
FOREIGN = ("chloride", "sulphate", "iron", "copper", "aluminium", "lead")
SINGLE: dict[str, tuple[str, str | None]] = {
    "pH": ("acidity", "pH"),
    "glycol": ("share", "%"),
    "freeze point": ("temperature", None),
    "conductivity": ("conductivity", "µS/cm"),
}
NAMES = SINGLE | dict.fromkeys((*INHIBITORS, *FOREIGN), ("concentration", "ppm"))
CALLED = {"pH": later_in("name", "acidity")}  # in a sentence, which can't begin with pH
# what each figure can be at all, in its unit; for the freeze point what a refractometer's scale holds
POSSIBLE = {"pH": (0.0, 14.0), "%": (0.0, 100.0), "°C": (-80.0, 20.0), "°F": (-112.0, 68.0)}
LIMIT_WORDS = {"minimum": "", "maximum": "", "within": ""}


def _figure(name: str, help: str) -> Cell | None:
    """Declare a key for one figure, which may also be below detection or not taken for a reason."""

    def read(node: Node, context: Context) -> Cell | None:
        dimension, default = NAMES[name]
        return read_cell(CALLED.get(name, name), node, dimension, default, context)

    found: Cell | None = key(
        Custom(f"{NAMES[name][0]}, or not taken, why", read, (Measure(NAMES[name][0]),)),
        share="open",
        help=help,
    )
    return found


@dataclass(frozen=True)
class Fields:
    """Keys of a coolant analysis."""

    coolant: str = key(Text(), share="open", help="kind of coolant and of glycol, as on the can", default="")
    age: Quantity | None = key(Measure("time", "years"), share="open", help="time since it was changed")
    laboratory: str = key(Text(), share="open", help="who analysed it, and the report's number", default="")
    pH: Cell | None = _figure("pH", "acid or alkaline, 7 is neutral")  # noqa: N815
    glycol: Cell | None = _figure("glycol", "share of antifreeze")
    freeze_point: Cell | None = _figure("freeze point", "temperature down to which it stays liquid")
    conductivity: Cell | None = _figure("conductivity", "how well it conducts, a sign of salts")
    nitrite: Cell | None = _figure("nitrite", "inhibitor")
    molybdate: Cell | None = _figure("molybdate", "inhibitor")
    phosphate: Cell | None = _figure("phosphate", "inhibitor")
    silicon: Cell | None = _figure("silicon", "inhibitor, as silicon")
    chloride: Cell | None = _figure("chloride", "salt, of the sea or of tap water")
    sulphate: Cell | None = _figure("sulphate", "salt")
    iron: Cell | None = _figure("iron", "metal of the block")
    copper: Cell | None = _figure("copper", "metal of coolers")
    aluminium: Cell | None = _figure("aluminium", "metal of heads and housings")
    lead: Cell | None = _figure("lead", "metal of solder")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, NAMES), share="open", help="laboratory's or maker's figures by name", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge coolant by the figures of the note; none that is published fits all coolants."""
    written: Fields = reading.fields
    asked = limits.written(written.limit)
    found, slips = _sensible(_things(written, {limit.of for limit in asked}))
    judged = judging.judge(asked, found)
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say("the report gives no laboratory's or maker's figures, and they differ by coolant"),
        says=(*_beside(found), *_says(written)),
        suggests=_suggests(found, judged),
        values=(("figures", _cells(written)),),
        chart=_chart(found, judged),
        warnings=slips,
    )


def _cells(written: Fields) -> tuple[Cell, ...]:
    """Give the figures as written."""
    held = (getattr(written, name.replace(" ", "_")) for name in NAMES)
    return tuple(cell for cell in held if cell)


def _things(written: Fields, asked: set[str]) -> tuple[Thing, ...]:
    """Give the figures that were taken, and those that a limit asks for."""
    held = {cell.name: cell for cell in _cells(written)}
    called = {name: CALLED.get(name, name) for name in NAMES}
    wanted = [name for name in NAMES if called[name] in held or name in asked]
    return tuple(judging.thing(held.get(called[name]) or Cell(called[name]), name) for name in wanted)


def _sensible(found: Sequence[Thing]) -> tuple[tuple[Thing, ...], tuple[tuple[str, str], ...]]:
    """Make not taken what no coolant has, and tell each."""
    odd = [t for t in found if t.value is not None and not _possible(t.value, t.unit)]
    kept = tuple(
        replace(t, value=None, why=say("{value} can't be right", value=t.words)) if t in odd else t
        for t in found
    )
    return kept, tuple((f"{t.name}: {t.words} can't be right", "write the value or nothing") for t in odd)


def _possible(value: float, unit: str) -> bool:
    low, high = POSSIBLE.get(unit, (0.0, 1e6))
    return low <= value <= high


def _says(written: Fields) -> Iterator[str]:
    if not written.coolant:
        yield say("Which coolant it is is not stated: figures and a refractometer's scale depend on it.")
    if written.age is None:
        yield say("How old the coolant is is not stated.")
    if written.glycol is None and written.freeze_point is not None:
        yield say(
            "The freeze point says how strong the mixture is, not whether its inhibitors still protect."
        )


def _suggests(found: Sequence[Thing], judged: Sequence[Judged]) -> Iterator[str]:
    """Say what figures beyond the limits suggest. Common practice, no source."""
    broken = {(j.limit.of, j.limit.side) for j in judged if j.outcome == "outside"}
    high, low = ({of for of, side in broken if side == s} for s in ("maximum", "minimum"))
    if high & {"chloride", "conductivity", "sulphate"}:
        yield say(
            "Salts suggest sea water through a cooler's tube or gasket, or tap water in the "
            "mixture; to be told apart by a pressure test of the heat exchanger."
        )
    if high & {"iron", "copper", "aluminium", "lead"}:
        yield say(
            "Metals suggest corrosion: iron of the block, copper and lead of coolers, aluminium of heads."
        )
    if "pH" in low or low & set(INHIBITORS):
        yield say(
            "Low pH or inhibitor suggests spent coolant or exhaust gas in it; a test for gas tells which."
        )
    if "glycol" in low or "freeze point" in high:
        yield say("A weak mixture suggests topping up with water: the leak behind it is to be found.")


def _charted(found: Sequence[Thing]) -> tuple[Thing, ...]:
    """Give the figures of the unit that most have, since a scale has one unit."""
    dimensions = [NAMES[t.of][0] for t in found if t.value is not None]
    most = max(dict.fromkeys(dimensions), key=dimensions.count, default="")
    return tuple(t for t in found if NAMES[t.of][0] == most)


def _beside(found: Sequence[Thing]) -> Iterator[str]:
    """Say the figures that the chart has no place for."""
    charted = _charted(found)
    others = [f"{term(t.name)} {t.words}" for t in found if t.value is not None and t not in charted]
    if others:
        yield say("Found beside the chart: {others}.", others=all_of(others))


def _chart(found: Sequence[Thing], judged: Sequence[Judged]) -> Chart | None:
    """Give each figure of one unit in its band."""
    alike = _charted(found)
    if not alike:
        return None
    unit = next(t.unit for t in alike if t.value is not None)
    title = (
        say("Coolant, {unit}", unit=unit)
        if len(alike) > 1
        else say("Coolant: {name}, {unit}", name=term(alike[0].name), unit=unit)
    )
    return plots.band(title, say("Figure"), alike, judged, unit)


KIND = Kind(
    name="coolant-analysis",
    title="Coolant analysis",
    measures="How strong the coolant is, whether its inhibitors still protect, and what has got into it.",
    fields=Fields,
    units=("ppm", "mg/kg", "%"),
    limits=(),
    assess=assess,
    proves=(
        "Strength and inhibitor within the maker's figures show that the coolant still protects.",
        "Salts or metals in it show that something gets in or corrodes.",
    ),
    proves_not=(
        "It does not show where sea water or gas gets in, nor how far corrosion has gone.",
        "Coolant that was just changed shows nothing of the engine.",
    ),
    limit_words=LIMIT_WORDS,
    how="Draw from the header tank with the engine cold, never opening a hot cap; coolant is poisonous and "
    "is caught.",
    instrument="refractometer, test strips or laboratory",
    example="""
kind: coolant-analysis
coolant: invented inhibited coolant, ethylene glycol
age: 3 years
pH: 7.1
freeze point: -31 °C
nitrite: 420 ppm
chloride: 180 ppm
limit: {within: {pH: [7.5, 10.5]}, minimum: {nitrite: 300}, maximum: {chloride: 100}, source: invented sheet}
""",
    blank="kind: coolant-analysis\ncoolant:\nage:\npH:\nfreeze point:\nglycol:\nnitrite:\nchloride:",
    hazards=("hot parts",),
    of_engine=True,
    no_source="Coolants differ in chemistry: only the laboratory's or maker's figures count.",
)
