"""Reads the table under a reading's fence into values, by the columns that its kind knows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from reportgen import prose, units
from reportgen.block import PhotoNote
from reportgen.cells import EMPTY, PHOTO, REMARK, Cell, Column, Head, Row, Shape, Table, Word, read_cell, word
from reportgen.errors import listed, nearest
from reportgen.sections import RawTable
from reportgen.units import UnitError
from reportgen.values import Context
from reportgen.yamltext import Scalar

SIDES = ("port", "starboard")  # of an engine's banks, or of the boat
_HEADER = re.compile(r"(.*?)\s*(?:\(([^()]*)\))?", re.S)


@dataclass(frozen=True)
class _Place:
    """Where a column stands, what it is and in which unit its bare numbers are (None: each has its own)."""

    at: int
    head: Head
    column: Column
    unit: str | None


def read(
    raw: RawTable, shape: Shape, engines: Sequence[str], context: Context
) -> tuple[Table, tuple[PhotoNote, ...]]:
    """Give a table's values, and the photos that its rows name.

    engines: names that a column may begin with. context: its unit is that of headers without one.
    Unknown columns, units and numbers are noted in the context's problems; such columns are left out.
    """
    first, *rest = raw.heads
    read_heads = [_head(at, head, shape, engines, context) for at, head in enumerate(rest, 1)]
    places = _once([p for p in read_heads if p is not None], raw, context)
    rows: list[Row] = []
    photos: list[PhotoNote] = []
    for cells in raw.rows:
        row, shown = _row(cells, places, [r.name for r in rows], shape, context)
        rows += [row] if row else []
        photos += shown
    heads = tuple(p.head for p in places if p.column.dimension)
    return Table(prose.plain(first.text) or shape.rows, heads, tuple(rows)), tuple(photos)


def _head(at: int, head: Scalar, shape: Shape, engines: Sequence[str], context: Context) -> _Place | None:
    match = _HEADER.fullmatch(prose.plain(head.text).strip())
    title, written = (match[1].strip(), match[2]) if match else ("", None)
    of, name = _engine(title, engines, shape)
    column = shape.known.get(name.lower()) or shape.others
    if column is None or not title:
        near = nearest(name, shape.known)
        known = listed(shape.known, "and")
        advice = f"write {near}" if near else f"columns known here: {known}"
        context.problems.error(head.place, f"unknown column {title!r}", advice)
        return None
    if not column.dimension:
        return _Place(at, Head(title, f"{of} {column.name}".strip(), of), column, None)
    unit = column.default
    if context.unit in units.UNITS[column.dimension]:
        unit = context.unit
    if written is not None:
        try:
            unit = units.unit_named(written, column.dimension)
        except UnitError as error:
            context.problems.error(head.place, error.found, error.write)
            return None
    known_name = column.name if name.lower() in shape.known else name
    return _Place(at, Head(title, known_name, of, unit or ""), column, unit)


def _engine(title: str, engines: Sequence[str], shape: Shape) -> tuple[str, str]:
    """Split an engine's name off a header, unless the whole is a column's name."""
    plain = title.lower()
    # the longest name first: an engine called "main port" is not one called "main"
    names = sorted((*engines, *SIDES), key=len, reverse=True)
    for engine in names if plain not in shape.known else ():
        if engine and plain.startswith(f"{engine.lower()} "):
            return engine, title[len(engine) :].strip()
    return "", title


def _once(places: Sequence[_Place], raw: RawTable, context: Context) -> list[_Place]:
    """Keep the first of two columns alike."""
    kept: list[_Place] = []
    for place in places:
        if place.head.title.lower() in (k.head.title.lower() for k in kept):
            found = f"the column {place.head.title!r} stands twice"
            context.problems.error(raw.heads[place.at].place, found, "keep one, or say what differs")
        else:
            kept.append(place)
    return kept


def _row(
    cells: Sequence[Scalar],
    places: Iterable[_Place],
    before: Sequence[str],
    shape: Shape,
    context: Context,
) -> tuple[Row | None, list[PhotoNote]]:
    name = prose.plain(cells[0].text).strip() if cells else ""
    if not any(c.text.strip() not in EMPTY for c in cells):
        return None, []
    if not name:
        first = next(c.place for c in cells if c.text.strip() not in EMPTY)
        context.problems.error(first, "a row without a name", f"write its {shape.rows} first")
        return None, []
    if name in before:
        name = f"{name} ({1 + sum(b == name or b.startswith(f'{name} (') for b in before)})"
    values: list[Cell] = []
    remark, photos = "", []
    words: list[Word] = []
    for place in places:
        node = cells[place.at] if place.at < len(cells) else Scalar("", cells[0].place)
        if place.column.dimension:
            label = f"{name}, {place.head.title}"
            cell = read_cell(label, node, place.column.dimension, place.unit, context)
            values.append(cell or Cell(label))
        elif place.column == PHOTO and node.text.strip() not in EMPTY:
            photos.append(PhotoNote(node.text.strip(), name, name, place=node.place))
        elif place.column == REMARK and node.text.strip() not in EMPTY:
            remark = node.text.strip()
        elif place.column not in (PHOTO, REMARK):
            words.append(word(place.head.name, node.text))
    return Row(name, tuple(values), remark, tuple(words)), photos
