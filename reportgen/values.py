"""How one value of a note is read: text, dates, money, quantities, estimates, lists."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Protocol

from reportgen import units
from reportgen.errors import Problems, listed, nearest
from reportgen.yamltext import Items, Keys, Node, Scalar


@dataclass(frozen=True)
class Context:
    """What a value needs to be read.

    currency: code of the survey's currency, empty if the notes name none.
    unit: the unit that bare numbers of the block take, None if it names none.
    """

    problems: Problems
    currency: str = ""
    unit: str | None = None


class Type(Protocol):
    """How one value is read; `words` names it in the docs."""

    @property
    def words(self) -> str:
        """Name the type in the docs."""

    def read(self, node: Node, context: Context) -> Any:
        """Give the value, or None after noting what is wrong."""


def words_of(node: Node) -> str:
    """Say what was found, for a message."""
    if isinstance(node, Scalar):
        return repr(node.text) if node.text else "nothing"
    return "a list" if isinstance(node, Items) else "a block of keys"


def wrong(node: Node, context: Context, write: str, found: str = "") -> None:
    """Note that a value is not what its key takes; of a lost one the mistake is told already."""
    if not (isinstance(node, Scalar) and node.lost):
        context.problems.error(node.place, found or f"found {words_of(node)}", write)


@dataclass(frozen=True)
class Text:
    """A sentence or a word, inline Markdown."""

    words: str = "text"

    def read(self, node: Node, context: Context) -> str | None:
        if isinstance(node, Scalar):
            return node.text.strip()
        if isinstance(node, Items) and len(node.items) == 1:
            return self.read(node.items[0], context)
        wrong(node, context, "write one line of text")
        return None


@dataclass(frozen=True)
class OneOf:
    """One of a few words."""

    choices: tuple[str, ...]

    @property
    def words(self) -> str:
        return listed(self.choices)

    def read(self, node: Node, context: Context) -> str | None:
        text = node.text.strip() if isinstance(node, Scalar) else ""
        if text in self.choices:
            return text
        near = nearest(text, self.choices) if text else None
        known = f"write {near}" if near else f"write {listed(self.choices)}"
        wrong(node, context, known)
        return near  # the mistake is told; what hangs on this word is checked as if it were right


@dataclass(frozen=True)
class YesNo:
    """Yes or no, and where it says so `not known`."""

    words: str = "yes or no"

    def read(self, node: Node, context: Context) -> bool | None:
        text = node.text.strip().lower() if isinstance(node, Scalar) else ""
        if text in ("yes", "no"):
            return text == "yes"
        wrong(node, context, "write yes or no")
        return None


_ISO = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_LIKE_DATE = re.compile(r"(\d{4})[-./](\d{1,2})[-./](\d{1,2})|(\d{1,2})[-./](\d{1,2})[-./](\d{4})", re.ASCII)


def _date(text: str) -> datetime.date | str:
    """Give the date, or what to write instead."""
    if _ISO.fullmatch(text):
        try:
            return datetime.date.fromisoformat(text)
        except ValueError:
            return "write a day that is in the calendar"
    match = _LIKE_DATE.fullmatch(text)
    if match:
        year, month, day = (match[1], match[2], match[3]) if match[1] else (match[6], match[5], match[4])
        if match[1] or text[len(match[4])] == ".":
            return f"write {year}-{int(month):02d}-{int(day):02d}"
        return f"write {year}-MM-DD, the month before the day"
    return "write a date such as 2026-05-14"


@dataclass(frozen=True)
class Date:
    """A day of the calendar, year first."""

    words: str = "date"

    def read(self, node: Node, context: Context) -> datetime.date | None:
        found = _date(node.text.strip()) if isinstance(node, Scalar) else "write one date"
        if isinstance(found, datetime.date):
            return found
        wrong(node, context, found, f"{words_of(node)} is not a date" if isinstance(node, Scalar) else "")
        return None


@dataclass(frozen=True)
class DateOrWords:
    """A date, or words such as `before launch`; text shaped like a date must be one."""

    words: str = "date or words"

    def read(self, node: Node, context: Context) -> datetime.date | str | None:
        text = Text().read(node, context)
        if text is None or not (_ISO.fullmatch(text) or _LIKE_DATE.fullmatch(text)):
            return text
        return Date().read(node, context) or text  # as words it is at least not missing


@dataclass(frozen=True)
class Whole:
    """A whole number from `least` on."""

    least: int = 0
    words: str = "whole number"

    def read(self, node: Node, context: Context) -> int | None:
        text = node.text.strip() if isinstance(node, Scalar) else ""
        if re.fullmatch(r"0|[1-9]\d{0,8}", text, re.ASCII) and int(text) >= self.least:
            return int(text)
        wrong(node, context, f"write a whole number from {self.least} on, without a leading zero")
        return None


def _unit_error(node: Node, error: units.UnitError, context: Context) -> None:
    wrong(node, context, error.write, error.found)


@dataclass(frozen=True)
class Money:
    """A sum in the survey's currency, not below zero unless `signed`."""

    signed: bool = False
    words: str = "money"

    def read(self, node: Node, context: Context) -> Decimal | None:
        if not isinstance(node, Scalar):
            wrong(node, context, "write one amount, such as 1250 or 1250.50")
            return None
        amount = self.amount(node.text, node, context)
        if amount is not None and amount < 0 and not self.signed:
            wrong(node, context, "write the amount without a minus", f"{node.text!r} is below zero")
            return None
        return amount

    def amount(self, text: str, node: Node, context: Context) -> Decimal | None:
        """Give one amount of a node's text, or None after noting what is wrong."""
        if not context.currency:
            wrong(node, context, "add price: {currency: USD}", "money, but the cover note names no currency")
            return None
        try:
            amount = units.number(text)
        except units.UnitError as error:
            if re.search(r"[$€£¥]|\b[A-Za-z]{3}\b", text):
                wrong(
                    node,
                    context,
                    "write the number alone, in the survey's currency",
                    f"{text!r} has a currency",
                )
            else:
                _unit_error(node, error, context)
            return None
        places = units.decimals(context.currency)
        if int(amount.as_tuple().exponent) < -places:  # 21.500 is a slip for 21500, or for 21.50
            found = f"{text!r} has more decimals than {context.currency}"
            wrong(node, context, f"write at most {places} decimals" if places else "write whole units", found)
            return None
        return units.half_up(amount, places)


