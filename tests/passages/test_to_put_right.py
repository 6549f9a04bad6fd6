"""The table for who decides by the report: what asks for work, by when, and how far it is."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from reportgen.blocks.finding import Checked, ReportedDone
from reportgen.editions import lender
from reportgen.model import Finding
from reportgen.passages import to_put_right
from reportgen.report import ListedFinding, Report

DAY = datetime.date(2026, 3, 2)


def _values(*findings: Finding) -> dict[str, Any]:
    listed = tuple(ListedFinding(n, f, f.state) for n, f in enumerate(findings, 1))
    return dict(to_put_right.PASSAGE.build(Report(findings=listed), lender.EDITION) or {})


def test_row_tells_by_when_on_what_it_rests_and_since_when() -> None:
    """A date is printed, words stand as written, and what the notes leave out is said."""
    first = Finding(
        id="a",
        title="Hose *cracked*",
        severity="stop",
        by_when=DAY,
        basis="required by law",
        standard="33 CFR 183.558",
        first_reported=datetime.date(2024, 6, 1),
    )
    rows = _values(first, Finding(id="b", title="B", severity="schedule"))["rows"]
    assert (rows[0]["title"], rows[0]["ref"], rows[0]["anchor"]) == ("Hose cracked", 1, "a")
    assert (rows[0]["by_when"], rows[0]["basis"]) == ("2 March 2026", "required by law")
    assert (rows[0]["standard"], rows[0]["first_reported"]) == ("33 CFR 183.558", "1 June 2024")
    assert (rows[1]["by_when"], rows[1]["basis"], rows[1]["state"]) == ("not stated", "not stated", "open")


@pytest.mark.parametrize("severity", ["watch", "sound"])
def test_what_asks_for_no_work_is_no_row(severity: str) -> None:
    """A line in this table is taken for a condition, so only what asks for work is in it."""
    assert _values(Finding(id="a", severity=severity))["rows"] == []


def test_reported_done_is_still_to_be_put_right() -> None:
    """Only a check takes a finding out of the table; it is then named with the day of the check."""
    done = Finding(id="a", severity="stop", reported_done=ReportedDone(on=DAY))
    checked = Finding(
        id="b",
        severity="settle",
        reported_done=ReportedDone(on=DAY),
        checked=Checked(on=datetime.date(2026, 3, 9)),
    )
    values = _values(done, checked)
    assert [(r["anchor"], r["state"], r["on"]) for r in values["rows"]] == [
        ("a", "reported done", "2 March 2026")
    ]
    assert [(r["anchor"], r["on"]) for r in values["done"]] == [("b", "9 March 2026")]
    assert values["reported"]


def test_stop_without_a_date_tells_what_it_forbids() -> None:
    """By when a stop has to be put right is known by what must not be done until then."""
    row = _values(Finding(id="a", severity="stop", forbids=("sailing", "*lifting*")))["rows"][0]
    assert row["by_when"] == "Must not be done: sailing; lifting"
