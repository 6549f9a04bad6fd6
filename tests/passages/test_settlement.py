"""What was agreed, the ways side by side, their chart, the material share, the dates, the money spent."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen import asjson, edition, estimate, settlement
from reportgen.blocks.deal import Agreed, AgreedCredit, AgreedRepair, DealDates, Holdback, Price, Sunk
from reportgen.blocks.people import People, Surveyor
from reportgen.edition import Edition
from reportgen.editions import buyer
from reportgen.errors import Problems
from reportgen.passages import settlement as passage
from reportgen.passages import sums
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


def test_conditions_of_the_offer_are_told() -> None:
    """What the offer hangs on stands with the ways to settle it; nothing where nothing is said."""
    assert _page()["subject_to"] == ""
    price = dataclasses.replace(DEAL.price or Price(), subject_to="*survey* and sea trial")
    deal = settlement.build(None, DEAL, (), money.DAY)
    cover = dataclasses.replace(DEAL, price=price)
    page = dict(passage.PASSAGE.build(Report(cover=cover, settlement=deal), buyer.EDITION) or {})
    assert page["subject_to"] == "<em>survey</em> and sea trial"


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


AGREED = dataclasses.replace(
    DEAL,
    price=money.price(asking="21500.00", agreed="19800.00", deposit="1980.00"),
    settlement=Agreed(
        agreed_on=datetime.date(2026, 3, 14),
        tax="not included",
        repair=(
            AgreedRepair(("a",), "a *small* yard", by="before launching", if_not_done=Decimal("1200.00")),
        ),
        credit=(AgreedCredit(Decimal("450.00"), ("b",), lender_told=False),),
        holdback=Holdback(Decimal("300.00"), ("c",), "notary", "seal renewed", overrun="seller"),
    ),
)


def _agreed_page() -> dict[str, Any]:
    found = (
        money.finding("a", money.repair(cost="1000.00"), pays=money.SELLER),
        money.finding("b", money.repair(cost="500.00"), pays=money.SELLER),
        money.finding("c", pays=money.SELLER),
    )
    priced = estimate.build(found, AGREED, money.DAY)
    deal = settlement.build(priced, AGREED, found, money.DAY)
    return dict(passage.PASSAGE.build(Report(cover=AGREED, settlement=deal), buyer.EDITION) or {})


def test_what_was_agreed_is_told_entry_by_entry() -> None:
    """Each with what it settles, its likely cost, its terms; what is not stated says so."""
    page = _agreed_page()["agreed"]
    assert page["on"] == "14 March 2026"
    assert page["tax"].startswith("The agreed sums do not include the tax")
    repair, credit, held = page["entries"]
    assert [e["way"] for e in page["entries"]] == ["repair", "credit", "holdback"]
    assert (repair["likely"], credit["likely"], held["likely"]) == ("$1,000.00", "$500.00", "")
    assert repair["facts"] == [
        ("Done by", "a <em>small</em> yard"),
        ("By", "Before launching"),
        ("If not done", "$1,200.00 comes off the price"),
    ]
    assert credit["facts"] == [("Lender", "has not been told")]
    assert ("Until", "not stated") in held["facts"]
    assert ("If it costs more", "the seller pays the rest") in held["facts"]


def test_cash_of_both_sides_stands_beside_each_way() -> None:
    """19,800 - 450 - 1,980 brought; of it 300 stays with the notary."""
    way = _agreed_page()["ways"][0]
    assert (way["title"], way["cash"], way["taken"]) == ("As agreed", "$17,370.00", "$17,070.00")
    assert (way["credit"], way["held"], way["anchor"]) == ("$450.00", "$300.00", "way-agreed")


@pytest.mark.parametrize("holder", ["", "an escrow agent"])
def test_deposit_is_told_as_it_is_counted(holder: str) -> None:
    """The seller has it already, or gets it that day if another holds it; then it is in the seller's cash."""
    agreed = money.price(agreed="19800.00", deposit="1980.00")
    price = dataclasses.replace(agreed, deposit_held_by=holder)
    cover = dataclasses.replace(DEAL, price=price)
    found = (money.finding("a", money.repair(cost="1000.00"), pays=money.SELLER),)
    deal = settlement.build(estimate.build(found, cover, money.DAY), cover, found, money.DAY)
    page = dict(passage.PASSAGE.build(Report(cover=cover, settlement=deal), buyer.EDITION) or {})
    assert (page["deposit"], page["released"]) == ("$1,980.00", bool(holder))
    repaired = next(w for w in page["ways"] if w["way"] == "repair")
    assert (repaired["cash"], repaired["taken"]) == (
        ("$17,820.00", "$19,800.00") if holder else ("$17,820.00", "$17,820.00")
    )


def test_without_a_change_there_is_no_chart() -> None:
    """Two marks at one place say nothing that the table of the ways does not say."""
    cover = dataclasses.replace(DEAL, price=money.price(asking="19800.00"), inspection_cost=())
    deal = settlement.build(None, cover, (), money.DAY)
    page = dict(passage.PASSAGE.build(Report(cover=cover, settlement=deal), buyer.EDITION) or {})
    assert [part.total for part in deal.parts] == [Decimal("19800.00")] * 2
    assert page["chart"] is None


def test_the_chart_has_its_numbers_in_the_table() -> None:
    """From the asking price to the buyer's total, each change with its sign."""
    chart = _agreed_page()["chart"]
    assert chart.form == "waterfall"
    assert chart.table.rows[0] == ("Asking price", "", "$21,500.00")
    assert chart.table.rows[1] == ("Talked down", "−$1,700.00", "$19,800.00")
    assert ("Credit", "−$450.00", "$19,350.00") in chart.table.rows
    assert chart.table.rows[-1] == ("Buyer pays in all", "", "$20,490.00")
    assert [row["printed"] for row in chart.data["rows"]][:2] == ["$21,500.00", "−$1,700.00"]


def test_edition_without_prices_has_no_such_part() -> None:
    """No settlement, no heading."""
    assert passage.PASSAGE.build(Report(), buyer.EDITION) is None


def _report() -> Report:
    people = People(surveyor=Surveyor(name="R. Ostwin"))
    notes = dataclasses.replace(AGREED, people=people)
    found = (money.finding("a", money.repair(cost="1000.00"), pays=money.SELLER),)
    priced = estimate.build(found, notes, money.DAY)
    deal = settlement.build(priced, notes, found, money.DAY)
    return Report(cover=notes, estimate=priced, settlement=deal)


NAMES = ("small* yard", "small</em> yard", "notary")
SUMS = ("1,200.00", "1200.00", "450.00", "19,800", "19800", "17,370", "17370")


@pytest.mark.parametrize("shows", [set(), {"cost", "work", "people"}, {"price", "cost", "payer"}])
def test_an_edition_gets_no_price_that_it_does_not_list(shows: set[str]) -> None:
    """Without price: no sum of the deal in page or data, whoever reads it; without people: no holder's name.

    So for lender, insurer, yard and public alike: they get what their lists of categories say.
    """
    to = Edition("lender", "t", "r", frozenset(shows), ("settlement", "sums", "estimate"))
    shown = edition.view(_report(), to, Problems())
    said = str(passage.PASSAGE.build(shown, to)) + str(sums.PASSAGE.build(shown, to))
    data = asjson.text(asjson.document(shown, to))
    if "price" not in shows:
        assert passage.PASSAGE.build(shown, to) is None
        assert not [s for s in SUMS if s in said + data]
    else:
        assert "$17,370.00" in said
        assert "17370.00" in data
    if "people" not in shows or "price" not in shows:
        assert not [n for n in NAMES if n in said + data]
