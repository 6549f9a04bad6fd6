"""What every kind of reading keeps: its name, its sources, its docstring, and working that can be followed.

A kind's `example` is the fence of a reading with values, a limit with its source, and everything told; the
tests here read it.
"""

from __future__ import annotations

import dataclasses
import importlib
import re
from typing import Any

import pytest

from reportgen import kind as contract
from reportgen import racks, sources, units
from reportgen.block import keys_of
from reportgen.blocks.finding import HAZARDS
from reportgen.errors import Problems
from reportgen.kind import About, Assessment, Kind, fenced
from reportgen.limits import Limit, NoteLimit, general
from reportgen.model import Reading
from tests.kinds.noted import FOUR_STROKE, assessed, noted
from tests.project import PACKAGE

KINDS: dict[str, Kind] = racks.all_of("kinds", "KIND")
SENTENCE = re.compile(r"[A-Z].*[^.]\.", re.S)


def example(file: str) -> str:
    """Give the example that `kinds` prints for pasting."""
    return KINDS[file].example


def every_limit(found: Assessment) -> list[Limit]:
    """Give the limits that were applied."""
    return [j.limit for j in found.judged]


def test_there_are_kinds() -> None:
    """The folder is the list."""
    assert {"compression", "leak_down"} <= set(KINDS)


@pytest.mark.parametrize("file", KINDS)
def test_name_is_the_file(file: str) -> None:
    """The word of the note, the file, and its test file go by one name."""
    assert re.sub(r"[- ]", "_", KINDS[file].name) == file
    assert importlib.import_module(f"tests.kinds.test_{file}").__doc__


@pytest.mark.parametrize("file", KINDS)
def test_limits_and_sources_exist(file: str) -> None:
    """Every source of a kind, those of its general limits among them, stands in sources.yaml."""
    kind = KINDS[file]
    for id in (*kind.source_ids, *(limit.source_id for limit in kind.limits)):
        assert sources.get(id).title
    assert {limit.source_id for limit in kind.limits} <= set(kind.source_ids)
    assert all(limit.origin == "general" and limit.source for limit in kind.limits)


@pytest.mark.parametrize("file", KINDS)
def test_declares_itself_whole(file: str) -> None:
    """Title, units, hazards and the trade's text are there, in words that reportgen knows."""
    kind = KINDS[file]
    known = {unit for table in units.UNITS.values() for unit in table}
    assert kind.title[:1].isupper()
    assert set(kind.units) <= known
    assert set(kind.hazards) <= set(HAZARDS)
    assert kind.unanswered in ("stop", "settle")
    assert kind.proves
    assert SENTENCE.fullmatch(kind.how)
    assert kind.instrument
    assert not kind.no_source or (SENTENCE.fullmatch(kind.no_source) and not kind.limits)
    # a figure for all, such as 12.5 V, says nothing of what it is for
    assert all(limit.of for limit in kind.limits) or SENTENCE.fullmatch(kind.limits_for)
    assert kind.limits or not kind.limits_for
    assert kind.limits or kind.no_source or "limit" in keys_of(kind.fields)
    assert kind.proves_not
    assert not [s for s in (kind.measures, *kind.proves, *kind.proves_not) if not SENTENCE.fullmatch(s)]


@pytest.mark.parametrize("file", KINDS)
def test_fields_say_who_may_see_them(file: str) -> None:
    """Each key has help and a category, and none collides with the keys that all readings share."""
    keys = keys_of(KINDS[file].fields)
    assert keys
    assert all(spec.metadata["help"] and spec.metadata["share"] for spec in keys.values())
    assert not set(keys) & set(keys_of(Reading))
    if "limit" in keys:
        assert dict(keys["limit"].metadata["type"].dimensions) == dict(KINDS[file].limit_words)


@pytest.mark.parametrize("file", KINDS)
def test_docstring_gives_method_units_and_source(file: str) -> None:
    """The file opens with what is judged, then how, in which units, and by whose word."""
    text = importlib.import_module(f"reportgen.kinds.{file}").__doc__ or ""
    for part in ("Method:", "Unit", "Source:"):
        assert part in text, part


@pytest.mark.parametrize("file", KINDS)
def test_example_is_judged_with_its_working(file: str) -> None:
    """The outcome rests on limits that were judged, the steps hold numbers, the chart its own table."""
    found = assessed(example(file))
    # a kind for which nobody publishes a limit says so, and judges nothing but the note's own figure
    assert found.outcome in ("within", "outside") or KINDS[file].no_source
    assert found.judged or KINDS[file].no_source
    assert found.outcome == contract.overall(found.judged)
    assert SENTENCE.fullmatch(found.because)
    assert found.working
    assert all(s.step and s.values and s.result for s in found.working)
    assert set(found.source_ids) <= set(KINDS[file].source_ids)
    for limit in every_limit(found):
        assert limit.source
        assert (limit.origin == "general") == bool(limit.source_id)
    for said in (*found.says, *found.suggests):
        assert SENTENCE.fullmatch(said), said


