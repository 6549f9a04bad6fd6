"""What holds for every form of chart: safe words, own ids, own classes, the same bytes, no overlap."""

from __future__ import annotations

import importlib
import os
import re
import subprocess
import sys
import time
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

import pytest

from reportgen import racks
from reportgen.chart import Chart
from reportgen.drawing import PALETTE
from tests.picture import read
from tests.project import TOP

FORMS = racks.names("charts")
HOSTILE = (
    "</svg><script>alert(1)</script>",
    "$x^2$ & \\frac{1}{2}",
    "Riser\x00\x1b[31m\x9f\ufffe \ud800leak",
    "Kompressions\u00adprüfung" * 12,
    "👩‍🔧🛥️ 120 psi ⚓",
    "\u202ekcart\u2066 מחרוזת בדיקה مقياس",
    'x" onload="alert(1)',
    "",
)
# what a form reads by itself, in one of a few spellings that no note brings
OWN = {"side", "x_kind", "outline", "means"}
PAINT = ("fill", "stroke")
FILLS, STROKES = {"c-text", "c-paper", "c-bar", "c-bar2"}, {"c-ink", "c-soft", "c-limit", "c-outside"}


def examples(form: str) -> tuple[Chart, ...]:
    """Give the examples that a form's own test file must hold."""
    found: tuple[Chart, ...] = importlib.import_module(f"tests.charts.test_{form}").EXAMPLES
    return found


def draw(chart: Chart, key: str = "c") -> str:
    svg: str = racks.get("charts", chart.form, "draw")(chart, key)
    return svg


def with_words(chart: Chart, words: str) -> Chart:
    """Give the chart with `words` in the place of every text that may come from a note."""

    def change(value: Any) -> Any:
        if isinstance(value, Mapping):
            return {k: v if k in OWN else change(v) for k, v in value.items()}
        if isinstance(value, tuple):
            return tuple(change(v) for v in value)
        # a date stays one, its form is the reader's of the note
        return words if isinstance(value, str) and not re.fullmatch(r"\d{4}-\d\d-\d\d", value) else value

    return replace(chart, title=words, alt=words, data=change(chart.data))


CHARTS = [pytest.param(c, id=f"{f}-{n}") for f in FORMS for n, c in enumerate(examples(f), 1)]
every = pytest.mark.parametrize("chart", CHARTS)


def painted(svg: str) -> Iterator[ET.Element]:
    root = ET.fromstring(svg)  # noqa: S314 - our own picture
    yield from (e for e in root.iter() if e.tag in ("path", "text", "rect"))


def test_every_form_says_what_its_data_are() -> None:
    for form in FORMS:
        assert "\nData:\n" in str(importlib.import_module(f"reportgen.charts.{form}").__doc__), form


@every
def test_words_keep_off_each_other_and_on_the_sheet(chart: Chart) -> None:
    picture = read(draw(chart))
    assert picture.clashes() == []
    assert picture.beyond() == []
    assert min((w.size for w in picture.words), default=11) >= 11


@every
def test_title_comes_first_and_both_texts_are_named(chart: Chart) -> None:
    root = ET.fromstring(draw(chart, "port-1"))  # noqa: S314 - our own picture
    assert (root[0].tag, root[0].text, root[1].tag, root[1].text) == ("title", chart.title, "desc", chart.alt)
    assert root.get("aria-labelledby") == f"{root[0].get('id')} {root[1].get('id')}"
    assert root.get("role") == "img"
    assert not {"width", "height", "style"} & set(root.attrib)
    assert re.fullmatch(r"0 0 360 [\d.]+", root.attrib["viewBox"])


@every
def test_no_style_and_nothing_that_belongs_to_a_page(chart: Chart) -> None:
    svg = draw(chart)
    for never in ("style", "<?xml", "<!", "metadata", "xlink", "DejaVu", "clip", "<g"):
        assert never not in svg


