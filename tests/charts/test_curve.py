"""Curve: every value stands where its figure says, and what is outside or not taken can be told apart."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import curve
from tests.picture import Picture, Stroke, Word, read


def series(name: str, *values: float | None, first: float = 800, step: float = 400) -> dict[str, Any]:
    """Give a series as a kind does, its values at rising speeds."""
    points = ((first + step * n, v, "not taken" if v is None else f"{v:g}") for n, v in enumerate(values))
    return {"name": name, "points": tuple(points)}


def panel(name: str, unit: str, *told: dict[str, Any], **data: Any) -> dict[str, Any]:
    return {"name": name, "unit": unit, "series": told, "limits": (), "outside": (), **data}


def limit(value: float, label: str, side: str = "maximum") -> dict[str, Any]:
    return {"value": value, "label": label, "side": side}


def chart(*panels: dict[str, Any], **data: Any) -> Chart:
    full = {"x_name": "Engine speed", "x_unit": "rpm", "panels": panels, **data}
    return Chart("curve", "Values over engine speed", "Two panels.", full, Table((), ()))


def drawn(*panels: dict[str, Any], **data: Any) -> Picture:
    return read(curve.draw(chart(*panels, **data), "c"))


COOLANT = panel(
    "Coolant",
    "°C",
    series("port", 71, 74, 78, 83, 88, 91),
    series("starboard", 70, 75, None, 86, 93, 99),
    limits=(limit(95, "maximum 95 °C, engine handbook p. 31"),),
    outside=(("starboard", 2800.0),),
)
OIL = panel(
    "Oil pressure",
    "bar",
    series("port", 1.4, 2.2, 2.9, 3.4, 3.6, 3.7),
    series("starboard", 1.3, 2.1, 2.7, 3.2),
    limits=(limit(0.8, "0.8 bar, engine handbook p. 31", "minimum"),),
)
LONG = "Exhaust elbow of the port engine, on the outer side, behind the injected water"
BOTH = (limit(620, "620 °C, handbook"), limit(300, "300 °C", "minimum"))
MANY = tuple(
    panel(
        f"Cylinder {n}",
        "°C",
        *(series(f"engine {e}", *(380 + 9 * e + 11 * k for k in range(12)), step=200) for e in range(6)),
        limits=BOTH,
    )
    for n in range(6)
)
EXAMPLES = (
    chart(COOLANT, OIL, band={"low": 2600.0, "high": 2800.0, "label": "full throttle by the maker"}),
    chart(panel("Boost", "bar", series("Boost", 0.1, 0.3, None, 0.9, 1.4))),
    chart(panel("Speed", "kn", series("Speed", 6.1), outside=(("Speed", 800.0),))),
    chart(panel("Speed", "kn", series("Speed", None, None))),
    chart(*MANY),
    chart(
        panel(LONG, "°C", series(LONG, 61, 63, 66), series("x" * 90, 52, 53, 51), limits=(limit(90, LONG),)),
        x_name=LONG,
    ),
    chart(
        COOLANT,
        x_name="Motordrehzahl",
        x_unit="1/min",
        words={"not taken": "nicht gemessen", "outside": "außerhalb", "maximum": "höchstens"},
    ),
    chart(
        panel("Trim", "°", series("Trim", -2.5, -1.0, 0.5)),
        band={"low": None, "high": 1000.0, "label": "before planing"},
    ),
    chart(panel("Fuel", "l/h", *(series(f"tank {n}", None, 4.0 + n, None) for n in range(6)))),
    chart(),
)


def middle(thing: Stroke | Word) -> tuple[float, float]:
    area = thing.area
    return (area.left + area.right) / 2, (area.top + area.bottom) / 2


def polylines(picture: Picture, points: int) -> list[Stroke]:
    """Give the lines of values that have so many points in one path."""
    found = (s for s in picture.strokes if s.classes == ("c-ink",) and s.area.width > 10)
    return [s for s in found if len(s.points) == points]


def test_values_stand_at_their_speed_and_height() -> None:
    """The line goes as far across and up as the figures say, beside the numbers of both scales."""
    picture = drawn(panel("Coolant", "°C", series("Coolant", 60, 70, 100)))
    (line,) = polylines(picture, 3)
    (ax, ay), (bx, by), (cx, cy) = line.points
    assert bx - ax == pytest.approx(cx - bx, abs=0.2)
    assert (ay - by) / (ay - cy) == pytest.approx(0.25, abs=0.01)
    assert middle(picture.word("800"))[0] == pytest.approx(ax, abs=0.5)
    (scale,) = (w for w in picture.words if w.text == "80" and w.area.right < 30)
    assert middle(scale)[1] == pytest.approx((ay + cy) / 2, abs=1.5)


def test_a_scale_begins_at_zero_where_zero_is_near() -> None:
    """Values far from zero keep their own scale, so that their changes can be seen."""
    near = drawn(panel("Oil", "bar", series("Oil", 1, 4)))
    far = drawn(panel("Coolant", "°C", series("Coolant", 60, 70)))
    assert "0" in near.texts
    assert "0" not in far.texts


def test_a_value_not_taken_parts_the_line_and_has_a_cross() -> None:
    """Four of five were taken: two lines of two, and below the axis, where no value can be, one cross."""
    picture = drawn(panel("Oil", "bar", series("Oil", 1, 2, None, 4, 5)))
    (line,) = polylines(picture, 4)
    cross, sign = [s for s in picture.of("c-ink") if len(s.points) == 4 and s.area.width < 10]
    assert line.points[1][0] < middle(cross)[0] < line.points[2][0]
    (path,) = [e for e in picture.root if e.get("stroke-width") == "1.5" and e.get("class") == "c-ink"]
    assert path.attrib["d"].count("M") == 2
    axis = next(s for s in picture.strokes if s.classes == ("c-ink",)).points[1][1]
    assert cross.area.top > axis
    assert middle(sign)[1] == pytest.approx(middle(picture.word("not taken"))[1], abs=2)
    assert picture.texts.count("not taken") == 1
    assert "not taken" not in drawn(panel("Oil", "bar", series("Oil", 1, 2))).texts


def test_none_taken_at_all_has_no_line_and_no_scale() -> None:
    picture = drawn(panel("Oil", "bar", series("Oil", None, None)))
    assert not picture.of("c-bar", "c-soft")
    assert "not taken" in picture.texts


def test_engines_differ_in_dashes_marks_and_have_their_names_at_their_ends() -> None:
    """Both lines on one scale; each name beside the last value of its own line."""
    picture = drawn(panel("Oil", "bar", series("port", 1, 2, 4), series("starboard", 1, 1.5, 2)))
    port, starboard = polylines(picture, 3)
    assert (port.dashed, starboard.dashed) == (False, True)
    squares, triangles = picture.of("c-bar")[0], picture.of("c-bar2")[0]
    assert (len(squares.points), len(triangles.points)) == (12, 9)
    for name, line in (("port", port), ("starboard", starboard)):
        word = picture.word(name).area
        assert word.left > line.area.right
        assert (word.top + word.bottom) / 2 == pytest.approx(line.points[-1][1], abs=4)


def test_a_lone_series_called_like_its_panel_is_not_named_again() -> None:
    picture = drawn(panel("Oil", "bar", series("oil", 1, 2)), panel("Boost", "bar", series("port", 1, 2)))
    assert "oil" not in picture.texts
    assert "port" in picture.texts


def test_a_gap_among_several_shows_whose_it_is() -> None:
    """The crossed-out mark below the axis has the outline of its series: three corners for the second."""
    picture = drawn(panel("Oil", "bar", series("port", 1, 2), series("starboard", 1, None)))
    assert [len(s.points) for s in picture.of("c-paper")] == [3]
    both = drawn(panel("Oil", "bar", series("port", 1, None), series("starboard", 1, None)))
    port, starboard = both.of("c-paper")
    assert starboard.area.right < port.area.left


def test_outside_has_a_ring_bold_figures_and_the_word() -> None:
    """Only the value that is outside, and not by colour alone."""
    picture = drawn(panel("Oil", "bar", series("Oil", 1, 2, 3.5), outside=(("Oil", 1600.0),)))
    (line,) = polylines(picture, 3)
    around, sign = picture.of("c-outside")
    assert middle(around) == pytest.approx(line.points[2], abs=0.2)
    assert [w.text for w in picture.words if w.bold] == ["Oil, bar", "3.5"]
    assert abs(middle(sign)[1] - middle(picture.word("outside"))[1]) < 3
    assert not drawn(panel("Oil", "bar", series("Oil", 1, 2, 3.5))).of("c-outside")


def test_a_limit_is_a_dashed_line_at_its_value_and_named_above() -> None:
    """The sample before its words has the same dashes; the side is said once."""
    limits = (limit(2, "minimum 2 bar, handbook", "minimum"), limit(6, "6 bar, handbook"))
    picture = drawn(panel("Oil", "bar", series("Oil", 1, 3), limits=limits))
    low, high = [s for s in picture.of("c-limit") if s.area.width > 100]
    (line,) = polylines(picture, 2)
    (_, one), (_, three) = line.points
    assert low.points[0][1] == pytest.approx((one + three) / 2, abs=0.2)
    assert high.points[0][1] < three
    assert {"minimum 2 bar, handbook", "maximum 6 bar, handbook"} <= set(picture.texts)
    dashes = [e.get("stroke-dasharray") for e in picture.root if "c-limit" in e.get("class", "")]
    assert dashes[:2] == dashes[2:]
    assert dashes[0] != dashes[1]


def test_a_range_across_is_hatched_in_every_panel_and_explained() -> None:
    """Its edges stand at its speeds; an open side runs to the panel's edge."""
    told = (panel("Oil", "bar", series("Oil", 1, 2, 3)), panel("Boost", "bar", series("Boost", 1, 2, 3)))
    picture = drawn(*told, band={"low": 1200.0, "high": None, "label": "full throttle"})
    first, second, sign = [s for s in picture.strokes if s.hatch]
    (line, _) = polylines(picture, 3)
    assert first.area.left == second.area.left == pytest.approx(line.points[1][0], abs=0.2)
    assert first.area.right > line.points[2][0] + 5
    edges = [s.points[0][0] for s in picture.of("c-limit")]
    assert edges == pytest.approx([first.area.left, second.area.left, sign.area.left], abs=0.1)
    assert sign.area.top > second.area.bottom
    assert "full throttle" in picture.texts


