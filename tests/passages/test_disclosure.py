"""The seller's own answers, each as given."""

from __future__ import annotations

from reportgen.editions import seller
from reportgen.model import Cover
from reportgen.passages import disclosure
from reportgen.report import Report


def test_answers_stand_as_given() -> None:
    """Not known is an answer like any other, in the order of the notes."""
    given = {"grounding": "not known", "earlier repairs": "yes: *keel*, 2021"}
    values = disclosure.PASSAGE.build(Report(cover=Cover(disclosure=given)), seller.EDITION)
    assert values == {
        "answers": [
            {"topic": "grounding", "answer": "not known"},
            {"topic": "earlier repairs", "answer": "yes: <em>keel</em>, 2021"},
        ]
    }


def test_no_answers_no_such_part() -> None:
    """Who was not asked has answered nothing."""
    assert disclosure.PASSAGE.build(Report(), seller.EDITION) is None
