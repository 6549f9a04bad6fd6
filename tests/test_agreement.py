"""What buyer and seller agreed: whose findings it settles, its guards, and its sums in fractions."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reportgen import agreement, estimate, settlement
from reportgen.blocks.deal import Agreed, AgreedCredit, AgreedRepair, DealDates, Holdback, Price
from reportgen.errors import Place, Problem, Problems
from reportgen.model import Cover, Finding
from reportgen.settlement import Settlement
from reportgen.ways import Way
from tests.money import BUYER, CHECKED, DAY, DONE, SELLER, cover, finding, price, repair

PLACE = Place("cover.md", 12, 3).holding(
    (("covers", 13, 5), ("amount", 14, 5), ("until", 15, 5), ("by", 16, 5), ("if not done", 17, 5))
)
HALF = {"seller": Decimal(50), "buyer": Decimal(50)}
FINDINGS = (
    finding("riser", repair(cost="1000.00"), pays=SELLER, settle_by="repair"),
    finding("pump", repair(cost="400.00"), pays=SELLER, settle_by="credit"),
    finding("window", repair(cost="600 / 700 / 1100"), pays=SELLER, settle_by="holdback"),
    finding("tires", repair(cost="500.01"), pays=HALF, settle_by="as it is"),
    finding("anode", repair(cost="90.00"), pays=BUYER, settle_by="repair"),
    finding("cable", repair(cost="250.00")),
)


def credit(amount: str, *covers: str, **keys: Any) -> AgreedCredit:
    return AgreedCredit(Decimal(amount), covers, place=PLACE, **keys)


def held(amount: str, *covers: str, **keys: Any) -> Holdback:
    return Holdback(Decimal(amount), covers, place=PLACE, **keys)


def agreed(**keys: Any) -> Agreed:
    return Agreed(**({"tax": "included", "place": PLACE} | keys))


def deal(said: Agreed | None, **keys: Any) -> Cover:
    return cover(**({"price": price(asking="21500", agreed="20000"), "settlement": said} | keys))


def settle(notes: Cover, findings: Sequence[Finding] = FINDINGS) -> Settlement:
    found = settlement.build(estimate.build(findings, notes), notes, findings)
    assert found is not None
    return found


def way(found: Settlement, name: str) -> Way:
    (one,) = (each for each in found.ways if each.way == name)
    return one


# --- whose findings an entry settles ---


def test_an_entry_without_covers_takes_what_says_so() -> None:
    """By the finding's own word, but for what the buyer alone pays and what is checked."""
    said = agreed(repair=(AgreedRepair(),), credit=(credit("400"),), holdback=held("900"))
    one = finding("old", repair(cost="9.00"), pays=SELLER, settle_by="repair", checked=CHECKED)
    found = agreement.covered(said, (*FINDINGS, one))
    assert [(c.way, c.ids) for c in found] == [
        ("repair", ("riser",)),
        ("credit", ("pump",)),
        ("holdback", ("window",)),
    ]


def test_what_an_entry_names_is_taken_from_the_others() -> None:
    said = agreed(credit=(credit("1", "cable"), credit("1")))
    assert [c.ids for c in agreement.covered(said, FINDINGS)] == [("cable",), ("pump",)]


def test_of_two_entries_without_covers_the_second_finds_nothing_left() -> None:
    said = agreed(credit=(credit("1"), credit("2")))
    assert [c.ids for c in agreement.covered(said, FINDINGS)] == [("pump",), ()]


# --- the sums of what was agreed ---


def test_as_agreed_is_as_worked_by_hand() -> None:
    """P 20,000; repaired 1,000; credited 380 for 400 and for the cable's 250, which nobody had agreed to pay;
    held back 900 for 700; taken as it is 250.01 (the seller's half, the odd cent with it); buyer's own
    90 + 250.00; no inspection.

    Buyer 20,000 - 380 + 400 + 250 + 250.01 + 340.00 = 20,860.01; seller 20,000 - 380 - 1,000 - 900 + 200.
    """
    said = agreed(repair=(AgreedRepair(),), credit=(credit("380", "pump", "cable"),), holdback=held("900"))
    found = way(settle(deal(said)), "agreed")
    assert found.buyer_pays == Decimal("20860.01")
    assert found.seller_receives == 17920
    assert (found.cash_at_closing, found.seller_at_closing) == (19620, 18720)
    assert found.held is not None
    assert (found.held.work, found.held.left, found.held.left_to) == (700, 200, "seller")


