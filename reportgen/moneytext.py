"""Prints sums of money as Babel has it for a language and a currency, asking Babel once for each."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache
from typing import NamedTuple


class _Form(NamedTuple):
    """How a currency's sums look.

    above, below: what stands before and after a sum, from zero on and below it.
    signs: what stands for the comma and the point, where it is another sign.
    last: the smallest step that is printed.
    """

    above: tuple[str, str]
    below: tuple[str, str]
    signs: dict[int, str]
    last: Decimal


def printed(amount: Decimal, currency: str, locale: str = "en", pattern: str = "") -> str:
    """Print a sum as `babel.numbers.format_currency` does.

    pattern: one of Babel's with decimals of its own; "" for the language's, with those of the currency.
    Digits stand in threes, as in all languages that reports are written in.
    """
    # a report prints nearly a thousand sums, and Babel would look everything up anew for each
    form = _form(currency, locale, pattern)
    before, after = form.below if amount.is_signed() else form.above
    digits = f"{abs(amount).quantize(form.last):,f}"
    return f"{before}{digits.translate(form.signs) if form.signs else digits}{after}"


@cache
def _form(currency: str, locale: str, pattern: str) -> _Form:
    """Learn what is put around any sum from a one that Babel prints, above and below zero."""
    from babel.numbers import format_currency, get_decimal_symbol, get_group_symbol

    over, under = (
        str(format_currency(sign, currency, pattern or None, locale, currency_digits=not pattern))
        for sign in (1, -1)
    )
    found = re.search(r"1(?:[^\d\s]0+)?", over)
    if found is None:
        raise ValueError(f"Babel prints no digits for {currency} in {locale}")
    one = found[0]
    signs = {",": get_group_symbol(locale), ".": get_decimal_symbol(locale)}
    others = str.maketrans({ours: theirs for ours, theirs in signs.items() if ours != theirs})
    return _Form(_around(over, one), _around(under, one), others, Decimal(1).scaleb(-one.count("0")))


def _around(text: str, digits: str) -> tuple[str, str]:
    before, _, after = text.partition(digits)
    return before, after
