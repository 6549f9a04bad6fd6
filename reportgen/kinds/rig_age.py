"""Counts how old each part of the standing rigging is, from what is written of when it was fitted.

Method: invoices first, then tags and the owner's word; what nobody knows is told as not known. Of a month or
a year alone the first day counts, so that no age comes out too low. Units: years, counted on the
report's day, or on the day that `counted on` names.

Limits: none is general. Insurers often ask at ten years: common practice, no source, shown and not judged.
The note's `age` is judged, for all or by part. A part of unknown age is never within.

Source: rig-age-magazine, rig-age-surveyor (shown, not judged).
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from reportgen import ages, judging, limits, plots, units
from reportgen.block import key
from reportgen.cells import Cell, Word, Words
from reportgen.chart import Chart, Table
from reportgen.errors import listed
from reportgen.judging import Thing
from reportgen.kind import About, Assessment, Judged, Kind, Step
from reportgen.limits import Limits, NoteLimit
from reportgen.model import Reading
from reportgen.units import Quantity
from reportgen.values import Date
from reportgen.wording import all_of, day, say, say_in, term

LIMIT_WORDS = {"age": "time"}
USUAL = 10.0  # when insurers often ask [years]: common practice, no source; never judged


@dataclass(frozen=True)
class Fields:
    """Keys of the ages of standing rigging."""

    fitted: tuple[Word, ...] = key(
        Words("date, month, year or not known", ages.date_advice),
        share="open",
        help="when each part was fitted new",
        default=(),
    )
    told_by: tuple[Word, ...] = key(
        Words("invoice, tag, owner's word", lambda text: ""),
        share="open",
        help="what each date rests on",
        default=(),
    )
    counted_on: datetime.date | None = key(
        Date(), share="open", help="day on which ages are counted, if not the report's"
    )
    limit: tuple[NoteLimit, ...] = key(
        Limits(LIMIT_WORDS), share="open", help="age with its source, such as a policy", default=()
    )


def assess(reading: Reading, about: About) -> Assessment:
    """Judge ages by the note's figure only. Source: none for a limit."""
    fields: Fields = reading.fields
    on = fields.counted_on or about.counted_on
    found = tuple(_age(word, on) for word in fields.fitted)
    own = limits.written(fields.limit)
    judged = judging.judge(own, found)
    names = {"", *(t.name for t in found)}
    strange = list(dict.fromkeys(li.of for li in own if li.of not in names))
    return judging.assessment(
        reading,
        found,
        judged,
        lacking=say("no age of rigging is published as a limit, and the report gives none"),
        working=_working(fields, found, on),
        says=_says(fields, found, on),
        criteria=_criteria(),
        source_ids=KIND.source_ids,
        values=(("age", _cells(found)),),
        chart=_chart(fields, found, judged, on),
        warnings=(
            *_slips(fields, on),
            *((f"limit names {listed(strange, 'and')}", "use the names of fitted:") for _ in strange[:1]),
        ),
    )


def _cells(found: Sequence[Thing]) -> tuple[Cell, ...]:
    """Give the ages that are known [years], as printed; of the others a sentence tells why."""
    return tuple(Cell(t.name, Quantity(Decimal(t.printed), "years")) for t in found if t.value is not None)


def _age(word: Word, on: datetime.date | None) -> Thing:
    """Give a part's age [years]; a gap where it is not known, lies ahead, or no day is there to count on."""
    since = ages.day(word.text)
    if since is None or on is None or since > on:
        unread = "" if word.text == ages.UNKNOWN else word.text
        why = word.why or (
            say("its age is not known")
            if not unread
            else say("fitted {date}, no age on that day", date=unread)
        )
        return Thing(word.name, None, "years", "", "age", why)
    return Thing(word.name, ages.years(since, on), "years", units.figures(ages.years(since, on), 3), "age")


def _slips(fields: Fields, on: datetime.date | None) -> Iterator[tuple[str, str]]:
    ahead = [w for w in fields.fitted if (since := ages.day(w.text)) and on and since > on]
    for word in ahead:
        yield f"{word.name}: fitted {word.text}, after the day counted on", "correct the date"
    names = {w.name for w in fields.fitted}
    if strange := [w.name for w in fields.told_by if w.name not in names]:
        yield f"told by names {listed(strange, 'and')}", "use the names of fitted:"


