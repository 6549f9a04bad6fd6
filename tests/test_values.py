"""How single values are read, and what is said of those that can't be."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen import values as v
from reportgen import yamltext
from reportgen.errors import Problems
from reportgen.units import Quantity, Span
from reportgen.yamltext import Keys, Scalar


def node(text: str) -> yamltext.Node:
    """Give the value that stands behind a key."""
    found = yamltext.read(f"k: {text}", "a.md", 0, Problems()).get("k")
    assert found is not None
    return found


def read(kind: v.Type, text: str, currency: str = "EUR", unit: str | None = None) -> tuple[Any, list[str]]:
    """Read one value; give it with the messages without their place."""
    problems = Problems()
    value = kind.read(node(text), v.Context(problems, currency, unit))
    return value, [f"{p.found}; {p.write}" for p in problems]


GOOD: list[tuple[v.Type, str, Any]] = [
    (v.Text(), "no", "no"),
    (v.Text(), "' x '", "x"),
    (v.Text(), "[x]", "x"),
    (v.OneOf(("a", "b c")), "b c", "b c"),
    (v.YesNo(), "Yes", True),
    (v.YesNo(), "no", False),
    (v.Date(), "2024-02-29", datetime.date(2024, 2, 29)),
    (v.DateOrWords(), "before launch", "before launch"),
    (v.DateOrWords(), "2026-05-14", datetime.date(2026, 5, 14)),
    (v.Whole(), "0", 0),
    (v.Whole(1900), "1900", 1900),
    (v.Money(), "1250", Decimal("1250.00")),
    (v.Money(), "1250.5", Decimal("1250.50")),
    (v.Money(signed=True), "−1500", Decimal("-1500.00")),
    (v.Measure("length"), "7.2 m", Quantity(Decimal("7.2"), "m")),
    (v.Measure("temperature"), "−4 °C", Quantity(Decimal(-4), "°C")),
    (v.Measure("time", "h"), "412", Quantity(Decimal(412), "h")),
    (v.Percent(), "0 %", Decimal(0)),
    (v.Percent(), "100 %", Decimal(100)),
    (v.SpanOf("time"), "2 / 2.5 / 4 h", Span(Decimal(2), Decimal("2.5"), Decimal(4), "h")),
    (v.SpanOf("time"), "90 min", Span(Decimal("1.5"), Decimal("1.5"), Decimal("1.5"), "h")),
    (v.SpanOf("money"), "290 / 290 / 420", Span(Decimal(290), Decimal(290), Decimal(420))),
    (v.ListOf(v.Text()), "[a, b]", ("a", "b")),
    (v.ListOf(v.Text()), "a", ("a",)),
    (v.ListOf(v.Text()), "[]", ()),
    (v.MapOf(v.Text()), "{a: x, b: y}", {"a": "x", "b": "y"}),
    (v.MapOf(v.Text()), "[{a: x}, {b: y}]", {"a": "x", "b": "y"}),
]


@pytest.mark.parametrize(("kind", "text", "value"), GOOD, ids=lambda x: str(x)[:40])
def test_good_values(kind: v.Type, text: str, value: Any) -> None:
    """What the format allows is read without a word."""
    assert read(kind, text) == (value, [])


BAD: list[tuple[v.Type, str, str]] = [
    (v.Text(), "[a, b]", "found a list; write one line of text"),
    (v.Text(), "{a: b}", "found a block of keys; write one line of text"),
    (v.OneOf(("sound", "stop")), "zzz", "found 'zzz'; write sound or stop"),
    (v.YesNo(), "true", "found 'true'; write yes or no"),
    (v.YesNo(), "not known", "found 'not known'; write yes or no"),
    (v.Date(), "2026-5-14", "'2026-5-14' is not a date; write 2026-05-14"),
    (v.Date(), "14.05.2026", "'14.05.2026' is not a date; write 2026-05-14"),
    (v.Date(), "5/14/2026", "'5/14/2026' is not a date; write 2026-MM-DD, the month before the day"),
    (v.Date(), "2025-02-29", "'2025-02-29' is not a date; write a day that is in the calendar"),
    (v.Date(), "2026-13-01", "'2026-13-01' is not a date; write a day that is in the calendar"),
    (v.Date(), "٢٠٢٦-٠٥-١٤", "'٢٠٢٦-٠٥-١٤' is not a date; write a date such as 2026-05-14"),
    (v.Date(), "[2026-05-14]", "found a list; write one date"),
    (v.Whole(), "0123", "found '0123'; write a whole number from 0 on, without a leading zero"),
    (v.Whole(1), "0", "found '0'; write a whole number from 1 on, without a leading zero"),
    (v.Whole(), "1e3", "found '1e3'; write a whole number from 0 on, without a leading zero"),
    (v.Whole(), "12:30", "found '12:30'; write a whole number from 0 on, without a leading zero"),
    (v.Money(), "1250.505", "'1250.505' has more decimals than EUR; write at most 2 decimals"),
    (v.Money(), "21.500", "'21.500' has more decimals than EUR; write at most 2 decimals"),
    (v.Money(), "1,250", "'1,250' has a comma; write 1250"),
    (v.Money(), "1250,50", "'1250,50' has a decimal comma; write 1250.50"),
    (v.Money(), "$1250", "'$1250' has a currency; write the number alone, in the survey's currency"),
    (v.Money(), "1250 EUR", "'1250 EUR' has a currency; write the number alone, in the survey's currency"),
    (v.Money(), "-5", "'-5' is below zero; write the amount without a minus"),
    (v.Money(), "1e400", "'1e400' is not a plain number; write digits with at most one point, such as 12.5"),
    (v.Money(), "nan", "'nan' has a currency; write the number alone, in the survey's currency"),
    (v.Money(), "[1]", "found a list; write one amount, such as 1250 or 1250.50"),
    (
        v.Measure("length"),
        "7.2 psi",
        "'psi' is a unit of pressure; write a length in one of: m, ft, in, mm, cm, µm, thou, 32nds, km, nmi",
    ),
    (v.Measure("length"), "7.2", "'7.2' has no unit; write for example 7.2 m"),
    (
        v.Measure("time"),
        "15:00",
        "'15:00' is a time of day, not a number; write a number with its unit, such as 15 min",
    ),
    (
        v.Measure("share"),
        "12:30",
        "'12:30' is a time of day, not a number; write one percentage, such as 10 %",
    ),
    (v.Percent(), "100.1 %", "100.1 % is out of range; write a share between 0 % and 100 %"),
    (v.Percent(), "-1 %", "-1 % is out of range; write a share between 0 % and 100 %"),
    (
        v.SpanOf("time"),
        "4 / 2 / 3 h",
        "'4 / 2 / 3 h' is not in the order low / likely / high; write 2 / 3 / 4 h",
    ),
    (v.SpanOf("time"), "2 / 3 h", "'2 / 3 h' has 2 figures; write one figure or three: low / likely / high"),
    (v.SpanOf("time"), "2 / 3 / 4", "'4' has no unit; write for example 4 h"),
    (v.SpanOf("money"), "5 / 4 / 6", "'5 / 4 / 6' is not in the order low / likely / high; write 4 / 5 / 6"),
    (v.SpanOf("money"), "-1 / 4 / 6", "'-1 / 4 / 6' is below zero; write figures from zero on"),
    (v.SpanOf("money"), "[1, 2, 3]", "found a list; write low / likely / high, such as 290 / 340 / 420"),
    (v.MapOf(v.Text(), "part"), "x", "found 'x'; write lines of part: text"),
    (v.Either("a block of keys", keys=v.MapOf(v.Text())), "x", "found 'x'; write a block of keys"),
]


@pytest.mark.parametrize(("kind", "text", "message"), BAD, ids=lambda x: str(x)[:40])
def test_bad_values(kind: v.Type, text: str, message: str) -> None:
    """What isn't allowed is told once, with what to write."""
    assert read(kind, text)[1] == [message]


