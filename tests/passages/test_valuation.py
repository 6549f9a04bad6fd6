"""The value on the page: figures, every step of the grid, and what is not stated said to be so."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from typing import Any

from reportgen import estimate, settlement, valuation
from reportgen.blocks.value import Adjustment, Comparable, Value
from reportgen.editions import buyer, lender
from reportgen.model import Cover
from reportgen.passages import valuation as passage
from reportgen.report import Report
from tests import money

SALE = Comparable(
    "like *boat*",
    Decimal("30000.00"),
    sold=datetime.date(2025, 9, 10),
    adjust=(
        Adjustment("newer engine", Decimal("-1500.00")),
        Adjustment("risen", share=Decimal("2"), of="market"),
    ),
)


def _page(cover: Cover) -> dict[str, Any]:
    found = (money.finding("a", money.repair(cost="1000.00"), pays=money.SELLER),)
    priced = estimate.build(found, cover, money.DAY)
    deal = settlement.build(priced, cover, found, money.DAY)
    worth = valuation.build(cover, priced, deal, money.DAY)
    return dict(passage.PASSAGE.build(Report(cover=cover, valuation=worth), buyer.EDITION) or {})


def _cover(**said: Any) -> Cover:
    return money.cover(price=money.price(agreed="29000.00"), value=Value(**said), comparables=(SALE,))


def test_each_comparable_is_one_line() -> None:
    """30,000 + 2 % and 1,500 off: 29,100, with the reasons; the steps in full stand on the page of sums."""
    [sale] = _page(_cover())["comparables"]
    assert sale["what"] == "Like <em>boat</em>."
    assert (sale["price"], sale["adjusted"]) == ("$30,000.00", "$29,100.00")
    assert sale["why"] == [
        {"what": "risen", "amount": "+$600.00"},
        {"what": "newer engine", "amount": "−$1,500.00"},
    ]
    assert (sale["net"], sale["gross"], sale["age"]) == (
        "−3.00 %",
        "7.00 %",
        "6 months before the day of the report",
    )
    assert (sale["source"], sale["weight"]) == ("not stated", "equal")


def test_figures_stay_apart() -> None:
    """Market and replacement value stand beside the range, each by its name."""
    page = _page(_cover(market=Decimal("29500.00"), replacement=Decimal("80000.00")))
    assert page["figures"] == [("Market value", "$29,500.00"), ("Replacement value", "$80,000.00")]
    assert (page["low"], page["likely"], page["high"]) == ("$29,100.00",) * 3
    assert page["alone"]


def test_what_is_not_stated_is_said() -> None:
    """A missing date or definition is no silence, and the list of contents names it."""
    page = _page(_cover())
    facts = dict(page["facts"])
    assert facts["Effective date"] == facts["Definition"] == facts["Value is stated for"] == "not stated"
    assert page["on"] == ""
    assert "effective date" in page["missing"]
    stated = dict(_page(_cover(effective_date=money.DAY, stated_for="as found"))["facts"])
    assert stated["Effective date"] == "14 March 2026, between inspection and report"
    assert stated["Value is stated for"] == "the boat as found"


def test_cost_to_come_has_its_working() -> None:
    """1,000 of 29,100; after the repairs each way's all-in sum stands against the value."""
    page = _page(_cover(stated_for="after repair"))
    assert page["working"][-1]["values"] == "$29,100.00 − $1,000.00"
    assert page["cost"]["all_in"][0] == {
        "title": "Repairs before closing",
        "says": "$29,000.00, which lies $100.00 below the value",
    }


def test_purpose_of_the_survey_stands_once() -> None:
    """Use and users are those of the survey where the value names none."""
    facts = dict(_page(dataclasses.replace(_cover(), made_for="the lender"))["facts"])
    assert facts["Intended use and users"] == "the lender"
    facts = dict(_page(_cover(intended_use="a loan", intended_users="the lender"))["facts"])
    assert (facts["Intended use"], facts["Intended users"]) == ("a loan", "the lender")


def test_no_value_no_heading() -> None:
    """Without comparables and stated figures the page says nothing of value."""
    assert passage.PASSAGE.build(Report(), buyer.EDITION) is None
    assert _page(money.cover(price=money.price(agreed="29000.00"))) == {}


def test_value_after_repairs_says_so_where_no_cost_is_shown() -> None:
    """A lender who sees no cost must not take it for the value of the boat as she lies."""
    found = _page(_cover(stated_for="after repair", market=Decimal("29500.00")))
    assert not found["repairs_not_shown"]
    cover = _cover(stated_for="after repair", market=Decimal("29500.00"))
    worth = valuation.build(cover, None, None, money.DAY)
    bare = passage.PASSAGE.build(Report(cover=cover, valuation=worth), lender.EDITION)
    assert bare is not None
    assert bare["repairs_not_shown"]
