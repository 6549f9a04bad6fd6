"""Counts: how many of each, told by length, by number and by a hatching of its own."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from reportgen.blocks import finding
from reportgen.chart import Chart, Table
from reportgen.charts import counts
from reportgen.drawing import PALETTE
from tests.picture import Picture, read

SEVERITIES = ("stop", "settle", "schedule", "watch", "sound", "checked")


def chart(*numbers: int, labels: tuple[str, ...] = SEVERITIES, plain: bool = False) -> Chart:
    rows = [{"label": label, "count": n, "means": label} for label, n in zip(labels, numbers, strict=False)]
    for row in rows if plain else ():
        del row["means"]
    return Chart("counts", "Findings by severity", "One stop.", {"rows": tuple(rows)}, Table((), ()))


def drawn(*numbers: int) -> Picture:
    return read(counts.draw(chart(*numbers), "c"))


EXAMPLES = (
    chart(1, 3, 7, 4, 9, 2),
    chart(0, 0, 2),
    chart(2, 1, labels=("tan", "black"), plain=True),
    chart(),
)


def bars(picture: Picture) -> list[tuple[str, ...]]:
    return [(*s.classes, s.hatch) for s in picture.strokes if len(s.points) == 4]


def look(picture: Picture) -> list[str]:
    """Give the bars as painted: class, hatching's lines and ground, not the name of the hatching."""
    patterns = {p.get("id"): ET.tostring(p[0]) + ET.tostring(p[1]) for p in picture.root.iter("pattern")}
    painted = [p for p in picture.root if p.tag == "path" and p.get("d", "").endswith("z")]
    return [f"{p.get('class')} {patterns.get(p.get('fill', '')[5:-1], p.get('fill'))!r}" for p in painted]


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


def test_every_meaning_looks_its_own_without_colour() -> None:
    """Fill, edge and hatching together are never the same twice."""
    assert len(set(counts.LOOKS.values())) == len(counts.LOOKS)
    assert set(finding.SEVERITIES) < counts.LOOKS.keys()
    assert len(set(bars(drawn(1, 1, 1, 1, 1, 1)))) == 6


def test_the_first_row_is_the_darkest() -> None:
    first = bars(drawn(1, 1, 1))[0]
    assert first == ("c-bar", "")

    def light(colour: str) -> int:
        return sum(int(colour[n : n + 2], 16) for n in (1, 3, 5))

    assert light(PALETTE["c-bar"]) < light(PALETTE["c-bar2"]) < light(PALETTE["c-paper"])


@pytest.mark.parametrize("means", SEVERITIES)
def test_a_look_goes_by_what_it_means(means: str) -> None:
    """What is checked, or to be watched, looks the same in each edition, whichever rows stand there."""
    full = read(counts.draw(chart(1, 1, 1, 1, 1, 1), "c"))
    alone = read(counts.draw(chart(1, labels=(means,)), "c"))
    assert look(alone)[0] == look(full)[SEVERITIES.index(means)]


def test_rows_without_a_meaning_are_alike() -> None:
    """Colours of spark plugs do not look like stop and settle."""
    picture = read(counts.draw(chart(*range(1, 9), labels=tuple("abcdefgh"), plain=True), "c"))
    assert bars(picture) == [("c-bar", "")] * 8
    assert picture.beyond() == []


def test_what_has_no_look_is_an_error() -> None:
    with pytest.raises(KeyError, match="dire"):
        counts.draw(chart(1, labels=("dire",)), "c")
