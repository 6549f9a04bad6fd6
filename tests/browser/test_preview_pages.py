"""The preview's own pages: a report with its problems, the wait for one, and the line to put right."""

from __future__ import annotations

import json
import re
import shutil
import threading
import urllib.request
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright

from reportgen import previewpage, publish, theme
from reportgen.previewing import Bench, Wish
from reportgen.serving import Server
from tests.browser import chromium, test_html, test_layout, test_reach, tools
from tests.browser.test_preview import ALONE
from tests.project import CONTENT

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("preview pages")]

BOAT = "quillback"
VIEWS = {view.name: view for view in (chromium.VIEWS[0], chromium.VIEWS[3])}
# a bar at the foot is as high as a finger needs, and its list opens on the screen, in the bar's own letters
BAR = """(highest) => {
  const found = [], bar = document.getElementById('reportgen-preview');
  const folded = bar.querySelector('details');
  const pinned = getComputedStyle(bar).position === 'fixed';
  if (folded) folded.open = false;
  const high = bar.getBoundingClientRect().height;
  if (high > highest) found.push(`bar of ${high} px`);
  if (pinned && innerHeight - bar.getBoundingClientRect().bottom > 1) found.push('bar not at the foot');
  if (folded) {
    folded.open = true;
    const list = bar.querySelector('ol'), bare = families => families.replace(/\\s/g, '');
    const letters = e => bare(getComputedStyle(e).fontFamily);
    const top = list.getBoundingClientRect().top;
    if (top < 0 || top > innerHeight - 24) found.push('list out of sight');
    const sans = bare(getComputedStyle(document.documentElement).getPropertyValue('--sans'));
    const main = document.querySelector('main');
    if (letters(list) !== letters(bar) || letters(bar) !== (sans || letters(main)))
      found.push(`letters of another family: ${letters(list)}`);
  }
  return found;
}"""
HIGHEST = 50  # of the bar while its list is folded [px]
AXE = """axe.run(document, {preload: false, resultTypes: ['violations']})
  .then(({violations}) => JSON.stringify(violations))"""


@pytest.fixture(scope="module")
def addresses(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Mapping[str, str]]:
    """Give the address of each page: report and problems, problems alone, a line, nothing made yet."""
    notes = tmp_path_factory.mktemp("preview") / BOAT
    shutil.copytree(CONTENT / BOAT, notes)
    look = theme.find()
    # as the command has it, or the page's own policy would keep the preview's style and script out
    look = replace(look, policy=previewpage.policy(look.policy))
    wish = Wish(publish.edition_named("buyer"), look)
    good, bad, waiting = (Bench(notes, lambda: wish) for _ in range(3))
    good.make()
    # the report stays as it last was, with a mistake beside it; to whoever begins now there is none
    _swap(notes / "engine.md", r"severity: \w+", "severity: wobbly")
    good.make([notes / "engine.md"])
    bad.make()
    servers = [Server(bench, editor="myeditor://{file}:{line}") for bench in (good, bad, waiting)]
    for server in servers:
        threading.Thread(target=server.serve_forever, daemon=True).start()
    report, mistakes, waits = (server.address for server in servers)
    line = re.search(r'"(/[^"]+/-/line/[^"]+)"', _read(mistakes).decode())
    assert line
    address = mistakes[: mistakes.index("/", 8)] + line[1]
    yield {"report": report, "mistakes": mistakes, "line": address, "waiting": waits}
    for server in servers:
        server.end()


def _read(address: str) -> bytes:
    with urllib.request.urlopen(address, timeout=30) as answer:  # noqa: S310 - this machine's own
        page: bytes = answer.read()
        return page


def _swap(note: Path, old: str, new: str) -> None:
    note.write_text(re.sub(old, new, note.read_text(encoding="utf-8"), count=1), encoding="utf-8")


