"""Band: the value stands within or beside the band of its limits, all rows on one scale."""

from __future__ import annotations

from typing import Any

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import band
from tests.picture import Picture, read


def row(
    label: str,
    value: float | None,
    low: float | None = None,
    high: float | None = None,
    outside: bool = False,
) -> dict[str, Any]:
    """Give a row as a kind does."""
    printed = "not taken" if value is None else f"{value:g}"
    edges = ["" if v is None else f"{v:g}" for v in (low, high)]
    return {
        "label": label, "value": value, "printed": printed, "low": low, "high": high,
        "low_printed": edges[0], "high_printed": edges[1], "outside": outside,
    }  # fmt: skip


def chart(*rows: dict[str, Any], **data: Any) -> Chart:
    full = {"axis": "Place", "unit": "mV", "rows": rows, **data}
    return Chart("band", "Hull potential, mV", "Three places.", full, Table((), ()))


def drawn(*rows: dict[str, Any], **data: Any) -> Picture:
    return read(band.draw(chart(*rows, **data), "c"))


ROWS = (
    row("shaft", -850, -1000, -750),
    row("rudder stock, lower bearing, seen from the starboard side", -640, -1000, -750, True),
    row("trim tab", None, -1000, -750),
    row("only at most", 38, None, 100),
    row("no limit", -200),
)
EXAMPLES = (
    chart(*ROWS),
    chart(row("idle", 1.2, 0.8), row("cruise", 3.1, 2.5), unit="bar"),
    chart(row("one", None)),
    chart(*(row(f"place {n}", n * 7.5, 20, 90, not 20 <= n * 7.5 <= 90) for n in range(16)), unit=""),
    chart(*ROWS, words={"not taken": "nicht gemessen", "outside": "außerhalb"}, source="a manual, page 4"),
)


def test_value_and_band_share_one_scale() -> None:
    """The mark stands in the band as the value does between its limits."""
    picture = drawn(row("a", 25, 0, 100))
    [bar] = (s.area for s in picture.of("c-bar2"))
    [mark] = (s.area for s in picture.of("c-bar"))
    assert ((mark.left + mark.right) / 2 - bar.left) / bar.width == pytest.approx(0.25, abs=0.01)


CUT, OWN = "the scale does not begin at zero", "each row has a scale of its own, from zero"


def test_scale_without_zero_says_so() -> None:
    """Where zero is on the scale, or nothing was taken, there is nothing to say."""
    assert CUT in drawn(row("a", -850, -1000, -750), row("b", -640, -1000, -750)).texts
    assert CUT in drawn(row("a", 8.2, 7, 9)).texts
    assert CUT not in drawn(row("a", 3, 2, 90)).texts
    assert CUT not in drawn(row("a", -2, -5, 4)).texts
    assert CUT not in drawn(row("a", None)).texts
    assert (
        "beginnt nicht bei null"
        in drawn(row("a", 8.2, 7, 9), words={"not from zero": "beginnt nicht bei null"}).texts
    )


def test_maxima_far_apart_have_scales_of_their_own() -> None:
    """2 of 10 and 40 of 200 stand alike, no number is printed that would hold for one row only."""
    picture = drawn(row("saloon", 9, None, 10), row("aft deck", 180, None, 200), row("bow", 45, None, 50))
    bands, marks = ([s.area for s in picture.of(tone)] for tone in ("c-bar2", "c-bar"))
    middles = [(m.left + m.right) / 2 - b.left for m, b in zip(marks, bands, strict=True)]
    assert middles == pytest.approx([bands[0].width * 0.9] * 3, abs=0.2)
    assert {OWN, "maximum 10", "maximum 200"} <= set(picture.texts)
    assert not {"0", "50", "100", "150"} & set(picture.texts)


@pytest.mark.parametrize(
    ("rows", "data"),
    [
        ((row("a", 2, None, 10), row("b", 40, None, 60)), {}),
        ((row("a", 2, None, 10), row("b", 40, None, 200)), {"scale": (0, 200)}),
        ((row("a", 2, 1, 10), row("b", 40, None, 200)), {}),
        ((row("a", 2), row("b", 40, None, 200)), {}),
        ((row("a", -2, None, 10), row("b", 40, None, 200)), {}),
        ((row("a", 2, None, 0), row("b", 40, None, 200)), {}),
    ],
)
def test_other_rows_share_one_scale(rows: tuple[dict[str, Any], ...], data: dict[str, Any]) -> None:
    """Up to six times, beside another chart, and where a row doesn't count from zero to a maximum."""
    assert OWN not in drawn(*rows, **data).texts


