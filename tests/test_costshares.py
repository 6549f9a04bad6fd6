"""Shares of the estimate by finding, payer and severity: they add up, and what has no price is counted."""

from __future__ import annotations

from decimal import Decimal

from reportgen import costshares
from reportgen.bill import Row
from reportgen.costshares import FindingCost, SeverityCost, Share

A, B = ("a", "seller"), ("b", "buyer")
ROWS = (
    Row("labour", "labour", "Labour", Decimal("100.00"), {A: Decimal(3), B: Decimal(1)}),
    Row("parts", "parts", "Parts", Decimal("0.01"), {A: Decimal(1), B: Decimal(1)}),
)


def test_every_line_is_shared_to_the_cent() -> None:
    """3 to 1 of 100.00; of one cent the first gets all, and the other has no line of it."""
    assert costshares.share_out(ROWS, 2) == {
        "a": {"seller": Decimal("75.01")},
        "b": {"buyer": Decimal("25.00")},
    }
    assert costshares.by_line(ROWS, 2) == {
        "a": [("Labour", Decimal("75.00")), ("Parts", Decimal("0.01"))],
        "b": [("Labour", Decimal("25.00"))],
    }


def test_two_payers_of_one_finding_share_it_as_they_share_its_lines() -> None:
    both = {("a", "seller"): Decimal(2), ("a", "buyer"): Decimal(1)}
    rows = (
        Row("labour", "labour", "Labour", Decimal("90.00"), both),
        Row("parts", "parts", "Parts", Decimal("10.00"), {("a", "buyer"): Decimal(1)}),
    )
    assert costshares.share_out(rows, 2) == {"a": {"seller": Decimal("60.00"), "buyer": Decimal("40.00")}}
    assert costshares.by_line(rows, 2) == {"a": [("Labour", Decimal("90.00")), ("Parts", Decimal("10.00"))]}


def test_findings_are_added_up_by_group_in_order() -> None:
    """A group without findings is left out; one without any price is there with nothing and its count."""
    costs = (
        FindingCost("a", low=Decimal(1), likely=Decimal(2), high=Decimal(4)),
        FindingCost("b", low=Decimal(10), likely=Decimal(20), high=Decimal(40), unpriced=True),
        FindingCost("c", unpriced=True),
    )
    found = costshares.by_group(("stop", "stop", "watch"), costs, ("watch", "settle", "stop"), 2)
    assert found == (
        Share("watch", Decimal("0.00"), Decimal("0.00"), Decimal("0.00"), 1),
        Share("stop", Decimal(11), Decimal(22), Decimal(44), 1),
    )
    assert costshares.totals(found) == (
        SeverityCost("watch", Decimal(0), Decimal(0), Decimal(0), 1),
        SeverityCost("stop", Decimal(11), Decimal(22), Decimal(44), 1),
    )
    assert SeverityCost() == SeverityCost("", Decimal(0), Decimal(0), Decimal(0), 0)
    assert Share() == Share("", Decimal(0), Decimal(0), Decimal(0), 0)
