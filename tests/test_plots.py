"""What charts are given: every value, gap, limit and breach as judged, and the same numbers as a table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen import judging, plots, racks, wording
from reportgen.cells import Cell, Head, Row, Table, Word
from reportgen.chart import Chart
from reportgen.judging import Thing
from reportgen.kind import Judged
from reportgen.limits import Limit
from reportgen.units import Quantity


def cell(name: str, text: str, unit: str = "psi") -> Cell:
    """Give a cell from `12`, `<12` or nothing."""
    if not text:
        return Cell(name)
    return Cell(name, Quantity(Decimal(text.removeprefix("<")), unit), "", text.startswith("<"))


def things(*texts: str, unit: str = "psi") -> tuple[Thing, ...]:
    """Give things named 1, 2, 3 from their values."""
    return judging.things(cell(str(at), text, unit) for at, text in enumerate(texts, 1))


def limit(side: str, value: float, unit: str = "psi", of: str = "", word: str = "") -> Limit:
    """Give a limit of an invented source."""
    return Limit(word or side, value, unit, side, "invented manual 4A", "", "note", of)


def held(found: Sequence[Thing], *asked: Limit) -> tuple[Judged, ...]:
    """Hold things against limits."""
    return judging.judge(asked, found)


def table(rows: dict[str, list[str]], *heads: tuple[str, str, str]) -> Table:
    """Give a table from its rows; heads: (name, engine, unit)."""
    made = tuple(Head(f"{of} {name}".strip(), name, of, unit) for name, of, unit in heads)
    return Table(
        "rpm",
        made,
        tuple(
            Row(name, tuple(cell(f"{name}, {h.title}", t, h.unit) for t, h in zip(texts, made, strict=True)))
            for name, texts in rows.items()
        ),
    )


TWINS = table(
    {"700": ["14", "12", "80"], "idle": ["15", "13", ""], "3000": ["52", "<5", "92"]},
    ("pressure", "port", "psi"),
    ("pressure", "starboard", "psi"),
    ("coolant", "", "°C"),
)


def drawn(chart: Chart) -> str:
    """Draw a chart, to see that its form takes the data."""
    svg: str = racks.all_of("charts", "draw")[chart.form](chart, "c1")
    return svg


def test_text_alternative() -> None:
    """A chart in words: what it shows, least and greatest, what is outside or not taken; two sentences."""
    found = things("150", "90", "")
    assert plots.said("Pressure", found, held(found, limit("minimum", 100))) == (
        "Pressure: 90 psi to 150 psi. Outside: 2; not taken: 3."
    )
    assert plots.said("Pressure", found[:1], held(found[:1], limit("minimum", 100))) == (
        "Pressure: 150 psi. None outside."
    )
    assert plots.said("Pressure", found, ()) == "Pressure: 90 psi to 150 psi. No limit applies; not taken: 3."
    assert plots.said("Pressure", things("", ""), ()) == "Pressure: no value was taken."
    mixed = (*things("150"), *things("3", unit="V"))
    assert plots.said("All", mixed, ()).startswith("All: 2 values.")


def test_bars() -> None:
    """Bars have every thing, gaps among them, the limits that are for all, and the same in the table."""
    found = things("150", "90", "", "<20")
    judged = held(found, limit("minimum", 700, "kPa"), limit("maximum", 40, of="1"))
    chart = plots.bars("Pressure, psi", "Cylinder", [("dry", found)], judged, "psi")
    assert chart.data["labels"] == ("1", "2", "3", "4")
    assert chart.data["series"] == ({"name": "dry", "values": (150.0, 90.0, None, 20.0)},)
    assert chart.data["printed"] == (("150", "90", "not taken", "<20"),)
    assert chart.data["outside"] == ("1", "2", "4")
    [line] = chart.data["limits"]
    assert line["value"] == pytest.approx(101.53, abs=0.005)
    assert (line["side"], line["label"]) == ("minimum", "minimum 102 psi (700 kPa), invented manual 4A")
    assert chart.table.rows == (
        ("1", "150, outside"),
        ("2", "90, outside"),
        ("3", "not taken"),
        ("4", "<20, outside"),
    )
    assert "<svg" in drawn(chart)


def test_bars_of_two_series() -> None:
    """A second series goes by the names of the first; what it lacks is a gap, never another's value."""
    wet = (Thing("2", 120.0, "psi"), Thing("9", 1.0, "psi"))
    chart = plots.bars("P", "Cylinder", [("dry", things("150", "90")), ("wet", wet)], (), "psi")
    assert chart.data["series"][1]["values"] == (None, 120.0)
    assert chart.table.header == ("Cylinder", "dry (psi)", "wet (psi)")
    assert chart.table.rows == (("1", "150", "not taken"), ("2", "90", "120"))


