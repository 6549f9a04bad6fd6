"""Breakdown: the bar is the likely cost, the line its range, a part without a price has neither."""

from __future__ import annotations

from typing import Any

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import breakdown
from tests.picture import Picture, read


def row(
    label: str, low: float | None, likely: float | None, high: float | None, **more: str
) -> dict[str, Any]:
    printed = "" if likely is None else f"{likely:,.0f} EUR"
    return {
        "label": label,
        "low": low,
        "likely": likely,
        "high": high,
        "printed": printed,
        "group": "",
        **more,
    }


def chart(*rows: dict[str, Any], **data: Any) -> Chart:
    full = {"rows": rows, "unit": "EUR", **data}
    return Chart("breakdown", "Cost to come (EUR)", "The parts of it.", full, Table((), ()))


def drawn(*rows: dict[str, Any], **data: Any) -> Picture:
    return read(breakdown.draw(chart(*rows, **data), "c"))


ROWS = (
    row("New hoses for the raw water", 200, 300, 500, group="Seller"),
    row("Bed the stanchions anew and dry the deck core round them", 1000, 2000, 4000, group="not agreed"),
    row("Gearbox seal", None, None, None, group="Buyer"),
    row("Flares", None, 90, None, group="Seller"),
)
EXAMPLES = (chart(*ROWS), chart(*ROWS, groups=("Buyer", "Seller")))


def test_the_bar_is_the_likely_cost_from_zero() -> None:
    picture = drawn(*ROWS)
    hoses, stanchions, flares = (s.area for s in picture.of("c-bar2"))
    assert hoses.left == stanchions.left == flares.left
    assert stanchions.width / hoses.width == pytest.approx(2000 / 300, rel=0.01)
    assert flares.width / hoses.width == pytest.approx(90 / 300, rel=0.02)


def test_the_range_runs_from_low_to_high_over_the_bar() -> None:
    """Its ends stand at 1000/2000 and 4000/2000 of the bar; the scale holds the greatest high."""
    picture = drawn(row("Deck", 1000, 2000, 4000))
    (bar,) = (s.area for s in picture.of("c-bar2"))
    span = next(s.area for s in picture.of("c-ink") if len(s.points) == 6)
    assert (span.left - bar.left) / bar.width == pytest.approx(0.5, abs=0.005)
    assert (span.right - bar.left) / bar.width == pytest.approx(2.0, abs=0.005)
    assert bar.top < (span.top + span.bottom) / 2 < bar.bottom


@pytest.mark.parametrize(("low", "high"), [(None, None), (None, 400), (200, None), (300, 300)])
def test_without_a_range_there_is_no_line(low: float | None, high: float | None) -> None:
    picture = drawn(row("Hoses", low, 300, high))
    assert [s for s in picture.of("c-ink") if len(s.points) == 6] == []
    assert len(picture.of("c-bar2")) == 1


def test_a_part_without_a_price_says_so_and_has_no_bar() -> None:
    picture = drawn(row("Gearbox seal", 100, None, 900, printed="0 EUR"))
    assert "not priced" in picture.texts
    assert "0 EUR" not in picture.texts
    assert picture.of("c-bar2") == []


def test_each_sum_is_printed_in_bold_above_its_bar() -> None:
    picture = drawn(*ROWS)
    sums = [picture.word(t) for t in ("300 EUR", "2,000 EUR", "90 EUR")]
    assert all(w.bold for w in sums)
    assert all(w.area.bottom <= bar.area.top + 1 for w, bar in zip(sums, picture.of("c-bar2"), strict=True))


def test_groups_stand_in_their_order_each_under_its_heading() -> None:
    """A group that isn't in the order follows; a heading without rows isn't written."""
    picture = drawn(*ROWS, groups=("Buyer", "Seller", "Insurer"))
    heads = [t for t in picture.texts if t in ("Buyer", "Seller", "Insurer", "not agreed")]
    assert heads == ["Buyer", "Seller", "not agreed"]
    order = [t for t in picture.texts if t in ("Gearbox seal", "New hoses for the raw water", "Flares")]
    assert order == ["Gearbox seal", "New hoses for the raw water", "Flares"]
    assert picture.word("Buyer").area.bottom < picture.word("Gearbox seal").area.top


def test_without_groups_rows_stand_as_given() -> None:
    texts = drawn(*ROWS).texts
    assert "Seller" not in texts
    assert texts.index("Gearbox seal") < texts.index("Flares")


def test_a_long_label_is_wrapped_and_then_shortened() -> None:
    picture = drawn(row("Take out the engine and rebuild it " * 6, 1, 2, 3))
    assert picture.clashes() == []
    assert picture.beyond() == []
    assert picture.texts[1].endswith("…")


def test_a_sum_too_wide_for_the_labels_line_is_printed_in_full_below_it() -> None:
    printed = "18,500 EUR (14,000 to 31,000 EUR, quote)"
    picture = drawn(row("Engine", 14000, 18500, 31000, printed=printed))
    assert picture.clashes() == []
    assert picture.word("Engine").area.bottom < picture.word(printed).area.bottom - 10


def test_a_key_says_what_the_thin_line_is() -> None:
    """In the reader's language; there is none where no row has a range."""
    assert (
        drawn(*ROWS, words={"range": "vom niedrigsten zum höchsten"}).texts[-1].startswith("vom niedrigsten")
    )
    assert drawn(*ROWS).texts[-1] == "lowest to highest"
    lines = [s for s in drawn(*ROWS).of("c-ink") if len(s.points) == 6]
    assert len(lines) == 3, "two rows with a range, and the key"
    single = drawn(row("Flares", 90, 90, 90), row("Pump", None, 90, 120), row("Seal", None, None, None))
    assert "lowest to highest" not in single.texts


def test_the_scale_starts_at_zero_and_names_the_currency() -> None:
    picture = drawn(row("Hoses", 200, 300, 500))
    assert picture.texts[-7:-1] == ["0", "100", "200", "300", "400", "500 EUR"]
    assert picture.clashes() == picture.beyond() == []


def test_great_sums_have_no_numbers_at_the_scale() -> None:
    """12000 would need the reader's thousands mark; the printed sums have it."""
    picture = drawn(row("Engine", 10000, 12000, 15000))
    assert [t for t in picture.texts if t[0].isdigit()] == ["12,000 EUR", "0 EUR"]


@pytest.mark.parametrize("rows", [(), (row("a", None, None, None),), (row("a", 0, 0, 0),)])
def test_nothing_to_pay_is_drawn_as_well(rows: tuple[dict[str, Any], ...]) -> None:
    picture = drawn(*rows)
    assert picture.beyond() == []
    assert all(s.area.width == 0 for s in picture.of("c-bar2"))


def test_words_are_in_the_readers_language() -> None:
    picture = drawn(row("Dichtung", None, None, None), words={"not priced": "ohne Preis"})
    assert "ohne Preis" in picture.texts
    assert "not priced" not in picture.texts
