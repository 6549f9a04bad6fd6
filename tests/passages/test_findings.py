"""Findings worst first, each with what it rests on, its cost, and what has been done about it."""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

import pytest

from reportgen.blocks.finding import Checked, ReportedDone
from reportgen.chart import Chart
from reportgen.editions import buyer
from reportgen.estimate import Estimate
from reportgen.model import Cover, Finding
from reportgen.passages import findings
from reportgen.report import Cost, ListedFinding, Report
from tests import money

DAY = datetime.date(2026, 3, 14)


def _page(*found: Finding, **keys: Any) -> dict[str, Any]:
    listed = tuple(ListedFinding(n, f, f.state, **keys) for n, f in enumerate(found, 1))
    cover = Cover(price=money.price())
    return dict(findings.PASSAGE.build(Report(cover=cover, findings=listed), buyer.EDITION) or {})


def _one(finding: Finding, **keys: Any) -> dict[str, Any]:
    values: dict[str, Any] = _page(finding, **keys)["groups"][0]["findings"][0]
    return values


def test_groups_stand_worst_first() -> None:
    """One group a severity that has findings, with what the word means."""
    page = _page(*(Finding(id=s, severity=s) for s in ("sound", "watch", "stop")))
    assert [g["severity"] for g in page["groups"]] == ["stop", "watch", "sound"]
    assert all(g["means"] for g in page["groups"])


def test_counts_chart_has_the_open_ones_and_the_checked() -> None:
    """The chart counts by severity what is still asked for, and apart what was put right."""
    done = Finding(id="b", severity="stop", checked=Checked("R", DAY, "seen"))
    chart = _page(Finding(id="a", severity="stop"), done)["chart"]
    assert isinstance(chart, Chart)
    assert {row["label"]: row["count"] for row in chart.data["rows"] if row["count"]} == {
        "stop": 1,
        "checked": 1,
    }
    assert _page()["chart"] is None


def test_what_is_missing_is_not_stated() -> None:
    """Risk, action, basis and confidence of grave findings are never silently empty; sound ones need none."""
    grave = _one(Finding(id="a", severity="settle"))
    assert {grave[k] for k in ("risk", "action", "basis", "sure")} == {"not stated"}
    sound = _one(Finding(id="a", severity="sound"))
    assert {sound[k] for k in ("risk", "action", "basis", "sure")} == {""}


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("measured", "Measured"),
        ("seen", "Seen"),
        ("suspected", "Suspected until opened up"),
        ("told", "Told by others, not seen by the surveyor"),
    ],
)
def test_fact_opinion_and_hearsay_read_differently(word: str, says: str) -> None:
    """How sure a finding is stands in words."""
    assert _one(Finding(id="a", severity="settle", confidence=word))["sure"] == says


@pytest.mark.parametrize(
    ("pays", "says"),
    [
        (None, ""),
        ({"seller": Decimal(100)}, "the seller"),
        ({"seller": Decimal(60), "buyer": Decimal(40)}, "the seller 60 % and the buyer 40 %"),
    ],
)
def test_who_pays_is_told_in_words(pays: Any, says: str) -> None:
    """Shares in percent, or one payer."""
    assert _one(Finding(id="a", severity="settle", pays=pays))["pays"] == says


def test_cost_and_work_are_printed() -> None:
    """Sums in the survey's currency, hours with their range, parts with count and price."""
    work = money.repair("2 / 2.5 / 4", "290 / 340 / 420", needs=("drive off",))
    shown = _one(
        Finding(id="a", severity="settle", repair=work), cost=Cost(*map(Decimal, ("5.00", "6.00", "9.50")))
    )
    repair = shown["repair"]
    assert [repair[k] for k in ("low", "likely", "high", "fixed")] == ["$5", "$6", "$10", False]
    assert repair["labour"] == "2 h to 4 h, likely 2.5 h"
    each = "$290.00 to $420.00, likely $340.00"
    assert repair["parts"] == [{"what": "part", "number": "", "count": 1, "each": each}]
    assert repair["needs"] == ["drive off"]
    assert _one(Finding(id="a", severity="settle"))["repair"] is None


@pytest.mark.parametrize("same", [True, False])
def test_page_says_when_one_did_and_checked_it(same: bool) -> None:
    """That one person did the work and checked it is told, also where the edition hides the name."""
    done, check = ReportedDone(by="", on=DAY), Checked("Ruth Halvane", DAY, "run")
    shown = _one(Finding(id="a", severity="settle", reported_done=done, checked=check), same_hand=same)
    assert shown["checked"]["same_hand"] is same
    assert shown["done"]["on"] == "14 March 2026"


@pytest.mark.parametrize(
    ("unpriced", "said"),
    [((), "comes first, then the dearest."), (("b",), "then what has no price yet, then the dearest.")],
)
def test_the_order_is_told_where_numbers_jump(unpriced: tuple[str, ...], said: str) -> None:
    """Numbers 2, 1: the page says what they follow, and that what has no price stands before the priced."""
    listed = tuple(ListedFinding(n, Finding(id=id, severity="settle")) for n, id in ((2, "b"), (1, "a")))
    made = Report(findings=listed, estimate=Estimate(unpriced_ids=unpriced))
    page = dict(findings.PASSAGE.build(made, buyer.EDITION) or {})
    assert said in page["renumbered"]
