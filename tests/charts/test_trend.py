"""Trend: values over dates or hours, those below detection apart from those found."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from reportgen.chart import Chart, Table
from reportgen.charts import trend
from tests.picture import Picture, Stroke, read

DAYS = ("2021-05-02", "2022-04-18", "2023-05-09", "2024-04-27", "2025-05-11")
HOURS = (120.0, 250.0, 380.0, 610.0, 11250.0)


def series(name: str, *values: float | str | None, at: tuple[Any, ...] = DAYS) -> dict[str, Any]:
    """Give a series as a kind does; "<5" is below 5."""
    points = []
    for x, value in zip(at, values, strict=False):
        below = isinstance(value, str)
        found = float(value[1:]) if isinstance(value, str) else value
        points.append((x, found, "not taken" if value is None else f"{value}", below))
    return {"name": name, "points": tuple(points)}


def panel(name: str, unit: str, *told: dict[str, Any], **data: Any) -> dict[str, Any]:
    return {"name": name, "unit": unit, "series": told, "limits": (), "outside": (), **data}


def chart(*panels: dict[str, Any], **data: Any) -> Chart:
    full = {"x_kind": "date", "x_name": "Date of the sample", "panels": panels, **data}
    return Chart("trend", "Oil analysis", "Iron rises.", full, Table((), ()))


def drawn(*panels: dict[str, Any], **data: Any) -> Picture:
    return read(trend.draw(chart(*panels, **data), "c"))


IRON = panel(
    "Iron",
    "ppm",
    series("port", 22, 25, None, 41, 88),
    series("starboard", 20, 24, 26, 30, 33),
    limits=({"value": 80.0, "label": "80 ppm, handbook of the engine p. 14", "side": "maximum"},),
    outside=(("port", "2025-05-11"),),
)
COPPER = panel(
    "Copper", "ppm", series("port", "<5", "<5", 7, 9, 12), series("starboard", "<5", 6, 6, "<5", 8)
)
LONG = "Water in the oil of the gearbox behind the starboard engine, by the laboratory's hot plate"
EXAMPLES = (
    chart(IRON, COPPER),
    chart(panel("Copper", "ppm", series("Copper", "<5"))),
    chart(panel("Copper", "ppm", series("Copper", None, None))),
    chart(
        panel("Copper", "ppm", series("Copper", 5, "<5", 9, None, 12, at=HOURS)),
        x_kind="hours",
        x_name="Engine hours",
    ),
    chart(panel("Soot", "%", series("Soot", 0.2, 0.3, at=("2025-04-02", "2025-05-11")))),
    chart(panel("Soot", "%", series("Soot", 0.2, 0.3, 0.35, at=("2024-07-02", "2024-12-01", "2025-05-11")))),
    chart(
        *(
            panel(LONG, "%", series(LONG, *(0.01 * k * n for k in range(5))), series("b", "<0.1", 0.2))
            for n in range(1, 9)
        )
    ),
    chart(
        panel("Wasser", "%", series("Wasser", None, 0.2, "<0.1"), outside=(("Wasser", DAYS[1]),)),
        x_name="Tag der Probe",
        words={"not taken": "nicht gemessen", "outside": "außerhalb", "below detection": "nicht nachweisbar"},
    ),
    chart(
        panel("Iron", "ppm", series("Iron", *range(10, 50), at=tuple(f"20{n:02d}-03-01" for n in range(40))))
    ),
    chart(),
)


def polylines(picture: Picture, points: int) -> list[Stroke]:
    """Give the lines of values that have so many points in one path."""
    found = (s for s in picture.strokes if s.classes == ("c-ink",) and s.area.width > 10)
    return [s for s in found if len(s.points) == points]


def test_days_stand_as_far_apart_as_they_are() -> None:
    """Days between samples are distances on the sheet; years stand where they begin."""
    picture = drawn(panel("Iron", "ppm", series("Iron", 10, 20, 30, 40, 50)))
    (line,) = polylines(picture, 5)
    xs = [x for x, _ in line.points]
    days = [date.fromisoformat(d).toordinal() for d in DAYS]
    per_day = (xs[-1] - xs[0]) / (days[-1] - days[0])
    assert xs == pytest.approx([xs[0] + (d - days[0]) * per_day for d in days], abs=0.2)
    year = picture.word("2023").area
    assert (year.left + year.right) / 2 == pytest.approx(
        xs[0] + (date(2023, 1, 1).toordinal() - days[0]) * per_day, abs=0.5
    )


@pytest.mark.parametrize(
    ("first", "last", "texts"),
    [
        ("2025-05-11", "2025-05-11", ["2025-05-11"]),
        ("2025-05-11", "2025-05-14", ["2025-05-11", "2025-05-12", "2025-05-13", "2025-05-14"]),
        ("2025-01-31", "2025-05-11", ["2025-02", "2025-03", "2025-04", "2025-05"]),
        ("2025-01-01", "2025-05-11", ["2025-01", "2025-03", "2025-05"]),
        ("2024-02-01", "2025-02-01", ["2024-04", "2024-07", "2024-10", "2025-01"]),
        ("2021-05-02", "2025-05-11", ["2022", "2023", "2024", "2025"]),
        ("2000-01-01", "2025-05-11", ["2000", "2010", "2020"]),
        ("1899-12-31", "2025-05-11", ["1900", "1950", "2000"]),
    ],
)
def test_dates_are_written_as_fine_as_their_span(first: str, last: str, texts: list[str]) -> None:
    """Days, months or years as ISO 8601 writes them, few enough to stand side by side."""
    ends = [float(date.fromisoformat(d).toordinal()) for d in (first, last)]
    found = [text for _, text in trend._dates(*ends)]
    assert found == texts


def test_below_detection_is_hollow_at_its_figure_and_printed_so() -> None:
    """An open mark where a filled one would stand, "<" before the figure once, and what that means."""
    picture = drawn(panel("Copper", "ppm", series("Copper", "<5", 10)))
    (line,) = polylines(picture, 2)
    hollow = [s for s in picture.of("c-paper") if "c-ink" in s.classes]
    assert hollow[0].area.left < line.points[0][0] < hollow[0].area.right
    assert hollow[0].area.top < line.points[0][1] < hollow[0].area.bottom
    assert [len(s.points) for s in picture.of("c-bar")] == [4]
    assert {"<5", "10", "< below detection"} <= set(picture.texts)
    assert "< below detection" not in drawn(panel("Copper", "ppm", series("Copper", 5, 10))).texts


def test_a_figure_without_the_sign_gets_it() -> None:
    told = {"name": "Copper", "points": ((DAYS[0], 5.0, "5", True),)}
    assert "<5" in drawn(panel("Copper", "ppm", told)).texts


def test_hours_stand_on_a_scale_of_numbers() -> None:
    picture = drawn(panel("Iron", "ppm", series("Iron", 10, 20, 30, at=(0.0, 500.0, 1000.0))), x_kind="hours")
    (line,) = polylines(picture, 3)
    words = [max((w.area for w in picture.words if w.text == t), key=lambda a: a.top) for t in ("0", "1000")]
    middles = [(a.left + a.right) / 2 for a in words]
    assert middles == pytest.approx([line.points[0][0], line.points[2][0]], abs=0.3)


def test_not_taken_parts_the_line() -> None:
    picture = drawn(panel("Iron", "ppm", series("Iron", 10, 20, None, 30, 40)))
    assert "not taken" in picture.texts
    (line,) = polylines(picture, 4)
    assert line.points[2][0] - line.points[1][0] > line.points[1][0] - line.points[0][0] + 20


def test_outside_and_limit_are_told_without_colour() -> None:
    picture = read(trend.draw(EXAMPLES[0], "c"))
    assert [w.text for w in picture.words if w.bold] == ["Iron, ppm", "88", "Copper, ppm"]
    assert "maximum 80 ppm, handbook of the engine p. 14" in picture.texts
    assert all(s.dashed for s in picture.of("c-limit"))
    assert picture.texts.count("outside") == 1


def test_given_scales_put_the_same_value_at_the_same_place() -> None:
    shared: dict[str, Any] = {"scales": ((0.0, 90.0),), "x_scale": ("2020-01-01", "2026-01-01")}
    one = drawn(panel("Iron", "ppm", series("Iron", 10, 20)), **shared)
    other = drawn(panel("Iron", "ppm", series("Iron", 10, 30, 80)), **shared)
    assert polylines(one, 2)[0].points[0] == polylines(other, 3)[0].points[0]


def test_panels_of_one_unit_begin_alike_at_zero() -> None:
    """Copper from 7 to 11 would look as steep as iron from 5 to 52; viscosity keeps a scale of its own."""
    told = (("iron", "ppm", 5, 52), ("copper", "ppm", 7, 11), ("viscosity", "cSt", 13, 15))
    picture = drawn(*(panel(name, unit, series(name, *values)) for name, unit, *values in told))
    assert picture.texts.count("0") == 2
    assert "Date of the sample" not in picture.texts, "dates tell that they are dates"


def test_what_is_below_detection_is_measured_from_zero() -> None:
    """Its open mark would lie on the axis."""
    assert "0.00" in drawn(panel("water", "%", series("water", "<0.1", 0.19))).texts
    assert "0.00" not in drawn(panel("water", "%", series("water", 0.1, 0.19))).texts


def test_no_figure_below_detection_stands_between_two_marks() -> None:
    """Where samples follow each other closely, it could be of either; some are left to the table."""
    days = ("2021-05-02", "2021-06-18", "2021-07-30", "2021-09-14", "2026-05-11")
    picture = drawn(panel("water", "%", series("water", *["<0.1"] * 5, at=days)))
    corners = picture.of("c-paper")[0].points
    marks = [(corners[n][0] + corners[n + 1][0]) / 2 for n in range(0, len(corners), 4)]
    found = [w.area for w in picture.words if w.text == "<0.1"]
    assert (len(marks), len(found)) == (5, 3)
    assert all(any(area.left <= x <= area.right for x in marks) for area in found)


def test_words_are_in_the_readers_language() -> None:
    texts = read(trend.draw(EXAMPLES[7], "c")).texts
    assert {"nicht gemessen", "außerhalb"} <= set(texts)


def test_an_ordinary_chart_is_small() -> None:
    """Two panels of two engines over five samples."""
    assert len(trend.draw(EXAMPLES[0], "c").encode()) < 9000


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (panel("Iron", "ppm", {"name": "Iron", "points": ((DAYS[0], 1.0, "1"),)}), "4 values"),
        (panel("Iron", "ppm", series("Iron", 1, at=("May 2021",))), "isoformat"),
        (panel("Iron", "ppm", series("Iron", 1), outside=(("Zinc", DAYS[0]),)), "no point"),
    ],
)
def test_data_that_do_not_match_are_refused(told: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        drawn(told)
