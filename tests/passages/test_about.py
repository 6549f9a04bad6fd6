"""What the report is and is not, what the edition leaves out, and whom to ask."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from reportgen.blocks.deal import Price
from reportgen.blocks.people import People, Surveyor
from reportgen.edition import Edition
from reportgen.editions import buyer, lender, seller, yard
from reportgen.estimate import Estimate
from reportgen.model import Cover
from reportgen.passage import edition_named
from reportgen.passages import about
from reportgen.report import LeftOut, Report

COVER = Cover(
    number="QB-1",
    version=2,
    status="revised",
    reported=datetime.date(2026, 3, 4),
    people=People(surveyor=Surveyor("Ruth Halvane", contact="ruth@example.com")),
)


def test_number_version_status_and_age() -> None:
    """What a reader needs to ask for the right report."""
    report = Report(cover=COVER, age_days=4, counted_on=datetime.date(2026, 3, 5))
    values = about.PASSAGE.build(report, buyer.EDITION)
    assert values is not None
    assert [
        values[k] for k in ("number", "version", "status", "edition", "reported", "counted_on", "age_days")
    ] == [
        *("QB-1", 2, "revised", "buyer", "4 March 2026", "5 March 2026", 4),
    ]
    assert (values["surveyor"], values["contact"]) == ("Ruth Halvane", "ruth@example.com")


@pytest.mark.parametrize(
    ("survey", "edition", "named"),
    [
        ("pre-purchase", "buyer", "buyer"),
        ("insurance", "buyer", "client"),
        ("damage", "buyer", "client"),
        ("insurance", "insurer", "insurer"),
    ],
)
def test_who_sells_nothing_is_no_buyer(survey: str, edition: str, named: str) -> None:
    """The fullest edition of a survey for insurance or after damage is the client's."""
    assert edition_named(Report(cover=replace(COVER, survey=survey)), edition) == named
    priced = replace(COVER, survey=survey, price=Price(asking=Decimal("20000")))
    assert edition_named(Report(cover=priced), edition) == edition


def test_left_out_findings_and_photos_are_counted() -> None:
    """How many findings of which severity and how many photos are not in the edition."""
    report = Report(cover=COVER, left_out=LeftOut((("sound", 4),), 3))
    values = about.PASSAGE.build(report, seller.EDITION)
    assert values is not None
    assert (values["left_out"], values["photos_left_out"], values["public"]) == ({"sound": 4}, 3, True)


def test_costs_are_named_only_where_they_are() -> None:
    """No link to a file that the edition does not have."""
    for estimate in (None, Estimate("USD")):
        values = about.PASSAGE.build(Report(cover=COVER, estimate=estimate), buyer.EDITION)
        assert values is not None
        assert values["has_costs"] is (estimate is not None)


@pytest.mark.parametrize(
    ("edition", "kept_out", "names"),
    [
        (buyer.EDITION, "", True),
        (lender.EDITION, "no costs of repairs, no hours or parts of repairs, no price talk", True),
        (yard.EDITION, "no costs of repairs, no opinion of value, no price talk", False),
    ],
)
def test_what_is_kept_out_is_said(edition: Edition, kept_out: str, names: bool) -> None:
    """Silence about costs or value is not to be taken for there being none."""
    values = about.PASSAGE.build(Report(cover=COVER), edition)
    assert values is not None
    assert (values["kept_out"], values["names"]) == (kept_out, names)
    assert values["relies"] is (edition is lender.EDITION)
