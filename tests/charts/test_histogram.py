"""A histogram: columns as tall as their shares, side by side, and marks at their sums."""

from __future__ import annotations

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import histogram
from tests.picture import Picture, read

STEPS = ((1000, 1200, 5.0), (1200, 1400, 40.0), (1400, 1600, 35.0), (1600, 1800, 20.0))
MARKS = ((1220.0, "P10 $1,220"), (1400.0, "P50 $1,400"), (1690.0, "P90 $1,690"))


def chart(
    steps: tuple[tuple[float, float, float], ...] = STEPS, marks: tuple[tuple[float, str], ...] = MARKS
) -> Chart:
    data = {
        "steps": tuple({"low": low, "high": high, "share": share} for low, high, share in steps),
        "unit": "USD",
        "marks": tuple({"value": value, "label": label} for value, label in marks),
    }
    return Chart("histogram", "Total by chance", "Likely near 1,400.", data, Table((), ()))


# marks that lie close together, and at the very ends; sums of many figures; no marks; nothing at all
CLOSE = ((1001.0, "P10 $1,001"), (1003.0, "P50 $1,003"), (1799.0, "P90 $1,799"))
MANY = tuple((3.0e7 + n * 2.0e6, 3.0e7 + (n + 1) * 2.0e6, 4.0 + n % 5) for n in range(22))
EXAMPLES = (
    chart(),
    chart(marks=CLOSE),
    chart(MANY, ((4.1e7, "P50 ¥41,000,000"),)),
    chart(marks=()),
    chart((), ()),
)


def drawn(made: Chart) -> Picture:
    return read(histogram.draw(made, "c"))


def columns(picture: Picture) -> list[tuple[float, float, float]]:
    """Give left edge, width and height of each column."""
    areas = [s.area for s in picture.strokes if "c-bar2" in s.classes]
    return [(a.left, a.width, a.bottom - a.top) for a in areas]


def test_columns_are_as_tall_as_their_shares_and_as_wide_as_their_steps() -> None:
    found = columns(drawn(chart()))
    assert [tall / found[1][2] for _, _, tall in found] == pytest.approx([0.125, 1, 0.875, 0.5], abs=0.02)
    assert len({round(width, 1) for _, width, _ in found}) == 1
    wide = columns(drawn(chart(((1000, 1200, 50.0), (1200, 1800, 50.0)))))
    assert wide[1][1] / wide[0][1] == pytest.approx(3, rel=0.02)


def test_a_mark_beyond_all_columns_stands_beside_them() -> None:
    """A sum that never came up widens the scale; it is not drawn at the first column's edge."""
    first, *_ = columns(drawn(chart()))
    moved, *_ = columns(drawn(chart(marks=((800.0, "likely $800"), *MARKS))))
    assert moved[0] > first[0] + 20


def test_a_step_without_draws_has_no_column() -> None:
    assert len(columns(drawn(chart(((0, 1, 50.0), (1, 2, 0.0), (2, 3, 50.0)))))) == 2


def test_a_mark_stands_at_its_sum_with_its_words_at_its_left() -> None:
    """P50 at 1,400 lies halfway between 1,000 and 1,800, where the third column begins."""
    picture = drawn(chart())
    third = columns(picture)[2][0]
    lines = sorted({round(s.area.left, 1) for s in picture.strokes if "c-limit" in s.classes})
    assert lines[1] == pytest.approx(third, abs=1.0)
    assert 0 < lines[1] - picture.word("P50 $1,400").area.right < 12


def test_words_of_marks_stand_below_one_another_the_greatest_on_top() -> None:
    picture = drawn(chart(marks=(*CLOSE[:2], (1005.0, "P90 $1,005"))))
    tops = [w.area.top for w in picture.words if w.text.startswith("P")]
    assert tops == sorted(tops)
    assert len(set(tops)) == 3


def test_the_scale_has_round_numbers_and_the_unit() -> None:
    texts = drawn(chart()).texts
    assert texts[-2:] == ["1000", "1500 USD"]


def test_lines_part_no_column() -> None:
    """A pale edge along a line made two columns of one."""
    painted = [set(s.classes) for s in drawn(chart()).strokes if set(s.classes) != {"c-ink"}]
    assert painted == [{"c-limit"}] * 3 + [{"c-bar2"}] * 4
