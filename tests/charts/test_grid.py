"""Grid: a cell for each place, shaded by its value; outside, ringed and not taken can be told apart."""

from __future__ import annotations

import re
from typing import Any

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import grid
from tests.picture import Area, Picture, Stroke, Word, read

Values = tuple[tuple[float | None, ...], ...]


def chart(across: tuple[str, ...], along: tuple[str, ...], found: Values, **data: Any) -> Chart:
    """Give a plan; values row by row, None where not taken."""
    printed = tuple(tuple("not taken" if v is None else f"{v:g}" for v in row) for row in found)
    full = {
        "rows": across,
        "columns": along,
        "unit": "scale units",
        "values": found,
        "printed": printed,
        "outside": (),
        "marked": (),
        "mark": "",
        "outline": "",
    }
    return Chart("grid", "Moisture, scale units", "Two rows.", {**full, **data}, Table((), ()))


def drawn(rows: tuple[str, ...], columns: tuple[str, ...], values: Values, **data: Any) -> Picture:
    return read(grid.draw(chart(rows, columns, values, **data), "c"))


PORT, STARBOARD = "port", "starboard"
PLAIN: Any = ((PORT, STARBOARD), ("bow", "mast", "engine", "stern"), ((12, 14, 16, 40), (11, None, 18, 25)))
FRAMES = tuple(f"frame {n}" for n in range(1, 25))
ROWS = tuple(f"row {n}" for n in range(1, 9))
LONG = "Port side, below the turn of the bilge, by the cooler's outlet"
PLATES: Any = tuple(tuple(round(6.2 - 0.1 * c - 0.05 * r, 2) for c in range(8)) for r in range(4))
EXAMPLES = (
    chart(
        *PLAIN,
        outline="hull",
        marked=((PORT, "stern"), (STARBOARD, "stern")),
        mark="more than 10 above the dry reference",
        outside=((PORT, "stern"),),
        reference={"label": "dry reference, coachroof", "value": 11.0},
    ),
    chart(
        ("keel", "garboard", "bilge", "sheer"),
        tuple(f"fr {n}" for n in range(8)),
        PLATES,
        unit="mm",
        outline="hull",
        outside=(("sheer", "fr 7"), ("sheer", "fr 6")),
    ),
    chart(("a",), ("b",), ((None,),)),
    chart(("a",), ("b",), ((5.25,),), unit="mm", outline="transom"),
    chart(
        ROWS,
        tuple(str(n) for n in range(12)),
        tuple(tuple(10 + c + 5 * r for c in range(12)) for r in range(8)),
        outline="deck",
    ),
    chart(
        (PORT, STARBOARD),
        FRAMES,
        tuple(tuple(round(6.0 - 0.05 * n, 2) for n in range(24)) for _ in "ab"),
        outline="deck",
    ),
    chart(
        (LONG, "b" * 60),
        (LONG, "c" * 50, "d"),
        ((1.5, 2, 3), (100000.25, 5, None)),
        marked=((LONG, "d"),),
        mark=LONG,
        outline="transom",
        reference={"label": LONG, "value": 2.0, "printed": "2.0"},
    ),
    chart(
        *PLAIN,
        words={"not taken": "nicht gemessen", "outside": "außerhalb"},
        outside=((PORT, "mast"),),
        unit="Skalenteile",
    ),
    chart((), (), ()),
)


def boxes(stroke: Stroke) -> list[Area]:
    """Give the rectangles of a path that holds several, four corners each."""
    corners = [stroke.points[n : n + 4] for n in range(0, len(stroke.points), 4)]
    return [
        Area(min(x for x, _ in c), min(y for _, y in c), max(x for x, _ in c), max(y for _, y in c))
        for c in corners
    ]


def first(picture: Picture, text: str) -> Word:
    """Give the word `text` that stands highest: the one in a cell comes before that in the key."""
    return next(w for w in picture.words if w.text == text)


