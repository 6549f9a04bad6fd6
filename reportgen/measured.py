"""Gives a reading as plain values for a page: what was found, by which limit, and the working."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any, TypeVar

from reportgen import bounds, breaches, units
from reportgen.block import keys_of
from reportgen.bounds import bound, found_in
from reportgen.cells import Cell, Table, Word
from reportgen.cylinders import told
from reportgen.judging import at_speed
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.model import Reading
from reportgen.passage import capital, dated, pictures, reference, rich, steps, text_block, titled
from reportgen.plots import DERIVED
from reportgen.report import JudgedReading, Report
from reportgen.units import Quantity
from reportgen.wording import number, publication, say, say_in, term

T = TypeVar("T")
PAGE = "measurements"  # the appendix that holds every reading in full
FEW = 8  # values that a line names one by one


def _names_engine(report: Report, at: str) -> bool:
    """Say whether a place is an engine's name and can't be a side of the boat."""
    found = report.cover.found
    return at not in ("port", "starboard") and at in [e.name for e in (*found.engines, *found.generators)]


def shown(report: Report, judged: JudgedReading) -> Mapping[str, Any]:
    """Give all that a page may say of a reading, as texts, lists and its chart."""
    reading, found = judged.reading, judged.assessment
    own = {f.finding.id for f in report.findings if f.finding.by_tool}
    return {
        "id": reading.id,
        "title": titled(reading.title),
        "kind": say(judged.kind_title),
        "kind_name": reading.kind,
        "at": term(reading.at) if judged.of_engine else reading.at,
        "engine": judged.of_engine or _names_engine(report, reading.at),
        "outcome": found.outcome,
        "because": _because(found.outcome, found.because),
        "found": told(reading.kind, unjudged(judged)) if found.outcome == "no limit applies" else "",
        "chart": found.chart,
        "limits": [
            _group(reading, same) for same in by_source([j.limit for j in found.judged], found.judged)
        ],
        "says": found.says,
        "suggests": found.suggests,
        "criteria": found.criteria,
        "working": steps(found.working),
        "conditions": rich(reading.conditions),
        "with": [rich(w) for w in reading.with_],
        "by": reading.by,
        "not_taken": rich(reading.not_taken),
        "gaps": [
            {"series": term(s), "name": term(c.name), "why": rich(c.why)}
            for s, cells in found.values
            for c in cells
            if c.why
        ],
        "prose": text_block(reading.prose),
        "photos": pictures(reading.photos),
        "answered_by": [reference(report, id) for id in judged.answered_by if id not in own],
        "listed_as": [reference(report, id) for id in judged.answered_by if id in own],
    }


def _because(outcome: str, because: str) -> str:
    """Give the reason without the outcome's own words, which stand before it on the page."""
    head, colon, rest = because.partition(": ")
    # an outcome's sentence may begin with the word of the outcome
    words = (outcome, say_in("outcome", outcome).casefold())
    said = dated(rest if colon and head.strip().casefold() in words else because)
    return f"{said[:1].upper()}{said[1:]}"


def unjudged(judged: JudgedReading) -> str:
    """Give the values of a reading that no limit judges in a line, many of a unit by their ends."""
    named = [(name, cells) for name, cells in judged.assessment.values if cells]
    rows = judged.reading.table.rows if judged.reading.table else ()
    of_table = [c for row in rows for c in row.cells]
    words = [f"{term(row.name)}: {w.text}" for row in rows for w in row.words if w.text]
    by_key = list(_words_of_fence(judged.reading.fields))
    cells = [*(c for _, series in named for c in series), *of_table]
    told = [_cell_value(c) for c in cells if c.quantity]
    if len(told) + len(words) > FEW and told:
        return "; ".join([*by_key, *(_ends(unit, values) for unit, values in _by_unit(cells).items())])
    several = len(named) > 1 or bool(by_key)
    lists = [", ".join(_cell_value(c) for c in series if c.quantity) for _, series in named]
    said = [
        f"{term(name)}: {text}" if several else text
        for (name, _), text in zip(named, lists, strict=True)
        if text
    ]
    return "; ".join([*by_key, *said, *(_cell_value(c) for c in of_table if c.quantity), *words])


def _words_of_fence(fields: Any) -> Iterator[str]:
    """Give what the fence says in words, such as how places sound, key by key."""
    for name, spec in keys_of(type(fields)).items():
        value = getattr(fields, spec.name)
        told = [w for w in value if isinstance(w, Word) and w.text] if isinstance(value, tuple) else []
        if told:
            yield f"{term(name)}: {', '.join(f'{_name(w.name)} {w.text}' for w in told)}"


