"""Gives what a laminate sounds like under a light hammer, place by place, in the trade's words.

Method: tap lightly with a plastic hammer over the whole area and listen for a change; where it changes, tap
again with a harder hammer, find the patch's edge and measure it. Words: sharp (crisp, as the rest), dull,
dead, hollow, soft. Units: of the extent of a patch, m², ft² ... The words are not turned into numbers.

Limits: none is published for a sound or for the size of a patch. Only the note's own `maximum` of a patch's
extent is judged. A place not sounded, or a patch whose extent was not measured, is never within.

Source: sounding-case (a local change asks for a harder hammer, then for opening up); sounding-dull (what a
dull sound can mean); moisture-core-sample (read it with the meter; what proves a wet core).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from reportgen import judging, limits, units
from reportgen.block import key
from reportgen.cells import Cell, Cells, Word, Words
from reportgen.chart import Chart, Table
from reportgen.errors import listed, nearest
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import OneOf, Text, YesNo
from reportgen.wording import all_of, later, later_in, say, say_in, say_n

SOUNDS = (
    later_in("sound", "sharp"),
    later_in("sound", "dull"),
    later_in("sound", "dead"),
    later_in("sound", "hollow"),
    later_in("sound", "soft"),
)
SOUND = SOUNDS[0]  # as a well bonded laminate sounds
LIMIT_WORDS = {"maximum": "area"}


def _advice(text: str) -> str:
    if text in SOUNDS:
        return ""
    return f"write {nearest(text, SOUNDS) or listed(SOUNDS)}"


@dataclass(frozen=True)
class Fields:
    """Keys of a sounding."""

    places: tuple[Word, ...] = key(
        Words(listed(SOUNDS), _advice), share="open", help="sound by place, in the trade's words", default=()
    )
    patches: tuple[Cell, ...] = key(
        Cells("area", "m²"), share="open", help="extent of the patch by place, where not sharp", default=()
    )
    behind: tuple[Word, ...] = key(
        Words("what stands behind", lambda text: ""),
        share="open",
        help="bulkhead, tank or other thing behind a place",
        default=(),
    )
    hammer: str = key(Text(), share="open", help="what was tapped with", default="")
    second_hammer: bool | None = key(
        YesNo(), share="open", help="whether a harder hammer confirmed what was heard"
    )
    panel: str = key(OneOf(("solid", "cored")), share="open", help="solid laminate or cored", default="")
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS, by_name=False), share="open", help="largest patch, with its source", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Give the words, and judge the extent of patches by the note. Source: sounding-case."""
    fields: Fields = reading.fields
    patches, slips = _sensible(fields)
    heard = tuple(_heard(word) for word in fields.places)
    extents = tuple(_extents(fields.places, patches))
    judged = judging.judge(limits.written(fields.limit), (*heard, *extents))
    unlike = tuple(word for word in fields.places if word.text and word.text != SOUND)
    return judging.assessment(
        reading,
        (*heard, *extents),
        judged,
        lacking=say("a sound is a word, not a number, and no figure is published for the size of a patch"),
        working=_working(fields.places, extents),
        says=_says(fields, unlike),
        suggests=_suggests(fields, unlike),
        source_ids=KIND.source_ids,
        values=(("patches", patches),) if patches else (),
        chart=_chart(fields.places, patches, fields.behind),
        warnings=slips,
    )


def _sensible(fields: Fields) -> tuple[tuple[Cell, ...], tuple[tuple[str, str], ...]]:
    """Take impossible extents out, and name patches of no place that was sounded."""
    names = [word.name for word in fields.places]
    odd = [c for c in fields.patches if c.quantity and c.quantity.value <= 0]
    strange = [c.name for c in fields.patches if c.name not in names]
    kept = tuple(
        replace(c, quantity=None, why=say("{value} can't be right", value=c.quantity)) if c in odd else c
        for c in fields.patches
    )
    slips = [(f"{c.name}: {c.quantity} can't be right", "write the extent or not taken") for c in odd]
    if strange:
        slips.append((f"patches name {listed(strange, 'and')}", "use the names of places:"))
    return kept, tuple(slips)


def _heard(word: Word) -> Thing:
    """Give a sound as a thing that was taken or not; it has no size that a limit could be for."""
    value = None if not word.text else float(SOUNDS.index(word.text))
    return Thing(word.name, value, "", word.text, "sound", word.why)


def _extents(places: Sequence[Word], patches: Sequence[Cell]) -> Iterator[Thing]:
    """Give the extent of each patch, and a gap where a place sounds unlike the rest but none was measured."""
    measured = {cell.name: cell for cell in patches}
    for word in places:
        name = say("patch at {name}", name=word.name)
        if word.name in measured:
            yield replace(judging.thing(measured[word.name], "extent"), name=name)
        elif word.text not in ("", SOUND):
            yield Thing(name, None, "", "", "extent", say("its extent was not measured"))


def _working(places: Sequence[Word], extents: Sequence[Thing]) -> Iterator[Step]:
    taken = [word for word in places if word.text]
    if not taken:
        return
    counts = {sound: sum(word.text == sound for word in taken) for sound in SOUNDS}
    told = ", ".join(f"{say_in('sound', sound)} {count}" for sound, count in counts.items() if count)
    unlike = len(taken) - counts[SOUND]
    yield Step(
        say("places that do not sound sharp"),
        say("count"),
        told,
        say("{some} of {all}", some=unlike, all=len(taken)),
    )
    known = [t for t in extents if t.value is not None]
    if len(known) > 1:
        unit = known[0].unit
        values = [units.convert(t.value or 0.0, t.unit, unit) for t in known]
        printed = " + ".join(units.figures(v, 3) for v in values)
        yield Step(
            say("patches together"), say("sum of the extents"), printed, units.figures(sum(values), 3), unit
        )


