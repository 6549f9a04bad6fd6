"""Reads a reading from the text of its fence, as the notes reader does, for the tests of the kinds."""

from __future__ import annotations

import dataclasses

from reportgen import racks, sections, tables, units
from reportgen.block import keys_of, read_block
from reportgen.blocks.vessel import Engine
from reportgen.cells import Table
from reportgen.errors import Problems
from reportgen.kind import About, Assessment, Kind
from reportgen.model import Reading
from reportgen.values import Context
from reportgen.yamltext import Scalar, read

FOUR_STROKE = About(Engine(fuel="gasoline", strokes=4))


def kind_named(name: str) -> Kind:
    """Give a kind by the note's word."""
    kinds: dict[str, Kind] = {k.name: k for k in racks.all_of("kinds", "KIND").values()}
    return kinds[name]


def noted(text: str, problems: Problems, engines: tuple[str, ...] = ()) -> Reading:
    """Give the reading of a fence with the table below it; what is wrong with it goes to problems.

    text: the fence's lines, then, where the kind has one, a table whose lines begin with |.
    engines: names that a column may begin with.
    """
    lines = text.strip("\n").splitlines()
    cut = next((n for n, line in enumerate(lines) if line.startswith("|")), len(lines))
    node = read("\n".join(lines[:cut]), "note.md", 0, problems)
    name = node.get("kind")
    assert isinstance(name, Scalar)
    kind = kind_named(name.text)
    written = node.get("unit")
    unit = _unit(written.text, kind) if isinstance(written, Scalar) else None
    context = Context(problems, unit=unit)
    shared = read_block(Reading, node, context, "a reading", also=keys_of(kind.fields))
    fields = read_block(kind.fields, node, context, "a reading", also=keys_of(Reading))
    table = _table("\n".join(lines[cut:]), kind, context, engines)
    return dataclasses.replace(shared, fields=fields, table=table)


def _table(text: str, kind: Kind, context: Context, engines: tuple[str, ...]) -> Table | None:
    """Read a table as the notes reader does, by way of a section."""
    if not text:
        return None
    note = f"## T\n```reading\nkind: {kind.name}\n```\n\n{text}\n"
    _, [section] = sections.split(note, "note.md", context.problems)
    raw = section.take_table()
    assert raw is not None, text
    assert kind.table is not None, f"{kind.name} reads no table"
    return tables.read(raw, kind.table, engines, context)[0]


def _unit(text: str, kind: Kind) -> str:
    for dimension in units.UNITS:
        try:
            unit = units.unit_named(text, dimension)
        except units.UnitError:
            continue
        if unit in kind.units:
            return unit
    raise AssertionError(f"{text} is no unit of {kind.name}")


def assessed(text: str, about: About = FOUR_STROKE, engines: tuple[str, ...] = ()) -> Assessment:
    """Give the assessment of a fence that has no mistake."""
    problems = Problems()
    reading = noted(text, problems, engines)
    assert not list(problems), [str(p) for p in problems]
    return kind_named(reading.kind).assess(reading, about)


def mistakes(text: str) -> list[str]:
    """Give what the reader says of a fence that is wrong."""
    problems = Problems()
    noted(text, problems)
    return [str(p) for p in problems]
