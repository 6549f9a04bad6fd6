"""Reads a reading from the text of its fence, as the notes reader does, for the tests of the kinds."""

from __future__ import annotations

import dataclasses

from reportgen import racks, units
from reportgen.block import keys_of, read_block
from reportgen.blocks.vessel import Engine
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


def noted(text: str, problems: Problems) -> Reading:
    """Give the reading of a fence; what is wrong with it goes to problems."""
    node = read(text, "note.md", 0, problems)
    name = node.get("kind")
    assert isinstance(name, Scalar)
    kind = kind_named(name.text)
    written = node.get("unit")
    unit = _unit(written.text, kind) if isinstance(written, Scalar) else None
    context = Context(problems, unit=unit)
    shared = read_block(Reading, node, context, "a reading", also=keys_of(kind.fields))
    fields = read_block(kind.fields, node, context, "a reading", also=keys_of(Reading))
    return dataclasses.replace(shared, fields=fields)


def _unit(text: str, kind: Kind) -> str:
    for dimension in units.UNITS:
        try:
            unit = units.unit_named(text, dimension)
        except units.UnitError:
            continue
        if unit in kind.units:
            return unit
    raise AssertionError(f"{text} is no unit of {kind.name}")


def assessed(text: str, about: About = FOUR_STROKE) -> Assessment:
    """Give the assessment of a fence that has no mistake."""
    problems = Problems()
    reading = noted(text, problems)
    assert not list(problems), [str(p) for p in problems]
    return kind_named(reading.kind).assess(reading, about)


def mistakes(text: str) -> list[str]:
    """Give what the reader says of a fence that is wrong."""
    problems = Problems()
    noted(text, problems)
    return [str(p) for p in problems]
