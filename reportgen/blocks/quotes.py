"""A yard's quote for several findings: what it covers, what it comes to, and how long it stands."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen.block import key
from reportgen.errors import Place
from reportgen.values import Date, ListOf, Money, OneOf, Percent, Text

USES = ("instead", "beside")


@dataclass(frozen=True)
class YardQuote:
    """A quote for the findings that it covers, with all their labour, parts and strip-downs.

    amount: [currency]. tax: on it [%], None for the tax on every line, or none.
    use: instead of the estimate of what it covers, or beside it.
    """

    from_: str = key(Text(), need="must", share="people", name="from", help="who quoted", default="")
    amount: Decimal | None = key(Money(), need="must", share="cost", help="what it comes to")
    covers: tuple[str, ...] = key(
        ListOf(Text()), need="must", share="work", help="ids of the findings it puts right", default=()
    )
    number: str = key(Text(), share="cost", help="its number", default="")
    on: datetime.date | None = key(Date(), share="cost", help="date of the quote")
    valid_until: datetime.date | None = key(Date(), share="cost", help="last day it stands")
    tax: Decimal | None = key(Percent(), share="cost", help="tax on it, if not the one on every line")
    use: str = key(
        OneOf(USES), share="cost", help="instead of the estimate, or only beside it", default="instead"
    )
    place: Place = field(default=Place())