@pytest.fixture(scope="module")
def alone(driver: Playwright) -> Iterator[Browser]:
    """Give a Chromium that looks up no name but this machine's address."""
    started = driver.chromium.launch(executable_path=shutil.which("chromium"), args=[*chromium.FLAGS, ALONE])
    yield started
    started.close()


def faults(browser: Browser, address: str, view: chromium.View) -> list[str]:
    """Give the barriers of a page, what is cut or too wide, and on a phone what a finger can't meet."""
    context = browser.new_context(
        viewport={"width": view.width, "height": view.height},
        color_scheme="dark" if view.scheme == "dark" else "light",
        is_mobile=view.phone,
        has_touch=view.phone,
    )
    page = context.new_page()
    try:
        page.goto(address, wait_until="load")
        found: list[str] = page.evaluate(BAR, HIGHEST) if page.locator("#reportgen-preview").count() else []
        page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        found += page.evaluate(test_layout.FAULTS, 9)
        found += page.evaluate(test_reach.TARGETS) if view.phone else []
        page.evaluate(tools.AXE.read_text(encoding="utf-8"))
        barriers = json.loads(page.evaluate(AXE))
        return found + [f"{b['id']}: {' '.join(map(str, n['target']))}" for b in barriers for n in b["nodes"]]
    finally:
        context.close()


@pytest.mark.parametrize("view", VIEWS)
def test_pages_keep_the_rules(alone: Browser, addresses: Mapping[str, str], view: str) -> None:
    """No barrier, nothing cut, nothing too small for a finger, on a phone and on a dark desktop."""
    tools.nothing({name: faults(alone, address, VIEWS[view]) for name, address in addresses.items()})


@pytest.mark.parametrize(
    ("fault", "style"),
    [
        ("bar of", "#reportgen-preview summary{min-height:4rem}"),
        ("list out of sight", "#reportgen-preview{position:static}main{min-height:200vh}"),
        ("letters of another", "#reportgen-preview{font-family:monospace}"),
    ],
)
def test_planted_fault_of_the_bar_is_found(
    alone: Browser, addresses: Mapping[str, str], tmp_path: Path, fault: str, style: str
) -> None:
    """A high bar, a list below the screen and other letters are told."""
    text = re.sub(r"<meta http-equiv=[^>]*>", "", _read(addresses["mistakes"]).decode())
    page = tmp_path / "page.html"
    page.write_text(text.replace("</head>", f"<style>{style}</style></head>", 1), encoding="utf-8")
    assert [f for f in faults(alone, page.as_uri(), VIEWS["phone-light"]) if f.startswith(fault)]


def test_pages_are_what_they_are_called(addresses: Mapping[str, str]) -> None:
    """Each of the four states of a preview is looked at, not four times the same."""
    pages = {name: _read(address).decode() for name, address in addresses.items()}
    assert "Shown as it last was: quillback" in pages["report"]
    assert 'class="passage findings"' in pages["report"]
    assert "as soon as its notes hold no mistake" in pages["mistakes"]
    assert "wobbly" in pages["line"]
    assert 'aria-current="true"' in pages["line"]
    assert "It is being made." in pages["waiting"]


def test_pages_are_valid(addresses: Mapping[str, str], tmp_path: Path) -> None:
    """The checker has nothing to say about the pages with the preview's script, style and problems."""
    for name, address in addresses.items():
        (tmp_path / f"{name}.html").write_bytes(_read(address))
    tools.nothing({"preview": test_html.faults(tmp_path)})


@pytest.mark.parametrize(
    ("old", "new"),
    [("</h1>", "</h1><h4>x</h4>"), ("<main", '<img src="x.png"><main'), ("<main", '<a href="#m">x</a><main')],
)
def test_planted_fault_is_found(
    alone: Browser, addresses: Mapping[str, str], tmp_path: Path, old: str, new: str
) -> None:
    """A jump in the headings, a picture without words and a small target are seen on such a page."""
    text = _read(addresses["waiting"]).decode()
    assert old in text
    page = tmp_path / "page.html"
    page.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert faults(alone, page.as_uri(), VIEWS["phone-light"])
