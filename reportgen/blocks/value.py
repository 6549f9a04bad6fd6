"""What the boat is worth: the value that the surveyor states, and the sales it is compared with."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen.block import Block, key
from reportgen.errors import Place
from reportgen.values import Context, Custom, Date, ListOf, Money, OneOf, Percent, Text, wrong
from reportgen.yamltext import Node, Scalar

# in the order in which adjustments are made; source: appraisal-order
ORDER = (
    "rights",
    "financing",
    "conditions of sale",
    "spending",
    "market",
    "location",
    "physical",
    "economic",
    "use",
    "non-realty",
)
BETTER, POORER = "better", "poorer"
AS_FOUND, AFTER_REPAIR = "as found", "after repair"


@dataclass(frozen=True)
class Adjustment:
    """What turns a comparable's price into that of the boat surveyed.

    amount: below zero where the comparable is the better one [currency]. share: of the running total [%].
    of: what it is about, which settles the order. comparable_is: better or poorer, to check the sign.
    """

    why: str = key(Text(), need="must", share="value", help="what differs", default="")
    amount: Decimal | None = key(
        Money(signed=True), share="value", help="amount, with a minus where the comparable is better"
    )
    share: Decimal | None = key(
        Percent(Decimal(-99), Decimal(400)),
        share="value",
        help="instead of an amount: share of the running total, with its sign",
    )
    of: str = key(
        OneOf(ORDER),
        share="value",
        help="what it is about, which settles the order; physical if left out",
        default="physical",
    )
    comparable_is: str = key(
        OneOf((BETTER, POORER)), share="value", help="better or poorer in this; checks the sign", default=""
    )
    place: Place = field(default=Place())


_MONTH = re.compile(r"\d{4}(-(0[1-9]|1[0-2]))?", re.ASCII)


def _sold(node: Node, context: Context) -> datetime.date | None:
    """Read the day of a sale; of a month alone tell the key that takes it."""
    if isinstance(node, Scalar) and _MONTH.fullmatch(node.text.strip()):
        write = f"write sold in: {node.text.strip()}, or the day"
        wrong(node, context, write, f"{node.text!r} is not a date")
        return None
    return Date().read(node, context)


def _sold_in(node: Node, context: Context) -> str | None:
    """Read the month or the year of a sale."""
    text = Text().read(node, context)
    if text and not _MONTH.fullmatch(text):
        wrong(node, context, "write a month or a year, such as 2026-03 or 2026")
        return None
    return text


@dataclass(frozen=True)
class Comparable:
    """A boat like the one surveyed, with its price.

    price: paid, or asked where only `listed` stands [currency]. weight: in the weighted mean [%].
    """

    what: str = key(Text(), need="must", share="value", help="boat and year", default="")
    price: Decimal | None = key(Money(), need="must", share="value", help="price paid, or asked")
    currency: str = key(Text(), share="value", help="only to say that it is the survey's own", default="")
    sold: datetime.date | None = key(Custom("date", _sold, (Date(),)), share="value", help="day it was sold")
    sold_in: str = key(
        Custom("month or year, 2026-03 or 2026", _sold_in, (Text(),)),
        share="value",
        help="month or year it was sold in, where the day is not known",
        default="",
    )
    listed: datetime.date | None = key(
        Date(), share="value", help="day it was advertised, where the price is only asked"
    )
    where: str = key(Text(), share="value", help="where it lay", default="")
    source: str = key(Text(), need="asked", share="value", help="who says so", default="")
    adjust: tuple[Adjustment, ...] = key(
        ListOf(Block(Adjustment, "an adjustment")), share="value", help="what differs", default=()
    )
    weight: Decimal | None = key(Percent(), share="value", help="weight; equal weights if left out")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Value:
    """The surveyor's opinion of value, and what a reader must know to understand it.

    market, replacement: stated values [currency]. gross_limit: gross adjustment above which a comparable
    is pointed out [%].
    """

    type: str = key(
        Text(), need="asked", share="value", help="type of value, such as market value", default=""
    )
    definition: str = key(Text(), need="asked", share="value", help="what that type means", default="")
    definition_source: str = key(
        Text(), need="asked", share="value", help="whose definition it is", default=""
    )
    effective_date: datetime.date | None = key(
        Date(), need="asked", share="value", help="day the value is for"
    )
    market: Decimal | None = key(Money(), share="value", help="market value stated")
    replacement: Decimal | None = key(
        Money(), share="value", help="what it would take to replace the boat, a figure of its own"
    )
    stated_for: str = key(
        OneOf((AS_FOUND, AFTER_REPAIR)),
        share="value",
        help="whether the value is for the boat as found or after the repairs to come",
        default="",
    )
    intended_use: str = key(Text(), share="value", help="what the value is for", default="")
    intended_users: str = key(Text(), share="value", help="who may rely on it", default="")
    interest: str = key(Text(), share="value", help="interest valued, such as sole ownership", default="")
    method: str = key(Text(), share="value", help="method, where it is not comparable sales", default="")
    reasoning: str = key(Text(), share="value", help="why this figure, in this range", default="")
    assumptions: tuple[str, ...] = key(
        ListOf(Text()), share="value", help="what the value takes for granted", default=()
    )
    gross_limit: Decimal | None = key(
        Percent(Decimal(0), Decimal(400)),
        share="value",
        help="gross adjustment above which a comparable is pointed out",
    )
    place: Place = field(default=Place())