def ground(picture: Picture, text: str) -> str:
    """Give how the first cell with the value `text` is shaded: class and hatching; nothing for bare paper."""
    area = first(picture, text).area
    x, y = (area.left + area.right) / 2, (area.top + area.bottom) / 2
    for element, stroke in zip((e for e in picture.root if e.tag == "path"), picture.strokes, strict=True):
        fill = element.get("fill", "none")
        for box in boxes(stroke) if fill != "none" and len(stroke.points) % 4 == 0 else ():
            if box.left < x < box.right and box.top < y < box.bottom and box.bottom - box.top > 15:
                return fill
    return ""


def test_each_value_is_printed_in_its_own_cell() -> None:
    """Below its column, beside its row."""
    picture = drawn(*PLAIN)
    for row, values in zip(PLAIN[0], PLAIN[2], strict=True):
        for column, value in zip(PLAIN[1], values, strict=True):
            if value is None:
                continue
            cell, head, side = (first(picture, t).area for t in (f"{value:g}", column, row))
            assert (cell.left + cell.right) / 2 == pytest.approx((head.left + head.right) / 2, abs=0.2)
            assert cell.top == pytest.approx(side.top, abs=0.5)
            assert head.bottom < cell.top


def test_five_steps_look_their_own_without_colour() -> None:
    """From least to greatest, equally wide; fill and hatching together are never the same twice."""
    picture = drawn((PORT,), tuple("abcdef"), ((0, 15, 25, 45, 65, 100),))
    looks = [ground(picture, t) for t in ("15", "25", "45", "65", "100")]
    assert len(set(looks)) == 5
    assert looks[0] == ""
    assert {"0–15", "25", "45", "65", "100"} <= set(picture.texts)


def test_the_edge_of_a_step_belongs_to_the_higher_one() -> None:
    """A fifth of the way up begins the second step; the greatest value stays in the last."""
    picture = drawn((PORT,), tuple("abcd"), ((0, 19.9, 20, 100),))
    assert ground(picture, "19.9") == ""
    assert ground(picture, "20") != ""
    assert {"0–19.9", "20", "100"} <= set(picture.texts)


def test_values_alike_have_one_step() -> None:
    picture = drawn((PORT,), ("a", "b"), ((7, 7),))
    assert picture.texts.count("7") == 3
    assert not picture.of("c-bar", "c-bar2")


def test_not_taken_has_a_cross_that_the_key_explains() -> None:
    """A gap has no shade and no figure, so that it can't be taken for the least value."""
    picture = drawn(*PLAIN)
    crosses = [s for s in picture.of("c-ink") if len(s.points) == 4 and s.area.width < 10]
    assert len(crosses) == 2
    mast, starboard = picture.word("mast").area, picture.word("starboard").area
    assert mast.left < crosses[0].area.left < mast.right
    assert starboard.top < crosses[0].area.top < starboard.bottom
    assert picture.texts.count("not taken") == 1
    assert "not taken" not in drawn((PORT,), ("a",), ((1,),)).texts


def test_outside_has_a_thick_frame_bold_figures_and_the_word() -> None:
    """Not by shade alone; the key says what the frame means."""
    picture = drawn(*PLAIN, outside=((PORT, "stern"),))
    frame, sign = picture.of("c-outside")
    value = first(picture, "40")
    assert value.bold
    assert [w.text for w in picture.words if w.bold] == ["40"]
    assert frame.area.left < value.area.left < value.area.right < frame.area.right
    assert sign.area.bottom == pytest.approx(picture.word("outside").area.bottom, abs=4)
    assert not drawn(*PLAIN).of("c-outside")


def test_a_ring_goes_round_the_figures_and_is_explained() -> None:
    picture = drawn(*PLAIN, marked=((PORT, "engine"),), mark="well above the dry place")
    ring, _ = picture.of("c-limit")
    value = picture.word("16").area
    assert ring.area.left < value.left < value.right < ring.area.right
    assert ring.area.top < value.top < value.bottom < ring.area.bottom
    assert "well above the dry place" in picture.texts


