"""Each way to settle against a ledger that books every payment, and against sums worked by hand."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen import notes, report, ways
from reportgen.errors import Problems
from reportgen.ways import Plan, PriceStep, Sums, Three, Way
from tests.project import TOP


def three(text: str) -> Three:
    """Give `800 / 1000 / 1500`, or one figure for all."""
    figures = [Decimal(part.strip()) for part in text.split("/")]
    return Three(*(figures if len(figures) == 3 else figures * 3))


def sums(**keys: object) -> Sums:
    """Give a price of 20,000 with 300 of the buyer's own repairs and 650 of inspection."""
    common = Sums(Decimal(20000), three("300"), Decimal(650), Decimal(0), False, 0, "USD")
    return replace(common, **keys)  # type: ignore[arg-type]


@dataclass
class Ledger:
    """Accounts of all who take part, in fractions; every payment leaves one and reaches another."""

    of: dict[str, Fraction] = field(default_factory=dict)

    def pay(self, giver: str, taker: str, amount: Decimal | Fraction) -> None:
        sum_ = Fraction(amount)
        self.of[giver] = self.of.get(giver, Fraction(0)) - sum_
        self.of[taker] = self.of.get(taker, Fraction(0)) + sum_


def booked(plan: Plan, start: Sums, which: str) -> tuple[Ledger, Fraction, Fraction]:
    """Book a whole deal, payment by payment; give the ledger and both sides' cash on the day of closing."""
    books = Ledger()
    cost = {name: Fraction(getattr(getattr(plan, name) or Three(), which)) for name in _WORK}
    deposit_at = "broker" if start.with_holder else "seller"
    books.pay("buyer", "inspector", start.sunk)
    books.pay("buyer", deposit_at, start.deposit)
    before = dict(books.of)
    books.pay("buyer", "seller", Fraction(start.price) - Fraction(plan.credit or 0) - Fraction(start.deposit))
    if start.with_holder:
        books.pay("broker", "seller", start.deposit)
    books.pay("seller", "holder", plan.held or Decimal(0))
    brought = before.get("buyer", Fraction(0)) - books.of["buyer"]
    taken = books.of["seller"] - before.get("seller", Fraction(0))
    books.pay("seller", "yard", cost["by_seller"])
    books.pay("buyer", "yard", cost["by_buyer"])
    books.pay("buyer", "yard", getattr(start.buyer, which))
    if plan.held is not None:
        from_held = min(Fraction(plan.held), cost["by_holder"])
        books.pay("holder", "yard", from_held)
        books.pay(plan.overrun, "yard", cost["by_holder"] - from_held)
        books.pay("holder", plan.underrun, books.of["holder"])
    return books, brought, taken


_WORK = ("by_seller", "by_buyer", "by_holder")


def agrees(plan: Plan, start: Sums) -> Way:
    """Hold a way against the ledger at the low, likely and high figures; give the way."""
    way = ways.see_to_the_end(plan, start)
    ends = {which: booked(plan, start, which) for which in Three._fields}
    books, brought, taken = ends["likely"]
    assert Fraction(way.buyer_pays) == -books.of["buyer"]
    assert Fraction(way.seller_receives) == books.of["seller"]
    assert (Fraction(way.cash_at_closing), Fraction(way.seller_at_closing)) == (brought, taken)
    at_ends = [ends[which][0].of for which in ("low", "high")]
    assert [way.buyer_low, way.buyer_high] == sorted(-of["buyer"] for of in at_ends)
    assert [way.seller_low, way.seller_high] == sorted(of["seller"] for of in at_ends)
    for each, _, _ in ends.values():
        assert each.of.get("holder", 0) == 0, "nothing stays with the holder"
        assert each.of.get("broker", 0) == 0
        assert sum(each.of.values()) == 0
    # what leaves the buyer and does not reach the seller has paid for work and inspection
    assert Fraction(way.buyer_pays - way.seller_receives) == books.of["yard"] + books.of["inspector"]
    if way.held:
        assert way.held.work + way.held.left == way.held.amount
        assert Fraction(way.held.work + way.held.over) == Fraction((plan.by_holder or Three()).likely)
    return way


