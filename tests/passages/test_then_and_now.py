"""Earlier findings and readings in full, beside what is found now."""

from __future__ import annotations

import datetime
from dataclasses import replace

from reportgen.beside import Beside, Compared
from reportgen.editions import buyer
from reportgen.followup import Account, Change, FollowUp
from reportgen.model import Past, Reading
from reportgen.passages import then_and_now
from reportgen.report import JudgedReading, Report

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


def test_two_readings_of_one_survey_say_when_they_were_taken() -> None:
    """Their conditions stand as then and now, since neither has a day; an earlier report has its own."""
    here = replace(BOTH, before="august", past=())
    taken = tuple(
        JudgedReading(Reading(id=id, conditions=words))
        for id, words in (("august", "18 August, warm"), ("cylinders", "10 September, after the work"))
    )
    for compared, then in ((here, "18 August, warm"), (BOTH, "")):
        values = then_and_now.PASSAGE.build(Report(compared=(compared,), readings=taken), buyer.EDITION)
        assert values is not None
        [shown] = values["compared"]
        assert (shown["then_taken"], shown["now_taken"]) == (then, "10 September, after the work")


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
