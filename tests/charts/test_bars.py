"""Bars: what is drawn is what was measured."""

from __future__ import annotations

import re
from typing import Any

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import bars
from tests.picture import Picture, Stroke, read


def chart(*values: tuple[float | None, ...], **data: Any) -> Chart:
    """Give a chart of one or two series of values over numbered cylinders."""
    names = ("dry", "wet")
    full: dict[str, Any] = {
        "labels": tuple(str(n) for n in range(1, len(values[0]) + 1)),
        "axis": "Cylinder",
        "unit": "psi",
        "series": tuple({"name": n, "values": v} for n, v in zip(names, values, strict=False)),
        "printed": tuple(tuple("-" if v is None else f"{v:g}" for v in row) for row in values),
        "limits": (),
        "outside": (),
    }
    return Chart("bars", "Compression (psi)", "Lowest and highest.", {**full, **data}, Table((), ()))


def drawn(*values: tuple[float | None, ...], **data: Any) -> Picture:
    return read(bars.draw(chart(*values, **data), "c"))


def limit(value: float, label: str, side: str = "minimum") -> dict[str, Any]:
    return {"value": value, "label": label, "side": side}


SIXTEEN = tuple(f"Starboard {n}" for n in range(1, 17))
EXAMPLES = (
    chart((131, 137, 102, None), limits=(limit(110, "110 psi, engine handbook p. 12"),), outside=("3",)),
    chart(
        tuple(120.0 + n for n in range(16)),
        tuple(None if n == 4 else 140.0 + n for n in range(16)),
        labels=SIXTEEN,
        limits=(limit(118, "118 psi, handbook"), limit(150, "150 psi, handbook", "maximum")),
        outside=("Starboard 14", "Starboard 16"),
    ),
)


def lengths(found: list[Stroke]) -> list[float]:
    return [s.area.width for s in found]


def test_bars_start_at_zero_and_are_as_long_as_their_values() -> None:
    """Half the value is half the bar, all from one edge, which the scale calls 0."""
    picture = drawn((50.0, 100.0, 25.0))
    half, whole, quarter = lengths(picture.of("c-bar"))
    assert (half / whole, quarter / whole) == (pytest.approx(0.5, abs=0.002), pytest.approx(0.25, abs=0.002))
    zero = picture.word("0").area
    assert [s.area.left for s in picture.of("c-bar")] == pytest.approx(
        [(zero.left + zero.right) / 2] * 3, abs=0.2
    )


def test_each_value_is_printed_in_the_row_of_its_bar() -> None:
    picture = drawn((131.0, 137.0), printed=(("131 psi", "0.94 MPa"),))
    for bar, label, value in zip(picture.of("c-bar"), ("1", "2"), ("131 psi", "0.94 MPa"), strict=True):
        for text in (label, value):
            area = picture.word(text).area
            assert area.top < (bar.area.top + bar.area.bottom) / 2 < area.bottom
        assert picture.word(value).area.left > bar.area.right


def test_a_value_not_taken_is_a_word_and_no_bar() -> None:
    """Neither a bar nor its printed value stands there: a reader must not take it for zero."""
    picture = drawn((131.0, None, 137.0))
    assert len(picture.of("c-bar", "c-bar2", "c-outside")) == 2
    first, last = (s.area for s in picture.of("c-bar"))
    words = picture.word("not taken").area
    assert first.bottom < words.top
    assert words.bottom < last.top
    assert words.left > first.left
    assert "-" not in picture.texts


def test_a_measured_zero_is_printed_as_a_value() -> None:
    picture = drawn((0.0, 137.0), printed=(("0.0", "137"),))
    assert "0.0" in picture.texts
    assert "not taken" not in picture.texts


def test_nothing_taken_at_all_still_gives_every_label() -> None:
    picture = drawn((None, None))
    assert picture.texts.count("not taken") == 2
    assert not picture.of("c-bar")


def test_outside_is_hatched_bold_and_said_in_words() -> None:
    picture = drawn((131.0, 102.0), outside=("2",))
    (bar,) = picture.of("c-outside")
    assert bar.hatch == "c-h1"
    assert [s.hatch for s in picture.of("c-bar")] == [""]
    assert {w.text for w in picture.words if w.bold} == {"2", "102"}
    said = picture.word("outside").area
    assert said.top < bar.area.bottom
    assert said.bottom > bar.area.top


def test_nothing_is_said_of_outside_when_all_is_within() -> None:
    picture = drawn((131.0, 132.0))
    assert "outside" not in picture.texts
    assert "<pattern" not in bars.draw(chart((131.0, 132.0)), "c")


def test_a_limit_is_a_dashed_line_at_its_value_with_its_source() -> None:
    picture = drawn((100.0, 50.0), limits=(limit(75, "75 psi, engine handbook p. 12"),))
    (line,) = picture.of("c-limit")
    whole, half = (s.area for s in picture.of("c-bar"))
    assert line.dashed
    assert line.area.left == line.area.right == pytest.approx((whole.right + half.right) / 2, abs=0.2)
    assert (line.area.top, line.area.bottom) == (pytest.approx(32, abs=20), pytest.approx(half.bottom, abs=5))
    assert "minimum 75 psi, engine handbook p. 12" in picture.texts
    assert picture.word("minimum 75 psi, engine handbook p. 12").area.bottom <= line.area.top + 0.5


