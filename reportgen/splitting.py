"""Rounding and sharing money to the cent, so that the parts always add up to the whole."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_HALF_UP, Decimal
from typing import TypeVar

from reportgen import units

K = TypeVar("K")

# Hours written in minutes have endless decimals; beyond this place nothing that was written counts.
_PLACES = 12


def rounded(amount: Decimal, decimals: int) -> Decimal:
    """Give an amount [currency] half up to the currency's decimals; 20 min at 7.50 an hour are 2.50."""
    return units.half_up(units.half_up(amount, _PLACES), decimals)


def _whole(value: Decimal, places: int) -> int:
    return int(value.scaleb(places).to_integral_value(ROUND_HALF_UP))


def split(amount: Decimal, weights: Mapping[K, Decimal], decimals: int) -> dict[K, Decimal]:
    """Share an amount by weights; the shares add up to it exactly.

    Each share is rounded down to the currency's decimals; left-over cents go to the largest remainders,
    of equal ones to the first. amount: in whole cents [currency]; weights [-]: none below zero.
    If all weights are zero the shares are equal; without weights there are no shares.
    """
    if not weights:
        return {}
    if len(weights) == 1:
        return dict.fromkeys(weights, units.half_up(amount, decimals))
    parts = {name: _whole(weight, _PLACES) for name, weight in weights.items()}
    if not any(parts.values()):
        parts = dict.fromkeys(parts, 1)
    cents, whole = _whole(amount, decimals), sum(parts.values())
    shares = {name: divmod(cents * part, whole) for name, part in parts.items()}
    left = cents - sum(share for share, _ in shares.values())
    # sorted() keeps the order of equals, so that a tie goes to the first
    lucky = set(sorted(shares, key=lambda name: -shares[name][1])[:left])
    return {name: Decimal(share + (name in lucky)).scaleb(-decimals) for name, (share, _) in shares.items()}
