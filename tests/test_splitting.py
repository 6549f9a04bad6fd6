"""Shares always add up to the whole, and a cent goes where its owner can find it."""

from __future__ import annotations

from decimal import Decimal, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.splitting import rounded, split


@pytest.mark.parametrize(
    ("amount", "decimals", "expected"),
    [
        ("68.985", 2, "68.99"),
        ("347.325", 2, "347.33"),
        ("0.005", 2, "0.01"),
        ("0.4999", 0, "0"),
        ("12.5", 0, "13"),
    ],
)
def test_half_a_cent_goes_up(amount: str, decimals: int, expected: str) -> None:
    assert str(rounded(Decimal(amount), decimals)) == expected


def test_minutes_don_t_lose_half_a_cent() -> None:
    """20 min at 0.015 an hour are half a cent, though a third of an hour has endless decimals."""
    third = Decimal(20) / 60
    with localcontext(prec=60):
        assert rounded(third * Decimal("0.015"), 2) == Decimal("0.01")


def test_left_over_cents_go_to_the_largest_remainder() -> None:
    """10.00 by 1, 2 and 4: 1.428, 2.857 and 5.714; two cents are left, for .857 and .714... of a cent."""
    shares = split(Decimal("10.00"), {"a": Decimal(1), "b": Decimal(2), "c": Decimal(4)}, 2)
    assert shares == {"a": Decimal("1.43"), "b": Decimal("2.86"), "c": Decimal("5.71")}


def test_equal_remainders_go_to_the_first() -> None:
    assert list(split(Decimal("1.00"), dict.fromkeys("abc", Decimal(1)), 2).values()) == [
        Decimal("0.34"),
        Decimal("0.33"),
        Decimal("0.33"),
    ]


def test_without_any_weight_the_shares_are_equal() -> None:
    assert split(Decimal(100), {"a": Decimal(0), "b": Decimal(0)}, 0) == {"a": Decimal(50), "b": Decimal(50)}
    assert split(Decimal(100), {}, 0) == {}


@given(
    cents=st.integers(0, 10**14),
    weights=st.lists(st.decimals(0, 10**6, places=4), min_size=1, max_size=12),
    decimals=st.sampled_from([0, 2, 3]),
)
def test_shares_add_up_and_lie_within_a_cent_of_their_part(
    cents: int, weights: list[Decimal], decimals: int
) -> None:
    amount = Decimal(cents).scaleb(-decimals)
    shares = split(amount, dict(enumerate(weights)), decimals)
    assert sum(shares.values()) == amount
    whole = sum(weights)
    for n, weight in enumerate(weights):
        part = amount * weight / whole if whole else amount / len(weights)
        assert abs(shares[n] - part) <= Decimal(1).scaleb(-decimals)
