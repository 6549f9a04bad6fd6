"""Limits that a reading is held against: the note's with their source, or general ones that are published."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any

from reportgen import sources, units, values
from reportgen.block import shown
from reportgen.errors import Place, listed, nearest
from reportgen.units import Quantity
from reportgen.values import Context, Text, YesNo, words_of, wrong
from reportgen.yamltext import Items, Keys, Node, Scalar

# on which side of a limit a value has to lie; `within` gives one of each
SIDES: Mapping[str, str] = MappingProxyType(
    {
        "minimum": "minimum",
        "maximum": "maximum",
        "spread": "maximum",
        "difference": "maximum",
        "lowest to highest": "minimum",
        "drop": "maximum",
        "wastage": "maximum",
        "shift": "minimum",
        "loss": "maximum",
        "share": "minimum",
        "age": "maximum",
        "least force": "minimum",
        "most force": "maximum",
        "least start": "minimum",
        "least held": "minimum",
    }
)
RANGE = "within"
SWITCH = "yes or no"


@dataclass(frozen=True)
class NoteLimit:
    """What a `limit:` of the notes says, from the maker's manual or another source.

    words: limit word to a quantity, a pair of them for `within`, yes/no, or a mapping of these by the name
    of a column or key. source: as written.
    """

    words: Mapping[str, Any] = shown("open")
    source: str = shown("open", "")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Limits:
    """Type of `limit:`: a mapping of the kind's limit words with its source, or a list where sources differ.

    dimensions: limit word to its dimension, "yes or no" for a switch, "" where it is given by name only.
    names: column or key to (dimension, unit of a bare number or None), for limits that differ by name;
    empty where any name takes the word's own dimension. by_name: whether a limit may be given by name.
    """

    dimensions: Mapping[str, str]
    names: Mapping[str, tuple[str, str | None]] = field(default_factory=dict)
    by_name: bool = True

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
            if name.text not in self.dimensions:
                near = nearest(name.text, [*self.dimensions, "source"])
                advice = f"write {near}" if near else f"write {self.words}"
                context.problems.error(name.place, f"unknown limit word {name.text!r}", advice)
                continue
            found = self._word(name.text, value, context)
            if found is not None:
                words[name.text] = found
        if source is not None and len(node.entries) == 1:
            context.problems.error(node.place.at("limit"), "a limit without a figure", f"write {self.words}")
        text = Text().read(source, context) if source is not None else None
        if not text:
            context.problems.error(
                node.place.at("limit"), "a limit without its source", 'write source: "manual and section"'
            )
            return None
        return NoteLimit(words, text, node.place)

    def _word(self, word: str, node: Node, context: Context) -> Any:
        dimension = self.dimensions[word]
        if dimension == SWITCH:
            return YesNo().read(node, context)
        if isinstance(node, Keys) and self.by_name:
            read = {name.text: self._named(word, name, value, context) for name, value in node.entries}
            return {name: value for name, value in read.items() if value is not None} or None
        if not dimension:
            wrong(node, context, f"write {word}: {{{next(iter(self.names), 'name')}: figure}}")
            return None
        return _figure(word, node, dimension, None, context)

    def _named(self, word: str, name: Scalar, node: Node, context: Context) -> Any:
        if self.names and name.text not in self.names:
            near = nearest(name.text, self.names)
            advice = f"write {near}" if near else f"write {listed(self.names)}"
            context.problems.error(name.place, f"a limit for {name.text!r}, which is not read here", advice)
            return None
        dimension, default = self.names.get(name.text, (self.dimensions[word], None))
        return _figure(word, node, dimension, default, context)


def _figure(word: str, node: Node, dimension: str, default: str | None, context: Context) -> Any:
    """Read one figure, or for `within` the lower and the upper one."""
    if word != RANGE:
        return values.quantity(node, dimension, _default(dimension, default, context), context)
    if not isinstance(node, Items) or len(node.items) != 2:
        wrong(node, context, "write within: [lower, upper], each with its unit", f"found {words_of(node)}")
        return None
    unit = _default(dimension, default, context)
    pair = [values.quantity(n, dimension, unit, context) for n in node.items]
    low, high = pair
    if low is None or high is None:
        return None
    return (low, high) if low.to(high.unit) <= float(high.value) else (high, low)


def _default(dimension: str, default: str | None, context: Context) -> str | None:
    if dimension in ("count", "scale"):  # their only unit
        return next(iter(units.UNITS[dimension]))
    return context.unit if context.unit in units.UNITS[dimension] else default


@dataclass(frozen=True)
class Limit:
    """A value that a reading is held against; it can't be made without a source.

    word: minimum, spread ... value: in `unit`. side: "minimum" or "maximum" of what is judged.
    source: the words to print. source_id: id in sources.yaml, empty for a figure from the note.
    origin: "note" or "general". of: the column, key or thing that it is for, empty for all.
    """

    word: str = shown("open", "")
    value: float = shown("open", 0.0)
    unit: str = shown("open", "")
    side: str = shown("open", "minimum")
    source: str = shown("open", "")
    source_id: str = shown("open", "")
    origin: str = shown("open", "general")
    of: str = shown("open", "")

    def __post_init__(self) -> None:
        if not self.source:
            raise ValueError(f"limit {self.word!r} has no source")

    def keeps(self, value: float) -> bool:
        """Say whether a value in the limit's unit keeps it; one equal to it does."""
        return units.within(value, self.value, self.side)


