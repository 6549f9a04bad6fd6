"""Tables under a fence: columns by name, engine and unit, rows with their gaps, each mistake at its place."""

from __future__ import annotations

import pytest

from reportgen import sections, tables
from reportgen.block import PhotoNote
from reportgen.cells import Column, Shape, Table
from reportgen.errors import Problems
from reportgen.values import Context

SHAPE = Shape(
    "sample",
    (
        Column("iron", "concentration", "iron", "ppm"),
        Column("coolant", "temperature", "coolant temperature"),
        Column("volts", "voltage", "voltage", "V"),
        Column("port volts", "voltage", "a column whose own name begins like an engine", "V"),
        Column("colour", "", "words"),
    ),
)
FREE = Shape(
    "place", (Column("original", "length", "as built", "mm"),), Column("", "length", "a place", "mm")
)


def taken(
    text: str, shape: Shape = SHAPE, engines: tuple[str, ...] = (), unit: str | None = None
) -> tuple[Table, tuple[PhotoNote, ...], list[str]]:
    """Read a table as a note holds it, from line 5 on; give its values, photos, and what is said of it."""
    problems = Problems()
    note = f"## T\n```reading\nkind: x\n```\n{text}\n"
    _, [section] = sections.split(note, "note.md", problems)
    raw = section.take_table()
    assert raw is not None
    table, photos = tables.read(raw, shape, engines, Context(problems, unit=unit))
    return table, photos, [str(p) for p in problems]


def good(text: str, shape: Shape = SHAPE, engines: tuple[str, ...] = (), unit: str | None = None) -> Table:
    """Give the values of a table that has no mistake."""
    table, _, said = taken(text, shape, engines, unit)
    assert not said
    return table


def heads(table: Table) -> list[tuple[str, str, str]]:
    """Give the known name, the engine and the unit of each column of values."""
    return [(h.name, h.of, h.unit) for h in table.heads]


def test_columns_by_name_and_unit() -> None:
    """A header is name (unit), whatever its capitals; without brackets it takes the column's own unit."""
    table = good(
        "| Sample | Iron (mg/kg) | COOLANT (°F) | volts |\n|---|---|---|---|\n| a | 4 | 180 | 13.9 |"
    )
    assert heads(table) == [("iron", "", "mg/kg"), ("coolant", "", "°F"), ("volts", "", "V")]
    assert table.first == "Sample"
    assert [str(c.quantity) for c in table.rows[0].cells] == ["4 mg/kg", "180 °F", "13.9 V"]
    assert [c.name for c in table.rows[0].cells] == ["a, Iron", "a, COOLANT", "a, volts"]


def test_fences_unit_for_headers_without_one() -> None:
    """The fence's unit goes before the column's where it measures the same; a cell's own goes before both."""
    table = good("| s | iron | volts |\n|---|---|---|\n| a | 4 | 13 |\n| b | 2 mg/kg | 400 mV |", unit="%")
    assert heads(table) == [("iron", "", "%"), ("volts", "", "V")]
    assert [str(c.quantity) for row in table.rows for c in row.cells] == ["4 %", "13 V", "2 mg/kg", "400 mV"]


def test_a_column_begins_with_its_engine() -> None:
    """Engines go by the names of the notes, the longest first, and the sides of a boat without any."""
    titles = ["port iron", "Starboard iron", "main port iron", "main iron"]
    text = f"| s | {' | '.join(titles)} |\n|---|---|---|---|---|\n| a | 1 | 2 | 3 | 4 |"
    table = good(text, engines=("main", "main port"))
    assert [(h.name, h.of) for h in table.heads] == [
        ("iron", "port"),
        ("iron", "starboard"),
        ("iron", "main port"),
        ("iron", "main"),
    ]
    assert [h.title for h, _ in table.columns("iron")] == titles


def test_a_known_name_is_no_engines() -> None:
    """A column whose own name begins with an engine's is itself."""
    table = good("| s | port volts | portside volts |\n|---|---|---|\n| a | 1 | 2 |", FREE)
    assert [h.title for h in table.heads] == ["port volts", "portside volts"]
    table = good("| s | port volts |\n|---|---|\n| a | 1 |")
    assert heads(table) == [("port volts", "", "V")]


@pytest.mark.parametrize(
    ("header", "said"),
    [
        ("irn (ppm)", "note.md:5:7: unknown column 'irn'; write iron"),
        ("port irn", "note.md:5:7: unknown column 'port irn'; write iron"),
        ("weather", "note.md:5:7: unknown column 'weather'; columns known here: iron, coolant, volts"),
        ("", "unknown column ''; columns known here"),
        ("iron (psi)", "note.md:5:7: 'psi' is a unit of pressure"),
        ("iron (smells)", "note.md:5:7: "),
    ],
)
def test_mistaken_header(header: str, said: str) -> None:
    """A column that isn't known gets the nearest name or all of them, and is left out with its values."""
    table, _, told = taken(f"| s | {header} | volts |\n|---|---|---|\n| a | 4 | 12 |")
    assert len(told) == 1
    assert said in told[0]
    assert [h.name for h in table.heads] == ["volts"]
    assert [str(c.quantity) for c in table.rows[0].cells] == ["12 V"]


