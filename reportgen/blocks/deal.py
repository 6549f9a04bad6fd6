"""The price talk: price, dates of the deal, and what the inspection itself has cost."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from reportgen import units
from reportgen.block import key
from reportgen.values import Context, Custom, Date, Money, OneOf, Percent, Text, wrong
from reportgen.yamltext import Node


def _currency(node: Node, context: Context) -> str | None:
    text = (Text().read(node, context) or "").upper()
    if units.currency_known(text):
        return text
    wrong(node, context, "write a three-letter code such as USD, EUR or GBP")
    return None


@dataclass(frozen=True)
class Price:
    """What is asked, offered and agreed, in one currency. material_threshold: share of the price [%]."""

    currency: str = key(
        Custom("currency code", _currency), need="must", share="open", help="three-letter code", default=""
    )
    asking: Decimal | None = key(Money(), share="price", help="asking price")
    offered: Decimal | None = key(Money(), share="price", help="price offered")
    agreed: Decimal | None = key(Money(), share="price", help="price agreed")
    deposit: Decimal | None = key(Money(), share="price", help="deposit paid")
    material_threshold: Decimal | None = key(
        Percent(), share="price", help="share of the price set by the contract"
    )


@dataclass(frozen=True)
class DealDates:
    """The dates that the contract sets."""

    offer: datetime.date | None = key(Date(), share="price", help="offer accepted")
    notice_by: datetime.date | None = key(Date(), share="price", help="last day to name defects")
    acceptance_by: datetime.date | None = key(Date(), share="price", help="last day to accept or refuse")
    closing: datetime.date | None = key(Date(), share="price", help="closing")


@dataclass(frozen=True)
class Sunk:
    """Money that the inspection has already cost; never part of the repair total."""

    what: str = key(Text(), need="must", share="price", help="what it was for", default="")
    amount: Decimal | None = key(Money(), need="must", share="price", help="amount")
    paid_by: str = key(
        OneOf(("buyer", "seller")), need="must", share="price", name="paid by", help="who paid", default=""
    )
    for_: str = key(Text(), share="price", name="for", help="finding put right on the day", default="")
