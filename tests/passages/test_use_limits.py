"""What must not be done: each limit with its reasons, what waits for a check, what was lifted."""

from __future__ import annotations

import datetime

from reportgen.editions import seller
from reportgen.findings import Lifted, UseLimit
from reportgen.model import Finding
from reportgen.passages import use_limits
from reportgen.report import ListedFinding, Report

A, B = Finding(id="a", title="Riser *worn*", severity="stop"), Finding(id="b", title="Hose", severity="stop")
LISTED = (ListedFinding(1, A), ListedFinding(2, B))


def test_each_limit_names_its_reasons() -> None:
    """A limit links to the findings that forbid it, and says which of them are only reported done."""
    report = Report(findings=LISTED, use_limits=(UseLimit("running it", ("a", "b"), ("", ""), ("b",)),))
    values = use_limits.PASSAGE.build(report, seller.EDITION)
    assert values is not None
    [limit] = values["limits"]
    assert limit["what"] == "running it"
    assert [(r["anchor"], r["ref"], r["title"], r["awaiting"]) for r in limit["because"]] == [
        ("a", "1", "Riser worn", False),
        ("b", "2", "Hose", True),
    ]


def test_lifted_limit_stays_listed_with_its_day() -> None:
    """What a check has lifted is told with its date and with what still forbids the same."""
    day = datetime.date(2026, 3, 14)
    report = Report(findings=LISTED, lifted=(Lifted("running it", "a", "Riser", day, ("b",)),))
    values = use_limits.PASSAGE.build(report, seller.EDITION)
    assert values is not None
    [lifted] = values["lifted"]
    assert lifted["on"] == "14 March 2026"
    assert lifted["because"]["anchor"] == "a"
    assert [r["anchor"] for r in lifted["still"]] == ["b"]


def test_without_limits_the_headline_is_there() -> None:
    """The page is never silent on use limits."""
    values = use_limits.PASSAGE.build(Report(headline="No use limit was found."), seller.EDITION)
    assert values == {"headline": "No use limit was found.", "limits": [], "lifted": []}
