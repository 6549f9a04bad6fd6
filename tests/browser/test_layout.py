"""Nothing is cut off or pushed off the screen, from a small phone to a desktop; and pictures to look at."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser

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
