"""The ways to settle side by side, the material share, the dates, the money already spent."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

from reportgen import estimate, settlement
from reportgen.blocks.deal import DealDates, Sunk
from reportgen.editions import buyer
from reportgen.passages import settlement as passage
from reportgen.report import Report
from tests import money

DEAL = money.cover(
    price=money.price(asking="21500.00", offered="19800.00", material_threshold="5"),
    dates=DealDates(closing=datetime.date(2026, 4, 1)),
    inspection_cost=(Sunk("survey fee", Decimal("640.00"), "buyer"),),
)


def _page(**keys: Any) -> dict[str, Any]:
    found = (
        money.finding("a", money.repair(cost="1000.00"), pays=money.SELLER, settle_by="repair"),
        money.finding("b", money.repair(cost="500.00"), **keys),
    )
    priced = estimate.build(found, DEAL, money.DAY)
    deal = settlement.build(priced, DEAL, found, money.DAY)
    return dict(passage.PASSAGE.build(Report(cover=DEAL, settlement=deal), buyer.EDITION) or {})


def test_ways_are_printed_with_their_sums() -> None:
    """Price, shares and each way; P = 19,800, S = 1,000, B = 500, X = 640 by the rule."""
    page = _page(pays=money.BUYER)
    assert (page["price"], page["price_is"]) == ("$19,800.00", "the price offered")
    ways = {w["title"]: (w["buyer_pays"], w["seller_receives"]) for w in page["ways"]}
    assert ways["Repairs before closing"] == ("$20,940.00", "$18,800.00")  # P + B + X, P - S
    assert ways["The buyer takes the boat as it is"] == ("$21,940.00", "$19,800.00")  # P + S + B + X, P
    assert page["not_agreed"] == ""


def test_cost_that_is_not_agreed_is_a_line_of_its_own() -> None:
    """It stands in none of the ways."""
    assert _page()["not_agreed"] == "$500.00"


def test_dates_and_money_spent_are_told() -> None:
    """Days left from the day counted on, and the fee with who paid it."""
    page = _page()
    assert page["dates"][0]["on"] == "1 April 2026"
    assert page["counted_on"] == "14 March 2026"
    assert page["sunk"] == {
        "rows": [{"what": "survey fee", "amount": "$640.00", "paid_by": "buyer"}],
        "totals": [("buyer", "$640.00")],
    }


def test_material_share_links_to_what_it_counts() -> None:
    """The sentence with the sums, and no link to what is left out."""
    material = _page()["material"]
    assert "of $19,800.00" in material["says"]
    assert [r["title"] for r in material["counted"]] == ["a", "b"]


def test_edition_without_prices_has_no_such_part() -> None:
    """No settlement, no heading."""
    assert passage.PASSAGE.build(Report(), buyer.EDITION) is None