def general(word: str, value: float, unit: str, side: str, source_id: str, of: str = "") -> Limit:
    """Give a general limit that rests on a source of sources.yaml."""
    return Limit(word, value, unit, side, str(sources.get(source_id)), source_id, "general", of)


def between(low: float, high: float, unit: str, source_id: str, of: str = "") -> tuple[Limit, Limit]:
    """Give the two general limits of a range [unit]."""
    return (
        general("minimum", low, unit, "minimum", source_id, of),
        general("maximum", high, unit, "maximum", source_id, of),
    )


def written(notes: Iterable[NoteLimit]) -> tuple[Limit, ...]:
    """Give every figure of the note's limits as a limit of its own; switches are left to the kind."""
    return tuple(
        limit
        for note in notes
        for word, value in note.words.items()
        for of, figure in (value.items() if isinstance(value, Mapping) else (("", value),))
        for limit in _limits(word, figure, of, note.source)
    )


def _limits(word: str, figure: Any, of: str, source: str) -> tuple[Limit, ...]:
    if isinstance(figure, tuple):
        pairs = zip(("minimum", "maximum"), figure, strict=True)
        return tuple(Limit(w, float(q.value), q.unit, w, source, "", "note", of) for w, q in pairs)
    if isinstance(figure, Quantity):
        return (Limit(word, float(figure.value), figure.unit, SIDES[word], source, "", "note", of),)
    return ()


def applying(
    notes: Iterable[NoteLimit], generals: Iterable[Limit], names: Sequence[str] = ()
) -> tuple[Limit, ...]:
    """Give the limits to judge by: the note's, and each general one whose word the note does not give.

    A figure of the note for all things replaces every general one of its word; one for a named thing
    replaces that thing's only. names: the things that a general limit for all stands for, so that it can
    be given up for some of them.
    """
    own = written(notes)
    replaced = {(limit.word, limit.of) for limit in own}
    each = (part for g in generals for part in _by_name(g, replaced, names))
    kept = (g for g in each if not {(g.word, ""), (g.word, g.of)} & replaced)
    return (*own, *kept)


def _by_name(limit: Limit, replaced: set[tuple[str, str]], names: Sequence[str]) -> tuple[Limit, ...]:
    """Give a limit for all as one for each name, where the note has a figure for some of them."""
    if limit.of or not any((limit.word, name) in replaced for name in names):
        return (limit,)
    return tuple(replace(limit, of=name) for name in names)
