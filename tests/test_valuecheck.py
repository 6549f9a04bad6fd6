"""What is told about a value that can't be right, each at its own spot of the notes."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen import valuecheck
from reportgen.blocks.value import Adjustment, Comparable, Value
from reportgen.errors import Place, Problem, Problems
from tests import money
from tests.money import DAY

OLD = datetime.date(2025, 6, 1)
GOOD = Comparable("a", Decimal("30000.00"), sold=OLD, source="broker")


def told(*sales: Comparable, value: Value | None = Value(effective_date=DAY)) -> list[Problem]:  # noqa: B008
    placed = tuple(dataclasses.replace(s, place=Place("boat.md", n)) for n, s in enumerate(sales, 10))
    placed_value = dataclasses.replace(value, place=Place("boat.md", 5)) if value else None
    problems = Problems()
    valuecheck.problems(money.cover(value=placed_value, comparables=placed), DAY, problems)
    return list(problems)


def but(**keys: Any) -> Comparable:
    return dataclasses.replace(GOOD, **keys)


def step(amount: str = "", share: str = "", word: str = "") -> Comparable:
    each = Adjustment(
        "x",
        Decimal(amount) if amount else None,
        Decimal(share) if share else None,
        comparable_is=word,
        place=Place("boat.md", 12),
    )
    return but(adjust=(each,))


def test_sound_notes_give_no_problem() -> None:
    assert told(GOOD, but(what="b", listed=OLD, sold=None, currency="usd")) == []
    assert told(but(sold=DAY), but(what="b", sold=None, listed=DAY)) == []
    assert told(but(weight=Decimal("33.3")), but(what="b", weight=Decimal("66.7"))) == []
    assert told(step("-5", word="better"), dataclasses.replace(step("5", word="poorer"), what="b")) == []
    assert told(step(share="-5", word="better"), but(what="b")) == []


@pytest.mark.parametrize(
    ("sales", "level", "line", "key", "found"),
    [
        ([but(price=Decimal("0.00"))], "error", 10, "price", "a price of nothing"),
        ([GOOD, but(what="b", currency="EUR")], "error", 11, "currency", "not the survey's currency"),
        ([but(sold=DAY + datetime.timedelta(1))], "error", 10, "sold", "lies after 2026-03-14, the day of"),
        ([but(listed=DAY + datetime.timedelta(1))], "error", 10, "listed", "the day of the report"),
        ([but(sold=None)], "warning", 10, "sold", "a has no sold"),
        ([but(weight=Decimal(90))], "error", 10, "weight", "add up to 90 %"),
        ([but(weight=Decimal(100)), but(what="b")], "error", 11, "weight", "b has no weight"),
        ([GOOD, GOOD], "warning", 11, "what", "stands here twice"),
        ([step("100", "1")], "error", 12, "share", "an amount and a share"),
        ([step()], "error", 12, "amount", "without an amount or a share"),
        ([step("-30000.00")], "error", 10, "adjust", "leave $0.00 of the price"),
        ([step("25000", word="better")], "error", 12, "amount", "the comparable is better"),
        ([step(share="3", word="better")], "error", 12, "share", "its price goes down, but 3 is written"),
        ([step("-1", word="poorer")], "error", 12, "amount", "its price goes up, but -1 is written"),
    ],
)
def test_what_is_wrong_is_told(sales: list[Comparable], level: str, line: int, key: str, found: str) -> None:
    [problem] = told(*sales)
    assert (problem.level, problem.place.line, problem.place.key) == (level, line, key)
    assert found in problem.found


def test_superior_comparable_adjusted_up_is_refused() -> None:
    """APP-1's trap: an answer page adds for a better comparable; the corrected amount is told."""
    [problem] = told(step("25000", word="better"))
    assert problem.write == "write amount: -25000; never adjust the boat surveyed"


def test_sale_after_the_effective_date_is_warned_of() -> None:
    """On that day nobody knew of it; on the day itself one could."""
    early = Value(effective_date=OLD)
    assert told(GOOD, value=early) == []
    [problem] = told(but(sold=OLD + datetime.timedelta(1)), value=early)
    assert (problem.level, problem.place.key) == ("warning", "sold")


def test_comparables_ask_for_a_type_of_value() -> None:
    [problem] = told(GOOD, value=None)
    assert (problem.level, problem.place.key) == ("warning", "comparables")


def test_value_without_any_figure_is_warned_of() -> None:
    [problem] = told(value=Value(type="market value"))
    assert (problem.level, problem.place.line) == ("warning", 5)
    assert told(value=Value(market=Decimal(1))) == []
    assert told(value=None) == []


def test_replacement_below_market_is_warned_of() -> None:
    assert told(value=Value(market=Decimal(5), replacement=Decimal(5))) == []
    [problem] = told(value=Value(market=Decimal(5), replacement=Decimal(4)))
    assert problem.place.key == "replacement"


def test_market_value_outside_the_range_wants_a_reason() -> None:
    """On the border it lies within; with a reason it is the surveyor's to say."""
    other = but(what="b", price=Decimal("31000.00"))
    assert told(GOOD, other, value=Value(market=Decimal("31000.00"))) == []
    [problem] = told(GOOD, other, value=Value(market=Decimal("31000.01")))
    assert (problem.level, problem.place.key) == ("warning", "market")
    assert told(GOOD, other, value=Value(market=Decimal("31000.01"), reasoning="restored")) == []
