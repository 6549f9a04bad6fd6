"""Every passage of the rack: plain values for its template, from a bare survey and from a full one."""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from markupsafe import Markup

from reportgen import pages, publish, racks, theme
from reportgen.chart import Chart
from reportgen.edition import Edition
from reportgen.passage import Passage
from reportgen.photos import PublishedPhoto
from reportgen.report import Report, photos_of
from tests import made
from tests.project import TOP

EDITIONS = racks.names("editions")

PASSAGES: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
FLOOR = {
    "about", "at_a_glance", "cautions", "findings", "left_as", "masthead", "not_inspected", "use_limits"
}  # fmt: skip
SILENT = {"left_as"}  # in no edition missing, where the notes have something for it
SURVEYS = ("tiny", "full")


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Report]:
    """Give the two surveys' reports, whole."""
    folder = tmp_path_factory.mktemp("passages")
    return {"tiny": made.tiny(folder), "full": made.full(folder)}


@pytest.fixture(scope="module")
def shown(reports: Mapping[str, Report]) -> Callable[[str, str], Report]:
    """Give a way to the report of a survey as an edition shows it, limited once for all passages."""
    return cache(lambda survey, edition: made.shown(reports[survey], publish.edition_named(edition)))


def _faults(value: Any, path: str) -> Iterator[str]:
    """Give what a template should not get: blocks of the report, numbers to reckon with, odd keys."""
    if isinstance(value, Mapping):
        for name, item in value.items():
            if type(name) is not str:
                yield f"{path}: a key that is no text"
            yield from _faults(item, f"{path}.{name}")
    elif isinstance(value, tuple | list):
        for n, item in enumerate(value):
            yield from _faults(item, f"{path}[{n}]")
    elif type(value) not in (str, Markup, int, float, bool, type(None), Chart):
        yield f"{path}: {type(value).__name__}"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("survey", SURVEYS)
@pytest.mark.parametrize("name", PASSAGES)
def test_values_are_plain(shown: Callable[[str, str], Report], name: str, survey: str, edition: str) -> None:
    """A template gets texts, numbers, lists and charts, and the same ones each time."""
    to = publish.edition_named(edition)
    values = PASSAGES[name].build(shown(survey, edition), to)
    assert not list(_faults(values, name))
    assert values == PASSAGES[name].build(shown(survey, edition), to)
    assert values is not None or name in SILENT or not PASSAGES[name].floor


def test_fault_is_found() -> None:
    """The look at values sees a block, a decimal number and a set."""
    faults = list(_faults({"a": [Report()], "b": {1}, 3: "c", "d": ("e", 1, None)}, "x"))
    assert faults == ["x.a[0]: Report", "x.b: set", "x: a key that is no text"]


def test_floor_passages_are_marked() -> None:
    """What no edition may leave out is marked so in its own file."""
    assert {name for name, passage in PASSAGES.items() if passage.floor} == FLOOR


@pytest.mark.parametrize("name", PASSAGES)
def test_passage_has_its_name_and_template(name: str) -> None:
    """File, passage and template have one name, and every edition's list names only what is there."""
    assert PASSAGES[name].name == name
    assert (TOP / "themes/base/passages" / f"{name}.html").is_file()
    assert inspect.getdoc(inspect.getmodule(PASSAGES[name].build))


def _pictures(shown: Report) -> dict[str, PublishedPhoto]:
    return {note.name: PublishedPhoto(b"", b"", 64, 48, 32, 24) for note in photos_of(shown)}


def _page(shown: Report, to: Edition) -> str:
    page, *_ = pages.arrange(shown, to, _pictures(shown), "0000 0000", charts=False)
    return theme.render(page, theme.find()).decode()


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("survey", SURVEYS)
def test_templates_know_every_value(reports: Mapping[str, Report], survey: str, edition: str) -> None:
    """An undefined value is an error of the theme; each passage that says something is on the page."""
    to = publish.edition_named(edition)
    shown = made.shown(reports[survey], to)
    html = {"": _page(shown, to)}
    for page in pages.arrange(shown, to, _pictures(shown), "0000 0000", charts=False)[1:]:
        html[page.file.removesuffix(".html")] = theme.render(page, theme.find()).decode()
    said = [p for p in pages.in_order(to) if p.title and p.build(shown, to) is not None]
    assert len(said) >= 6
    assert all(f'id="passage-{p.name.replace("_", "-")}"' in html[p.page] for p in said)
    assert {p.page for p in said} == set(html)
    assert not re.search(r"None(?! of| is| outside)", "".join(html.values()))


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_word_of_the_writer_is_escaped(edition: str, tmp_path: Path) -> None:
    """Signs of HTML in any text of the notes stand on the page as text."""
    evil = '<script>alert(1)</script> "x" <img src=x onerror=y>'
    fence = f"```finding\nseverity: watch\nlook again: '{evil}'\n```\n"
    body = f"# {evil}\n\n{evil}\n\n## {evil} a\n{fence}\n{evil}\n"
    gaps = {
        "not inspected": {evil: evil},
        "scope": evil,
        "equipment": [evil],
        "inspected items": [f"{evil} b"],
    }
    boat = {"vessel": {"type": "sailing yacht", "name": evil, "found": {"maker": evil, "hull number": evil}}}
    report = made.built(made.write(tmp_path / "boat", made.TINY | gaps | boat, body))
    to = publish.edition_named(edition)
    html = _page(made.shown(report, to), to)
    assert "<script" not in html
    assert "<img src=x" not in html
    assert "&lt;script" in html