def test_mixed_takes_each_finding_by_its_word_at_the_estimate() -> None:
    """Repaired 1,000, credited 400 in full, 1,100 held back for 700, as it is 250.01; the cable stands apart.

    Buyer 20,000 - 400 + 400 + 250.01 + 340.00; seller 20,000 - 400 - 1,000 - 1,100 + 400.
    """
    found = settle(deal(None))
    mixed = way(found, "mixed")
    assert (mixed.buyer_pays, mixed.seller_receives) == (Decimal("20590.01"), 17900)
    assert mixed.held is not None
    assert (mixed.held.amount, mixed.credit) == (1100, 400)
    assert found.not_agreed == 250
    assert "$250.00 that nobody has agreed to pay" in mixed.uncertain


def test_a_finding_that_says_nothing_is_left_out_of_the_mix_and_named() -> None:
    quiet = finding("hatch", repair(cost="120.00"), pays=SELLER)
    before, after = (way(settle(deal(None), f), "mixed") for f in (FINDINGS, (*FINDINGS, quiet)))
    assert (before.buyer_pays, before.seller_receives) == (after.buyer_pays, after.seller_receives)
    assert "$120.00 of the seller's share is left out" in after.bears


def test_what_was_agreed_stands_in_the_place_of_a_mix() -> None:
    assert settle(deal(SOUND)).ways[0].way == "agreed"
    assert "mixed" not in [w.way for w in settle(deal(SOUND)).ways]


def test_no_mix_where_all_are_settled_alike() -> None:
    alike = [replace(f, settle_by="repair") for f in FINDINGS]
    assert "mixed" not in [w.way for w in settle(deal(None), alike).ways]


def test_two_ways_make_a_mix() -> None:
    two = [replace(f, settle_by="repair" if f.id == "riser" else "credit") for f in FINDINGS]
    assert settle(deal(None), two).ways[0].way == "mixed"


def test_without_an_agreement_nothing_is_settled_or_left_open_by_it() -> None:
    found = settle(deal(None))
    assert (found.agreed, found.settled, found.unsettled) == (None, (), ())


def test_what_is_left_open_is_listed() -> None:
    """The pump's word is credit, but no credit was agreed; the cable has no payer and no way."""
    found = settle(deal(agreed(repair=(AgreedRepair(),), holdback=held("900"))))
    assert found.unsettled == ("pump", "cable")
    assert "$400.00 of the seller's share is left out" in way(found, "agreed").bears


def test_a_settled_entry_says_its_likely_cost() -> None:
    said = agreed(credit=(credit("400", "pump", "tires"),))
    tires = replace(FINDINGS[3], settle_by="credit")
    bare = finding("seal", pays=SELLER, settle_by="credit")
    found = settle(deal(said), (FINDINGS[1], tires, bare)).settled
    assert [(s.way, s.covers, s.likely, s.amount, s.unpriced) for s in found] == [
        ("credit", ("pump", "tires"), Decimal("650.01"), 400, ())
    ]
    assert found[0].steps[0].values == "$400.00 + $250.01"


def test_agreed_days_stand_among_the_dates() -> None:
    """Days past a deadline are said plainly."""
    day = datetime.timedelta(1)
    said = agreed(
        repair=(AgreedRepair(by=DAY - 2 * day), AgreedRepair(by="before launching")),
        holdback=held("900", until=DAY + 9 * day),
    )
    dates = settle(deal(said, dates=DealDates(notice_by=DAY - day))).dates
    assert [(d.what, d.says) for d in dates] == [
        ("repairs done by", "past, by 2 days"),
        ("last day to name defects", "past, by 1 day"),
        ("last day of the holdback", "9 days left"),
    ]


@pytest.mark.parametrize(
    ("left", "says"),
    [
        (-3, "The last day to name them to the seller is past: it was 3 days ago."),
        (0, "Today is the last day to name them to the seller."),
        (1, "1 day is left to name them to the seller."),
        (5, "5 days are left to name them to the seller."),
    ],
)
def test_material_findings_have_their_last_day(left: int, says: str) -> None:
    dates = DealDates(notice_by=DAY + datetime.timedelta(left))
    assert settle(deal(None, dates=dates)).notice == says
    assert settle(deal(None)).notice == ""


# --- money is conserved, whatever is agreed ---

CENTS = st.integers(0, 400_000).map(lambda n: Decimal(n).scaleb(-2))
PAYS = st.sampled_from((None, SELLER, BUYER, HALF, {"seller": Decimal("33.3"), "buyer": Decimal("66.7")}))
WAYS = st.sampled_from(("", "repair", "credit", "holdback", "as it is"))
ONE = st.tuples(CENTS, PAYS, WAYS)


