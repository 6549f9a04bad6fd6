"""The work that puts a finding right, its parts, and the strip-downs that several repairs share."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen.block import Block, key
from reportgen.errors import Place
from reportgen.units import Span
from reportgen.values import Date, ListOf, Percent, SpanOf, Text, Whole


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

    needs: strip-downs of the cover note. labour: hours [h]. cost: instead of labour and parts [currency].
    tax: on a fixed cost [%], None for none. unpriced: why no price stands here.
    """

    needs: tuple[str, ...] = key(
        ListOf(Text()), share="work", help="strip-downs of the cover note", default=()
    )
    labour: Span | None = key(SpanOf("time"), share="work", help="own hours: low / likely / high h")
    trade: str = key(Text(), share="work", help="trade, where the rates name several", default="")
    parts: tuple[Part, ...] = key(
        ListOf(Block(Part, "a part")), share="work", help="parts with prices", default=()
    )
    cost: Span | None = key(SpanOf("money"), share="cost", help="fixed cost instead of labour and parts")
    tax: Decimal | None = key(Percent(), share="cost", help="tax on the fixed cost; none if left out")
    quote: Quote | None = key(
        Block(Quote, "a quote"), share="cost", help="who quoted the fixed cost and when"
    )
    unpriced: str = key(Text(), share="work", help="why it has no price yet", default="")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class StripDown:
    """Access work that several repairs need but that is paid once in a visit.

    labour: hours [h]. cost: fixed cost such as a haul-out [currency].
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
    cost: Span | None = key(SpanOf("money"), share="cost", help="fixed cost, such as a haul-out")
    tax: Decimal | None = key(Percent(), share="cost", help="tax on the fixed cost; none if left out")
    also_needs: tuple[str, ...] = key(
        ListOf(Text()), share="work", help="strip-downs that come first", default=()
    )
    place: Place = field(default=Place())
