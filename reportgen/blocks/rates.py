"""What an hour of work costs, and what comes on top: supplies, tax, contingency."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from reportgen.block import key
from reportgen.values import Context, Custom, MapOf, Money, Percent
from reportgen.yamltext import Node, Scalar


def _labour(node: Node, context: Context) -> dict[str, Decimal] | None:
    """Read one rate, kept under the empty trade, or a rate for each trade."""
    if isinstance(node, Scalar):
        rate = Money().read(node, context)
        return None if rate is None else {"": rate}
    return MapOf(Money(), "trade").read(node, context)


@dataclass(frozen=True)
class Rates:
    """Rates of the yard.

    labour: an hour of each trade [currency / h]; the empty trade is the one rate for all.
    parts_tax, labour_tax, supplies, contingency: shares [%]. supplies_cap: once per visit [currency].
    """

    labour: dict[str, Decimal] | None = key(
        Custom("an hour: money, or trade: money", _labour), share="rates", help="an hour, or by trade"
    )
    parts_tax: Decimal = key(Percent(), share="rates", help="on parts and supplies", default=Decimal(0))
    labour_tax: Decimal = key(Percent(), share="rates", help="on labour", default=Decimal(0))
    supplies: Decimal = key(Percent(), share="rates", help="share of labour", default=Decimal(0))
    supplies_cap: Decimal | None = key(Money(), share="rates", help="most that supplies may cost in a visit")
    contingency: Decimal = key(Percent(), share="rates", help="share of labour and parts", default=Decimal(0))
