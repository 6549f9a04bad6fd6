"""Numbers of a scale stand at their marks, and the unit behind the last."""

from __future__ import annotations

import pytest

from reportgen import signs
from reportgen.drawing import Sheet
from tests.picture import Picture, Word, read


def drawn(*ticks: tuple[float, str], unit: str = "") -> Picture:
    sheet = Sheet()
    signs.numbers(sheet, ticks, 20, unit)
    return read(sheet.svg(30, "Scale", "Scale.", "c"))


def middle(word: Word) -> float:
    return (word.area.left + word.area.right) / 2


def test_numbers_stand_under_their_marks() -> None:
    found = drawn((60.0, "0"), (300.0, "2000"), unit="EUR").words
    assert [w.text for w in found] == ["0", "2000 EUR"]
    assert middle(found[0]) == pytest.approx(60, abs=0.5)
    assert found[1].area.left < 300 < found[1].area.left + 40


def test_at_the_edges_they_move_inwards() -> None:
    """The last number was left out for the unit once; both stand there now."""
    picture = drawn((3.0, "1000"), (357.0, "2000"), unit="EUR")
    assert picture.texts == ["1000", "2000 EUR"]
    assert picture.beyond() == []


def test_a_unit_without_room_is_left_to_the_title() -> None:
    picture = drawn((290.0, "2000"), (356.0, "4000"), unit="scale units")
    assert picture.texts == ["2000", "4000"]
    assert picture.clashes() == picture.beyond() == []


def test_without_numbers_the_unit_stands_alone() -> None:
    assert drawn(unit="EUR").texts == ["EUR"]
    assert drawn().texts == []


WITHIN = signs.Area(30, 0, 340, 100)


def test_a_figure_at_the_edge_moves_inwards() -> None:
    """The first value of a sea trial stood at the scale and was not printed, as its line rises beside it."""
    line = [(39.0, 91.0), (200.0, 45.0)]
    place = signs.room_for(24, 11, (39, 91, 6), WITHIN, [], [line])
    assert place
    assert (place.left, place.bottom) == (32, 85)
    far = signs.room_for(24, 11, (335, 50, 6), WITHIN, [], [])
    assert far
    assert far.right == 340
