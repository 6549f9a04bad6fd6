"""Nothing is cut off or pushed off the screen, from a small phone to a desktop; and pictures to look at."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from reportgen import wording
from tests.browser import chromium, tools
from tests.project import READERS

pytestmark = pytest.mark.browser

# Width of the screen to the least size of a chart's text, both px. Smaller text can't be read on a phone;
# 320 is a desktop's page enlarged four times (WCAG 2.2, 1.4.10), where a pixel is larger.
WIDTHS = {320: 8, 390: 9, 1280: 9}

FAULTS = """(least) => {
  const found = [];
  const said = e => (e.textContent || e.getAttribute('class') || '').trim().slice(0, 40);
  const over = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (over > 0) {
    const wide = [...document.querySelectorAll('body *')].filter(
      e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 1);
    found.push(`page wider than the screen by ${over}: ` +
      wide.slice(0, 3).map(e => `${e.tagName} ${said(e)}`).join('; '));
  }
  for (const e of document.querySelectorAll('body *')) {
    const style = getComputedStyle(e);
    const hides = [style.overflowX, style.overflowY].some(o => ['hidden', 'clip'].includes(o));
    // text for screen readers alone is one pixel large on purpose
    if (hides && e.clientWidth > 2 && !(e instanceof SVGElement) &&
        (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1))
      found.push(`text cut: ${e.tagName} ${said(e)}`);
  }
  for (const svg of document.querySelectorAll('svg')) {
    const frame = svg.getBoundingClientRect();
    if (!frame.width) continue;
    const shown = e => !e.closest('defs, clipPath, mask, pattern, symbol, marker');
    for (const e of svg.querySelectorAll('rect, text, path, circle, line, polygon, polyline, use')) {
      if (!shown(e) || e.closest('[clip-path]')) continue;
      const b = e.getBoundingClientRect();
      if (b.left < frame.left - 1 || b.right > frame.right + 1 ||
          b.top < frame.top - 1 || b.bottom > frame.bottom + 1)
        found.push(`outside its picture: ${e.tagName} ${said(e)}`);
    }
    const edge = (svg.closest('figure') || svg).getBoundingClientRect().left;
    const texts = [...svg.querySelectorAll('text')].filter(e => shown(e) && said(e))
      .map(e => [said(e), e.getBoundingClientRect(), e]);
    texts.forEach(([words, a, e], i) => {
      const m = e.getScreenCTM();
      const size = parseFloat(getComputedStyle(e).fontSize) * Math.hypot(m.c, m.d);
      if (size < least) found.push(`text of ${size.toFixed(1)} px: ${words}`);
      if (a.left < edge - 2) found.push(`left of the page's text: ${words}`);
      for (const [others, b] of texts.slice(i + 1))
        if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 1 &&
            Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 2)
          found.push(`texts overlap: ${words} / ${others}`);
    });
  }
  return found;
}"""


# A label is a pseudo-element, which has no rectangle; its used height says how far it reaches.
LABELS = """(spoken) => {
  const found = [], pen = document.createElement('canvas').getContext('2d');
  const cells = [...document.querySelectorAll('td[data-h]')].map(e => [e, e.dataset.h]);
  for (const [language, words] of Object.entries(spoken)) {
    document.documentElement.lang = language;
    for (const [e, english] of cells) e.dataset.h = words[english] || english;
    for (const [e] of cells) {
      const box = e.getBoundingClientRect();
      const [cell, label] = [getComputedStyle(e), getComputedStyle(e, '::before')];
      const [high, wide] = [parseFloat(label.height), parseFloat(label.width)];
      if (!box.height || label.content === 'none' || isNaN(high)) continue;
      const under = box.top + parseFloat(cell.paddingTop) + high - box.bottom;
      if (under > 1) found.push(`label below its row: ${e.dataset.h}`);
      // a float keeps its value off by its margin; elsewhere the label has the cell's padding
      const [room, free] = [label.marginRight, cell.paddingLeft].map(parseFloat);
      if (label.float === 'left' ? room < 4 : wide > free) found.push(`label on its value: ${e.dataset.h}`);
      pen.font = `${label.fontWeight} ${label.fontSize} ${label.fontFamily}`;
      if (high > 1.5 * parseFloat(label.lineHeight) && pen.measureText(e.dataset.h).width < box.width)
        found.push(`label of two lines: ${e.dataset.h}`);
      const long = e.dataset.h.split(/[ -]/).find(w => pen.measureText(w).width > wide + 1);
      if (long) found.push(`label's word wider than it: ${long}`);
    }
  }
  return [cells.length, [...new Set(found)]];
}"""


def faults(browser: Browser, path: Path, width: int) -> list[str]:
    """Give what is cut, overlaps or is too small on a screen of a width [px], with everything opened."""
    with chromium.visit(browser, path, chromium.View("", width, 800, "light", phone=False)) as seen:
        seen.open_everything()
        found: list[str] = seen.page.evaluate(FAULTS, WIDTHS[width])
        return found


@pytest.mark.parametrize("edition", READERS)
def test_nothing_is_cut(browser: Browser, demo: Mapping[str, Path], edition: str) -> None:
    """At every width the page fits the screen, its text its boxes, and its charts their frames."""
    turns = tools.turns(edition, demo[edition], list(WIDTHS), share=1)
    tools.nothing({f"{p.relative_to(demo[edition])} {w}": faults(browser, p, w) for p, w in turns})


def _labels(browser: Browser, path: Path) -> tuple[int, list[str]]:
    """Give how many labels a page has on the smallest phone, and which lie badly in some language."""
    with chromium.visit(browser, path, chromium.View("", 320, 800, "light", phone=False)) as seen:
        seen.open_everything()
        labels = seen.page.eval_on_selector_all("td[data-h]", "cells => cells.map(e => e.dataset.h)")
        spoken = {language: _said(set(labels), language) for language in wording.LANGUAGES}
        count, found = seen.page.evaluate(LABELS, spoken)
        return count, found


def _said(labels: set[str], language: str) -> dict[str, str]:
    """Give labels in a language: texts of ours, or names of columns."""
    with wording.speaking(language):
        return {label: wording.term(wording.say(label)) for label in labels}


def test_labels_leave_the_next_row_free(browser: Browser, demo: Mapping[str, Path]) -> None:
    """A row of a table made into a card has its label on one line, as long as that has room for it."""
    folder = demo[tools.FULL_EDITION] / tools.FULL_BOAT
    looked = {p.name: _labels(browser, p) for p in tools.pages_of(folder)}
    assert all(looked[name][0] > 50 for name in ("index.html", "measurements.html", "work-list.html"))
    tools.nothing({name: found for name, (_, found) in looked.items()})


CARDS = "td{{display:block;padding-left:4em{cell}}}td::before{{content:attr(data-h);{label}}}"
BADLY = {
    "label below its row": ("", "position:absolute;left:0;width:3em"),
    "label on its value": (";display:flow-root", "float:left;width:5em"),
    "label of two lines": (";display:flow-root", "float:left;width:6em;margin-right:1em;line-height:20px"),
    "label's word wider": (";display:flow-root", "float:left;margin-left:-2em;width:2em"),
}


@pytest.mark.parametrize("fault", BADLY)
def test_label_in_the_way_is_found(browser: Browser, page_with: Callable[..., Path], fault: str) -> None:
    """A label that reaches into the next row, onto its value or past its own room, or breaks, is told."""
    style = CARDS.format(cell=BADLY[fault][0], label=BADLY[fault][1])
    row = "<table><tr><td data-h='Buyer brings all'>1</td></tr></table>"
    count, found = _labels(browser, page_with(f"<style>{style}</style>", row))
    assert count == 1
    assert [f for f in found if f.startswith(fault)], found


def test_sound_page_has_no_fault(browser: Browser, page_with: Callable[..., Path]) -> None:
    """The page that faults are planted in fits every screen."""
    path = page_with()
    for width in WIDTHS:
        assert not faults(browser, path, width)


PLANTED = {
    "page wider": {"body": "<p class=w>x</p>", "head": "<style>.w{width:500px}</style>"},
    "text cut": {
        "body": "<p class=w>Too much text</p>",
        "head": "<style>.w{width:3em;overflow:hidden;white-space:nowrap}</style>",
    },
    "outside its picture": {"swap": 'width="200" height="20" -> width="320" height="20"'},
    "texts overlap": {"swap": '<text x="10" -> <text x="12" y="21">Another</text><text x="10"'},
    "left of the page's text": {"head": "<style>figure svg{margin-left:-15px}</style>"},
    "text of": {"swap": "svg text{fill:var(--ink);font:14px -> svg text{fill:var(--ink);font:7px"},
}


@pytest.mark.parametrize("fault", PLANTED)
def test_planted_fault_is_found(browser: Browser, page_with: Callable[..., Path], fault: str) -> None:
    """Each way of losing something off the screen is seen, and told by its name."""
    found = faults(browser, page_with(**PLANTED[fault]), 390)
    assert [f for f in found if f.startswith(fault)], found


def test_screenshots(browser: Browser, demo: Mapping[str, Path]) -> None:
    """Pictures of every page are written for a person to look at, if REPORTGEN_SCREENSHOTS names a folder."""
    folder = os.environ.get("REPORTGEN_SCREENSHOTS")
    if not folder:
        pytest.skip("REPORTGEN_SCREENSHOTS names no folder for the pictures")
    for edition, site in demo.items():
        for path in tools.pages_of(site):
            name = "-".join([edition, *path.relative_to(site).with_suffix("").parts])
            for view in chromium.VIEWS:
                with chromium.visit(browser, path, view) as seen:
                    base = Path(folder) / f"{name}-{view.name}"
                    seen.page.screenshot(path=f"{base}-first.png")
                    assert Path(f"{base}-first.png").stat().st_size > 5000
                    if view.scheme == "light":
                        seen.page.screenshot(path=f"{base}.png", full_page=True, timeout=120_000)
