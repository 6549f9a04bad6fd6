"""The report in a few sentences: counts, cost to come, share of the price, what nobody looked at."""

from __future__ import annotations

import dataclasses
import datetime
from decimal import Decimal

import pytest

from reportgen.blocks.deal import Price
from reportgen.costshares import SeverityCost
from reportgen.coverage import Counts, Coverage
from reportgen.editions import buyer, lender, seller
from reportgen.estimate import Estimate
from reportgen.material import Material
from reportgen.model import Cover, Gap
from reportgen.passages import at_a_glance
from reportgen.report import LeftOut, Report
from reportgen.settlement import DealDay, Settlement
from reportgen.valuation import Valuation
from reportgen.ways import Way
from reportgen.worklist import WorkGroup, WorkList

MONEY = Estimate(
    "USD", likely=Decimal("3110.75"), low=Decimal("2900.00"), high=Decimal("3400.00"), priced=2, unpriced=1
)


def _glance(**keys: object) -> dict[str, object]:
    return dict(at_a_glance.PASSAGE.build(Report(**keys), buyer.EDITION))  # type: ignore[arg-type]


def test_cost_is_told_in_whole_money() -> None:
    """The likely cost, all lows and all highs, and how many items it leaves out."""
    glance = _glance(estimate=MONEY)
    assert glance["cost"] == {"low": "$2,900", "likely": "$3,111", "high": "$3,400"}
    assert glance["unpriced"] == 1


@pytest.mark.parametrize(
    ("p50", "told"), [("3141.00", ""), ("3141.85", ""), ("3142.00", "$3,142"), ("2000", "")]
)
def test_what_all_together_come_to_is_told_where_it_is_over_a_hundredth_more(p50: str, told: str) -> None:
    """A hundredth above 3,110.75 is 3,141.86; below it, the likely figures added up say enough."""
    assert _glance(estimate=dataclasses.replace(MONEY, p50=Decimal(p50)))["rather"] == told


def test_nothing_priced_has_no_cost() -> None:
    """Where nothing has a price there is no cost to tell, least of all zero."""
    assert _glance(estimate=Estimate("USD", unpriced=2))["cost"] is None
    assert _glance()["cost"] is None


def test_material_share_without_a_threshold_stays_with_the_sums() -> None:
    """No contract, no verdict: the first screen leaves it to the price's own passage."""
    found = Material(share=Decimal("7.25"), counted=("a",))
    assert _glance(settlement=Settlement("USD", material=found))["material"] == ""


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        (
            {"verdict": "above", "threshold": Decimal("5")},
            "Material findings come to 7.25 % of the price, above",
        ),
        ({"verdict": "not above", "threshold": Decimal("9")}, "of the price, not above the contract's 9 %."),
        ({"verdict": "not known yet", "threshold": Decimal("9"), "at_least": True}, "is not known yet."),
    ],
)
def test_material_share_is_told_with_its_verdict(keys: dict[str, object], says: str) -> None:
    """The share, at least where something has no price, and how it stands to the contract's threshold."""
    found = Material(share=Decimal("7.25"), counted=("a",), **keys)  # type: ignore[arg-type]
    assert says in str(_glance(settlement=Settlement("USD", material=found))["material"])


def test_gaps_and_what_is_left_out() -> None:
    """Parts nobody looked at are named, and the findings that the edition does not list are counted."""
    glance = _glance(
        not_inspected=(Gap("fuel *tank*"),), left_out=LeftOut((("sound", 4),)), counted="One stop."
    )
    assert (glance["gaps"], glance["counted"]) == (["fuel tank"], "One stop.")
    assert glance["left_out"] == "4 findings left out of this edition: 4 sound."
    assert _glance()["left_out"] == ""
    two = _glance(left_out=LeftOut((("watch", 1), ("sound", 5))))["left_out"]
    assert two == "6 findings left out of this edition: 1 watch, 5 sound."


def test_totals_by_severity_for_who_gets_no_single_cost() -> None:
    """Each severity with its range; one that has no price yet is never told as zero."""
    cover = Cover(price=Price(currency="USD"))
    figures = (Decimal("90.00"), Decimal("100.00"), Decimal("120.00"))
    totals = (
        SeverityCost("stop", *figures, unpriced=1),
        SeverityCost("settle", figures[1], figures[1], figures[1]),
        SeverityCost("schedule", unpriced=2),
    )
    assert _glance(cover=cover, cost_totals=totals)["totals"] == [
        "stop $100 likely, $90 to $120, without 1 that has no price yet",
        "settle $100",
        "schedule not known, 2 without a price yet",
    ]
    assert _glance(cover=cover, cost_totals=totals, estimate=MONEY)["totals"] == []