def test_the_reference_has_the_shade_of_its_value() -> None:
    """What is compared with stands in the key with its figure, its step like a cell's of that value."""
    picture = drawn(*PLAIN, reference={"label": "dry place", "value": 11.0})
    assert "dry place: 11" in picture.texts
    assert (
        "dry place: 11.0"
        in drawn(*PLAIN, reference={"label": "dry place", "value": 11.0, "printed": "11.0"}).texts
    )


def test_a_wide_plan_goes_on_below_with_each_column_once() -> None:
    """Rows are named in each strip; the bow is at the first only, the stern at the last."""
    picture = read(grid.draw(EXAMPLES[5], "c"))
    numbers = [w.text for w in picture.words if re.fullmatch(r"[1-9]\d?", w.text) and w.size == 11]
    assert [n for n in numbers if n not in {"5", "6"}] == [str(n) for n in range(1, 25) if n not in (5, 6)]
    strips = picture.texts.count("port")
    assert strips > 1
    outlines = [s.area for s in picture.of("c-soft")][::2]
    assert len(outlines) == strips
    assert outlines[0].left < outlines[1].left
    assert outlines[-1].right > outlines[1].right


@pytest.mark.parametrize("outline", ["hull", "deck", "transom"])
def test_the_outline_lies_round_all_cells(outline: str) -> None:
    """A hull comes to a point before the first column; none is drawn when none is asked for."""
    picture, without = drawn(*PLAIN, outline=outline), drawn(*PLAIN)
    assert len(picture.of("c-soft")) == len(without.of("c-soft")) + 1
    around, ruled = (s.area for s in picture.of("c-soft"))
    assert around.left < ruled.left
    assert around.right > ruled.right
    assert around.top < ruled.top
    assert around.bottom > ruled.bottom
    tip = min(picture.of("c-soft")[0].points)
    assert (ruled.left - tip[0] > 15) == (outline != "transom")
    if outline != "transom":
        assert tip[1] == pytest.approx((ruled.top + ruled.bottom) / 2, abs=0.2)


def test_twelve_columns_of_eight_rows_stay_in_one_strip() -> None:
    picture = read(grid.draw(EXAMPLES[4], "c"))
    assert picture.texts.count("row 1") == 1
    assert picture.clashes() == []
    assert min(w.size for w in picture.words) >= 11


def test_a_given_scale_sets_the_steps() -> None:
    """Two hulls can be laid side by side: the same value has the same shade."""
    scale = (0.0, 100.0)
    one = drawn((PORT,), ("a", "b"), ((30, 50),), scale=scale)
    other = drawn((PORT,), ("a", "b"), ((30, 99),), scale=scale)
    assert one.texts.count("30") == other.texts.count("30") == 2
    look = [[s.classes for s in p.strokes if s.hatch] for p in (one, other)]
    assert len(look[0]) == len(look[1]) > 0
    assert not [s for s in drawn((PORT,), ("a", "b"), ((30, 50),)).strokes if s.hatch]


def test_words_are_in_the_readers_language() -> None:
    texts = read(grid.draw(EXAMPLES[7], "c")).texts
    assert {"nicht gemessen", "außerhalb", "Skalenteile"} <= set(texts)
    assert not {"not taken", "outside"} & set(texts)


def test_an_ordinary_plan_is_small() -> None:
    """Two rows of four; 5 KB were measured, and 10 KB for four rows of eight."""
    assert len(grid.draw(EXAMPLES[0], "c").encode()) < 6000
    assert len(grid.draw(EXAMPLES[1], "c").encode()) < 11000


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"values": ((1, 2, 3, 4), (1, 2))}, "2 rows of 4 columns"),
        ({"printed": (("1",) * 4,)}, "2 rows of 4 columns"),
        ({"outside": ((PORT, "keel"),)}, "no cell"),
        ({"marked": (("keel", "bow"),)}, "no cell"),
    ],
)
def test_data_that_do_not_match_are_refused(told: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        grid.draw(chart(*PLAIN, **told), "c")
