"""The published schema of report.json takes every report that is written and refuses any other shape."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from reportgen import asjson, publish, racks, reportschema
from reportgen.report import Report
from tests import made


@cache
def validator() -> jsonschema.Draft202012Validator:
    """Give the validator, its schema checked against the draft's own."""
    schema = reportschema.document()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(
        schema, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )


def faults(data: Any) -> list[str]:
    """Give what the schema finds wrong with a report, with the forms that were tried."""
    told = []
    errors = list(validator().iter_errors(data))
    while errors:
        error = errors.pop()
        told.append(f"{error.json_path}: {error.message}"[:400])
        errors += error.context or []
    return told


def document(report: Report, reader: str) -> dict[str, Any]:
    """Give report.json as a program reads it."""
    edition = publish.edition_named(reader)
    data = asjson.document(made.shown(report, edition), edition)
    found: dict[str, Any] = json.loads(asjson.text({**data, "fingerprint": asjson.fingerprint(data)}))
    return found


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Report:
    """Give the report of a survey that uses every key."""
    return made.full(tmp_path_factory.mktemp("full"))


@pytest.fixture(scope="module")
def buyer(full: Report) -> dict[str, Any]:
    """Give its report.json as the buyer gets it."""
    return document(full, "buyer")


@pytest.mark.parametrize("reader", racks.names("editions"))
def test_every_key_in_every_edition(reader: str, full: Report, tmp_path: Path) -> None:
    """A survey that uses every key, and one that uses next to none, are taken in each edition."""
    assert not faults(document(full, reader))
    assert not faults(document(made.tiny(tmp_path), reader))


def test_demo_in_every_edition(demo: Mapping[str, Path]) -> None:
    """Every report.json of the published demo is taken."""
    files = [file for folder in demo.values() for file in sorted(folder.rglob("report.json"))]
    assert len(files) == 15
    assert not {str(f): told for f in files if (told := faults(json.loads(f.read_text("utf-8"))))}


def _set(*path: Any, to: Any) -> Callable[[Any], None]:
    def change(data: Any) -> None:
        for step in path[:-1]:
            data = data[step]
        data[path[-1]] = to

    return change


PLANTED = {
    "a key of no report": _set("extra", to=1),
    "a key of no finding": _set("findings", 0, "private", to="x"),
    "another format": _set("format", to="reportgen report 2"),
    "a severity": _set("findings", 0, "severity", to=3),
    "a state": _set("findings", 0, "state", to="closed"),
    "an outcome": _set("readings", 0, "outcome", to="pass"),
    "money as a number": _set("price", "asking", to=9000.5),
    "a day": _set("counted_on", to="4 March"),
    "no findings": lambda data: data.pop("findings"),
    "no quantity in a value": _set("coverage", to={"sound": "all"}),
}


@pytest.mark.parametrize("planted", PLANTED)
def test_planted_fault_is_found(planted: str, buyer: dict[str, Any]) -> None:
    """Each way of leaving the shape is refused."""
    data = copy.deepcopy(buyer)
    PLANTED[planted](data)
    assert faults(data)


def test_every_pointer_leads_somewhere() -> None:
    """Each `$ref` names a definition, and each definition is pointed to."""
    schema = reportschema.document()
    text = json.dumps(schema)
    for name in schema["$defs"]:
        assert f'"#/$defs/{name}"' in text
    assert faults({})