def test_coverage_is_one_sentence() -> None:
    """How many items were sound, had a finding, were not inspected, were not mentioned: four numbers."""
    counts = Counts(items=10, sound=4, findings=3, not_inspected=2, not_mentioned=1)
    assert _glance(coverage=Coverage(counts=counts))["covered"] == (
        "Of 10 checklist items: 4 found sound, 3 with a finding, 2 not inspected, 1 not mentioned."
    )
    assert _glance()["covered"] == ""


def test_parts_and_items_are_not_one_count() -> None:
    """Where parts named and items of the checklist differ in number, the line says why, and only there."""
    counts, gap = Counts(items=10, sound=7, not_inspected=3), Gap("fuel tank")
    why = "A part not inspected can stand for several of them, or for none."
    assert why in str(_glance(coverage=Coverage(counts=counts), not_inspected=(gap,))["covered"])
    assert why not in str(_glance(coverage=Coverage(counts=counts), not_inspected=(gap,) * 3)["covered"])
    assert why not in str(_glance(coverage=Coverage(counts=counts))["covered"])


def test_numbers_of_coverage_add_up() -> None:
    """What was only tried or told has a number of its own where there is any; zero stays zero."""
    counts = Counts(items=6, sound=4, others=2)
    assert _glance(coverage=Coverage(counts=counts))["covered"] == (
        "Of 6 checklist items: 4 found sound, 0 with a finding, 2 noted otherwise, "
        "0 not inspected, 0 not mentioned."
    )


def test_public_reader_gets_no_praise_in_numbers() -> None:
    """The seller's edition says that nothing was noted, not that it was sound."""
    shown = Report(coverage=Coverage(counts=Counts(items=1, sound=1)))
    said = dict(at_a_glance.PASSAGE.build(shown, seller.EDITION) or {})["covered"]
    assert said.startswith("Of 1 checklist items: 1 looked at without a finding in this edition, ")


def test_value_is_told_to_who_decides_by_it() -> None:
    """On the lender's first screen, with its day, or that none was stated; the buyer has a passage for it."""
    worth = Valuation(
        "USD",
        market=Decimal("900.00"),
        low=Decimal("800.00"),
        high=Decimal("950.00"),
        effective=datetime.date(2026, 3, 2),
        stated_for="after repair",
    )
    shown = Report(cover=Cover(price=Price(currency="USD")), valuation=worth)
    assert dict(at_a_glance.PASSAGE.build(shown, lender.EDITION) or {})["value"] == [
        "market value $900",
        "comparables between $800 and $950",
        "for the boat after the repairs to come",
        "as of 2 March 2026",
    ]
    none = dict(at_a_glance.PASSAGE.build(Report(), lender.EDITION) or {})["value"]
    assert none == ["not stated in this report"]
    assert _glance(cover=shown.cover, valuation=worth)["value"] == []


def test_yard_is_led_to_its_work_list() -> None:
    """How many jobs are open, where no cost tells of them."""
    work = WorkList(groups=(WorkGroup(jobs=("a", "b")),))
    assert _glance(work_list=work)["jobs"] == 2
    assert _glance(work_list=work, estimate=MONEY)["jobs"] == 0


def test_price_and_the_next_day_of_the_deal_stand_first() -> None:
    """A buyer on the dock sees what it does to the price, and how long there is to say so."""
    ways = (Way("repair", buyer_pays=Decimal("30400.00")), Way("as it is", buyer_pays=Decimal("31900.00")))
    dates = (
        DealDay("Offer accepted", datetime.date(2026, 5, 1), -13, "13 days ago"),
        DealDay("Last day to name defects", datetime.date(2026, 5, 20), 6, "6 days left"),
        DealDay("Closing", datetime.date(2026, 6, 2), 19, "19 days left"),
    )
    deal = Settlement("USD", price=Decimal("29000.00"), price_is="offered", ways=ways, dates=dates)
    between = "with repairs at their likely cost the buyer pays between $30,400 and $31,900 in all"
    assert _glance(settlement=deal)["price"] == [
        "offered $29,000",
        f"{between}, depending on how it is settled",
        "last day to name defects: 20 May 2026, 6 days left",
    ]
    left = dataclasses.replace(deal, not_agreed=Decimal("1200.40"))
    assert (
        "$1,200 of repairs that nobody has agreed to pay is not in that" in _glance(settlement=left)["price"]
    )
    assert _glance()["price"] == []
    values = at_a_glance.PASSAGE.build(Report(settlement=deal), lender.EDITION)
    assert values is not None
    assert values["price"] == []
