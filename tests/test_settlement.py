"""What each side pays in each way, the material share, the days left, and money already spent."""

from __future__ import annotations

import dataclasses
import datetime
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest

from reportgen import estimate, settlement
from reportgen.blocks.deal import DealDates, Sunk
from reportgen.errors import Place, Problem, Problems
from reportgen.model import Cover, Finding
from reportgen.settlement import Settlement, Way
from reportgen.ways import Held, PriceStep
from tests.money import BUYER, CHECKED, DAY, DONE, SELLER, cover, finding, price, rates, repair

# seller 1,000.00, buyer 300.00, nobody yet 200.00; inspection 650.00 by the buyer and 90.00 by the seller
FINDINGS = [
    finding("riser", repair("10"), severity="stop", pays=SELLER),
    finding("anode", repair("3"), severity="schedule", pays=BUYER),
    finding("hatch", repair("2"), severity="settle"),
]
SPENT = (
    Sunk("survey", Decimal("500.00"), "buyer"),
    Sunk("lift", Decimal("150.00"), "buyer"),
    Sunk("fuel for the trial", Decimal("90.00"), "seller"),
)


def deal(**keys: Any) -> Cover:
    return cover(**({"price": price(asking="21000", offered="20000"), "inspection_cost": SPENT} | keys))


def settle(notes: Cover, findings: Sequence[Finding] = FINDINGS) -> Settlement:
    found = settlement.build(estimate.build(findings, notes), notes, findings)
    assert found is not None
    return found


def ways(found: Settlement) -> dict[str, Way]:
    return {way.way: way for way in (*found.ways, *found.other_credits)}


@pytest.mark.parametrize(
    ("amounts", "expected", "named"),
    [
        ({"asking": "3", "offered": "2", "agreed": "1"}, 1, "agreed"),
        ({"asking": "3", "offered": "2"}, 2, "offered"),
        ({"asking": "3"}, 3, "asking"),
    ],
)
def test_agreed_comes_before_offered_before_asked(amounts: dict[str, str], expected: int, named: str) -> None:
    found = settle(deal(price=price(**amounts)))
    assert (found.price, found.price_is) == (expected, named)


def test_no_settlement_without_a_price() -> None:
    assert settlement.build(None, cover(), FINDINGS) is None
    assert settlement.build(None, cover(price=None), FINDINGS) is None


@pytest.mark.parametrize(
    ("way", "buyer", "seller"),
    [
        ("repair", "20950.00", "19000.00"),
        ("credit", "20950.00", "19000.00"),
        ("as it is", "21950.00", "20000.00"),
    ],
)
def test_what_each_side_pays(way: str, buyer: str, seller: str) -> None:
    """P 20,000, S 1,000, B 300, X 650: repair P+B+X, P-S; credit P-C+S+B+X, P-C; as it is P+S+B+X, P."""
    found = ways(settle(deal()))[way]
    assert (found.buyer_pays, found.seller_receives) == (Decimal(buyer), Decimal(seller))


def test_not_agreed_cost_is_a_line_of_its_own() -> None:
    found = settle(deal())
    assert found.not_agreed == 200
    assert all("$200.00 that nobody has agreed to pay" in way.uncertain for way in found.ways)
    agreed = settle(deal(), FINDINGS[:2])
    assert not any("agreed" in way.uncertain for way in agreed.ways)


def test_a_deposit_changes_cash_at_closing_only() -> None:
    without = ways(settle(deal()))
    paid = ways(settle(deal(price=price(asking="21000", offered="20000", deposit="2000"))))
    assert {w.way: str(w.cash_at_closing) for w in paid.values()} == {
        "repair": "18000",
        "holdback": "18000",
        "as it is": "18000",
        "credit": "17000.00",
    }
    for name, way in without.items():
        assert way.cash_at_closing == paid[name].cash_at_closing + 2000
        assert (way.buyer_pays, way.seller_receives) == (paid[name].buyer_pays, paid[name].seller_receives)


