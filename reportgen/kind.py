"""The contract of a measurement: its keys, its limits with their sources, its working, its outcome."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from reportgen import units
from reportgen.block import shown
from reportgen.blocks.vessel import Engine
from reportgen.cells import Cell, Shape
from reportgen.chart import Chart
from reportgen.limits import Limit
from reportgen.model import Reading

OUTCOMES = ("within", "outside", "no limit applies", "not taken")  # never "pass": silence is not in order


@dataclass(frozen=True)
class Step:
    """One step of the working.

    step: what it finds, in words. formula: in words and signs. values: the numbers put in, printed.
    result: the printed number or word. unit: of the result, empty for a word.
    """

    step: str = shown("open", "")
    formula: str = shown("open", "")
    values: str = shown("open", "")
    result: str = shown("open", "")
    unit: str = shown("open", "")


@dataclass(frozen=True)
class Judged:
    """One limit as applied.

    value: what was held against it, in the limit's unit; of several the one nearest to breaking it.
    outcome: within, outside or not taken. where: which values broke it, such as cylinder numbers.
    name: what `value` belongs to, empty where it belongs to all. below: whether it lies below detection,
    `value` then being the least that can be detected. noted: what was held, as written; empty if worked out.
    """

    limit: Limit = shown("open")
    value: float | None = shown("open")
    outcome: str = shown("open", "not taken")
    where: tuple[str, ...] = shown("open", ())
    name: str = shown("open", "")
    below: bool = shown("open", False)
    noted: str = shown("open", "")


@dataclass(frozen=True)
class Assessment:
    """What a kind makes of a reading.

    outcome: one of OUTCOMES. because: one sentence that gives the reason of the outcome.
    says: further statements, plain sentences. suggests: what the values suggest, each said as a suggestion.
    criteria: other published criteria that exist and were not used. outcomes: (thing, one of OUTCOMES)
    of each value. warnings: for the writer, (found, write).
    """

    outcome: str = shown("open", "not taken")
    because: str = shown("open", "")
    judged: tuple[Judged, ...] = shown("open", ())
    working: tuple[Step, ...] = shown("open", ())
    says: tuple[str, ...] = shown("open", ())
    suggests: tuple[str, ...] = shown("open", ())
    criteria: tuple[str, ...] = shown("open", ())
    source_ids: tuple[str, ...] = shown("open", ())
    values: tuple[tuple[str, tuple[Cell, ...]], ...] = shown("open", ())
    chart: Chart | None = shown("open")
    outcomes: tuple[tuple[str, str], ...] = shown("open", ())
    warnings: tuple[tuple[str, str], ...] = ()


def overall(judged: tuple[Judged, ...]) -> str:
    """Give the outcome over all limits that apply: any breach is outside, then any gap is not taken."""
    outcomes = {j.outcome for j in judged}
    for outcome in ("outside", "not taken", "within"):
        if outcome in outcomes:
            return outcome
    return "no limit applies"


@dataclass(frozen=True)
class About:
    """What a kind may know beside the reading.

    engine: the one it was taken on, None if not told. altitude: of the place. material: of the hull, as
    found, lower case. waters: inland, coastal or offshore. built: model year of the boat.
    counted_on: the day that ages are counted on, the report's.
    """

    engine: Engine | None = None
    boat_type: str = ""
    altitude: units.Quantity | None = None
    material: str = ""
    waters: str = ""
    built: int | None = None
    counted_on: datetime.date | None = None


@dataclass(frozen=True)
class Kind:
    """One kind of reading.

    name: as in `kind:`, words with blanks or hyphens. title: for a heading. measures: one sentence.
    fields: dataclass of its own keys. units: that `unit:` may name. limits: the general ones, with sources.
    assess: reading and circumstances to Assessment. proves, proves_not: trade text, sentences.
    unanswered: severity of an outside reading that no finding answers. hazards: of taking it.
    how: one sentence on how it is taken. instrument: what with. example: a fence to paste, its table below
    it. blank: the same with nothing filled in, as `start` writes it. table: what its table holds, None for
    a kind without. of_engine: whether `at:` names an engine. no_source: why there is no outside limit.
    limits_for: what the general limits are for, a sentence, where their own names do not say it.
    extra: whether it is taken only by separate agreement, so that `start` only names it.
    anywhere: whether it may be taken at any part of the boat, so that a finding which names it says at which.
    """

    name: str
    title: str
    measures: str
    fields: type
    units: tuple[str, ...]
    limits: tuple[Limit, ...]
    assess: Callable[[Reading, About], Assessment]
    proves: tuple[str, ...]
    proves_not: tuple[str, ...]
    limit_words: Mapping[str, str]
    how: str
    instrument: str
    example: str
    blank: str
    hazards: tuple[str, ...] = ()
    unanswered: str = "settle"
    source_ids: tuple[str, ...] = ()
    table: Shape | None = None
    of_engine: bool = False
    no_source: str = ""
    limits_for: str = ""
    extra: bool = False
    anywhere: bool = False


def fenced(kind: Kind, body: str) -> str:
    """Give a reading as a note holds it: heading, fence and table; body: an `example` or `blank`."""
    lines = body.strip("\n").splitlines()
    table = next((n for n, line in enumerate(lines) if line.startswith("|")), len(lines))
    keys = "\n".join(lines[:table]).rstrip()
    rows = "".join(f"\n{line}" for line in ["", *lines[table:]]) if table < len(lines) else ""
    return f"## {kind.title}\n```reading\n{keys}\n```{rows}\n"
