"""The work that puts a finding right, its parts, and the strip-downs that several repairs share."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen.block import Block, key
from reportgen.errors import Place
from reportgen.units import Quantity, Span
from reportgen.values import (
    Context,
    Custom,
    Date,
    DateOrWords,
    ListOf,
    Measure,
    Money,
    OneOf,
    Percent,
    SpanOf,
    Text,
    Whole,
    YesNo,
)
from reportgen.yamltext import Node

SURE = ("measured", "seen", "suspected", "told")


@dataclass(frozen=True)
class Part:
    """Something bought for a repair. each: price of one, None while it has none (never zero).

    number: the maker's number for it.
    """

    what: str = key(Text(), need="must", share="work", help="what it is", default="")
    count: int = key(Whole(1), share="work", help="how many, one if left out", default=1)
    each: Span | None = key(SpanOf("money"), share="cost", help="price of one: low / likely / high")
    number: str = key(Text(), share="work", help="part number", default="")
    place: Place = field(default=Place())


def _days(node: Node, context: Context) -> Span | None:
    """Read days, low / likely / high."""
    hours = SpanOf("time").read(node, context)
    return hours and Span(hours.low / 24, hours.likely / 24, hours.high / 24, "days")


@dataclass(frozen=True)
class Charge:
    """What a yard charges beside labour and parts: by the boat's length, by the day, or as one sum.

    per_foot, per_metre, per_day: [currency], a day's where days stand. flat: [currency].
    for_: [days]. length: billed, None for the boat's. least: [currency].
    tax: [%], None for the tax on every line, or none.
    """

    what: str = key(Text(), need="must", share="work", help="what it is for", default="")
    per_foot: Decimal | None = key(Money(), share="cost", help="a foot of length, each day if for: stands")
    per_metre: Decimal | None = key(Money(), share="cost", help="a metre of length, each day if for: stands")
    per_day: Decimal | None = key(Money(), share="cost", help="a day, whatever the length")
    flat: Span | None = key(SpanOf("money"), share="cost", help="one sum, such as disposal or travel")
    for_: Span | None = key(
        Custom("days: low / likely / high days", _days, (SpanOf("time"),)),
        share="work",
        name="for",
        help="how long",
    )
    length: Quantity | None = key(
        Measure("length"), share="work", help="length that is billed, where it is not the boat's"
    )
    least: Decimal | None = key(Money(), share="cost", help="least that is charged")
    tax: Decimal | None = key(Percent(), share="cost", help="tax on it, if not the one on every line")
    place: Place = field(default=Place())


CHARGES = ListOf(Block(Charge, "a charge"))


@dataclass(frozen=True)
class Quote:
    """Who quoted a fixed cost, and how long it stands."""

    from_: str = key(Text(), need="must", share="people", name="from", help="who quoted", default="")
    on: datetime.date | None = key(Date(), share="cost", help="date of the quote")
    valid_until: datetime.date | None = key(Date(), share="cost", help="last day it stands")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Repair:
    """What a repair takes.

    needs: strip-downs of the cover note. labour, second_person: hours [h]. overtime: share of both [%].
    cost: instead of labour and parts [currency]. tax: on a fixed cost [%], None for that on every line.
    confidence: how sure it is, empty for the finding's. unpriced: why no price stands here.
    in_price_of: findings whose price holds this repair too, so that none is missing.
    for_a_yard: False where there is nothing for a yard to do.
    """

    needs: tuple[str, ...] = key(
        ListOf(Text()), share="work", help="strip-downs of the cover note", default=()
    )
    labour: Span | None = key(SpanOf("time"), share="work", help="own hours: low / likely / high h")
    trade: str = key(Text(), share="work", help="trade, where the rates name several", default="")
    parts: tuple[Part, ...] = key(
        ListOf(Block(Part, "a part")), share="work", help="parts with prices", default=()
    )
    second_person: Span | None = key(
        SpanOf("time"), share="work", help="hours of a second person: low / likely / high h"
    )
    overtime: Decimal | None = key(Percent(), share="work", help="share of the hours worked in overtime")
    cost: Span | None = key(SpanOf("money"), share="cost", help="fixed cost instead of labour and parts")
    tax: Decimal | None = key(
        Percent(), share="cost", help="tax on the fixed cost, if not the one on every line"
    )
    quote: Quote | None = key(
        Block(Quote, "a quote"), share="cost", help="who quoted the fixed cost and when"
    )
    charges: tuple[Charge, ...] = key(
        CHARGES, share="work", help="by length, by day or flat, beside all else", default=()
    )
    confidence: str = key(
        OneOf(SURE), share="work", help="how sure the repair is, if not as the finding", default=""
    )
    unpriced: str = key(Text(), share="work", help="why it has no price yet", default="")
    in_price_of: tuple[str, ...] = key(
        ListOf(Text()), share="cost", help="ids of findings whose price holds this repair too", default=()
    )
    for_a_yard: bool | None = key(
        YesNo(), share="work", help="no where a yard has nothing to do, as with papers; yes if left out"
    )
    place: Place = field(default=Place())


@dataclass(frozen=True)
class StripDown:
    """Access work that several repairs need but that is paid once in a visit.

    labour, second_person: hours [h]. overtime: share of both [%]. cost: fixed cost [currency].
    also_needs: strip-downs that come first.
    """

    labour: Span | None = key(SpanOf("time"), share="work", help="hours: low / likely / high h")
    trade: str = key(Text(), share="work", help="trade, where the rates name several", default="")
    parts: tuple[Part, ...] = key(
        ListOf(Block(Part, "a part")),
        share="work",
        help="gaskets and seals that opening up destroys",
        default=(),
    )
    second_person: Span | None = key(
        SpanOf("time"), share="work", help="hours of a second person: low / likely / high h"
    )
    overtime: Decimal | None = key(Percent(), share="work", help="share of the hours worked in overtime")
    cost: Span | None = key(SpanOf("money"), share="cost", help="fixed cost, such as a haul-out")
    tax: Decimal | None = key(
        Percent(), share="cost", help="tax on the fixed cost, if not the one on every line"
    )
    charges: tuple[Charge, ...] = key(
        CHARGES, share="work", help="haul, lay days and the like: by length, by day or flat", default=()
    )
    also_needs: tuple[str, ...] = key(
        ListOf(Text()), share="work", help="strip-downs that come first", default=()
    )
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Wait:
    """What happens if a finding waits. cost: what it is likely to cost then [currency], never in a total."""

    cost: Span | None = key(
        SpanOf("money"), share="cost", help="what it is likely to cost then: low / likely / high"
    )
    until: datetime.date | str | None = key(DateOrWords(), share="work", help="how long it may wait")
    why: str = key(Text(), share="work", help="what makes it dearer, or why it can wait", default="")
    place: Place = field(default=Place())
