"""What was not inspected and why, which tests were not made, and what was only powered up."""

from __future__ import annotations

from typing import Any

import pytest

from reportgen.blocks.note import NotInspected
from reportgen.edition import Edition
from reportgen.editions import buyer, seller
from reportgen.model import Cover, Gap
from reportgen.passages import not_inspected
from reportgen.report import Report


def _page(edition: Edition = buyer.EDITION, **keys: Any) -> dict[str, Any]:
    return dict(not_inspected.PASSAGE.build(Report(**keys), edition) or {})


def test_gap_without_a_reason_is_not_stated() -> None:
    """Each part is named; a missing reason is told."""
    full = NotInspected("no access", "corrosion", "lifting the deck", "the yard")
    bare, told = _page(not_inspected=(Gap("keel"), Gap("fuel tank", "fuel", full)))["gaps"]
    assert (bare["part"], bare["why"]) == ("keel", "not stated")
    assert [told[k] for k in ("part", "why", "could_hide", "would_take", "by")] == [
        *("fuel tank", "no access", "corrosion", "lifting the deck", "the yard"),
    ]


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        (None, []),
        (("sea trial",), [{"test": "sea trial", "why": ""}]),
        ({"sea trial": "ice"}, [{"test": "sea trial", "why": "ice"}]),
    ],
)
def test_tests_not_made_with_and_without_reasons(given: Any, shown: Any) -> None:
    """A list or a mapping of tests that were not made."""
    assert _page(cover=Cover(tests_not_made=given))["tests"] == shown


def test_sound_items_stand_apart_from_the_others() -> None:
    """Powered up only is not the same as inspected; a seller's edition repeats no praise."""
    page = _page(items=(("keel", "hull", "sound"), ("sounder", "", "powered up only")))
    assert page["sound"] == ["keel"]
    assert not _page(seller.EDITION, items=(("keel", "hull", "sound"),))["sound"]
    assert page["others"] == [{"item": "sounder", "outcome": "powered up only"}]
