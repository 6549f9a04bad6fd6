"""How the sums come about: each finding's and payer's share adds up as printed, charts with their tables."""

from __future__ import annotations

import dataclasses
from decimal import Decimal
from typing import Any

from reportgen import estimate
from reportgen.chart import Chart
from reportgen.editions import buyer
from reportgen.model import Finding
from reportgen.passages import workings
from reportgen.report import ListedFinding, Report
from tests import money


def _page(*found: Finding) -> dict[str, Any]:
    priced = estimate.build(found, money.WORKED, money.DAY)
    listed = tuple(ListedFinding(n, f) for n, f in enumerate(found, 1))
    report = Report(cover=money.WORKED, findings=listed, estimate=priced)
    return dict(workings.PASSAGE.build(report, buyer.EDITION) or {})


def _amount(text: str) -> Decimal:
    return Decimal(text.replace("$", "").replace(",", ""))


def test_shares_of_a_finding_add_up_to_its_printed_figure() -> None:
    """As worked by hand in test_estimate: the bellows come to 921.76, with 2.8043 h of 7.3."""
    page = _page(money.BELLOWS, money.BEARING, money.RISERS)
    bellows = page["items"][0]
    assert bellows["likely"] == "$921.76"
    assert bellows["hours"] == "1.5 h + 0.6522 × 2 h drive off"
    for item in page["items"]:
        assert sum(_amount(line["amount"]) for line in item["lines"]) == _amount(item["likely"])


def test_findings_of_a_payer_add_up_to_the_payers_printed_figure() -> None:
    seller = dataclasses.replace(money.BELLOWS, pays=money.SELLER)
    page = _page(seller, money.BEARING, dataclasses.replace(money.RISERS, pays=money.SELLER))
    assert [payer["name"] for payer in page["payers"]] == ["seller", "not agreed"]
    for payer in page["payers"]:
        assert sum(_amount(f["amount"]) for f in payer["paid"]) == _amount(payer["likely"])


def test_a_fixed_cost_is_not_named_twice() -> None:
    """A fixed cost bears its finding's title, which stands before its list already."""
    found = money.finding("tires", money.repair(cost="504.00", tax=Decimal(6)))
    [item] = _page(found)["items"]
    assert [(line["what"], line["amount"]) for line in item["lines"]] == [
        ("fixed cost", "$504.00"),
        ("tax on it", "$30.24"),
    ]
    assert item["deviation"] == ""


def test_each_payer_has_a_bar() -> None:
    rows = _page(dataclasses.replace(money.BELLOWS, pays=money.SELLER), money.BEARING)["by_payer"].data[
        "rows"
    ]
    assert [row["label"] for row in rows] == ["seller", "not agreed"]


def test_trades_and_kinds_of_cost_add_up_to_the_total() -> None:
    chart = _page(money.BELLOWS, money.BEARING, money.RISERS)["by_trade"]
    assert isinstance(chart, Chart)
    assert [row[0] for row in chart.table.rows][:2] == ["labour", "parts"]
    assert sum(_amount(row[2]) for row in chart.table.rows) == Decimal("3110.75")


def test_where_the_total_may_lie_is_drawn_with_its_marks_and_table() -> None:
    """Only where something is uncertain; the table's shares add up, the unpriced are counted beside it."""
    assert _page(money.BELLOWS)["spread"] is None
    chart = _page(money.finding("a", money.repair("1 / 2 / 5")), money.finding("bare"))["spread"]
    assert chart.form == "histogram"
    assert [mark["label"].split()[0] for mark in chart.data["marks"]] == ["likely", "P10", "P50", "P90"]
    assert abs(sum(float(row[1].rstrip(" %")) for row in chart.table.rows) - 100) < 1.5
    assert "1 item without a price left out" in chart.alt


def test_rates_and_terms_stand_in_words() -> None:
    terms = {str(name): str(said) for name, said in _page(money.BELLOWS)["terms"]}
    assert terms["Labour"] == "$135.00 an hour"
    assert terms["Supplies"] == "7 % of labour, not above $75.00 a visit"
    assert terms["Tax"].startswith("6.5 % on parts and supplies, 0 % on labour")


def test_report_without_costs_has_no_such_page() -> None:
    assert workings.PASSAGE.build(Report(), buyer.EDITION) is None