def test_panels_share_the_axis() -> None:
    """The same speed stands at the same place, though only one panel reaches so far."""
    picture = drawn(
        panel("Oil", "bar", series("Oil", 1, 2, 3)), panel("Boost", "bar", series("Boost", 1, 2, 3, 4, 5))
    )
    (oil,), (boost,) = polylines(picture, 3), polylines(picture, 5)
    assert [x for x, _ in oil.points] == [x for x, _ in boost.points[:3]]
    assert oil.area.bottom < boost.area.top
    assert picture.texts.count("Engine speed, rpm") == 1


def test_given_scales_put_the_same_value_at_the_same_place() -> None:
    """Two charts of two engines can be laid side by side."""
    shared: dict[str, Any] = {"scales": ((0.0, 8.0),), "x_scale": (600.0, 3200.0)}
    one = drawn(panel("Oil", "bar", series("Oil", 2, 3)), **shared)
    other = drawn(panel("Oil", "bar", series("Oil", 2, 7, 8)), **shared)
    assert polylines(one, 2)[0].points[0] == polylines(other, 3)[0].points[0]
    alone = drawn(panel("Oil", "bar", series("Oil", 2, 3)))
    assert polylines(alone, 2)[0].points[0] != polylines(one, 2)[0].points[0]


def test_figures_lie_on_no_line_and_no_mark() -> None:
    """Those are printed that find room; one that would lie on a line has another place."""
    told = panel("Oil", "bar", series("port", 2, 3, 2, 3), series("starboard", 2.6, 2.5, 2.6, 2.5))
    picture = drawn(told)
    port, starboard = polylines(picture, 4)
    figures = [
        w
        for w in picture.words
        if 40 < w.area.left < port.area.right and w.area.bottom < port.area.bottom + 15
    ]
    assert len(figures) > 3
    ink = [spot for line in (port, starboard) for pair in pairwise(line.points) for spot in _between(*pair)]
    for area in (w.area for w in figures):
        assert not [p for p in ink if area.left < p[0] < area.right and area.top < p[1] < area.bottom]


