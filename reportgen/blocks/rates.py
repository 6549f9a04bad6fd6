"""What an hour of work costs, and what comes on top: overtime, supplies, tax, contingency."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from reportgen.block import Block, key
from reportgen.errors import Place
from reportgen.values import Context, Custom, MapOf, Money, Percent
from reportgen.yamltext import Node, Scalar

_ON_TOP = Percent(high=Decimal(200))


def _labour(node: Node, context: Context) -> dict[str, Decimal] | None:
    """Read one rate, kept under the empty trade, or a rate for each trade."""
    if isinstance(node, Scalar):
        rate = Money().read(node, context)
        return None if rate is None else {"": rate}
    return _BY_TRADE.read(node, context)


_BY_TRADE = MapOf(Money(), "trade")
_AN_HOUR = Custom("an hour: money, or trade: money", _labour, (Money(), _BY_TRADE))


@dataclass(frozen=True)
class Confidences:
    """The contingency of a repair by how sure it is [%]; None takes the one for all."""

    measured: Decimal | None = key(Percent(), share="rates", help="where the fault was measured")
    seen: Decimal | None = key(Percent(), share="rates", help="where it was seen")
    suspected: Decimal | None = key(Percent(), share="rates", help="where it is suspected")
    told: Decimal | None = key(Percent(), share="rates", help="where somebody told of it")


@dataclass(frozen=True)
class Rates:
    """Rates of the yard.

    labour, second_person: an hour of each trade [currency / h]; the empty trade is the one rate for all.
    overtime: what an hour of it costs on top [%]. parts_tax, labour_tax, supplies, contingency: shares [%].
    tax: on every line alike [%], None where lines are taxed apart. supplies_cap: once per visit [currency].
    """

    labour: dict[str, Decimal] | None = key(_AN_HOUR, share="rates", help="an hour, or by trade")
    second_person: dict[str, Decimal] | None = key(
        _AN_HOUR,
        share="rates",
        help="an hour of whoever helps, or by trade",
    )
    overtime: Decimal | None = key(_ON_TOP, share="rates", help="on top of the rate, for hours in overtime")
    parts_tax: Decimal = key(Percent(), share="rates", help="on parts and supplies", default=Decimal(0))
    labour_tax: Decimal = key(Percent(), share="rates", help="on labour", default=Decimal(0))
    tax: Decimal | None = key(
        Percent(), share="rates", help="on every line alike, fixed costs and contingency included"
    )
    supplies: Decimal = key(Percent(), share="rates", help="share of labour", default=Decimal(0))
    supplies_cap: Decimal | None = key(Money(), share="rates", help="most that supplies may cost in a visit")
    contingency: Decimal = key(Percent(), share="rates", help="share of labour and parts", default=Decimal(0))
    contingency_by_confidence: Confidences | None = key(
        Block(Confidences, "the contingency by confidence"),
        share="rates",
        help="another contingency where a repair is surer, or less sure",
    )
    place: Place = field(default=Place())
