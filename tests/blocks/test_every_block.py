"""Every block of keys: declared whole, and no value of any shape makes a reader fall over."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
import re
import typing
from collections.abc import Iterator

import pytest

from reportgen import blocks, model, racks, yamltext
from reportgen.block import Block, keys_of, named, read_block
from reportgen.errors import Problems
from reportgen.kind import Kind
from reportgen.values import Context

SHAPES = (
    "x",
    "",
    "no",
    "0123",
    "12:30",
    "2026-05-14",
    "1 / 2 / 3 h",
    "10 %",
    "4 m",
    "-1",
    "[]",
    "[a, b]",
    "[[a]]",
    "{}",
    "{a: b}",
    "[{a: b}]",
    "[{a: {b: c}}]",
    "{a: [b]}",
    "@x",
    '""',
    "'#1'",
    "a.jpg",
    "[a.jpg: x]",
    "{seller: 60 %}",
    "[1, [2], {3: 4}]",
)


def _blocks() -> Iterator[type]:
    """Give every dataclass that a note's keys are read into, each once."""
    modules = [
        importlib.import_module(f"reportgen.blocks.{m.name}") for m in pkgutil.iter_modules(blocks.__path__)
    ]
    for module in [*modules, model, importlib.import_module("reportgen.block")]:
        for thing in vars(module).values():
            own = isinstance(thing, type) and thing.__module__ == module.__name__
            if own and dataclasses.is_dataclass(thing) and keys_of(thing):
                yield thing
    kinds: dict[str, Kind] = racks.all_of("kinds", "KIND")
    yield from (kind.fields for kind in kinds.values())


BLOCKS = tuple(_blocks())
EVERY_KEY = [
    pytest.param(b, name, id=f"{b.__module__}.{b.__name__}: {name}") for b in BLOCKS for name in keys_of(b)
]


def test_there_are_blocks() -> None:
    """The rack is found: an empty one would prove nothing."""
    assert {"Cover", "Finding", "Reading", "Repair", "StripDown", "Vessel", "People"} <= {
        b.__name__ for b in BLOCKS
    }


@pytest.mark.parametrize("block", BLOCKS, ids=lambda b: b.__name__)
def test_a_block_is_declared_whole(block: type) -> None:
    """Frozen, with a docstring, and every field has a default: a faulty note still makes one."""
    assert block.__doc__
    assert block.__dataclass_params__.frozen  # type: ignore[attr-defined]
    assert block() is not None
    names = [named(f) for f in dataclasses.fields(block) if "type" in f.metadata]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(("block", "name"), EVERY_KEY)
def test_a_key_is_declared_whole(block: type, name: str) -> None:
    """Lower-case words or numbers with blanks, a line of help, words for the docs, and a known need."""
    spec = keys_of(block)[name]
    # degrees and the quantity pH are written as everyone writes them
    assert name == "pH" or re.fullmatch(r"[a-z]+([ -]([a-z]+|\d+))*", name)
    assert re.fullmatch(r"\S.*[^.\s]", spec.metadata["help"])
    assert "\n" not in spec.metadata["help"]
    assert spec.metadata["type"].words
    assert spec.metadata["need"] in ("", "asked", "must")
    assert spec.metadata["share"]


@pytest.mark.parametrize(("block", "name"), EVERY_KEY)
def test_no_shape_makes_a_reader_fall_over(block: type, name: str) -> None:
    """Any value is read or told at a place in the note, and what is read has the field's type."""
    for shape in SHAPES:
        problems = Problems()
        keys = yamltext.read(f"{name}: {shape}", "a.md", 0, problems)
        read = read_block(block, keys, Context(problems, "EUR"), "a block")
        assert isinstance(read, block)
        assert all(p.place.file == "a.md" and p.place.line == 1 for p in problems), shape
        assert all(p.found and p.write for p in problems), shape


def test_private_is_never_shared() -> None:
    """What is private is in no category that an edition lists."""
    for block in BLOCKS:
        for name, spec in keys_of(block).items():
            if name in ("private", "public"):
                assert spec.metadata["share"] == "private"


def test_categories_are_those_of_the_editions() -> None:
    """A category that no edition knows would hide its key from everyone: surely a slip."""
    editions = racks.all_of("editions", "EDITION")
    # every edition shows what is open, and none the exact place
    known = {"private", "open", "exact place", *(c for e in editions.values() for c in e.shows)}
    used = {spec.metadata["share"] for block in BLOCKS for spec in keys_of(block).values()}
    assert used <= known


def test_names_of_blocks_read_well() -> None:
    """A nested block is named with its article, as messages need it."""
    for block in BLOCKS:
        for name, spec in keys_of(block).items():
            kind = spec.metadata["type"]
            inner = getattr(kind, "item", getattr(kind, "value", kind))
            if isinstance(inner, Block):
                assert inner.what, name
                assert keys_of(inner.block), name


def test_hints_resolve() -> None:
    """Every annotation names a type that exists: editions and the schema read them."""
    for block in BLOCKS:
        assert typing.get_type_hints(block)
