"""The seller's edition: a public disclosure with the surveyor's name, the place, and nothing of the deal."""

from __future__ import annotations

import pytest

from reportgen import edition, hullnumber, pages, siteindex, theme
from reportgen.blocks.cover import Release
from reportgen.blocks.vessel import BoatFacts, Engine, Vessel
from reportgen.editions.seller import EDITION
from reportgen.errors import Problems
from reportgen.identity import HullNumberLine, SerialLine
from reportgen.model import Cover
from reportgen.pages import Entry
from reportgen.report import Report
from tests.money import DAY

HULL = "ZZQ41207C515"


def _shown(**keys: object) -> Report:
    facts = BoatFacts(hull_number=HULL, registration="ID 4409 ZZ", engines=(Engine(serial="TB8-220961"),))
    lines = (HullNumberLine("hull number", HULL, HULL, True), SerialLine("registration", None, "ID 4409 ZZ"))
    number = hullnumber.read(HULL, latest=DAY)
    whole = Report(cover=Cover(vessel=Vessel(found=facts), **keys), hull_number=number, identity=lines)  # type: ignore[arg-type]
    return edition.view(whole, EDITION, Problems())


def test_only_surveyor_and_place_are_shown() -> None:
    """Besides what every edition shows; numbers are masked, findings in order left out, all public."""
    assert EDITION.shows == {"surveyor", "place"}
    assert EDITION.masked == {"hull number", "serial"}
    assert EDITION.leaves_out == {"sound"}
    assert EDITION.public
    assert not {"estimate", "settlement", "valuation"} & set(EDITION.passages)


def test_numbers_are_masked_wherever_they_stand() -> None:
    """Maker code and dates of the hull number stay, of others the last two signs."""
    shown = _shown()
    found = shown.cover.found
    assert found.hull_number == "ZZQ•••••C515"
    assert found.registration == "•• •••• ZZ"
    assert found.engines[0].serial == "•••-••••61"
    assert shown.hull_number is not None
    assert (shown.hull_number.text, shown.hull_number.serial) == ("ZZQ•••••C515", "•••••")
    assert shown.identity[0].found == "ZZQ•••••C515"
    assert shown.identity[1].found == "•• •••• ZZ"
    assert "41207" not in repr(shown)


@pytest.mark.parametrize("released", [True, False])
def test_page_may_be_indexed_only_once_released(released: bool) -> None:
    """A draft asks search engines to stay away; so does the list of reports while one of them is a draft."""
    shown = _shown(release=Release("the owner", "public", DAY) if released else None)
    assert pages.arrange(shown, EDITION, {}, "0000", charts=False)[0].public is released
    entries = [pages.entry(shown, EDITION, "a"), Entry("b", "B", "", "", "", "", "", (), released=True)]
    listed = dict(siteindex.made(entries, EDITION, theme.find()))["index.html"].decode()
    assert ("noindex" not in listed) is released
    assert ("Not released: draft for the owner." not in listed) is released