def test_bars_come_in_one_unit() -> None:
    """Values in another unit are converted for the scale and for print."""
    found = (*things("100"), *judging.things([cell("2", "690", "kPa")]))
    chart = plots.bars("P", "Cylinder", [("dry", found)], (), "psi")
    assert chart.data["series"][0]["values"] == (100.0, pytest.approx(100.08, abs=0.005))
    assert chart.data["printed"][0] == ("100", "100.1")


@pytest.mark.parametrize("word", plots.DERIVED)
def test_limits_of_differences_stay_off_the_scale(word: str) -> None:
    """A limit of what lies between values is no line among the values."""
    found = things("150", "90")
    asked = limit("maximum", 20, word=word)
    assert (
        plots.bars("P", "C", [("dry", found)], [Judged(asked, 60.0, "outside")], "psi").data["limits"] == ()
    )


def test_limits_of_one_figure_and_source_are_one_line() -> None:
    """The same line is not drawn twice; of another dimension it isn't drawn at all."""
    found = things("150", "90")
    judged = [
        *held(found, limit("minimum", 100), limit("minimum", 100)),
        Judged(limit("minimum", 3, "V"), 4.0),
    ]
    assert len(plots.bars("P", "C", [("dry", found)], judged, "psi").data["limits"]) == 1


def test_band() -> None:
    """Each thing stands in its own band: the highest minimum and the lowest maximum that are for it."""
    found = things("50", "90", "")
    judged = held(found, limit("minimum", 40), limit("minimum", 60, of="2"), limit("maximum", 80, of="2"))
    chart = plots.band("Gaps", "Plug", found, judged, "psi")
    assert [(r["label"], r["value"], r["low"], r["high"], r["outside"]) for r in chart.data["rows"]] == [
        ("1", 50.0, 40.0, None, False),
        ("2", 90.0, 60.0, 80.0, True),
        ("3", None, 40.0, None, False),
    ]
    assert chart.table.header == ("Plug", "found (psi)", "at least", "at most")
    assert chart.table.rows[1:] == (("2", "90, outside", "60", "80"), ("3", "not taken", "40", "-"))
    assert "<svg" in drawn(chart)


def curve(*asked: Limit, of: Table = TWINS) -> Chart:
    """Give the curve of pressure and coolant over rpm."""
    found = judging.of_table(of)
    judged = judging.judge(asked, found)
    return plots.curve(
        "Trial", "rpm", of, ("pressure", "coolant", "boost"), judged, found, {"low": 1, "high": 2}
    )


