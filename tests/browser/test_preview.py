"""The preview follows what is saved: in place, in time, and with the problems and their lines."""

from __future__ import annotations

import os
import re
import shutil
import signal
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright

from tests.browser import chromium
from tests.project import CONTENT, TOP

# one worker starts the command for all of these
pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("preview")]

# 0.3 s is what is aimed at; a machine that does other things at the same time gets more
LONGEST = float(os.environ.get("REPORTGEN_PREVIEW_SECONDS", "2"))
# no name but this machine's address is looked up
ALONE = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"
BOAT = "stille-wouw"


@dataclass
class Writing:
    """A preview with a page open on it. notes: folder to write in. asked: every address asked for."""

    notes: Path
    address: str
    process: subprocess.Popen[str]
    page: Page
    console: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def save(self, name: str, change: Callable[[str], str]) -> float:
        """Save a note as editors do, by another name first; give the time [ms of the clock]."""
        note = self.notes / name
        text = change(note.read_text(encoding="utf-8"))
        new = note.with_name(f".{name}.new")
        new.write_text(text, encoding="utf-8")
        began = time.time() * 1000
        new.replace(note)
        return began

    def until(self, words: str, there: bool = True) -> float:
        """Wait until the page shows words, or no longer; give the time when it did [ms of the clock]."""
        self.page.evaluate(_STAMP, [words, there])
        until = time.monotonic() + 30
        while not (stamp := float(self.page.evaluate("window.stamp"))):
            assert time.monotonic() < until, f"{words!r} {'missing from' if there else 'still on'} the page"
            time.sleep(0.01)
        return stamp


# the page's policy lets nothing be evaluated later, so that the library's own waiting can't be used
_STAMP = """([words, there]) => {
  window.stamp = 0;
  const look = () => {
    if (!window.stamp && document.body.textContent.includes(words) === there) window.stamp = Date.now();
  };
  new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
  look();
}"""


@pytest.fixture(scope="module")
def writing(driver: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Writing]:
    """Start the command on a copy of the demo's largest survey, and open its page."""
    notes = tmp_path_factory.mktemp("preview") / BOAT
    shutil.copytree(CONTENT / BOAT, notes)
    command = [sys.executable, "-m", "reportgen", "preview", str(notes)]
    process = subprocess.Popen(command, cwd=TOP, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout
    assert process.stderr
    found = re.search(r"http://\S+", process.stdout.readline())
    assert found
    browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=[*chromium.FLAGS, ALONE])
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    writing = Writing(notes, found[0], process, page)
    page.on("console", lambda m: writing.console.append(f"{m.text} {m.location}"))
    page.on("pageerror", lambda e: writing.console.append(str(e)))
    page.on("request", lambda r: writing.asked.append(r.url))
    page.goto(writing.address)
    page.wait_for_selector("section.findings", timeout=60_000)
    yield writing
    browser.close()
    process.send_signal(signal.SIGINT)
    assert process.wait(10) == 0
    with process.stdout, process.stderr:
        assert "Preview ended." in process.stdout.read()
        assert "Traceback" not in process.stderr.read()


def test_page_follows_a_saved_note(writing: Writing) -> None:
    """A word changed in a note stands on the page in time: the median of ten, the first left out."""
    took = []
    for number in range(11):
        word = f"marlinspike{number}"
        began = writing.save("hull.md", lambda text, word=word: _with_word(text, word))
        took.append(writing.until(word) - began)
    median = statistics.median(took[1:]) / 1000
    print(f"from save to page: median {median:.3f} s of {sorted(round(t) for t in took[1:])} ms")
    assert median < LONGEST


def _with_word(text: str, word: str) -> str:
    """Put a word at the end of a note, in place of the one put there before."""
    return f"{re.sub(r'## Remark.*', '', text, flags=re.S).rstrip()}\n\n## Remark\nSeen: {word}.\n"


def test_place_and_open_parts_stay(writing: Writing) -> None:
    """What was folded open stays open, the place on the page stays, and the page is not loaded anew."""
    page = writing.page
    page.evaluate("window.same = true")
    page.evaluate("document.querySelectorAll('main details').forEach(d => { d.open = true })")
    opened = "document.querySelectorAll('main details[open]').length"
    before = page.evaluate(opened)
    assert before > 4
    where = f"document.querySelectorAll('main details')[{before - 2}].getBoundingClientRect().top"
    page.evaluate(f"scrollBy({{ top: {where} - 200, behavior: 'instant' }})")
    top, scrolled = page.evaluate(f"[{where}, scrollY]")
    assert scrolled > 1000
    writing.save("cover.md", lambda text: text.replace("\nnumber:", "\nnumber: bowline", 1))
    writing.save("hull.md", lambda text: _with_word(text, "fairlead " + "and a longer line " * 40))
    writing.until("fairlead")
    assert page.evaluate("window.same") is True
    assert page.evaluate(opened) == before
    assert page.evaluate(where) == pytest.approx(top, abs=3)


def test_mistake_comes_with_its_line_and_goes(writing: Writing) -> None:
    """A mistake stands on the page beside the last good report, leads to its line, and vanishes again."""
    page, whole = writing.page, (writing.notes / "engine.md").read_text(encoding="utf-8")
    at = whole[: whole.index("severity:")].count("\n") + 1
    writing.save("engine.md", lambda text: re.sub(r"severity: \w+", "severity: wobbly", text, count=1))
    writing.until("wobbly")
    assert page.locator("section.findings").count() == 1
    assert "Shown as it last was" in page.locator("#reportgen-preview summary").inner_text()
    page.locator("#reportgen-preview li.error a").first.click()
    page.wait_for_selector(".preview-lines .here")
    assert "severity: wobbly" in page.locator(".here").inner_text()
    assert page.locator(".here").inner_text().split()[0] == str(at)
    assert page.locator(".copy").inner_text() == f"{writing.notes / 'engine.md'}:{at}"
    page.go_back()
    writing.save("engine.md", lambda _: whole)
    writing.until("wobbly", there=False)
    page.wait_for_selector("#reportgen-preview li.error", state="detached")


def test_page_keeps_its_policy_and_asks_for_nothing_else(writing: Writing) -> None:
    """No word on the console, no request but to the preview's own address, nothing beside the notes."""
    assert not "\n".join(writing.console)
    site = writing.address[: writing.address.index("/", 8)]
    others = {url for url in writing.asked if not url.startswith(writing.address)}
    assert others <= {f"{site}/favicon.ico"}
    kept = {p.name for p in (CONTENT / BOAT).iterdir()}
    assert {p.name for p in writing.notes.iterdir()} == kept
