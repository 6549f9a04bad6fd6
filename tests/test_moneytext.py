"""A sum is printed as Babel prints it, whatever the sum, the currency and the language."""

from __future__ import annotations

from decimal import ROUND_DOWN, Decimal, localcontext

import pytest
from babel.numbers import format_currency, list_currencies
from hypothesis import given
from hypothesis import strategies as st

from reportgen.moneytext import printed

LANGUAGES = ("en", "de", "fr", "es", "nl")
SUMS = st.decimals(-(10**12), 10**12, allow_nan=False, places=None) | st.decimals(-(10**6), 10**6, places=2)
SOME = tuple(map(Decimal, ("0", "-0", "-0.001", "0.005", "0.015", "999.995", "1234567.5", "-1000")))


@given(SUMS, st.sampled_from(("USD", "EUR", "GBP", "CHF", "JPY", "NOK", "KWD")), st.sampled_from(LANGUAGES))
def test_any_sum(amount: Decimal, currency: str, language: str) -> None:
    assert printed(amount, currency, language) == format_currency(amount, currency, locale=language)


@given(SUMS, st.sampled_from(("USD", "EUR", "JPY", "CHF")), st.sampled_from(LANGUAGES))
def test_any_sum_without_decimals(amount: Decimal, currency: str, language: str) -> None:
    expected = format_currency(amount, currency, "¤#,##0", language, currency_digits=False)
    assert printed(amount, currency, language, "¤#,##0") == expected


@pytest.mark.parametrize("language", ["en", "fr"])
def test_every_currency(language: str) -> None:
    for currency in sorted(list_currencies("en")):
        expected = format_currency(SOME[6], currency, locale=language)
        assert printed(SOME[6], currency, language) == expected


@pytest.mark.parametrize("amount", SOME)
def test_rounding_is_that_of_the_context(amount: Decimal) -> None:
    with localcontext(rounding=ROUND_DOWN):
        assert printed(amount, "USD") == format_currency(amount, "USD", locale="en")
