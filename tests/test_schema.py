"""The JSON Schema of the notes takes what the reader takes, and refuses what a writer slips into."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from reportgen import racks, schema, starting
from reportgen.boats import TYPES
from reportgen.kind import Kind, fenced
from tests.project import CONTENT, TOP

FENCE = re.compile(r"^```(finding|reading)\n(.*?)^```", re.M | re.S)
NOTES = [*sorted(CONTENT.glob("*/*.md")), *sorted((TOP / "tests" / "again").glob("*/*.md"))]
KINDS: Mapping[str, Kind] = {k.name: k for k in racks.all_of("kinds", "KIND").values()}


def as_editor(text: str) -> Any:
    """Give YAML as an editor sees it: by the core schema of YAML 1.2, where yes is a word and 4 a number."""
    return _value(yaml.compose(text, Loader=yaml.BaseLoader))


def _value(node: Any) -> Any:
    if isinstance(node, yaml.MappingNode):
        return {key.value: _value(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [_value(each) for each in node.value]
    if node is None or (node.style is None and node.value in ("", "~", "null")):
        return None
    if node.style is None and node.value in ("true", "false"):
        return node.value == "true"
    if node.style is None and re.fullmatch(r"[-+]?\d+", node.value):
        return int(node.value)
    if node.style is None and re.fullmatch(r"[-+]?\d+\.\d+", node.value):
        return float(node.value)
    return node.value


@cache
def validator(of: str) -> jsonschema.Draft202012Validator:
    """Give the validator of one part, its schema checked against the draft's own."""
    made = schema.document(of)
    jsonschema.Draft202012Validator.check_schema(made)
    formats = jsonschema.Draft202012Validator.FORMAT_CHECKER
    return jsonschema.Draft202012Validator(made, format_checker=formats)


def faults(of: str, text: str) -> list[str]:
    """Give what the schema of a part finds wrong with YAML."""
    return [f for error in validator(of).iter_errors(as_editor(text)) for f in _told(error)]


def _told(error: jsonschema.ValidationError) -> Iterator[str]:
    """Give an error's message with those of the forms that were tried."""
    yield f"{error.json_path}: {error.message}"
    for inner in error.context or ():
        yield from _told(inner)


def blocks(text: str) -> Iterator[tuple[str, str]]:
    """Give each block of YAML of a note with its part's name, front matter as ''."""
    if text.startswith("---\n"):
        yield "", text.split("---\n")[1]
    yield from FENCE.findall(text)


def wrong(text: str) -> list[str]:
    """Give what the schema finds wrong with a note."""
    return [f"{of or 'front matter'}: {f}" for of, block in blocks(text) for f in faults(of, block)]


@pytest.mark.parametrize("note", NOTES, ids=lambda p: f"{p.parent.name}/{p.name}")
def test_notes_of_the_demo_pass(note: Path) -> None:
    """Every block of every note of the demo, first visit and second, is taken."""
    text = note.read_text(encoding="utf-8")
    assert list(blocks(text))
    assert not wrong(text)


@pytest.mark.parametrize("name", KINDS)
def test_examples_of_the_kinds_pass(name: str) -> None:
    """Each kind's example, and the blank that `start` writes, are taken."""
    for body in (KINDS[name].example, KINDS[name].blank):
        assert not wrong(fenced(KINDS[name], body))


@pytest.mark.parametrize("type", TYPES)
def test_notes_that_start_writes_pass(type: str) -> None:
    """An editor underlines nothing in the notes of a new survey."""
    for text in starting.notes(type, datetime.date(2026, 3, 4)).values():
        assert not wrong(text)


COVER = "survey: pre-sale\ninspected: 2026-03-04\nvessel: {name: Tern, type: sailing yacht}\n"
COVER += "people: {surveyor: Ada Example}\n"
COMPRESSION = "kind: compression\nat: main\n"
PLANTED = [
    ("", COVER.replace("pre-sale", "presale"), "survey"),
    ("", COVER.replace("2026-03-04", "4 March"), "inspected"),
    ("", COVER.replace("2026-03-04", '["2026-02-30"]'), "inspected"),
    ("", COVER.replace("people", "peeple"), "peeple"),
    ("", COVER.replace("{surveyor: Ada Example}", "{client: Ada Example}"), "surveyor"),
    ("", COVER.replace("{surveyor: Ada Example}", ""), "people"),
    ("", COVER.replace("sailing yacht", "yacht"), "type"),
    ("", COVER + "version: first", "version"),
    ("", COVER + "price: {currency: EUR, asking: about 9000}", "asking"),
    ("", COVER + "photos: [{photo: bow.jpg, blurs: [{left: 1}]}]", "blurs"),
    ("", "page: A guide\nsystem: hull", "system"),
    ("", "system: hull\nrates: {labour: 90}", "rates"),
    ("finding", "severity: settle\nconfidence: sure", "confidence"),
    ("finding", "risk: it may sink", "severity"),
    ("finding", "severity: settle\nrepair: {labour: 3 / 4 h}", "labour"),
    ("finding", "severity: stop\nhazards: [fire, sharks]", "sharks"),
    ("finding", "severity: watch\nnormal for age: perhaps", "normal for age"),
    ("finding", "severity: watch\nbasis: required by law\nbasiss: x", "basiss"),
    ("reading", "kind: compressions", "kind"),
    ("reading", "at: main", "kind"),
    ("reading", COMPRESSION + "colour: red", "colour"),
    ("reading", COMPRESSION + "cylinders: {1: high}", "cylinders"),
    ("reading", COMPRESSION + "limit: {minimum: 9 bar}", "limit"),
    ("reading", COMPRESSION + "limit: {least: 9 bar, source: manual}", "limit"),
]


@pytest.mark.parametrize(("of", "text", "where"), PLANTED)
def test_planted_mistake_is_found(of: str, text: str, where: str) -> None:
    """A slip is refused, and what the editor says names the key or the word."""
    assert where in " ".join(faults(of, text))


def test_what_the_mistakes_are_planted_in_passes() -> None:
    """Without the slip nothing is found, so that a fault means the slip."""
    assert not faults("", COVER)
    assert not faults("cover", COVER)
    assert not faults("", "system: hull")
    assert not faults("", "")
    assert not faults("finding", "severity: settle\nrepair: {labour: 3 / 4 / 5 h}")
    assert not faults(
        "reading", COMPRESSION + "limit: {minimum: 9 bar, source: manual}\ncylinders: {1: 9 bar}"
    )


@pytest.mark.parametrize("of", schema.PARTS)
def test_every_key_tells_its_help(of: str) -> None:
    """Each key that a part takes has a description, which an editor shows beside it."""
    made = schema.document(of)
    for name, block in made["$defs"].items():
        for key, told in block.get("properties", {}).items():
            target = told.get("$ref", "").rpartition("/")[2]
            assert told.get("description") or target == key, (name, key)


def test_schema_points_nowhere_else() -> None:
    """Every pointer leads to a definition that is there; none lies there that nothing points to."""
    for of in ("", *schema.PARTS):
        made = schema.document(of)
        text = json.dumps(made)
        pointed = {p.partition("/")[0] for p in re.findall(r'"#/\$defs/([^"]+)"', text)}
        assert pointed == set(made["$defs"])