def test_the_steps_show_the_sum() -> None:
    buyer, seller, cash = ways(settle(deal()))["credit"].steps
    assert buyer.formula == "price − credit + seller's repairs + buyer's repairs + inspection"
    assert buyer.values == "$20,000.00 − $1,000.00 + $1,000.00 + $300.00 + $650.00"
    assert buyer.result == "$20,950.00"
    assert (seller.values, seller.result) == ("$20,000.00 − $1,000.00", "$19,000.00")
    assert cash.formula == "price − credit"


def test_each_way_says_who_bears_what_isn_t_known() -> None:
    found = ways(settle(deal(), [*FINDINGS, finding("tank"), finding("wiring")]))
    assert "whoever pays it" in found["repair"].uncertain
    assert "the buyer bears" in found["credit"].uncertain
    assert "The buyer bears the whole cost" in found["as it is"].uncertain
    assert all("2 items have no price and are in none of these sums" in w.uncertain for w in found.values())
    one = settle(deal(), [*FINDINGS, finding("tank")])
    assert all("1 item has no price and is in none" in way.uncertain for way in one.ways)


def test_credits_by_percentile_leave_contingency_out() -> None:
    """The seller's 5 / 6 / 13 h have a mean of 7 h; with contingency P50 would be half as much again."""
    work = [finding("riser", repair("5 / 6 / 13"), pays=SELLER)]
    found = ways(settle(deal(rates=rates("100", contingency="50")), work))
    p50, p80 = found["credit p50"], found["credit p80"]
    assert p50.credit is not None
    assert p80.credit is not None
    assert 640 < p50.credit < 700 < p80.credit < 830
    assert p50.seller_receives == 20000 - p50.credit
    assert found["credit"].credit == 900
    assert settle(deal()).other_credits == ()


def test_likely_credit_without_contingency_stands_beside_them() -> None:
    """6 h and half an hour at 100.00; the buyer's half and all contingency are not in it."""
    halves = {"seller": Decimal(50), "buyer": Decimal(50)}
    work = [
        finding("riser", repair("5 / 6 / 13"), pays=SELLER),
        finding("anode", repair("1"), pays=halves),
    ]
    found = settle(deal(rates=rates("100", contingency="50")), work)
    assert found.bare_share == Decimal("650.00")
    for way in found.other_credits:
        kept, bare, credit = way.steps[:3]
        assert (kept.values, kept.result) == ("$300.00 + $25.00", "$325.00")
        assert (bare.values, bare.result) == ("$975.00 − $325.00", "$650.00")
        assert credit.result == f"${way.credit}"
    plain = settle(deal(rates=rates("100")), work)
    assert plain.bare_share is None
    assert plain.other_credits[0].steps[0].step == "Credit"
    assert settle(deal()).bare_share is None


def test_money_already_spent_stands_apart() -> None:
    found = settle(deal()).sunk
    assert found.by_payer == (("seller", Decimal("90.00")), ("buyer", Decimal("650.00")))
    assert found.rows == SPENT
    assert [(s.values, s.result) for s in found.steps] == [
        ("$90.00", "$90.00"),
        ("$500.00 + $150.00", "$650.00"),
    ]
    bare = settle(deal(inspection_cost=()))
    assert bare.sunk.by_payer == ()
    assert ways(bare)["repair"].buyer_pays == 20300


def test_a_boat_without_findings_still_has_its_price() -> None:
    found = settle(deal(), [])
    assert [way.buyer_pays for way in found.ways] == [20650, 20650, 20650]
    assert found.material is not None
    assert found.material.share == 0


def test_the_holdback_proposed_is_the_high_figure_but_never_above_the_price() -> None:
    """The seller's 600 / 700 / 1,100 are held back at 1,100, or at the price if that is less."""
    work = [finding("riser", repair(cost="600 / 700 / 1100"), pays=SELLER)]
    held = ways(settle(deal(), work))["holdback"].held
    assert held is not None
    assert (held.amount, held.work, held.left) == (1100, 700, 400)
    cheap = ways(settle(deal(price=price(agreed="1000")), work))["holdback"].held
    assert cheap is not None
    assert (cheap.amount, cheap.left) == (1000, 300)


