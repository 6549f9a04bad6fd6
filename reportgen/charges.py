"""What a yard's charges come to: by the boat's length, by the day, or as one sum."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from reportgen import units
from reportgen.blocks.repair import Charge
from reportgen.units import Quantity, Span
from reportgen.wording import number, say, say_n

# exact by definition: international foot and inch
_METRES = {
    "m": Decimal(1),
    "cm": Decimal("0.01"),
    "mm": Decimal("0.001"),
    "ft": Decimal("0.3048"),
    "in": Decimal("0.0254"),
}
BASES = ("per_foot", "per_metre", "per_day", "flat")


@dataclass(frozen=True)
class Basis:
    """What a charge is made of: span × times, but not below least.

    span: days, or money [currency] where no days stand. times: [currency / day] or 1. least: [currency].
    how: the same in words, such as `24 ft × $12.00`, days and sums with their range.
    """

    span: Span
    times: Decimal
    least: Decimal
    how: str


def billed_length(charge: Charge, found: Quantity | None) -> Decimal | None:
    """Give the length that a charge goes by [ft or m], to two decimals; None if it goes by none, or unknown.

    found: the boat's length, which the charge's own length stands before.
    """
    length, unit = charge.length or found, "ft" if charge.per_foot is not None else "m"
    if length is None or length.unit not in _METRES or not goes_by_length(charge):
        return None
    return units.half_up(length.value * _METRES[length.unit] / _METRES[unit], 2)


def goes_by_length(charge: Charge) -> bool:
    """Say whether a charge goes by the boat's length."""
    return charge.per_foot is not None or charge.per_metre is not None


def basis(charge: Charge, found: Quantity | None, money: Callable[[Decimal], str]) -> Basis | None:
    """Give what a charge is made of, or None while its price, its days or the length are unknown.

    found: the boat's length. money: how a sum is printed. Source: common practice of yards, no source.
    """
    least = charge.least or Decimal(0)

    def floored(words: str) -> str:
        return say("{price}, at least {least}", price=words, least=money(least)) if charge.least else words

    if charge.flat is not None:
        return Basis(charge.flat, Decimal(1), least, floored(_range(charge.flat, money)))
    rate, words = _rate(charge, found, money)
    if rate is None or (charge.per_day is not None and charge.for_ is None):
        return None
    if charge.for_ is None:
        return Basis(Span(rate, rate, rate), Decimal(1), least, floored(words))
    return Basis(charge.for_, rate, least, floored(f"{_range(charge.for_, plain, True)} × {words}"))


def _range(span: Span, printed: Callable[[Decimal], str], of_days: bool = False) -> str:
    """Print the likely figure, and in brackets the lowest and the highest where they differ."""
    likely = printed(span.likely)
    likely = say_n("{n} day", "{n} days", 1 if span.likely == 1 else 2, n=likely) if of_days else likely
    return (
        likely
        if span.fixed
        else say("{likely} ({low} to {high})", likely=likely, low=printed(span.low), high=printed(span.high))
    )


def _rate(
    charge: Charge, found: Quantity | None, money: Callable[[Decimal], str]
) -> tuple[Decimal | None, str]:
    """Give the price of the whole length, or of a day, and how it is found."""
    if charge.per_day is not None:
        return charge.per_day, money(charge.per_day)
    length = billed_length(charge, found)
    if length is None:
        return None, ""
    feet = charge.per_foot is not None
    rate = (charge.per_foot if feet else charge.per_metre) or Decimal(0)
    return length * rate, f"{plain(length)} {'ft' if feet else 'm'} × {money(rate)}"


def plain(amount: Decimal) -> str:
    """Print a number of hours, days or percent without idle zeros, to four decimals."""
    text = f"{units.half_up(amount, 4):f}"
    return number(text.rstrip("0").rstrip(".") if "." in text else text)