@settings(max_examples=60, deadline=None)
@given(st.lists(ONE, min_size=1, max_size=7), CENTS, CENTS, st.sampled_from(("buyer", "seller")))
def test_settlement_conserves_money(
    rows: list[tuple[Decimal, dict[str, Decimal] | None, str]], off: Decimal, kept: Decimal, side: str
) -> None:
    """Shares add up to the whole; buyer's total less seller's is the work that a way holds and inspection."""
    found = [
        finding(f"f{n}", repair(cost=str(cost)), pays=pays, settle_by=word)
        for n, (cost, pays, word) in enumerate(rows)
    ]
    said = agreed(credit=(credit(str(off)),), holdback=held(str(kept), overrun=side, underrun=side))
    notes = deal(said)
    bill = estimate.build(found, notes)
    deal_, proposed = settlement.build(bill, notes, found), settlement.build(bill, deal(None), found)
    assert bill is not None
    assert deal_ is not None
    assert proposed is not None
    assert deal_.seller_share + deal_.buyer_share + deal_.not_agreed == bill.likely
    paid = {c.id: {p: Fraction(a) for p, a in c.paid} for c in bill.by_finding}
    assert all(sum(paid[c.id].values()) == Fraction(c.likely or 0) for c in bill.by_finding)
    every = {f.id: (dict(f.payers), f.settle_by, paid[f.id]) for f in found if f.id in paid}
    for each in (*deal_.ways, *proposed.ways):
        work = sum(
            (
                amount
                for payers, word, shares in every.values()
                for payer, amount in shares.items()
                if payer == "buyer" or _done(each.way, payer, word)
            ),
            Fraction(0),
        )
        assert Fraction(each.buyer_pays - each.seller_receives) == work, each.way
        if each.held:
            assert each.held.amount == each.held.work + each.held.left


def _done(way: str, payer: str, word: str) -> bool:
    """Say whether a way holds a share; as agreed, also what had no payer, if its word settles it."""
    if way == "agreed":
        return word != ""
    return payer == "seller" and (way != "mixed" or word != "")


# --- guards, each with its place ---


def told(said: Agreed, findings: Sequence[Finding] = FINDINGS, **keys: Any) -> list[Problem]:
    notes, problems = deal(said, **keys), Problems()
    bill = estimate.build(findings, notes)
    settlement.problems(notes, findings, problems, bill, DAY)
    return list(problems)


def said(problem: Problem) -> tuple[str, int, str]:
    return (problem.place.key, problem.place.line, problem.level)


SOUND = agreed(repair=(AgreedRepair(place=PLACE),), credit=(credit("400"),), holdback=held("900"))


def test_sound_agreement_gives_no_problem() -> None:
    assert told(SOUND) == []


def test_an_unknown_finding_has_its_nearest() -> None:
    [problem] = told(agreed(credit=(credit("400", "pumps"),)))
    assert str(problem) == "cover.md:13:5: covers: no finding has the id 'pumps'; write pump"


@pytest.mark.parametrize(
    ("entries", "found"),
    [
        (
            {"repair": (AgreedRepair(("cable",), place=PLACE),), "credit": (credit("9", "cable"),)},
            "'cable' is settled by repair and by credit",
        ),
        (
            {"credit": (credit("9", "cable"),), "holdback": held("9", "cable")},
            "'cable' is settled by credit and by holdback",
        ),
        (
            {"credit": (credit("9", "cable"), credit("9", "cable"))},
            "'cable' is settled by credit twice",
        ),
    ],
)
def test_nothing_is_settled_twice(entries: dict[str, Any], found: str) -> None:
    [problem] = told(agreed(**entries))
    assert (problem.found, said(problem)) == (found, ("covers", 13, "error"))


def test_an_entry_agrees_with_the_findings_word() -> None:
    [problem] = told(agreed(credit=(credit("400", "riser"),)))
    assert problem.found == "'riser' stands under credit and says settle by: repair"
    assert problem.write == "write settle by: credit, or take it out of covers"


def test_what_the_buyer_pays_alone_leaves_nothing_to_settle() -> None:
    [problem] = told(agreed(repair=(AgreedRepair(("anode",), place=PLACE),)))
    assert problem.found == "'anode' is paid by the buyer alone, so it leaves nothing for a repair"