def test_ranges_are_those_of_the_estimate_by_payer() -> None:
    """Seller 60 %, buyer 40 % of 500 / 1,000 / 2,000, so 300 to 1,200 and 200 to 800."""
    shares = {"seller": Decimal(60), "buyer": Decimal(40)}
    work = [finding("riser", repair(cost="500 / 1000 / 2000"), pays=shares)]
    way = ways(settle(deal(inspection_cost=()), work))["repair"]
    assert (way.buyer_low, way.buyer_pays, way.buyer_high) == (20200, 20400, 20800)
    assert (way.seller_low, way.seller_receives, way.seller_high) == (18800, 19400, 19700)
    assert [step.result for step in way.range_steps] == [
        "$20,200.00",
        "$19,700.00",
        "$20,800.00",
        "$18,800.00",
    ]


def test_what_nothing_was_worked_out_for_is_nothing() -> None:
    """No sum, share or count of days stands where the notes gave none."""
    empty = (settlement.Settlement(), settlement.Material(), settlement.Settled(), settlement.DealDay())
    for block in (*empty, settlement.SunkCosts(), Way(), Held(), PriceStep()):
        amounts = [v for v in vars(block).values() if isinstance(v, (int, Decimal))]
        assert not any(amounts), block


# --- material share ---


def material(threshold: str | None, *findings: Finding) -> settlement.Material:
    keys = {"material_threshold": threshold} if threshold else {}
    found = settle(deal(price=price(asking="20000", **keys)), findings).material
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("cost", "verdict", "share"),
    [("999.99", "not above", "5.00"), ("1000.00", "not above", "5.00"), ("1000.01", "above", "5.00")],
)
def test_material_means_strictly_above_the_threshold(cost: str, verdict: str, share: str) -> None:
    """The sums stand in the sentence, since all three shares print as 5.00 %."""
    found = material("5", finding("a", repair(cost=cost)))
    assert (found.verdict, str(found.share)) == (verdict, share)
    assert found.says.endswith(f"{verdict} the contract's 5 %, which is $1,000.00.")


def test_material_counts_stop_and_settle_that_are_new_and_not_of_age() -> None:
    fixed = repair(cost="100.00")
    found = material(
        None,
        finding("a", fixed, severity="stop"),
        finding("b", fixed, severity="settle", known_before_offer=False),
        finding("c", fixed, severity="schedule"),
        finding("d", fixed, known_before_offer=True),
        finding("e", fixed, normal_for_age=True),
        finding("f", fixed, severity="watch"),
        finding("g", fixed, reported_done=DONE, checked=CHECKED),
    )
    assert (found.counted, found.known_before, found.normal_for_age) == (("a", "b"), ("d",), ("e",))
    assert (found.amount, found.share) == (200, 1)
    assert found.verdict == ""
    assert found.says == "Material findings come to $200.00, 1.00 % of $20,000.00."


def test_the_material_share_has_its_working() -> None:
    found = material("5", finding("a", repair(cost="600.00")), finding("b", repair(cost="400.01")))
    assert [(s.values, s.result) for s in found.steps] == [
        ("$600.00 + $400.01", "$1,000.01"),
        ("$1,000.01 / $20,000.00", "5.00 %"),
        ("5 % × $20,000.00", "$1,000.00"),
    ]
    assert found.steps[1].formula == "material findings / price"


def test_material_includes_tax() -> None:
    work = finding("a", repair(cost="1000.00", tax=Decimal("6.5")))
    assert material("5", work).amount == Decimal("1065.00")


@pytest.mark.parametrize(("cost", "verdict"), [("400.00", "not known yet"), ("1000.01", "above")])
def test_unpriced_items_make_it_at_least(cost: str, verdict: str) -> None:
    found = material("5", finding("a", repair(cost=cost)), finding("b"))
    assert found.at_least
    assert found.unpriced == ("b",)
    assert found.verdict == verdict
    assert "at least" in found.says