@dataclass(frozen=True)
class Measure:
    """A quantity with its unit; default: unit of a bare number where the block has no `unit:` that fits."""

    dimension: str
    default: str | None = None

    @property
    def words(self) -> str:
        return {"share": "percentage, such as 10 %"}.get(self.dimension, f"{self.dimension} with its unit")

    def read(self, node: Node, context: Context) -> units.Quantity | None:
        default = context.unit if context.unit in units.UNITS[self.dimension] else self.default
        if isinstance(node, Scalar) and node.text.strip() == "not taken":
            return None
        return quantity(node, self.dimension, default, context)


def quantity(node: Node, dimension: str, default: str | None, context: Context) -> units.Quantity | None:
    """Read a quantity whose bare number is in the default unit (None: has none); None after telling."""
    if not isinstance(node, Scalar):
        wrong(node, context, f"write one {Measure(dimension).words}")
        return None
    try:
        return units.quantity(node.text, dimension, default)
    except units.UnitError as error:
        if _CLOCK.fullmatch(node.text.strip()) and dimension != "time":
            write = f"write one {Measure(dimension).words}"
            wrong(node, context, write, f"{node.text!r} is a time of day, not a number")
        else:
            _unit_error(node, error, context)
        return None


_CLOCK = re.compile(r"\d{1,2}:\d\d(:\d\d)?", re.ASCII)


@dataclass(frozen=True)
class Percent:
    """A share in percent, within low..high; default: unit of a bare number, None if it needs one."""

    low: Decimal = Decimal(0)
    high: Decimal = Decimal(100)
    default: str | None = None
    words: str = "percentage, such as 10 %"

    def read(self, node: Node, context: Context) -> Decimal | None:
        quantity = Measure("share", self.default).read(node, context)
        if quantity is None:
            return None
        if not self.low <= quantity.value <= self.high:
            write = f"write a share between {self.low} % and {self.high} %"
            wrong(node, context, write, f"{quantity} is out of range")
            return None
        return quantity.value


