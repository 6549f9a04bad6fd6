"""Counts: how many of each, told by length, by number and by a hatching of its own."""

from __future__ import annotations

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import counts
from reportgen.drawing import PALETTE
from tests.picture import Picture, read

SEVERITIES = ("stop", "settle", "schedule", "watch", "sound")


def chart(*numbers: int, labels: tuple[str, ...] = SEVERITIES) -> Chart:
    rows = tuple({"label": label, "count": n} for label, n in zip(labels, numbers, strict=False))
    return Chart("counts", "Findings by severity", "One stop.", {"rows": rows}, Table((), ()))


def drawn(*numbers: int) -> Picture:
    return read(counts.draw(chart(*numbers), "c"))


EXAMPLES = (chart(1, 3, 7, 4, 9), chart(0, 0, 2), chart())


def bars(picture: Picture) -> list[tuple[str, ...]]:
    return [(*s.classes, s.hatch) for s in picture.strokes if len(s.points) == 4]


def test_bars_are_as_long_as_their_counts() -> None:
    picture = drawn(1, 3, 7)
    one, three, seven = (s.area.width for s in picture.strokes if len(s.points) == 4)
    assert (seven / one, three / one) == (pytest.approx(7, rel=0.01), pytest.approx(3, rel=0.01))


def test_each_count_is_printed_right_behind_its_bar() -> None:
    picture = drawn(2, 5)
    for text, stroke in zip(("2", "5"), [s for s in picture.strokes if len(s.points) == 4], strict=True):
        word = picture.word(text)
        assert word.bold
        assert 0 < word.area.left - stroke.area.right < 15
        assert word.area.top < stroke.area.bottom


def test_none_is_printed_as_0_without_a_bar() -> None:
    picture = drawn(0, 4)
    assert picture.texts == ["stop", "0", "settle", "4"]
    assert len(bars(picture)) == 1


def test_all_none_and_no_rows_are_drawn() -> None:
    assert drawn(0, 0).texts == ["stop", "0", "settle", "0"]
    assert drawn().texts == []


def test_every_severity_looks_its_own_without_colour() -> None:
    """Fill, edge and hatching together are never the same twice."""
    looks = bars(drawn(1, 1, 1, 1, 1))
    assert len(set(looks)) == 5


def test_the_first_row_is_the_darkest() -> None:
    first = bars(drawn(1, 1, 1, 1, 1))[0]
    assert first == ("c-bar", "")

    def light(colour: str) -> int:
        return sum(int(colour[n : n + 2], 16) for n in (1, 3, 5))

    assert light(PALETTE["c-bar"]) < light(PALETTE["c-bar2"]) < light(PALETTE["c-paper"])


def test_a_look_does_not_depend_on_which_rows_are_empty() -> None:
    """A schedule finding looks the same in every report, also where there is no stop."""
    full, some = bars(drawn(1, 1, 1)), bars(drawn(0, 0, 1))
    assert full[2] == some[0]


def test_more_rows_than_looks_are_drawn() -> None:
    picture = read(counts.draw(chart(*range(1, 9), labels=tuple("abcdefgh")), "c"))
    assert len(bars(picture)) == 8
    assert picture.beyond() == []
