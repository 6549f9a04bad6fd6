"""The surveyor's own account, grouped by system in the order of the notes."""

from __future__ import annotations

import pytest

from reportgen.blocks.people import People, Surveyor
from reportgen.editions import seller
from reportgen.model import Cover, Narrative, Prose
from reportgen.passages import narrative
from reportgen.report import Report


def test_pieces_stand_under_their_system() -> None:
    """One group a system, in the order met; what has none is general."""
    pieces = (
        Narrative("", 0, Prose("a", "<p>a</p>"), "hull"),
        Narrative("*Fuel*", 1, Prose("b", "<p>b</p>")),
        Narrative("Keel", 1, Prose("c", "<p>c</p>"), "hull"),
    )
    values = narrative.PASSAGE.build(Report(narrative=pieces), seller.EDITION)
    assert values is not None
    assert [(g["system"], [p["title"] for p in g["pieces"]]) for g in values["groups"]] == [
        ("hull", ["", "Keel"]),
        ("general", ["Fuel"]),
    ]
    assert values["groups"][0]["pieces"][1]["prose"] == "<p>c</p>"


@pytest.mark.parametrize(
    ("role", "heading"),
    [("surveyor", ""), ("owner", "The owner's account"), ("mechanic", "The mechanic's account")],
)
def test_account_is_named_after_who_wrote_it(role: str, heading: str) -> None:
    """An owner's own statement is headed as no surveyor's."""
    cover = Cover(people=People(surveyor=Surveyor("Ruth Halvane", role)))
    report = Report(cover=cover, narrative=(Narrative("", 0, Prose("a", "<p>a</p>")),))
    values = narrative.PASSAGE.build(report, seller.EDITION)
    assert values is not None
    assert values["heading"] == heading


def test_notes_without_an_account_have_no_such_part() -> None:
    """No text, no heading."""
    assert narrative.PASSAGE.build(Report(), seller.EDITION) is None
