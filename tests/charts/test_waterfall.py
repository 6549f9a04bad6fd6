"""Waterfall: each bar runs from total to total, totals are marks, both ends of the scale are printed."""

from __future__ import annotations

from typing import Any

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import waterfall
from tests.picture import Area, Picture, read


def row(label: str, change: float | None, total: float) -> dict[str, Any]:
    reached = f"{total:,.0f} EUR"
    printed = reached if change is None else f"{'+' if change > 0 else '−'}{abs(change):,.0f} EUR"
    return {"label": label, "change": change, "total": total, "printed": printed, "reached": reached}


def chart(*rows: dict[str, Any], **data: Any) -> Chart:
    full = {"rows": rows, "unit": "EUR", **data}
    return Chart("waterfall", "From the asking price to all in (EUR)", "The steps.", full, Table((), ()))


def drawn(*rows: dict[str, Any], **data: Any) -> Picture:
    return read(waterfall.draw(chart(*rows, **data), "c"))


ROWS = (
    row("Asking price", None, 41000),
    row("Talked down", -2500, 38500),
    row("Price agreed", None, 38500),
    row("Credit", -1500, 37000),
    row("Seller's repairs, left to the buyer, with everything that belongs to them", 2000, 39000),
    row("Inspection", 1, 39001),
    row("Buyer pays in all", None, 39001),
)
EXAMPLES = (chart(*ROWS), chart(row("Asking price", None, 9000), row("Buyer pays in all", None, 9000)))


def marks(picture: Picture) -> list[float]:
    """Give where the totals stand [units]."""
    return [s.area.left for s in picture.of("c-ink") if len(s.points) == 2]


def test_a_bar_runs_from_the_total_before_to_the_total_after() -> None:
    """41,000 − 2,500 − 1,500 + 2,000 on a scale from 37,000 to 41,000: 4,000 over the whole width."""
    picture = drawn(*ROWS)
    down, credit = (s.area for s in picture.of("c-bar2"))
    repairs, _ = (s.area for s in picture.of("c-bar"))
    whole = marks(picture)[0] - credit.left
    assert down.right == pytest.approx(marks(picture)[0], abs=0.2)
    assert down.left == pytest.approx(credit.right, abs=0.2) == pytest.approx(marks(picture)[1], abs=0.2)
    assert repairs.left == pytest.approx(credit.left, abs=0.2)
    assert down.width / whole == pytest.approx(2500 / 4000, rel=0.01)
    assert credit.width / whole == pytest.approx(1500 / 4000, rel=0.01)
    assert repairs.width / whole == pytest.approx(2000 / 4000, rel=0.01)


def test_what_is_added_and_taken_away_differ_in_fill_and_sign() -> None:
    picture = drawn(*ROWS)
    assert (len(picture.of("c-bar")), len(picture.of("c-bar2"))) == (2, 2)
    assert {"−2,500 EUR", "−1,500 EUR", "+2,000 EUR", "+1 EUR"} <= set(picture.texts)


def test_a_change_too_small_to_see_is_still_a_mark() -> None:
    assert min(s.area.width for s in drawn(*ROWS).of("c-bar")) == pytest.approx(1.5, abs=0.05)


def test_both_ends_of_the_scale_are_printed_and_that_it_begins_above_zero() -> None:
    picture = drawn(*ROWS)
    assert "37,000 EUR" in picture.texts
    assert picture.texts.count("41,000 EUR") == 2, "beside its label and at the scale"
    assert "EUR, the scale does not begin at zero" in picture.texts


def test_a_long_label_is_wrapped_and_then_shortened() -> None:
    picture = drawn(row("Take out the engine and rebuild it " * 6, -5, 10))
    assert picture.clashes() == []
    assert picture.beyond() == []
    assert any(text.endswith("…") for text in picture.texts)


@pytest.mark.parametrize(("label", "lines"), [("All in", 1), ("All in, with all that is left", 0)])
def test_a_line_between_bars_runs_into_no_word(label: str, lines: int) -> None:
    """The last one goes down in the middle, the others at the edges, through label or sum."""
    picture = drawn(
        row("Asking price", None, 100), row("Pump", 100, 200), row("Credit", -50, 150), row(label, None, 150)
    )
    assert len(picture.of("c-soft")) == lines
    for line in (s.area for s in picture.of("c-soft")):
        wide = Area(line.left - 1, line.top, line.right + 1, line.bottom)
        assert not [w.text for w in picture.words if w.area.meets(wide)]


def test_totals_alone_have_no_bar() -> None:
    """One end of the scale is enough where nothing changes."""
    picture = read(waterfall.draw(EXAMPLES[1], "c"))
    assert picture.of("c-bar", "c-bar2") == []
    assert picture.texts.count("9,000 EUR") == 3


def test_nothing_at_all_is_drawn_as_well() -> None:
    assert drawn().beyond() == []


def test_words_are_in_the_readers_language() -> None:
    picture = drawn(*ROWS, words={"not from zero": "beginnt nicht bei null"})
    assert "EUR, beginnt nicht bei null" in picture.texts