@pytest.mark.parametrize(
    ("keys", "entry", "level"),
    [
        ({"reported_done": DONE}, {"credit": (credit("1", "hatch"),)}, "error"),
        ({"reported_done": DONE, "checked": CHECKED}, {"holdback": held("1", "hatch")}, "error"),
        ({"reported_done": DONE}, {"holdback": held("1", "hatch")}, ""),
        ({"reported_done": DONE, "checked": CHECKED}, {"repair": (AgreedRepair(("hatch",)),)}, ""),
    ],
)
def test_work_that_is_done_is_not_credited(keys: dict[str, Any], entry: dict[str, Any], level: str) -> None:
    """A holdback waits for the check; a repair that is done is as agreed."""
    work = (finding("hatch", repair(cost="120.00"), pays=SELLER, **keys),)
    levels = [problem.level for problem in told(agreed(**entry), work)]
    assert levels == ([level] if level else [])


@pytest.mark.parametrize(
    ("amount", "because", "level"),
    [
        ("700.00", "", ""),
        ("700.01", "", "warning"),
        ("1100.00", "", "warning"),
        ("1100.01", "", "error"),
        ("1100.01", "the yard is far away", ""),
    ],
)
def test_a_credit_stays_within_the_estimate(amount: str, because: str, level: str) -> None:
    """The window is 700 at its likely and 1,100 at its high figure; beyond that the notes have to say why."""
    window = (replace(FINDINGS[2], settle_by="credit"),)
    found = told(agreed(credit=(credit(amount, "window", because=because),)), window)
    assert [said(problem) for problem in found] == ([("amount", 14, level)] if level else [])


def test_a_credit_is_held_against_the_sellers_share_only() -> None:
    """Of the tires' 500.01 the seller's half is 250.01."""
    tires = (replace(FINDINGS[3], settle_by="credit"),)
    assert told(agreed(credit=(credit("250.01", "tires"),)), tires) == []
    [problem] = told(agreed(credit=(credit("250.02", "tires"),)), tires)
    assert problem.level == "error"
    assert "above the highest estimate of $250.01" in problem.found


def test_a_credit_for_what_has_no_price_has_no_bound() -> None:
    work = (FINDINGS[1], finding("seal", pays=SELLER, settle_by="credit"))
    assert told(agreed(credit=(credit("5000"),)), work) == []


@pytest.mark.parametrize(("amount", "faults"), [("20000", 0), ("20000.01", 1)])
def test_a_holdback_is_not_above_the_price(amount: str, faults: int) -> None:
    found = told(agreed(holdback=held(amount, "window")))
    assert [said(problem) for problem in found] == [("amount", 14, "error")] * faults


def test_credit_and_holdback_together_are_not_above_the_price() -> None:
    work = (*FINDINGS, finding("hull", pays=SELLER))
    both = agreed(credit=(credit("12000", "hull"),), holdback=held("8000.01", "window"))
    last = replace(both.holdback, place=PLACE.holding((("amount", 21, 9),)))  # type: ignore[type-var]
    [problem] = told(replace(both, holdback=last), work)
    assert said(problem) == ("amount", 21, "error")
    assert problem.found == "credits and holdback come to $20,000.01, above the price of $20,000.00"


def test_a_sum_for_work_not_done_is_not_above_the_price() -> None:
    [problem] = told(agreed(repair=(AgreedRepair(if_not_done=Decimal(20001), place=PLACE),)))
    assert said(problem) == ("if not done", 17, "error")


def test_several_credits_name_their_findings() -> None:
    found = told(agreed(credit=(credit("100"), credit("9", "cable"))))
    assert [p.found for p in found] == ["several credits, and this one names no findings"]


def test_an_entry_that_settles_nothing_is_told() -> None:
    [problem] = told(agreed(holdback=held("9")), FINDINGS[:1])
    assert (problem.found, problem.level) == ("the holdback settles no finding", "warning")


def test_agreed_sums_need_a_price() -> None:
    [problem] = told(SOUND, price=Price("USD"))
    assert (problem.level, problem.place.line) == ("error", 12)
    [problem] = told(SOUND, price=price(offered="20000"))
    assert (problem.level, problem.write) == ("warning", "write agreed: under price")


def test_days_of_the_agreement_fit_closing() -> None:
    day = datetime.timedelta(1)
    late = agreed(
        agreed_on=DAY + day,
        repair=(AgreedRepair(by=DAY + 2 * day, place=PLACE),),
        holdback=held("900", until=DAY),
    )
    found = told(late, dates=DealDates(closing=DAY + day))
    assert [said(problem) for problem in found] == [
        ("agreed on", 12, "warning"),
        ("until", 15, "error"),
        ("by", 16, "warning"),
    ]
