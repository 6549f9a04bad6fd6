"""Invented repairs for the tests about money, written as short as a note would."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

from reportgen.blocks.deal import Price
from reportgen.blocks.finding import Checked, ReportedDone
from reportgen.blocks.rates import Rates
from reportgen.blocks.repair import Part, Repair, StripDown
from reportgen.model import Cover, Finding
from reportgen.units import Span

DAY = datetime.date(2026, 3, 14)
SELLER, BUYER = {"seller": Decimal(100)}, {"buyer": Decimal(100)}


def span(text: str, unit: str = "") -> Span:
    """Give `2 / 2.5 / 4` or one fixed figure."""
    figures = [Decimal(part.strip()) for part in text.split("/")]
    low, likely, high = figures if len(figures) == 3 else figures * 3
    return Span(low, likely, high, unit)


def hours(text: str) -> Span:
    """Give hours [h]."""
    return span(text, "h")


def part(each: str | None, count: int = 1, what: str = "part") -> Part:
    """Give a part, without a price if each is None."""
    return Part(what, count, span(each) if each is not None else None)


def repair(labour: str = "", *parts: str, needs: tuple[str, ...] = (), cost: str = "", **keys: Any) -> Repair:
    """Give a repair of hours, priced parts and strip-downs."""
    return Repair(
        needs=needs,
        labour=hours(labour) if labour else None,
        parts=tuple(part(each) for each in parts),
        cost=span(cost) if cost else None,
        **keys,
    )


def strip_down(labour: str = "", *parts: str, cost: str = "", needs: tuple[str, ...] = ()) -> StripDown:
    """Give a strip-down; needs: those that come first."""
    return StripDown(
        labour=hours(labour) if labour else None,
        parts=tuple(part(each) for each in parts),
        cost=span(cost) if cost else None,
        also_needs=needs,
    )


def rates(labour: str | dict[str, str] = "100", **shares: str) -> Rates:
    """Give rates: one for all or by trade, and shares in percent by key."""
    table = {"": labour} if isinstance(labour, str) else labour
    return Rates({k: Decimal(v) for k, v in table.items()}, **{k: Decimal(v) for k, v in shares.items()})


def price(currency: str = "USD", **amounts: str) -> Price:
    """Give the price block."""
    return Price(currency=currency, **{name: Decimal(amount) for name, amount in amounts.items()})


def cover(**keys: Any) -> Cover:
    """Give a cover note in dollars, inspected on DAY."""
    return Cover(**({"price": price(), "rates": rates(), "inspected": (DAY,)} | keys))


def finding(id: str, work: Repair | None = None, severity: str = "settle", **keys: Any) -> Finding:
    """Give an open finding."""
    return Finding(id=id, title=id.capitalize(), severity=severity, repair=work, **keys)


DONE = ReportedDone(by="the yard", on=DAY)
CHECKED = Checked(by="A. Linden", on=DAY, how="sighted and run")

# one drive, three repairs: worked by hand, see test_estimate
WORKED = cover(
    rates=rates("135", parts_tax="6.5", supplies="7", supplies_cap="75", contingency="15"),
    strip_downs={"drive off": strip_down("2.0"), "haul-out": strip_down(cost="288.00")},
)
BELLOWS = finding("bellows", repair("1.5", "310.00", needs=("drive off", "haul-out")))
BEARING = finding("bearing", repair("0.8", "120.00", needs=("drive off", "haul-out")))
RISERS = finding("risers", repair("3.0", "900.00", needs=("haul-out",)))
