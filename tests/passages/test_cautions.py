"""Cautions with what called for each: a finding by its link, a test or type of boat in words."""

from __future__ import annotations

from reportgen.cautions import Caution
from reportgen.editions import seller
from reportgen.model import Finding
from reportgen.passages import cautions, sources
from reportgen.report import ListedFinding, Report


def test_caution_links_to_what_called_for_it() -> None:
    """Ids of findings become links, other reasons stay words without a link."""
    caution = Caution(
        "c", "fire", "It burns.", "Air it.", "A fitter.", "An office", (), ("a", "compression test"), ("a",)
    )
    report = Report(findings=(ListedFinding(3, Finding(id="a", title="Hose")),), cautions=(caution,))
    values = cautions.PASSAGE.build(report, seller.EDITION)
    assert values is not None
    [shown] = values["cautions"]
    assert [shown[k] for k in ("hazard", "text", "do", "who")] == [
        *("fire", "It burns.", "Air it.", "A fitter."),
    ]
    assert shown["because"] == [{"anchor": "a", "ref": "3", "title": "Hose"}]
    assert shown["concerns"] == ["compression test"]


def _concerned(id: str, *because: str) -> object:
    caution = Caution(id, "fire", "It burns.", "Air it.", because=because)
    values = cautions.PASSAGE.build(Report(cautions=(caution,)), seller.EDITION)
    assert values is not None
    return values["cautions"][0]["concerns"]


def test_what_a_caution_concerns_is_said_in_words() -> None:
    """Tests by name and the type of boat as such; a caution of any test lists none of them."""
    assert _concerned("batteries", "battery test", "sailing yacht") == [
        *("battery test", "every boat of this type"),
    ]
    assert _concerned("readings", "battery test", "anodes test") == ["every test in this report"]
    assert _concerned("fuel-vapour", "fuel pressure", "gasoline") == [
        *("fuel pressure", "every boat with this fuel"),
    ]
    assert _concerned("general", "every report") == []


def test_a_caution_is_named_with_what_it_is_about() -> None:
    """Two of one hazard are told apart, here and where their sources stand."""
    two = (
        Caution("a", "fire", about="rescue gear", source="An office"),
        Caution("b", "fire", source="A yard"),
    )
    for passage in (cautions.PASSAGE, sources.PASSAGE):
        values = passage.build(Report(cautions=two), seller.EDITION)
        assert values
        assert [each["hazard"] for each in values["cautions"]] == ["fire (rescue gear)", "fire"]