def test_a_limit_can_be_seen_across_dark_bars() -> None:
    """A pale strip over the bars, under the line and as long as it, parts the two."""
    picture = drawn((100.0,), limits=(limit(50, "50 psi, handbook"),))
    (line,), (strip,) = picture.of("c-limit"), picture.of("c-paper")
    order = [s.classes for s in picture.strokes]
    assert order.index(("c-bar",)) < order.index(("c-paper",)) < order.index(("c-limit",))
    assert strip.area.left < line.area.left - 1 < line.area.right + 1 < strip.area.right
    assert (strip.area.top, strip.area.bottom) == (line.area.top, line.area.bottom)


def test_the_side_of_a_limit_is_said_once() -> None:
    limits = (limit(90, "Minimum 90 psi, handbook"), limit(120, "120 psi, handbook", "maximum"))
    texts = drawn((100.0, 50.0), limits=limits).texts
    assert "Minimum 90 psi, handbook" in texts
    assert "maximum 120 psi, handbook" in texts


@pytest.mark.parametrize("values", [(99.0, 100.0), (2.0, 98.0), (1.0, 2.0), (50.0, 52.0), (99.0, 99.0)])
def test_labels_of_two_limits_keep_off_each_other_and_off_both_lines(values: tuple[float, float]) -> None:
    limits = tuple(limit(v, f"{v:g} psi, the handbook of the engine's maker, page 12") for v in values)
    picture = drawn((100.0, 90.0), limits=limits)
    assert picture.clashes() == []
    assert picture.beyond() == []
    lines = [s.area for s in picture.of("c-limit")]
    assert len(lines) == 2
    labels = [w for w in picture.words if "handbook" in w.text or "maker" in w.text]
    assert [w.text for w in labels for line in lines if w.area.meets(line, slack=-0.5)] == []


def test_a_value_on_the_limit_ends_at_its_line() -> None:
    picture = drawn((100.0, 80.0), limits=(limit(80, "80 psi, handbook"),))
    assert picture.of("c-bar")[1].area.right == pytest.approx(picture.of("c-limit")[0].area.left, abs=0.11)


def test_pairs_are_named_beside_each_bar_and_differ_in_tone() -> None:
    picture = drawn((100.0, 90.0), (110.0, 95.0))
    assert picture.texts.count("dry") == picture.texts.count("wet") == 2
    dry, wet = picture.of("c-bar")[0].area, picture.of("c-bar2")[0].area
    assert dry.bottom < wet.top
    assert wet.width / dry.width == pytest.approx(1.1, abs=0.005)


def test_a_second_value_that_nobody_meant_to_take_is_not_told() -> None:
    """Oil goes into low cylinders alone: an empty printed value has no bar, no name and no word."""
    picture = drawn((100.0, 90.0, 95.0), (None, 95.0, None), printed=(("100", "90", "95"), ("", "95", "-")))
    assert picture.texts.count("dry") == 3
    assert picture.texts.count("wet") == 2
    assert picture.texts.count("not taken") == 1
    assert "not taken" in drawn((None,), printed=(("",),)).texts  # the first series always tells


def test_a_bar_without_its_second_is_level_with_its_label() -> None:
    """Six of eight cylinders had room for a bar with oil that nobody took, and their numbers beside it."""
    picture = drawn((100.0, 90.0), (None, 95.0), printed=(("100", "90"), ("", "95")))
    one, label = picture.of("c-bar")[0].area, picture.word("1").area
    assert (one.top + one.bottom) / 2 == pytest.approx((label.top + label.bottom) / 2, abs=2)
    [parted] = picture.of("c-soft")
    assert parted.area.top - one.bottom < 9, "its row ends soon below it"


def test_bars_of_an_outside_pair_differ_in_hatching() -> None:
    picture = drawn((100.0,), (110.0,), outside=("1",))
    assert [s.hatch for s in picture.of("c-outside")] == ["c-h1", "c-h2"]


def test_sixteen_pairs_stay_legible() -> None:
    """On a phone a unit is about a pixel: no letter below 11, no word on another, all names in full."""
    picture = read(bars.draw(EXAMPLES[1], "c"))
    assert picture.clashes() == []
    assert picture.beyond() == []
    assert min(w.size for w in picture.words) >= 11
    assert " ".join(SIXTEEN).split() == [
        t for w in picture.texts if "Starb" in w or w in SIXTEEN for t in w.split()
    ]


def shared(*values: float, source: str = "invented manual 8, issue 4, page 2-11, cold") -> Picture:
    limits = tuple(limit(v, f"{v:g} psi, {source}") | {"source": source} for v in values)
    return drawn((130.0, 140.0), limits=limits)


