"""Every edition of the rack: known categories, known passages, and what no edition may drop."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Mapping

import pytest

from reportgen import asjson, pages, racks
from reportgen.edition import FLOOR_SEVERITIES, NEVER, Edition
from reportgen.passage import Passage
from reportgen.report import Report
from tests import made
from tests.test_edition import SHARES

EDITIONS: Mapping[str, Edition] = racks.all_of("editions", "EDITION")
PASSAGES: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
# Categories with which a public page would tell whose boat it is, where she lies, or what the deal is.
NOT_FOR_THE_PUBLIC = {
    *("people", "contact", "exact place", "price", "deal", "payer", "cost", "rates", "identity"),
    *("hull number", "serial"),
}


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Give the report with everything in it."""
    return made.full(tmp_path_factory.mktemp("editions"))


@pytest.mark.parametrize("name", EDITIONS)
def test_edition_names_what_there_is(name: str) -> None:
    """Its name is its file's; its categories and passages exist; nothing is shown and masked at once."""
    it = EDITIONS[name]
    assert it.name == name
    assert it.title
    assert it.reader.endswith(".")
    assert it.shows | it.masked <= SHARES - NEVER
    assert not it.shows & it.masked
    assert set(it.passages) <= set(PASSAGES)
    assert len(set(it.passages)) == len(it.passages)


@pytest.mark.parametrize("name", EDITIONS)
def test_edition_keeps_the_floor(name: str) -> None:
    """It leaves no stop finding out and lists the parts that protect in a place of its own choice."""
    it = EDITIONS[name]
    assert not it.leaves_out & FLOOR_SEVERITIES
    assert {n for n, p in PASSAGES.items() if p.floor} <= set(it.passages)
    assert it.passages[:2] == ("masthead", "use_limits")
    assert "exact place" not in it.shows


@pytest.mark.parametrize("name", EDITIONS)
def test_public_edition_hides_whose_boat_it_is(name: str) -> None:
    """A public page lists no category that tells people, places, prices or full numbers."""
    if EDITIONS[name].public:
        assert not EDITIONS[name].shows & NOT_FOR_THE_PUBLIC


@pytest.mark.parametrize("name", EDITIONS)
def test_same_protection_in_every_edition(full: Report, name: str) -> None:
    """Use limits, cautions, stop findings and gaps are the same as in the whole report."""
    shown = made.shown(full, EDITIONS[name])
    assert [u.what for u in shown.use_limits] == [u.what for u in full.use_limits]
    assert [(c.hazard, c.text, c.do) for c in shown.cautions] == [
        (c.hazard, c.text, c.do) for c in full.cautions
    ]
    stops = [[f.finding.id for f in r.findings if f.finding.severity == "stop"] for r in (shown, full)]
    assert stops[0] == stops[1]
    assert stops[0]
    assert [g.part for g in shown.not_inspected] == [g.part for g in full.not_inspected]
    assert shown.headline == full.headline


@pytest.mark.parametrize("name", EDITIONS)
def test_data_and_page_are_of_that_edition(full: Report, name: str) -> None:
    """report.json says which edition it is, and the page's parts stand in the edition's order."""
    shown = made.shown(full, EDITIONS[name])
    assert json.loads(asjson.text(asjson.document(shown, EDITIONS[name])))["edition"] == name
    page, *_ = pages.arrange(shown, EDITIONS[name], {}, "0000", charts=False)
    order = [p["name"] for p in page.values["passages"]]
    assert order == [n for n in EDITIONS[name].passages if n in order]


def test_hostile_edition_still_has_every_part_that_protects(full: Report) -> None:
    """An edition that lists no passage, or one twice, gets the missing ones and no part twice."""
    for passages in ((), ("findings", "findings"), ("about",)):
        it = dataclasses.replace(EDITIONS["seller"], passages=passages)
        page, *_ = pages.arrange(made.shown(full, it), it, {}, "0000", charts=False)
        names = [p["name"] for p in page.values["passages"]]
        assert {n for n, p in PASSAGES.items() if p.floor} <= set(names)
        assert len(set(names)) == len(names)