def _name(name: str) -> str:
    # a number as name, such as a cylinder's, would run into its value
    return f"{term(name)}{':' * name[-1:].isdigit()}"


def _by_unit(cells: Iterable[Cell]) -> Mapping[str, Sequence[Quantity]]:
    by_unit: dict[str, list[Quantity]] = {}
    for quantity in (c.quantity for c in cells if c.quantity and not c.below):
        by_unit.setdefault(quantity.unit, []).append(quantity)
    return by_unit


def _cell_value(cell: Cell) -> str:
    return f"{_name(cell.name)} {'<' * cell.below}{cell.quantity}"


def _ends(unit: str, values: Sequence[Quantity]) -> str:
    low, high = (pick(values, key=lambda q: q.value) for pick in (min, max))
    return say(
        "{count} values from {low} to {high}",
        count=len(values),
        low=number(low.value),
        high=f"{number(high.value)} {units.in_words(unit)}".rstrip(),
    )


def by_source(limits: Sequence[Limit], things: Sequence[T]) -> list[list[T]]:
    """Give things in runs whose limits have one source, so that a page names it once for all of them."""
    pairs = zip(limits, things, strict=True)
    runs = groupby(pairs, key=lambda pair: (pair[0].source, pair[0].origin))
    return [[thing for _, thing in run] for _, run in runs]


def asked_by(limit: Limit) -> str:
    """Give a limit's source to print; a kind's own was named before any spelling was asked for."""
    return publication(limit.source) if limit.origin == "general" else limit.source


def named(limit: Limit, kind: str = "") -> str:
    """Give what a limit is for and its word; `at least` beside it says minimum already."""
    of = limit.of
    said = ("minimum", "maximum", "within", of, f"least {of}", f"most {of}")
    words = [of, "" if limit.word in said else limit.word]
    return ", ".join(term(at_speed(kind, word)) for word in words if word)


def _group(reading: Reading, judged: Sequence[Judged]) -> Mapping[str, Any]:
    first = judged[0].limit
    source = {"source": asked_by(first), "from_note": first.origin == "note"}
    return source | {"limits": [_limit(reading.kind, each, reading.table) for each in judged]}


def _limit(kind: str, judged: Judged, table: Table | None) -> Mapping[str, Any]:
    limit = judged.limit
    return {
        "name": named(limit, kind),
        "bound": bound(limit),
        "found": "" if judged.value is None else found_in(judged),
        "outcome": judged.outcome,
        "where": dated(breaches.where(kind, judged, table)),
    }


def to_repeat(judged: JudgedReading) -> list[Mapping[str, str]]:
    """Give what a yard measures again after the work, line by line: what, as found, what is asked, the unit.

    Of a reading that limits judge these are the limits that it doesn't keep, else its values: one by one, or
    in a line if they are many.
    """
    kind, found = judged.reading.kind, judged.assessment
    failed = [each for each in found.judged if each.outcome != "within"]
    if failed:
        return [_again(kind, each, _limit(kind, each, judged.reading.table)) for each in failed]
    rows = judged.reading.table.rows if judged.reading.table else ()
    cells = [c for _, series in found.values for c in series] + [c for row in rows for c in row.cells]
    taken = [c for c in cells if c.quantity]
    if not 0 < len(taken) <= FEW:
        units_of = dict.fromkeys(c.quantity.unit for c in taken if c.quantity)
        named = ", ".join(filter(None, map(units.in_words, units_of)))
        told_as = unjudged(judged) if found.outcome == "no limit applies" else ""
        return [_line(say(judged.kind_title), told_as, "", named)] if told_as else []
    return [
        _line(told(kind, c.name), f"{'<' * c.below}{c.quantity}", "", units.in_words(c.quantity.unit))
        for c in taken
        if c.quantity
    ]


def _again(kind: str, judged: Judged, limit: Mapping[str, Any]) -> Mapping[str, str]:
    of = judged.where or (judged.name,)
    # what lies between values is of all of them, whichever broke it
    where = "" if judged.limit.word in DERIVED else limit["where"]
    named = filter(None, (limit["name"], where))
    what = ", ".join(named) if limit["name"] else told(kind, ", ".join(map(term, of)))
    found = limit["found"] or say_in("outcome", "not taken")
    return _line(what, found, limit["bound"], bounds.unit(judged.limit))


def _line(what: str, found: str, asked: str, unit: str) -> Mapping[str, str]:
    return {"what": capital(what), "found": found, "asked": asked, "unit": unit}