def _says(fields: Fields, unlike: Sequence[Word]) -> Iterator[str]:
    taken = [word for word in fields.places if word.text]
    for sound in SOUNDS:
        names = [word.name for word in taken if word.text == sound]
        if names:
            yield say("Sounds {sound}: {names}.", sound=say_in("sound", sound), names=all_of(names))
    backed = {word.name: word.text for word in fields.behind if word.text}
    for word in unlike:
        if word.name in backed:
            yield say(
                "Behind {name}: {backed}, which can change the sound by itself.",
                name=word.name,
                backed=backed[word.name],
            )
    if unlike and fields.second_hammer is None:
        yield say("Whether a second, harder hammer confirmed it is not stated.")
    if unlike and fields.second_hammer is False:
        yield say("A second, harder hammer did not confirm it, or was not used.")
    if missing := [
        n for n, value in ((say("the hammer"), fields.hammer), (say("the panel"), fields.panel)) if not value
    ]:
        yield say("Not stated: {missing}.", missing=all_of(missing))


def _suggests(fields: Fields, unlike: Sequence[Word]) -> Iterator[str]:
    """Say what a change of sound suggests. Source: sounding-case, sounding-dull, moisture-core-sample."""
    if not unlike:
        return
    suggested = (
        later(
            "A change of sound in one place suggests a void, skin and core that part or were never bonded, "
            "or water; to be confirmed by a harder hammer, a moisture meter, and opening up with the owner's "
            "permission."
        )
        if fields.panel == "cored"
        else later(
            "A change of sound in one place suggests a void, layers that part or were never bonded, or "
            "water; to be confirmed by a harder hammer, a moisture meter, and opening up with the owner's "
            "permission."
        )
    )
    yield say(suggested)
    if not [word for word in fields.behind if word.text]:
        yield say(
            "It also suggests a bulkhead, a stringer or a tank behind; to be confirmed by a look inside."
        )


def _chart(places: Sequence[Word], patches: Sequence[Cell], behind: Sequence[Word]) -> Chart | None:
    taken = [word for word in places if word.text]
    if not taken:
        return None
    counts = {sound: sum(word.text == sound for word in taken) for sound in SOUNDS}
    told = ", ".join(f"{count} {say_in('sound', sound)}" for sound, count in counts.items() if count)
    gaps = [word.name for word in places if not word.text]
    extents = {cell.name: _printed(cell.quantity) for cell in patches}
    backed = {word.name: word.text for word in behind}
    rows = tuple(
        (w.name, _sound(w.text), extents.get(w.name, "-"), backed.get(w.name) or "-") for w in places
    )
    alt = say_n(
        "Sounding of {n} place: {counts}.", "Sounding of {n} places: {counts}.", len(taken), counts=told
    )
    if gaps:
        alt = say_n(
            "Sounding of {n} place: {counts}; not taken: {gaps}.",
            "Sounding of {n} places: {counts}; not taken: {gaps}.",
            len(taken),
            counts=told,
            gaps=all_of(gaps),
        )
    shown = ({"label": _sound(sound), "count": count} for sound, count in counts.items() if count)
    heads = (say("place"), say("sound"), say("extent of the patch"), say("behind it"))
    title = say("Sounding, places by sound")
    return Chart("counts", title, alt, {"rows": tuple(shown)}, Table(heads, rows))


def _sound(text: str) -> str:
    return say_in("sound", text) if text else say_in("outcome", "not taken")


def _printed(quantity: Quantity | None) -> str:
    return str(quantity) if quantity else say_in("outcome", "not taken")


KIND = Kind(
    name="sounding",
    title="Sounding by hammer",
    measures="How each place of a laminate sounds under a light hammer, against the rest of it.",
    fields=Fields,
    units=tuple(units.UNITS["area"]),
    limits=(),
    assess=assess,
    proves=(
        "A place that sounds unlike an even area around it is different there.",
        "It finds voids and parted layers that can't be seen.",
    ),
    proves_not=(
        "A dull sound does not say why: a void, parted layers, water, or a bulkhead behind can sound alike.",
        "In a published case a dull patch of 3 feet was skin never bonded to its core, without any water.",
        "A sharp sound does not prove a dry core; it is read together with a moisture meter.",
        "What was not tapped is not known.",
    ),
    limit_words=LIMIT_WORDS,
    how="Tap lightly and closely with a plastic hammer; where the sound changes, tap with a harder one.",
    instrument="plastic hammer, and a harder one to confirm",
    example="""
kind: sounding
places: {upper port: sharp, upper starboard: sharp, centre: dull, lower port: sharp, lower starboard: -}
patches: {centre: 0.06 m²}
hammer: plastic, 100 g
second hammer: yes
panel: cored
limit: {maximum: 0.05 m², source: "invented yard standard 12, transom repairs"}
""",
    blank="""
kind: sounding
places:
  upper port:
  upper starboard:
  centre:
  lower port:
  lower starboard:
patches:
behind:
hammer:
second hammer:
panel:
""",
    anywhere=True,
    source_ids=("sounding-case", "sounding-dull", "moisture-core-sample"),
    no_source="A sound is a word and not a number, and nobody publishes how large a patch may be.",
)
