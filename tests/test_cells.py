"""Measured values as they stand in a fence or a table: given, not taken with a reason, below detection."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reportgen.cells import Cell, Cells, Column, Head, Row, Shape, Table, Word, Words, read_cell, word
from reportgen.errors import Place, Problems
from reportgen.values import Context
from reportgen.yamltext import Scalar, read


def one(text: str, dimension: str = "concentration", default: str | None = "ppm") -> Cell | None:
    """Read one value that nothing is wrong with."""
    problems = Problems()
    cell = read_cell("iron", Scalar(text, Place("note.md", 3)), dimension, default, Context(problems))
    assert not list(problems), [str(p) for p in problems]
    return cell


def wrong(text: str, dimension: str = "concentration", default: str | None = "ppm") -> str:
    """Give what is said of a value that can't be read; nothing is given for it."""
    problems = Problems()
    assert read_cell("iron", Scalar(text, Place("note.md", 3)), dimension, default, Context(problems)) is None
    [problem] = problems
    return str(problem)


def by_name(text: str, cells: Cells | Words, unit: str | None = None) -> tuple[object, list[str]]:
    """Read the values of a YAML text, and what is said of them."""
    problems = Problems()
    node = read(f"cells: {text}", "note.md", 0, problems).get("cells")
    assert node is not None
    found = cells.read(node, Context(problems, unit=unit))
    return found, [str(p) for p in problems]


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [("48", "48", "ppm"), ("48.0", "48.0", "ppm"), ("0.3 %", "0.3", "%"), ("12 mg/kg", "12", "mg/kg")],
)
def test_value(text: str, value: str, unit: str) -> None:
    """Digits are kept as written; a unit beside the number goes before the column's."""
    cell = one(text)
    assert cell is not None
    assert cell.quantity is not None
    assert (str(cell.quantity.value), cell.quantity.unit, cell.below) == (value, unit, False)
    assert cell.state == "value"


@pytest.mark.parametrize("text", ["", "-", "–", "—", "  ", " - "])
def test_nothing_is_not_taken(text: str) -> None:
    """An empty cell and a dash of any length are not taken, without a reason."""
    assert one(text) == Cell("iron")
    assert Cell("iron").state == "not taken"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("not taken", ""),
        ("not taken: plug seized", "plug seized"),
        ("not taken, plug seized", "plug seized"),
        ("not taken plug seized", "plug seized"),
        ("  not taken; out of bottles ", "out of bottles"),
    ],
)
def test_not_taken_keeps_its_reason(text: str, why: str) -> None:
    """What follows `not taken` is the reason, word for word."""
    assert one(text) == Cell("iron", None, why)


@pytest.mark.parametrize(("text", "value"), [("<1", "1"), ("< 0.1", "0.1"), ("‹1", "1"), ("<.5", None)])
def test_below_detection(text: str, value: str | None) -> None:
    """`<1` is below detection, and 1 the least that is detected; a number begins with a digit."""
    if value is None:
        assert "write digits" in wrong(text)
        return
    cell = one(text)
    assert cell is not None
    assert cell.quantity is not None
    assert (str(cell.quantity.value), cell.below, cell.state) == (value, True, "below detection")


@pytest.mark.parametrize(
    ("text", "said"),
    [("plenty", "plenty"), ("12 psi", "psi"), ("not measured", "'not measured' is not a number"), ("<", "<")],
)
def test_what_is_no_value_is_told(text: str, said: str) -> None:
    """Words, another dimension and a lone sign are told with what was found; they never become a gap."""
    assert said in wrong(text)


def test_bare_number_without_any_unit_is_told() -> None:
    """Where neither the column nor the kind has a unit, a bare number is a mistake."""
    assert "unit" in wrong("12", "pressure", None)


def test_list_counts_from_one() -> None:
    """A list in order is named 1, 2, 3; a mapping keeps its own names and their order."""
    found, said = by_name("[150, not taken, 148]", Cells("pressure"), "psi")
    assert not said
    assert isinstance(found, tuple)
    assert [(c.name, c.state) for c in found] == [("1", "value"), ("2", "not taken"), ("3", "value")]
    found, _ = by_name("{b: 1 psi, a: 2 psi}", Cells("pressure"))
    assert isinstance(found, tuple)
    assert [c.name for c in found] == ["b", "a"]


