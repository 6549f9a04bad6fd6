"""How the boat was left reaches every edition and the yard's printed list, with the last word on it."""

from __future__ import annotations

import datetime

import pytest
from bs4 import BeautifulSoup

from reportgen import pages, publish, racks, theme
from reportgen.blocks.conditions import Conditions
from reportgen.editions import yard
from reportgen.model import Cover
from reportgen.passages import left_as
from reportgen.report import Report

FIRST, LAST = datetime.date(2026, 6, 9), datetime.date(2026, 6, 10)
OFF = "battery cables *off*, with a tag on them"


def _report(*conditions: Conditions) -> Report:
    return Report(cover=Cover(inspected=(FIRST, LAST), conditions=conditions))


def test_what_was_not_left_in_a_way_is_not_told() -> None:
    """Notes that say nothing of it get no such part."""
    assert left_as.PASSAGE.build(_report(Conditions(FIRST)), yard.EDITION) is None
    assert left_as.PASSAGE.build(Report(), yard.EDITION) is None


@pytest.mark.parametrize(
    ("conditions", "day", "left"),
    [
        ((Conditions(left=(OFF,)),), "10 June 2026", ["Battery cables <em>off</em>, with a tag on them."]),
        ((Conditions(FIRST, left=(OFF,)), Conditions(LAST, left=("valve closed",))), "10 June 2026",
         ["Valve closed."]),
        ((Conditions(FIRST, left=("valve closed",)), Conditions(LAST)), "9 June 2026", ["Valve closed."]),
    ],
)  # fmt: skip
def test_last_word_on_it_counts(conditions: tuple[Conditions, ...], day: str, left: list[str]) -> None:
    """What a later day says stands in the place of an earlier one; each thing is a sentence."""
    assert left_as.PASSAGE.build(_report(*conditions), yard.EDITION) == {"day": day, "left": left}


@pytest.mark.parametrize("name", racks.names("editions"))
def test_every_edition_tells_it(name: str) -> None:
    """Whoever comes aboard reads it, after the first glance and before the findings."""
    edition = publish.edition_named(name)
    order = [passage.name for passage in pages.in_order(edition)]
    assert order.index("at_a_glance") < order.index("left_as") < order.index("findings")
    [page, *_] = pages.arrange(_report(Conditions(LAST, left=(OFF,))), edition, {}, "0000")
    html = BeautifulSoup(theme.render(page, theme.find()), "html5lib")
    [part] = html.select("#passage-left-as")
    assert [li.get_text() for li in part.select("li")] == ["Battery cables off, with a tag on them."]
    assert "Leave it so until" in part.get_text()
