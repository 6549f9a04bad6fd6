"""The head of the page: which boat, which report, when and how, by whom, released or not."""

from __future__ import annotations

import dataclasses
import datetime

from reportgen.blocks.conditions import Conditions
from reportgen.blocks.cover import Release, ReplacedBy
from reportgen.blocks.people import People, Surveyor
from reportgen.blocks.vessel import BoatFacts, Vessel
from reportgen.editions import buyer, insurer, lender, seller
from reportgen.followup import FollowUp
from reportgen.model import Cover
from reportgen.passages import masthead
from reportgen.report import Report
from reportgen.valuation import Valuation

DAYS = (datetime.date(2026, 3, 1), datetime.date(2026, 3, 2))
COVER = Cover(
    vessel=Vessel("Quillback", "sailing yacht", found=BoatFacts("Pellam", "Sedge 24", built=2015)),
    people=People(surveyor=Surveyor("Ruth Halvane")),
    inspected=DAYS,
    conditions=(Conditions(state=("ashore",), weather="dry", place="Fennel Creek", sea_trial="no"),),
)


def _head(cover: Cover = COVER, edition: object = buyer.EDITION) -> dict[str, object]:
    return dict(masthead.PASSAGE.build(Report(cover=cover), edition))  # type: ignore[arg-type]


def test_boat_days_and_circumstances() -> None:
    """The first lines name the boat, what she is, and how the inspection was done."""
    head = _head()
    assert head["boat"] == "Quillback"
    assert head["facts"] == ["Pellam Sedge 24", "built 2015", "sailing yacht"]
    assert head["inspected"] == "1 and 2 March 2026"
    assert head["circumstances"] == ["ashore", "at Fennel Creek", "dry"]
    assert head["title"] == "Condition report"


def test_boat_without_a_name_is_named_by_maker_or_type() -> None:
    """There is always something to call her by."""
    unnamed = dataclasses.replace(COVER.vessel, name="")
    assert _head(dataclasses.replace(COVER, vessel=unnamed))["boat"] == "Pellam Sedge 24"
    assert _head(dataclasses.replace(COVER, vessel=Vessel(type="sailing yacht")))["boat"] == "sailing yacht"


def test_owner_who_wrote_it_makes_a_statement() -> None:
    """An owner's notes are no survey, and the title says so."""
    people = People(surveyor=Surveyor("Ruth Halvane", role="owner"))
    assert _head(dataclasses.replace(COVER, people=people))["title"] == "Owner's statement"


def test_surveyor_without_a_name_is_not_stated() -> None:
    """A missing name is told."""
    assert _head(dataclasses.replace(COVER, people=People()))["surveyor"] == "not stated"


def test_public_page_is_a_draft_until_released() -> None:
    """Without a release the public edition says that it is a draft; with one, by whom, to whom and when."""
    assert _head(edition=seller.EDITION)["draft"] is True
    release = Release(by="the owner", to="the public", on=DAYS[0])
    head = _head(dataclasses.replace(COVER, release=release), seller.EDITION)
    assert (head["draft"], head["release"]) == (
        False,
        {"by": "the owner", "to": "the public", "on": "1 March 2026"},
    )
    assert _head()["draft"] is False


def test_replaced_report_says_by_which() -> None:
    """The old version names the one in its place, its day, the reason and where to find it."""
    by = ReplacedBy("QB-1", 3, datetime.date(2026, 6, 1), "a serial was misread", "ask the surveyor")
    values = masthead.PASSAGE.build(Report(cover=Cover(replaced_by=by)), buyer.EDITION)
    assert values is not None
    assert values["replaced"] == {
        "number": "QB-1",
        "version": 3,
        "on": "1 June 2026",
        "why": "A serial was misread.",
        "where": "ask the surveyor",
    }


def test_addendum_names_its_report_and_scope() -> None:
    """What it adds to, and what alone it is about."""
    old = FollowUp(number="QB-1", version=2, inspected=(datetime.date(2026, 3, 1),))
    report = Report(cover=Cover(status="addendum", scope="the hose"), follow_up=old)
    values = masthead.PASSAGE.build(report, buyer.EDITION)
    assert values is not None
    assert values["addendum"] == "The hose."
    assert values["follows"] == {
        "number": "QB-1",
        "version": 2,
        "inspected": "1 March 2026",
        "revision": False,
    }


def test_title_promises_no_value_where_none_is_stated() -> None:
    """A lender reads the title first: without an opinion of value it is a condition report."""
    for to in (lender.EDITION, insurer.EDITION):
        assert "valuation" not in _head(edition=to)["title"]
        valued = masthead.PASSAGE.build(Report(cover=COVER, valuation=Valuation()), to)
        assert valued is not None
        assert "valuation" in valued["title"]


def test_firm_stands_beside_the_surveyor() -> None:
    """Whose name is over the door, as written; empty without one."""
    assert _head()["firm"] == ""
    people = People(surveyor=Surveyor("Ruth Halvane", firm="Halvane *Marine*"))
    assert _head(dataclasses.replace(COVER, people=people))["firm"] == "Halvane <em>Marine</em>"


def test_each_day_of_an_inspection_has_its_own_word_on_the_sea_trial() -> None:
    """Two days' reasons are not run together: each says which day it is of."""
    first, second = DAYS
    conditions = (
        Conditions(on=first, sea_trial="no, bracket cracked"),
        Conditions(on=second, sea_trial="yes, 20 minutes"),
    )
    head = _head(dataclasses.replace(COVER, conditions=conditions))
    assert head["sea_trial"] == "1 March 2026: no, bracket cracked; 2 March 2026: yes, 20 minutes"
    one = _head(dataclasses.replace(COVER, conditions=conditions[:1]))
    assert one["sea_trial"] == "no, bracket cracked"


def test_words_that_end_with_a_stop_get_no_second_one() -> None:
    """The page ends these lines itself."""
    day = Conditions(sea_trial="no, she was ashore.")
    head = _head(dataclasses.replace(COVER, made_for="the insurer. No sale.", conditions=(day,)))
    assert (head["made_for"], head["sea_trial"]) == ("the insurer. No sale", "no, she was ashore")