def test_column_that_stands_twice() -> None:
    """The first of two columns alike is kept, also where capitals or units differ."""
    for header in ("iron", "Iron (ppm)", "iron (%)"):
        table, _, told = taken(f"| s | iron | {header} |\n|---|---|---|\n| a | 4 | 9 |")
        assert "stands twice; keep one, or say what differs" in told[0]
        assert [str(c.quantity) for c in table.rows[0].cells] == ["4 ppm"]


def test_cells() -> None:
    """Gaps, reasons and values below detection are read as in a fence."""
    table = good(
        "| s | iron |\n|---|---|\n| a | <5 |\n| b | |\n| c | - |\n| d | not taken: bottle broke |\n"
        "| e |\n| f | 0 |"
    )
    cells = [row.cells[0] for row in table.rows]
    assert [c.state for c in cells] == [
        "below detection",
        "not taken",
        "not taken",
        "not taken",
        "not taken",
        "value",
    ]
    assert cells[3].why == "bottle broke"
    assert table.taken


def test_bad_cell_is_a_gap_and_told() -> None:
    """What can't be read stands at its place and leaves the value not taken, never another row's."""
    table, _, told = taken("| s | iron | volts |\n|---|---|---|\n| a | lots | 12 |\n| b | 4 | 13 psi |")
    assert [t.partition(" ")[0] for t in told] == ["note.md:7:7:", "note.md:8:11:"]
    assert [[c.state for c in row.cells] for row in table.rows] == [
        ["not taken", "value"],
        ["value", "not taken"],
    ]


def test_bare_number_without_a_unit_is_told() -> None:
    """A column without a unit of its own needs one in the header, the fence or the cell."""
    _, _, told = taken("| s | coolant |\n|---|---|\n| a | 80 |")
    assert "has no unit" in told[0]
    assert good("| s | coolant |\n|---|---|\n| a | 80 °C |").taken
    assert good("| s | coolant |\n|---|---|\n| a | 80 |", unit="°C").taken


def test_row_without_a_name() -> None:
    """A row with values and no name is told and left out; one that is empty throughout is nothing."""
    table, _, told = taken("| s | iron |\n|---|---|\n| | 4 |\n| | |\n| - | - |\n| a | 5 |")
    assert told == ["note.md:7:5: a row without a name; write its sample first"]
    assert [r.name for r in table.rows] == ["a"]


def test_rows_of_one_name_are_counted() -> None:
    """Every row has a name of its own, however often it was written, so that no value hides another."""
    table = good("| s | iron |\n|---|---|\n| a | 1 |\n| a | 2 |\n| a (2) | 3 |\n| a | 4 |\n| b | 5 |")
    names = [r.name for r in table.rows]
    assert names[:2] == ["a", "a (2)"]
    assert len(set(names)) == len(names) == 5
    assert [c.name for row in table.rows for c in row.cells] == [f"{name}, iron" for name in names]


def test_remarks_photos_and_words() -> None:
    """Columns of words are kept apart from values: a remark as written, a photo as one of the reading's."""
    table, photos, told = taken(
        "| s | iron | remark | photo | colour |\n|---|---|---|---|---|\n"
        "| a | 4 | drawn *cold* | a.jpg | Black, thick |\n| b | 5 | - | | not taken: dark |"
    )
    assert not told
    assert heads(table) == [("iron", "", "ppm")]
    assert [r.remark for r in table.rows] == ["drawn *cold*", ""]
    assert [(p.photo, p.shows, p.of) for p in photos] == [("a.jpg", "a", "a")]
    assert [(w.name, w.text, w.why) for r in table.rows for w in r.words] == [
        ("colour", "Black, thick", ""),
        ("colour", "", "dark"),
    ]


def test_words_of_each_engine() -> None:
    """Words stand once for each engine, and none replaces the other's."""
    table = good("| s | iron | port colour | starboard colour |\n|---|---|---|---|\n| a | 4 | tan | black |")
    assert [(w.name, w.text) for w in table.rows[0].words] == [
        ("port colour", "tan"),
        ("starboard colour", "black"),
    ]


def test_free_columns() -> None:
    """Where any name may head a column, known ones are still known, and each name is kept as written."""
    table = good("| row | original | A1 | Keel (cm) |\n|---|---|---|---|\n| 1 | 6 | 5.1 | 0.5 |", FREE)
    assert heads(table) == [("original", "", "mm"), ("A1", "", "mm"), ("Keel", "", "cm")]


def test_marks_in_cells_are_not_values() -> None:
    """Emphasis in a header or a name is no part of it."""
    table = good("| **s** | *iron* (ppm) |\n|---|---|\n| **a** | 4 |")
    assert (table.first, table.heads[0].name, table.rows[0].name) == ("s", "iron", "a")


def test_table_without_rows() -> None:
    """Headers alone are a table of which nothing was taken."""
    table = good("| s | iron |\n|---|---|")
    assert table.rows == ()
    assert not table.taken
