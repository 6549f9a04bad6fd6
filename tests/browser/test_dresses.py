"""The theme for copies and a translated report: whole on every screen and sheet, in black, white and grey."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

import pytest
from bs4 import BeautifulSoup, Tag
from PIL import Image, ImageChops
from playwright.sync_api import Browser

from tests.browser import chromium, test_contrast, test_layout, test_look, test_print, test_reach, tools

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("dresses")]

Setting = TypeVar("Setting")
TINT = 2  # that red, green and blue may differ by in a grey [0 to 255]


REPORT = "index.html"
# What differs most from the report and from one another; the rest is made of the same pieces.
OTHERS = ("measurements.html", "work-list.html", "closing-out.html")


def _turns(folder: Path, settings: Sequence[Setting], first: int = 0) -> Iterator[tuple[Path, Setting]]:
    """Give the report in two settings, and each other page in one, the next page in the next."""
    yield folder / REPORT, settings[first]
    for number, name in enumerate((REPORT, *OTHERS), first + len(settings) // 2):
        yield folder / name, settings[number % len(settings)]


def _by_dress(check: Callable[..., None]) -> Callable[..., None]:
    return pytest.mark.parametrize("dress", tools.DRESSES)(check)


@_by_dress
def test_pages_keep_the_rules(browser: Browser, dressed: Mapping[str, Path], dress: str) -> None:
    """No page has a barrier, asks for anything or lacks a picture, on phone and desktop, light and dark."""
    root = dressed[dress].resolve()
    found = {
        f"{p.relative_to(root)} {v.name}": test_look.faults(browser, p, v, root)
        for p, v in _turns(root, chromium.VIEWS)
    }
    tools.nothing(found)


@_by_dress
def test_nothing_is_cut(browser: Browser, dressed: Mapping[str, Path], dress: str) -> None:
    """The longest words break, and the thickest rules leave room: 320 px wide, and at two other widths."""
    widths = (320, 390, 320, 1280)
    turns = _turns(dressed[dress], widths, first=1)
    tools.nothing({f"{p.name} {w}": test_layout.faults(browser, p, w) for p, w in turns})


@_by_dress
def test_targets_and_keyboard(browser: Browser, dressed: Mapping[str, Path], dress: str) -> None:
    """A finger meets what it aims at, whatever language and letters it is written in."""
    pages = [dressed[dress] / name for name in (REPORT, *OTHERS[1:])]
    found = {p.name: test_reach.small(browser, p) for p in pages}
    found["keyboard"] = test_reach.unreachable(browser, dressed[dress] / REPORT)
    tools.nothing(found)


@_by_dress
def test_prints_well(browser: Browser, dressed: Mapping[str, Path], tmp_path: Path, dress: str) -> None:
    """On A4 and Letter nothing is cut, lost, left alone or at the paper's edge."""
    found = {}
    for number, (path, paper) in enumerate(_turns(dressed[dress], test_print.FORMATS)):
        found[f"{path.name} {paper}"] = test_print.faults(browser, path, paper, tmp_path / str(number))
    tools.nothing(found)


def test_words_stand_out(browser: Browser, dressed: Mapping[str, Path]) -> None:
    """No word of the theme for copies is weaker than the standard allows, in light, in dark, on paper."""
    page = dressed["carbon"] / REPORT
    tools.nothing({scheme: test_contrast.faults(browser, page, scheme) for scheme in test_contrast.SCHEMES})


def tinted(picture: Path) -> int:
    """Give how many dots of a picture are no grey."""
    with Image.open(picture) as opened:
        red, green, blue = opened.convert("RGB").split()
    apart = [ImageChops.difference(*pair) for pair in ((red, green), (green, blue), (blue, red))]
    most = ImageChops.lighter(ImageChops.lighter(apart[0], apart[1]), apart[2])
    return sum(most.histogram()[TINT + 1 :])


def _seen(browser: Browser, page: Path, to: Path) -> list[Path]:
    """Give pictures of a page: where its first picture stands, in light and dark, and its printed sheets."""
    to.mkdir()
    for view in chromium.VIEWS[2:]:
        with chromium.visit(browser, page, view) as seen:
            seen.page.evaluate("document.querySelector('img, svg:not(.mark)').scrollIntoView()")
            seen.page.screenshot(path=to / f"{view.name}.png")
            if view.scheme == "light":
                seen.page.pdf(path=to / "print.pdf", format="A4", print_background=True)
    subprocess.run(["pdftoppm", "-r", "25", "-png", str(to / "print.pdf"), str(to / "sheet")], check=True)
    return sorted(to.glob("*.png"))


# every colour that something on the page is painted with, its pseudo-elements included
PAINTED = """() => {
  const found = new Set();
  const look = s => {
    for (const name of ['color', 'backgroundColor', 'textDecorationColor']) found.add(s[name]);
    for (const side of ['Top', 'Right', 'Bottom', 'Left'])
      if (parseFloat(s[`border${side}Width`])) found.add(s[`border${side}Color`]);
    found.add(s.fill);
    found.add(s.stroke);
  };
  for (const e of document.querySelectorAll('body, body *'))
    for (const pseudo of [null, '::before', '::after']) look(getComputedStyle(e, pseudo));
  return [...found];
}"""


def _coloured(browser: Browser, page: Path, scheme: str) -> list[str]:
    """Give the colours of a page's style in light or dark that are no grey."""
    with chromium.visit(browser, page, chromium.View("", 390, 844, scheme, phone=False)) as seen:
        every: list[str] = seen.page.evaluate(PAINTED)
    parts = {colour: re.findall(r"[\d.]+", colour)[:3] for colour in every if colour.startswith("rgb")}
    assert parts
    return [colour for colour, three in parts.items() if len(set(three)) > 1]


def test_theme_for_copies_is_grey(
    browser: Browser, dressed: Mapping[str, Path], page_with: Callable[..., Path], tmp_path: Path
) -> None:
    """Photos, links, charts: the theme for copies has no colour, on a screen or on paper."""
    page, coloured = dressed["carbon"] / REPORT, page_with()
    assert not {s: found for s in ("light", "dark") if (found := _coloured(browser, page, s))}
    grey = _seen(browser, page, tmp_path / "carbon")
    assert len(grey) > 6
    assert not [p.name for p in grey if tinted(p)]
    # a bar of another colour is seen in all these ways
    assert _coloured(browser, coloured, "light")
    assert all(tinted(p) for p in _seen(browser, coloured, tmp_path / "coloured"))


def _language(element: Tag) -> str:
    """Give the language that an element stands in: its own, or that of the nearest around it."""
    around = element if element.get("lang") else element.find_parent(attrs={"lang": True})
    return str(around["lang"]) if around else ""


def test_translated_report_says_its_languages(dressed: Mapping[str, Path]) -> None:
    """Each page is German; what the surveyor wrote in English is said to be English."""
    pages = {p.name: BeautifulSoup(p.read_bytes(), "html5lib") for p in tools.pages_of(dressed["de"])}
    assert {page.html["lang"] for page in pages.values() if page.html} == {"de"}
    report = pages[REPORT]
    theirs = report.select(".finding h3 [lang], .finding > p[lang], .finding > [lang] p")
    assert len(theirs) > 40
    assert {_language(e) for e in theirs} == {"en"}
    assert {_language(e) for e in report.select("dt, h2, .money th, .group, summary")} == {"de"}
