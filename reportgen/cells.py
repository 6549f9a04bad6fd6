"""Measured values as a reading holds them: a few by name in its fence, or rows and columns of a table."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from reportgen import units, values
from reportgen.block import shown
from reportgen.values import Context, Measure, wrong
from reportgen.yamltext import Items, Keys, Node, Scalar

_NOT_TAKEN = re.compile(r"not taken\b[\s:,;]*(.*)", re.S)
_BELOW = re.compile(r"[<\u2039]\s*(?=[\d.])")
EMPTY = ("", "-", "\N{EN DASH}", "\N{EM DASH}")


@dataclass(frozen=True)
class Cell:
    """One measured value.

    name: what it belongs to, such as a cylinder's number. quantity: None when not taken.
    why: reason when not taken, may be empty. below: whether the value lies below what can be detected;
    `quantity` is then the least that can.
    """

    name: str = shown("open", "")
    quantity: units.Quantity | None = shown("open")
    why: str = shown("open", "")
    below: bool = shown("open", False)

    @property
    def state(self) -> str:
        """Give value, below detection or not taken."""
        if self.quantity is None:
            return "not taken"
        return "below detection" if self.below else "value"


def read_cell(name: str, node: Node, dimension: str, default: str | None, context: Context) -> Cell | None:
    """Read one value: a quantity, `<0.1`, nothing or `-`, or `not taken: why`.

    default: unit of a bare number. Gives None after telling what is wrong.
    """
    text = node.text.strip() if isinstance(node, Scalar) else None
    if text is not None and text in EMPTY:
        return Cell(name)
    match = _NOT_TAKEN.fullmatch(text) if text is not None else None
    if match:
        return Cell(name, None, match[1])
    below = _BELOW.match(text) if text is not None else None
    if below and isinstance(node, Scalar):
        node = Scalar(node.text.strip()[below.end() :], node.place)
    quantity = values.quantity(node, dimension, default, context)
    return None if quantity is None else Cell(name, quantity, "", bool(below))


@dataclass(frozen=True)
class Cells:
    """Type of a few values by name: `{1: 172, 2: not taken}`, or a list in order counted from 1.

    default: unit of a bare number where the fence has no `unit:`.
    """

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
        default = context.unit if context.unit in units.UNITS[self.dimension] else self.default
        read = [read_cell(name, value, self.dimension, default, context) for name, value in pairs]
        return tuple(cell for cell in read if cell is not None)


@dataclass(frozen=True)
class Word:
    """One observation in words. name: what it belongs to. text: empty when not taken. why: reason then."""

    name: str = shown("open", "")
    text: str = shown("open", "")
    why: str = shown("open", "")

    @property
    def gist(self) -> str:
        """Give what stands before the first comma, in lower case: what it is counted and explained as."""
        return self.text.partition(",")[0].strip().lower()


def word(name: str, written: str) -> Word:
    """Read one observation in words: nothing, `-` and `not taken: why` are not taken."""
    text = written.strip()
    match = _NOT_TAKEN.fullmatch(text)
    if match or text in EMPTY:
        return Word(name, "", match[1] if match else "")
    return Word(name, text)


@dataclass(frozen=True)
class Words:
    """Type of a few words by name: `{bow: sharp, transom: not taken}`.

    of: names the type in the docs. advice: what to write instead of a text, empty where it will do.
    """

    of: str
    advice: Callable[[str], str]

    @property
    def words(self) -> str:
        """Name the type in the docs."""
        return f"name: {self.of}; not taken where there is none"

    def read(self, node: Node, context: Context) -> tuple[Word, ...] | None:
        """Give the words in the order written."""
        if not isinstance(node, Keys):
            wrong(node, context, f"write name: {self.of}")
            return None
        read = [self._word(name.text, value, context) for name, value in node.entries]
        return tuple(word for word in read if word is not None)

    def _word(self, name: str, node: Node, context: Context) -> Word | None:
        if not isinstance(node, Scalar):
            wrong(node, context, f"write {self.of}")
            return None
        found = word(name, node.text)
        if found.text and (advice := self.advice(found.text)):
            wrong(node, context, advice)
            return None
        return found


@dataclass(frozen=True)
class Column:
    """A column that a kind's table may have.

    name: as its header begins, without the unit. dimension: of its values, empty for words.
    default: unit of bare numbers where neither header nor fence names one. help: one line.
    """

    name: str
    dimension: str
    help: str
    default: str | None = None


REMARK = Column("remark", "", "words on the row, printed as written")
PHOTO = Column("photo", "", "file of a photo that shows the row")


@dataclass(frozen=True)
class Shape:
    """The table that a kind reads.

    rows: what the first column names, such as "rpm" or "place". columns: those known by name.
    others: how a column with any other name is read, None where it is a mistake.
    """

    rows: str
    columns: tuple[Column, ...]
    others: Column | None = None

    @property
    def known(self) -> Mapping[str, Column]:
        """Give the columns by name, those for words among them."""
        return {c.name: c for c in (*self.columns, REMARK, PHOTO)}


@dataclass(frozen=True)
class Head:
    """One column as written.

    title: header without its unit. name: the known column it is, or the title. of: the engine that the
    header begins with, empty if none. unit: of its values, empty for words.
    """

    title: str = shown("open", "")
    name: str = shown("open", "")
    of: str = shown("open", "")
    unit: str = shown("open", "")


@dataclass(frozen=True)
class Row:
    """One row.

    name: first cell as written. cells: one a column, each named `row, column`. remark: words.
    words: one a column that holds words instead of values, each named by its column.
    """

    name: str = shown("open", "")
    cells: tuple[Cell, ...] = shown("open", ())
    remark: str = shown("open", "")
    words: tuple[Word, ...] = shown("open", ())

    @property
    def number(self) -> float | None:
        """Give the number that the name begins with, such as a speed of the engine, None if it has none.

        The year that a date begins with is none.
        """
        if self.date:
            return None
        match = re.match(r"\d+(\.\d+)?", self.name.replace(",", ""), re.ASCII)
        return float(match[0]) if match else None

    @property
    def date(self) -> str | None:
        """Give the ISO date that the name begins with, as `2026-05-14`, None if it begins with none."""
        match = re.match(r"\d{4}-\d\d-\d\d(?!\d)", self.name, re.ASCII)
        try:
            return datetime.date.fromisoformat(match[0]).isoformat() if match else None
        except ValueError:
            return None


@dataclass(frozen=True)
class Table:
    """A reading's table.

    first: header of the first column. heads: (columns,). rows: (rows,), each with (columns,) cells.
    """

    first: str = shown("open", "")
    heads: tuple[Head, ...] = shown("open", ())
    rows: tuple[Row, ...] = shown("open", ())

    def columns(self, name: str) -> Iterator[tuple[Head, tuple[Cell, ...]]]:
        """Give every column of a name, one for each engine, with its cells from top to bottom."""
        for at, head in enumerate(self.heads):
            if head.name == name:
                yield head, tuple(row.cells[at] for row in self.rows)

    @property
    def taken(self) -> bool:
        """Say whether any value was taken."""
        return any(cell.quantity for row in self.rows for cell in row.cells)