@pytest.mark.parametrize("file", KINDS)
def test_chart_and_table_show_the_same(file: str) -> None:
    """A chart says in words what it shows, and its table has a row for each thing."""
    chart = assessed(example(file)).chart
    assert chart is not None
    assert SENTENCE.fullmatch(chart.alt)
    assert chart.alt.count(". ") <= 2
    assert chart.table.rows
    assert all(len(row) == len(chart.table.header) for row in chart.table.rows)


@pytest.mark.parametrize("file", KINDS)
def test_blank_of_start_is_read_without_a_mistake(file: str) -> None:
    """What `start` writes and nobody fills in is a reading not taken, never an error."""
    kind, problems = KINDS[file], Problems()
    reading = noted(kind.blank, problems)
    assert not problems.errors, [str(p) for p in problems.errors]
    assert kind.assess(reading, About()).outcome == "not taken"
    assert fenced(kind, kind.blank).startswith(f"## {kind.title}\n```reading\nkind: {kind.name}\n")


@pytest.mark.parametrize("file", KINDS)
def test_same_note_same_assessment(file: str) -> None:
    """Nothing depends on chance or on what was judged before."""
    assert assessed(example(file)) == assessed(example(file))


@pytest.mark.parametrize("file", KINDS)
def test_blank_reading_is_not_taken(file: str) -> None:
    """A fence that names only its kind breaks nothing and is never within."""
    found = assessed(f"kind: {KINDS[file].name}\n", About())
    assert found.outcome == "not taken"
    assert SENTENCE.fullmatch(found.because)


@pytest.mark.parametrize("file", KINDS)
def test_general_limits_are_not_used_where_the_note_is_silent_on_the_engine(file: str) -> None:
    """Whatever applies is said: an outcome of no limit gives its reason."""
    text = re.sub(r"(?m)^limit:.*\n", "", example(file))
    found = assessed(text, About())
    assert found.outcome in contract.OUTCOMES
    assert found.judged or len(found.because) > 30


def _used() -> str:
    """Give all text of the package but the list of sources itself."""
    files = [p for p in sorted(PACKAGE.rglob("*")) if p.suffix in (".py", ".yaml", ".html")]
    return "\n".join(p.read_text(encoding="utf-8") for p in files if p.name != "sources.yaml")


def test_every_source_is_used() -> None:
    """A row of sources.yaml that no kind, caution or module names is dead weight."""
    text = _used()
    patterns = {id: rf"(?<![\w-]){re.escape(id)}(?![\w-])" for id in sources.all_sources()}
    unused = [id for id, pattern in patterns.items() if not re.search(pattern, text)]
    assert not unused


def test_limit_without_its_row_fails() -> None:
    """A kind whose limit has no row in sources.yaml can't be loaded; no limit is without a source."""
    with pytest.raises(KeyError):
        general("minimum", 1.0, "psi", "minimum", "no-such-row")
    with pytest.raises(ValueError, match="has no source"):
        Limit("minimum", 1.0, "psi")


def test_note_limit_reaches_the_page_with_its_source() -> None:
    """A figure of the note is judged as the note's, in its unit, with its source word for word."""
    reading = noted(example("compression"), Problems())
    written: tuple[NoteLimit, ...] = reading.fields.limit
    assert written[0].source == "invented manual 4A"
    found = KINDS["compression"].assess(reading, FOUR_STROKE)
    [limit] = [x for x in every_limit(found) if x.origin == "note"]
    assert (limit.value, limit.unit, limit.source) == (120.0, "psi", "invented manual 4A")


def _empty(value: Any) -> bool:
    return isinstance(value, str | tuple) and not value


def test_no_part_of_an_assessment_is_blank_text() -> None:
    """No blank sentence reaches a page."""
    for file in KINDS:
        found = assessed(example(file))
        parts = [getattr(found, f.name) for f in dataclasses.fields(found)]
        assert not [p for part in parts if isinstance(part, tuple) for p in part if _empty(p)]


OF_ENGINE = {
    *("borescope", "charging", "compression", "coolant_analysis", "cooling", "coupling", "gearcase"),
    *("exhaust_back_pressure", "fuel_pressure", "leak_down", "oil_analysis", "oil_pressure", "spark_plugs"),
}


@pytest.mark.parametrize("file", KINDS)
def test_readings_taken_of_an_engine_ask_which(file: str) -> None:
    """Of a boat with two engines each of these belongs to one; all others are of the boat."""
    assert KINDS[file].of_engine is (file in OF_ENGINE)
