"""Cost to come: lines that add up as printed, strip-downs once, charts with their tables."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Any

import pytest

from reportgen import estimate, units
from reportgen.blocks.repair import Repair
from reportgen.chart import Chart
from reportgen.editions import buyer
from reportgen.model import Finding
from reportgen.passage import Passage
from reportgen.passages import estimate as passage
from reportgen.passages import workings
from reportgen.report import ListedFinding, Report
from tests import money


def _page(*found: Finding, built: Passage = passage.PASSAGE, working: bool = True) -> dict[str, Any]:
    priced = estimate.build(found, money.WORKED, money.DAY)
    assert priced
    listed = tuple(ListedFinding(n, f) for n, f in enumerate(found, 1))
    shown = priced if working else dataclasses.replace(priced, working=())
    report = Report(cover=money.WORKED, findings=listed, estimate=shown)
    return dict(built.build(report, buyer.EDITION) or {})


def _amount(text: str) -> Decimal:
    return Decimal(text.replace("$", "").replace(",", ""))


def test_printed_lines_add_up_to_the_printed_total() -> None:
    """The worked example as the page of sums prints it, 3,110.75; the visits in the report add up too.

    Whoever gets no page of sums has the lines in the report.
    """
    found = (money.BELLOWS, money.BEARING, money.RISERS)
    page, sums = _page(*found), _page(*found, built=workings.PASSAGE)
    assert (page["lines"], page["total"]["likely"]) == ([], "$3,110.75")
    assert sums["lines"] == _page(*found, working=False)["lines"]
    for lines in (sums["lines"], page["visits"]):
        assert lines
        for column in ("low", "likely", "high"):
            assert sum(_amount(line[column]) for line in lines) == _amount(page["total"][column])


def test_strip_down_stands_once_with_all_that_need_it() -> None:
    """Shared work names each finding that needs it, by its link."""
    page = _page(money.BELLOWS, money.BEARING, money.RISERS)
    drive = next(s for s in page["strip_downs"] if s["name"] == "drive off")
    assert [r["anchor"] for r in drive["needed_by"]] == ["bellows", "bearing"]
    assert drive["shared"] is True
    assert page["saved"].startswith("$")


def test_charts_have_one_row_a_finding_and_a_payer() -> None:
    """The chart's rows and its table tell the same, in the order of the findings."""
    page = _page(money.BELLOWS, money.finding("bare"))
    chart = page["by_finding"]
    assert isinstance(chart, Chart)
    assert [row["label"] for row in chart.data["rows"]] == ["1. Bellows", "2. Bare"]
    assert chart.data["rows"][1]["likely"] is None
    assert chart.table.rows[1] == ("2. Bare", "not priced", "not priced", "not priced")
    assert [(p["name"], p["unpriced"]) for p in page["payers"]] == [("not agreed", 1)]


@pytest.mark.parametrize(("low", "crossed"), [("90", False), ("101", True)])
def test_low_above_the_likely_figure_is_explained(low: str, crossed: bool) -> None:
    """Where supplies are capped, a small job's share of them falls as the others grow; the page says so."""
    priced = estimate.build((money.BELLOWS,), money.WORKED, money.DAY)
    assert priced
    cost = dataclasses.replace(priced.by_finding[0], low=Decimal(low), likely=Decimal(100), high=Decimal(110))
    report = Report(cover=money.WORKED, estimate=dataclasses.replace(priced, by_finding=(cost,)))
    assert dict(passage.PASSAGE.build(report, buyer.EDITION) or {})["crossed"] is crossed


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [("90", "110", "90 100 110"), ("100.4", "100.2", "100 100 100"), ("120", "105", "100 100 120")],
)
def test_figures_of_a_finding_are_told_in_order(low: str, high: str, told: str) -> None:
    """Turned round by below 1 %, the likely figure stands for all; by more, least and most are told."""
    priced = estimate.build((money.BELLOWS,), money.WORKED, money.DAY)
    assert priced
    three = {"low": Decimal(low), "likely": Decimal(100), "high": Decimal(high)}
    cost = dataclasses.replace(priced.by_finding[0], **three)
    listed = (ListedFinding(1, money.BELLOWS),)
    changed = dataclasses.replace(priced, by_finding=(cost,))
    report = Report(cover=money.WORKED, findings=listed, estimate=changed)
    page = dict(passage.PASSAGE.build(report, buyer.EDITION) or {})
    row = page["by_finding"].table.rows[0]
    assert row[1:] == tuple(f"${figure}.00" for figure in told.split())


def test_findings_stand_by_number() -> None:
    """The estimate's order is that of the numbers, whatever the order of the report's list."""
    found = (money.BELLOWS, money.BEARING, money.RISERS)
    priced = estimate.build(found, money.WORKED, money.DAY)
    listed = tuple(ListedFinding(n, f) for n, f in enumerate(found, 1))
    report = Report(cover=money.WORKED, findings=listed[::-1], estimate=priced)
    page = dict(passage.PASSAGE.build(report, buyer.EDITION) or {})
    assert [row[0][:2] for row in page["by_finding"].table.rows] == ["1.", "2.", "3."]


def test_what_all_together_rather_come_to_stands_beside_the_likely_sum() -> None:
    """1 / 2 / 5 h have a mean of 2 1/3 h, so that half of all cases cost more than the likely figure."""
    page = _page(money.finding("a", money.repair("1 / 2 / 5")))
    assert page["rather"] == page["p50"]
    assert _amount(page["rather"]) > _amount(page["total"]["likely"])
    assert _page(money.finding("a", money.repair("1.9 / 2 / 2.1")))["rather"] == ""
    assert _page(money.BELLOWS)["rather"] == ""


def test_unpriced_items_are_linked() -> None:
    """How many the total leaves out, and which."""
    page = _page(money.BELLOWS, money.finding("bare"))
    assert page["unpriced"] == 1
    assert [r["anchor"] for r in page["unpriced_items"]] == ["bare"]


def test_report_without_costs_has_no_such_part() -> None:
    """No estimate, no heading."""
    assert passage.PASSAGE.build(Report(), buyer.EDITION) is None


@pytest.mark.parametrize(("survey", "told"), [("insurance", False), ("pre-purchase", True)])
def test_who_pays_is_told_where_there_is_a_deal(survey: str, told: bool) -> None:
    """An owner who asks for the insurer's sake pays alone: that nothing is agreed would mislead."""
    price = dataclasses.replace(money.price(), asking=None, offered=None, agreed=None)
    cover = dataclasses.replace(money.WORKED, survey=survey, price=price)
    found = Finding(id="a", severity="settle", repair=Repair(cost=units.Span(*[Decimal(9)] * 3)))
    listed = (ListedFinding(1, found),)
    report = Report(cover=cover, findings=listed, estimate=estimate.build((found,), cover, money.DAY))
    page = passage.PASSAGE.build(report, buyer.EDITION)
    assert page is not None
    assert bool(page["payers"]) == told


def test_finding_in_anothers_price_is_no_bar_without_a_price() -> None:
    """Its cost stands in the other's bar; `not priced` beside it would say that something is missing."""
    held = Finding(id="held", title="Held", severity="settle", repair=Repair(in_price_of=(money.BELLOWS.id,)))
    page = _page(money.BELLOWS, held)
    assert [row[0] for row in page["by_finding"].table.rows] == [f"1. {money.BELLOWS.title}"]
    assert not page["unpriced"]
