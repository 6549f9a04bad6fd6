"""What was not inspected and why, which tests were not made, and what was only powered up."""

from __future__ import annotations

from typing import Any

import pytest

from reportgen.blocks.note import NotInspected
from reportgen.coverage import Beyond, Coverage, CoveredItem
from reportgen.edition import Edition
from reportgen.editions import buyer, insurer, seller
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
    assert page["inspected"] == [{"system": "hull", "items": ["keel"]}]
    assert not _page(seller.EDITION, items=(("keel", "hull", "sound"),))["inspected"]
    assert page["others"] == [{"item": "sounder", "outcome": "powered up only"}]


def test_test_or_paper_is_never_not_fitted() -> None:
    """Of what a boat can't lack, such as a test, `not fitted` says that it does not apply."""
    told = [(name, "", "not fitted") for name in ("bottom moisture", "liferaft", "wine cellar")]
    page = _page(items=tuple(told), coverage=Coverage("sailing yacht"))
    assert [o["outcome"] for o in page["others"]] == ["does not apply", "not fitted", "not fitted"]


def test_insurer_reads_what_was_looked_at_without_praise() -> None:
    """Who relies on the report learns what was looked at, but not which part of it had a finding."""
    page = _page(insurer.EDITION, coverage=COVERED)
    assert page["silent"]
    hull = page["inspected"][0]
    assert hull == {"system": "hull", "items": ["topsides", "keel bolts (bolts <em>aft</em>)"]}
    assert not _page(buyer.EDITION, coverage=COVERED)["silent"]


COVERED = Coverage(
    items=(
        CoveredItem("seacocks", "hull", "not mentioned"),
        CoveredItem("topsides", "hull", "sound", ("gelcoat",)),
        CoveredItem("keel bolts", "hull", "finding", ("bolts *aft*",), ("bolts *aft*",), ("rust",)),
        CoveredItem(
            "fuel tanks", "fuel", "not inspected", ("tank top",), could_hide="rust", would_take="an hour"
        ),
        CoveredItem(
            "shaft seal", "trial", "not inspected", ("trial",), could_hide="a leak", would_take="a trial"
        ),
        CoveredItem(
            "speed", "trial", "not inspected", ("trial",), could_hide="a weak engine", would_take="a trial"
        ),
        CoveredItem("horn", "fittings", "operated", ("horn",)),
        CoveredItem("trailer", "trailer", "not fitted", ("trailer",)),
        CoveredItem("compression", "engine", "measured, not judged", readings=("c",)),
    ),
    beyond=(Beyond("wake tower", "deck", "sound"), Beyond("mast", "deck", "not inspected")),
)


def test_checklist_speaks_where_the_notes_are_silent() -> None:
    """What could hide and what it would take are the checklist's where the note gives neither, told apart.

    Beside a word of the surveyor's own the checklist is silent: it might gainsay what was seen.
    """
    own = NotInspected("no access", "water", "")
    bare, told, whole, other = _page(
        coverage=COVERED,
        not_inspected=(Gap("tank top"), Gap("tank top", "fuel", own), Gap("trial"), Gap("mast")),
    )["gaps"]
    assert (bare["usually_hides"], bare["usually_takes"], bare["could_hide"]) == ("rust", "an hour", "")
    assert (told["usually_hides"], told["usually_takes"], told["could_hide"]) == ("", "", "water")
    assert not any((whole["usually_hides"], whole["usually_takes"], other["usually_hides"]))


def test_usual_is_explained_only_where_it_stands() -> None:
    """The line that says what "usual" means stands only under a table that uses the word."""
    assert _page(coverage=COVERED, not_inspected=(Gap("tank top"),))["usual"]
    assert not _page(coverage=COVERED, not_inspected=(Gap("mast"),))["usual"]


@pytest.mark.parametrize("edition", [buyer.EDITION, seller.EDITION])
def test_not_mentioned_stands_by_system_for_everybody(edition: Edition) -> None:
    """Every reader is told which items of the checklist nobody mentions."""
    assert _page(edition, coverage=COVERED)["unmentioned"] == [{"system": "hull", "items": ["seacocks"]}]
    assert not _page(edition)["unmentioned"]


def test_inspected_stands_by_system() -> None:
    """Sound, measured, or with a finding; with the part that was named, and what goes beyond the list."""
    assert _page(coverage=COVERED)["inspected"] == [
        {"system": "hull", "items": ["topsides", "keel bolts (bolts <em>aft</em>; has a finding)"]},
        {"system": "engine", "items": ["compression"]},
        {"system": "beyond the checklist", "items": ["wake tower"]},
    ]
    assert not _page(seller.EDITION, coverage=COVERED)["inspected"]
