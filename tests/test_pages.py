"""Pages: parts in order, charts drawn with ids of their own, titles and the site's index."""

from __future__ import annotations

import dataclasses
import datetime
import re
from typing import Any

import pytest
from markupsafe import Markup

from reportgen import pages
from reportgen.blocks.vessel import Vessel
from reportgen.chart import Chart, Table
from reportgen.edition import Edition
from reportgen.editions import buyer, seller
from reportgen.findings import UseLimit
from reportgen.model import Cover, Finding
from reportgen.photos import PublishedPhoto
from reportgen.report import LeftOut, ListedFinding, Report
from tests.money import DAY

COVER = Cover(vessel=Vessel("Quillback", "sailing yacht"), number="QB-1", inspected=(DAY,))
REPORT = Report(
    cover=COVER,
    findings=(ListedFinding(1, Finding(id="a", title="A", severity="stop")),),
    counted="One stop.",
)


def _page(report: Report = REPORT, edition: Edition = buyer.EDITION, **keys: Any) -> pages.Page:
    return pages.arrange(report, edition, keys.pop("pictures", {}), "0000 1111", **keys)[0]


def test_title_tells_boat_edition_and_number() -> None:
    """The tab says which report it is; a boat without a name goes by her type."""
    assert _page().title == "Quillback: Condition report, QB-1"
    unnamed = Report(cover=Cover(vessel=Vessel(type="sailing yacht"), number="7"))
    assert _page(unnamed).title == "sailing yacht: Condition report, 7"


def test_contents_list_each_part_but_the_head() -> None:
    """Anchors are the parts' names; what has nothing to say is not listed."""
    anchors = [anchor for anchor, _ in _page().contents]
    assert anchors[0] == "passage-use-limits"
    assert "passage-masthead" not in anchors
    assert "passage-estimate" not in anchors
    assert len(set(anchors)) == len(anchors)


def test_unknown_part_is_a_bug_of_ours() -> None:
    """An edition that names a part which does not exist fails at once."""
    with pytest.raises(KeyError):
        _page(edition=Edition("x", "X", "Y.", frozenset(), ("no_such_part",)))


def test_values_of_the_running_line() -> None:
    """What stands over the first printed sheet, and at the foot of each, of appendices too."""
    values = _page().values
    assert [values[k] for k in ("boat", "number", "edition", "inspected", "fingerprint")] == [
        *("Quillback", "QB-1", "buyer", "14 March 2026", "0000 1111"),
    ]
    feet = {page.foot for page in pages.arrange(REPORT, buyer.EDITION, {}, "0000 1111")}
    assert feet == {"Quillback, report QB-1, version 1, preliminary, buyer edition"}


def test_sizes_of_photos_are_given() -> None:
    """The page keeps the room of each photo before it is loaded."""
    picture = PublishedPhoto(b"", b"", 1600, 1200, 480, 360)
    known = {"width": 1600, "height": 1200, "small_width": 480, "small_height": 360}
    values = _page(pictures={"photo-01": picture}).values
    assert (values["sizes"], values["originals"]) == ({"photo-01": known | {"taken": ""}}, False)
    told = dataclasses.replace(
        picture, original="f00d", taken=datetime.datetime.fromisoformat("2026-03-05T08:04")
    )
    values = _page(pictures={"photo-01": told}).values
    assert values["sizes"] == {"photo-01": known | {"taken": "5 March 2026, 08:04,"}}
    assert values["originals"] is True


