"""What became of the earlier report's findings, on the page."""

from __future__ import annotations

import datetime
import re

from reportgen.editions import buyer
from reportgen.followup import BECAME, Account, FollowUp
from reportgen.model import Cover, Finding
from reportgen.passages import follow_up
from reportgen.report import ListedFinding, Report
from tests.project import TOP

DAY = datetime.date(2026, 5, 4)
OLD = FollowUp(
    number="AL-11",
    inspected=(datetime.date(2026, 5, 2),),
    reported=DAY,
    edition="seller",
    left_out=(("sound", 3),),
    accounts=(
        Account("hose", 1, "Hose", "stop", "open", "still open", since=DAY, now="stop"),
        Account("pump", 2, "Pump", "settle", "open", "withdrawn", since=DAY, by="R", why="it runs", on=DAY),
        Account(
            "seal", 3, "Seal", "stop", "open", "not looked at again", datetime.date(2024, 1, 5), now="watch"
        ),
    ),
    new=("belt",),
)
REPORT = Report(
    cover=Cover(scope="the hose"),
    findings=(
        ListedFinding(1, Finding(id="hose", title="Hose")),
        ListedFinding(4, Finding(id="belt", title="Belt")),
    ),
    follow_up=OLD,
)


def test_each_group_has_its_findings() -> None:
    """In the order of the words, with a link only to what this report lists."""
    values = follow_up.PASSAGE.build(REPORT, buyer.EDITION)
    assert values is not None
    told = [(g["became"], [(a["ref"], a["anchor"]) for a in g["accounts"]]) for g in values["groups"]]
    assert told == [
        ("still open", [("1", "hose")]),
        ("not looked at again", [("3", "")]),
        ("withdrawn", [("2", "")]),
    ]
    assert [n["title"] for n in values["new"]] == ["Belt"]
    assert (values["left_out"], values["edition"], values["first"]) == ("3 sound", "seller", "4 May 2026")
    assert values["scope"] == "The hose."


def test_older_days_and_other_severities_are_said() -> None:
    """Since when, where it is longer than the earlier report; what it was and is, where that differs."""
    values = follow_up.PASSAGE.build(REPORT, buyer.EDITION)
    assert values is not None
    hose, seal, pump = (g["accounts"][0] for g in values["groups"])
    assert (hose["longer"], hose["now"], hose["since"]) == (False, "", "4 May 2026")
    assert (seal["longer"], seal["now"], seal["since"]) == (True, "watch", "5 January 2024")
    assert (pump["by"], pump["why"], pump["on"]) == ("R", "It runs.", "4 May 2026")


def test_nothing_followed_nothing_said() -> None:
    """A first report has no such part."""
    assert follow_up.PASSAGE.build(Report(), buyer.EDITION) is None


def test_template_has_words_for_all_that_can_become() -> None:
    """No word for what became of a finding is missing on the page, and none is there in vain."""
    text = (TOP / "themes/base/passages/follow_up.html").read_text(encoding="utf-8")
    said = text[text.index("{% set says") : text.index("} %}")]
    assert tuple(re.findall(r'^  "([^"]+)":', said, re.MULTILINE)) == BECAME