def test_curve() -> None:
    """A panel a column that has values, a series an engine; rows without a number are left to the table."""
    chart = curve(limit("minimum", 13, of="pressure"), limit("maximum", 90, "°C", "coolant"))
    pressure, coolant = chart.data["panels"]
    assert [s["name"] for s in pressure["series"]] == ["port", "starboard"]
    assert pressure["series"][1]["points"] == ((700.0, 12.0, "12"), (3000.0, 5.0, "<5"))
    assert coolant["series"][0] == {"name": "coolant", "points": ((700.0, 80.0, "80"), (3000.0, 92.0, "92"))}
    assert pressure["outside"] == (("starboard", 700.0), ("starboard", 3000.0))
    assert coolant["outside"] == (("coolant", 3000.0),)
    assert [li["value"] for li in pressure["limits"]] == [13]
    assert [li["value"] for li in coolant["limits"]] == [90]
    assert chart.data["band"] == {"low": 1, "high": 2}
    assert chart.table.header == ("rpm", "port pressure (psi)", "starboard pressure (psi)", "coolant (°C)")
    assert chart.table.rows[1:] == (
        ("idle", "15", "13", "not taken"),
        ("3000", "52", "<5, outside", "92, outside"),
    )
    assert "<svg" in drawn(replace(chart, data={k: v for k, v in chart.data.items() if k != "band"}))


SAMPLES = table(
    {"2024-04-12": ["64"], "2025-04-20": [""], "2026-05-03, redrawn": ["<5"], "unknown": ["9"]},
    ("iron", "", "ppm"),
)


def test_trend_over_dates() -> None:
    """Rows named by a date are drawn on it, gaps and values below detection too; others stay in the table."""
    found = judging.of_table(SAMPLES)
    chart = plots.trend("Iron", "date", SAMPLES, ("iron",), held(found, limit("maximum", 50, "ppm")), found)
    [panel] = chart.data["panels"]
    assert panel["series"][0]["points"] == (
        ("2024-04-12", 64.0, "64", False),
        ("2025-04-20", None, "not taken", False),
        ("2026-05-03", 5.0, "<5", True),
    )
    assert panel["outside"] == (("iron", "2024-04-12"),)
    assert len(chart.table.rows) == 4
    assert "<svg" in drawn(chart)


def test_trend_over_hours() -> None:
    """Rows named by hours are drawn on them."""
    made = table({"100 h": ["4"], "250": ["6"]}, ("iron", "", "ppm"))
    chart = plots.trend("Iron", "hours", made, ("iron",), (), judging.of_table(made))
    assert [p[0] for p in chart.data["panels"][0]["series"][0]["points"]] == [100.0, 250.0]
    assert "<svg" in drawn(chart)


def test_grid() -> None:
    """A map keeps rows and columns, marks what is outside and what has a second mark, each by its place."""
    made = table({"frame 2": ["5.1", ""], "frame 8": ["3.9", "4.8"]}, ("keel", "", "mm"), ("bilge", "", "mm"))
    found = judging.of_table(made)
    chart = plots.grid(
        "Plate", made, held(found, limit("minimum", 4, "mm")), found, "mm", "hull", ["frame 2, keel"], "pit",
        ("new", 6.0),
    )  # fmt: skip
    assert chart.data["values"] == ((5.1, None), (3.9, 4.8))
    assert chart.data["printed"] == (("5.1", "not taken"), ("3.9", "4.8"))
    assert chart.data["outside"] == (("frame 8", "keel"),)
    assert chart.data["marked"] == (("frame 2", "keel"),)
    assert chart.data["reference"] == {"label": "new", "value": 6.0}
    # what the picture tells by a mark stands in the table in words
    assert chart.table.rows == (("frame 2", "5.1, pit", "not taken"), ("frame 8", "3.9, outside", "4.8"))
    assert "<svg" in drawn(chart)


def test_printed_table_keeps_words_and_remarks() -> None:
    """Words and remarks stand in columns of their own; a value written in another unit is converted."""
    head = (Head("iron", "iron", "", "ppm"),)
    rows = (
        Row("a", (cell("a, iron", "0.01", "%"),), "milky", (Word("glycol", "positive"),)),
        Row("b", (cell("b, iron", "<5", "ppm"),), "", (Word("glycol", ""),)),
    )
    printed = plots.printed_table(Table("sample", head, rows), ())
    assert printed.header == ("sample", "iron (ppm)", "glycol", "remark")
    assert printed.rows == (("a", "100", "positive", "milky"), ("b", "<5", "not taken", "-"))
    bare = plots.printed_table(Table("sample", head, (replace(rows[0], remark="", words=()),)), ())
    assert bare.header == ("sample", "iron (ppm)")


