"""Measurements: the appendix tells what each kind of the report shows, and its limits' sources."""

from __future__ import annotations

from reportgen import pages, racks
from reportgen.editions import buyer, seller
from reportgen.kind import Assessment, Judged
from reportgen.limits import Limit
from reportgen.model import Reading
from reportgen.passages import measurements
from reportgen.report import JudgedReading, Measurement, Report

NOTED = Limit("minimum", 120.0, "psi", "minimum", "an invented manual, 4A", "", "note")
KIND = racks.get("kinds", "compression", "KIND")
USED = Measurement(
    KIND.name, KIND.title, KIND.measures, KIND.how, KIND.instrument, KIND.proves, KIND.proves_not, KIND.limits
)
TWICE = tuple(
    JudgedReading(
        Reading(id=id, kind="compression"), "Compression", True, Assessment(judged=(Judged(NOTED, 1.0),))
    )
    for id in "ab"
)
REPORT = Report(readings=TWICE, measurements=(USED,))


def test_each_kind_once_with_limits_and_sources() -> None:
    """Two readings of one kind give one entry, with the general limits and the notes' own sources."""
    values = measurements.PASSAGE.build(REPORT, buyer.EDITION)
    assert values is not None
    [one] = values["measurements"]
    assert one["anchor"] == "kind-compression"
    [group] = one["limits"]
    assert group["limits"] == [{"name": "lowest to highest", "bound": "at least 75 %"}]
    assert group["source"]
    assert one["noted"] == ["an invented manual, 4A"]


def test_survey_without_readings_has_no_appendix() -> None:
    """Nothing measured, no page beside the report."""
    assert measurements.PASSAGE.build(Report(), buyer.EDITION) is None
    files = [page.file for page in pages.arrange(Report(), buyer.EDITION, {}, "0000")]
    assert files == ["index.html", pages.WORDS]


def test_appendix_stands_beside_every_edition_and_is_linked() -> None:
    """It is a page of its own, named in the contents of the report's page."""
    for edition in (buyer.EDITION, seller.EDITION):
        own, page, _ = pages.arrange(REPORT, edition, {}, "0000")
        assert page.file == "measurements.html"
        (file, title), *_ = own.appendices
        assert (file, title) == (page.file, page.title.partition(":")[0])