@dataclass(frozen=True)
class SpanOf:
    """An estimate `low / likely / high` of time [h] or money, or one fixed figure."""

    dimension: str

    @property
    def words(self) -> str:
        return "hours: low / likely / high h" if self.dimension == "time" else "money: low / likely / high"

    def read(self, node: Node, context: Context) -> units.Span | None:
        if not isinstance(node, Scalar):
            wrong(node, context, "write low / likely / high, such as 290 / 340 / 420")
            return None
        parts = [p.strip() for p in node.text.split("/")]
        if len(parts) not in (1, 3):
            wrong(
                node,
                context,
                "write one figure or three: low / likely / high",
                f"{node.text!r} has {len(parts)} figures",
            )
            return None
        read = (
            self._hours(parts, node, context)
            if self.dimension == "time"
            else self._money(parts, node, context)
        )
        if read is None:
            return None
        low, likely, high = read if len(read) == 3 else read * 3
        if not low <= likely <= high:
            figures = {v: re.sub(r"\s*[^\d.]+$", "", p) for v, p in zip(read, parts, strict=True)}
            ordered = " / ".join(figures[v] for v in sorted(read))
            unit = " h" if self.dimension == "time" else ""
            found = f"{node.text!r} is not in the order low / likely / high"
            wrong(node, context, f"write {ordered}{unit}", found)
            return None
        if low < 0:
            wrong(node, context, "write figures from zero on", f"{node.text!r} is below zero")
            return None
        return units.Span(low, likely, high, "h" if self.dimension == "time" else "")

    def _hours(self, parts: list[str], node: Node, context: Context) -> list[Decimal] | None:
        try:
            last = units.quantity(parts[-1], "time")
            rest = [units.quantity(p, "time", last.unit) for p in parts[:-1]]
        except units.UnitError as error:
            _unit_error(node, error, context)
            return None
        if any(q.unit not in _HOURS for q in [*rest, last]):
            found = f"{words_of(node)} is no set number of hours"
            wrong(node, context, "write hours or days", found)
            return None
        return [q.value * _HOURS[q.unit] for q in [*rest, last]]

    def _money(self, parts: list[str], node: Node, context: Context) -> list[Decimal] | None:
        amounts = [Money().amount(p, node, context) for p in parts]
        return None if any(a is None for a in amounts) else [a for a in amounts if a is not None]


# a month and a year have no set number of hours
_HOURS = {"h": Decimal(1), "min": Decimal(1) / 60, "days": Decimal(24), "s": Decimal(1) / 3600}


@dataclass(frozen=True)
class ListOf:
    """A list, `[a, b]`, dashes, or one bare item."""

    item: Type

    @property
    def words(self) -> str:
        return f"list of {self.item.words}"

    def read(self, node: Node, context: Context) -> tuple[Any, ...] | None:
        nodes = node.items if isinstance(node, Items) else (node,)
        read = [self.item.read(n, context) for n in nodes if not (isinstance(n, Scalar) and n.empty)]
        return tuple(value for value in read if value is not None)


@dataclass(frozen=True)
class MapOf:
    """A mapping from names of the writer's own to values of one type."""

    value: Type
    of: str = "name"

    @property
    def words(self) -> str:
        return f"{self.of}: {self.value.words}"

    def read(self, node: Node, context: Context) -> dict[str, Any] | None:
        if isinstance(node, Items) and all(isinstance(n, Keys) for n in node.items):
            entries = [e for n in node.items if isinstance(n, Keys) for e in n.entries]
            node = Keys(tuple(entries), node.place)
        if not isinstance(node, Keys):
            wrong(node, context, f"write lines of {self.of}: {self.value.words}")
            return None
        read = {name.text: self.value.read(value, context) for name, value in node.entries}
        return {name: value for name, value in read.items() if value is not None}


@dataclass(frozen=True)
class Either:
    """One of several forms, chosen by the node's shape: text, list or block."""

    words: str
    text: Type | None = None
    items: Type | None = None
    keys: Type | None = None

    def read(self, node: Node, context: Context) -> Any:
        chosen = (
            self.text if isinstance(node, Scalar) else self.items if isinstance(node, Items) else self.keys
        )
        if chosen is None:
            wrong(node, context, f"write {self.words}")
            return None
        return chosen.read(node, context)


@dataclass(frozen=True)
class Custom:
    """A value read by a function of its block; form: how it is written, for editors, () for any way."""

    words: str
    reader: Callable[[Node, Context], Any]
    form: tuple[Type, ...] = ()

    def read(self, node: Node, context: Context) -> Any:
        return self.reader(node, context)
