"""What can be pressed is large enough, comes in its order, and never lies under something else."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser import chromium, tools
from tests.project import READERS

pytestmark = pytest.mark.browser

PHONE = chromium.View("phone", 360, 740, "light", phone=True)
# WCAG 2.2, 2.5.8: at least 24 px, but for a link within a sentence; the main ones at least 44 px here
TARGETS = """() => {
  const main = '.contents a, .hand a, summary';
  const found = [];
  for (const e of document.querySelectorAll('a[href], summary, button, input')) {
    const box = e.getBoundingClientRect();
    if (!box.width || e.matches('.skip')) continue;
    const block = e.closest('p, li, dd, dt, td, th, h1, h2, h3, h4, figure, nav, body');
    const alone = block.textContent.trim() === e.textContent.trim() || e.matches(main);
    const least = e.matches(main) ? 44 : 24;
    if (alone && Math.min(box.height, box.width) < least - .1)
      found.push(`${e.textContent.trim().slice(0, 40)}: ${box.width | 0} by ${box.height | 0} px`);
  }
  return found;
}"""
FOCUS = """() => {
  const e = document.activeElement;
  if (!e || e === document.body) return null;
  const all = [...document.querySelectorAll('a[href], summary, button, input, [tabindex]')];
  const box = e.getClientRects()[0];
  const x = Math.min(Math.max(box.x + box.width / 2, 1), innerWidth - 2);
  const seen = [box.y + 2, box.y + box.height / 2, box.y + box.height - 2]
    .filter(y => y > 0 && y < innerHeight).map(y => document.elementFromPoint(x, y));
  const after = all.slice(all.indexOf(e) + 1).filter(a => a.tabIndex >= 0);
  return {at: all.indexOf(e), name: e.textContent.trim().slice(0, 40),
          last: !after.some(a => a.checkVisibility({visibilityProperty: true})),
          seen: seen.some(s => s && (e.contains(s) || s.contains(e)))};
}"""
STEPS = 30  # presses of the tabulator that are followed on a page


def small(browser: Browser, path: Path) -> list[str]:
    """Give what is too small for a finger on a phone, with everything opened."""
    with chromium.visit(browser, path, PHONE) as seen:
        seen.open_everything()
        found: list[str] = seen.page.evaluate(TARGETS)
        return found


def _covered_or_out_of_order(page: Page) -> list[str]:
    found: list[str] = []
    first, last, ended = -1, -1, False
    for _ in range(STEPS):
        page.keyboard.press("Tab")
        at = page.evaluate(FOCUS)
        # behind the last the keyboard leaves the page, or in a window that was used before begins anew
        if at is None or (ended and at["at"] == first):
            break
        first = at["at"] if first < 0 else first
        if at["at"] <= last:
            found.append(f"out of order: {at['name']}")
        if not at["seen"]:
            found.append(f"covered: {at['name']}")
        last, ended = at["at"], at["last"]
    return found if last >= 0 else [*found, "nothing can be reached by the keyboard"]


def unreachable(browser: Browser, path: Path) -> list[str]:
    """Give what the keyboard meets out of the order of reading, or hidden below something (WCAG 2.4.11)."""
    with chromium.visit(browser, path, PHONE) as seen:
        return _covered_or_out_of_order(seen.page)


@pytest.mark.parametrize("edition", READERS)
def test_targets_and_keyboard(browser: Browser, demo: Mapping[str, Path], edition: str) -> None:
    """A finger meets what it aims at, and the keyboard goes through each page in its order."""
    found = {}
    for path, check in tools.turns(edition, demo[edition], (small, unreachable), share=3):
        found[f"{path.relative_to(demo[edition])} {check.__name__}"] = check(browser, path)
    tools.nothing(found)


def test_measure_and_paper_colours(browser: Browser, demo: Mapping[str, Path]) -> None:
    """A line holds 75 letters at most; with the reader's own colours each severity keeps its mark."""
    page = demo[tools.FULL_EDITION] / tools.FULL_BOAT / "index.html"
    with chromium.visit(browser, page) as seen:
        widest = seen.page.evaluate(
            """() => Math.max(...[...document.querySelectorAll('.finding > p:not([class])')].map(p => {
              const size = parseFloat(getComputedStyle(p).fontSize);
              return p.getBoundingClientRect().width / size / .44 }))"""
        )
        assert 55 < widest <= 75, widest
        seen.page.emulate_media(forced_colors="active")
        marks = seen.page.evaluate(
            """() => [...new Set([...document.querySelectorAll('.group')].map(g =>
              g.querySelector('strong').textContent + g.querySelector('path').getAttribute('d')))].length"""
        )
        painted = seen.page.evaluate(
            "() => [getComputedStyle(document.querySelector('.mark')).fill,"
            " getComputedStyle(document.body).backgroundColor]"
        )
    assert marks == 5
    assert painted[0] != painted[1]


PLANTED = {
    "small": {"body": '<p><a href="#x" id="x">Go</a></p>', "head": "<style>p a{font:10px/1 serif}</style>"},
    "covered": {
        "body": '<p><a href="#x" id="x">Go</a></p><div class="bar"></div>',
        "head": "<style>.bar{position:fixed;inset:0}</style>",
    },
    "out of order": {"body": '<p><a href="#x" id="x">Go</a></p><p><a href="#x" tabindex="1">First</a></p>'},
}


@pytest.mark.parametrize("fault", PLANTED)
def test_planted_fault_is_found(browser: Browser, page_with: Callable[..., Path], fault: str) -> None:
    """A target too small, one under something else, and a jump in the order are each seen."""
    path = page_with(**PLANTED[fault])
    found = small(browser, path) if fault == "small" else unreachable(browser, path)
    assert [f for f in found if f.startswith(fault) or fault == "small"], found
