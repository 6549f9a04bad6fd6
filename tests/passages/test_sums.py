"""Every printed sum opens to its working: the estimate's, each way's, and what else is added up."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import pytest

from reportgen import pages, publish, theme, valuation
from reportgen.blocks.value import Adjustment, Comparable, Value
from reportgen.editions import buyer, lender, seller, yard
from reportgen.passages import settlement, sums
from reportgen.photos import PublishedPhoto
from reportgen.report import Report, photos_of
from tests import made, money
from tests.project import EDITIONS


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Give a survey with prices, whole."""
    return made.full(tmp_path_factory.mktemp("sums"))


def _worked(page: Mapping[str, Any]) -> set[str]:
    """Give every result on the page of sums."""
    tables = [page["estimate"], page["value"], *(o["steps"] for o in page["others"])]
    tables += [w[part] for w in page["ways"] for part in ("steps", "range")]
    return {step["result"] for steps in tables for step in steps}


def test_every_sum_of_a_way_is_worked_out(report: Report) -> None:
    """What the report prints for a way stands there as a result, and the way has its anchor there."""
    page = sums.PASSAGE.build(report, buyer.EDITION)
    deal = settlement.PASSAGE.build(report, buyer.EDITION)
    assert page is not None
    assert deal is not None
    assert len(deal["ways"]) >= 4
    worked = _worked(page)
    for way in deal["ways"]:
        printed = {way[name] for name in ("buyer_pays", "seller_receives", "cash")}
        assert printed <= worked
        assert way["anchor"] in {w["anchor"] for w in page["ways"]}
    assert {amount for _, amount in deal["sunk"]["totals"]} <= worked if deal["sunk"] else True
    assert deal["material"]["amount"] in worked


def test_the_estimates_working_stands_there(report: Report) -> None:
    page = sums.PASSAGE.build(report, buyer.EDITION)
    assert page is not None
    assert [s["step"] for s in page["estimate"]] == [s.step for s in report.estimate.working]  # type: ignore[union-attr]


def test_every_step_of_a_comparable_stands_there() -> None:
    """30,000 + 2 % = 30,600 in the published order, then 1,500 off: 29,100; the buyer's and the lender's."""
    adjust = (
        Adjustment("newer engine", Decimal("-1500.00")),
        Adjustment("risen", share=Decimal("2"), of="market"),
    )
    sold = Comparable("like *boat*", Decimal("30000.00"), sold=money.DAY, adjust=adjust)
    cover = money.cover(value=Value(), comparables=(sold,))
    worth = valuation.build(cover, None, None, money.DAY)
    page = sums.PASSAGE.build(Report(cover=cover, valuation=worth), lender.EDITION)
    assert page is not None
    [sale] = page["comparables"]
    assert (sale["what"], sale["price"], sale["adjusted"]) == (
        "like <em>boat</em>",
        "$30,000.00",
        "$29,100.00",
    )
    assert [(s["values"], s["amount"], s["running"]) for s in sale["steps"]] == [
        ("$30,000.00 × +2 %", "+$600.00", "$30,600.00"),
        ("$30,600.00 − $1,500.00", "−$1,500.00", "$29,100.00"),
    ]
    assert sums.PASSAGE.build(Report(cover=cover, valuation=worth), yard.EDITION) is None


def test_an_edition_without_the_passages_has_no_such_page(report: Report) -> None:
    """Even one that may see prices: what its report does not print is not worked out beside it."""
    without = dataclasses.replace(buyer.EDITION, passages=("masthead",))
    assert sums.PASSAGE.build(report, without) is None
    assert sums.PASSAGE.build(made.shown(report, seller.EDITION), seller.EDITION) is None


def _pictures(shown: Report) -> dict[str, PublishedPhoto]:
    return {note.name: PublishedPhoto(b"", b"", 64, 48, 32, 24) for note in photos_of(shown)}


@pytest.mark.parametrize("name", EDITIONS)
def test_links_to_the_page_are_met(report: Report, name: str) -> None:
    """Where the report links to a sum, the page beside it is there and has the anchor."""
    to = publish.edition_named(name)
    shown = dataclasses.replace(made.shown(report, to), photos=())
    parts = pages.arrange(shown, to, _pictures(shown), "0000 0000", charts=False)
    html = {page.file: theme.render(page, theme.find()).decode() for page in parts}
    links = [part.split('"')[0] for part in html["index.html"].split('href="sums.html#')[1:]]
    assert bool(links) == ("sums.html" in html)
    assert all(f'id="{link}"' in html["sums.html"] for link in links)
