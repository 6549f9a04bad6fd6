"""The sheet on which the owner says what was done: every open recommendation, nothing ticked."""

from __future__ import annotations

import dataclasses
import datetime

from reportgen.blocks.finding import Checked, ReportedDone
from reportgen.editions import buyer, seller
from reportgen.model import Finding
from reportgen.passages import closing_out
from reportgen.report import ListedFinding, Report

DAY = datetime.date(2026, 5, 4)
DONE = ReportedDone("yard", DAY, "renewed", "I-7")


def _listed(ref: int, severity: str, **keys: object) -> ListedFinding:
    finding = dataclasses.replace(Finding(id=f"f{ref}", title=f"F{ref}", severity=severity), **keys)  # type: ignore[arg-type]
    return ListedFinding(ref, finding, finding.state)


REPORT = Report(
    findings=(
        _listed(1, "stop", forbids=("going out",), action="renew it"),
        _listed(2, "settle", reported_done=DONE),
        _listed(3, "schedule", checked=Checked("R. Halvane", DAY, "seen")),
        _listed(4, "watch"),
        _listed(5, "sound"),
    )
)


def test_every_open_recommendation_and_no_other() -> None:
    """What asks for work and is not checked; what is checked is listed as closed, the rest is no work."""
    values = closing_out.PASSAGE.build(REPORT, buyer.EDITION)
    assert values is not None
    assert [i["ref"] for i in values["items"]] == ["1", "2"]
    assert [(c["ref"], c["by"], c["on"]) for c in values["closed"]] == [("3", "R. Halvane", "4 May 2026")]
    assert values["items"][0]["forbids"] == ["going out"]
    assert values["items"][0]["action"] == "Renew it."


def test_reported_done_is_printed_not_ticked() -> None:
    """Who did it, when and on what invoice stand as told; whether it is done stays the owner's to say."""
    values = closing_out.PASSAGE.build(REPORT, buyer.EDITION)
    assert values is not None
    assert values["items"][1]["done"] == {
        "by": "yard",
        "on": "4 May 2026",
        "how": "Renewed.",
        "invoice": "I-7",
    }
    assert values["items"][0]["done"] is None
    assert not [key for item in values["items"] for key in item if "tick" in key]


def test_only_for_readers_whose_edition_lists_it() -> None:
    """The public page has no such sheet, and where nothing is open there is none either."""
    assert closing_out.PASSAGE.build(REPORT, seller.EDITION) is None
    assert closing_out.PASSAGE.build(Report(findings=REPORT.findings[2:]), buyer.EDITION) is None
