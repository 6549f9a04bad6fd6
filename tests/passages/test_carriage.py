"""Safety equipment on the page: each line with its verdict in words, its reason, and what answers it."""

from __future__ import annotations

from typing import Any

import pytest

from reportgen import theme, wording
from reportgen.aboard import Requirement
from reportgen.carriage import GOVERNS, NO_RULES, Carriage
from reportgen.editions import buyer, seller
from reportgen.model import Finding
from reportgen.passages import carriage
from reportgen.report import ListedFinding, Report
from tests import made

SOURCE = "cfr-33-175.15"


def _line(what: str, met: bool | None, why: str, **keys: Any) -> Requirement:
    return Requirement(what, 6, 5, met, why, SOURCE, "as read", **keys)


def _page(*lines: Requirement, **keys: Any) -> dict[str, Any]:
    report = Report(carriage=Carriage("US", lines, (GOVERNS,)), **keys)
    return dict(carriage.PASSAGE.build(report, buyer.EDITION) or {})


def test_verdicts_are_words() -> None:
    """Met, not met and not judged; numbers are printed as text, the source by its clause."""
    page = _page(_line("a", True, "So."), _line("b", False, "So."), _line("c", None, "Not judged: so."))
    assert [row["verdict"] for row in page["equipment"]] == ["met", "not met", "not judged"]
    assert (page["equipment"][0]["required"], page["equipment"][0]["found"]) == ("6", "5")
    assert page["equipment"][0]["source"].startswith("33 CFR 175.15")
    assert page["plate"] == []


def test_plate_stands_by_itself() -> None:
    """Lines of the capacity plate are no carriage rules and have a table of their own."""
    page = _page(_line("a", True, "So."), _line("b", True, "So.", part="capacity"))
    assert [[row["what"] for row in page[part]] for part in ("equipment", "plate")] == [["a"], ["b"]]


def test_answer_is_linked_unless_the_edition_leaves_it_out() -> None:
    """A finding that names the clause is linked; one that is not listed is not named."""
    answered = _line("a", False, "So.", answered_by=("jackets", "gone"))
    listed = ListedFinding(3, Finding(id="jackets", title="Two jackets short"))
    [row] = _page(answered, findings=(listed,))["equipment"]
    assert row["answered_by"] == [{"anchor": "jackets", "ref": "3", "title": "Two jackets short"}]


def test_no_rules_is_said_and_nothing_to_say_has_no_such_part() -> None:
    """Where no rules were applied the sentence stands alone."""
    page = dict(
        carriage.PASSAGE.build(Report(carriage=Carriage("none", (), (NO_RULES,))), buyer.EDITION) or {}
    )
    assert (page["says"], page["equipment"], page["plate"]) == ((NO_RULES,), [], [])
    assert carriage.PASSAGE.build(Report(), buyer.EDITION) is None


def test_both_editions_show_it_after_the_readings() -> None:
    """It stands where a reader looks for what was measured."""
    for edition in (buyer.EDITION, seller.EDITION):
        where = edition.passages.index("carriage")
        assert edition.passages[where - 1] == "readings"


def test_page_says_not_judged_once(tmp_path: Any) -> None:
    """The verdict stands before the reason, which does not repeat it; no line is without a source."""
    from reportgen import pages

    front = made.TINY | {"safety equipment": {"wearable life jackets": 2}}
    report = made.shown(made.built(made.write(tmp_path / "a", front)), buyer.EDITION)
    html = theme.render(
        pages.arrange(report, buyer.EDITION, {}, "0000", charts=False)[0], theme.find()
    ).decode()
    part = html[html.index('id="passage-carriage"') :].partition("</section>")[0]
    assert "<strong>Not judged.</strong> Persons aboard are not told." in " ".join(part.split())
    assert "Not judged: " not in part
    assert part.count("data-h=Source") == 8


@pytest.mark.parametrize("spoken", wording.LANGUAGES)
def test_reason_does_not_say_its_verdict_again(spoken: str) -> None:
    """The verdict stands before it, after which it begins large; French has a blank before the colon."""
    with wording.speaking(spoken):
        why = wording.say("Not judged: {out}.", out="so")
        row = _page(_line("a", None, f"One. {why}"))["equipment"][0]
    assert row["why"] == "One. So."
