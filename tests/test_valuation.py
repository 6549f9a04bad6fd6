"""The value: only from what the notes state, kept apart from the range, and held against the cost to come."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen import estimate, settlement, valuation
from reportgen.blocks.people import People, Person
from reportgen.blocks.value import Adjustment, Comparable, Value
from reportgen.blocks.vessel import BoatFacts, Vessel
from reportgen.model import Cover, Finding
from reportgen.valuation import Valuation
from tests import money
from tests.money import BUYER, DAY, SELLER, finding, price, repair

SALES = (
    Comparable("a", Decimal("30000.00"), sold=datetime.date(2025, 9, 10)),
    Comparable(
        "b",
        Decimal("36000.00"),
        listed=datetime.date(2026, 1, 10),
        adjust=(Adjustment("newer", Decimal("-4000.00")),),
    ),
)
FINDINGS = (
    finding("riser", repair(cost="1500.00"), severity="stop", pays=SELLER),
    finding("anode", repair(cost="300.00"), pays=BUYER),
)


def cover(said: dict[str, Any] | None = None, sales: tuple[Comparable, ...] = SALES, **keys: Any) -> Cover:
    value = None if said is None else Value(**said)
    return money.cover(
        **({"price": price(agreed="30500.00"), "value": value, "comparables": sales, "reported": DAY} | keys)
    )


def build(notes: Cover, findings: tuple[Finding, ...] = FINDINGS) -> Valuation | None:
    priced = estimate.build(findings, notes, DAY)
    return valuation.build(notes, priced, settlement.build(priced, notes, findings, DAY), DAY)


def worth(said: dict[str, Any] | None = None, **keys: Any) -> Valuation:
    found = build(cover(said, **keys))
    assert found is not None
    return found


def test_nothing_is_invented() -> None:
    """No comparables and no stated figure: no value, whatever else is written."""
    assert build(cover(sales=())) is None
    assert build(cover({"type": "market value", "definition": "x"}, sales=())) is None
    assert build(cover({}, sales=(Comparable("no price"),))) is None


def test_a_stated_value_needs_no_comparables() -> None:
    found = worth({"market": Decimal("28000.00")}, sales=())
    assert (found.low, found.likely, found.high, found.comparables) == (None, None, None, ())
    assert (found.value, found.value_is, found.method) == (28000, "stated", "")


def test_range_and_mean_of_the_comparables() -> None:
    found = worth()
    assert (found.low, found.likely, found.high) == (30000, 31000, 32000)
    assert (found.value, found.value_is) == (31000, "of the comparables")
    assert found.compared == ("1 of 2 comparables is a price asked, not one paid.",)
    assert [step.result for step in found.working] == ["$30,000.00", "$31,000.00", "$32,000.00"]
    assert found.working[1].values == "($30,000.00 + $32,000.00) / 2"


@pytest.mark.parametrize(
    ("market", "said"),
    [
        ("29999.99", "lies $0.01 below the lowest adjusted comparable"),
        ("30000.00", "lies within the range of the adjusted comparables, $1,000.00 below their mean"),
        ("31000.00", "lies within the range of the adjusted comparables, at their mean"),
        ("32000.00", "lies within the range of the adjusted comparables, $1,000.00 above their mean"),
        ("32000.01", "lies $0.01 above the highest adjusted comparable"),
    ],
)
def test_stated_market_value_is_held_against_the_range(market: str, said: str) -> None:
    """It changes neither range nor mean."""
    found = worth({"market": Decimal(market)})
    assert any(said in each for each in found.compared)
    assert (found.low, found.likely, found.high) == (30000, 31000, 32000)
    assert found.value == Decimal(market)


def test_replacement_value_stays_apart() -> None:
    """It is in no sum; without a market value it is named beside the range."""
    found = worth({"replacement": Decimal("90000.00"), "market": Decimal("31000.00")})
    assert (found.value, found.high) == (31000, 32000)
    assert any("no part of the range; it lies $59,000.00 above the market value" in s for s in found.compared)
    bare = worth({"replacement": Decimal("90000.00")})
    assert bare.value == 31000
    assert any("it lies $58,000.00 above the highest" in s for s in bare.compared)
    alone = worth({"replacement": Decimal("90000.00")}, sales=())
    assert (alone.value, alone.cost_to_come) == (None, None)
    assert alone.compared[0].endswith("no part of the range.")


# --- cost to come: 1,800.00 in all ---


def cost(stated_for: str, findings: tuple[Finding, ...] = FINDINGS, **said: Any) -> valuation.CostToCome:
    found = build(cover({"stated_for": stated_for, "market": Decimal("30000.00")} | said), findings)
    assert found is not None
    assert found.cost_to_come is not None
    return found.cost_to_come


def test_as_found_takes_nothing_off() -> None:
    found = cost("as found")
    assert (found.cost, str(found.share), found.left, found.all_in) == (1800, "6.00", None, ())
    assert "is not taken off it again" in found.says[1]
    assert [step.values for step in found.steps] == ["$1,800.00 / $30,000.00"]


def test_after_repair_takes_it_off_and_shows_what_the_buyer_pays() -> None:
    """Price 30,500: seller's 1,500, buyer's 300; by the rule of settlement P+B, P-C+S+B, P+S+B."""
    found = cost("after repair")
    assert found.left == 28200
    assert "leaves $28,200.00 for the boat as found" in found.says[1]
    assert {way.title: (way.buyer_pays, way.above) for way in found.all_in} == {
        "Repairs before closing": (30800, 800),
        "Money held back until the repairs are done": (30800, 800),
        "The buyer takes the boat as it is": (32300, 2300),
        "Price credit at the likely cost": (30800, 800),
    }


def test_not_said_means_both_are_said() -> None:
    found = cost("")
    assert "is not stated" in found.says[1]
    assert "is not taken off it again" in found.says[1]
    assert "leaves $28,200.00" in found.says[1]
    assert found.all_in == ()


def test_unpriced_items_make_it_at_least() -> None:
    found = cost("after repair", (*FINDINGS, finding("tank")))
    assert found.unpriced == 1
    assert (
        "at least $1,800.00, at least 6.00 % of $30,000.00. 1 item without a price is not in it"
        in found.says[0]
    )
    assert "at most $28,200.00" in found.says[1]


def test_no_item_with_a_price() -> None:
    found = cost("after repair", (finding("tank"),))
    assert (found.left, found.all_in) == (None, ())
    assert "No item has a price yet" in found.says[0]


def test_cost_above_the_value_is_said() -> None:
    found = cost("after repair", market=Decimal("1000.00"))
    assert found.left == -800
    assert "more than the value" in found.says[1]


def test_cost_nobody_agreed_to_pay_is_in_no_way() -> None:
    found = cost("after repair", (*FINDINGS, finding("hose", repair(cost="70.00"))))
    assert found.says[-1] == "$70.00 that nobody has agreed to pay is in none of the ways."


def test_boat_without_findings_has_no_cost_to_come() -> None:
    found = build(cover({"market": Decimal("30000.00")}), ())
    assert found is not None
    assert found.cost_to_come is None


def test_price_is_held_against_a_value_as_found_only() -> None:
    """A price for the boat as she lies tells nothing beside a value that counts repairs as done."""
    said = worth({"stated_for": "as found", "market": Decimal("30000.00")}).against_price
    assert said == "The agreed price of $30,500.00 lies $500.00 above the value of $30,000.00."
    same = worth({"stated_for": "as found", "market": Decimal("30500.00")}).against_price
    assert same == "The agreed price of $30,500.00 equals the value of $30,500.00."
    for stated_for in ("after repair", ""):
        assert not worth({"stated_for": stated_for, "market": Decimal("30000.00")}).against_price


# --- dates and contents ---


@pytest.mark.parametrize(
    ("effective", "view"), [(None, ""), (-1, "past"), (0, "current"), (4, "current"), (5, "prospective")]
)
def test_view_by_inspection_and_report(effective: int | None, view: str) -> None:
    """APP-R: the date of the report says whether the view is current, past or prospective."""
    on = None if effective is None else DAY + datetime.timedelta(effective)
    found = worth({"effective_date": on}, reported=DAY + datetime.timedelta(4))
    assert (found.effective, found.view) == (on, view)


def test_ages_count_from_the_effective_date_else_from_the_report() -> None:
    """Sold on 10 September 2025: 6 months on the day of the report, 4 on 20 January."""
    assert [c.months for c in worth().comparables] == [6, 2]
    on = datetime.date(2026, 1, 20)
    assert [c.months for c in worth({"effective_date": on}).comparables] == [4, 0]


def test_required_contents() -> None:
    """APP-R: USPAP 2018-19, Standards Rules 8-2 and 8-3, page 52: what is stated, and what lacks."""
    whole = {
        "type": "market value",
        "definition": "what it would fetch",
        "definition_source": "a form",
        "effective_date": DAY,
        "interest": "ownership",
        "reasoning": "the nearer one weighs more",
    }
    keys = {
        "made_for": "the buyer",
        "scope": "whole boat",
        "certification": "true",
        "signed": "R. Halvane",
        "people": People(client=Person("A. Quist")),
        "vessel": Vessel(found=BoatFacts(hull_number="ZZQ41207C515")),
    }
    found = worth(whole, **keys)
    assert len(found.contents) == 9
    assert not [each for each in found.contents if each.missing]
    assert "USPAP" in found.sources[-1]
    bare = {each.what: each.missing for each in worth({}, reported=None).contents}
    assert bare["type of value"] == ("type", "definition", "source of the definition")
    assert bare["dates"] == ("effective date", "date of the report")
    assert bare["method and reasoning"] == ("reasoning",)
    assert bare["signed certification"] == ("certification", "signature")
    assert all(bare.values())


def test_sources_of_the_grid_only_where_there_is_one() -> None:
    """A stated value rests on nobody's order of adjustments."""
    assert len(worth().sources) == 4
    assert len(worth({"market": Decimal("1.00")}, sales=()).sources) == 1