def test_figures_keep_off_the_edges_of_a_range() -> None:
    """A value on the maker's lowest speed is printed beside that edge."""
    band = {"low": 1200.0, "high": None, "label": "full throttle"}
    picture = drawn(panel("Oil", "bar", series("Oil", 1, 2, 3)), band=band)
    edge = picture.of("c-limit")[0].area.left
    (figure,) = (w for w in picture.words if w.text == "2" and w.area.left > 40)
    assert not figure.area.left < edge < figure.area.right


def _between(start: tuple[float, float], end: tuple[float, float]) -> list[tuple[float, float]]:
    shares = [n / 100 for n in range(101)]
    return [(start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * t) for t in shares]


def test_a_value_outside_is_always_printed() -> None:
    """Even amid lines that leave no room beside it."""
    rows = tuple(series(f"engine {n}", *(2 + 0.1 * n, 2.2 - 0.1 * n, 2 + 0.1 * n)) for n in range(5))
    assert "2" in [
        w.text for w in drawn(panel("Oil", "bar", *rows, outside=(("engine 2", 1200.0),))).words if w.bold
    ]


def test_words_are_in_the_readers_language() -> None:
    texts = read(curve.draw(EXAMPLES[6], "c")).texts
    assert {"nicht gemessen", "außerhalb", "Motordrehzahl, 1/min"} <= set(texts)
    assert not {"not taken", "outside"} & set(texts)