S = "800 / 1000 / 1500"
# by hand, from P 20,000, B 300, X 650: (buyer pays, seller receives, buyer brings, seller takes)
BY_HAND = [
    pytest.param(Plan("repair", by_seller=three(S)), "20950 19000 20000 20000", id="repair: P+B+X, P-S"),
    pytest.param(
        Plan("credit", by_buyer=three(S), credit=Decimal(1000)),
        "20950 19000 19000 19000",
        id="credit at S: P-C+S+B+X, P-C",
    ),
    pytest.param(
        Plan("credit", by_buyer=three(S), credit=Decimal("1180.50")),
        "20769.50 18819.50 18819.50 18819.50",
        id="credit above S: the buyer keeps the rest",
    ),
    pytest.param(
        Plan("holdback", by_holder=three(S), held=Decimal(1500)),
        "20950 19000 20000 18500",
        id="holdback with 500 left, which goes to the seller",
    ),
    pytest.param(
        Plan("holdback", by_holder=three(S), held=Decimal(1500), underrun="buyer"),
        "20450 18500 20000 18500",
        id="holdback with 500 left, which goes to the buyer",
    ),
    pytest.param(
        Plan("holdback", by_holder=three(S), held=Decimal(900)),
        "21050 19100 20000 19100",
        id="holdback passed by 100, which the buyer pays",
    ),
    pytest.param(
        Plan("holdback", by_holder=three(S), held=Decimal(900), overrun="seller"),
        "20950 19000 20000 19100",
        id="holdback passed by 100, which the seller pays",
    ),
    pytest.param(Plan("as it is", by_buyer=three(S)), "21950 20000 20000 20000", id="as it is: P+S+B+X, P"),
    pytest.param(
        Plan(
            "mixed",
            by_seller=three("400"),
            by_buyer=three("350"),
            by_holder=three("250"),
            credit=Decimal(200),
            held=Decimal(300),
        ),
        "21100 19150 19800 19500",
        id="mixed: 400 repaired, 200 credited for 350, 300 held back for 250",
    ),
]


@pytest.mark.parametrize(("plan", "expected"), BY_HAND)
def test_a_way_is_as_worked_by_hand(plan: Plan, expected: str) -> None:
    way = agrees(plan, sums())
    found = (way.buyer_pays, way.seller_receives, way.cash_at_closing, way.seller_at_closing)
    assert found == tuple(map(Decimal, expected.split()))


@pytest.mark.parametrize("with_holder", [False, True])
def test_a_deposit_changes_the_cash_of_the_day_only(with_holder: bool) -> None:
    """A third party's deposit reaches the seller at closing; one that the seller has is with him already."""
    plan = Plan("holdback", by_holder=three(S), held=Decimal(1500))
    paid = agrees(plan, sums(deposit=Decimal(2000), with_holder=with_holder))
    assert (paid.buyer_pays, paid.seller_receives) == (20950, 19000)
    assert paid.cash_at_closing == 18000
    assert paid.seller_at_closing == (18500 if with_holder else 16500)


def test_ranges_run_from_the_lows_to_the_highs() -> None:
    """A holdback of 900 for 800 to 1,500: 100 left at the lows, 600 too little at the highs."""
    way = agrees(Plan("holdback", by_holder=three(S), held=Decimal(900)), sums())
    assert (way.buyer_low, way.buyer_high) == (20950, 21550)
    assert (way.seller_low, way.seller_high) == (19100, 19200)


CENTS = st.integers(0, 5_000_000).map(lambda n: Decimal(n).scaleb(-2))
COSTS = st.lists(CENTS, min_size=3, max_size=3).map(lambda c: Three(*sorted(c)))
MAYBE = st.none() | COSTS
SIDES = st.sampled_from(("buyer", "seller"))
PLANS = st.builds(
    Plan, st.sampled_from(tuple(ways.TITLES)), MAYBE, MAYBE, MAYBE, st.none() | CENTS, CENTS, SIDES, SIDES
)
STARTS = st.builds(Sums, CENTS, COSTS, CENTS, CENTS, st.booleans(), st.just(0), st.just("EUR"))


@settings(max_examples=150, deadline=None)
@given(PLANS, STARTS)
def test_no_cent_is_made_or_lost(plan: Plan, start: Sums) -> None:
    """Buyer's total less seller's is work and inspection, and the holder ends with nothing, in every way."""
    agrees(plan, start)


@settings(max_examples=60, deadline=None)
@given(PLANS, STARTS, st.none() | CENTS)
def test_the_waterfall_ends_at_what_the_buyer_pays(plan: Plan, start: Sums, asking: Decimal | None) -> None:
    """Every step adds up to the next total, from the asking price on."""
    steps = ways.waterfall(plan, start, asking, "agreed")
    reached = steps[0].total
    assert reached == (start.price if asking is None else asking)
    for step in steps[1:]:
        reached += step.change or 0
        assert step.total == reached
    assert reached == ways.see_to_the_end(plan, start).buyer_pays


def test_the_waterfall_names_its_steps() -> None:
    plan = Plan("credit", by_buyer=three(S), credit=Decimal(900))
    steps = ways.waterfall(plan, sums(), Decimal(21500), "agreed")
    assert [(s.what, s.change) for s in steps] == [
        ("Asking price", None),
        ("Talked down", -1500),
        ("Price agreed", None),
        ("Credit", -900),
        ("Seller's repairs, left to the buyer", 1000),
        ("Buyer's repairs", 300),
        ("Inspection", 650),
        ("Buyer pays in all", None),
    ]
    asked = ways.waterfall(plan, sums(), Decimal(20000), "asking")
    assert asked[:2] == (
        PriceStep("Asking price", None, Decimal(20000)),
        replace(steps[3], total=Decimal(19100)),
    )


