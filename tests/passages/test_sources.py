"""The published sources, each once: a caution names its own."""

from __future__ import annotations

import dataclasses

from reportgen import sources as published
from reportgen.cautions import Caution
from reportgen.editions import seller
from reportgen.passages import sources
from reportgen.report import Measurement, Report

LIMIT, LAW = published.get("compression-75-chart"), published.get("cfr-33-181.25")


def test_source_says_how_it_was_read() -> None:
    """Each source with its words and how we came to know it."""
    values = sources.PASSAGE.build(Report(sources=(LIMIT,)), seller.EDITION)
    assert values == {"sources": [{"id": LIMIT.id, "text": str(LIMIT), "read": LIMIT.read}], "cautions": []}


def test_source_of_a_measurement_stands_with_it() -> None:
    """It is not told twice on one page; an edition of one's own without measurements lists it here."""
    report = Report(sources=(LIMIT, LAW), measurements=(Measurement(sources=(LIMIT,)),))
    without = dataclasses.replace(seller.EDITION, passages=("sources",))
    for edition, told in ((seller.EDITION, [LAW.id]), (without, [LIMIT.id, LAW.id])):
        values = sources.PASSAGE.build(report, edition)
        assert values
        assert [s["id"] for s in values["sources"]] == told


def test_source_of_a_caution_is_not_told_twice() -> None:
    """What a caution rests on is listed with the caution; with nothing at all there is no such part."""
    caution = Caution("c", "fire", "It burns.", source="An office", source_ids=(LAW.id,))
    values = sources.PASSAGE.build(Report(sources=(LIMIT, LAW), cautions=(caution,)), seller.EDITION)
    assert values is not None
    assert [s["id"] for s in values["sources"]] == [LIMIT.id]
    assert values["cautions"] == [{"hazard": "fire", "source": "An office"}]
    assert sources.PASSAGE.build(Report(), seller.EDITION) is None