def test_an_ordinary_chart_is_small() -> None:
    """Two panels of two engines; 7 KB were measured."""
    assert len(curve.draw(EXAMPLES[0], "c").encode()) < 9000


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({"panels": (panel("Oil", "bar", {"name": "Oil", "points": ((800.0, 1.0),)}),)}, "3 values"),
        ({"panels": (panel("Oil", "bar", series("Oil", 1), outside=(("Oil", 900.0),)),)}, "no point"),
        ({"scales": ((0.0, 1.0), None)}, "as many scales"),
    ],
)
def test_data_that_do_not_match_are_refused(told: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        drawn(panel("Oil", "bar", series("Oil", 1, 2)), **told) if "panels" not in told else drawn(
            *told["panels"]
        )


def test_a_panel_without_zero_says_so() -> None:
    """Beside its name, or on a line of its own; a panel that begins at zero says nothing."""
    cut = "the scale does not begin at zero"
    far, near = panel("Coolant", "°C", series("Coolant", 79, 83)), panel("Oil", "bar", series("Oil", 1, 4))
    picture = drawn(far, near)
    (said,) = (w for w in picture.words if w.text == cut)
    (name,) = (w for w in picture.words if w.text == "Coolant, °C")
    assert said.area.left > name.area.right
    assert said.area.bottom == pytest.approx(name.area.bottom, abs=3)
    assert cut not in drawn(near).texts
    assert cut in drawn(panel("", "", series("", 79, 83))).texts