@every
def test_all_that_is_painted_has_a_class_and_its_literal_colour(chart: Chart) -> None:
    """A theme colours by class, the PDF takes the literal; each class is for one use only."""
    whole = ET.fromstring(draw(chart))  # noqa: S314 - our own picture
    # words take both from the picture as a whole
    assert (whole.attrib["class"], whole.attrib["fill"]) == ("c-text", PALETTE["c-text"])
    for element in painted(draw(chart)):
        if element.tag == "text":
            assert not {"class", *PAINT} & set(element.keys())
            continue
        classes = set(element.attrib["class"].split())
        assert classes <= set(PALETTE)
        colours = {use: element.get(use, "none") for use in PAINT}
        literal = {use: c for use, c in colours.items() if c != "none" and not c.startswith("url(")}
        assert {PALETTE[c] for c in classes} == set(literal.values())
        assert bool(classes & FILLS) == ("fill" in literal)
        assert bool(classes & STROKES) == ("stroke" in literal)
    assert set(PALETTE) == FILLS | STROKES


@every
def test_ids_begin_with_the_key_and_every_reference_is_met(chart: Chart) -> None:
    svg = draw(chart, "stb-engine")
    ids = re.findall(r' id="([^"]*)"', svg)
    assert len(ids) == len(set(ids))
    assert all(i.startswith("stb-engine-") for i in ids)
    assert set(re.findall(r"url\(#([^)]*)\)", svg)) <= set(ids)


@every
@pytest.mark.parametrize("words", HOSTILE)
def test_words_from_notes_stay_words(chart: Chart, words: str) -> None:
    """No text becomes an element, an attribute or a formula, none leaves the sheet or covers another."""
    svg = draw(with_words(chart, words))
    picture = read(svg)
    assert {e.tag for e in picture.root.iter()} <= {
        "svg",
        "title",
        "desc",
        "defs",
        "pattern",
        "rect",
        "path",
        "text",
    }
    assert "<script" not in svg
    assert not [a for e in picture.root.iter() for a in e.attrib if a.startswith("on")]
    assert not re.search("[\x00-\x1f\x7f-\x9f\ufffe\u202a-\u202e\u2066-\u2069\ud800-\udfff]", svg)
    assert picture.clashes() == []
    assert picture.beyond() == []
    svg.encode()


@every
def test_a_short_hostile_word_is_read_as_written(chart: Chart) -> None:
    if not chart.data.get("rows", True):
        pytest.skip("no words in it")
    assert any("$x^2$<b>&" in t for t in read(draw(with_words(chart, "$x^2$<b>&"))).texts)


PRINT_ALL = """
import locale, sys
sys.path.insert(0, ".")
try:
    locale.setlocale(locale.LC_ALL, "")
except locale.Error:
    pass
from tests.charts.test_every_chart import FORMS, draw, examples
for form in FORMS:
    for number, chart in enumerate(examples(form)):
        sys.stdout.write(draw(chart, f"c{number}"))
assert "matplotlib.pyplot" not in sys.modules
"""


def test_two_runs_give_the_same_bytes() -> None:
    """Neither the seed of hashes nor the language of the machine nor the order of drawing changes them."""
    for form in FORMS:
        for chart in reversed(examples(form)):
            draw(chart)
    here = "".join(draw(c, f"c{n}") for form in FORMS for n, c in enumerate(examples(form)))
    for seed, language in (("1", "C"), ("77", "de_DE.UTF-8")):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "LC_ALL": language, "PYTHONUTF8": "1"}
        command = [sys.executable, "-c", PRINT_ALL]
        run = subprocess.run(
            command, cwd=TOP, env=environment, capture_output=True, text=True, encoding="utf-8"
        )
        assert run.stderr == ""
        assert run.stdout == here


def test_no_form_loads_matplotlib_before_it_draws() -> None:
    """Loading it takes longer than publishing a small report without charts."""
    load = "".join(f"import reportgen.charts.{form}\n" for form in FORMS)
    code = f"import sys\n{load}sys.exit('matplotlib' in sys.modules or 'numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], cwd=TOP).returncode == 0


@every
def test_a_chart_is_quick_and_small(chart: Chart) -> None:
    """About 5 ms and 4 KB for eight bars were measured; the bounds leave room for a loaded machine."""
    svg = draw(chart)
    # a path may draw many marks of one look
    marks = sum(max(e.get("d", "").count("M"), 1) for e in painted(svg))
    took = []
    for _ in range(5):
        began = time.perf_counter()
        draw(chart)
        took.append(time.perf_counter() - began)
    assert min(took) < 0.006 + 0.0008 * marks
    assert len(svg.encode()) < 2500 + 110 * marks