def test_unit_of_the_fence_goes_before_the_kinds_own() -> None:
    """A bare number takes the fence's unit if it measures the same, else the kind's default."""
    for unit, expected in (("kPa", "kPa"), ("psi", "psi"), (None, "bar"), ("V", "bar")):
        found, said = by_name("{idle: 2}", Cells("pressure", "bar"), unit)
        assert not said
        assert isinstance(found, tuple)
        assert found[0].quantity.unit == expected


def test_one_bad_value_does_not_hide_the_others() -> None:
    """Each mistake stands at its own place, and what can be read is read."""
    found, said = by_name("{1: 150, 2: lots, 3: 148}", Cells("pressure", "psi"))
    assert isinstance(found, tuple)
    assert [c.name for c in found] == ["1", "3"]
    assert len(said) == 1
    assert said[0].startswith("note.md:1:")


def test_a_single_figure_is_no_list() -> None:
    """Values by name are asked for where one figure stands."""
    found, said = by_name("150", Cells("pressure", "psi"))
    assert found is None
    assert "write values by name" in said[0]


def test_words_by_name() -> None:
    """Words are kept as written, gaps with their reason, and advice is given where a text won't do."""
    words = Words("sharp or dull", lambda text: "" if text in ("sharp", "dull") else "write sharp or dull")
    found, said = by_name("{bow: sharp, aft: 'not taken: fouled', keel: loud, side: [1]}", words)
    assert found == (Word("bow", "sharp"), Word("aft", "", "fouled"))
    assert [s.rpartition("; ")[2] for s in said] == ["write sharp or dull", "write sharp or dull"]
    assert by_name("sharp", words)[0] is None


def test_gist_of_words() -> None:
    """What stands before the first comma is what is counted, whatever its capitals."""
    assert Word("1", "Tan, a little oil").gist == "tan"
    assert word("1", " - ") == Word("1")
    assert word("1", "not taken: seized") == Word("1", "", "seized")


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("3000", 3000.0),
        ("3,000", 3000.0),
        ("3000 rpm", 3000.0),
        ("62.5 h", 62.5),
        ("idle", None),
        ("", None),
        ("at 3000", None),
        ("2026-05-14", None),
        ("2026-02-30", 2026.0),
        ("٣٠٠", None),
    ],
)
def test_number_of_a_row(name: str, number: float | None) -> None:
    """A row's name may begin with a number; a speed in words has none, nor have figures of other scripts."""
    assert Row(name).number == number


@pytest.mark.parametrize(
    ("name", "date"),
    [
        ("2026-05-14", "2026-05-14"),
        ("2026-05-14, port", "2026-05-14"),
        ("2026-05-14 (2)", "2026-05-14"),
        ("2026-02-30", None),
        ("2026-5-14", None),
        ("14 May 2026", None),
        ("2026-05-145", None),
        ("sample of 2026-05-14", None),
        ("", None),
    ],
)
def test_date_of_a_row(name: str, date: str | None) -> None:
    """A row's name may begin with an ISO date that the calendar has; any other is none."""
    assert Row(name).date == date


@given(st.dates())
def test_every_day_is_a_date(day: object) -> None:
    """Whatever the day, a row named by it has it, with or without words behind it."""
    assert Row(f"{day}").date == Row(f"{day} main engine").date == f"{day}"


@given(st.text(max_size=20))
def test_no_name_breaks_a_row(name: str) -> None:
    """Any text may be a row's name: it has a number and a date, or none."""
    row = Row(name)
    assert row.number is None or row.number >= 0
    assert row.date is None or name.startswith(row.date)


def test_table_gives_its_columns_by_name() -> None:
    """A column that stands once for each engine is given once for each, from top to bottom."""
    heads = (Head("port iron", "iron", "port", "ppm"), Head("starboard iron", "iron", "starboard", "ppm"))
    a, b = one("4"), one("7")
    assert a is not None
    assert b is not None
    table = Table("sample", heads, (Row("1", (a, b)), Row("2", (b, Cell("x")))))
    assert [(h.of, [c.state for c in cells]) for h, cells in table.columns("iron")] == [
        ("port", ["value", "value"]),
        ("starboard", ["value", "not taken"]),
    ]
    assert list(table.columns("copper")) == []
    assert table.taken
    assert not Table("sample", heads, (Row("1", (Cell(), Cell())),)).taken


def test_every_shape_knows_remark_and_photo() -> None:
    """Whatever a kind's columns are, a row may carry words and name a photo."""
    assert list(Shape("place", (Column("iron", "concentration", "iron"),)).known) == [
        "iron",
        "remark",
        "photo",
    ]