def test_open_band_has_no_end_there() -> None:
    """With a minimum only there is one end, and the band runs to the edge of the scale."""
    picture = drawn(row("a", 5, 2, None))
    [end] = picture.of("c-limit")
    [bar] = (s.area for s in picture.of("c-bar2"))
    assert end.area.left == pytest.approx(bar.left, abs=0.1)
    assert bar.right == pytest.approx(band._END, abs=0.1)


def test_outside_is_told_by_word_and_by_a_hollow_mark() -> None:
    """Not by colour: a hollow mark, bold figures, and the word."""
    picture = drawn(row("a", 120, 0, 100, True))
    assert "outside" in picture.texts
    assert not picture.of("c-bar")
    assert picture.of("c-outside")
    assert [w.bold for w in picture.words if w.text == "120"] == [True]


def test_not_taken_is_a_word_and_no_mark() -> None:
    """A gap is never drawn as a value."""
    picture = drawn(row("a", None, 0, 100), row("b", 50, 0, 100))
    assert "not taken" in picture.texts
    assert len(picture.of("c-bar")) == 1


def test_limits_of_all_rows_are_written_once() -> None:
    """Rows with limits of their own keep them below their bands."""
    alike = drawn(row("a", 1, 0, 2), row("b", 3, 0, 2, True), source="engine manual, page 4")
    assert alike.texts.count("minimum 0, maximum 2, engine manual, page 4") == 1
    assert "minimum 0, maximum 2" not in alike.texts
    own = drawn(row("a", 1, 0, 2), row("b", 3, 0, 4))
    assert {"minimum 0, maximum 2", "minimum 0, maximum 4"} <= set(own.texts)


def test_an_open_side_fades_out_in_thinner_pieces() -> None:
    """Pieces get thinner to the right for a minimum alone; a band with both limits is one piece."""
    (open_band,) = drawn(row("a", 5, 2, None)).of("c-bar2")
    edges = [sorted({x for x, _ in open_band.points[n : n + 4]}) for n in range(0, len(open_band.points), 4)]
    widths = [right - left for left, right in edges]
    assert len(widths) == 5
    assert widths == sorted(widths, reverse=True)
    assert [left for left, _ in edges] == sorted(left for left, _ in edges)
    (below_zero,) = drawn(row("a", -5, None, 2)).of("c-bar2")
    assert len(below_zero.points) == 20
    (from_zero,) = drawn(row("a", 2, None, 8)).of("c-bar2")
    assert len(from_zero.points) == 4
    assert from_zero.area.left == pytest.approx(band._START)
    (closed,) = drawn(row("a", 5, 2, 8)).of("c-bar2")
    assert len(closed.points) == 4


def test_marks_keep_off_the_words() -> None:
    """The mark is taller than the band, yet neither the label above nor the limits below touch it."""
    picture = drawn(row("a", 0, 0, 100), row("b", 0, 0, 90, True))
    for mark in picture.of("c-bar", "c-outside"):
        assert not [w.text for w in picture.words if w.area.meets(mark.area, slack=-1)]


def test_nothing_taken_and_no_limit_has_no_scale() -> None:
    picture = drawn(row("one", None))
    assert picture.texts == ["mV", "Place", "one", "not taken"]


def test_an_ordinary_chart_is_small() -> None:
    """Five rows with limits; 5 KB were measured."""
    assert len(band.draw(EXAMPLES[0], "c").encode()) < 6000


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"label": "a", "value": 1.0}, "lacks printed, low"),
        (row("shaft", 1, 5, 2), "band of shaft"),
    ],
)
def test_rows_that_make_no_band_are_refused(told: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        drawn(told)


def test_limits_stand_in_words_below_the_band() -> None:
    """Both figures can be read without the scale."""
    assert "minimum -1000, maximum -750" in drawn(ROWS[0]).texts


def test_given_scale_is_held() -> None:
    """Charts with one scale put the same value at the same place, open bands or not."""
    told = (row("a", 10, 0, 20), row("a", 10, 0, 80), row("a", 10, 5, None), row("a", 10))
    places = [drawn(each, scale=(0.0, 80.0)).of("c-bar")[0].area.left for each in told]
    assert places == pytest.approx([places[0]] * 4, abs=0.1)
    assert drawn(told[0]).of("c-bar")[0].area.left != pytest.approx(places[0], abs=5)
