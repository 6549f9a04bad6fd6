"""The contract of a measurement: its keys, its limits with their sources, its working, its outcome."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from reportgen import sources, units
from reportgen.block import shown
from reportgen.blocks.vessel import Engine
from reportgen.chart import Chart
from reportgen.errors import Place, listed, nearest
from reportgen.model import Reading
from reportgen.values import Context, Measure, Text, YesNo, wrong
from reportgen.yamltext import Items, Keys, Node, Scalar

OUTCOMES = ("within", "outside", "no limit applies", "not taken")  # never "pass": silence is not in order


@dataclass(frozen=True)
class Cell:
    """One measured value.

    name: what it belongs to, such as a cylinder's number. quantity: None when not taken.
    why: reason when not taken, may be empty.
    """

    name: str = shown("open", "")
    quantity: units.Quantity | None = shown("open")
    why: str = shown("open", "")

    @property
    def state(self) -> str:
        """Give value or not taken."""
        return "not taken" if self.quantity is None else "value"


@dataclass(frozen=True)
class Cells:
    """Type of a few values by name: `{1: 172, 2: not taken}`, or a list in order counted from 1."""

    dimension: str
    default: str | None = None

    @property
    def words(self) -> str:
        """Name the type in the docs."""
        return f"name: {Measure(self.dimension).words}, or a list in order; not taken where there is none"

    def read(self, node: Node, context: Context) -> tuple[Cell, ...] | None:
        """Give the values in the order written."""
        if isinstance(node, Items):
            pairs = [(str(n + 1), value) for n, value in enumerate(node.items)]
        elif isinstance(node, Keys):
            pairs = [(name.text, value) for name, value in node.entries]
        else:
            wrong(node, context, "write values by name, such as {1: 150, 2: not taken}")
            return None
        read = [self._cell(name, value, context) for name, value in pairs]
        return tuple(cell for cell in read if cell is not None)

    def _cell(self, name: str, node: Node, context: Context) -> Cell | None:
        if isinstance(node, Scalar) and (node.empty or node.text.strip() == "-"):
            return Cell(name)
        match = (
            re.fullmatch(r"not taken\b[\s:,;]*(.*)", node.text.strip(), re.S)
            if isinstance(node, Scalar)
            else None
        )
        if match:
            return Cell(name, None, match[1])
        quantity = Measure(self.dimension, self.default).read(node, context)
        return None if quantity is None else Cell(name, quantity)


@dataclass(frozen=True)
class NoteLimit:
    """What a `limit:` of the notes says, from the maker's manual or another source.

    words: limit word to quantity, yes/no, or a mapping by column name. source: as written.
    """

    words: Mapping[str, Any] = shown("open")
    source: str = shown("open", "")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Limits:
    """Type of `limit:`: a mapping of the kind's limit words with its source, or a list where sources differ.

    dimensions: limit word to its dimension, "yes or no" for a switch.
    """

    dimensions: Mapping[str, str]

    @property
    def words(self) -> str:
        """Name the type in the docs."""
        return f"{listed(self.dimensions, 'and')}, always with source"

    def read(self, node: Node, context: Context) -> tuple[NoteLimit, ...] | None:
        """Give the limits of the note; one without a source is an error."""
        nodes = node.items if isinstance(node, Items) else (node,)
        read = [self._limit(n, context) for n in nodes]
        return tuple(limit for limit in read if limit is not None)

    def _limit(self, node: Node, context: Context) -> NoteLimit | None:
        if not isinstance(node, Keys):
            wrong(node, context, f"write {self.words}")
            return None
        source = node.get("source")
        words: dict[str, Any] = {}
        for name, value in node.entries:
            if name.text == "source":
                continue
            dimension = self.dimensions.get(name.text)
            if dimension is None:
                near = nearest(name.text, [*self.dimensions, "source"])
                advice = f"write {near}" if near else f"write {self.words}"
                context.problems.error(name.place, f"unknown limit word {name.text!r}", advice)
                continue
            reader = YesNo() if dimension == "yes or no" else Measure(dimension)
            found = reader.read(value, context)
            if found is not None:
                words[name.text] = found
        text = Text().read(source, context) if source is not None else None
        if not text:
            context.problems.error(
                node.place.at("limit"), "a limit without its source", 'write source: "manual and section"'
            )
            return None
        return NoteLimit(words, text, node.place)


@dataclass(frozen=True)
class Limit:
    """A value that a reading is held against; it can't be made without a source.

    word: minimum, spread ... value: in `unit`. side: "minimum" or "maximum" of what is judged.
    source: the words to print. source_id: id in sources.yaml, empty for a figure from the note.
    origin: "note" or "general".
    """

    word: str = shown("open", "")
    value: float = shown("open", 0.0)
    unit: str = shown("open", "")
    side: str = shown("open", "minimum")
    source: str = shown("open", "")
    source_id: str = shown("open", "")
    origin: str = shown("open", "general")

    def __post_init__(self) -> None:
        if not self.source:
            raise ValueError(f"limit {self.word!r} has no source")

    def keeps(self, value: float) -> bool:
        """Say whether a value in the limit's unit keeps it; one equal to it does."""
        return units.within(value, self.value, self.side)


def general(word: str, value: float, unit: str, side: str, source_id: str) -> Limit:
    """Give a general limit that rests on a source of sources.yaml."""
    return Limit(word, value, unit, side, str(sources.get(source_id)), source_id, "general")


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

    value: what was held against it, in the limit's unit. outcome: within, outside or not taken.
    where: which values broke it, such as cylinder numbers.
    """

    limit: Limit = shown("open")
    value: float | None = shown("open")
    outcome: str = shown("open", "not taken")
    where: tuple[str, ...] = shown("open", ())


@dataclass(frozen=True)
class Assessment:
    """What a kind makes of a reading.

    outcome: one of OUTCOMES. because: one sentence that gives the reason of the outcome.
    says: further statements, plain sentences. suggests: what the values suggest, each said as a suggestion.
    criteria: other published criteria that exist and were not used. warnings: for the writer, (found, write).
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
    """What a kind may know beside the reading. engine: the one it was taken on, None if not told."""

    engine: Engine | None = None
    boat_type: str = ""
    altitude: units.Quantity | None = None


@dataclass(frozen=True)
class Kind:
    """One kind of reading.

    name: as in `kind:`, words with blanks or hyphens. title: for a heading. measures: one sentence.
    fields: dataclass of its own keys. units: that `unit:` may name. limits: the general ones, with sources.
    assess: reading and circumstances to Assessment. proves, proves_not: trade text, sentences.
    unanswered: severity of an outside reading that no finding answers. hazards: of taking it.
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
    hazards: tuple[str, ...] = ()
    unanswered: str = "settle"
    source_ids: tuple[str, ...] = ()
