"""Quotes in the place of an estimate or beside it, other ways to put a finding right, and waiting."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen import estimate
from reportgen.blocks.quotes import YardQuote
from reportgen.blocks.repair import Wait
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from tests.money import (
    BEARING,
    BELLOWS,
    BUYER,
    DAY,
    RISERS,
    SELLER,
    WORKED,
    cover,
    finding,
    rates,
    repair,
    span,
    strip_down,
)  # fmt: skip


def built(findings: list[Finding], notes: Cover, on: datetime.date = DAY) -> Estimate:
    found = estimate.build(findings, notes, on)
    assert found is not None
    return found


def quote(amount: str, *covers: str, **keys: Any) -> YardQuote:
    return YardQuote("the yard", Decimal(amount), covers, **({"number": "12"} | keys))


def with_quotes(notes: Cover, *quotes: YardQuote) -> Cover:
    return dataclasses.replace(notes, quotes=quotes)


# --- quotes ---


def test_a_quote_stands_in_the_place_of_all_it_covers() -> None:
    """The drive's 2.0 h go with the bellows and the bearing; the haul-out stays for the risers."""
    found = built([BELLOWS, BEARING, RISERS], with_quotes(WORKED, quote("1200.00", "bellows", "bearing")))
    lines = {line.what: str(line.likely) for line in found.lines}
    assert lines["Quote 12"] == "1200.00"
    assert lines["haul-out"] == "288.00"
    assert lines["Labour"] == "405.00"
    assert [s.name for s in found.strip_downs] == ["haul-out"]
    assert (found.unpriced, found.priced) == (0, 3)


def test_a_quote_is_borne_in_proportion_to_the_findings_own_figures() -> None:
    """Bellows 1.5 h x 135.00 + 310.00 = 512.50, bearing 0.8 h + 120.00 = 228.00: of 1200.00, 830.52."""
    work = [dataclasses.replace(BELLOWS, pays=SELLER), dataclasses.replace(BEARING, pays=BUYER)]
    found = built(work, with_quotes(WORKED, quote("1200.00", "bellows", "bearing")))
    assert {share.name: str(share.likely) for share in found.by_payer} == {
        "seller": "830.52",
        "buyer": "369.48",
        "not agreed": "0.00",
    }


def test_a_quote_prices_what_had_no_price() -> None:
    """Equally, where one of them has no figures of its own."""
    found = built([finding("a"), finding("b", repair("1.0"))], with_quotes(cover(), quote("500", "a", "b")))
    assert (found.unpriced, found.likely) == (0, Decimal("500.00"))
    assert [cost.likely for cost in found.by_finding] == [Decimal("250.00"), Decimal("250.00")]


def test_the_estimate_stands_beside_the_quote() -> None:
    """Priced together by themselves: row by row as the worked example, without the risers."""
    work = [BELLOWS, BEARING, RISERS]
    [shown] = built(work, with_quotes(WORKED, quote("1200", "bellows", "bearing"))).quotes
    assert (shown.use, shown.amount, shown.covers) == ("in the total", Decimal(1200), ("bellows", "bearing"))
    alone = built([BELLOWS, BEARING], WORKED)
    assert (shown.low, shown.likely, shown.high) == (alone.low, alone.likely, alone.high)


def test_a_quote_beside_changes_no_total() -> None:
    work = [BELLOWS, BEARING, RISERS]
    found = built(work, with_quotes(WORKED, quote("1200", "bellows", use="beside")))
    assert found.likely == Decimal("3110.75")
    assert [shown.use for shown in found.quotes] == ["beside"]


@pytest.mark.parametrize(("days", "use"), [(0, "in the total"), (1, "expired")])
def test_a_quote_stands_to_the_end_of_its_last_day(days: int, use: str) -> None:
    """Counted on the report's day; the day after, the estimate counts again and the page says so."""
    notes = with_quotes(WORKED, quote("50", "bellows", valid_until=DAY))
    found = built([BELLOWS], notes, DAY + datetime.timedelta(days))
    [shown] = found.quotes
    assert (shown.use, shown.days_left) == (use, -days)
    assert found.expired == (("bellows",) if days else ())
    assert (found.likely == 50) == (days == 0)
    assert found.unpriced == 0


def test_an_expired_quote_leaves_an_unpriced_finding_unpriced() -> None:
    notes = with_quotes(cover(), quote("50", "a", valid_until=DAY))
    found = built([finding("a")], notes, DAY + datetime.timedelta(1))
    assert (found.unpriced_ids, found.expired) == (("a",), ("a",))


def test_a_quote_is_taxed_by_its_own_tax_or_by_the_one_on_every_line() -> None:
    plain = with_quotes(cover(), quote("100.05", "a", tax=Decimal("6.5")))
    assert built([finding("a")], plain).likely == Decimal("106.55")
    every = with_quotes(cover(rates=rates(tax="20")), quote("100", "a"))
    assert built([finding("a")], every).likely == Decimal("120.00")
    assert built([finding("a")], every).quotes[0].amount == Decimal("120.00")


# --- ways ---

NOTES = cover(
    rates=rates("100", contingency="10"),
    strip_downs={"engine out": strip_down("8.0"), "haul-out": strip_down(cost="300")},
)
PUMP = finding(
    "pump",
    repair("2.0", "40", needs=("engine out",)),
    replace=repair("3.0", "400", needs=("engine out", "haul-out")),
    wait=Wait(span("900 / 1500 / 4000"), "next season", "the shaft wears"),
)
MOUNTS = finding("mounts", repair("4.0", needs=("engine out",)))


def counted(way: str) -> Finding:
    return dataclasses.replace(PUMP, counted=way)


def test_the_way_that_counts_is_in_the_total_and_the_others_are_not() -> None:
    """Repair 14 h and 40.00 with 10 %; replace 15 h, 400.00 and the haul-out; waiting leaves the mounts."""
    for way, total in (("", "1584.00"), ("repair", "1584.00"), ("replace", "2390.00"), ("wait", "1320.00")):
        assert str(built([counted(way), MOUNTS], NOTES).likely) == total


def test_each_way_says_what_it_adds_and_what_the_total_would_be() -> None:
    """The engine comes out for the mounts in any case, so the repair adds its own 2.0 h and part alone."""
    found = built([PUMP, MOUNTS], NOTES)
    assert [(o.way, o.counted, str(o.likely), str(o.total)) for o in found.options] == [
        ("repair", True, "264.00", "1584.00"),
        ("replace", False, "1070.00", "2390.00"),
        ("wait", False, "0.00", "1320.00"),
    ]
    assert built([MOUNTS], NOTES).options == ()


def test_what_waiting_costs_is_stated_and_never_in_the_total() -> None:
    found = built([counted("wait"), MOUNTS], NOTES)
    [wait] = found.waits
    assert (wait.id, wait.cost, wait.counted) == ("pump", span("900 / 1500 / 4000"), True)
    assert (found.likely, found.unpriced) == (Decimal("1320.00"), 0)
    assert [cost.id for cost in found.by_finding] == ["mounts"]


def test_a_replacement_alone_counts_without_being_named() -> None:
    alone = finding("pump", replace=repair("1.0"))
    assert built([alone], cover()).likely == 100
    assert built([alone], cover()).options == ()