def _charts(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        own = [value] if "svg" in value else []
        return own + [c for item in value.values() for c in _charts(item)]
    return [c for item in value for c in _charts(item)] if isinstance(value, list | tuple) else []


def test_charts_become_pictures_with_their_table() -> None:
    """A chart is drawn as safe markup; without charts its table stands all the same."""
    [drawn] = _charts(_page().values)
    assert isinstance(drawn["svg"], Markup)
    assert drawn["svg"].startswith("<svg")
    [bare] = _charts(_page(charts=False).values)
    assert bare["svg"] == ""
    assert bare["rows"] == drawn["rows"] != ()


def test_two_charts_share_no_id() -> None:
    """Ids within the pictures of a page are each its own, or one would point into another."""
    table = Table(("Severity", "Findings"), (("stop", "1"),))
    a, b, c = (
        Chart("counts", "Findings", "One.", {"rows": ({"label": "stop", "count": 1},)}, table) for _ in "abc"
    )
    drawn = pages._Drawer(True).drawn([a, {"a": (b, c)}])
    ids = [i for c in _charts(drawn) for i in re.findall(r'\sid="([^"]+)"', c["svg"])]
    assert len(_charts(drawn)) == 3
    assert ids
    assert len(set(ids)) == len(ids)


def test_a_chart_is_drawn_once_whichever_pages_show_it() -> None:
    """Drawing takes most of the time of a report."""
    table = Table(("Severity", "Findings"), (("stop", "1"),))
    chart = Chart("counts", "Findings", "One.", {"rows": ({"label": "stop", "count": 1},)}, table)
    drawer = pages._Drawer(True)
    assert drawer.drawn([chart])[0] is drawer.drawn({"a": chart})["a"]


def test_days_in_a_charts_table_are_words() -> None:
    """A chart's axis may be short; its table reads as the page does, and a number of a part stays."""
    table = Table(("sample", "no."), (("2017-10-06", "PO-2017-10"),))
    drawn = pages._Drawer(False).drawn(Chart("trend", "Iron", "One.", {}, table))
    assert drawn["rows"] == [["6 October 2017", "PO-2017-10"]]


def test_entry_is_what_the_edition_shows() -> None:
    """Boat, number, day, counts and use limits of a report, for the list of a site."""
    limited = dataclasses.replace(
        REPORT, use_limits=(UseLimit("running it", ("a",)),), headline="One.", counted="One stop."
    )
    entry = pages.entry(limited, seller.EDITION, "quillback")
    assert (entry.folder, entry.boat, entry.number, entry.inspected) == (
        *("quillback", "Quillback", "QB-1", "14 March 2026"),
    )
    assert (entry.counted, entry.headline, entry.limits) == ("One stop.", "One.", ("running it",))
    assert (entry.worst, entry.day, entry.told) == ("stop", DAY, DAY)


def test_worst_is_of_what_still_is_to_do() -> None:
    """What is put right and checked no longer counts; what an edition only counts does."""
    done = ListedFinding(1, Finding(id="a", title="A", severity="stop"), state="checked")
    told = ListedFinding(2, Finding(id="b", title="B", severity="schedule"), state="reported done")
    seen = dataclasses.replace(REPORT, findings=(done, told))
    assert pages.entry(seen, buyer.EDITION, "x").worst == "schedule"
    hidden = dataclasses.replace(REPORT, findings=(done,), left_out=LeftOut((("watch", 2), ("sound", 1))))
    assert pages.entry(hidden, buyer.EDITION, "x").worst == "watch"
    assert pages.entry(dataclasses.replace(REPORT, findings=()), buyer.EDITION, "x").worst == ""


def test_private_pages_are_never_indexed() -> None:
    """Only the public edition may be found by a search engine."""
    assert not _page().public


@pytest.mark.parametrize(
    ("limits", "said"),
    [
        (("going under way with the port engine", "going under way"), ("going under way",)),
        (("Going under way", "going  under way at night"), ("Going under way",)),
        (("running the engine", "running the engine hatch fan"), None),
        (("running the engine", "running the engine without water"), None),
        (("going afloat", "running the engine"), None),
        (("going afloat",), None),
    ],
)
def test_list_of_a_site_says_no_limit_twice(limits: tuple[str, ...], said: tuple[str, ...] | None) -> None:
    """A limit that lies within a wider one is left to the report, which says every one of them."""
    assert pages.widest(limits) == (said or limits)