def test_a_source_that_all_limits_have_is_written_once() -> None:
    """Above them, so that their own labels stay short; a lone limit keeps it in its label."""
    both = shared(110, 120)
    assert "invented manual 8, issue 4, page 2-11, cold:" in both.texts
    assert {"minimum 110 psi", "minimum 120 psi"} <= set(both.texts)
    assert not [t for t in shared(110).texts if t.endswith(":")]
    two = (limit(110, "110, a") | {"source": "a"}, limit(120, "120, b") | {"source": "b"})
    assert {"minimum 110, a", "minimum 120, b"} <= set(drawn((130.0,), limits=two).texts)


@pytest.mark.parametrize("near", [5.0, 60.0, 100.0, 118.0])
def test_limits_are_written_whole(near: float) -> None:
    """However little room one leaves the other, and with a source of its own each."""
    far = limit(120, "120 psi, invented manual 8, issue 4, page 2-11, cold, at sea level")
    asked = "75 % of the highest, 114.8 psi, invented paper 3, issue 4, page 2-11, cold, at sea level"
    picture = drawn((130.0,), (131.0,), limits=(far, limit(near, asked)), scale=(0, 190))
    assert not [t for t in picture.texts if "…" in t]
    assert picture.clashes() == picture.beyond() == []


def test_a_value_below_zero_goes_the_other_way() -> None:
    picture = drawn((-10.0, 20.0), printed=(("−10", "20.0"),), unit="°C")
    below, above = (s.area for s in picture.of("c-bar"))
    assert below.right == above.left
    assert above.width == pytest.approx(2 * below.width, abs=0.2)
    assert {"−10", "0", "20"} <= set(picture.texts)


def test_all_values_below_zero_end_at_zero_on_the_right() -> None:
    picture = drawn((-10.0, -20.0, None), unit="°C")
    assert picture.of("c-bar")[0].area.right == picture.of("c-bar")[1].area.right
    zero = picture.word("0").area
    assert (zero.left + zero.right) / 2 == pytest.approx(picture.of("c-bar")[0].area.right, abs=0.2)
    assert picture.clashes() == []
    assert picture.beyond() == []


def test_long_labels_and_long_values_leave_the_bars_room() -> None:
    labels = ("Frame 12, port side, below the turn of the bilge, next to the cooler",)
    picture = drawn((4.1,), labels=labels, printed=(("4.10 mm (82 % of new)",),), outside=labels, unit="mm")
    assert picture.clashes() == []
    assert picture.beyond() == []
    assert picture.of("c-outside")[0].area.width > 60
    assert "4.10 mm (82 % of new)" in picture.texts


def test_words_are_in_the_readers_language() -> None:
    words = {"not taken": "nicht gemessen", "outside": "außerhalb", "minimum": "mindestens"}
    picture = drawn((1.0, None), outside=("1",), words=words, limits=(limit(2, "2 bar, Handbuch"),))
    assert {"nicht gemessen", "außerhalb", "mindestens 2 bar, Handbuch"} <= set(picture.texts)
    assert not {"not taken", "outside"} & set(picture.texts)


def test_the_unit_stands_over_the_values_and_every_mark_has_its_number() -> None:
    picture = drawn((100.0, 90.0))
    assert picture.texts.count("psi") == 1
    assert picture.texts[-3:] == ["0", "50", "100"]
    assert picture.texts.count("Cylinder") == 1


def test_a_given_scale_makes_bars_of_two_charts_comparable() -> None:
    """The same value is as long in both, though one chart's own values would end sooner; zero stays."""
    scale = (-20.0, 200.0)
    one, other = drawn((50.0,), scale=scale), drawn((50.0, 200.0), scale=scale)
    alone = drawn((50.0,))
    share = [p.of("c-bar")[0].area.width / _plot(p) for p in (one, other, alone)]
    assert share == pytest.approx([50 / 220, 50 / 220, 1.0], abs=0.002)
    assert "0" in one.texts
    assert drawn((50.0,), scale=None).texts == alone.texts


def test_charts_of_one_scale_have_plots_of_one_length() -> None:
    """The word "outside" and longer values in one of them take room in both."""
    shared: dict[str, Any] = {"scale": (0, 140), "room": {"outside": True, "figures": 3}}
    one = drawn((99.0, 100.0), **shared)
    other = drawn((9.0, 10.0), outside=("1",), **shared)
    assert _plot(one) == _plot(other)
    assert _plot(drawn((99.0, 100.0), scale=(0, 140))) > _plot(one) + 20


def _plot(picture: Picture) -> float:
    """Give the length of the line under the bars [units]."""
    return max(s.points[-1][0] - s.points[-2][0] for s in picture.of("c-ink"))


@pytest.mark.parametrize(
    "data",
    [
        {"labels": ("1",)},
        {"printed": (("1", "2"), ("1", "2"))},
        {"printed": (("1",),)},
        {"series": ()},
    ],
)
def test_values_that_do_not_match_their_labels_are_refused(data: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=re.escape("values and printed values")):
        bars.draw(chart((1.0, 2.0), **data), "c")