def _working(fields: Fields, found: Sequence[Thing], on: datetime.date | None) -> Iterator[Step]:
    for word, each in zip(fields.fitted, found, strict=True):
        if each.value is not None and on is not None:
            values = f"{on} - {ages.day(word.text)}"
            yield Step(
                say("age of {name}", name=word.name),
                say("day counted on − day fitted"),
                values,
                each.printed,
                "years",
            )


def _says(fields: Fields, found: Sequence[Thing], on: datetime.date | None) -> Iterator[str]:
    if on is not None:
        yield say("Ages are counted on {on}.", on=day(on))
    if vague := [w.name for w in fields.fitted if len(w.text) < len("2014-05-17") and ages.day(w.text)]:
        yield say("Counted from the first day of the month or year written: {vague}.", vague=all_of(vague))
    told = {w.name for w in fields.told_by if w.text}
    if bare := [t.name for t in found if t.value is not None and t.name not in told]:
        yield say("What the date rests on is not stated: {bare}.", bare=all_of(bare))
    if old := [t.name for t in found if t.value is not None and t.value >= USUAL]:
        yield say(
            "Ten years or older: {old}; many insurers ask at that age, which is common practice "
            "without a source; ask the insurer in question.",
            old=all_of(old),
        )
    if unknown := [w.name for w in fields.fitted if w.text == ages.UNKNOWN]:
        yield say("Of unknown age, and so to be taken as old: {unknown}.", unknown=all_of(unknown))


def _criteria() -> tuple[str, ...]:
    """Give what is published and not judged. Source: rig-age-magazine, rig-age-surveyor."""
    return (
        say("A magazine that tests gear recommends 10 to 12 years for wire on an average cruising boat."),
        say("A surveyor's page finds neither statistics nor science behind ten years."),
        say("Ten years is what insurers often ask: common practice, no source."),
    )


def _chart(
    fields: Fields, found: Sequence[Thing], judged: Sequence[Judged], on: datetime.date | None
) -> Chart | None:
    if on is None or not any(t.value is not None for t in found):
        return None
    chart = plots.bars(
        say("Age of standing rigging on {on}, years", on=day(on)),
        say("Part"),
        [(say("age"), found)],
        judged,
        "years",
    )
    told = {w.name: w.text for w in fields.told_by}
    rows = tuple(
        (*row, word.text or say_in("outcome", "not taken"), told.get(word.name) or say("not stated"))
        for row, word in zip(chart.table.rows, fields.fitted, strict=True)
    )
    return replace(chart, table=Table((*chart.table.header, term("fitted"), term("told by")), rows))


KIND = Kind(
    name="rig-age",
    title="Age of standing rigging",
    measures="How long ago each part of the standing rigging was fitted new, and what that rests on.",
    fields=Fields,
    units=("years", "months"),
    limits=(),
    assess=assess,
    proves=("How old a part is, as far as its invoice or tag can be trusted.",),
    proves_not=(
        "Age alone does not say whether wire and fittings are sound.",
        "New wire on old terminals, toggles and chainplates is only as old as the oldest of them.",
        "An owner's word is no invoice.",
    ),
    limit_words=LIMIT_WORDS,
    how="Read invoices and tags for each part; write what nobody knows as not known.",
    instrument="invoices, tags on wires and terminals",
    example="""
kind: rig-age
fitted: {cap shrouds: 2015-04-20, lower shrouds: 2021-03, backstay: 2015-04-20, chainplates: not known}
told by: {cap shrouds: invoice, lower shrouds: invoice, backstay: owner's word}
counted on: 2026-05-12
limit: {age: 10 years, source: "invented policy, clause 8"}
""",
    blank="""
kind: rig-age
fitted:
  forestay:
  backstay:
  cap shrouds:
  lower shrouds:
  terminals:
  chainplates:
told by:
""",
    hazards=("dismasting",),
    source_ids=("rig-age-magazine", "rig-age-surveyor"),
    no_source="No age at which rigging passes or fails is published; ten years is insurers' common practice.",
)
