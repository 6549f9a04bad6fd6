"""The price talk: price, dates of the deal, what was agreed, and what the inspection itself has cost."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from decimal import Decimal

from reportgen import units
from reportgen.block import Block, key
from reportgen.errors import Place
from reportgen.values import (
    Context,
    Custom,
    Date,
    DateOrWords,
    ListOf,
    Money,
    OneOf,
    Percent,
    Text,
    YesNo,
    wrong,
)
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
        Custom("currency code", _currency, (Text(),)),
        need="must",
        share="open",
        help="three-letter code",
        default="",
    )
    asking: Decimal | None = key(Money(), share="price", help="asking price")
    offered: Decimal | None = key(Money(), share="price", help="price offered")
    agreed: Decimal | None = key(Money(), share="agreed price", help="price agreed")
    subject_to: str = key(
        Text(), share="price", help="conditions of the offer, such as the survey", default=""
    )
    deposit: Decimal | None = key(Money(), share="price", help="deposit paid")
    deposit_held_by: str = key(
        Text(), share="people", help="who holds it until closing; the seller if left out", default=""
    )
    material_threshold: Decimal | None = key(
        Percent(), share="price", help="share of the price set by the contract"
    )
    place: Place = field(default=Place())


@dataclass(frozen=True)
class DealDates:
    """The dates that the contract sets."""

    offer: datetime.date | None = key(Date(), share="price", help="offer accepted")
    notice_by: datetime.date | None = key(Date(), share="price", help="last day to name defects")
    acceptance_by: datetime.date | None = key(Date(), share="price", help="last day to accept or refuse")
    closing: datetime.date | None = key(Date(), share="price", help="closing")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Sunk:
    """Money that the inspection has already cost; never part of the repair total."""

    what: str = key(Text(), need="must", share="price", help="what it was for", default="")
    amount: Decimal | None = key(Money(), need="must", share="price", help="amount")
    paid_by: str = key(
        OneOf(("buyer", "seller")), need="must", share="price", name="paid by", help="who paid", default=""
    )
    for_: str = key(Text(), share="price", name="for", help="finding put right on the day", default="")
    place: Place = field(default=Place())


SIDES = ("buyer", "seller")
TAX = ("included", "not included", "none due")
_COVERS = "ids of the findings that it settles; all with this way under `settle by` if left out"


@dataclass(frozen=True)
class AgreedRepair:
    """Repairs that the seller has agreed to make before closing. if_not_done: off the price [currency]."""

    covers: tuple[str, ...] = key(ListOf(Text()), share="price", help=_COVERS, default=())
    yard: str = key(Text(), share="people", help="who does the work", default="")
    standard: str = key(Text(), share="price", help="how good the repair has to be", default="")
    by: datetime.date | str | None = key(DateOrWords(), share="price", help="by when: a date or words")
    check: str = key(Text(), share="price", help="who looks at the work, and how", default="")
    if_not_done: Decimal | None = key(
        Money(), share="price", help="sum that comes off the price if it is not done"
    )
    place: Place = field(default=Place())


@dataclass(frozen=True)
class AgreedCredit:
    """A sum that comes off the price at closing, for repairs that the buyer then makes [currency]."""

    amount: Decimal | None = key(Money(), need="must", share="price", help="sum that comes off the price")
    covers: tuple[str, ...] = key(ListOf(Text()), share="price", help=_COVERS, default=())
    because: str = key(Text(), share="price", help="why it is more than the estimate, if it is", default="")
    lender_told: bool | None = key(YesNo(), share="price", help="whether the lender knows of it")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Holdback:
    """A part of the price that somebody holds until the repairs are done [currency]."""

    amount: Decimal | None = key(Money(), need="must", share="price", help="sum held back")
    covers: tuple[str, ...] = key(ListOf(Text()), share="price", help=_COVERS, default=())
    held_by: str = key(Text(), need="asked", share="people", help="who holds the money", default="")
    released_when: str = key(Text(), need="asked", share="price", help="what releases it", default="")
    until: datetime.date | None = key(Date(), need="asked", share="price", help="last day of the holdback")
    overrun: str = key(
        OneOf(SIDES),
        share="price",
        help="who pays what the work costs beyond it; the buyer if left out",
        default="buyer",
    )
    underrun: str = key(
        OneOf(SIDES),
        share="price",
        help="who gets what is left of it; the seller if left out",
        default="seller",
    )
    disputes: str = key(Text(), share="price", help="who decides if the sides do not agree", default="")
    place: Place = field(default=Place())


@dataclass(frozen=True)
class Agreed:
    """What buyer and seller have agreed about the findings; without it the estimate is proposed.

    tax: whether the agreed sums hold the tax on the repairs.
    """

    agreed_on: datetime.date | None = key(Date(), share="price", help="day it was agreed")
    tax: str = key(
        OneOf(TAX),
        need="asked",
        share="price",
        help="whether the sums hold the tax on the repairs",
        default="",
    )
    repair: tuple[AgreedRepair, ...] = key(
        ListOf(Block(AgreedRepair, "an agreed repair")),
        share="price",
        help="repairs by the seller",
        default=(),
    )
    credit: tuple[AgreedCredit, ...] = key(
        ListOf(Block(AgreedCredit, "an agreed credit", "amount")),
        share="price",
        help="sums off the price",
        default=(),
    )
    holdback: Holdback | None = key(
        Block(Holdback, "the holdback", "amount"), share="price", help="money held back at closing"
    )
    place: Place = field(default=Place())