def test_unpriced_items_outside_the_sum_change_nothing() -> None:
    found = material("5", finding("a", repair(cost="400.00")), finding("b", severity="schedule"))
    assert (found.at_least, found.verdict) == (False, "not above")


def test_a_price_of_nothing_has_no_share() -> None:
    assert settle(deal(price=price(agreed="0"))).material is None


# --- dates ---

DATES = DealDates(
    offer=DAY - datetime.timedelta(9), notice_by=DAY, acceptance_by=DAY + datetime.timedelta(1), closing=None
)


def test_days_are_counted_on_the_day_of_the_report() -> None:
    days = settle(deal(dates=DATES)).dates
    assert [(day.what, day.left, day.says) for day in days] == [
        ("offer accepted", -9, "9 days ago"),
        ("last day to name defects", 0, "today"),
        ("last day to accept or refuse", 1, "1 day left"),
    ]
    later = settlement.build(None, deal(dates=DATES), FINDINGS, DAY + datetime.timedelta(3))
    assert later is not None
    assert [day.left for day in later.dates] == [-12, -3, -2]
    assert [day.says for day in later.dates] == ["12 days ago", "past, by 3 days", "past, by 2 days"]
    assert later.counted_on == DAY + datetime.timedelta(3)


# --- guards ---


def told(notes: Cover, findings: Sequence[Finding] = ()) -> list[Problem]:
    problems = Problems()
    settlement.problems(notes, findings, problems)
    return list(problems)


def test_sound_notes_give_no_problem() -> None:
    assert told(deal(dates=DATES), FINDINGS) == []


def test_a_deposit_is_not_above_the_price() -> None:
    assert told(deal(price=price(agreed="500", deposit="500"))) == []
    paid = dataclasses.replace(price(agreed="500", deposit="500.01"), place=Place("boat.md", 2, 1))
    [problem] = told(deal(price=paid))
    assert str(problem).startswith("boat.md:2:1: deposit: the deposit 500.01 is above the agreed price 500")


def test_a_threshold_needs_a_price() -> None:
    [problem] = told(deal(price=price(material_threshold="5")))
    assert (problem.level, problem.place.key) == ("warning", "material threshold")


@pytest.mark.parametrize(
    ("dates", "key", "level"),
    [
        (DealDates(offer=DAY, notice_by=DAY - datetime.timedelta(1)), "notice by", "warning"),
        (DealDates(acceptance_by=DAY + datetime.timedelta(1), closing=DAY), "acceptance by", "error"),
        (DealDates(notice_by=DAY + datetime.timedelta(1), closing=DAY), "notice by", "error"),
        (DealDates(offer=DAY, closing=DAY - datetime.timedelta(1)), "closing", "warning"),
    ],
)
def test_dates_out_of_order_are_told(dates: DealDates, key: str, level: str) -> None:
    """Closing before the last day of notice or acceptance is an error."""
    [problem] = told(deal(dates=dates))
    assert (problem.level, problem.place.key) == (level, key)


def test_money_spent_on_the_day_is_not_asked_for_again() -> None:
    spent = (Sunk("new hose", Decimal("40.00"), "buyer", for_="hose"),)
    priced, bare = finding("hose", repair("1.0")), finding("hose")
    assert told(deal(inspection_cost=spent), [bare]) == []
    [problem] = told(deal(inspection_cost=spent), [priced])
    assert (problem.level, problem.place.key) == ("error", "repair")
    [problem] = told(deal(inspection_cost=spent), [finding("hoses")])
    assert (problem.level, problem.write) == ("error", "write for: hoses")


def test_the_next_day_of_the_deal_may_be_today() -> None:
    """What falls on this very day is still to come; what is past is not."""
    past, today, later = (settlement.DealDay(left=left) for left in (-1, 0, 3))
    deal = settlement.Settlement(dates=(past, later, today))
    assert deal.next_day is today
    assert settlement.Settlement(dates=(past,)).next_day is None