def test_a_price_agreed_as_asked_has_no_step_between() -> None:
    """Both names stand there, since both are facts."""
    steps = ways.waterfall(Plan("repair"), sums(), Decimal(20000), "agreed")
    assert [s.what for s in steps[:3]] == ["Asking price", "Price agreed", "Buyer's repairs"]


def test_a_price_above_the_one_asked_is_raised() -> None:
    steps = ways.waterfall(Plan("repair"), sums(), Decimal(19000), "offered")
    assert [(s.what, s.change, s.total) for s in steps[:3]] == [
        ("Asking price", None, 19000),
        ("Raised", 1000, 20000),
        ("Price offered", None, 20000),
    ]


def test_every_sum_has_its_step() -> None:
    """The seller's cash is a sum of its own only where it isn't what the buyer brings."""
    plan = Plan("holdback", by_holder=three(S), held=Decimal(1500))
    way = ways.see_to_the_end(plan, sums(deposit=Decimal(2000), with_holder=True))
    assert [(s.step, s.formula, s.values, s.result) for s in way.steps[2:]] == [
        ("Cash that the buyer brings at closing", "price − deposit", "$20,000.00 − $2,000.00", "$18,000.00"),
        (
            "Cash that the seller takes at closing",
            "cash from the buyer + deposit released − held back",
            "$18,000.00 + $2,000.00 − $1,500.00",
            "$18,500.00",
        ),
        (
            "With the holder at the end",
            "held back − paid for the work − left, to the seller",
            "$1,500.00 − $1,000.00 − $500.00",
            "$0.00",
        ),
    ]
    assert len(ways.see_to_the_end(Plan("repair"), sums()).steps) == 3


def test_what_is_taken_as_it_is_is_the_buyers() -> None:
    """For a credit, the words on the credit say so already."""
    mixed = ways.see_to_the_end(Plan("mixed", by_seller=three("1"), by_buyer=three("2")), sums())
    assert "The buyer bears the cost of what is taken as it is." in mixed.bears
    credited = ways.see_to_the_end(Plan("credit", by_buyer=three("2"), credit=Decimal(2)), sums())
    assert "as it is" not in credited.bears
    assert "as it is" not in ways.see_to_the_end(Plan("mixed", by_seller=three("1")), sums()).bears
    assert ways.see_to_the_end(Plan("mixed"), sums()).bears == "Each side bears the cost of its own repairs."


def test_each_way_says_who_bears_what() -> None:
    held = ways.see_to_the_end(Plan("holdback", by_holder=three(S), held=Decimal(900)), sums())
    assert "the seller bears the cost up to that sum, the buyer the rest" in held.bears
    kept = ways.see_to_the_end(
        Plan("holdback", by_holder=three(S), held=Decimal(900), overrun="seller", underrun="buyer"), sums()
    )
    assert "also beyond that sum; what is left of it goes to the buyer" in kept.bears
    mixed = ways.see_to_the_end(
        Plan("mixed", by_seller=three("1"), credit=Decimal(5), undecided=Decimal(70)), sums()
    )
    assert "whoever pays it. The credit is final" in mixed.bears
    assert "$70.00 of the seller's share is left out" in mixed.bears


def test_the_demos_settlement_can_be_redone_by_hand() -> None:
    """Price, credit, holdback and fees from the notes, each finding's cost as printed; nothing else."""
    problems = Problems()
    survey = notes.read(TOP / "content/stille-wouw", problems)
    assert survey is not None
    built = report.build(survey, problems)
    cover, bill, deal = survey.cover, built.estimate, built.settlement
    assert cover.price is not None
    assert cover.settlement is not None
    assert cover.settlement.holdback is not None
    assert bill is not None
    assert deal is not None
    word = {finding.id: finding.settle_by for finding in survey.findings}
    cost = {(word[c.id], payer): Fraction(0) for c in bill.by_finding for payer in ("seller", "buyer")}
    for each in bill.by_finding:
        for payer, amount in each.paid:
            cost[word[each.id], payer] += Fraction(amount)
    price, credit = Fraction(cover.price.agreed or 0), Fraction(cover.settlement.credit[0].amount or 0)
    fees = sum((Fraction(s.amount or 0) for s in cover.inspection_cost), Fraction(0))
    buyers = sum((amount for (_, payer), amount in cost.items() if payer == "buyer"), Fraction(0))
    way, deposit = deal.ways[0], Fraction(cover.price.deposit or 0)
    assert way.way == "agreed"
    assert Fraction(way.buyer_pays) == price - credit + cost["credit", "seller"] + buyers + fees
    assert Fraction(way.seller_receives) == price - credit - cost["repair", "seller"]
    assert Fraction(way.cash_at_closing) == price - credit - deposit
    held = Fraction(cover.settlement.holdback.amount or 0)
    assert Fraction(way.seller_at_closing) == price - credit - held
    assert cost["holdback", "seller"] == 0, "the window has no price yet, so the holdback comes back whole"