def test_charts_share_a_scale() -> None:
    """Charts of one form and unit are laid on the scale of all their values and limits, others are left."""
    one = plots.bars("A", "C", [("dry", things("150", "90"))], (), "psi")
    low = things("120", "")
    two = plots.bars("B", "C", [("dry", low)], held(low, limit("minimum", 170)), "psi")
    other = plots.bars("D", "C", [("dry", things("12", unit="V"))], (), "V")
    assert [plots.on_one_scale(c, [one, two, other]).data.get("scale") for c in (one, two, other)] == [
        (0.0, 170),
        (0.0, 170),
        None,
    ]
    told = [plots.on_one_scale(c, [one, two]).data["room"] for c in (one, two)]
    assert told == [{"outside": True, "figures": 3}] * 2
    bands = [
        plots.band("G", "P", things(t), held(things(t), limit("maximum", 60)), "psi") for t in ("50", "90")
    ]
    assert plots.on_one_scale(bands[0], bands).data["scale"] == (50.0, 90.0)


def test_curves_share_their_scales() -> None:
    """Panels share by name and unit, and all have one axis; a panel that the other lacks keeps its own."""
    less = table({"900": ["30"]}, ("pressure", "", "psi"))
    one, two = curve(limit("minimum", 60, of="pressure")), curve(of=less)
    shared = plots.on_one_scale(one, [one, two]).data
    assert shared["scales"] == ((5.0, 60), (80.0, 92.0))
    assert shared["x_scale"] == (700.0, 3000.0)
    assert plots.on_one_scale(two, [one, two]).data["scales"] == ((5.0, 60),)
    assert "scales" not in plots.on_one_scale(one, [one]).data


def test_trends_share_their_dates() -> None:
    """Dates follow each other as their text does."""
    later = table({"2027-01-01": ["9"]}, ("iron", "", "ppm"))
    charts = [plots.trend("I", "date", t, ("iron",), (), judging.of_table(t)) for t in (SAMPLES, later)]
    assert plots.on_one_scale(charts[1], charts).data["x_scale"] == ("2024-04-12", "2027-01-01")


@given(st.lists(st.one_of(st.none(), st.integers(0, 300)), min_size=1, max_size=8), st.integers(0, 300))
def test_chart_never_loses_or_invents_a_value(values: list[int | None], at: int) -> None:
    """Whatever was taken, bars hold each value at its place, gaps as gaps, and mark just what breaks."""
    found = things(*("" if v is None else str(v) for v in values))
    chart = plots.bars("P", "C", [("dry", found)], held(found, limit("minimum", at)), "psi")
    assert chart.data["series"][0]["values"] == tuple(values)
    low = [str(n) for n, v in enumerate(values, 1) if v is not None and v < at]
    assert list(chart.data["outside"]) == low
    assert [row[0] for row in chart.table.rows if row[1].endswith(", outside")] == low
    assert [row[1] == "not taken" for row in chart.table.rows] == [v is None for v in values]


def test_words_of_ours_in_charts_are_said_and_the_writer_s_stay() -> None:
    """Heads that a kind knows, units that are words, and `found` and `remark`; a head of the writer stays."""
    heads = (Head("tread", "tread", "", "mm"), Head("Bay 2", "Bay 2", "", "scale units"))
    cells = (cell("a, tread", "4", "mm"), cell("a, Bay 2", "12", "scale units"))
    with wording.speaking("de"):
        printed = plots.printed_table(Table("tyre", heads, (Row("a", cells, remark="worn"),)), ())
        drawn = plots.band("T", "A", things("1", unit=""), (), "")
        moist = plots.bars("T", "A", [("B", things("9", unit="scale units"))], (), "scale units")
    assert printed.header == ("Reifen", "Profil (mm)", "Bay 2 (Skalenwerte)", "Bemerkung")
    assert drawn.table.header[1] == "gefunden"
    assert moist.data["unit"] == "Skalenwerte"