def test_yen_have_no_decimals() -> None:
    """A currency's own decimals count."""
    assert read(v.Money(), "2150000", "JPY") == (Decimal(2150000), [])
    message = "'100.0' has more decimals than JPY; write whole units"
    assert read(v.Money(), "100.0", "JPY") == (None, [message])


def test_money_without_a_currency() -> None:
    """No sum is read before it is known of what."""
    message = "money, but the cover note names no currency; add price: {currency: USD}"
    assert read(v.Money(), "5", "") == (None, [message])


def test_a_bare_number_takes_the_blocks_unit() -> None:
    """The block's unit is used where it fits, and only there."""
    assert read(v.Measure("pressure"), "172", unit="psi")[0] == Quantity(Decimal(172), "psi")
    assert read(v.Measure("length"), "172", unit="psi")[1] == ["'172' has no unit; write for example 172 m"]


def test_a_slip_is_told_and_read_as_meant() -> None:
    """What hangs on the word is checked as if it were right; nothing is published after an error."""
    assert read(v.OneOf(("settle", "stop")), "setle") == ("settle", ["found 'setle'; write settle"])
    assert read(v.DateOrWords(), "30.6.2026") == (
        "30.6.2026",
        ["'30.6.2026' is not a date; write 2026-06-30"],
    )


@pytest.mark.parametrize(
    "kind",
    [
        v.OneOf(("a",)),
        v.YesNo(),
        v.Date(),
        v.Whole(),
        v.Money(),
        v.Measure("time"),
        v.Percent(),
        v.SpanOf("time"),
    ],
    ids=lambda k: type(k).__name__,
)
def test_of_a_lost_value_nothing_more_is_said(kind: v.Type) -> None:
    """Its mistake is told already, by whoever read the YAML."""
    problems = Problems()
    lost = Scalar("", Keys((), node("x").place).place, lost=True)
    assert kind.read(lost, v.Context(problems, "EUR")) is None
    assert not list(problems)


def test_every_type_has_words() -> None:
    """The docs name each type."""
    for kind, *_ in GOOD:
        assert kind.words
