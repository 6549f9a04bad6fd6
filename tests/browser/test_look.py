"""Each page in light and dark, on a phone and a desktop: no barrier, no request, a silent console."""

from __future__ import annotations

import http.server
import json
import threading
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.browser import chromium, tools
from tests.project import READERS

pytestmark = pytest.mark.browser

AXE_VERSION = "4.14.1"
# What axe can't decide is read, not dropped; each rule that may stay undecided has its reason.
UNDECIDED = {
    "color-contrast": "text over a chart's shapes and one-letter marks; test_contrast.py measures them",
}
# preload would fetch the style sheets again, which the page's own address forbids
AXE_RUN = """axe.run(document, {preload: false, resultTypes: ['violations', 'incomplete']})
  .then(({testEngine, violations, incomplete}) => JSON.stringify({testEngine, violations, incomplete}))"""


@dataclass(frozen=True)
class Look:
    """What one page did in one view.

    barriers, undecided: axe's rule and the element. outside: addresses that are no file of ours.
    elsewhere: files outside the site. console: every message. lost: pictures that were not shown.
    """

    barriers: list[str]
    undecided: list[str]
    outside: list[str]
    elsewhere: list[str]
    console: list[str]
    lost: list[str]


def _nodes(results: list[dict[str, Any]]) -> list[str]:
    return [f"{r['id']}: {' '.join(map(str, n['target']))}" for r in results for n in r["nodes"]]


def look(browser: Browser, path: Path, view: chromium.View, root: Path) -> Look:
    """Open a page, everything on it, and its printed form; then ask axe."""
    with chromium.visit(browser, path, view) as seen:
        seen.open_everything()
        if not view.phone:
            # what only the printed page shows is loaded only when it is printed
            seen.page.pdf(format="A4", print_background=True)
        images = "[...document.images].filter(i => !i.naturalWidth).map(i => i.src)"
        lost = seen.page.evaluate(images)
        console, outside = list(seen.console), list(seen.outside)
        files = [u for u in seen.requests if u.startswith("file:") and not u.startswith(root.as_uri())]
        seen.page.evaluate(tools.AXE.read_text(encoding="utf-8"))
        result = json.loads(seen.page.evaluate(AXE_RUN))
        assert result["testEngine"]["version"] == AXE_VERSION
        return Look(_nodes(result["violations"]), _nodes(result["incomplete"]), outside, files, console, lost)


def _faults(seen: Look) -> list[str]:
    """Give what is wrong with a look; what axe leaves to a person may only be what another check decides."""
    undecided = [u for u in seen.undecided if u.partition(":")[0] not in UNDECIDED]
    every = asdict(seen) | {"undecided": undecided}
    return [f"{what}: {fault}" for what, faults in every.items() for fault in faults]


def faults(browser: Browser, path: Path, view: chromium.View, root: Path) -> list[str]:
    """Give all that is wrong with a page in a view; `root` is the folder that it may load files from."""
    return _faults(look(browser, path, view, root))


@pytest.mark.parametrize("edition", READERS)
def test_pages_keep_the_rules(browser: Browser, demo: Mapping[str, Path], edition: str) -> None:
    """No page has a barrier, asks for anything, breaks its policy, or lacks a picture, on screen or paper."""
    folder = demo[edition].resolve()
    found = {
        f"{path.relative_to(folder)} {view.name}": faults(browser, path, view, folder)
        for path, view in tools.turns(edition, folder, chromium.VIEWS)
    }
    tools.nothing(found)


def test_sound_page_has_nothing(browser: Browser, page_with: Callable[..., Path]) -> None:
    """The page that faults are planted in has none of its own."""
    path = page_with()
    for view in chromium.VIEWS:
        found = look(browser, path, view, path.parent)
        assert found == Look([], ["color-contrast: text"], [], [], [], [])


PLANTED = {
    "barriers": [
        {"body": '<img src="data:image/gif;base64,R0lGODlhAQABAAAAACw=">'},
        {"body": "<details><summary>More</summary><button></button></details>"},
        {"body": "<h4>Too deep</h4>"},
        {"swap": "--ink:#222 -> --ink:#aaa"},
    ],
    "outside": [
        {"body": '<img src="http://a.invalid/x.png" alt="x">'},
        {"body": '<img loading="lazy" class="far" src="http://a.invalid/x.png" alt="x">',
         "head": "<style>.far{margin-top:9000px}</style>"},
        {"head": "<style>@media print{p{background:url(http://a.invalid/p.png)}}</style>"},
        {"head": "<style>@font-face{font-family:x;src:url(http://a.invalid/f)}p{font-family:x}</style>"},
        {"head": '<link rel="prefetch" href="http://a.invalid/x">'},
        {"body": "<script>new WebSocket('ws://a.invalid/')</script>"},
    ],
    "elsewhere": [{"body": '<img src="../../x.png" alt="x">'}],
    "console": [
        {"head": "<meta http-equiv='Content-Security-Policy' content=\"style-src 'none'\">"},
        {"body": "<script>console.warn('x')</script>"},
        {"body": "<script>throw new Error('x')</script>"},
        {"body": '<img src="gone.png" alt="x">'},
    ],
    "lost": [{"body": '<img src="gone.png" alt="x">'}],
}  # fmt: skip


@pytest.mark.parametrize(
    ("what", "changes"), [(what, changes) for what, every in PLANTED.items() for changes in every]
)
def test_planted_fault_is_found(
    browser: Browser, page_with: Callable[..., Path], what: str, changes: dict[str, str]
) -> None:
    """Each thing that a page may not do is seen when it does it."""
    path = page_with(**changes)
    assert getattr(look(browser, path, chromium.VIEWS[2], path.parent), what)


@pytest.fixture
def server() -> Iterator[list[str]]:
    """Serve on this machine's own address; give the list of what was asked, its address first."""
    asked: list[str] = []

    class Handler(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_error(404)

        def log_message(self, *_: Any) -> None:
            pass

    with http.server.HTTPServer(("127.0.0.1", 0), Handler) as running:
        asked.append(f"http://127.0.0.1:{running.server_port}")
        thread = threading.Thread(target=running.serve_forever)
        thread.start()
        yield asked
        running.shutdown()
        thread.join()


def test_browser_is_cut_off(browser: Browser, page_with: Callable[..., Path], server: list[str]) -> None:
    """The browser of these checks reaches no address at all, so that a page that shows whole needs none."""
    if not chromium.without_network():
        pytest.skip("this user may not make an empty network; the other checks of requests stand")
    path = page_with(body=f'<img src="{server[0]}/asked" alt="x">')
    assert look(browser, path, chromium.VIEWS[2], path.parent).lost
    assert server[1:] == []
