"""Earlier findings and readings in full, beside what is found now."""

from __future__ import annotations

import datetime

from reportgen.beside import Beside, Compared
from reportgen.editions import buyer
from reportgen.followup import Account, Change, FollowUp
from reportgen.model import Past
from reportgen.passages import then_and_now
from reportgen.report import Report

DAY = datetime.date(2026, 5, 2)
BOTH = Compared(
    "cylinders",
    "earlier/cylinders",
    "Cylinders",
    "Compression",
    "main",
    (Past(DAY, "AL-11", "outside"),),
    "outside",
    "within",
    (
        Beside("cylinders", "1", "101 psi", "149 psi", "+48 psi", "cylinder 1"),
        Beside("wet", "1", "105 psi", "not taken", called="wet, cylinder 1"),
    ),
)


def test_values_of_both_days() -> None:
    """Each value with what it was, is, and by how much it changed; whose day and report the old one is."""
    values = then_and_now.PASSAGE.build(Report(compared=(BOTH,)), buyer.EDITION)
    assert values is not None
    (shown,) = values["compared"]
    assert (shown["on"], shown["number"]) == ("2 May 2026", "AL-11")
    assert [(v["name"], v["then"], v["now"], v["change"]) for v in shown["values"]] == [
        ("cylinder 1", "101 psi", "149 psi", "+48 psi"),
        ("wet, cylinder 1", "105 psi", "not taken", ""),
    ]
    assert values["accounts"] == []


def test_changes_of_a_finding() -> None:
    """A severity or a place that is said otherwise now stands with both words."""
    account = Account(
        "hose", 1, "Hose", "stop", "open", "still open", changes=(Change("severity", "stop", "watch"),)
    )
    values = then_and_now.PASSAGE.build(
        Report(follow_up=FollowUp(number="AL-11", accounts=(account,))), buyer.EDITION
    )
    assert values is not None
    (shown,) = values["accounts"]
    assert shown["changes"] == [{"key": "severity", "then": "stop", "now": "watch"}]
    assert shown["became"] == "still open"


def test_nothing_repeated_nothing_said() -> None:
    """A report without an earlier one and without a retest has no such page."""
    assert then_and_now.PASSAGE.build(Report(), buyer.EDITION) is None
