"""Chromium without a network, and what it says, asks for and shows while a page is open."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Literal
from weakref import WeakKeyDictionary

from playwright.sync_api import Browser, Page, Playwright

FLAGS = [
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--disable-quic",
    "--disable-sync",
    "--hide-scrollbars",
    "--no-first-run",
    "--no-sandbox",
]
HARMLESS = ("file:", "data:", "blob:", "about:")


@dataclass(frozen=True)
class View:
    """How a reader looks at a page: width and height of the screen [px], light or dark, on a phone or not."""

    name: str
    width: int
    height: int
    scheme: str
    phone: bool


VIEWS = tuple(
    View(f"{device}-{scheme}", width, height, scheme, device == "phone")
    for device, width, height in (("phone", 390, 844), ("desktop", 1280, 900))
    for scheme in ("light", "dark")
)


@cache
def without_network() -> tuple[str, ...]:
    """Give the command that starts a program in an empty network of its own; empty if not allowed."""
    for flags in ("-n", "-rn"):
        command = ("unshare", flags, "--")
        if (
            shutil.which("unshare")
            and subprocess.run([*command, "true"], capture_output=True).returncode == 0
        ):
            return command
    return ()


def start(playwright: Playwright, folder: Path) -> Browser:
    """Start Chromium; `folder` takes the little script that cuts it off from every network."""
    program = shutil.which("chromium")
    assert program
    wrapper = folder / "chromium"
    wrapper.write_text(f'#!/bin/sh\nexec {" ".join(without_network())} {program} "$@"\n', encoding="utf-8")
    wrapper.chmod(0o755)
    return playwright.chromium.launch(executable_path=str(wrapper), args=FLAGS)


@dataclass
class Visit:
    """An open page, with every address it asked for and every word on the console."""

    page: Page
    requests: list[str] = field(default_factory=list)
    console: list[str] = field(default_factory=list)

    @property
    def outside(self) -> list[str]:
        """Give the addresses that are no part of the packet."""
        return [url for url in self.requests if not url.startswith(HARMLESS)]

    def open_everything(self) -> None:
        """Open what is folded and scroll to the end, so that nothing stays unseen or unloaded."""
        self.page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true })")
        self.page.evaluate(
            "async () => { for (let y = 0; y < document.documentElement.scrollHeight; y += 2 * innerHeight) {"
            " scrollTo(0, y); await new Promise(requestAnimationFrame) } scrollTo(0, 0) }"
        )
        self.page.wait_for_load_state("load")


# One page for phones and one for desktops: a new one for each visit would cost more than most checks do.
_KEPT: WeakKeyDictionary[Browser, dict[bool, Page]] = WeakKeyDictionary()


def _new(browser: Browser, phone: bool) -> Page:
    context = browser.new_context(device_scale_factor=2 if phone else 1, is_mobile=phone, has_touch=phone)
    return context.new_page()


def _set(page: Page, view: View) -> None:
    """Set all that a view says, or that the visit before may have set otherwise."""
    page.set_viewport_size({"width": view.width, "height": view.height})
    scheme: Literal["dark", "light"] = "dark" if view.scheme == "dark" else "light"
    page.emulate_media(media="null", color_scheme=scheme, reduced_motion="reduce", forced_colors="null")


def _listeners(seen: Visit) -> Mapping[Any, Callable[[Any], None]]:
    return {
        "request": lambda r: seen.requests.append(r.url),
        "websocket": lambda w: seen.requests.append(w.url),
        "console": lambda m: seen.console.append(f"{m.type}: {m.text}"),
        "pageerror": lambda e: seen.console.append(f"error: {e}"),
    }


@contextmanager
def visit(browser: Browser, path: Path, view: View = VIEWS[2]) -> Iterator[Visit]:
    """Open a page from its file as the view says; the policy of the page stays in force."""
    kept = _KEPT.setdefault(browser, {})
    # taken out for the time of the visit, so that no other one meets it
    page = kept.pop(view.phone, None) or _new(browser, view.phone)
    _set(page, view)
    seen = Visit(page)
    listeners = _listeners(seen)
    for event, listener in listeners.items():
        page.on(event, listener)
    left = False
    try:
        page.goto(path.resolve().as_uri(), wait_until="load")
        yield seen
        # what is gone loads nothing while the next visit begins
        page.evaluate("document.documentElement.remove()")
        if seen.console or seen.outside:
            page.goto("about:blank")  # so that nothing of it is heard later
        left = page.context.pages == [page]
    finally:
        for event, listener in listeners.items():
            page.remove_listener(event, listener)
        if left and view.phone not in kept:
            kept[view.phone] = page
        else:
            page.context.close()
