"""Every theme of ours: each part of every page, read in black and white, and in colours that can be told."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest

from reportgen import contrast, drawing, owntheme, pages, pdf, publish, racks, report, siteindex, theme
from reportgen.edition import Edition
from reportgen.passage import Passage
from reportgen.photos import PublishedPhoto
from reportgen.report import Report
from tests import made, whole
from tests.project import TOP

PASSAGES: Mapping[str, Passage] = racks.all_of("passages", "PASSAGE")
EDITIONS: Mapping[str, Edition] = racks.all_of("editions", "EDITION")
THEMES = tuple(sorted(p.name for p in (TOP / "themes").iterdir() if p.is_dir()))


@pytest.fixture(scope="module")
def surveys(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Report]:
    """Give two surveys: one with hardly a word, one with every key filled in."""
    filled = whole.write(tmp_path_factory.mktemp("whole"))
    return {"tiny": made.tiny(tmp_path_factory.mktemp("tiny")), "whole": made.built(filled.folder)}


@pytest.mark.parametrize("name", THEMES)
def test_every_part_in_every_theme(surveys: Mapping[str, Report], name: str) -> None:
    """Undefined names are errors: all parts of the most and of the least that notes can hold are made."""
    used, edition = theme.find(name), EDITIONS["buyer"]
    shown = set()
    for each in surveys.values():
        pictures = dict.fromkeys((n.name for n in report.photos_of(each)), _PICTURE)
        every = Edition("buyer", edition.title, edition.reader, edition.shows, tuple(PASSAGES))
        for page in pages.arrange(each, every, pictures, "0000", charts=False):
            assert theme.render(page, used).startswith(b"<!doctype html>")
            shown |= {part["name"] for part in page.values["passages"]}
    assert {"findings", "use_limits", "estimate", "readings", "sums"} <= shown
    entries = [pages.entry(each, edition, folder) for folder, each in surveys.items()]
    assert b"</html>" in dict(siteindex.made(entries, edition, used))["index.html"]


_PICTURE = PublishedPhoto(b"", b"", 1600, 1200, 480, 360)


@pytest.mark.parametrize("name", THEMES)
def test_colours_can_be_told(name: str) -> None:
    """Text has 4.5 and what is drawn 3, on light and on dark screens."""
    for one, on, colour, paper, least, _, dark in owntheme.pairs(theme.find(name).style):
        assert contrast.ratio(colour, paper) >= least, (name, one, on, dark)


def test_contrast_by_published_values() -> None:
    """Black on white is 21, and #767676 on white is the lightest grey that text may have (WCAG 2.1)."""
    assert contrast.ratio("#000", "#ffffff") == pytest.approx(21)
    assert contrast.ratio("#767676", "#fff") >= 4.5 > contrast.ratio("#777777", "#fff")
    assert contrast.enough("#999999", "#ffffff", 4.5) in ("#767676", "#757575")
    assert contrast.ratio(contrast.enough("#222", "#000", 4.5), "#000") >= 4.5


def test_colours_are_read_by_where_they_stand() -> None:
    """Those for paper don't count on a screen, whatever stands before them."""
    style = (
        ":root{--ink:#111}@media (prefers-color-scheme:dark){:root{--ink:#eee}}"
        "@media print{@page{margin:1mm}:root{--ink:#777}}"
    )
    assert contrast.colours(style) == ({"ink": "#111"}, {"ink": "#eee"})


def test_carbon_has_no_grey() -> None:
    """Each colour that it names is black or white, and each that base names on screens is set."""
    for sheet in (TOP / "themes/carbon").glob("*.css"):
        assert set(re.findall(r"#[0-9a-f]{3,6}\b", sheet.read_text(encoding="utf-8"))) <= {"#000", "#fff"}
    for known in contrast.colours(theme.find("carbon").style):
        assert set(known.values()) == {"#000", "#fff"}


def test_drawings_of_the_pdf_are_painted_too() -> None:
    """Each class that a drawing has is black or white in carbon's; base leaves them as they are drawn."""
    rules = theme.sheet(theme.find("carbon"), "drawing.css")
    assert all(f".{name}" in rules for name in drawing.PALETTE)
    shelf = pdf._Shelf({}, rules)
    shelf.drawing('<svg viewBox="0 0 1 1"><path class="c-bar"/></svg>')
    assert f"><style>{rules}</style><path".encode() in next(iter(shelf.drawn.values()))
    assert theme.sheet(theme.find(), "drawing.css") == ""


def test_carbon_holds_only_what_differs() -> None:
    """No template and no rule of base is in it once more."""
    folder = TOP / "themes/carbon"
    assert {p.name for p in folder.rglob("*")} == {"style.css", "appendix.css", "pdf.css", "drawing.css"}
    rules = [set(theme._squeezed((TOP / f"themes/{n}/style.css").read_text()).split("}")) for n in THEMES]
    assert {r for r in set.intersection(*rules) if "{" in r and "@media" not in r} == set()


def test_themes_are_found() -> None:
    """The folder is the list."""
    assert theme.names() == THEMES == ("base", "carbon")
    assert publish.theme_named("carbon", TOP / "content") is theme.find("carbon")
